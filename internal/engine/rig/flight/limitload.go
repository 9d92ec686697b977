package flight

import (
	"math"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/statics"
)

// The limit load of an external load's attaching means: 14 CFR 29.865 and
// 27.865. The angle was seen in print, the factor is from memory.
const (
	LimitFactor = 2.5
	LimitAngle  = 30 * quantity.Degree
)

// LimitLoad is the rig pulling in one direction with the limit load.
type LimitLoad struct {
	Direction string  // "straight down", "forward", …
	Down      float64 // pull downwards on the aircraft, N, all hooks together
	Aside     float64 // pull sideways, N
	Hooks     []HookPoint
	Pull      float64 // highest pull along a leg, N
	Leg       string
}

// LimitLoads hangs the rig with the limit load straight down and at the limit
// angle to each side. It says what the attaching means is to be made for, and
// holds nothing against a limit: ratings are working ratings, and the limit
// load is none. It fails where counts are still to be found.
func LimitLoads(r *rig.Rig) ([]LimitLoad, error) {
	var out []LimitLoad
	for _, x := range []struct {
		name string
		to   rig.Vec
	}{{"straight down", rig.Vec{}}, {"forward", rig.Vec{1, 0, 0}}, {"aft", rig.Vec{-1, 0, 0}}, {"left", rig.Vec{0, 1, 0}}, {"right", rig.Vec{0, -1, 0}}} {
		l := LimitLoad{Direction: x.name}
		f := rig.Forces{Gravity: LimitFactor * quantity.StandardGravity, Unjudged: true}
		if x.to != (rig.Vec{}) {
			sin, cos := math.Sincos(LimitAngle)
			f.Gravity *= cos
			for _, b := range r.Bodies() {
				weight := LimitFactor * b.TotalMass() * quantity.StandardGravity
				// A trifle ahead of the CG along the pull, so that the load
				// keeps its heading.
				at := statics.Turn(rig.Vec{0, 0, -b.Heading}).Rotate(x.to)
				f.Loads = append(f.Loads, rig.Load{
					Body: b.ID, At: statics.Add(b.Centre(), statics.Scale(holding, at)), Force: statics.Scale(weight*sin, x.to),
				})
			}
		}
		a, err := rig.HangWith(r, f)
		if err != nil {
			return nil, err
		}
		var pull rig.Vec
		for i := range a.Apexes {
			l.Hooks = append(l.Hooks, HookPoint{a.Apexes[i].ID, a.Apexes[i].Force})
			pull = statics.Add(pull, a.Apexes[i].Force)
		}
		l.Down, l.Aside = -pull[2], statics.Dot(pull, x.to)
		for i := range a.Legs {
			if t := a.Legs[i].Tension; t > l.Pull {
				l.Pull, l.Leg = t, a.Legs[i].ID
			}
		}
		out = append(out, l)
	}
	return out, nil
}
