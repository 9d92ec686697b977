package web

import (
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"strings"
	"sync"
	"time"

	"hangtrue/internal/face/app"
)

// whatIfSoon is how long a tablet that asks for a table waits for it.
const whatIfSoon = 2 * time.Second

// whatIfWork works out what-if tables in the background, each once, and
// remembers them by the versions of rig and catalogue. The zero value is ready.
type whatIfWork struct {
	mu    sync.Mutex
	known map[string]*whatIfRun
	order []string // oldest first
}

// whatIfRun is one table, under way or done: as it is sent, packed, with the
// planned counts and without.
type whatIfRun struct {
	done        chan struct{}
	faults      *faultRun
	whole, bare []byte
	err         error
}

// mostWhatIfs is how many tables are remembered; a packed one has some 10 kB.
const mostWhatIfs = 100

// whatIfOf begins the work on a rig that has an answer, or finds it begun.
func (s *Server) whatIfOf(d *inspected) *whatIfRun {
	key := d.solved.Version + " " + d.catalogue
	w := &s.whatIfWork
	w.mu.Lock()
	defer w.mu.Unlock()
	if run := w.known[key]; run != nil {
		return run
	}
	if w.known == nil {
		w.known = map[string]*whatIfRun{}
	}
	run := &whatIfRun{done: make(chan struct{}), faults: s.faultWork.begin(d.solved)}
	w.known[key] = run
	w.order = append(w.order, key)
	if len(w.order) > mostWhatIfs {
		delete(w.known, w.order[0])
		w.order = w.order[1:]
	}
	go func() {
		defer close(run.done)
		<-run.faults.done
		if run.err = run.faults.err; run.err != nil {
			return
		}
		// One after another with the one-fault tables, so that the pages stay quick.
		s.faultWork.one.Lock()
		defer s.faultWork.one.Unlock()
		x, err := app.RunWhatIf(context.Background(), run.faults.table, d.survey, s.Now())
		if err == nil {
			if run.whole, err = packed(x); err == nil {
				run.bare, err = packed(x.WithoutCounts())
			}
		}
		run.err = err
	}()
	return run
}

// packed is a document as it is sent.
func packed(x *app.WhatIf) ([]byte, error) {
	text, err := json.Marshal(x)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	z := gzip.NewWriter(&out)
	if _, err := z.Write(text); err != nil {
		return nil, err
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// whatIfLater is sent while a table is worked out.
type whatIfLater struct {
	Format   string `json:"format"`
	Computed bool   `json:"computed"` // false
	Tried    int    `json:"tried"`
	Listed   int    `json:"listed"`
}

// inspectWhatIf sends the tablet what changes of the rig would do. Who learns and
// counts blind gets none: the planned counts follow from it.
func (s *Server) inspectWhatIf(w http.ResponseWriter, r *http.Request) error {
	me := personOf(r)
	x, state, err := s.School.Inspection(r.Context(), me, r.PathValue("id"))
	if err != nil {
		return told(err)
	}
	blind := state.Begin.Blind
	if blind && student(me) {
		return refusal{http.StatusForbidden, "Not in a blind count", "The counts are counted blind, so nothing that follows from the planned ones is shown."}
	}
	d, err := s.inspected(&x, state)
	if err != nil {
		return err
	}
	if d.solved.Answer == nil {
		return refusal{http.StatusUnprocessableEntity, "No table", "This version of the rig has no answer to compare with: its text has errors or open counts."}
	}
	run := s.whatIfOf(d)
	timer := time.NewTimer(whatIfSoon)
	defer timer.Stop()
	select {
	case <-run.done:
	case <-r.Context().Done():
		return nil
	case <-timer.C:
		tried, listed := run.faults.sofar()
		writeJSON(w, http.StatusAccepted, whatIfLater{app.WhatIfFormat, false, tried, listed})
		return nil
	}
	if run.err != nil {
		return run.err
	}
	data := run.whole
	if blind {
		data = run.bare
	}
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Vary", "Accept-Encoding")
	if strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
		w.Header().Set("Content-Encoding", "gzip")
		_, err = w.Write(data)
		return err
	}
	z, err := gzip.NewReader(bytes.NewReader(data))
	if err != nil {
		return err
	}
	_, err = io.Copy(w, z) // our own bytes: what they unpack to is known
	return err
}
