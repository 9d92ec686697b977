package counts

import (
	"context"
	"math"
	"slices"
	"testing"

	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/rigfile"
)

// small is a rig of four legs on a crate with a CG off centre, each with a
// short chain, so that every choice of four counts can be tried.
func small(t testing.TB, links, pitch, band string, group bool) *rig.Rig {
	t.Helper()
	return tolerant(t, links, pitch, band, group, "0 mm")
}

// tolerant is such a rig whose legs may be longer or shorter.
func tolerant(t testing.TB, links, pitch, band string, group bool, tolerance string) *rig.Rig {
	t.Helper()
	g := func(name string) string {
		if group {
			return ", group: " + name
		}
		return ""
	}
	leg := func(id, name string) string {
		return "  - {id: " + id + ", to: crate." + id + ", rope: {length: 3 m, stretch: 2 % at 10 kN}, chain: {links: " + links +
			", pitch: " + pitch + ", stretch: 0.5 % at 10 kN}, count: find, rated: 12 kN" + g(name) + "}\n"
	}
	data := `format: hangtrue.rig/1
title: small
bodies:
  - id: crate
    shape: {box: [2 m, 1.4 m, 1 m]}
    mass: 1200 kg
    cg: [0.2 m, 0.1 m, 0.4 m]
    points: {FL: [1 m, 0.7 m, 1 m], FR: [1 m, -0.7 m, 1 m], RL: [-1 m, 0.7 m, 1 m], RR: [-1 m, -0.7 m, 1 m]}
leg-tolerance: ` + tolerance + `
lowest-count: 1
limits: {pitch: ` + band + `, roll: [-2 deg, 2 deg]}
legs:
` + leg("FL", "front") + leg("FR", "front") + leg("RL", "rear") + leg("RR", "rear")
	r, problems := rigfile.Read([]byte(data))
	if r == nil {
		t.Fatal(problems)
	}
	return r
}

// The search over four independent legs ends where the whole search says that
// no neighbour is better, and at the whole search's best.
func TestFind_FourLegsAgainstTheWholeSearch(t *testing.T) {
	if testing.Short() {
		t.Skip("tries every choice of four counts")
	}
	r := small(t, "9", "80 mm", "[-5 deg, 0 deg]", false)
	ctx := context.Background()
	f, err := Find(ctx, r, Options{Each: true, Workers: 2})
	if err != nil {
		t.Fatal(err)
	}
	if f.Whole || len(f.Groups) != 4 || len(f.Best) == 0 {
		t.Fatalf("whole %v, %d groups, %d found", f.Whole, len(f.Groups), len(f.Best))
	}
	groups, _ := Groups(r, true)
	tab, err := newTable(r, groups, 2)
	if err != nil {
		t.Fatal(err)
	}
	s := &search{t: tab, groups: groups, known: map[string]Point{}}
	if err := s.whole(ctx, nil); err != nil {
		t.Fatal(err)
	}
	if len(s.known) != 8*8*8*8 {
		t.Fatalf("the whole search tried %d", len(s.known))
	}
	best := f.Best[0].Counts
	near := s.neighbours(best, 1)
	if len(near) < 15 {
		t.Fatalf("only %d neighbours", len(near))
	}
	for _, n := range near {
		if b, err := s.better(ctx, n, best); err != nil || b {
			t.Errorf("neighbour %v is better than %v (%v)", n, best, err)
		}
	}
	for k := range s.known {
		c := parse(k)
		if b, _ := s.better(ctx, c, best); b {
			t.Errorf("%v (%.4f) is better than the found %v (%.4f)", c, s.known[k].LegUse, best, s.known[key(best)].LegUse)
			break
		}
	}
}

