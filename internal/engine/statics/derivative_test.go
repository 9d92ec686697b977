package statics

import (
	"math"
	"math/rand/v2"
	"testing"
)

// random returns a vector whose components lie within ±size.
func random(r *rand.Rand, size float64) Vec {
	return Vec{size * (2*r.Float64() - 1), size * (2*r.Float64() - 1), size * (2*r.Float64() - 1)}
}

// unsymmetric is a model of three bodies, two nodes and two fixed points in
// which every kind of energy occurs; nothing in it lines up with an axis.
func unsymmetric(r *rand.Rand) (*Model, State) {
	m := &Model{Gravity: 9.80665, Fixed: []Vec{{.1, .2, 4}, {2.3, -.4, 4.5}}, Nodes: 2, ContactStiffness: 2e5}
	var s State
	for i := range 3 {
		m.Bodies = append(m.Bodies, Body{Mass: 300 + 100*float64(i), CG: random(r, .3), Ground: Pose{Turn: Identity}})
		at := Add(Vec{float64(i), .3 * float64(i), 0}, random(r, .2))
		s.Bodies = append(s.Bodies, Pose{at, Turn(random(r, 1.2))})
	}
	s.Nodes = []Vec{Add(Vec{0, 0, 2}, random(r, .4)), Add(Vec{1.5, 0, 2.3}, random(r, .4))}
	return m, s
}

// derivatives compares gradient and Hessian at s with central differences. The
// gradient is measured by the energy. The Hessian is measured by the gradient:
// each gradient is by the rotation away from its own state, which adds to the
// differences an antisymmetric part, ½·(e_j × g)_i, so their symmetric part is
// the Hessian.
func derivatives(t *testing.T, m *Model, s State, tolerance float64) {
	t.Helper()
	if err := m.Check(); err != nil {
		t.Fatal(err)
	}
	var w work
	w.prepare(m)
	w.now.load(m, &s)
	n := w.n
	g, h := make([]float64, n), make([]float64, n*n)
	e := w.energy(&w.now, g, h)
	if plain := w.energy(&w.now, make([]float64, n), nil); math.Abs(plain-e) > 1e-12*math.Abs(e) {
		t.Errorf("energy %v with Hessian, %v without", e, plain)
	}
	const step = 1e-5
	d := make([]float64, n)
	shifted := func(i int, by float64, g []float64) float64 {
		clear(d)
		d[i] = by
		w.next.move(&w.now, d)
		return w.energy(&w.next, g, nil)
	}
	up, down := make([]float64, n), make([]float64, n)
	fg, fh := make([]float64, n), make([]float64, n*n)
	for j := range n {
		fg[j] = (shifted(j, step, up) - shifted(j, -step, down)) / (2 * step)
		for i := range n {
			x := (up[i] - down[i]) / (2 * step)
			fh[i*n+j] += x / 2
			fh[j*n+i] += x / 2
		}
	}
	compare := func(what string, got, want []float64) {
		size, same := 0.0, 0
		for _, x := range got {
			size = math.Max(size, math.Abs(x))
		}
		if size == 0 {
			t.Errorf("%s: all zero", what)
		}
		worst, at := 0.0, 0
		for i, x := range got {
			if x != 0 && x == want[i] {
				same++
			}
			if d := math.Abs(x - want[i]); !(d <= worst) {
				worst, at = d, i
			}
		}
		if same > len(got)/2 {
			t.Errorf("%s: %d of %d equal the differences bit by bit", what, same, len(got))
		}
		if !(worst <= tolerance*size) {
			t.Errorf("%s: component %d (row %d, column %d) is %.9g, differences say %.9g; the largest is %.3g",
				what, at, at/n, at%n, got[at], want[at], size)
		}
	}
	compare("gradient", g, fg)
	compare("Hessian", h, fh)
}

// Central differences with a step of 1e-5: rounding leaves about 1e-16·E/1e-5,
// curvature about 1e-10 of the third derivative; both are some 1e-8 of the
// largest component in these models. Ten times that is allowed.
//
// Contact is summed by ten points on each piece of an axis. Where two axes all
// but cross, overlapping by their full radii, the sum is off by some 1e-6, and
// the pieces move with the bodies, so its derivatives agree no better.
const (
	smooth  = 1e-7
	crossed = 5e-6
)

