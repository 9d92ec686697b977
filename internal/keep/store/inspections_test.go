package store

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/people"
)

// made numbers ids as a device would draw them.
func made(kind string, n int) string { return fmt.Sprintf("%s%020d", kind, n) }

// walk makes the events of one whole inspection on one device: start, an answer
// to each of some questions, finish.
func walk(inspectionID, device string, answers int) []inspection.Event {
	b := inspection.Begin{Load: "Crate 7", Rig: "crate", RigVersion: hash([]byte("rig")), Rigger: "rigger"}
	for i := range answers {
		b.Tasks = append(b.Tasks, inspection.Task{Checkpoint: "c", Part: fmt.Sprint("p", i), Attribute: "a"})
	}
	var out []inspection.Event
	event := func(kind inspection.Kind, body any) {
		n := int64(len(out) + 1)
		e := inspection.Event{ID: made("e", int(n)) + inspectionID, Inspection: inspectionID, Device: device, N: n, Kind: kind, At: noon.Add(time.Duration(n) * time.Second)}
		if body != nil {
			text, err := json.Marshal(body)
			if err != nil {
				panic(err)
			}
			e.Body = text
		}
		out = append(out, e)
	}
	event(inspection.Start, b)
	for _, t := range b.Tasks {
		event(inspection.Answer, inspection.Reply{Task: t, Answer: inspection.Right})
	}
	event(inspection.Finish, nil)
	return out
}

func inspectors(t *testing.T, open func(...Options) *Store) (*Store, *ticking) {
	t.Helper()
	s, c := school(t, open)
	add(t, s, "rigger", "Rita Rigger", people.Rigger)
	add(t, s, "inspector", "Ivo Inspector", people.Inspector)
	add(t, s, "other", "Otto Other", people.Inspector)
	return s, c
}

// deliver delivers events and fails the test where one is refused.
func deliver(t *testing.T, s *Store, by string, events ...inspection.Event) []inspection.Outcome {
	t.Helper()
	out, err := s.AddEvents(t.Context(), events, by)
	if err != nil || len(out) != len(events) {
		t.Fatal(out, err)
	}
	for _, o := range out {
		if o.Refused != nil {
			t.Fatalf("event %s: %v", o.ID, o.Refused)
		}
	}
	return out
}

func TestAddEvents_TwiceIsOnce(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		s, clock := inspectors(t, open)
		events := walk(made("i", 1), made("d", 1), 3)
		first := deliver(t, s, "inspector", events...)
		clock.move(time.Hour)
		again := deliver(t, s, "inspector", events...)
		if !slices.Equal(first, again) {
			t.Errorf("delivered again: %v, at first %v", again, first)
		}
		kept, err := s.Events(t.Context(), events[0].Inspection)
		if err != nil || len(kept) != len(events) {
			t.Fatalf("%d events, %v", len(kept), err)
		}
		for i, e := range kept {
			if e.ID != events[i].ID || e.Seq != first[i].Seq || !e.At.Equal(events[i].At) || !e.Received.Equal(noon) || e.By != "inspector" {
				t.Errorf("event %d: %+v", i, e)
			}
		}
		state, err := inspection.Fold(kept)
		if err != nil || state.Phase != inspection.Finished || len(state.Unanswered()) != 0 {
			t.Errorf("got %+v, %v", state, err)
		}
		x, err := s.Inspection(t.Context(), events[0].Inspection)
		if err != nil || x.Phase != inspection.Finished || x.Load != "Crate 7" || x.By != "inspector" || x.Rigger != "rigger" || x.Entry != -1 || x.Seq != state.Seq {
			t.Errorf("got %+v, %v", x, err)
		}
		list, err := s.Inspections(t.Context(), "crate", "inspector", 10)
		if err != nil || len(list) != 1 || list[0].ID != x.ID {
			t.Errorf("got %+v, %v", list, err)
		}
		if list, err := s.Inspections(t.Context(), "", "other", 10); err != nil || len(list) != 0 {
			t.Errorf("got %+v, %v", list, err)
		}
		if list, err := s.Inspections(t.Context(), "net", "", 10); err != nil || len(list) != 0 {
			t.Errorf("got %+v, %v", list, err)
		}
	})
}

func TestAddEvents_ManyDeliverAtOnce(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		s, _ := inspectors(t, open)
		const tablets, answers = 6, 4
		var wg sync.WaitGroup
		for i := range tablets {
			for range 2 { // each of them twice, at the same time
				wg.Go(func() {
					for _, e := range walk(made("i", i), made("d", i), answers) {
						out, err := s.AddEvents(t.Context(), []inspection.Event{e}, "inspector")
						if err != nil || out[0].Refused != nil {
							t.Error(out, err)
						}
					}
				})
			}
		}
		wg.Wait()
		total := 0
		seen := map[int64]bool{}
		for i := range tablets {
			kept, err := s.Events(t.Context(), made("i", i))
			if err != nil {
				t.Fatal(err)
			}
			for _, e := range kept {
				seen[e.Seq] = true
				total++
			}
		}
		if total != tablets*(answers+2) || len(seen) != total {
			t.Errorf("%d events in %d places, want %d", total, len(seen), tablets*(answers+2))
		}
	})
}

