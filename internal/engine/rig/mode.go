package rig

import (
	"math"
	"slices"

	"hangtrue/internal/engine/statics"
)

// motions names the six ways a body can move, in the order of its coordinates.
var motions = [6]string{"swing fore and aft", "swing sideways", "bounce", "roll", "pitch", "twist"}

// nameModes gives each small motion the name of the movement that holds most
// of its kinetic energy, over all bodies together; where the bodies move
// against each other rather than with each other it says so.
func nameModes(r *Rig, modes []statics.Mode) []Mode {
	var out []Mode
	for _, m := range modes {
		type part struct {
			share float64
			name  string
		}
		parts := make([]part, 6)
		total := 0.0
		for k := range parts {
			parts[k].name = motions[k]
		}
		for b := range r.spec.Bodies {
			for k := range 6 {
				parts[k].share += m.Energy[6*b+k]
				total += m.Energy[6*b+k]
			}
		}
		slices.SortStableFunc(parts, func(x, y part) int {
			switch {
			case x.share > y.share:
				return -1
			case x.share < y.share:
				return 1
			}
			return 0
		})
		x := Mode{Frequency: m.Frequency, Shape: parts[0].name}
		for _, p := range parts {
			if p.share > 0.2*total {
				x.Names = append(x.Names, p.name)
			}
		}
		if k := slices.Index(motions[:], parts[0].name); k < 3 && against(r, m, k) {
			x.Shape += ", bodies against each other"
		}
		out = append(out, x)
	}
	return out
}

// against reports whether, along coordinate k, the bodies' momenta cancel more
// than they add up.
func against(r *Rig, m statics.Mode, k int) bool {
	sum, size := 0.0, 0.0
	for b := range r.spec.Bodies {
		p := r.spec.Bodies[b].TotalMass() * m.Shape[6*b+k]
		sum += p
		size += math.Abs(p)
	}
	return len(r.spec.Bodies) > 1 && math.Abs(sum) < 0.5*size
}
