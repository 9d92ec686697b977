package statics

import (
	"math"
	"math/rand/v2"
	"testing"
)

// nearest is the signed distance from y to a segment or a box, by the textbook
// formulas.
func nearest(t *target, y Vec) float64 {
	if !t.box {
		along := Sub(t.b, t.a)
		s := math.Max(0, math.Min(1, Dot(Sub(y, t.a), along)/Dot(along, along)))
		return Norm(Sub(y, Add(t.a, Scale(s, along))))
	}
	outside, inside := 0.0, math.Inf(-1)
	for i := range 3 {
		beyond := math.Abs(y[i]-t.a[i]) - t.b[i]
		outside += math.Pow(math.Max(0, beyond), 2)
		inside = math.Max(inside, beyond)
	}
	return math.Sqrt(outside) + math.Min(0, inside)
}

// TestContacts_MatchASumOverManyPoints compares the stored energy with the
// defining integrals summed over two thousand points of each axis.
func TestContacts_MatchASumOverManyPoints(t *testing.T) {
	const k = 2e5
	pressed := 0
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 3))
		m := &Model{Gravity: 9.80665, Fixed: []Vec{{}}, ContactStiffness: k, Bodies: []Body{
			{Mass: 1, CG: random(r, .3), Ground: Pose{Turn: Identity}},
			{Mass: 1, CG: random(r, .3), Ground: Pose{Turn: Identity}},
		}}
		m.Lines = []Line{{[]Anchor{{Kind: OnFixed}, {OnBody, 0, Vec{}}, {OnBody, 1, Vec{}}}, 1e3, 1}}
		s := State{Bodies: []Pose{{random(r, .2), Turn(random(r, 2))}, {Add(Vec{.9}, random(r, .3)), Turn(random(r, 2))}}}
		a := Capsule{0, random(r, .5), random(r, .5), .3 + .3*r.Float64()}
		m.Capsules = []Capsule{a}
		world := func(b int, v Vec) Vec { return s.Bodies[b].At(v) }
		sum := func(from, to Vec, t *target, reach, c float64) float64 {
			const points = 2000
			e := 0.0
			for i := range points {
				x := (float64(i) + .5) / points
				if p := reach - nearest(t, Add(Scale(1-x, from), Scale(x, to))); p > 0 {
					e += c * p * p / points
				}
			}
			return e
		}
		want := 0.0
		if seed%2 == 0 {
			b := Capsule{1, random(r, .5), random(r, .5), .3 + .3*r.Float64()}
			m.Capsules = append(m.Capsules, b)
			a0, a1, b0, b1 := world(0, a.A), world(0, a.B), world(1, b.A), world(1, b.B)
			want = sum(a0, a1, &target{a: b0, b: b1}, a.Radius+b.Radius, k/4) +
				sum(b0, b1, &target{a: a0, b: a1}, a.Radius+b.Radius, k/4)
		} else {
			b := Box{1, random(r, .2), Vec{.5, .3, .4}}
			m.Boxes = []Box{b}
			turn := s.Bodies[1].Turn.Matrix()
			in := func(v Vec) Vec { return turn.TMul(Sub(world(0, v), s.Bodies[1].Origin)) }
			want = sum(in(a.A), in(a.B), &target{box: true, a: b.Centre, b: b.Half}, a.Radius, k/2)
		}
		var w work
		w.prepare(m)
		w.now.load(m, &s)
		got := w.contacts(&w.now, make([]float64, w.n), nil)
		if want > 0 {
			pressed++
		}
		// The sum over points is good to 1e-7, ten Gauss points a piece to
		// 1e-6 where two axes all but cross, of ½k·1 m² = 1e5 J.
		if math.Abs(got-want) > 1e-2+2e-6*want {
			t.Errorf("seed %d: %.6f J, want %.6f J", seed, got, want)
		}
	}
	if pressed < 30 {
		t.Errorf("only %d of 60 pairs press on each other", pressed)
	}
}
