package web

import (
	"context"
	"net/http"
	"runtime"
	"sync"
	"time"

	"hangtrue/internal/engine/rig/fault"
	"hangtrue/internal/face/app"
)

// mostFaultTables is how many one-fault tables are remembered.
const mostFaultTables = 40

// mostTabling is how long one table may take: the next waits for it.
const mostTabling = 10 * time.Minute

var tooLongTabling = refusal{http.StatusServiceUnavailable, "It takes too long", "Hanging this rig with each of its faults takes longer than is given to a page. hangtrue faults takes all the time that it needs."}

// faultWork works out one-fault tables, each once, one after another, and
// remembers them by the version of the rig. The zero value is ready.
type faultWork struct {
	mu    sync.Mutex
	known map[string]*faultRun
	order []string // oldest first
	one   sync.Mutex
}

// faultRun is one table, under way or done.
type faultRun struct {
	done chan struct{} // closed when table or err is there

	mu            sync.Mutex
	tried, listed int

	table *app.Faults
	err   error
}

// begin starts the work on a rig that has an answer, or finds it begun. It goes
// on though whoever asked first is gone: the next who asks wants it too.
func (w *faultWork) begin(solved *app.Solved) *faultRun {
	w.mu.Lock()
	defer w.mu.Unlock()
	if run := w.known[solved.Version]; run != nil {
		return run
	}
	if w.known == nil {
		w.known = map[string]*faultRun{}
	}
	run := &faultRun{done: make(chan struct{})}
	w.known[solved.Version] = run
	w.order = append(w.order, solved.Version)
	if len(w.order) > mostFaultTables {
		delete(w.known, w.order[0])
		w.order = w.order[1:]
	}
	go func() {
		w.one.Lock()
		defer w.one.Unlock()
		defer close(run.done)
		ctx, cancel := context.WithTimeout(context.Background(), mostTabling)
		defer cancel()
		run.table, run.err = app.RunFaults(ctx, solved, fault.Options{Workers: runtime.NumCPU(), Progress: run.progress})
		if ctx.Err() != nil {
			run.err = tooLongTabling
		}
	}()
	return run
}

func (r *faultRun) progress(done, total int) {
	r.mu.Lock()
	r.tried, r.listed = done, total
	r.mu.Unlock()
}

func (r *faultRun) sofar() (tried, listed int) {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.tried, r.listed
}

// wait waits for the table, at most so long; ok is false where it is not there
// by then.
func (r *faultRun) wait(ctx context.Context, most time.Duration) (table *app.Faults, ok bool, err error) {
	timer := time.NewTimer(most)
	defer timer.Stop()
	select {
	case <-r.done:
		return r.table, true, r.err
	case <-timer.C:
	case <-ctx.Done():
	}
	return nil, false, nil
}