func TestAddEvents_WhatIsRefused(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		s, _ := inspectors(t, open)
		events := walk(made("i", 1), made("d", 1), 3)
		refused := func(name, by string, want error, e inspection.Event) {
			t.Helper()
			out, err := s.AddEvents(t.Context(), []inspection.Event{e}, by)
			if err != nil || len(out) != 1 || out[0].Refused == nil || want != nil && !errors.Is(out[0].Refused, want) {
				t.Errorf("%s: %+v, %v", name, out, err)
			}
		}
		refused("before the start", "inspector", inspection.ErrGap, func() inspection.Event { e := events[1]; e.N = 1; return e }())
		refused("nobody rigged it", "inspector", fs.ErrNotExist, func() inspection.Event {
			e := events[0]
			e.Body = json.RawMessage(strings.Replace(string(e.Body), `"rigger":"rigger"`, `"rigger":"nobody"`, 1))
			return e
		}())
		deliver(t, s, "inspector", events[:2]...)
		refused("a gap", "inspector", inspection.ErrGap, events[3])
		refused("another person", "other", inspection.ErrOther, events[2])
		refused("a number twice", "inspector", inspection.ErrConflict, func() inspection.Event { e := events[2]; e.N = 2; return e }())
		refused("an id twice", "inspector", inspection.ErrConflict, func() inspection.Event { e := events[1]; e.At = e.At.Add(time.Second); return e }())
		refused("a second start", "inspector", inspection.ErrConflict, func() inspection.Event { e := events[0]; e.ID += "x"; e.N = 3; return e }())
		refused("no kind", "inspector", nil, func() inspection.Event { e := events[2]; e.Kind = "dance"; return e }())
		refused("no id", "inspector", nil, func() inspection.Event { e := events[2]; e.ID = "1"; return e }())
		deliver(t, s, "inspector", events[2:]...)
		late := events[2]
		late.ID, late.N = made("late", 1), int64(len(events)+1)
		refused("after the finish", "inspector", inspection.ErrEnded, late)
		// What follows a refused event of one inspection waits; another's does not.
		other := walk(made("i", 2), made("d", 1), 1)
		bad := events[2]
		bad.ID, bad.N = made("late", 2), int64(len(events)+1)
		next := inspection.Event{ID: made("late", 3), Inspection: bad.Inspection, Device: bad.Device, N: bad.N + 1, Kind: inspection.Reopen, At: noon}
		out, err := s.AddEvents(t.Context(), []inspection.Event{bad, next, other[0]}, "inspector")
		if err != nil || !errors.Is(out[0].Refused, inspection.ErrEnded) || !errors.Is(out[1].Refused, inspection.ErrGap) || out[2].Refused != nil {
			t.Errorf("%+v, %v", out, err)
		}
		if kept, err := s.Events(t.Context(), events[0].Inspection); err != nil || len(kept) != len(events) {
			t.Errorf("%d events, %v", len(kept), err)
		}
		if _, err := s.Events(t.Context(), made("i", 9)); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("got %v", err)
		}
		for _, q := range []string{`UPDATE inspection_event SET n = n + 1000`, `DELETE FROM inspection_event`} {
			if _, err := s.db.Exec(q); err == nil || !strings.Contains(err.Error(), "only ever added to") {
				t.Errorf("%s: %v", q, err)
			}
		}
	})
}

func TestPhotos(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		s, _ := inspectors(t, open)
		h, err := s.AddPhoto(t.Context(), "image/jpeg", []byte("picture"), "inspector")
		if err != nil || h != hash([]byte("picture")) {
			t.Fatal(h, err)
		}
		if _, err := s.AddPhoto(t.Context(), "image/jpeg", []byte("picture"), "other"); err != nil {
			t.Fatal(err)
		}
		kind, data, err := s.Photo(t.Context(), h)
		if err != nil || kind != "image/jpeg" || string(data) != "picture" {
			t.Errorf("%s %q %v", kind, data, err)
		}
		none := hash([]byte("none"))
		if _, _, err := s.Photo(t.Context(), none); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("got %v", err)
		}
		if missing, err := s.MissingPhotos(t.Context(), []string{h, none}); err != nil || !slices.Equal(missing, []string{none}) {
			t.Errorf("got %v, %v", missing, err)
		}
	})
}
