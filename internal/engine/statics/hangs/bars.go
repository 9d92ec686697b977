package hangs

import (
	"fmt"
	"math"

	"hangtrue/internal/engine/statics"
)

// tiltingBars are bars on two inextensible legs, free to tilt in the plane of
// the legs. In the model each leg is two, side by side from hooks of their own
// and 1 m apart, so that the bar cannot roll over where its CG is above its
// lugs; their pulls are added.
func tiltingBars() []Problem {
	var list []Problem
	for i, c := range []struct {
		a, b         statics.Vec
		l1, l2       float64
		tilt, t1, t2 float64
	}{
		{statics.Vec{-2, 0, .5}, statics.Vec{2, 0, .5}, 4, 4, 0, 577.350, 577.350},
		{statics.Vec{-1.5, 0, .6}, statics.Vec{1, 0, .6}, 3, 3, 4.297, 458.560, 638.386},
		{statics.Vec{-1.5, 0, -.5}, statics.Vec{1, 0, -.5}, 3, 3, 6.405, 412.727, 680.445},
		{statics.Vec{-2, 0, .5}, statics.Vec{1, 0, .5}, 4, 3, 10.841, 397.178, 690.391},
	} {
		const weight = 1000
		m := &statics.Model{
			Gravity: gravity, Fixed: []statics.Vec{{0, .5, 0}, {0, -.5, 0}},
			Bodies: []statics.Body{upright(weight, statics.Vec{})},
		}
		for side, y := range []float64{.5, -.5} {
			a, b := c.a, c.b
			a[1], b[1] = y, y
			m.Lines = append(m.Lines, stiff(fixed(side), on(0, a), c.l1, weight), stiff(fixed(side), on(0, b), c.l2, weight))
		}
		both := func(line int) func(*Hung) float64 {
			return func(h *Hung) float64 { return h.Lines[line].Tension + h.Lines[line+2].Tension }
		}
		list = append(list, Problem{
			ID:    fmt.Sprintf("tilting-bar-%d", i+1),
			Topic: fmt.Sprintf("bar with lugs at (%g, %g) and (%g, %g) from its CG on legs of %g and %g, weight 1000", c.a[0], c.a[2], c.b[0], c.b[2], c.l1, c.l2),
			Formula: "hook, lugs and legs make a rigid triangle that hangs with the CG plumb under the hook; " +
				"the pulls follow from the balance of forces", Flag: Derived,
			Source: "plane geometry worked out apart from the program",
			Model:  m,
			Values: []Value{
				{"tilt", "deg", c.tilt, 6e-4, "half of the last digit given, and 1e-4° for the stretch of stiff lines", func(h *Hung) float64 {
					x := h.Bodies[0].Turn.Rotate(statics.Vec{1, 0, 0})
					return math.Abs(math.Asin(x[2])) * 180 / math.Pi
				}},
				{"pull on the first leg", "N", c.t1, within(c.t1, 3), printed, both(0)},
				{"pull on the second leg", "N", c.t2, within(c.t2, 3), printed, both(1)},
			},
		})
	}
	return list
}
