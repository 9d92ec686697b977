package walk

import (
	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/paper/draw"
)

// Lines are the lines of every leg as a trace draws them.
func Lines(r *rig.Rig, t inspect.Traced, width, height float64) map[string][]run {
	x := newTracing(r, t, draw.Rect{W: width, H: height})
	out := map[string][]run{}
	for i := range x.t.Strands {
		s := &x.t.Strands[i]
		out[s.Leg] = x.runs(s, s.Seat, s.To)
	}
	return out
}

// Meet reports whether two legs' lines cross.
func Meet(a, b []run) bool {
	_, ok := meet(a, b)
	return ok
}
