package web

import (
	"errors"
	"io/fs"
	"net/http"
	"net/url"
	"strconv"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/sheet"
	"hangtrue/internal/paper/walk"
)

// The widths that a page may ask a picture in, mm: what is written on it keeps
// its size.
const leastPicture, mostPicture = 90, 300

// slim is the width, mm, below which a picture is for a telephone and stands
// upright.
const slim = 130

// walkPictures are the pictures of the walk-round by what they show: the least
// width that each takes, mm, and how high it is for its width, slim or not.
var walkPictures = map[string]struct {
	least, slim, high float64
	draw              func(s *Server, d *walkDesk, width, height float64) (*draw.Picture, error)
}{
	"map": {100, 1.5, 0.95, func(s *Server, d *walkDesk, width, height float64) (*draw.Picture, error) {
		q, _, err := s.order(d)
		if err != nil {
			return nil, err
		}
		return walk.Map(d.survey, q, width, height), nil
	}},
	"coverage": {160, 0.7, 0.7, func(s *Server, d *walkDesk, width, height float64) (*draw.Picture, error) {
		q, _, err := s.order(d)
		if err != nil {
			return nil, err
		}
		return walk.Coverage(d.survey, inspect.Cover(d.survey, q), width, height), nil
	}},
	"trace": {120, 1.2, 1, func(_ *Server, d *walkDesk, width, height float64) (*draw.Picture, error) {
		r := d.solved.Rig
		return walk.Trace(r, inspect.Trace(r, inspect.AsRigged(r)), width, height), nil
	}},
	"parts": {90, 0.9, 0.9, func(_ *Server, d *walkDesk, width, height float64) (*draw.Picture, error) {
		return partsPicture(d.survey, width, height), nil
	}},
}

// walkPicture draws what a page of the walk-round shows as an image.
func (s *Server) walkPicture(w http.ResponseWriter, r *http.Request) error {
	p, ok := walkPictures[r.PathValue("what")]
	if !ok {
		return refusal{http.StatusNotFound, "Nothing here", "There is no such picture."}
	}
	d, err := s.walkDesk(r, "walk", "")
	if err != nil {
		return err
	}
	if d.survey == nil {
		return refusal{http.StatusUnprocessableEntity, "No picture", "The text of this rig has errors."}
	}
	width, err := strconv.ParseFloat(r.URL.Query().Get("width"), 64)
	if err != nil || !(width >= leastPicture && width <= mostPicture) {
		width = leastPicture
	}
	width = max(width, p.least)
	high := p.high
	if width < slim {
		high = p.slim
	}
	picture, err := p.draw(s, d, width, width*high)
	if err != nil {
		return err
	}
	return writeSVG(w, picture, "no-store")
}

// walkSheet sends the inspection sheet, and notes on the rig and on the own
// order that it was printed.
func (s *Server) walkSheet(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	d, err := s.walkDesk(r, "walk", "")
	if err != nil {
		return err
	}
	if d.survey == nil {
		return refusal{http.StatusUnprocessableEntity, "No sheet", "The text of this rig has errors, so there is no sheet to print."}
	}
	name, version := d.head.Name, d.solved.Version
	if v := r.PostFormValue("version"); v != version {
		return refusal{http.StatusConflict, "No sheet", "The rig was changed since this page was opened. Open the walk-round again and print it from there."}
	}
	q, own, err := s.order(d)
	if err != nil {
		return err
	}
	blind := r.PostFormValue("blind") == "yes"
	data, err := app.WalkSheet(d.solved, d.survey, q, sheet.Stamp{
		Date: s.Now().Format("2006-01-02 15:04"), Version: version, File: name + ".yaml", Tool: s.Tool,
	}, blind)
	if err != nil {
		return err
	}
	if err := s.noteSheet(name, version, own); err != nil {
		return err
	}
	file := name + "-walk-" + app.ShortVersion(version) + ".pdf"
	if blind {
		file = name + "-walk-blind-" + app.ShortVersion(version) + ".pdf"
	}
	h := w.Header()
	h.Set("Content-Type", "application/pdf")
	h.Set("Content-Disposition", "attachment; filename*=UTF-8''"+url.PathEscape(file))
	_, err = w.Write(data)
	return err
}

// noteSheet notes that a sheet was printed, so that pages can say when it is
// void. In a folder that may only be read nothing changes.
func (s *Server) noteSheet(name, version string, own *app.Order) error {
	note := func(k app.Keeper, version string) error {
		err := k.Print(name, version)
		if errors.Is(err, fs.ErrPermission) || errors.Is(err, fs.ErrNotExist) {
			s.Log.Warn("the sheet could not be noted", "name", name, "error", err)
			return nil
		}
		return err
	}
	if err := note(s.Keeper, version); err != nil {
		return err
	}
	if own == nil || own.Sequence == nil {
		return nil
	}
	shelf, err := s.Shelves.Shelf(app.Sequences)
	if err != nil {
		return err
	}
	return note(shelf, own.Version)
}
