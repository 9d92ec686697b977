package counts

import (
	"context"
	"fmt"

	"hangtrue/internal/engine/rig"
)

// Map is what every pair of counts of two groups does.
type Map struct {
	A, B   Group   // counts of A run across, those of B up
	Points []Point // row by row: Points[(b−B.Low)·(A.High−A.Low+1) + a−A.Low]
}

// At returns what counts a and b do; both must lie in their groups' ranges.
func (m *Map) At(a, b int) *Point {
	return &m.Points[(b-m.B.Low)*(m.A.High-m.A.Low+1)+a-m.A.Low]
}

// Chart solves every pair of counts of the rig's two groups, down to the first
// link. It fails for a rig with another number of groups.
func Chart(ctx context.Context, r *rig.Rig, o Options) (*Map, error) {
	groups, err := Groups(r, o.Each)
	if err != nil {
		return nil, err
	}
	if len(groups) != 2 {
		return nil, fmt.Errorf("counts: a count map needs two groups of legs and this rig has %d; put legs that keep the same count into one group", len(groups))
	}
	t, err := newTable(r, groups, o.Workers)
	if err != nil {
		return nil, err
	}
	m := &Map{A: groups[0], B: groups[1]}
	var list [][]int
	for b := m.B.Low; b <= m.B.High; b++ {
		for a := m.A.Low; a <= m.A.High; a++ {
			list = append(list, []int{a, b})
		}
	}
	m.Points, err = t.all(ctx, list, func(n int) {
		if o.Progress != nil {
			o.Progress(n, len(list))
		}
	})
	return m, err
}
