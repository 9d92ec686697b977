package counts

import (
	"context"
	"fmt"
	"slices"

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

// Chart solves every pair of counts of two groups, down to the first link: of
// the rig's two groups, or of the two in o.Pair, the other legs staying as
// planned. It fails for a rig with another number of groups, for two groups that
// share a leg, and where a count outside them is open.
func Chart(ctx context.Context, r *rig.Rig, o Options) (*Map, error) {
	groups, err := pair(r, o)
	if err != nil {
		return nil, err
	}
	if o.Low == 0 {
		o.Low = 1
	}
	if err := o.narrow(r, groups); err != nil {
		return nil, err
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
	m.Points, _, err = t.all(ctx, list, func(n int) {
		if o.Progress != nil {
			o.Progress(n, len(list))
		}
	})
	return m, err
}

// pair returns the two groups of a map.
func pair(r *rig.Rig, o Options) ([]Group, error) {
	groups := slices.Clone(o.Pair)
	if groups == nil {
		var err error
		if groups, err = Groups(r, o.Each); err != nil {
			return nil, err
		}
	}
	if len(groups) != 2 {
		return nil, fmt.Errorf("counts: a count map needs two groups of legs and this rig has %d; put legs that keep the same count into one group", len(groups))
	}
	in := map[string]bool{}
	for _, g := range groups {
		for _, id := range g.IDs {
			if in[id] {
				return nil, fmt.Errorf("counts: leg %s is in both groups, %s and %s; a count map needs two that share no leg", id, groups[0].Name, groups[1].Name)
			}
			in[id] = true
		}
	}
	for _, id := range r.Open() {
		if !in[id] {
			return nil, fmt.Errorf("counts: the count of leg %s is open and it is in neither group; set it first, or put it into a group", id)
		}
	}
	return groups, nil
}

// Pairable says why two groups of a rig make no map, or nil.
func Pairable(r *rig.Rig, two []Group) error {
	_, err := pair(r, Options{Pair: two})
	return err
}
