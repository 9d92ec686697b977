package web

import (
	"net/http"
	"net/url"
	"strings"

	"hangtrue/internal/paper/closeup"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/draw/svg"
	"hangtrue/internal/paper/likeness"
)

// drawingURL is the address of a drawing for staff; "" for none. It names all that
// is drawn, so a browser asks for each once.
func drawingURL(x *likeness.Drawing) string {
	if x == nil {
		return ""
	}
	q := url.Values{}
	for key, value := range x.Params {
		q.Set(key, value)
	}
	return "/closeup/" + url.PathEscape(x.Figure) + "?" + q.Encode()
}

// closeup draws a part for staff. It names the state in words, so it is no
// picture for a student.
func (s *Server) closeup(w http.ResponseWriter, r *http.Request) error {
	params := map[string]string{}
	for key, values := range r.URL.Query() {
		params[key] = values[0]
	}
	p, err := closeup.Draw(r.PathValue("figure"), params, closeup.Options{Staff: true})
	if err != nil {
		return refusal{http.StatusNotFound, "Not there", "There is no such drawing: " + strings.TrimPrefix(err.Error(), "closeup: ") + "."}
	}
	return writeSVG(w, p, "private, max-age=3600")
}

// nightStyle recolours a drawing that a page shows as an image, where the page's
// own style does not reach it.
var nightStyle = "<style>@media (prefers-color-scheme:dark){" + strings.ReplaceAll(look.DarkCSS(""), "\n", "") + "}</style>"

// writeSVG sends a drawing as a file of its own.
func writeSVG(w http.ResponseWriter, p *draw.Picture, keep string) error {
	text, err := svg.String(p)
	if err != nil {
		return err
	}
	head, body, _ := strings.Cut(text, "\n")
	w.Header().Set("Content-Type", "image/svg+xml")
	w.Header().Set("Cache-Control", keep)
	_, err = w.Write([]byte(head + "\n" + nightStyle + body))
	return err
}
