package inspect

import (
	"maps"
	"strconv"

	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/quantity"
)

// Figure names the drawing that shows a part in a state, with its parameters.
type Figure struct {
	Name string
	// Params hold the attribute and its state, what the catalogue adds, and of a
	// leg's parts what this rig has: links, pitch (in mm), in-hook (the link in
	// the hook in this state), tail (free links beyond it), seat-number; of a tie
	// its duty.
	Params map[string]string
}

// Figure returns the figure of a part in one state of one attribute, all other
// attributes being as planned. ok is false where the kind has none.
func (v *Survey) Figure(p *Part, a *part.Attribute, s *part.State) (f Figure, ok bool) {
	if p.Kind.Figure == "" {
		return Figure{}, false
	}
	f = Figure{p.Kind.Figure, maps.Clone(s.Draw)}
	if f.Params == nil {
		f.Params = map[string]string{a.ID: s.ID}
	}
	if p.Kind.Duty != part.NoDuty {
		f.Params["duty"] = string(p.Kind.Duty)
	}
	leg, isLeg := v.Rig.Leg(p.On.Leg)
	if !isLeg {
		return f, true
	}
	if leg.Seat != nil {
		f.Params["seat-number"] = strconv.Itoa(*leg.Seat)
	}
	if leg.Chain == nil {
		return f, true
	}
	f.Params["links"] = strconv.Itoa(leg.Chain.Links)
	f.Params["pitch"] = quantity.FormatNumber(rounded(leg.Chain.Pitch * 1000))
	if leg.Count != nil {
		n := *leg.Count
		if s.Meaning == part.CountOff {
			n += s.By
		}
		f.Params["in-hook"] = strconv.Itoa(n)
		f.Params["tail"] = strconv.Itoa(n - 1)
	}
	return f, true
}