// A rig whose CG is forward hangs nose down with equal counts; a band that asks
// for a level load must be met by shorter front legs, that is higher counts in
// front.
func TestFind_ForwardCGWantsShorterFrontLegs(t *testing.T) {
	r := small(t, "60", "25 mm", "[-0.5 deg, 0.5 deg]", true)
	f, err := Find(context.Background(), r, Options{Workers: 2})
	if err != nil {
		t.Fatal(err)
	}
	if !f.Whole || len(f.Groups) != 2 || f.Groups[0].Name != "front" || len(f.Best) == 0 {
		t.Fatalf("%+v", f)
	}
	for _, c := range f.Best {
		if c.Counts[0] <= c.Counts[1] {
			t.Errorf("front %d, rear %d hangs level with its CG forward", c.Counts[0], c.Counts[1])
		}
		hung, err := r.WithCounts(f.Counts(c))
		if err != nil {
			t.Fatal(err)
		}
		a, _ := rig.Hang(hung)
		if p := a.Bodies[0].Pitch * 180 / math.Pi; math.Abs(p) > 0.5 {
			t.Errorf("%v hangs at %.2f deg", c.Counts, p)
		}
	}
	if !slices.IsSortedFunc(f.Best, func(a, b Choice) int {
		return int(math.Ceil(a.Point.LegUse/step)) - int(math.Ceil(b.Point.LegUse/step))
	}) {
		t.Error("the best are not in the order of their most used leg")
	}
}

func TestFind_NoSolutionSaysWhatStandsInTheWay(t *testing.T) {
	r := small(t, "20", "25 mm", "[9 deg, 10 deg]", true)
	f, err := Find(context.Background(), r, Options{Workers: 2})
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Best) > 0 || f.Nearest == nil {
		t.Fatalf("found %v in an impossible band", f.Best)
	}
	b, err := Explain(context.Background(), r, f, Options{Workers: 2})
	if err != nil {
		t.Fatal(err)
	}
	if len(b.Limits) == 0 || len(b.Changes) == 0 {
		t.Fatalf("limits %v, changes %v", b.Limits, b.Changes)
	}
	t.Log(b.Limits, b.Changes)
}

func TestChart_SameForAnyNumberOfWorkers(t *testing.T) {
	r := small(t, "12", "60 mm", "[-5 deg, 0 deg]", true)
	one, err := Chart(context.Background(), r, Options{Workers: 1})
	if err != nil {
		t.Fatal(err)
	}
	three, err := Chart(context.Background(), r, Options{Workers: 3})
	if err != nil {
		t.Fatal(err)
	}
	if len(one.Points) != 11*11 || !slices.Equal(one.Points, three.Points) {
		t.Fatalf("%d points; equal: %v", len(one.Points), slices.Equal(one.Points, three.Points))
	}
	// longer front legs (lower counts in front) put the nose lower
	if low, high := one.At(1, 6), one.At(11, 6); low.Pitch >= high.Pitch {
		t.Errorf("pitch %.3f at the lowest front count, %.3f at the highest", low.Pitch, high.Pitch)
	}
}

func TestGroups_FrontAndRearByDefault(t *testing.T) {
	tried := 0
	for _, d := range demo.Rigs() {
		r, _ := rigfile.Read(d.Data)
		if r == nil {
			t.Fatal(d.Name)
		}
		groups, err := Groups(r, false)
		if err != nil {
			continue // no chain
		}
		tried++
		for _, g := range groups {
			if len(g.Legs) == 0 || g.Low > g.High {
				t.Errorf("%s: %+v", d.Name, g)
			}
		}
	}
	if tried < 4 {
		t.Fatalf("%d rigs with chains", tried)
	}
}

// The lowest and highest counts that the user sets bound what is found; a rig
// one link beyond them is still a miscount that can happen.
func TestFind_WithinTheCountsWanted(t *testing.T) {
	r := small(t, "60", "25 mm", "[-5 deg, 5 deg]", true)
	f, err := Find(context.Background(), r, Options{Low: 10, High: 14})
	if err != nil || len(f.Best) == 0 {
		t.Fatalf("%v, %+v", err, f)
	}
	for _, c := range f.Best {
		if slices.Min(c.Counts) < 10 || slices.Max(c.Counts) > 14 || c.Of != 4 {
			t.Errorf("%v, %d one link off", c.Counts, c.Of)
		}
	}
	if _, err := Find(context.Background(), r, Options{Low: 70}); err == nil {
		t.Error("counts beyond the chain are searched")
	}
}

