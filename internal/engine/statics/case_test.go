package statics

import (
	"math"
	"math/rand/v2"
	"testing"
)

const g0 = 9.80665

func fixedAt(i int) Anchor                 { return Anchor{Kind: OnFixed, Index: i} }
func nodeAt(i int) Anchor                  { return Anchor{Kind: OnNode, Index: i} }
func onBody(b int, x, y, z float64) Anchor { return Anchor{OnBody, b, Vec{x, y, z}} }

// crate is a body of 1000 kg with its CG at the height given and no other
// offset, and four legs from the anchor to its corners at height 1.
func crate(m *Model, from Anchor, cgHeight, ea float64) int {
	b := len(m.Bodies)
	m.Bodies = append(m.Bodies, Body{Mass: 1000, CG: Vec{0, 0, cgHeight}, Ground: Pose{Turn: Identity}})
	for _, x := range []float64{1, -1} {
		for _, y := range []float64{.8, -.8} {
			m.Lines = append(m.Lines, Line{[]Anchor{from, onBody(b, x, y, 1)}, 4, ea / 4})
		}
	}
	return b
}

func model(fixed ...Vec) *Model { return &Model{Gravity: g0, Fixed: fixed, ContactStiffness: 2e5} }

// stand solves m and fails the test unless the answer is balanced and stable.
func stand(t *testing.T, m *Model) *Solution {
	t.Helper()
	if err := m.Check(); err != nil {
		t.Fatal(err)
	}
	var s Solver
	out := new(Solution)
	s.Solve(m, nil, out)
	if !out.Converged || !out.Stable || !(out.Residual <= 1e-6*m.Weight()) {
		t.Fatalf("converged %v, stable %v, residual %g N, lowest eigenvalue %g", out.Converged, out.Stable, out.Residual, out.LowestEigenvalue)
	}
	return out
}

// near fails the test unless got is within tolerance of want.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %.9g, want %.9g ± %.2g", what, got, want, tolerance)
	}
}

func TestSolve_PendantCarriesTheWholeWeightPlumb(t *testing.T) {
	m := model(Vec{})
	m.Nodes = 1
	m.Lines = []Line{{[]Anchor{fixedAt(0), nodeAt(0)}, 6, 1e6}}
	crate(m, nodeAt(0), .5, 1e6)
	out := stand(t, m)
	weight := m.Weight()
	near(t, "pendant tension", out.Lines[0].Tension, weight, 1e-6*weight)
	near(t, "node height", out.Nodes[0][2], -6-weight/1e6, 1e-9)
	near(t, "node offset", math.Hypot(out.Nodes[0][0], out.Nodes[0][1]), 0, 1e-9)
	near(t, "pull", out.Pull[0][2], -weight, 1e-6*weight)
}

func TestSolve_TwoFixedPointsShareByLever(t *testing.T) {
	// Plumb legs under each end: a beam on two props, the CG a quarter along.
	m := model(Vec{}, Vec{4, 0, 0})
	m.Bodies = []Body{{Mass: 800, CG: Vec{1, 0, -.3}, Ground: Pose{Turn: Identity}}}
	m.Lines = []Line{
		{[]Anchor{fixedAt(0), onBody(0, 0, 0, 0)}, 3, 1e9},
		{[]Anchor{fixedAt(1), onBody(0, 4, 0, 0)}, 3, 1e9},
	}
	out := stand(t, m)
	weight := m.Weight()
	// EA 3e9 N stretches the legs by 4 µm, which leaves the beam level to 1e-6.
	near(t, "near leg", out.Lines[0].Tension, .75*weight, 1e-5*weight)
	near(t, "far leg", out.Lines[1].Tension, .25*weight, 1e-5*weight)
}

func TestSolve_SpreaderBar(t *testing.T) {
	// Two legs at 60° from the horizontal to a bar, two plumb drops to a load.
	m := model(Vec{})
	m.Bodies = []Body{
		{Mass: 100, CG: Vec{}, Ground: Pose{Turn: Identity}},
		{Mass: 900, CG: Vec{0, 0, -.5}, Ground: Pose{Origin: Vec{0, 0, -2}, Turn: Identity}},
	}
	m.Lines = []Line{
		{[]Anchor{fixedAt(0), onBody(0, -1, 0, 0)}, 2, 1e9},
		{[]Anchor{fixedAt(0), onBody(0, 1, 0, 0)}, 2, 1e9},
		{[]Anchor{onBody(0, -1, 0, 0), onBody(1, -1, 0, 0)}, 2, 1e9},
		{[]Anchor{onBody(0, 1, 0, 0), onBody(1, 1, 0, 0)}, 2, 1e9},
	}
	out := stand(t, m)
	for i, want := range []float64{1000 * g0 / math.Sqrt(3), 1000 * g0 / math.Sqrt(3), 450 * g0, 450 * g0} {
		near(t, "tension", out.Lines[i].Tension, want, 1e-5*want)
	}
}

