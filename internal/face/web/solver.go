package web

import (
	"context"
	"fmt"
	"runtime"
	"sync"
	"time"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/face/app"
)

// mostSolved is how many answers are remembered. Turning a picture asks for
// the same one many times, and the list asks for each rig's on every visit.
const mostSolved = 300

// mostSolving is how long a text may take to hang, with the wait for its turn: a
// rig of a school takes a fraction of a second, and one made to be slow minutes.
const mostSolving = 20 * time.Second

// solver solves texts and remembers the answers by version, which is the bytes'
// own name, so that an answer is never that of another text. It works on as many
// at a time as there are processors, and on each for a limited time.
type solver struct {
	mu    sync.Mutex
	known map[string]*app.Solved
	order []string            // oldest first
	under map[string]*solving // under way
	most  int
	slots chan struct{}
	limit time.Duration
}

// solving is a text under way; whoever else asks for it waits for the same.
type solving struct {
	done   chan struct{}
	solved *app.Solved
}

func newSolver() *solver {
	return &solver{
		known: map[string]*app.Solved{}, under: map[string]*solving{}, most: mostSolved,
		slots: make(chan struct{}, runtime.GOMAXPROCS(0)), limit: mostSolving,
	}
}

// solve returns what became of a text. One that takes too long has a problem
// that says so, and is not remembered.
func (s *solver) solve(data []byte) *app.Solved {
	version := app.Version(data)
	s.mu.Lock()
	if have := s.known[version]; have != nil {
		s.mu.Unlock()
		return have
	}
	if x := s.under[version]; x != nil {
		s.mu.Unlock()
		<-x.done
		return x.solved
	}
	x := &solving{done: make(chan struct{})}
	s.under[version] = x
	s.mu.Unlock()
	// What others who wait get should this one fail with a panic.
	x.solved = notHung(data, version, "the program failed to hang this rig; what went wrong stands in its log")
	keep := false
	defer func() {
		s.mu.Lock()
		delete(s.under, version)
		if keep {
			s.remember(version, x.solved)
		}
		s.mu.Unlock()
		close(x.done)
	}()
	x.solved, keep = s.within(data, version)
	return x.solved
}

// within solves a text in its turn; inTime is false where that took too long.
func (s *solver) within(data []byte, version string) (x *app.Solved, inTime bool) {
	ctx, cancel := context.WithTimeout(context.Background(), s.limit)
	defer cancel()
	select {
	case s.slots <- struct{}{}:
		defer func() { <-s.slots }()
	case <-ctx.Done():
		return notHung(data, version, fmt.Sprintf("other rigs are being hung, and this one did not get its turn within %.0f s", s.limit.Seconds())), false
	}
	solved, err := app.SolveWithin(ctx, data)
	if err != nil {
		return notHung(data, version, fmt.Sprintf("hanging this rig takes longer than %.0f s", s.limit.Seconds())), false
	}
	return &solved, true
}

// notHung is a text without an answer, and why.
func notHung(data []byte, version, why string) *app.Solved {
	return &app.Solved{Data: data, Version: version, Problems: []document.Problem{{
		Line: 1, Column: 1, Text: why, Hint: "hangtrue check takes all the time that it needs",
	}}}
}

// remember keeps an answer and forgets the oldest beyond what is kept.
func (s *solver) remember(version string, solved *app.Solved) {
	s.known[version] = solved
	s.order = append(s.order, version)
	if len(s.order) > s.most {
		delete(s.known, s.order[0])
		s.order = s.order[1:]
	}
}
