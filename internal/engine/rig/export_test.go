package rig

import "hangtrue/internal/engine/statics"

// TestOnlySolve solves one change without judging it: from the rig as planned,
// from the position solved last, or from the ground.
func (t *Trial) TestOnlySolve(ch Change, from string) bool {
	t.apply(&ch, -1, 0)
	start := map[string]*statics.State{"plan": &t.base, "last": &t.last}[from]
	t.solver.Solve(t.c.model, start, &t.sol)
	t.last.Bodies = append(t.last.Bodies[:0], t.sol.State.Bodies...)
	t.last.Nodes = append(t.last.Nodes[:0], t.sol.State.Nodes...)
	return t.sol.Converged && t.sol.Stable
}
