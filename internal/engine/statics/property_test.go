package statics

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// plainRig is a rig of one or two bodies on three or four legs each, such that
// the way down passes no fork: two runs of it that differ by rounding end in
// the same place. Two drums lie in contact.
func plainRig(t *rapid.T) *Model {
	draw := func(label string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, label) }
	m := &Model{Gravity: 9.80665, Fixed: []Vec{{}}, ContactStiffness: 2e5}
	hook := Anchor{Kind: OnFixed}
	if rapid.Bool().Draw(t, "pendant") {
		m.Nodes = 1
		hook = Anchor{Kind: OnNode}
		m.Lines = append(m.Lines, Line{[]Anchor{{Kind: OnFixed}, hook}, draw("pendant length", 1, 6), draw("pendant stiffness", 1e5, 1e7)})
	}
	bodies := rapid.IntRange(1, 2).Draw(t, "bodies")
	drums := bodies > 1
	for i := range bodies {
		b := Body{
			Mass: draw("mass", 200, 2000),
			// The odd figures keep it from starting on a saddle where the
			// drawn ones are nil.
			CG:     Vec{draw("cg x", -.25, .25) + .0137, draw("cg y", -.2, .2) - .0061*float64(i), draw("cg z", .3, .6)},
			Ground: Pose{Vec{1.35 * float64(i), 0, 0}, Identity},
		}
		half := Vec{1.2, .8, 1.2}
		if drums {
			b.CG[0] *= .3
			half = Vec{.55, .7, 1.1}
			m.Capsules = append(m.Capsules, Capsule{i, Vec{0, -.3, .65}, Vec{0, .3, .65}, .65})
		}
		m.Bodies = append(m.Bodies, b)
		for k := range rapid.IntRange(3, 4).Draw(t, "legs") {
			p := Vec{half[0], half[1], half[2]}
			if k >= 2 {
				p[0] = -p[0]
			}
			if k%2 == 1 {
				p[1] = -p[1]
			}
			m.Lines = append(m.Lines, Line{[]Anchor{hook, {OnBody, i, p}}, draw("length", 4.4, 4.6), draw("stiffness", 5e4, 2e6)})
		}
	}
	return m
}

func solved(t *rapid.T, m *Model) *Solution {
	if err := m.Check(); err != nil {
		t.Fatal(err)
	}
	var s Solver
	out := new(Solution)
	s.Solve(m, nil, out)
	if !out.Converged || !out.Stable {
		t.Fatalf("converged %v, stable %v, residual %g", out.Converged, out.Stable, out.Residual)
	}
	if out.Nudges > 0 {
		t.Skip("it lay on a saddle")
	}
	return out
}

// turned returns m turned about the vertical through the origin and moved.
func turnedRig(m *Model, angle float64, shift Vec) *Model {
	c := *m
	q := Turn(Vec{0, 0, angle})
	c.Fixed, c.Bodies, c.Loads = nil, nil, nil
	for _, f := range m.Fixed {
		c.Fixed = append(c.Fixed, Add(q.Rotate(f), shift))
	}
	for _, b := range m.Bodies {
		b.Ground = Pose{Add(q.Rotate(b.Ground.Origin), shift), q.Times(b.Ground.Turn)}
		c.Bodies = append(c.Bodies, b)
	}
	for _, l := range m.Loads {
		l.Force = q.Rotate(l.Force)
		c.Loads = append(c.Loads, l)
	}
	return &c
}

// mirrored returns m with left and right changed over.
func mirrored(m *Model) *Model {
	flip := func(v Vec) Vec { return Vec{v[0], -v[1], v[2]} }
	c := *m
	c.Fixed, c.Bodies, c.Lines, c.Capsules, c.Boxes = nil, nil, nil, nil, nil
	for _, f := range m.Fixed {
		c.Fixed = append(c.Fixed, flip(f))
	}
	for _, b := range m.Bodies {
		q := b.Ground.Turn
		b.CG, b.Ground = flip(b.CG), Pose{flip(b.Ground.Origin), Quat{q[0], -q[1], q[2], -q[3]}}
		c.Bodies = append(c.Bodies, b)
	}
	for _, l := range m.Lines {
		path := append([]Anchor(nil), l.Path...)
		for i := range path {
			path[i].Point = flip(path[i].Point)
		}
		l.Path = path
		c.Lines = append(c.Lines, l)
	}
	for _, k := range m.Capsules {
		k.A, k.B = flip(k.A), flip(k.B)
		c.Capsules = append(c.Capsules, k)
	}
	return &c
}

// sameTensions compares line i of a with line order[i] of b, times factor. A
// residual of 1e-10 of the weight leaves every coordinate within 1e-9 m and
// every tension within a millionth of the weight.
func sameTensions(t *rapid.T, what string, a, b *Solution, order func(int) int, factor, weight float64) {
	for i := range a.Lines {
		want, got := factor*a.Lines[i].Tension, b.Lines[order(i)].Tension
		if math.Abs(got-want) > 1e-6*factor*weight {
			t.Errorf("%s: line %d carries %.6f N, want %.6f N", what, i, got, want)
		}
	}
}

