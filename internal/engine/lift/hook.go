package lift

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
)

// Ring is what goes into a hook: a ring, shackle or the eye of an apex fitting.
type Ring struct {
	Inside *float64 // m, smallest clear width inside
	Stock  *float64 // m, thickness of its material
}

// Fit says whether a ring goes into the hook: its inside over the hook's load
// beam, its stock through the hook's opening. Any size not entered is cannot
// tell.
func (h Hook) Fit(r Ring, show quantity.System) (rig.Result, string) {
	var missing, wrong []string
	hold := func(small, large *float64, smallName, largeName, rule string) {
		switch {
		case small == nil:
			missing = append(missing, smallName)
		case large == nil:
			missing = append(missing, largeName)
		case *small >= *large:
			wrong = append(wrong, fmt.Sprintf("%s %s, %s %s: %s", smallName, show.Size(*small), largeName, show.Size(*large), rule))
		}
	}
	hold(h.Section, r.Inside, "the hook's section", "the ring's inside", "the ring does not go over the load beam")
	hold(r.Stock, h.Inside, "the ring's stock", "the hook's opening", "the ring does not go through the opening")
	switch {
	case len(wrong) > 0:
		return rig.Over, strings.Join(wrong, "; ")
	case len(missing) > 0:
		return rig.CannotTell, "not entered: " + strings.Join(missing, ", ")
	}
	return rig.Within, "it fits by the sizes entered; whether it may be used on this hook is for the flight manual to say"
}

// Spacer says whether an apex fitting of this kind takes its spacer on this
// hook: "required", "forbidden" or "not stated".
func (a *Aircraft) Spacer(apex, hook string) string {
	for _, r := range a.spec.Spacers {
		if r.Apex == apex && r.Hook == hook {
			if r.Required {
				return "required"
			}
			return "forbidden"
		}
	}
	return "not stated"
}

// WithLoad returns the aircraft with loads on its hooks and items aboard beyond
// crew and kit, at this fuel, kg. The error is a [Problem].
func (a *Aircraft) WithLoad(hung []Hung, aboard []Item, fuel float64) (Hanging, error) {
	for i, h := range hung {
		if _, ok := a.Hook(h.Hook); !ok {
			return Hanging{}, Problem{fmt.Sprintf("loads[%d].hook", i), fmt.Sprintf("there is no hook %q", h.Hook), "one of the aircraft's hooks"}
		}
	}
	return a.hanging(hung, aboard, fuel), nil
}

// Hung is a load on one hook.
type Hung struct {
	What string
	Hook string
	Mass float64 // kg
}

// Hanging is the aircraft with some loads on its hooks.
type Hanging struct {
	After    string // what was set down last; "" before the first
	Hung     []Hung
	Gross    float64            // kg
	Loads    map[string]float64 // N, by hook
	CG       *Vec               // of the aircraft with its loads at their hooks; nil where a place is not entered
	Findings []rig.Finding
}

// SetDowns returns the aircraft with all its loads, and after each set-down, in
// the order of the list. Fuel is what there is at each of these times, kg, one
// more than there are loads. The error is a [Problem].
func (a *Aircraft) SetDowns(hung []Hung, fuel []float64) ([]Hanging, error) {
	if len(fuel) != len(hung)+1 {
		return nil, Problem{"fuel", fmt.Sprintf("%d figures of fuel for %d loads", len(fuel), len(hung)), "one at the start and one after each set-down"}
	}
	for i, h := range hung {
		if _, ok := a.Hook(h.Hook); !ok {
			return nil, Problem{fmt.Sprintf("loads[%d].hook", i), fmt.Sprintf("there is no hook %q", h.Hook), "one of the aircraft's hooks"}
		}
	}
	var out []Hanging
	for i := range fuel {
		x := a.hanging(hung[i:], nil, fuel[i])
		if i > 0 {
			x.After = hung[i-1].What
		}
		out = append(out, x)
	}
	return out, nil
}

