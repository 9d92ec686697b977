package web

import (
	"errors"
	"io/fs"
	"net/http"
	"net/url"
	"slices"

	"hangtrue/internal/face/app"
	paper "hangtrue/internal/paper/placard"
)

// printBrief sends papers as PDF and notes that they were printed from these
// versions, so that the page can say when they are void.
func (s *Server) printBrief(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	m, err := s.makeBrief(r)
	if err != nil {
		return err
	}
	if m.load == nil {
		return s.unready(w, m.head)
	}
	versions := m.load.Versions
	if r.PostFormValue("rig") != versions.Rig || r.PostFormValue("brief") != versions.Brief || r.PostFormValue("aircraft") != versions.Aircraft {
		return refusal{http.StatusConflict, "Not printed", "Rig, brief or aircraft were changed since the page was opened. Open the brief again, look at it, and print then."}
	}
	kinds, file := paper.Kinds(), "brief"
	if one := paper.Kind(r.PostFormValue("paper")); slices.Contains(kinds, one) {
		kinds, file = []paper.Kind{one}, string(one)
	} else if one != "all" {
		return refusal{http.StatusBadRequest, "Not understood", "The page did not say which paper to print."}
	}
	now := s.Now()
	stamp := paper.Stamp{Date: now.Format("2006-01-02 15:04"), File: m.head.Name + ".yaml", Tool: s.Tool}
	data, err := m.load.PDF(kinds, r.PostFormValue("size") == "a5", stamp, now)
	if err != nil {
		return err
	}
	if err := s.noteBrief(m); err != nil {
		return err
	}
	h := w.Header()
	h.Set("Content-Type", "application/pdf")
	h.Set("Content-Disposition", "attachment; filename*=UTF-8''"+url.PathEscape(m.head.Name+"-"+file+"-"+app.ShortVersion(versions.Rig)+".pdf"))
	_, err = w.Write(data)
	return err
}

// noteBrief notes a print on every version that it was made from. In a folder
// that may only be read nothing changes, so nothing can become void there; an
// aircraft shipped with the program has no folder.
func (s *Server) noteBrief(m *madeBrief) error {
	note := func(keeper app.Keeper, name, version string) error {
		if version == "" {
			return nil
		}
		err := keeper.Print(name, version)
		if errors.Is(err, fs.ErrPermission) || errors.Is(err, fs.ErrNotExist) {
			s.Log.Warn("the print could not be noted", "name", name, "error", err)
			return nil
		}
		return err
	}
	versions := m.load.Versions
	if err := note(s.Keeper, m.head.Name, versions.Rig); err != nil || s.Shelves == nil {
		return err
	}
	for _, x := range []struct {
		kind          shelved
		name, version string
	}{{briefTexts, m.head.Name, versions.Brief}, {aircraftTexts, m.aircraft, versions.Aircraft}} {
		keeper, err := s.keeper(x.kind)
		if err != nil {
			return err
		}
		if err := note(keeper, x.name, x.version); err != nil {
			return err
		}
	}
	return nil
}
