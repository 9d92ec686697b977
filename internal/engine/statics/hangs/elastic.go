package hangs

import (
	"fmt"
	"math"

	"hangtrue/internal/engine/statics"
)

// elasticLegs are loads on three and four legs of given stiffness. Four legs to
// one rigid body are one more than statics can share out, so their stretch
// decides.
func elasticLegs() []Problem {
	const (
		weight  = 20000
		formula = "least sum of the legs' stored energy ½·EA/L·(l − L)² and the load's potential energy"
		source  = "minimum of that energy computed apart from the program"
	)
	build := func(ea float64, cg statics.Vec, lugs []statics.Vec, lengths []float64) *statics.Model {
		m := &statics.Model{Gravity: gravity, Fixed: []statics.Vec{{}}, Bodies: []statics.Body{upright(weight, cg)}}
		for i, p := range lugs {
			m.Lines = append(m.Lines, statics.Line{Path: []statics.Anchor{fixed(0), on(0, p)}, Length: lengths[i], Stiffness: ea / lengths[i]})
		}
		return m
	}
	pulls := func(want []float64, decimals int, tolerance float64, why string) []Value {
		var list []Value
		for i, t := range want {
			v := Value{fmt.Sprintf("pull on leg %d", i+1), "N", t, 0.5001*math.Pow(10, -float64(decimals)) + tolerance, why, tension(i)}
			if t == 0 {
				v.Tolerance, v.Why = 0, "a slack leg carries exactly nothing"
			}
			list = append(list, v)
		}
		return list
	}
	lugs := []statics.Vec{{2, 1.5, .8}, {2, -1.5, .8}, {-2, 1.5, .8}, {-2, -1.5, .8}}
	even := []float64{4.8, 4.8, 4.8, 4.8}
	off := statics.Vec{.3, .2, 0}
	const digits = "half of the last digit given, and 1e-3 N for two minimisers"
	var list []Problem
	for _, c := range []struct {
		id, topic string
		ea        float64
		cg        statics.Vec
		lengths   []float64
		want      []float64
	}{
		{"four-legs-centred", "four legs of EA 1e6 N, CG centred", 1e6, statics.Vec{}, even, []float64{5844.55, 5844.55, 5844.55, 5844.55}},
		{"four-legs-off", "four legs of EA 1e6 N, CG off by 0.3 and 0.2 m", 1e6, off, even, []float64{7209.40, 5913.52, 5745.20, 4447.43}},
		{"four-legs-off-stiff", "four legs of EA 1e9 N, CG off by 0.3 and 0.2 m", 1e9, off, even, []float64{7226.02, 5922.78, 5759.87, 4456.63}},
		{"four-legs-one-short", "four legs of EA 1e6 N, one 20 mm short", 1e6, statics.Vec{}, []float64{4.78, 4.8, 4.8, 4.8}, []float64{6896.15, 4794.55, 4803.49, 6892.93}},
		{"four-legs-one-short-stiff", "four legs of EA 2e7 N, one 20 mm short: two carry all", 2e7, statics.Vec{}, []float64{4.78, 4.8, 4.8, 4.8}, []float64{11711.06, 0, 0, 11730.57}},
		{"four-legs-one-long", "four legs of EA 1e6 N, one 50 mm long", 1e6, statics.Vec{}, []float64{4.85, 4.8, 4.8, 4.8}, []float64{3196.81, 8469.33, 8447.11, 3242.83}},
	} {
		p := Problem{
			ID: c.id, Topic: c.topic, Formula: formula, Source: source, Flag: Derived,
			Model: build(c.ea, c.cg, lugs, c.lengths), Values: pulls(c.want, 2, 1e-3, digits),
		}
		if c.id == "four-legs-centred" {
			p.Values = append(p.Values, Value{"angle from the horizontal", "deg", 58.815, 0.00051, "half of the last digit given", func(h *Hung) float64 { return slope(h, 0) }})
		}
		list = append(list, p)
	}
	third := weight / 3.0 / math.Sin(math.Pi/3)
	return append(list,
		Problem{
			ID: "three-legs-uneven", Topic: "three legs of 4.8 m, EA 1e9 N, lugs unevenly placed", Formula: formula, Source: source, Flag: Derived,
			Model:  build(1e9, statics.Vec{}, []statics.Vec{{1.8, -.1, .8}, {-1.2, 1.4, .8}, {-1.2, -1.6, .8}}, even[:3]),
			Values: pulls([]float64{8604.71, 7170.59, 5944.59}, 2, 1e-3, digits),
		},
		Problem{
			ID: "three-legs-even", Topic: "three legs of 4 m to an equilateral triangle of radius 2 m", Flag: Derived,
			Formula: "pull = W/3/sin 60°", Source: "balance of forces",
			Model: build(1e9, statics.Vec{}, []statics.Vec{{2, 0, .5}, {-1, math.Sqrt(3), .5}, {-1, -math.Sqrt(3), .5}}, []float64{4, 4, 4}),
			Values: pulls([]float64{third, third, third}, 9, 4e-6*third,
				"4e-6 of the value: legs of EA 1e9 N stretch by 8e-6, which makes them that much steeper"),
		},
	)
}
