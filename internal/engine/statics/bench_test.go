package statics

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"gonum.org/v1/gonum/optimize"
)

// usual is a load as people hang them: four legs of some stretch, CG off.
func usual() *Model { return fourLegs(1e6, Vec{.3, .2, 0}, [4]float64{4.8, 4.8, 4.8, 4.8}) }

// demoDrum is a drum of a demo rig: lying along x, on two legs of rope and
// chain from lugs at both ends of its top.
type demoDrum struct {
	x, y                   float64 // where it stands, m
	mass, length, diameter float64
	lug                    float64 // from the middle, m
	counts                 [2]int
}

// demoDrums hangs drums as the demo rigs do: legs of rope and 8 % stretch with
// a loop of chain and 0.3 %, both at the force given.
func demoDrums(rope, pitch float64, links int, at float64, drums []demoDrum) *Model {
	m := model(Vec{})
	for i, d := range drums {
		r := d.diameter / 2
		m.Bodies = append(m.Bodies, Body{Mass: d.mass, CG: Vec{0, 0, r}, Ground: Pose{Vec{d.x, d.y, 0}, Identity}})
		m.Capsules = append(m.Capsules, Capsule{i, Vec{r - d.length/2, 0, r}, Vec{d.length/2 - r, 0, r}, r})
		for k, x := range []float64{d.lug, -d.lug} {
			loop := float64(links-d.counts[k]) * pitch
			soft := rope*.08/at + loop*.003/(4*at)
			m.Lines = append(m.Lines, Line{[]Anchor{fixedAt(0), onBody(i, x, 0, 2*r)}, rope + loop/2, 1 / soft})
		}
	}
	return m
}

// sideBySide is the demo rig drums-side-by-side, fourSmall drums-four-small.
func sideBySide() *Model {
	d := demoDrum{0, .62, 1109.7, 1.6, 1.2, .7, [2]int{12, 15}}
	o := d
	o.y = -d.y
	return demoDrums(3.6, .028, 80, 20e3, []demoDrum{d, o})
}

func fourSmall() *Model {
	d := demoDrum{mass: 298.5, length: 1, diameter: .7, lug: .45, counts: [2]int{10, 10}}
	var list []demoDrum
	for _, at := range [][2]float64{{.52, .46}, {.52, -.26}, {-.52, .36}, {-.52, -.36}} {
		d.x, d.y = at[0], at[1]
		list = append(list, d)
	}
	return demoDrums(3, .024, 60, 12e3, list)
}

// lopsided is two drums that do not start on a saddle.
func lopsided() *Model {
	m := drums(2)
	m.Bodies[0].CG = Vec{.03, .05, .6}
	return m
}

// measured are the models that the benchmarks solve.
func measured() []struct {
	name string
	m    *Model
} {
	return []struct {
		name string
		m    *Model
	}{
		{"four legs", usual()},
		{"four stiff legs", fourLegs(2e7, Vec{}, [4]float64{4.78, 4.8, 4.8, 4.8})},
		{"crate under a pendant", hungCrate()},
		{"two drums", lopsided()},
		{"three drums", drums(3)},
		{"demo drums side by side", sideBySide()},
		{"demo four small drums", fourSmall()},
	}
}

// BenchmarkCold solves from the ground.
func BenchmarkCold(b *testing.B) {
	for _, c := range measured() {
		b.Run(c.name, func(b *testing.B) {
			var s Solver
			var out Solution
			b.ReportAllocs()
			for b.Loop() {
				s.Solve(c.m, nil, &out)
			}
			b.ReportMetric(float64(out.Steps), "steps")
		})
	}
}

// neighbour returns m a little changed, as a spread or a search does, and the
// solution of m to start from.
func neighbour(m *Model) (*Model, *State) {
	var s Solver
	var out Solution
	s.Solve(m, nil, &out)
	c := *m
	c.Bodies = append([]Body(nil), m.Bodies...)
	c.Bodies[0].CG[0] += .01
	return &c, &out.State
}