// drums hangs n drums side by side under one fixed point, four legs each.
func drums(n int) *Model {
	m := model(Vec{})
	for i := range n {
		m.Bodies = append(m.Bodies, Body{Mass: 1500, CG: Vec{0, 0, .675}, Ground: Pose{Vec{1.35 * float64(i), 0, 0}, Identity}})
		m.Capsules = append(m.Capsules, Capsule{i, Vec{0, -.125, .675}, Vec{0, .125, .675}, .675})
		for _, x := range []float64{.3, -.3} {
			for _, y := range []float64{.7, -.7} {
				m.Lines = append(m.Lines, Line{[]Anchor{fixedAt(0), onBody(i, x, y, .9)}, 5, 4e5})
			}
		}
	}
	return m
}

func TestSolve_ThreeDrumsPressOnEachOther(t *testing.T) {
	m := drums(3)
	var s Solver
	out := new(Solution)
	s.Solve(m, nil, out)
	if !out.Converged || !out.Stable {
		t.Fatalf("converged %v, stable %v", out.Converged, out.Stable)
	}
	touches := s.Touches()
	if len(touches) < 2 {
		t.Fatalf("%d pairs touch, want at least two", len(touches))
	}
	// The lines alone leave body a short by what its neighbours press on it.
	pressed := 0
	for a := range m.Bodies {
		sum := Vec{0, 0, -m.Bodies[a].Mass * g0}
		for i, l := range m.Lines {
			if l.Path[1].Index == a {
				u, _ := unit(Sub(out.Lines[i].From, out.Lines[i].To))
				sum = Add(sum, Scale(out.Lines[i].Tension, u))
			}
		}
		for b := range m.Bodies {
			if b != a {
				sum = Add(sum, s.w.pressure(a, b))
				if Norm(s.w.pressure(a, b)) > 1 {
					pressed++
				}
				back := Add(s.w.pressure(a, b), s.w.pressure(b, a))
				near(t, "force and counterforce", Norm(back), 0, 1e-9*m.Weight())
			}
		}
		near(t, "sum of forces on a drum", Norm(sum), 0, 1e-6*m.Weight())
	}
	if pressed < 4 {
		t.Errorf("%d presses above 1 N, want each of two pairs both ways", pressed)
	}
}

func TestSolve_MixedStiffness(t *testing.T) {
	m := model(Vec{})
	crate(m, fixedAt(0), .5, 1)
	for i, ea := range []float64{1e5, 1e9, 1e6, 1e8} {
		m.Lines[i].Stiffness = ea / m.Lines[i].Length
	}
	stand(t, m)
}

func TestSolve_RunningLinePullsAlikeOnAllItsParts(t *testing.T) {
	// A pendant's node, a loop over two points of a bar and back: the loop
	// slides, so its parts pull alike, and the bar, its CG off the middle,
	// slides along until the CG is plumb under the node.
	m := model(Vec{})
	m.Nodes = 1
	m.Bodies = []Body{{Mass: 500, CG: Vec{.1, 0, -.4}, Ground: Pose{Turn: Identity}}}
	m.Lines = []Line{
		{[]Anchor{fixedAt(0), nodeAt(0)}, 2, 1e6},
		{[]Anchor{nodeAt(0), onBody(0, -1, 0, 0), onBody(0, 1, 0, 0), nodeAt(0)}, 7, 1e7},
	}
	out := stand(t, m)
	a, b, n := out.Bodies[0].At(Vec{-1, 0, 0}), out.Bodies[0].At(Vec{1, 0, 0}), out.Nodes[0]
	ua, _ := unit(Sub(n, a))
	ub, _ := unit(Sub(n, b))
	along, _ := unit(Sub(b, a))
	tension := out.Lines[1].Tension
	// On the bar: one tension from each point to the node and, between the
	// points, one inwards on each, which cancel.
	sum := Add(Scale(tension, Add(ua, ub)), Vec{0, 0, -500 * g0})
	near(t, "sum of forces on the bar", Norm(sum), 0, 1e-6*500*g0)
	// Equal pulls make equal angles with the plumb line.
	near(t, "the two parts' slopes", ua[2]-ub[2], 0, 1e-8)
	if math.Abs(along[2]) < .01 {
		t.Errorf("the bar hangs level with its CG off the middle: slope %g", along[2])
	}
}

