package statics

import (
	"math"
	"testing"
	"time"

	"gonum.org/v1/gonum/optimize"
)

// usual is a load as people hang them: four legs of some stretch, CG off.
func usual() *Model { return fourLegs(1e6, Vec{.3, .2, 0}, [4]float64{4.8, 4.8, 4.8, 4.8}) }

func BenchmarkSolveWarmFourLegs(b *testing.B) {
	m := usual()
	var s Solver
	var first, out Solution
	s.Solve(m, nil, &first)
	m.Bodies[0].CG[0] += .01 // a neighbour, as in a spread or a search
	b.ReportAllocs()
	for b.Loop() {
		s.Solve(m, &first.State, &out)
	}
	b.ReportMetric(float64(out.Steps), "steps")
}

func BenchmarkSolveColdFourLegs(b *testing.B) {
	m := usual()
	var s Solver
	var out Solution
	b.ReportAllocs()
	for b.Loop() {
		s.Solve(m, nil, &out)
	}
	b.ReportMetric(float64(out.Steps), "steps")
}

func BenchmarkSolveThreeDrums(b *testing.B) {
	m := drums(3)
	var s Solver
	var out Solution
	b.ReportAllocs()
	for b.Loop() {
		s.Solve(m, nil, &out)
	}
	b.ReportMetric(float64(out.Steps), "steps")
}

// hungCrate is a crate on four legs under a pendant, CG off.
func hungCrate() *Model {
	m := model(Vec{})
	m.Nodes = 1
	m.Lines = []Line{{[]Anchor{fixedAt(0), nodeAt(0)}, 6, 2e6}}
	crate(m, nodeAt(0), .5, 2e6)
	m.Bodies[0].CG = Vec{.25, .05, .55}
	return m
}

// chart makes the energy of one solver's model a function of plain
// coordinates: displacements and rotation vectors from a start.
type chart struct {
	w     *work
	start places
	d     []float64
}

func newChart(s *Solver, m *Model) *chart {
	c := &chart{w: &s.w}
	c.w.prepare(m)
	c.w.groundStart(&c.w.start)
	c.start.size(len(m.Bodies), m.Nodes)
	c.start.load(m, &c.w.start)
	c.d = make([]float64, c.w.n)
	return c
}

func (c *chart) energy(x []float64) float64 {
	c.w.now.move(&c.start, x)
	return c.w.energy(&c.w.now, c.w.g, nil)
}

// gradient turns the gradient by a further rotation into that by the rotation
// vector θ itself: exp(θ + dθ) = exp(J·dθ)·exp(θ) with
// J = 1 + (1 − cos a)/a²·[θ]× + (a − sin a)/a³·[θ]×².
func (c *chart) gradient(grad, x []float64) {
	c.energy(x)
	copy(grad, c.w.g)
	for i := range c.w.m.Bodies {
		k := 6*i + 3
		theta, g := Vec{x[k], x[k+1], x[k+2]}, Vec{grad[k], grad[k+1], grad[k+2]}
		a := Norm(theta)
		if a < 1e-6 {
			continue
		}
		// transposed: [θ]× changes its sign
		one := Cross(theta, g)
		two := Cross(theta, one)
		g = Add(g, Add(Scale(-(1-math.Cos(a))/(a*a), one), Scale((a-math.Sin(a))/(a*a*a), two)))
		grad[k], grad[k+1], grad[k+2] = g[0], g[1], g[2]
	}
}

// bfgs minimises m's energy from the ground position with gonum.
func bfgs(m *Model) (energy float64, evaluations int, err error) {
	var s Solver
	c := newChart(&s, m)
	result, err := optimize.Minimize(optimize.Problem{Func: c.energy, Grad: c.gradient}, make([]float64, c.w.n),
		&optimize.Settings{GradientThreshold: 1e-6 * m.Weight(), MajorIterations: 5000}, &optimize.BFGS{})
	if result == nil {
		return math.NaN(), 0, err
	}
	return result.F, result.Stats.FuncEvaluations, err
}

// agreed compares the solver's energy with gonum's: with a residual of 1e-6 of
// the weight against a stiffness of a twentieth of it per metre the energy is
// within 1e-11 of the weight times a metre; 1e-8 is allowed.
func agreed(tb testing.TB, m *Model) (evaluations int) {
	tb.Helper()
	var s Solver
	var out Solution
	s.Solve(m, nil, &out)
	energy, evaluations, err := bfgs(m)
	if !(math.Abs(energy-out.Energy) <= 1e-8*m.Weight()) {
		tb.Errorf("energy %.9f J, gonum says %.9f J (%v)", out.Energy, energy, err)
	}
	return evaluations
}

func TestSolve_AgreesWithGonum(t *testing.T) {
	pair := drums(2)
	pair.Bodies[0].CG = Vec{.03, .05, .6}
	for _, m := range []*Model{usual(), fourLegs(1e6, Vec{}, [4]float64{4.78, 4.8, 4.8, 4.8}), hungCrate(), pair} {
		agreed(t, m)
	}
}

// BenchmarkAgainstBFGS reports how many times as long gonum's BFGS takes for
// the same answer, both measured in this run.
func BenchmarkAgainstBFGS(b *testing.B) {
	pair := drums(2)
	pair.Bodies[0].CG = Vec{.03, .05, .6}
	for _, c := range []struct {
		name string
		m    *Model
	}{
		{"four legs", usual()},
		{"four stiff legs", fourLegs(2e7, Vec{}, [4]float64{4.78, 4.8, 4.8, 4.8})},
		{"two drums", pair},
		{"crate under a pendant", hungCrate()},
	} {
		b.Run(c.name, func(b *testing.B) {
			evaluations := agreed(b, c.m)
			var s Solver
			var out Solution
			var ours, theirs time.Duration
			for b.Loop() {
				t0 := time.Now()
				s.Solve(c.m, nil, &out)
				t1 := time.Now()
				if _, _, err := bfgs(c.m); err != nil && out.Energy == 0 {
					b.Fatal(err)
				}
				ours, theirs = ours+t1.Sub(t0), theirs+time.Since(t1)
			}
			b.ReportMetric(float64(theirs)/float64(ours), "times-as-long")
			b.ReportMetric(float64(evaluations), "their-evaluations")
			b.ReportMetric(float64(out.Steps), "our-steps")
		})
	}
}