// BenchmarkWarm solves from the solution of a neighbour.
func BenchmarkWarm(b *testing.B) {
	for _, c := range measured() {
		b.Run(c.name, func(b *testing.B) {
			m, from := neighbour(c.m)
			var s Solver
			var out Solution
			b.ReportAllocs()
			for b.Loop() {
				s.Solve(m, from, &out)
			}
			b.ReportMetric(float64(out.Steps), "steps")
		})
	}
}

// BenchmarkSweep solves the random rigs of the sweep, all of them in one turn.
func BenchmarkSweep(b *testing.B) {
	var list []*Model
	for seed := range uint64(300) {
		list = append(list, randomRig(rand.New(rand.NewPCG(seed, 1))))
	}
	var s Solver
	var out Solution
	steps := 0
	for b.Loop() {
		steps = 0
		for _, m := range list {
			s.Solve(m, nil, &out)
			steps += out.Steps
		}
	}
	b.ReportMetric(float64(steps)/float64(len(list)), "steps/rig")
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
}

func newChart(s *Solver, m *Model, from *State) *chart {
	c := &chart{w: &s.w}
	c.w.prepare(m)
	if from == nil {
		c.w.groundStart(&c.w.start)
		from = &c.w.start
	}
	c.start.size(len(m.Bodies), m.Nodes)
	c.start.load(m, from)
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

// bfgs minimises m's energy with gonum, from a state or from the ground
// position.
func bfgs(m *Model, from *State) (energy float64, evaluations int, err error) {
	var s Solver
	c := newChart(&s, m, from)
	result, err := optimize.Minimize(optimize.Problem{Func: c.energy, Grad: c.gradient}, make([]float64, c.w.n),
		&optimize.Settings{GradientThreshold: tolerated * m.Weight(), MajorIterations: 5000}, &optimize.BFGS{})
	if result == nil {
		return math.NaN(), 0, err
	}
	return result.F, result.Stats.FuncEvaluations, err
}

// agreed compares the solver's energy with gonum's: with a residual of 1e-6 of
// the weight against a stiffness of a twentieth of it per metre the energy is
// within 1e-11 of the weight times a metre; 1e-8 is allowed.
func agreed(tb testing.TB, m *Model, from *State) (evaluations int) {
	tb.Helper()
	var s Solver
	var out Solution
	s.Solve(m, from, &out)
	energy, evaluations, err := bfgs(m, from)
	if !(math.Abs(energy-out.Energy) <= 1e-8*m.Weight()) {
		tb.Errorf("energy %.9f J, gonum says %.9f J (%v)", out.Energy, energy, err)
	}
	return evaluations
}

func TestSolve_AgreesWithGonum(t *testing.T) {
	for _, m := range []*Model{usual(), fourLegs(1e6, Vec{}, [4]float64{4.78, 4.8, 4.8, 4.8}), hungCrate(), lopsided(), sideBySide()} {
		agreed(t, m, nil)
		near, from := neighbour(m)
		agreed(t, near, from)
	}
}

// BenchmarkAgainstBFGS reports how many times as long gonum's BFGS takes from
// the same start, with the same energy and gradient, to a residual of 1e-6 of
// the weight. The solver's time includes more: finding the start, going on
// until rounding stops it, the certificate and the report. Both are measured in
// turn in this run. Where the two end in different hollows there is nothing to
// compare; such models are not in the list.
func BenchmarkAgainstBFGS(b *testing.B) {
	for _, c := range measured() {
		if c.name == "three drums" || c.name == "demo four small drums" {
			continue
		}
		for _, warm := range []bool{false, true} {
			name := c.name + ", cold"
			m, from := c.m, (*State)(nil)
			if warm {
				name = c.name + ", warm"
				m, from = neighbour(c.m)
			}
			b.Run(name, func(b *testing.B) {
				evaluations := agreed(b, m, from)
				var s Solver
				var out Solution
				var ours, theirs time.Duration
				for b.Loop() {
					t0 := time.Now()
					s.Solve(m, from, &out)
					t1 := time.Now()
					if _, _, err := bfgs(m, from); err != nil && out.Energy == 0 {
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
}
