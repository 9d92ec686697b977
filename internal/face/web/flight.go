package web

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"net/url"
	"strconv"
	"sync"
	"time"

	steady "hangtrue/internal/engine/rig/flight"
	"hangtrue/internal/face/app"
)

// A study that takes longer than this is ended and shown as far as it came.
const flightLong = 15 * time.Second

// mostFlights is how many studies are remembered, so that looking at one speed
// after another sweeps once.
const mostFlights = 12

// flightWork remembers studies by version and by what was asked. The zero value
// is ready.
type flightWork struct {
	mu    sync.Mutex
	known map[string]*app.Flight
	order []string // oldest first
}

func (w *flightWork) study(ctx context.Context, solved *app.Solved, a *flightAsk, aircraft string) (*app.Flight, error) {
	key := solved.Version + " " + a.query().Encode()
	if a.rotor != nil {
		// The aircraft's file may have changed under its name.
		key += fmt.Sprintf(" %g %d", a.rotor.Speed, a.rotor.Blades)
	}
	w.mu.Lock()
	have := w.known[key]
	w.mu.Unlock()
	if have != nil {
		return have, nil
	}
	ctx, cancel := context.WithCancel(context.WithoutCancel(ctx))
	defer cancel()
	defer time.AfterFunc(flightLong, cancel).Stop()
	x, err := app.RunFlight(ctx, solved, a.conditions, a.span, a.rotor)
	if err != nil {
		return nil, err
	}
	x.RotorOf = aircraft
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.known == nil {
		w.known = map[string]*app.Flight{}
	}
	if w.known[key] == nil && !x.Stopped {
		w.known[key] = x
		w.order = append(w.order, key)
		if len(w.order) > mostFlights {
			delete(w.known, w.order[0])
			w.order = w.order[1:]
		}
	}
	return x, nil
}

// flightPage shows a study of the rig's current version. Asked for JSON, it sends
// the load at the chosen speed alone.
func (s *Server) flightPage(w http.ResponseWriter, r *http.Request) error {
	head, solved, err := s.subpage(r, "flight")
	if err != nil {
		return err
	}
	if solved.Answer == nil {
		return s.unready(w, head)
	}
	head.Script = "flight.js"
	v := &flightView{rigHead: head, Study: steady.Caution}
	q := r.URL.Query()
	ask, aircraft, err := s.flightAsked(q)
	if err != nil {
		return err
	}
	v.form(ask, s.rotorsToChoose())
	if ask.Wrong > 0 {
		v.Notice = counted(ask.Wrong, "field is", "fields are") + " not understood; each says what is needed. Nothing was studied."
		return s.pages.write(w, http.StatusUnprocessableEntity, "flight", v)
	}
	x, err := s.flightWork.study(r.Context(), solved, ask, aircraft)
	if err != nil {
		return refusal{http.StatusUnprocessableEntity, "Not studied", "This study cannot be made: " + plain(err)}
	}
	at, err := strconv.Atoi(q.Get("at"))
	if err != nil {
		at = flightFirstSeen(x)
	}
	at = min(max(at, 0), len(x.Sweep.Points)-1)
	if err := v.study(x, ask, at, q.Get("view")); err != nil {
		return err
	}
	if !wantsJSON(r) {
		return s.pages.write(w, http.StatusOK, "flight", v)
	}
	part, err := s.pages.part("part-flight", v)
	if err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, map[string]any{"flight": part, "at": at, "speed": v.At.Speed})
	return nil
}

// flightFirstSeen is the place of the fastest speed with a steady position, which
// shows most.
func flightFirstSeen(x *app.Flight) int {
	for i := len(x.Sweep.Points) - 1; i > 0; i-- {
		if x.Sweep.Points[i].Agrees {
			return i
		}
	}
	return 0
}

// flightAsked reads what a study is to be, with the rotor of the aircraft chosen
// and the aircraft's title.
func (s *Server) flightAsked(q url.Values) (*flightAsk, string, error) {
	title := ""
	ask := askFlight(q, func(name string) (*steady.Rotor, error) {
		data, err := s.aircraftData(name)
		if err != nil {
			return nil, fmt.Errorf("there is no aircraft %q", name)
		}
		var rotor *steady.Rotor
		rotor, title, err = app.Rotor(data)
		return rotor, err
	})
	return ask, title, nil
}

