package web

import (
	"bytes"
	"net/http"
	"net/url"

	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/pdf"
)

// answerParts sends parts of a page to its script.
func (s *Server) answerParts(w http.ResponseWriter, page any, parts ...string) error {
	c := textChanged{Parts: map[string]string{}}
	for _, part := range parts {
		text, err := s.pages.part("part-"+part, page)
		if err != nil {
			return err
		}
		c.Parts[part] = text
	}
	writeJSON(w, http.StatusOK, c)
	return nil
}

// sendPDF sends a picture as a sheet of paper.
func (s *Server) sendPDF(w http.ResponseWriter, p *draw.Picture, name string) error {
	var b bytes.Buffer
	if err := pdf.Write(&b, p, pdf.Meta{Lang: "en", Title: p.Title, Created: s.Now()}); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/pdf")
	w.Header().Set("Content-Disposition", "attachment; filename*=UTF-8''"+url.PathEscape(name+".pdf"))
	_, err := w.Write(b.Bytes())
	return err
}
