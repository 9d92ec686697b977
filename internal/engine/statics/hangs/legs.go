package hangs

import (
	"fmt"
	"math"

	"hangtrue/internal/engine/statics"
)

// twoLegs are loads on two legs with the CG plumb under the hook.
func twoLegs() []Problem {
	var list []Problem
	for _, c := range []struct {
		id            string
		w, d1, d2, h  float64
		t1, t2        float64
		decimals      int
		flag          Flag
		source, topic string
	}{
		{
			"two-legs-2-3-4", 10000, 2, 3, 4, 6708.204, 5000.000, 3, Derived,
			"moments about each lug; the formula as rigging texts print it", "two legs, lugs 2 and 3 out, hook 4 up",
		},
		{
			"two-legs-2-8-6", 10000, 2, 8, 6, 8432.740, 3333.333, 3, Derived,
			"moments about each lug; the formula as rigging texts print it", "two legs, lugs 2 and 8 out, hook 6 up",
		},
		{
			"two-legs-course-example", 4000, 2, 10, 3, 4006.17, 2320.07, 2, Derived,
			"moments about each lug. A course example prints 4,444 and 3,111 lb for this load, from legs of 4 and 14 ft; " +
				"legs that reach from these lugs to this hook are 3.606 and 10.440 ft", "two legs, lugs 2 and 10 ft out, hook 3 ft up",
		},
	} {
		s1, s2 := math.Hypot(c.d1, c.h), math.Hypot(c.d2, c.h)
		// The CG is below the line of the lugs, so that the bar does not roll.
		lugs := []statics.Vec{{-c.d1, 0, 1}, {c.d2, 0, 1}}
		p := Problem{
			ID: c.id, Topic: c.topic, Flag: c.flag, Source: c.source,
			Formula: "T1 = W·D2·S1 / (H·(D1 + D2)), S² = D² + H²",
			Model:   onOneHook(c.w, lugs, []float64{s1, s2}),
			Values: []Value{
				{"pull on the near leg", "lb", c.t1, within(c.t1, c.decimals), printed, tension(0)},
				{"pull on the far leg", "lb", c.t2, within(c.t2, c.decimals), printed, tension(1)},
			},
		}
		if c.id == "two-legs-course-example" {
			p.Values = append(p.Values,
				Value{"length of the near leg", "ft", 3.606, within(3.606, 3), printed, func(h *Hung) float64 { return h.Lines[0].Length }},
				Value{"length of the far leg", "ft", 10.440, within(10.440, 3), printed, func(h *Hung) float64 { return h.Lines[1].Length }})
		}
		list = append(list, p)
	}
	return list
}

// cone is a load of the given weight on n like legs, each of length 1 and at
// the given angle from the horizontal.
func cone(n int, fromHorizontal, weight float64) *statics.Model {
	sin, cos := math.Sincos(fromHorizontal * math.Pi / 180)
	if math.Abs(cos) < 1e-9 { // plumb: each leg under a hook of its own
		m := &statics.Model{Gravity: gravity, Bodies: []statics.Body{upright(weight, statics.Vec{})}}
		for i := range n {
			at, _ := onCircle(i, n)
			m.Fixed = append(m.Fixed, at)
			m.Lines = append(m.Lines, stiff(fixed(i), on(0, statics.Add(at, statics.Vec{0, 0, .5})), 1, weight))
		}
		return m
	}
	var lugs []statics.Vec
	var lengths []float64
	for i := range n {
		_, at := onCircle(i, n)
		lugs = append(lugs, statics.Vec{cos * at[0], cos * at[1], .5 * sin})
		lengths = append(lengths, 1)
	}
	return onOneHook(weight, lugs, lengths)
}

// onCircle returns the i-th of n evenly spaced points, at radius ½ and 1.
func onCircle(i, n int) (half, whole statics.Vec) {
	sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
	return statics.Vec{.5 * cos, .5 * sin, 0}, statics.Vec{cos, sin, 0}
}

