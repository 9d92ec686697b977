package web

import (
	"errors"
	"io/fs"
	"net/http"
	"net/url"
	"slices"

	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/sheet"
)

// studyStamp is what a sheet of a rig's study says of its making.
func (s *Server) studyStamp(name string) sheet.Stamp {
	return sheet.Stamp{Date: s.Now().Format("2006-01-02 15:04"), File: name + ".yaml", Tool: s.Tool}
}

// notePrinted notes that a sheet was printed from a version. In a folder that may
// only be read nothing changes, so no sheet can become void there.
func (s *Server) notePrinted(name, version string) {
	if err := s.Keeper.Print(name, version); err != nil {
		level := s.Log.Error
		if errors.Is(err, fs.ErrPermission) || errors.Is(err, fs.ErrNotExist) {
			level = s.Log.Warn
		}
		level("the sheet could not be noted", "name", name, "error", err)
	}
}

// kindsOfFiles are the media types of what a study is sent as.
var kindsOfFiles = map[string]string{
	"svg": "image/svg+xml", "pdf": "application/pdf", "png": "image/png", "csv": "text/csv; charset=utf-8",
}

// sendStudy sends a study as a file to keep.
func (s *Server) sendStudy(w http.ResponseWriter, name, version, format string, data []byte) error {
	h := w.Header()
	h.Set("Content-Type", kindsOfFiles[format])
	h.Set("Content-Disposition", "attachment; filename*=UTF-8''"+url.PathEscape(name+"-"+app.ShortVersion(version)+"."+format))
	_, err := w.Write(data)
	return err
}

// sendPicture sends a picture in the format that the address names.
func (s *Server) sendPicture(w http.ResponseWriter, r *http.Request, p *draw.Picture, name, version string) error {
	format := r.PathValue("format")
	if !slices.Contains(app.Formats, format) {
		return refusal{http.StatusNotFound, "Nothing here", "This is kept as svg, pdf, png and csv only."}
	}
	data, err := app.Encode(p, format, 0)
	if err != nil {
		return err
	}
	return s.sendStudy(w, name, version, format, data)
}