// A stopped search returns what it had.
func TestFind_Stopped(t *testing.T) {
	r := small(t, "60", "25 mm", "[-5 deg, 5 deg]", true)
	ctx, stop := context.WithCancel(context.Background())
	f, err := Find(ctx, r, Options{Progress: func(done, _ int) {
		if done > 100 {
			stop()
		}
	}})
	if err != nil || !f.Stopped || f.Whole || f.Tried < 100 || f.Tried > 1000 {
		t.Fatalf("%v, %+v", err, f)
	}
	stop()
	if f, err = Find(ctx, r, Options{}); err != nil || !f.Stopped || f.Tried != 0 || f.Nearest != nil {
		t.Errorf("stopped before it began: %v, %+v", err, f)
	}
}

func TestChoosable(t *testing.T) {
	names := func(r *rig.Rig) []string {
		groups, err := Choosable(r)
		if err != nil {
			t.Fatal(err)
		}
		var out []string
		for _, g := range groups {
			out = append(out, g.Name)
		}
		return out
	}
	if got := names(small(t, "20", "25 mm", "[-5 deg, 5 deg]", true)); !slices.Equal(got, []string{"front", "rear"}) {
		t.Errorf("of the file: %v", got)
	}
	var crate *rig.Rig
	for _, d := range demo.Rigs() {
		if d.Name == "crate-off-centre" {
			crate, _ = rigfile.Read(d.Data)
		}
	}
	if got := names(crate); !slices.Equal(got, []string{"front", "rear", "left", "right", "FL", "FR", "RL", "RR"}) {
		t.Errorf("without groups: %v", got)
	}
	groups, _ := Choosable(crate)
	if _, err := Chart(context.Background(), crate, Options{Pair: []Group{groups[0], groups[2]}}); err == nil {
		t.Error("two groups that share a leg are charted")
	}
	// A leg outside the two stays as planned: the map at the plan is the plan.
	m, err := Chart(context.Background(), crate, Options{Pair: []Group{groups[4], groups[7]}, High: 30})
	if err != nil || m.A.High != 30 || m.B.Low != 1 {
		t.Fatalf("%v, %+v", err, m)
	}
	a, err := rig.Hang(crate)
	if err != nil {
		t.Fatal(err)
	}
	// Warm and cold starts settle to the same residual, not the same digits.
	if got := m.At(m.A.Planned, m.B.Planned).Pitch; math.Abs(got-a.Bodies[0].Pitch) > 1e-5 {
		t.Errorf("planned pair at %g rad, the rig at %g rad", got, a.Bodies[0].Pitch)
	}
}

// Where no leg is rated the choices are ordered by what the legs carry, not by a
// share of something else, and equal loads by the lower counts.
func TestFind_LegsWithoutRating(t *testing.T) {
	spec := small(t, "30", "25 mm", "[-20 deg, 20 deg]", true).Spec()
	for i := range spec.Legs {
		spec.Legs[i].Rated = nil
	}
	hook := 24000.0
	spec.Apexes[0].HookRated = &hook
	r, problems := rig.New(spec)
	if r == nil {
		t.Fatal(problems)
	}
	f, err := Find(context.Background(), r, Options{})
	if err != nil || len(f.Best) < 2 {
		t.Fatalf("%v, %+v", err, f)
	}
	for _, c := range f.Best {
		if p := &c.Point; p.Rated || p.LegUse != 0 || !(p.LegPull > 0.25 && p.LegPull < 1) || p.Load() != p.LegPull {
			t.Errorf("%v: %+v", c.Counts, p)
		}
	}
	if a, b := f.Best[0].Point, f.Best[len(f.Best)-1].Point; math.Ceil(a.Load()/step-1e-9) > math.Ceil(b.Load()/step-1e-9) {
		t.Errorf("the first pulls %.4f, the last %.4f", a.Load(), b.Load())
	}
	if LoadWords(r) == LoadWords(small(t, "30", "25 mm", "[-5 deg, 0 deg]", true)) {
		t.Error("the load is called the same with and without ratings")
	}
}