func (a *Aircraft) hanging(hung []Hung, aboard []Item, fuel float64) Hanging {
	s, show := &a.spec, a.spec.Show
	x := Hanging{Hung: hung, Loads: map[string]float64{}, Gross: a.Operating() + fuel}
	for _, it := range aboard {
		x.Gross += it.Mass
	}
	find := func(level rig.Level, code, about, format string, args ...any) {
		x.Findings = append(x.Findings, rig.Finding{Level: level, Code: code, About: about, Text: fmt.Sprintf(format, args...)})
	}
	items := slices.Concat([]Item{s.Empty}, s.Crew, s.Kit, aboard, []Item{{"fuel", fuel, s.Fuel.At}})
	var used []string
	for _, h := range hung {
		hook, _ := a.Hook(h.Hook)
		x.Gross += h.Mass
		x.Loads[h.Hook] += h.Mass * quantity.StandardGravity
		items = append(items, Item{h.What, h.Mass, hook.At})
		if !slices.Contains(used, h.Hook) {
			used = append(used, h.Hook)
		}
	}
	all := 0.0
	for _, id := range used {
		hook, _ := a.Hook(id)
		all += x.Loads[id]
		switch {
		case hook.Rated == nil:
			find(rig.Unknown, "limit-missing", "hook "+id, "no rating is entered")
		case x.Loads[id] > *hook.Rated*(1+1e-9):
			find(rig.Exceeded, "limit-passed", "hook "+id, "carries %s and is rated %s", show.Force(x.Loads[id]), show.Force(*hook.Rated))
		}
	}
	if len(used) > 1 {
		about := "hooks " + strings.Join(used, " and ")
		switch t := s.together(used); {
		case t == nil:
			find(rig.Unknown, "limit-missing", about, "what these hooks may carry together is not entered")
		case all > t.Rated*(1+1e-9):
			find(rig.Exceeded, "limit-passed", about, "carry %s together and are rated %s", show.Force(all), show.Force(t.Rated))
		}
	}
	limit := s.External
	if len(hung) == 0 {
		limit = s.Gross
	}
	switch {
	case limit == nil:
		find(rig.Unknown, "limit-missing", "gross weight", "no limit is entered")
	case x.Gross > *limit*(1+1e-9):
		find(rig.Exceeded, "limit-passed", "gross weight", "%s, and %s are allowed", show.Mass(x.Gross), show.Mass(*limit))
	}
	x.CG = balance(items)
	switch {
	case s.Balance == nil:
		find(rig.Unknown, "limit-missing", aboutCG, "no limits are entered")
	case x.CG == nil:
		find(rig.Unknown, "place-missing", aboutCG, "not every place of weight, crew, kit, fuel and hooks is entered")
	case x.CG[0] < s.Balance[0]-1e-9 || x.CG[0] > s.Balance[1]+1e-9:
		find(rig.Exceeded, "limit-passed", aboutCG, "lies at %s, and %s to %s are allowed", show.Length(x.CG[0]), show.Length(s.Balance[0]), show.Length(s.Balance[1]))
	}
	return x
}

// aboutCG is what findings about balance are about.
const aboutCG = "aircraft's CG"

// balance returns the CG of items, nil where one that weighs something has no
// place.
func balance(items []Item) *Vec {
	var sum Vec
	mass := 0.0
	for _, it := range items {
		if it.Mass == 0 {
			continue
		}
		if it.At == nil {
			return nil
		}
		mass += it.Mass
		for k := range sum {
			sum[k] += it.Mass * it.At[k]
		}
	}
	return &Vec{sum[0] / mass, sum[1] / mass, sum[2] / mass}
}

// CertifiedPull returns the forces that 14 CFR 27.865 and 29.865 demand of the
// attaching means for a jettisonable load that is not a person, N: 2.5 times
// the maximum external load at an angle from the vertical of at least 30
// degrees, as its part along the vertical and its part across. The 2.5 is from
// memory.
func CertifiedPull(load float64) (vertical, across float64) {
	const factor, angle = 2.5, 30 * quantity.Degree
	return factor * load * math.Cos(angle), factor * load * math.Sin(angle)
}

// LoadClass is a class of rotorcraft-load combinations of 14 CFR 133.
type LoadClass string

// The classes, by 14 CFR 1.1.
const (
	ClassA LoadClass = "A" // cannot move freely, cannot be jettisoned, does not extend below the landing gear
	ClassB LoadClass = "B" // jettisonable and lifted free of land or water
	ClassC LoadClass = "C" // jettisonable and stays in contact with land or water
	ClassD LoadClass = "D" // another than A, B or C, such as a person carried outside, with the operator's approval
)

// ClassOf returns the class of a load of goods: A where it is fixed to the
// aircraft, C where it drags on land or water, B where it hangs free. A load
// that hangs and cannot be jettisoned is none of these and ok is false; a load
// with people on it is D whatever else it is.
func ClassOf(people, fixed, jettisonable, drags bool) (class LoadClass, ok bool) {
	switch {
	case people:
		return ClassD, true
	case fixed && !jettisonable:
		return ClassA, true
	case !jettisonable:
		return "", false
	case drags:
		return ClassC, true
	}
	return ClassB, true
}
