package web

import (
	"sync"

	"hangtrue/internal/face/app"
)

// mostSolved is how many answers are remembered. Turning a picture asks for
// the same one many times, and the list asks for each rig's on every visit.
const mostSolved = 300

// solver solves texts and remembers the answers by version, which is the bytes'
// own name, so that an answer is never that of another text.
type solver struct {
	mu    sync.Mutex
	known map[string]*app.Solved
	order []string // oldest first
	most  int
}

func newSolver() *solver { return &solver{known: map[string]*app.Solved{}, most: mostSolved} }

func (s *solver) solve(data []byte) *app.Solved {
	version := app.Version(data)
	s.mu.Lock()
	have := s.known[version]
	s.mu.Unlock()
	if have != nil {
		return have
	}
	solved := app.Solve(data)
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.known[version] == nil {
		s.known[version] = &solved
		s.order = append(s.order, version)
		if len(s.order) > s.most {
			delete(s.known, s.order[0])
			s.order = s.order[1:]
		}
	}
	return &solved
}
