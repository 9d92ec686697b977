package statics

import (
	"math"
	"math/rand/v2"
	"testing"
)

// randomRig makes a rig such as people might build, and worse: one to five
// bodies, each under one of one or two apexes or under another body, the legs
// from the apex itself, from a pendant's node or over the points of a loop;
// stiffness EA from 1e5 to 1e9 N drawn anew for every line; CG up to a third of
// the body's size off its middle in plan; round bodies side by side in contact.
func randomRig(r *rand.Rand) *Model {
	m := &Model{Gravity: 9.80665, Fixed: []Vec{{}}, ContactStiffness: 2e5}
	if r.IntN(4) == 0 {
		m.Fixed = append(m.Fixed, Vec{.5 + 2*r.Float64(), .5 * r.Float64(), .3 * r.Float64()})
	}
	line := func(from, to Anchor, length float64) {
		ea := math.Pow(10, 5+4*r.Float64())
		m.Lines = append(m.Lines, Line{[]Anchor{from, to}, length, ea / length})
	}
	hooks := make([]Anchor, len(m.Fixed))
	for i := range m.Fixed {
		hooks[i] = Anchor{Kind: OnFixed, Index: i}
		if r.IntN(3) == 0 {
			node := Anchor{Kind: OnNode, Index: m.Nodes}
			m.Nodes++
			line(hooks[i], node, 1+5*r.Float64())
			hooks[i] = node
		}
	}
	round := r.IntN(3) == 0
	for i := range 1 + r.IntN(5) {
		half := Vec{.4 + r.Float64(), .3 + .7*r.Float64(), .2 + .8*r.Float64()}
		b := Body{Mass: math.Pow(10, 1.5+2.2*r.Float64())}
		b.CG = Vec{half[0] * .67 * (2*r.Float64() - 1), half[1] * .67 * (2*r.Float64() - 1), half[2] * 2 * r.Float64()}
		b.Ground = Pose{Vec{2.9 * float64(i%2), 2.1 * float64(i/2), 0}, Turn(Vec{0, 0, 2 * math.Pi * r.Float64()})}
		if round {
			b.Ground = Pose{Vec{float64(i) * 1.3, 0, 0}, Identity}
			m.Capsules = append(m.Capsules, Capsule{i, Vec{0, -.4, .65}, Vec{0, .4, .65}, .65})
			half = Vec{.6, .9, .65}
			b.CG = Add(Vec{0, 0, .65}, random(r, .15))
		}
		m.Bodies = append(m.Bodies, b)
		points := []Vec{{half[0], half[1], 0}, {half[0], -half[1], 0}, {-half[0], half[1], 0}, {-half[0], -half[1], 0}, {0, 0, 0}}
		legs := []int{1, 2, 3, 4, 4, 4, 5}[r.IntN(7)]
		switch legs {
		case 1:
			points = []Vec{{.2, .1, 0}}
		case 2:
			points = []Vec{{half[0], 0, 0}, {-half[0], 0, 0}}
		case 3:
			points[1] = Vec{half[0], 0, 0}
			points = points[1:4]
		}
		hook := hooks[r.IntN(len(hooks))]
		if i > 0 && !round && r.IntN(4) == 0 {
			o := r.IntN(i) // under another body
			hook = Anchor{OnBody, o, Vec{.1, -.1, 0}}
			m.Bodies[i].Ground.Origin = Add(m.Bodies[o].Ground.Origin, Vec{0, 0, -6})
		}
		// Points are at the height of the middle, the top, or between.
		height := half[2] * (1 + r.Float64())
		base := 3 + 3*r.Float64()
		for k, p := range points[:legs] {
			p[2] = height
			from := hook
			if len(hooks) == 2 && hook.Kind != OnBody && r.IntN(5) == 0 {
				from = hooks[k%2]
			}
			line(from, Anchor{OnBody, i, p}, base+.2*r.Float64())
		}
		if legs == 2 && r.IntN(2) == 0 {
			// one line that runs over both points, back to where it came from
			n := len(m.Lines)
			a, b := m.Lines[n-2], m.Lines[n-1]
			span := Norm(Sub(points[0], points[1]))
			m.Lines = append(m.Lines[:n-2], Line{
				[]Anchor{a.Path[0], a.Path[1], b.Path[1], b.Path[0]},
				a.Length + b.Length + span, 1e6 / (a.Length + b.Length + span),
			})
		}
	}
	return m
}

func TestSweep_RandomRigsStandInBalance(t *testing.T) {
	rigs := 300
	if testing.Short() {
		rigs = 60
	}
	var s Solver
	var out Solution
	worst, steepest, solved, slow := 0.0, 0, 0, 0
	for seed := range uint64(rigs) {
		m := randomRig(rand.New(rand.NewPCG(seed, 1)))
		if err := m.Check(); err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		s.Solve(m, nil, &out)
		weight := m.Weight()
		if !out.Converged || !out.Stable || !(out.Residual <= 1e-6*weight) {
			t.Errorf("seed %d: converged %v, stable %v, residual %.3g of the weight, lowest eigenvalue %.3g, %d steps, %d nudges",
				seed, out.Converged, out.Stable, out.Residual/weight, out.LowestEigenvalue, out.Steps, out.Nudges)
			continue
		}
		solved++
		worst = math.Max(worst, out.Residual/weight)
		steepest = max(steepest, out.Steps)
		if out.Steps > 60 {
			// Many steps take the rigs that stand far from where they hang: a
			// step is at most 0.05 m, and shorter where a line far stiffer than the
			// weight swings round its end, or lies just short of taut.
			slow++
			moved := 0.0
			for i := range out.CG {
				start := s.w.start.Bodies[i].At(m.Bodies[i].CG)
				moved = math.Max(moved, Norm(Sub(out.CG[i], start)))
			}
			t.Logf("seed %d: %d steps, %d nudges, furthest CG moved %.1f m, %d bodies, %d nodes, %d lines, %d capsules",
				seed, out.Steps, out.Nudges, moved, len(m.Bodies), m.Nodes, len(m.Lines), len(m.Capsules))
		}
	}
	if solved != rigs {
		t.Errorf("%d of %d rigs stand in balance", solved, rigs)
	}
	t.Logf("worst residual %.2g of the weight, at most %d steps, %d rigs over 60 steps", worst, steepest, slow)
}