func TestSolve_CGAboveThePoints(t *testing.T) {
	for _, c := range []struct {
		name     string
		cgHeight float64
		upright  bool
	}{
		{"above them, under the hook", 3.5, true},
		{"above the hook", 5.5, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := model(Vec{})
			crate(m, fixedAt(0), c.cgHeight, 1e6)
			out := stand(t, m)
			tilt := math.Acos(math.Max(-1, math.Min(1, out.Bodies[0].Turn.Rotate(Vec{0, 0, 1})[2])))
			if c.upright != (tilt < .01) {
				t.Errorf("tilt %.1f°", tilt*180/math.Pi)
			}
			if !c.upright && out.Nudges == 0 {
				t.Errorf("it tipped over without a nudge off the saddle it starts on")
			}
		})
	}
}

func TestSolve_LeavesSaddles(t *testing.T) {
	// A bar hung by its middle with the CG straight above the point: balanced,
	// and unstable in every direction.
	m := model(Vec{})
	m.Bodies = []Body{{Mass: 100, CG: Vec{0, 0, .5}, Ground: Pose{Turn: Identity}}}
	m.Lines = []Line{{[]Anchor{fixedAt(0), onBody(0, 0, 0, 0)}, 1, 1e5}}
	out := stand(t, m)
	near(t, "CG", out.CG[0][2], -1-100*g0/1e5-.5, 1e-6)
	if out.Nudges == 0 {
		t.Error("no nudge was counted")
	}
}

func TestSolve_NamesWhatHangsOnNothing(t *testing.T) {
	m := model(Vec{})
	crate(m, fixedAt(0), .5, 1e6)
	m.Bodies = append(m.Bodies, Body{Mass: 5000, CG: Vec{0, 0, 1}, Ground: Pose{Vec{5, 6, 0}, Identity}})
	m.Bodies = append(m.Bodies, Body{Mass: 50, CG: Vec{0, 0, 1}, Ground: Pose{Vec{5, 9, 0}, Identity}})
	m.Lines = append(m.Lines, Line{[]Anchor{onBody(1, 0, 0, 0), onBody(2, 0, 0, 0)}, 1, 1e5})
	var s Solver
	out := new(Solution)
	s.Solve(m, nil, out)
	if len(out.Unjoined) != 2 || out.Unjoined[0] != 1 || out.Unjoined[1] != 2 {
		t.Errorf("bodies on nothing are %v, want 1 and 2", out.Unjoined)
	}
	if !out.Converged || !out.Stable {
		t.Errorf("the rest: converged %v, stable %v", out.Converged, out.Stable)
	}
	near(t, "pull", out.Pull[0][2], -1000*g0, 1e-3)
	near(t, "line between them", out.Lines[4].Tension, 0, 0)

	m = model(Vec{})
	m.Bodies = []Body{{Mass: 50, Ground: Pose{Turn: Identity}}}
	s.Solve(m, nil, out)
	if len(out.Unjoined) != 1 || !math.IsInf(out.LowestEigenvalue, 0) && math.IsNaN(out.LowestEigenvalue) {
		t.Errorf("a body alone: unjoined %v, eigenvalue %g", out.Unjoined, out.LowestEigenvalue)
	}
}

func TestSolve_NamesSlackNodes(t *testing.T) {
	m := model(Vec{})
	m.Nodes = 1
	crate(m, fixedAt(0), .5, 1e6)
	m.Lines = append(m.Lines,
		Line{[]Anchor{fixedAt(0), nodeAt(0)}, 9, 1e5},
		Line{[]Anchor{nodeAt(0), onBody(0, 0, 0, 1)}, 9, 1e5})
	out := stand(t, m)
	if len(out.SlackNodes) != 1 || !out.Lines[4].Slack || !out.Lines[5].Slack {
		t.Errorf("slack nodes %v, want node 0; slack lines %v %v", out.SlackNodes, out.Lines[4].Slack, out.Lines[5].Slack)
	}
}

