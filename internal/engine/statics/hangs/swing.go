package hangs

import (
	"fmt"
	"math"

	"hangtrue/internal/engine/statics"
)

// kilograms is a body by its mass instead of its weight, with radii of
// gyration.
func kilograms(mass float64, gyration statics.Vec) statics.Body {
	return statics.Body{Mass: mass, Gyration: gyration, Ground: statics.Pose{Turn: statics.Identity}}
}

// omega returns the circular frequency of mode i, rad/s, or not-a-number where
// there are not so many.
func omega(h *Hung, i int) float64 {
	if i >= len(h.Modes) {
		return math.NaN()
	}
	return 2 * math.Pi * h.Modes[i].Frequency
}

// yaw returns the circular frequency of the mode that mostly turns body 0
// about the vertical, rad/s; not-a-number where there is none.
func yaw(h *Hung) float64 {
	for i := range h.Modes {
		if h.Modes[i].Energy[5] > 0.5 {
			return omega(h, i)
		}
	}
	return math.NaN()
}

// bounce returns the frequency of the mode that mostly moves body 0 up and
// down, Hz; not-a-number where there is none.
func bounce(h *Hung) float64 {
	for i := range h.Modes {
		if h.Modes[i].Energy[2] > 0.5 {
			return h.Modes[i].Frequency
		}
	}
	return math.NaN()
}

