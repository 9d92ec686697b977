package web

import (
	"bytes"
	"errors"
	"io/fs"
	"net/http"
	"net/url"

	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/draw/pdf"
	"hangtrue/internal/paper/draw/svg"
	"hangtrue/internal/paper/picture"
	"hangtrue/internal/paper/sheet"
)

// drawing is the picture of a rig as SVG, "" where there is none to draw.
func drawing(solved *app.Solved, s seen) (string, error) {
	if solved.Rig == nil || solved.Answer == nil && !s.Ground {
		return "", nil
	}
	return svg.String(picture.Of(solved.Rig, solved.Answer, picture.Options{
		View: s.view(), Ground: s.Ground, Width: s.Width, Height: s.Height, Bare: true,
	}))
}

// thumbnail is the small picture in the list, "" where there is none to draw.
func thumbnail(solved *app.Solved) (string, error) {
	if solved.Answer == nil {
		return "", nil
	}
	return svg.String(picture.Of(solved.Rig, solved.Answer, picture.Options{
		View: picture.ThreeQuarter, Width: 42, Height: 46, Bare: true, Small: true,
	}))
}

// printSheet sends the sheet of one version, and notes that it was printed, so
// that the page can say when it is void.
func (s *Server) printSheet(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	name, version := r.PathValue("name"), r.PostFormValue("version")
	if version == "" {
		return refusal{http.StatusBadRequest, "Not understood", "The page did not say which version to print."}
	}
	d, err := s.opened(name, version)
	if err != nil {
		return err
	}
	solved := s.solver.solve(d.data)
	if solved.Answer == nil {
		return refusal{http.StatusUnprocessableEntity, "No sheet", "This version has no answer to print: its text has errors or open counts."}
	}
	now := s.Now()
	page := sheet.Rig(solved.Answer, sheet.Stamp{
		Date: now.Format("2006-01-02 15:04"), Version: version, File: name + ".yaml", Tool: s.Tool,
	})
	var b bytes.Buffer
	if err := pdf.Write(&b, page, pdf.Meta{Lang: "en", Created: now}); err != nil {
		return err
	}
	if err := s.Keeper.Print(name, version); err != nil {
		if !errors.Is(err, fs.ErrPermission) && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		// In a folder that may only be read nothing changes, so no sheet can
		// become void there.
		s.Log.Warn("the sheet could not be noted", "name", name, "error", err)
	}
	h := w.Header()
	h.Set("Content-Type", "application/pdf")
	h.Set("Content-Disposition", "attachment; filename*=UTF-8''"+url.PathEscape(name+"-"+app.ShortVersion(version)+".pdf"))
	_, err = w.Write(b.Bytes())
	return err
}