// bits reports whether two answers are equal to the last bit.
func bits(a, b *Solution) bool {
	if a.Energy != b.Energy || a.Residual != b.Residual || a.LowestEigenvalue != b.LowestEigenvalue || a.Steps != b.Steps {
		return false
	}
	for i := range a.Bodies {
		if a.Bodies[i] != b.Bodies[i] || a.CG[i] != b.CG[i] {
			return false
		}
	}
	for i := range a.Nodes {
		if a.Nodes[i] != b.Nodes[i] {
			return false
		}
	}
	for i := range a.Lines {
		if a.Lines[i] != b.Lines[i] {
			return false
		}
	}
	return len(a.Bodies) == len(b.Bodies) && len(a.Lines) == len(b.Lines) && len(a.Nodes) == len(b.Nodes)
}

func TestSolve_SameModelSameBits(t *testing.T) {
	var used Solver
	first, again := new(Solution), new(Solution)
	for seed := range uint64(25) {
		m := randomRig(rand.New(rand.NewPCG(seed, 1)))
		var fresh Solver
		fresh.Solve(m, nil, first)
		used.Solve(m, nil, again) // memory of other models in it
		if !bits(first, again) {
			t.Errorf("seed %d: two runs differ", seed)
		}
	}
}

func TestSolve_LeavesTheModelAsItWas(t *testing.T) {
	m, copied := randomRig(rand.New(rand.NewPCG(3, 1))), randomRig(rand.New(rand.NewPCG(3, 1)))
	new(Solver).Solve(m, nil, new(Solution))
	for i := range m.Bodies {
		if m.Bodies[i] != copied.Bodies[i] {
			t.Errorf("body %d has changed", i)
		}
	}
	for i := range m.Lines {
		if m.Lines[i].Length != copied.Lines[i].Length || m.Lines[i].Path[0] != copied.Lines[i].Path[0] {
			t.Errorf("line %d has changed", i)
		}
	}
}

func TestSolve_WarmStartGivesTheSameAnswer(t *testing.T) {
	// Two drums: three gather in a triangle, which of the outer ones goes where
	// is decided far from the answer.
	lopsided := drums(2)
	lopsided.Bodies[0].CG = Vec{.03, .05, .6}
	for name, m := range map[string]*Model{
		"four legs":  fourLegs(1e6, Vec{.3, .2, 0}, [4]float64{4.8, 4.8, 4.8, 4.8}),
		"stiff legs": fourLegs(2e7, Vec{.3, .2, 0}, [4]float64{4.78, 4.8, 4.8, 4.8}),
		"two drums":  lopsided,
	} {
		t.Run(name, func(t *testing.T) {
			var s Solver
			var start, cold, warm Solution
			s.Solve(m, nil, &start)
			m.Bodies[0].CG[0] += .02
			s.Solve(m, nil, &cold)
			s.Solve(m, &start.State, &warm)
			if !cold.Converged || !warm.Converged {
				t.Fatalf("converged: cold %v, warm %v", cold.Converged, warm.Converged)
			}
			if warm.Steps >= cold.Steps {
				t.Errorf("%d steps from a place near by, %d from the ground", warm.Steps, cold.Steps)
			}
			for i := range cold.Lines {
				near(t, "tension", warm.Lines[i].Tension, cold.Lines[i].Tension, 1e-7*m.Weight())
			}
		})
	}
}

func TestSolve_AllocatesNothingOnceWarm(t *testing.T) {
	m := fourLegs(1e6, Vec{.3, .2, 0}, [4]float64{4.8, 4.8, 4.8, 4.8})
	var s Solver
	var first, out Solution
	s.Solve(m, nil, &first)
	s.Solve(m, &first.State, &out)
	if n := testing.AllocsPerRun(20, func() { s.Solve(m, &first.State, &out) }); n != 0 {
		t.Errorf("a warm solve allocates %v times", n)
	}
	if n := testing.AllocsPerRun(20, func() { s.Solve(m, nil, &out) }); n != 0 {
		t.Errorf("a cold solve with used memory allocates %v times", n)
	}
}