func TestDerivatives_MatchCentralDifferences(t *testing.T) {
	fixed := func(i int) Anchor { return Anchor{Kind: OnFixed, Index: i} }
	node := func(i int) Anchor { return Anchor{Kind: OnNode, Index: i} }
	body := func(r *rand.Rand, i int) Anchor { return Anchor{OnBody, i, random(r, .6)} }
	for _, c := range []struct {
		name      string
		tolerance float64
		build     func(r *rand.Rand, m *Model, s *State)
	}{
		{"straight lines", smooth, func(r *rand.Rand, m *Model, _ *State) {
			m.Lines = []Line{
				{[]Anchor{fixed(0), body(r, 0)}, .5, 3e4},
				{[]Anchor{body(r, 1), fixed(1)}, .5, 2e4},
				{[]Anchor{fixed(0), node(0)}, .3, 2e4},
				{[]Anchor{node(0), body(r, 0)}, .3, 4e4},
				{[]Anchor{body(r, 2), node(1)}, .3, 2e4},
				{[]Anchor{node(0), node(1)}, .3, 1e4},
				{[]Anchor{body(r, 0), body(r, 1)}, .1, 1e4},
				{[]Anchor{body(r, 2), body(r, 1)}, .1, 5e4},
				{[]Anchor{fixed(1), fixed(0)}, .1, 5e4},
			}
		}},
		{"lines running over points", smooth, func(r *rand.Rand, m *Model, _ *State) {
			m.Lines = []Line{
				{[]Anchor{fixed(0), body(r, 0), body(r, 0), node(0)}, 1, 2e4},
				{[]Anchor{body(r, 0), node(1), body(r, 1)}, .5, 3e4},
				{[]Anchor{node(0), body(r, 2), fixed(1)}, .5, 1e4},
				{[]Anchor{body(r, 1), fixed(0), body(r, 2)}, .5, 1e4},
				{[]Anchor{node(1), body(r, 1), body(r, 2), body(r, 1), node(0)}, 1, 1e4},
			}
			m.Lines = append(m.Lines, Line{[]Anchor{node(0), m.Lines[0].Path[1], node(0)}, .5, 1e4})
		}},
		{"loads", smooth, func(r *rand.Rand, m *Model, _ *State) {
			m.Lines = []Line{{[]Anchor{fixed(0), body(r, 0), body(r, 1), body(r, 2)}, .5, 100}}
			for i := range 3 {
				m.Loads = append(m.Loads, Load{i, random(r, .5), random(r, 3e3)})
			}
		}},
		{"capsules", crossed, func(r *rand.Rand, m *Model, _ *State) {
			m.Lines = []Line{{[]Anchor{fixed(0), body(r, 0), body(r, 1), body(r, 2)}, .5, 100}}
			for i := range 3 {
				m.Capsules = append(m.Capsules, Capsule{i, random(r, .6), random(r, .6), .5 + .1*float64(i)})
			}
			point := random(r, .3) // a ball
			m.Capsules = append(m.Capsules, Capsule{1, point, point, .6})
		}},
		{"capsule against a box", crossed, func(r *rand.Rand, m *Model, _ *State) {
			m.Lines = []Line{{[]Anchor{fixed(0), body(r, 0), body(r, 1), body(r, 2)}, .5, 100}}
			m.Boxes = []Box{{1, random(r, .2), Vec{.3, .2, .25}}}
			m.Capsules = []Capsule{{0, random(r, .5), random(r, .5), .6}, {2, random(r, .5), random(r, .5), .7}}
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			for seed := range uint64(40) {
				r := rand.New(rand.NewPCG(seed, 7))
				m, s := unsymmetric(r)
				c.build(r, m, &s)
				derivatives(t, m, s, c.tolerance)
				if t.Failed() {
					t.Fatalf("seed %d", seed)
				}
			}
		})
	}
}

// TestDerivatives_AgainstABox lays the axis of a capsule against one box in
// each of the ways that have a formula of their own.
// Where the axis crosses, inside the box, a place with two equally near faces,
// the distance has a ridge, and the ridge moves along the axis with the bodies.
func TestDerivatives_AgainstABox(t *testing.T) {
	for _, c := range []struct {
		name string
		a, b Vec
	}{
		{"beside a face", Vec{-.3, .1, .71}, Vec{.25, -.15, .63}},
		{"beside an edge", Vec{-.2, .53, .66}, Vec{.3, .61, .59}},
		{"across an edge", Vec{.2, .1, .62}, Vec{.27, .9, .51}},
		{"beside a corner", Vec{.55, .52, .63}, Vec{.61, .49, .7}},
		{"across a corner", Vec{.3, .2, .72}, Vec{.7, .8, .43}},
		{"into a face", Vec{.05, .02, .77}, Vec{.11, -.07, .45}},
		{"along inside", Vec{-.1, .12, .44}, Vec{.13, .05, .47}},
		{"out through two faces", Vec{-.3, .1, .7}, Vec{.62, .07, .41}},
		{"right through", Vec{-.83, .03, .42}, Vec{.9, .05, .45}},
		{"through the middle", Vec{-.7, -.33, -.41}, Vec{.6, .45, .52}},
		{"a ball beside a face", Vec{.1, .2, .65}, Vec{.1, .2, .65}},
		{"a ball at a corner", Vec{.6, .5, .6}, Vec{.6, .5, .6}},
		{"a ball inside", Vec{.1, .2, .45}, Vec{.1, .2, .45}},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(5, 9))
			m, s := unsymmetric(r)
			m.Lines = []Line{{[]Anchor{{Kind: OnFixed}, {OnBody, 0, Vec{}}, {OnBody, 1, Vec{}}, {OnBody, 2, Vec{}}}, .5, 100}}
			m.Boxes = []Box{{1, Vec{}, Vec{.5, .4, .5}}}
			// The capsule's ends are given in the box's frame.
			in := func(v Vec) Vec {
				turn := s.Bodies[0].Turn.Matrix()
				return turn.TMul(Sub(s.Bodies[1].At(v), s.Bodies[0].Origin))
			}
			m.Capsules = []Capsule{{0, in(c.a), in(c.b), .3}}
			if c.a == c.b {
				m.Capsules[0].B = m.Capsules[0].A
			}
			derivatives(t, m, s, crossed)
		})
	}
}
