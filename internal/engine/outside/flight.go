package outside

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/flight"
)

// flights are the trail of a load in the air, its limit load, and its small
// motions, all through a whole rig.
func flights() []Check {
	return slices.Concat(trails(), limitLoads(), motions())
}

// trails is a flat face of 6 by 6 ft on a load of 4,000 lb that is a point, so
// that the closed form holds at every speed of one sweep.
func trails() []Check {
	sweep := sync.OnceValues(func() (*flight.Sweep, error) {
		face := 1.05 * 36 * quantity.SquareFoot
		r, err := made(rig.Spec{
			Bodies: []rig.Body{{ID: "load", Mass: 4000 * quantity.Pound, CG: &rig.Vec{}, DragArea: &rig.Vec{face, face, face}, Points: []rig.Point{{ID: "P"}}}},
			Legs:   []rig.Leg{stiffLeg("line", nil, rig.Ref{ID: "load", Point: "P"}, 30, 4000*quantity.PoundForce)},
		})
		if err != nil {
			return nil, err
		}
		s, err := flight.New(r, flight.Conditions{})
		if err != nil {
			return nil, err
		}
		return s.Sweep(context.Background(), flight.Span{Fastest: 100 * quantity.Knot, Steps: 5})
	})
	var list []Check
	for i, want := range map[int]float64{3: 6.57, 4: 11.57, 5: 17.74} {
		list = append(list, Check{
			ID: fmt.Sprintf("flight/trail/%d-kt", 20*i), Topic: fmt.Sprintf("face of 6 × 6 ft, Cd 1.05, load of 4,000 lb, %d kt at sea level", 20*i),
			What: "trail angle", Source: "closed form worked out apart: trail = atan(½·ρ·V²·Cd·A/W); Cd of a cube face-on from Hoerner, from memory",
			Flag: Derived, Unit: "deg", Want: want, Tolerance: 0.0051, Why: "half of the last digit given, and 1e-4° for the residual",
			Got: func() (float64, error) {
				s, err := sweep()
				if err != nil {
					return 0, err
				}
				return s.Points[i].Trail / quantity.Degree, nil
			},
		})
	}
	slices.SortFunc(list, func(x, y Check) int { return strings.Compare(x.ID, y.ID) })
	return list
}

func limitLoads() []Check {
	load := func(pull func(flight.LimitLoad) float64) func() (float64, error) {
		return func() (float64, error) {
			r, err := cube()
			if err != nil {
				return 0, err
			}
			all, err := flight.LimitLoads(r)
			if err != nil {
				return 0, err
			}
			i := slices.IndexFunc(all, func(l flight.LimitLoad) bool { return l.Direction == "aft" })
			return pull(all[i]) / r.Weight(), nil
		}
	}
	const (
		topic  = "cube on four legs with the limit load at 30° aft"
		source = "14 CFR 29.865: limit load factor 2.5 (memory), up to 30° from the vertical (seen); the components worked out: 2.5·cos 30°, 2.5·sin 30°"
		why    = "half of the last digit given"
	)
	return []Check{
		{
			ID: "flight/limit-load/down", Topic: topic, What: "pull downwards", Source: source, Flag: Memory, Unit: "W",
			Want: 2.165, Tolerance: 0.00051, Why: why, Got: load(func(l flight.LimitLoad) float64 { return l.Down }),
		},
		{
			ID: "flight/limit-load/aside", Topic: topic, What: "pull sideways", Source: source, Flag: Memory, Unit: "W",
			Want: 1.25, Tolerance: 1e-5, Why: "1e-5: the balance is to 1e-6 of the weight, at 2.5 times it", Got: load(func(l flight.LimitLoad) float64 { return l.Aside }),
		},
	}
}

// motions are pendulums and bounces as modes of whole rigs.
func motions() []Check {
	const source = "closed form for small motions: "
	var list []Check
	add := func(id, topic, what, formula, unit string, want, tolerance float64, make func() (*rig.Rig, error), of func([]rig.Mode) float64) {
		list = append(list, Check{
			ID: "flight/" + id, Topic: topic, What: what, Source: source + formula, Flag: Derived, Unit: unit,
			Want: want, Tolerance: tolerance, Why: "half of the last digit given, and 2e-6 of the value for the stretch of stiff legs",
			Got: func() (float64, error) {
				r, err := make()
				if err != nil {
					return 0, err
				}
				a, err := rig.Hang(r)
				if err != nil {
					return 0, err
				}
				return of(a.Modes), nil
			},
		})
	}
	named := func(name string) func([]rig.Mode) float64 {
		return func(modes []rig.Mode) float64 {
			for _, m := range modes {
				if m.Shape == name {
					return m.Frequency
				}
			}
			return math.NaN()
		}
	}
	period := func(name string) func([]rig.Mode) float64 {
		return func(modes []rig.Mode) float64 { return 1 / named(name)(modes) }
	}
	digits := func(want float64, decimals int) float64 { return 0.51*math.Pow(10, -float64(decimals)) + 2e-6*want }

	for _, c := range []struct{ length, want float64 }{{10, 6.3448}, {20, 8.9729}} {
		add(fmt.Sprintf("simple-pendulum/%g", c.length), fmt.Sprintf("a small weight on a leg of %g m", c.length), "period", "T = 2π·√(L/g)", "s", c.want, digits(c.want, 4),
			func() (*rig.Rig, error) { return onOneLeg(c.length, 1e-6) }, period("swing fore and aft"))
	}
	add("compound-pendulum", "a cube of 2 m on four legs, its CG 6 m under the hook", "period", "T = 2π·√((k² + h²)/(g·h)), k² = s²/6", "s", 4.95998, digits(4.95998, 5),
		cube, period("swing fore and aft"))
	for _, c := range []struct {
		sag, want float64
		decimals  int
	}{{.05, 2.229, 3}, {.1, 1.576, 3}, {.2, 1.1145, 4}} {
		add(fmt.Sprintf("bounce/%g-mm", 1000*c.sag), fmt.Sprintf("a load that stretches its leg by %g mm, up and down", 1000*c.sag), "frequency", "f = √(g/δ)/2π", "Hz", c.want, digits(c.want, c.decimals),
			func() (*rig.Rig, error) { return onOneLeg(10, c.sag/10) }, named("bounce"))
	}
	add("bifilar", "a rod of 1 m on two plumb legs of 1.5 m, 0.5 m apart, turning", "period", "ω² = m·g·r²/(I·h)", "s", 2.837491, digits(2.837491, 6),
		func() (*rig.Rig, error) { return parallel(2, .25, 1.5, math.Sqrt(1.0/12)) }, period("twist"))
	add("four-parallel-legs", "a load on four plumb legs of 6 m at a radius of 1.5 m, radius of gyration 1.2 m, turning", "circular frequency", "ω = (r/k)·√(g/h)", "rad/s", 1.598066, digits(1.598066, 6),
		func() (*rig.Rig, error) { return parallel(4, 1.5, 6, 1.2) },
		func(m []rig.Mode) float64 { return 2 * math.Pi * named("twist")(m) })
	for _, c := range []struct {
		name, shape string
		want        float64
	}{{"slow", "swing fore and aft", .812924}, {"fast", "swing fore and aft, bodies against each other", 7.817995}} {
		add("double-pendulum/"+c.name, "a hook block of 100 kg on 10 m, 2,000 kg on 5 m under it", "circular frequency, "+c.name,
			"m₁·L₁·L₂·ω⁴ − (m₁ + m₂)·g·(L₁ + L₂)·ω² + (m₁ + m₂)·g² = 0", "rad/s", c.want, digits(c.want, 6), block,
			func(m []rig.Mode) float64 { return 2 * math.Pi * named(c.shape)(m) })
	}
	return list
}

