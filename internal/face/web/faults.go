package web

import (
	"context"
	"encoding/json"
	"errors"
	"io/fs"
	"net/http"
	"net/url"
	"time"

	"hangtrue/internal/engine/rig/fault"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/sheet"
	"hangtrue/internal/paper/whatif"
)

// faultsSoon is how long a page waits for a table before it says that the work
// goes on; a file or a sheet waits longer.
const (
	faultsSoon = 900 * time.Millisecond
	faultsLong = 50 * time.Second
)

// faultsPage shows the one-fault table of a rig's current version, with one
// fault chosen. Asked for JSON, it sends the chosen fault alone.
func (s *Server) faultsPage(w http.ResponseWriter, r *http.Request) error {
	head, solved, err := s.subpage(r, "faults")
	if err != nil {
		return err
	}
	if solved.Answer == nil {
		return s.unready(w, head)
	}
	head.Script = "faults.js"
	view := &faultsView{rigHead: head}
	run := s.faultWork.begin(solved)
	table, ok, err := run.wait(r.Context(), faultsSoon)
	if err != nil {
		return err
	}
	if !ok {
		view.Working = true
		view.Tried, view.Listed = run.sofar()
		view.Notice = progressWords(view.Tried, view.Listed) + " This page comes again by itself."
		view.Script = ""
		w.Header().Set("Refresh", "1")
		return s.pages.write(w, http.StatusOK, "faults", view)
	}
	q := r.URL.Query()
	chosen := q.Get("fault")
	if chosen != "" && table.Row(chosen) == nil {
		if wantsJSON(r) {
			return refusal{http.StatusNotFound, "Not there", "This rig has no fault " + chosen + "."}
		}
		view.Notice = "The rig as it is now has no fault " + chosen + "; the gravest is shown."
		chosen = ""
	}
	if err := s.faultsOf(view, table, chosen, q.Get("view")); err != nil {
		return err
	}
	if !wantsJSON(r) {
		return s.pages.write(w, http.StatusOK, "faults", view)
	}
	part, err := s.pages.part("part-fault", view)
	if err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, map[string]string{"fault": part, "line": view.Chosen.List})
	return nil
}

// faultsAsked is the table of a version that a request names, waited for.
func (s *Server) faultsAsked(ctx context.Context, name, version string) (*app.Faults, error) {
	d, err := s.opened(name, version)
	if err != nil {
		return nil, err
	}
	solved := s.solver.solve(d.data)
	if solved.Answer == nil {
		return nil, refusal{http.StatusUnprocessableEntity, "No table", "This version has no answer: its text has errors or open counts."}
	}
	table, ok, err := s.faultWork.begin(solved).wait(ctx, faultsLong)
	if err == nil && !ok {
		err = refusal{http.StatusServiceUnavailable, "Not ready", "The table is still being worked out. Try again in a minute."}
	}
	return table, err
}

// faultsFile sends the table as data.
func (s *Server) faultsFile(w http.ResponseWriter, r *http.Request) error {
	name, kind := r.PathValue("name"), r.PathValue("kind")
	if kind != "csv" && kind != "json" {
		return refusal{http.StatusNotFound, "Nothing here", "The table is to be had as csv or json."}
	}
	table, err := s.faultsAsked(r.Context(), name, r.URL.Query().Get("version"))
	if err != nil {
		return err
	}
	var data []byte
	if kind == "csv" {
		data, err = table.CSV()
	} else {
		data, err = json.MarshalIndent(table.Document(), "", "  ")
	}
	if err != nil {
		return err
	}
	return sendFile(w, data, kind, name+"-faults-"+app.ShortVersion(table.Version))
}

// fileTypes are the types of the files that studies are sent as.
var fileTypes = map[string]string{
	"csv": "text/csv; charset=utf-8", "json": "application/json", "pdf": "application/pdf", "svg": "image/svg+xml", "png": "image/png",
}

// sendFile sends a file to be kept, under a name without its ending.
func sendFile(w http.ResponseWriter, data []byte, kind, name string) error {
	h := w.Header()
	h.Set("Content-Type", fileTypes[kind])
	h.Set("Content-Disposition", "attachment; filename*=UTF-8''"+url.PathEscape(name+"."+kind))
	_, err := w.Write(data)
	return err
}

// faultSmall draws the load with one fault, small. The version is in the
// address, so that a browser asks once.
func (s *Server) faultSmall(w http.ResponseWriter, r *http.Request) error {
	d, err := s.opened(r.PathValue("name"), r.PathValue("version"))
	if err != nil {
		return err
	}
	solved := s.solver.solve(d.data)
	if solved.Answer == nil {
		return refusal{http.StatusNotFound, "No picture", "This version has no answer to draw."}
	}
	f, ok := fault.Named(solved.Rig, r.PathValue("fault"))
	if !ok {
		return refusal{http.StatusNotFound, "No picture", "This rig has no such fault."}
	}
	a, err := f.Hung(solved.Rig, false)
	if err != nil {
		return refusal{http.StatusNotFound, "No picture", "The rig with this fault cannot be hung."}
	}
	return keptPicture(w, whatif.Small(a, 42, 46))
}

// faultTravel draws what one leg's count does.
func (s *Server) faultTravel(w http.ResponseWriter, r *http.Request) error {
	table, err := s.faultsAsked(r.Context(), r.PathValue("name"), r.PathValue("version"))
	if err != nil {
		return err
	}
	p := whatif.Travel(table.Rig, table.Table, r.PathValue("leg"), 120, 56)
	if p == nil {
		return refusal{http.StatusNotFound, "No picture", "There is no such leg with a chain."}
	}
	return keptPicture(w, p)
}

// keptPicture sends a picture that stands alone and never changes at its address.
func keptPicture(w http.ResponseWriter, p *draw.Picture) error {
	data, err := app.Encode(p, "svg", 0)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "image/svg+xml")
	w.Header().Set("Cache-Control", "private, max-age=31536000, immutable")
	_, err = w.Write(data)
	return err
}

// faultsSheet prints the table of one version, and notes that it was printed.
func (s *Server) faultsSheet(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	name, version := r.PathValue("name"), r.PostFormValue("version")
	if version == "" {
		return refusal{http.StatusBadRequest, "Not understood", "The page did not say which version to print."}
	}
	table, err := s.faultsAsked(r.Context(), name, version)
	if err != nil {
		return err
	}
	data, err := table.Sheet(s.stamp(name))
	if err != nil {
		return err
	}
	return s.printed(w, data, name, version, "faults")
}

func (s *Server) stamp(name string) sheet.Stamp {
	return sheet.Stamp{Date: s.Now().Format("2006-01-02 15:04"), File: name + ".yaml", Tool: s.Tool}
}

// printed notes that a sheet was printed from a version, and sends it.
func (s *Server) printed(w http.ResponseWriter, data []byte, name, version, what string) error {
	if err := s.Keeper.Print(name, version); err != nil {
		if !errors.Is(err, fs.ErrPermission) && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		s.Log.Warn("the sheet could not be noted", "name", name, "error", err)
	}
	return sendFile(w, data, "pdf", name+"-"+what+"-"+app.ShortVersion(version))
}