// swings are small motions about the hanging position.
func swings() []Problem {
	list := []Problem{}
	const text = "closed form for small motions"
	for _, c := range []struct{ length, period float64 }{{10, 6.3448}, {20, 8.9729}} {
		m := &statics.Model{Gravity: gravity, Fixed: []statics.Vec{{}}, Bodies: []statics.Body{kilograms(500, statics.Vec{})}}
		m.Lines = []statics.Line{stiff(fixed(0), on(0, statics.Vec{}), c.length, 500*gravity)}
		list = append(list, Problem{
			ID: fmt.Sprintf("simple-pendulum-%g", c.length), Topic: fmt.Sprintf("a small weight on a line of %g m", c.length),
			Formula: "T = 2π·√(L/g)", Source: text, Flag: Derived, Model: m,
			Values: []Value{{"period", "s", c.period, within(c.period, 4), printed, func(h *Hung) float64 { return 2 * math.Pi / omega(h, 0) }}},
		})
	}

	k := math.Sqrt(4.0 / 6)
	cube := &statics.Model{Gravity: gravity, Fixed: []statics.Vec{{}}, Bodies: []statics.Body{kilograms(2000, statics.Vec{k, k, k})}}
	for _, x := range []float64{1, -1} {
		for _, y := range []float64{1, -1} {
			cube.Lines = append(cube.Lines, stiff(fixed(0), on(0, statics.Vec{x, y, 1}), math.Sqrt(1+1+5*5), 2000*gravity))
		}
	}
	list = append(list, Problem{
		ID: "compound-pendulum-cube", Topic: "a cube of 2 m on four stiff legs, its CG 6 m under the hook",
		Formula: "T = 2π·√((k² + h²)/(g·h)), k² = s²/6", Source: text, Flag: Derived, Model: cube,
		Values: []Value{
			{"period", "s", 4.95998, within(4.95998, 5) + 1e-5, "half of the last digit given, and 2e-6 of the value: stiff legs give a little", func(h *Hung) float64 { return 2 * math.Pi / omega(h, 0) }},
			{"number of modes: all but turning about the vertical", "", 5, 0, "a count", func(h *Hung) float64 { return float64(len(h.Modes)) }},
		},
	})

	rod := &statics.Model{Gravity: gravity, Bodies: []statics.Body{kilograms(10, statics.Vec{0, math.Sqrt(1.0 / 12), math.Sqrt(1.0 / 12)})}}
	for i, x := range []float64{.25, -.25} {
		rod.Fixed = append(rod.Fixed, statics.Vec{x, 0, 0})
		rod.Lines = append(rod.Lines, stiff(fixed(i), on(0, statics.Vec{x, 0, 0}), 1.5, 10*gravity))
	}
	list = append(list, Problem{
		ID: "bifilar-rod", Topic: "a rod of 1 m on two plumb lines of 1.5 m, 0.5 m apart, turning",
		Formula: "ω² = m·g·r²/(I·h)", Source: text, Flag: Derived, Model: rod,
		Values: []Value{{"period", "s", 2.837491, within(2.837491, 6), printed, func(h *Hung) float64 { return 2 * math.Pi / yaw(h) }}},
	})

	parallel := &statics.Model{Gravity: gravity, Bodies: []statics.Body{kilograms(1000, statics.Vec{1.2, 1.2, 1.2})}}
	for i := range 4 {
		_, at := onCircle(i, 4)
		at = statics.Scale(1.5, at)
		parallel.Fixed = append(parallel.Fixed, at)
		parallel.Lines = append(parallel.Lines, stiff(fixed(i), on(0, at), 6, 1000*gravity))
	}
	list = append(list, Problem{
		ID: "four-parallel-legs", Topic: "a load on four plumb legs of 6 m at a radius of 1.5 m, radius of gyration 1.2 m, turning",
		Formula: "ω = (r/k)·√(g/h)", Source: text, Flag: Derived, Model: parallel,
		Values: []Value{{"circular frequency", "rad/s", 1.598066, within(1.598066, 6), printed, yaw}},
	})

	for _, c := range []struct {
		sag, hz  float64
		decimals int
	}{{.05, 2.229, 3}, {.1, 1.576, 3}, {.2, 1.1145, 4}} {
		m := &statics.Model{Gravity: gravity, Fixed: []statics.Vec{{}}, Bodies: []statics.Body{kilograms(800, statics.Vec{})}}
		m.Lines = []statics.Line{{Path: []statics.Anchor{fixed(0), on(0, statics.Vec{})}, Length: 10, Stiffness: 800 * gravity / c.sag}}
		list = append(list, Problem{
			ID: fmt.Sprintf("bounce-%g-mm", 1000*c.sag), Topic: fmt.Sprintf("a load that stretches its line by %g mm, up and down", 1000*c.sag),
			Formula: "f = √(g/δ)/2π", Source: text, Flag: Derived, Model: m,
			Values: []Value{{"frequency", "Hz", c.hz, within(c.hz, c.decimals), printed, bounce}},
		})
	}

	double := &statics.Model{Gravity: gravity, Fixed: []statics.Vec{{}}, Bodies: []statics.Body{kilograms(100, statics.Vec{}), kilograms(2000, statics.Vec{})}}
	double.Bodies[1].Ground.Origin = statics.Vec{0, 0, -5}
	double.Lines = []statics.Line{
		stiff(fixed(0), on(0, statics.Vec{}), 10, 2100*gravity),
		stiff(on(0, statics.Vec{}), on(1, statics.Vec{}), 5, 2100*gravity),
	}
	const rounded = "half of the last digit given, and 1e-6 of the value for the stretch of stiff lines"
	list = append(list, Problem{
		ID: "double-pendulum", Topic: "a hook block of 100 kg on 10 m, 2,000 kg on 5 m under it",
		Formula: "m₁·L₁·L₂·ω⁴ − (m₁ + m₂)·g·(L₁ + L₂)·ω² + (m₁ + m₂)·g² = 0", Source: text, Flag: Derived, Model: double,
		Values: []Value{
			{"circular frequency, slow", "rad/s", .812924, 0.51e-6 + 1e-6, rounded, func(h *Hung) float64 { return omega(h, 0) }},
			{"circular frequency, fast", "rad/s", 7.817995, 0.51e-6 + 8e-6, rounded, func(h *Hung) float64 { return omega(h, 2) }},
		},
	})
	return list
}