func made(s rig.Spec) (*rig.Rig, error) {
	r, problems := rig.New(s)
	if len(problems) > 0 {
		return nil, problems[0]
	}
	return r, nil
}

// stiffLeg stretches by a millionth under the weight.
func stiffLeg(id string, from *rig.Ref, to rig.Ref, length, weight float64) rig.Leg {
	return rig.Leg{ID: id, From: from, To: []rig.Ref{to}, Rope: &rig.Rope{Length: length, Stretch: rig.Stretch{Ratio: 1e-6, Force: weight}}}
}

// onOneLeg is a small weight on a leg that stretches by the given share of its
// length under it.
func onOneLeg(length, stretch float64) (*rig.Rig, error) {
	leg := stiffLeg("line", nil, rig.Ref{ID: "load", Point: "P"}, length, 500*quantity.StandardGravity)
	leg.Rope.Stretch.Ratio = stretch
	return made(rig.Spec{
		Bodies: []rig.Body{{ID: "load", Mass: 500, CG: &rig.Vec{}, Points: []rig.Point{{ID: "P"}}}},
		Legs:   []rig.Leg{leg},
	})
}

func cube() (*rig.Rig, error) {
	s := rig.Spec{Bodies: []rig.Body{{ID: "cube", Mass: 2000, Shape: rig.Shape{Kind: rig.BoxShape, Size: rig.Vec{2, 2, 2}}}}}
	for i, at := range []rig.Vec{{1, 1, 2}, {1, -1, 2}, {-1, 1, 2}, {-1, -1, 2}} {
		id := fmt.Sprintf("P%d", i+1)
		s.Bodies[0].Points = append(s.Bodies[0].Points, rig.Point{ID: id, At: at})
		s.Legs = append(s.Legs, stiffLeg(id, nil, rig.Ref{ID: "cube", Point: id}, math.Sqrt(1+1+25), 2000*quantity.StandardGravity))
	}
	return made(s)
}

// parallel is a body on plumb legs of one length, each from a hook of its own,
// at equal distances round it.
func parallel(legs int, radius, length, gyration float64) (*rig.Rig, error) {
	s := rig.Spec{Bodies: []rig.Body{{ID: "load", Mass: 1000, CG: &rig.Vec{}, Gyration: &rig.Vec{gyration, gyration, gyration}}}}
	for i := range legs {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(legs))
		at, id := rig.Vec{radius * cos, radius * sin, 0}, fmt.Sprintf("P%d", i+1)
		s.Apexes = append(s.Apexes, rig.Apex{ID: id, At: at})
		s.Bodies[0].Points = append(s.Bodies[0].Points, rig.Point{ID: id, At: at})
		s.Legs = append(s.Legs, stiffLeg(id, &rig.Ref{ID: id}, rig.Ref{ID: "load", Point: id}, length, 1000*quantity.StandardGravity))
	}
	return made(s)
}

// block is a heavy load under a hook block.
func block() (*rig.Rig, error) {
	const weight = 2100 * quantity.StandardGravity
	return made(rig.Spec{
		Bodies: []rig.Body{
			{ID: "block", Mass: 100, CG: &rig.Vec{}, Points: []rig.Point{{ID: "P"}}},
			{ID: "load", Mass: 2000, CG: &rig.Vec{}, At: rig.Vec{0, 0, -5}, Points: []rig.Point{{ID: "P"}}},
		},
		Legs: []rig.Leg{
			stiffLeg("upper", &rig.Ref{ID: "apex"}, rig.Ref{ID: "block", Point: "P"}, 10, weight),
			stiffLeg("lower", &rig.Ref{ID: "block", Point: "P"}, rig.Ref{ID: "load", Point: "P"}, 5, weight),
		},
	})
}