// factors are the load angle factors: what the slope of the legs makes of each
// leg's vertical share, and what it makes of a set's capacity.
func factors() []Problem {
	var list []Problem
	for _, c := range []struct{ angle, factor float64 }{{90, 1.0000}, {75, 1.0353}, {60, 1.1547}, {45, 1.4142}, {30, 2.0000}} {
		list = append(list, Problem{
			ID: fmt.Sprintf("load-angle-factor-%g", c.angle), Topic: fmt.Sprintf("two legs at %g° from the horizontal", c.angle),
			Formula: "pull on a leg = its vertical share · 1/sin H", Flag: Derived,
			Source: "1/sin H worked out; the factors are tabled so in the manner of ASME B30.9",
			Model:  cone(2, c.angle, 2),
			Values: []Value{{"load angle factor", "", c.factor, within(c.factor, 4), printed, tension(0)}},
		})
	}
	for _, c := range []struct {
		legs           int
		fromPlumb, fac float64
	}{{2, 45, 1.4}, {2, 60, 1.0}, {3, 45, 2.1}, {3, 60, 1.5}} {
		list = append(list, Problem{
			ID: fmt.Sprintf("en-818-4-%d-legs-%g", c.legs, c.fromPlumb), Topic: fmt.Sprintf("%d legs at %g° from the vertical", c.legs, c.fromPlumb),
			Formula: "load on the set / pull on a leg = n·cos β", Flag: Seen,
			Source: "EN 818-4, factors for sets of legs, as chain makers' tables reproduce them",
			Model:  cone(c.legs, 90-c.fromPlumb, 1),
			Values: []Value{{
				"load on the set for a unit pull on each leg", "", c.fac, 0.022,
				"the standard rounds down to one decimal: 1.414 to 1.4, 2.121 to 2.1",
				func(h *Hung) float64 { return 1 / h.Lines[0].Tension },
			}},
		})
	}
	return list
}

// angles are the three ways in which the same slope is stated.
func angles() []Problem {
	var list []Problem
	for _, c := range []struct{ horizontal, vertical, included float64 }{{60, 30, 60}, {45, 45, 90}, {30, 60, 120}} {
		const why = "1e-3°, for the stretch of stiff lines"
		list = append(list, Problem{
			ID: fmt.Sprintf("angle-conventions-%g", c.horizontal), Topic: fmt.Sprintf("two legs at %g° from the horizontal", c.horizontal),
			Formula: "from the vertical = 90° − H; between the legs = 180° − 2·H", Flag: Derived,
			Source: "geometry. Tables from the United States (OSHA, ASME B30.9) count from the horizontal, European ones (EN 818-4) " +
				"from the vertical, some give the angle between the legs",
			Model: cone(2, c.horizontal, 1),
			Values: []Value{
				{"angle from the horizontal", "deg", c.horizontal, 1e-3, why, func(h *Hung) float64 { return slope(h, 0) }},
				{"angle from the vertical", "deg", c.vertical, 1e-3, why, func(h *Hung) float64 { return 90 - slope(h, 0) }},
				{"angle between the legs", "deg", c.included, 1e-3, why, func(h *Hung) float64 {
					a := statics.Sub(h.Lines[0].To, h.Lines[0].From)
					b := statics.Sub(h.Lines[1].To, h.Lines[1].From)
					return math.Acos(statics.Dot(a, b)/(statics.Norm(a)*statics.Norm(b))) * 180 / math.Pi
				}},
			},
		})
	}
	return list
}

// baskets are loads in a single sling that passes under them.
func baskets() []Problem {
	basket := func(hooks []statics.Vec) *statics.Model {
		m := &statics.Model{Gravity: gravity, Fixed: hooks, Bodies: []statics.Body{upright(1, statics.Vec{0, 0, -1})}}
		a, b := statics.Vec{-1, 0, 0}, statics.Vec{1, 0, 0}
		m.Lines = []statics.Line{{
			Path:   []statics.Anchor{fixed(0), on(0, a), on(0, b), fixed(len(hooks) - 1)},
			Length: 2 + 2 + 2, Stiffness: 1e6 / 6,
		}}
		return m
	}
	one := Problem{
		ID: "basket-inclined", Topic: "inclined single basket, each part 2 long, lugs 2 apart",
		Formula: "load / pull in the sling = 2·H/L", Flag: Derived,
		Source: "balance of the two parts of one sling. A training manual prints 4·H/L for it, which is a double basket's",
		Model:  basket([]statics.Vec{{}}),
	}
	one.Values = []Value{{"load for a unit pull", "", math.Sqrt(3), 5e-6 * math.Sqrt(3), stretch, func(h *Hung) float64 { return 1 / h.Lines[0].Tension }}}
	two := Problem{
		ID: "basket-vertical", Topic: "vertical single basket",
		Formula: "load / pull in the sling = 2", Flag: Derived,
		Source: "balance of the two parts of one sling",
		Model:  basket([]statics.Vec{{-1, 0, 0}, {1, 0, 0}}),
		Values: []Value{{"load for a unit pull", "", 2, 5e-6 * 2, stretch, func(h *Hung) float64 { return 1 / h.Lines[0].Tension }}},
	}
	return []Problem{two, one}
}