// aircraftData is the file of an aircraft of the school's own, or else of one
// that comes with the program.
func (s *Server) aircraftData(name string) ([]byte, error) {
	if s.Shelves != nil {
		shelf, err := s.Shelves.Shelf(app.AircraftOf)
		if err != nil {
			return nil, err
		}
		data, err := shelf.Current(name)
		if err == nil || !errors.Is(err, fs.ErrNotExist) {
			return data, err
		}
	}
	if data, ok := app.Shipped(name); ok {
		return data, nil
	}
	return nil, fs.ErrNotExist
}

// rotorChoice is an aircraft whose rotor may be taken.
type rotorChoice struct {
	Name, Words string
	Here        bool
}

func (s *Server) rotorsToChoose() []rotorChoice {
	var out []rotorChoice
	own := map[string]bool{}
	if s.Shelves != nil {
		if shelf, err := s.Shelves.Shelf(app.AircraftOf); err == nil {
			names, err := shelf.Names()
			if err != nil {
				s.Log.Warn("the aircraft could not be listed", "error", err)
			}
			for _, n := range names {
				own[n] = true
				out = append(out, rotorChoice{Name: n, Words: n})
			}
		}
	}
	for _, n := range app.ShippedAircraft() {
		if !own[n] {
			out = append(out, rotorChoice{Name: n, Words: n + " (INVENTED)"})
		}
	}
	return out
}

// flightOf makes the study that an address or a form asks for, of a version.
func (s *Server) flightOf(ctx context.Context, name, version string, q url.Values) (*app.Flight, error) {
	d, err := s.opened(name, version)
	if err != nil {
		return nil, err
	}
	solved := s.solver.solve(d.data)
	if solved.Answer == nil {
		return nil, refusal{http.StatusUnprocessableEntity, "No study", "This version has no answer: its text has errors or open counts."}
	}
	ask, aircraft, err := s.flightAsked(q)
	if err != nil {
		return nil, err
	}
	for _, f := range ask.Fields {
		if f.Error != "" {
			return nil, refusal{http.StatusUnprocessableEntity, "Not understood", f.Label + ": " + f.Error}
		}
	}
	x, err := s.flightWork.study(ctx, solved, ask, aircraft)
	if err != nil {
		return nil, refusal{http.StatusUnprocessableEntity, "Not studied", "This study cannot be made: " + plain(err)}
	}
	return x, nil
}

// flightFile sends the study as a file.
func (s *Server) flightFile(w http.ResponseWriter, r *http.Request) error {
	name, kind := r.PathValue("name"), r.PathValue("kind")
	if fileTypes[kind] == "" {
		return refusal{http.StatusNotFound, "Nothing here", "The study is to be had as csv, json, svg, pdf or png."}
	}
	x, err := s.flightOf(r.Context(), name, "", r.URL.Query())
	if err != nil {
		return err
	}
	var data []byte
	switch kind {
	case "csv":
		data, err = x.CSV()
	case "json":
		data, err = json.MarshalIndent(x.Document(), "", "  ")
	default:
		data, err = app.Encode(x.Picture(), kind, 0)
	}
	if err != nil {
		return err
	}
	return sendFile(w, data, kind, name+"-flight-"+app.ShortVersion(x.Version))
}

// flightSheet prints the study of one version, and notes that it was printed.
func (s *Server) flightSheet(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	name, version := r.PathValue("name"), r.PostFormValue("version")
	if version == "" {
		return refusal{http.StatusBadRequest, "Not understood", "The page did not say which version to print."}
	}
	x, err := s.flightOf(r.Context(), name, version, r.PostForm)
	if err != nil {
		return err
	}
	data, err := x.Sheet(s.stamp(name))
	if err != nil {
		return err
	}
	return s.printed(w, data, name, version, "flight")
}
