package fault

import (
	"fmt"

	"hangtrue/internal/engine/rig"
)

// Kind is a sort of fault.
type Kind string

// The kinds of fault.
const (
	CountOff     Kind = "count-off"
	LegLost      Kind = "leg-lost"
	PointLost    Kind = "point-lost"
	HookLost     Kind = "hook-lost"
	PointsTraded Kind = "points-traded" // two legs led to each other's points
	SeatsTraded  Kind = "seats-traded"  // two legs in each other's seats
)

// MaxLinks is how many links off a count is tried either way, unless told
// otherwise.
const MaxLinks = 10

// Shock stands with every fault in which something lets go.
const Shock = "at rest, after it has let go; the shock as it lets go is left out, and pulls far more for a moment"

// Fault is one thing different from the plan.
type Fault struct {
	Kind  Kind
	Leg   string  // of CountOff, LegLost, and the first of two traded
	Other string  // the second of two traded
	Links int     // of CountOff: held so many links higher (+) or lower (−) than planned
	Point rig.Ref // of PointLost
	Hook  string  // of HookLost: the apex
}

// What says the fault in words, with the counts of this rig.
func (f Fault) What(r *rig.Rig) string {
	switch f.Kind {
	case CountOff:
		if l, ok := r.Leg(f.Leg); ok && l.Count != nil {
			return fmt.Sprintf("leg %s held at link %d instead of %d", f.Leg, *l.Count+f.Links, *l.Count)
		}
		return fmt.Sprintf("leg %s held %+d links off", f.Leg, f.Links)
	case LegLost:
		return fmt.Sprintf("leg %s lost", f.Leg)
	case PointLost:
		return fmt.Sprintf("lift point %s lost", f.Point)
	case HookLost:
		return fmt.Sprintf("hook of %s opens alone", f.Hook)
	case PointsTraded:
		return fmt.Sprintf("legs %s and %s led to each other's points", f.Leg, f.Other)
	case SeatsTraded:
		return fmt.Sprintf("legs %s and %s in each other's seats", f.Leg, f.Other)
	}
	return string(f.Kind)
}

// LetsGo reports whether something lets go in this fault, so that its answer
// at rest leaves out a shock.
func (f Fault) LetsGo() bool {
	return f.Kind == LegLost || f.Kind == PointLost || f.Kind == HookLost
}

// On returns the rig with the fault. It fails where the rig cannot have it.
func (f Fault) On(r *rig.Rig) (*rig.Rig, error) {
	switch f.Kind {
	case CountOff:
		l, ok := r.Leg(f.Leg)
		if !ok || l.Count == nil {
			return nil, fmt.Errorf("fault: leg %q has no count", f.Leg)
		}
		return r.WithCounts(map[string]int{f.Leg: *l.Count + f.Links})
	case LegLost:
		return r.WithoutLeg(f.Leg)
	case PointLost:
		return r.WithoutPoint(f.Point)
	case HookLost:
		return r.WithoutApex(f.Hook)
	case PointsTraded:
		return r.WithPointsSwapped(f.Leg, f.Other)
	case SeatsTraded:
		return r.WithSeatsSwapped(f.Leg, f.Other)
	}
	return nil, fmt.Errorf("fault: there is no fault %q", f.Kind)
}

// List returns the single faults that a rig can have, in the order of its file:
// every leg with a chain one to maxLinks links off either way, as far as its
// chain goes; every leg lost; every lift point that a leg holds lost; every hook
// lost where there are several; every pair of legs led to each other's points;
// every pair of legs of one apex in each other's seats, where both seats are
// entered.
func List(r *rig.Rig, maxLinks int) []Fault {
	var list []Fault
	legs := r.Legs()
	for i := range legs {
		l := &legs[i]
		if l.Chain == nil || l.Count == nil {
			continue
		}
		for by := -maxLinks; by <= maxLinks; by++ {
			if n := *l.Count + by; by != 0 && n >= 1 && n <= l.Chain.Links-1 {
				list = append(list, Fault{Kind: CountOff, Leg: l.ID, Links: by})
			}
		}
	}
	for i := range legs {
		list = append(list, Fault{Kind: LegLost, Leg: legs[i].ID})
	}
	seen := map[rig.Ref]bool{}
	for i := range legs {
		held := legs[i].To
		if legs[i].From.Point != "" {
			held = append(held[:len(held):len(held)], *legs[i].From)
		}
		for _, ref := range held {
			if !seen[ref] {
				seen[ref] = true
				list = append(list, Fault{Kind: PointLost, Point: ref})
			}
		}
	}
	if apexes := r.Apexes(); len(apexes) > 1 {
		for i := range apexes {
			list = append(list, Fault{Kind: HookLost, Hook: apexes[i].ID})
		}
	}
	for i := range legs {
		for k := i + 1; k < len(legs); k++ {
			list = append(list, Fault{Kind: PointsTraded, Leg: legs[i].ID, Other: legs[k].ID})
		}
	}
	for i := range legs {
		for k := i + 1; k < len(legs); k++ {
			if *legs[i].From == *legs[k].From && legs[i].Seat != nil && legs[k].Seat != nil && *legs[i].Seat != *legs[k].Seat {
				list = append(list, Fault{Kind: SeatsTraded, Leg: legs[i].ID, Other: legs[k].ID})
			}
		}
	}
	return list
}
