package counts

import (
	"fmt"
	"slices"

	"hangtrue/internal/engine/rig"
)

// Group is a set of legs that keep the same count.
type Group struct {
	Name    string
	Legs    []int    // indices into the rig's legs
	IDs     []string // their ids
	Low     int      // lowest count tried
	High    int      // highest count tried
	Planned int      // 0 where it is open or the legs differ
	most    int      // highest count that the chains allow
}

// Groups returns the groups whose counts may be chosen. With each, every leg
// with chain is a group of its own. It fails where no leg has a chain.
func Groups(r *rig.Rig, each bool) ([]Group, error) {
	legs := r.Legs()
	open := map[string]bool{}
	for _, id := range r.Open() {
		open[id] = true
	}
	grouped := false
	for _, l := range legs {
		grouped = grouped || l.Group != ""
	}
	var groups []Group
	at := map[string]int{}
	for i, l := range legs {
		if l.Chain == nil {
			continue
		}
		name := l.Group
		switch {
		case each || name == "" && (grouped || len(open) > 0):
			name = l.ID
		case name == "":
			name = endOf(r, l)
		}
		k, seen := at[name]
		if !seen {
			k = len(groups)
			at[name] = k
			groups = append(groups, Group{Name: name, Low: 1, High: 1 << 30})
		}
		low, high := r.CountRange(i)
		g := &groups[k]
		g.Legs = append(g.Legs, i)
		g.IDs = append(g.IDs, l.ID)
		g.Low, g.High = max(g.Low, low), min(g.High, high)
	}
	if len(groups) == 0 {
		return nil, fmt.Errorf("counts: no leg of this rig has a chain, so there is no count to choose")
	}
	if len(open) > 0 && !each {
		groups = onlyOpen(groups, open)
	}
	for k := range groups {
		g := &groups[k]
		if g.High < g.Low {
			return nil, fmt.Errorf("counts: no count suits all legs of group %s", g.Name)
		}
		g.Planned, g.most = planned(legs, g.Legs), g.High
	}
	return groups, nil
}

// Choosable returns the groups from which the two of a count map may be chosen:
// those of the file where it has groups or open counts; otherwise front, rear,
// left, right and every leg for itself.
func Choosable(r *rig.Rig) ([]Group, error) {
	groups, err := Groups(r, false)
	if err != nil {
		return nil, err
	}
	for _, l := range r.Legs() {
		if l.Chain != nil && (l.Group != "" || l.Count == nil) {
			return groups, nil
		}
	}
	each, err := Groups(r, true)
	if err != nil {
		return nil, err
	}
	sides := gathered(r, each, func(l rig.Leg) string { return sideOf(r, l) })
	if len(sides) == 2 {
		if sides[0].Name == "right" {
			sides[0], sides[1] = sides[1], sides[0]
		}
		groups = append(groups, sides...)
	}
	for _, g := range each {
		alone := false
		for _, have := range groups {
			alone = alone || slices.Equal(have.Legs, g.Legs)
		}
		if !alone {
			groups = append(groups, g)
		}
	}
	return groups, nil
}

// gathered puts groups of one leg each together by name; a name whose legs have
// no count in common is left out.
func gathered(r *rig.Rig, each []Group, name func(rig.Leg) string) []Group {
	var out []Group
	for _, g := range each {
		n := name(r.Legs()[g.Legs[0]])
		k := slices.IndexFunc(out, func(o Group) bool { return o.Name == n })
		if k < 0 {
			g.Name = n
			out = append(out, g)
			continue
		}
		o := &out[k]
		o.Legs, o.IDs = append(o.Legs, g.Legs...), append(o.IDs, g.IDs...)
		o.Low, o.High = max(o.Low, g.Low), min(o.High, g.High)
	}
	out = slices.DeleteFunc(out, func(g Group) bool { return g.Low > g.High })
	for k := range out {
		out[k].Planned, out[k].most = planned(r.Legs(), out[k].Legs), out[k].High
	}
	return out
}

// onlyOpen keeps the groups that hold an open count.
func onlyOpen(groups []Group, open map[string]bool) []Group {
	var out []Group
	for _, g := range groups {
		for _, id := range g.IDs {
			if open[id] {
				out = append(out, g)
				break
			}
		}
	}
	return out
}

// planned returns the count that all the legs have, or 0.
func planned(legs []rig.Leg, of []int) int {
	n := 0
	for _, i := range of {
		if legs[i].Count == nil || n != 0 && *legs[i].Count != n {
			return 0
		}
		n = *legs[i].Count
	}
	return n
}

// endOf says whether a leg holds the front or the rear half of the load, by
// its first point against the common CG as things stand on the ground.
func endOf(r *rig.Rig, l rig.Leg) string {
	if ahead(r, l, 0) {
		return "front"
	}
	return "rear"
}

// sideOf likewise says whether it holds the left or the right half.
func sideOf(r *rig.Rig, l rig.Leg) string {
	if ahead(r, l, 1) {
		return "left"
	}
	return "right"
}

// ahead reports whether a leg's first point stands no further back along an
// axis than the common CG.
func ahead(r *rig.Rig, l rig.Leg, axis int) bool {
	mass, sum, at := 0.0, 0.0, 0.0
	for i := range r.Bodies() {
		b := &r.Bodies()[i]
		mass += b.TotalMass()
		sum += b.TotalMass() * b.OnGround(b.Centre())[axis]
		if b.ID == l.To[0].ID {
			p, _ := b.PointAt(l.To[0].Point)
			at = b.OnGround(p.At)[axis]
		}
	}
	return at >= sum/mass
}