func same(i int) int { return i }

func TestSolve_KeepsToTheSymmetriesOfTheWorld(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := plainRig(t)
		weight := m.Weight()
		out := solved(t, m)

		angle := rapid.Float64Range(-3, 3).Draw(t, "angle")
		shift := Vec{3, -2, 7}
		turned := solved(t, turnedRig(m, angle, shift))
		sameTensions(t, "turned about the vertical", out, turned, same, 1, weight)
		q := Turn(Vec{0, 0, angle})
		for i, cg := range out.CG {
			if d := Norm(Sub(turned.CG[i], Add(q.Rotate(cg), shift))); d > 1e-6 {
				t.Errorf("turned about the vertical: CG %d is %g m from where it should be", i, d)
			}
		}
		sameTensions(t, "mirrored", out, solved(t, mirrored(m)), same, 1, weight)

		scaled := *m
		scaled.Bodies, scaled.Lines = append([]Body(nil), m.Bodies...), append([]Line(nil), m.Lines...)
		scaled.ContactStiffness *= 3
		for i := range scaled.Bodies {
			scaled.Bodies[i].Mass *= 3
		}
		for i := range scaled.Lines {
			scaled.Lines[i].Stiffness *= 3
		}
		sameTensions(t, "three times as heavy and stiff", out, solved(t, &scaled), same, 3, weight)
	})
}

func TestSolve_DoesNotMindTheOrderOfThings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := plainRig(t)
		out := solved(t, m)
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "order"), 1))
		bodies, lines := r.Perm(len(m.Bodies)), r.Perm(len(m.Lines))
		c := *m
		c.Bodies, c.Lines = make([]Body, len(bodies)), make([]Line, len(lines))
		c.Capsules = nil
		for i, b := range m.Bodies {
			c.Bodies[bodies[i]] = b
		}
		for _, k := range m.Capsules {
			k.Body = bodies[k.Body]
			c.Capsules = append([]Capsule{k}, c.Capsules...)
		}
		for i, l := range m.Lines {
			path := append([]Anchor(nil), l.Path...)
			for k := range path {
				if path[k].Kind == OnBody {
					path[k].Index = bodies[path[k].Index]
				}
			}
			l.Path = path
			c.Lines[lines[i]] = l
		}
		sameTensions(t, "in another order", out, solved(t, &c), func(i int) int { return lines[i] }, 1, m.Weight())
	})
}

func TestSolve_BalancesTheWeightAtTheLowestEnergy(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := plainRig(t)
		if rapid.Bool().Draw(t, "loaded") {
			m.Loads = []Load{{0, Vec{.1, .2, .5}, Vec{rapid.Float64Range(-300, 300).Draw(t, "load"), 150, -90}}}
		}
		weight := m.Weight()
		var s Solver
		out := new(Solution)
		s.Solve(m, nil, out)
		if !out.Converged || !out.Stable {
			t.Fatalf("converged %v, stable %v, residual %g", out.Converged, out.Stable, out.Residual)
		}
		sum := Vec{0, 0, weight}
		for _, p := range out.Pull {
			sum = Add(sum, p)
		}
		for _, l := range m.Loads {
			sum = Sub(sum, l.Force)
		}
		if Norm(sum) > 1e-6*weight {
			t.Errorf("the pulls differ from weight and loads by %v N", sum)
		}
		for i, l := range out.Lines {
			if !(l.Tension >= 0) || l.Slack != (l.Tension == 0) || l.Slack != (l.Length <= m.Lines[i].Length) {
				t.Errorf("line %d: tension %g N, slack %v, length %g of %g m", i, l.Tension, l.Slack, l.Length, m.Lines[i].Length)
			}
		}
		w := &s.w
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "nearby"), 1))
		d, g := make([]float64, w.n), make([]float64, w.n)
		here := w.energy(&w.now, g, nil)
		if here != out.Energy {
			t.Errorf("energy %v at the answer, %v reported", here, out.Energy)
		}
		for _, size := range []float64{1e-4, 1e-3, 1e-2} {
			for range 10 {
				square := 0.0
				for i := range d {
					d[i] = size * (2*r.Float64() - 1)
					square += d[i] * d[i]
				}
				w.next.move(&w.now, d)
				// A stable place may be as much as 1e-4 of the weight per
				// metre short of stiff; rounding is some 1e-16 of the stored
				// energies, which are below 1e4 J each.
				if there := w.energy(&w.next, g, nil); there < here-0.5e-4*weight*square-1e-9*weight*size-1e-10 {
					t.Errorf("%g J lower at a distance of %g", here-there, math.Sqrt(square))
				}
			}
		}
	})
}