func TestCheck_RefusesMeaninglessModels(t *testing.T) {
	for name, spoil := range map[string]func(m *Model){
		"no body":              func(m *Model) { m.Bodies = nil },
		"no fixed point":       func(m *Model) { m.Fixed = nil },
		"no gravity":           func(m *Model) { m.Gravity = 0 },
		"mass not a number":    func(m *Model) { m.Bodies[0].Mass = math.NaN() },
		"mass zero":            func(m *Model) { m.Bodies[0].Mass = 0 },
		"CG infinite":          func(m *Model) { m.Bodies[0].CG[1] = math.Inf(1) },
		"one anchor":           func(m *Model) { m.Lines[0].Path = m.Lines[0].Path[:1] },
		"length zero":          func(m *Model) { m.Lines[0].Length = 0 },
		"stiffness infinite":   func(m *Model) { m.Lines[0].Stiffness = math.Inf(1) },
		"body not there":       func(m *Model) { m.Lines[0].Path[1].Index = 1 },
		"node not there":       func(m *Model) { m.Lines[0].Path[1] = nodeAt(0) },
		"fixed not there":      func(m *Model) { m.Lines[0].Path[0].Index = -1 },
		"point not a number":   func(m *Model) { m.Lines[0].Path[1].Point[0] = math.NaN() },
		"capsule of no body":   func(m *Model) { m.Capsules = []Capsule{{1, Vec{}, Vec{}, 1}} },
		"capsule without size": func(m *Model) { m.Capsules = []Capsule{{0, Vec{}, Vec{}, 0}} },
		"box of no body":       func(m *Model) { m.Boxes = []Box{{-1, Vec{}, Vec{1, 1, 1}}} },
		"load on no body":      func(m *Model) { m.Loads = []Load{{2, Vec{}, Vec{1, 0, 0}}} },
		"load not a number":    func(m *Model) { m.Loads = []Load{{0, Vec{}, Vec{math.NaN(), 0, 0}}} },
		"contact without k":    func(m *Model) { m.Capsules = []Capsule{{0, Vec{}, Vec{}, 1}}; m.ContactStiffness = math.NaN() },
		"fixed not a number":   func(m *Model) { m.Fixed[0][2] = math.NaN() },
		"ground not a turn":    func(m *Model) { m.Bodies[0].Ground.Turn = Quat{} },
	} {
		t.Run(name, func(t *testing.T) {
			m := fourLegs(1e6, Vec{}, [4]float64{4.8, 4.8, 4.8, 4.8})
			if err := m.Check(); err != nil {
				t.Fatalf("before it is spoiled: %v", err)
			}
			spoil(m)
			if m.Check() == nil {
				t.Error("it is taken")
			}
		})
	}
}

func TestRedundant_NamesTheLinesThatStretchDecides(t *testing.T) {
	even := [4]float64{4.8, 4.8, 4.8, 4.8}
	four := fourLegs(1e6, Vec{.3, .2, 0}, even)
	three := fourLegs(1e6, Vec{.3, .2, 0}, even)
	three.Lines = three.Lines[:3]
	three.Bodies[0].CG = Vec{.5, .4, 0}
	pendant := model(Vec{})
	pendant.Nodes = 1
	pendant.Lines = []Line{{[]Anchor{fixedAt(0), nodeAt(0)}, 6, 2e6}}
	crate(pendant, nodeAt(0), .5, 2e6)
	for _, c := range []struct {
		name string
		m    *Model
		want []bool
	}{
		{"four legs", four, []bool{true, true, true, true}},
		{"three legs", three, []bool{false, false, false}},
		{"four legs under a pendant", pendant, []bool{false, true, true, true, true}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var s Solver
			var out Solution
			s.Solve(c.m, nil, &out)
			got := s.Redundant()
			if len(got) != len(c.want) {
				t.Fatalf("%v, want %v", got, c.want)
			}
			for i := range got {
				if got[i] != c.want[i] {
					t.Errorf("%v, want %v", got, c.want)
					break
				}
			}
		})
	}
}

// The start is where the bodies, moved straight up and down as one block, are
// carried by their lines: what is left over is below what is aimed at there.
func TestGroundStart_LinesJustPull(t *testing.T) {
	var w work
	var start State
	for seed := range uint64(60) {
		m := randomRig(rand.New(rand.NewPCG(seed, 1)))
		w.prepare(m)
		w.groundStart(&start)
		w.now.load(m, &start)
		w.energy(&w.now, w.g, nil)
		up := 0.0
		first := Sub(start.Bodies[0].Origin, m.Bodies[0].Ground.Origin)
		for i := range m.Bodies {
			up += w.g[6*i+2]
			if d := Norm(Sub(Sub(start.Bodies[i].Origin, m.Bodies[i].Ground.Origin), first)); d > 1e-9 {
				t.Errorf("seed %d: body %d has moved by %g m more than the first", seed, i, d)
			}
		}
		left := math.Max(math.Abs(up), residual(w.g[6*len(m.Bodies):]))
		if !(left <= roughly*1.001*w.weight) {
			t.Errorf("seed %d: %g of the weight is left over", seed, left/w.weight)
		}
		w.block = true
		steps := 0
		w.descend(&steps)
		w.block = false
		if steps != 0 {
			t.Errorf("seed %d: %d more steps from the start", seed, steps)
		}
	}
}
