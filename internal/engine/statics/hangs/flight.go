package hangs

import (
	"math"

	"hangtrue/internal/engine/statics"
)

// flightLoads is the limit load of an external load's attachment, as a steady
// force on the load that swings it out.
func flightLoads() []Problem {
	const weight = 1000
	sin, cos := math.Sincos(math.Pi / 6)
	m := &statics.Model{Gravity: gravity, Fixed: []statics.Vec{{}}, Bodies: []statics.Body{upright(weight, statics.Vec{})}}
	m.Lines = []statics.Line{stiff(fixed(0), on(0, statics.Vec{}), 10, weight)}
	// The weight itself is one part of the 2.5 W.
	m.Loads = []statics.Load{{Body: 0, Force: statics.Vec{2.5 * weight * sin, 0, -2.5*weight*cos + weight}}}
	return []Problem{{
		ID: "limit-load-2.5-g-30-deg", Topic: "load pulling with 2.5 times its weight at 30° from the vertical",
		Formula: "2.5·cos 30° down, 2.5·sin 30° sideways", Flag: Memory,
		Source: "14 CFR 29.865: 2.5 limit load factor (memory), up to 30° from the vertical (seen); the components worked out",
		Model:  m,
		Values: []Value{
			{"pull downwards", "W", 2.165, within(2.165, 3), printed, func(h *Hung) float64 { return -h.Pull[0][2] / weight }},
			{"pull sideways", "W", 1.25, 5e-6, stretch, func(h *Hung) float64 { return h.Pull[0][0] / weight }},
			{"angle from the vertical", "deg", 30, 1e-4, "1e-4°, for the residual", func(h *Hung) float64 { return 90 - slope(h, 0) }},
			{"tension", "W", 2.5, 1e-5, stretch, func(h *Hung) float64 { return h.Lines[0].Tension / weight }},
		},
	}}
}
