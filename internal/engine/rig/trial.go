package rig

import (
	"fmt"
	"math"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/statics"
)

// Trial solves many rigs that differ from one rig only in numbers: counts,
// masses, CGs, lengths, stretch, places of points. It compiles the rig once,
// starts each change from the rig as planned and its cases of legs longer and
// shorter from the change, keeps its memory, and judges by the limits in which a
// change of number shows: pulls, weights on sets, leg angles, pitch and roll. A
// Trial serves one goroutine at a time; equal changes that follow nothing give
// bit-equal results whatever was tried before.
type Trial struct {
	r         *Rig
	c         compiled
	solver    statics.Solver
	base      statics.State
	last      statics.State // the position of the last change that settled upright, without its cases
	followed  bool          // there is one
	sol       statics.Solution
	redundant []int   // legs whose tension statics leaves open, with a tolerance to try
	counted   [][]int // groups of such legs of which the user's rule counts only some
	tolerance []float64
	held      []held
	bodies    []statics.Body
	setOf     []int
	angle     []float64 // limit of each leg
	seats     map[Ref]int
	refs      []Ref
	free      []int // bodies with a part-filled rigid tank
	ran       []Vec // m, per such body: its CG as the liquid lies in the rig as changed
	pull      []Vec
	rated     []float64
	out       Trialled
}

// Change is how a rig differs from the one a Trial was made for. Slices are
// empty or as long as the rig's lists.
type Change struct {
	Counts  []int     // per leg; 0 as planned
	Longer  []float64 // m, per leg: added to the unstretched length of its rope
	Soft    []float64 // per leg: its stretch times this; 0 as planned
	Mass    []float64 // per body: its mass times this; 0 as planned
	CG      []Vec     // m, per body: added to its CG
	Point   []Vec     // m, per point in the order of [Rig.PointRefs]: added to its place
	Nominal bool      // leave out the cases of legs longer and shorter than entered
	// Follow starts from where the last change left the rig, where that settled
	// upright, and not from the rig as planned: faster where the two changes
	// differ little. The result then depends on that change to the solver's
	// residual.
	Follow bool
	// Ground starts from the ground, as [Hang] does: for changes so large that a
	// rig with several equilibria may come to another one from the plan.
	Ground bool
}

// Trialled is what a [Trial] found. Its slices are reused by the next call.
type Trialled struct {
	Settled bool    // a stable position was found
	Falls   bool    // a body tips over, or hangs on nothing
	Pitch   float64 // rad, of the body furthest out of the band, or most pitched
	Roll    float64 // rad, likewise
	Use     float64 // highest share of any limit of force entered, in the worst case
	About   string  // what that limit is of
	LegUse  float64 // highest share of rating of a leg in the worst case; 0 where no leg is rated
	Tension []float64
	Worst   []float64 // N, per leg
	Slack   int       // number of slack legs
	Angle   float64   // largest leg angle as a share of its limit
	Out     float64   // rad, how far pitch and roll together are out of their bands
}

// Violation is how far a trial breaks limits, 0 where all are kept: 1 stands
// for a limit doubled or a band missed by 10 degrees.
func (t *Trialled) Violation() float64 {
	if !t.Settled || t.Falls {
		return 1000
	}
	v := t.Out / (10 * quantity.Degree)
	v += math.Max(0, t.Use-1) + math.Max(0, t.Angle-1)
	if v < 1e-9 {
		return 0
	}
	return v
}

// PointRefs lists all points of the rig in the order of its file.
func (r *Rig) PointRefs() []Ref {
	var refs []Ref
	for i := range r.spec.Bodies {
		for _, p := range r.spec.Bodies[i].Points {
			refs = append(refs, Ref{r.spec.Bodies[i].ID, p.ID})
		}
	}
	return refs
}

// NewTrial compiles and solves the rig as planned. Open counts are taken as
// the lowest that makes every loop long enough, or 1. It fails where the rig as
// planned does not settle.
func NewTrial(r *Rig) (*Trial, error) {
	full, err := r.closed()
	if err != nil {
		return nil, err
	}
	t := &Trial{r: full, c: compile(full, variant{})}
	t.solver.Solve(t.c.model, nil, &t.sol)
	if !t.sol.Converged || !t.sol.Stable {
		return nil, fmt.Errorf("rig: the rig as planned does not settle, so nothing can be compared with it")
	}
	for i := range full.spec.Bodies {
		if f := full.spec.Bodies[i].Fill; f != nil && f.Part() {
			t.free = append(t.free, i)
		}
	}
	t.ran = make([]Vec, len(t.free))
	t.base = t.sol.State.Clone()
	t.bodies = append([]statics.Body(nil), t.c.model.Bodies...)
	open := t.solver.Redundant()
	for i := range full.spec.Legs {
		tol, _ := full.Tolerance(full.spec.Legs[i].ID)
		t.tolerance = append(t.tolerance, tol)
		if k := t.c.legs[i].rope; k >= 0 && open[k] && tol > 0 {
			t.redundant = append(t.redundant, i)
		}
	}
	t.counted = full.countedGroups(func(i int) bool {
		k := t.c.legs[i].rope
		return k >= 0 && open[k]
	})
	t.limits()
	t.hold()
	return t, nil
}

// held is an anchor of a line at a point of a body.
type held struct {
	line, anchor, point int
	at                  Vec
}

// hold finds which point of the rig each anchor is.
func (t *Trial) hold() {
	add := func(line, anchor int, ref Ref) {
		if line >= 0 {
			t.held = append(t.held, held{line, anchor, t.seats[ref], t.c.model.Lines[line].Path[anchor].Point})
		}
	}
	for i := range t.r.spec.Legs {
		l := &t.r.spec.Legs[i]
		in := &t.c.legs[i]
		if l.From.Point != "" {
			add(in.rope, 0, *l.From)
		}
		if len(l.To) == 1 {
			add(in.rope, 1, l.To[0])
			continue
		}
		for k, ref := range l.To {
			add(in.runs[k], 1, ref)
			add(in.runs[k+1], 0, ref)
		}
	}
}

// closed returns the rig with every open count given a value that works.
func (r *Rig) closed() (*Rig, error) {
	open := r.Open()
	if len(open) == 0 {
		return r, nil
	}
	counts := map[string]int{}
	for _, id := range open {
		counts[id] = 1
	}
	return r.WithCounts(counts)
}

func (t *Trial) limits() {
	r := t.r
	n := len(r.spec.Legs)
	t.setOf = make([]int, n)
	t.angle = make([]float64, n)
	t.out.Tension, t.out.Worst = make([]float64, n), make([]float64, n)
	for i := range n {
		t.setOf[i] = -1
		t.angle[i] = commonLegAngle
		if a := r.spec.Limits.LegAngle; a != nil {
			t.angle[i] = *a
		}
		for k, s := range r.spec.Sets {
			for _, id := range s.Legs {
				if id == r.spec.Legs[i].ID {
					t.setOf[i] = k
					if s.UpTo != nil {
						t.angle[i] = *s.UpTo
					}
				}
			}
		}
	}
	t.seats = map[Ref]int{}
	t.refs = r.PointRefs()
	for k, ref := range t.refs {
		t.seats[ref] = k
		rated := 0.0
		if p, _ := r.spec.Bodies[t.c.bodies[ref.ID]].PointAt(ref.Point); p.Rated != nil {
			rated = *p.Rated
		}
		t.rated = append(t.rated, rated)
	}
	t.pull = make([]Vec, len(t.refs))
}

// apply sets the model's numbers to the change, with leg `longer` longer by
// `by` on top.
func (t *Trial) apply(ch *Change, longer int, by float64) {
	m := t.c.model
	for i := range m.Bodies {
		m.Bodies[i] = t.bodies[i]
		if len(ch.Mass) > 0 && ch.Mass[i] != 0 {
			m.Bodies[i].Mass *= ch.Mass[i]
		}
		if len(ch.CG) > 0 {
			m.Bodies[i].CG = statics.Add(m.Bodies[i].CG, ch.CG[i])
		}
	}
	for i := range t.r.spec.Legs {
		extra := 0.0
		if len(ch.Longer) > 0 {
			extra = ch.Longer[i]
		}
		if i == longer {
			extra += by
		}
		t.setLeg(i, ch, extra)
	}
	for _, h := range t.held {
		at := h.at
		if len(ch.Point) > 0 {
			at = statics.Add(at, ch.Point[h.point])
		}
		m.Lines[h.line].Path[h.anchor].Point = at
	}
}

// setLeg gives leg i's lines the lengths and stiffness of its count.
func (t *Trial) setLeg(i int, ch *Change, extra float64) {
	m := t.c.model
	in := &t.c.legs[i]
	l := &t.r.spec.Legs[i]
	soft := 1.0
	if len(ch.Soft) > 0 && ch.Soft[i] != 0 {
		soft = ch.Soft[i]
	}
	loop := l.Loop()
	if len(ch.Counts) > 0 && ch.Counts[i] != 0 && l.Chain != nil {
		loop = float64(l.Chain.Links-ch.Counts[i]) * l.Chain.Pitch
	}
	length, give := l.Fittings+extra, 0.0
	if l.Rope != nil {
		length += l.Rope.Length
		give += l.Rope.Length / l.Rope.Stretch.EA()
	}
	if len(l.To) == 1 {
		if l.Chain != nil {
			length += loop / 2
			give += loop / (4 * l.Chain.Stretch.EA())
		}
	} else {
		ea := l.Chain.Stretch.EA() / soft
		rest := loop
		for k := 1; k+1 < len(in.runs); k++ {
			rest -= m.Lines[in.runs[k]].Length
			m.Lines[in.runs[k]].Stiffness = ea / m.Lines[in.runs[k]].Length
		}
		for _, k := range []int{in.runs[0], in.runs[len(in.runs)-1]} {
			run := math.Max(1e-3, rest/2)
			m.Lines[k].Length, m.Lines[k].Stiffness = run, ea/run
		}
	}
	m.Lines[in.rope].Length = math.Max(1e-3, length)
	m.Lines[in.rope].Stiffness = 1 / (give * soft)
}

// Try solves the changed rig. The result is valid until the next call.
func (t *Trial) Try(ch Change) *Trialled {
	out := &t.out
	tension, worst := out.Tension, out.Worst
	*out = Trialled{Tension: tension, Worst: worst, Settled: true}
	from := &t.base
	switch {
	case ch.Ground:
		from = nil
	case ch.Follow && t.followed:
		from = &t.last
	}
	t.solve(&ch, -1, 0, from)
	if t.followed = t.sol.Converged && t.sol.Stable; !t.followed {
		out.Settled = false
		return out
	}
	t.attitude(out)
	if t.followed = !out.Falls; t.followed {
		t.last.Bodies = append(t.last.Bodies[:0], t.sol.State.Bodies...)
		t.last.Nodes = append(t.last.Nodes[:0], t.sol.State.Nodes...)
	}
	for i := range t.r.spec.Legs {
		tension[i] = t.sol.Lines[t.c.legs[i].rope].Tension
		worst[i] = tension[i]
		if tension[i] == 0 {
			out.Slack++
		}
	}
	t.angles(out)
	t.loads(out)
	t.pulls(out)
	t.count(out)
	if !ch.Nominal && !out.Falls {
		for _, i := range t.redundant {
			for _, by := range [...]float64{t.tolerance[i], -t.tolerance[i]} {
				t.solve(&ch, i, by, &t.last)
				if !t.sol.Converged || !t.sol.Stable {
					continue
				}
				for k := range worst {
					worst[k] = math.Max(worst[k], t.sol.Lines[t.c.legs[k].rope].Tension)
				}
				t.pulls(out)
			}
		}
	}
	t.uses(out)
	return out
}

// count raises the legs' worst pulls to what they carry when only as many as
// the user's rule counts share the weight.
func (t *Trial) count(out *Trialled) {
	n := float64(t.r.spec.LegsCounted)
	for _, legs := range t.counted {
		load := 0.0
		for _, i := range legs {
			line := &t.sol.Lines[t.c.legs[i].rope]
			load += line.Tension * math.Cos(fromVertical(sub(line.From, line.To)))
		}
		for _, i := range legs {
			line := &t.sol.Lines[t.c.legs[i].rope]
			pull := countedPull(load, n, fromVertical(sub(line.From, line.To)))
			out.Worst[i] = math.Max(out.Worst[i], pull)
			l := &t.r.spec.Legs[i]
			if k := t.seats[l.To[0]]; len(l.To) == 1 && t.rated[k] > 0 {
				t.use(out, pull/t.rated[k], "lift point", t.refs[k].String())
			}
		}
	}
}

// solve goes from a position; where that does not settle, from the ground.
func (t *Trial) solve(ch *Change, longer int, by float64, from *statics.State) {
	t.apply(ch, longer, by)
	if longer >= 0 {
		// The cases with longer and shorter legs hold the liquid, as in [Hang].
		for k, i := range t.free {
			t.c.model.Bodies[i].CG = t.ran[k]
		}
	}
	t.solver.Solve(t.c.model, from, &t.sol)
	if from != nil && (!t.sol.Converged || !t.sol.Stable) {
		t.solver.Solve(t.c.model, nil, &t.sol)
	}
	if longer < 0 && len(t.free) > 0 {
		t.level(ch)
	}
}

// level lets liquids run to where they rest in the rig as changed. Where they
// do not come to rest the solution counts as not converged.
func (t *Trial) level(ch *Change) {
	// A tenth of what counts as rest: the search and the spread compare many
	// rigs and publish none.
	const goal = restWithin / 10
	for range mostTilts {
		if !t.sol.Converged {
			return
		}
		moved := 0.0
		for k, i := range t.free {
			now := t.r.spec.Bodies[i].CentreTilted(UpIn(t.sol.Bodies[i].Turn))
			if len(ch.CG) > 0 {
				now = statics.Add(now, ch.CG[i])
			}
			moved = max(moved, Norm(sub(now, t.c.model.Bodies[i].CG)))
			t.c.model.Bodies[i].CG, t.ran[k] = now, now
		}
		if moved < goal {
			return
		}
		start := t.sol.State.Clone()
		t.solver.Solve(t.c.model, &start, &t.sol)
	}
	t.sol.Converged = false
}

func (t *Trial) attitude(out *Trialled) {
	out.Falls = len(t.sol.Unjoined) > 0
	worst := -1.0
	lim := &t.r.spec.Limits
	for i := range t.sol.Bodies {
		pitch, roll, tilt := Attitude(t.sol.Bodies[i].Turn)
		out.Falls = out.Falls || tilt > tipped
		if t.r.spec.Bodies[i].Shape.Kind == NoShape && len(t.sol.Bodies) > 1 {
			continue
		}
		o := outside(pitch, lim.Pitch) + outside(roll, lim.Roll)
		out.Out = math.Max(out.Out, o)
		if m := o*1e3 + math.Abs(pitch) + math.Abs(roll); m > worst {
			worst = m
			out.Pitch, out.Roll = pitch, roll
		}
	}
}

func outside(x float64, band *[2]float64) float64 {
	if band == nil {
		return 0
	}
	return math.Max(0, math.Max(band[0]-x, x-band[1]))
}

func (t *Trial) angles(out *Trialled) {
	for i := range t.r.spec.Legs {
		line := &t.sol.Lines[t.c.legs[i].rope]
		if !line.Slack {
			out.Angle = math.Max(out.Angle, fromVertical(sub(line.From, line.To))/t.angle[i])
		}
	}
}

// loads judges sets, hooks, fittings and pendants, which a leg's tolerance
// hardly moves.
func (t *Trial) loads(out *Trialled) {
	for k := range t.r.spec.Sets {
		s := &t.r.spec.Sets[k]
		if s.Rated == nil {
			continue
		}
		load := 0.0
		for i, of := range t.setOf {
			if line := &t.sol.Lines[t.c.legs[i].rope]; of == k && line.Length > 0 {
				load += line.Tension * (line.From[2] - line.To[2]) / Norm(sub(line.From, line.To))
			}
		}
		t.use(out, load/(*s.Rated), "set", s.ID)
	}
	for i := range t.r.spec.Apexes {
		a := &t.r.spec.Apexes[i]
		force := Norm(t.sol.Pull[i])
		if a.HookRated != nil {
			t.use(out, force/(*a.HookRated), "hook of", a.ID)
		}
		if a.Rated != nil {
			t.use(out, force/(*a.Rated), "apex fitting", a.ID)
		}
		if a.Pendant != nil && a.Pendant.Rated != nil {
			t.use(out, t.sol.Lines[t.c.pendant[i]].Tension/(*a.Pendant.Rated), "pendant of", a.ID)
		}
	}
}

func (t *Trial) use(out *Trialled, share float64, what, id string) {
	if share > out.Use {
		out.Use, out.About = share, what+" "+id
	}
}

// pulls judges lift points in the position just solved.
func (t *Trial) pulls(out *Trialled) {
	clear(t.pull)
	add := func(ref Ref, from, to Vec, tension float64) {
		d := sub(to, from)
		if n := Norm(d); n > 0 {
			k := t.seats[ref]
			t.pull[k] = statics.Add(t.pull[k], statics.Scale(tension/n, d))
		}
	}
	for i := range t.r.spec.Legs {
		l := &t.r.spec.Legs[i]
		in := &t.c.legs[i]
		rope := &t.sol.Lines[in.rope]
		if l.From.Point != "" {
			add(*l.From, rope.From, rope.To, rope.Tension)
		}
		if len(l.To) == 1 {
			add(l.To[0], rope.To, rope.From, rope.Tension)
			continue
		}
		for k, ref := range l.To {
			before, after := &t.sol.Lines[in.runs[k]], &t.sol.Lines[in.runs[k+1]]
			add(ref, before.To, before.From, before.Tension)
			add(ref, after.From, after.To, after.Tension)
		}
	}
	for k, v := range t.pull {
		if t.rated[k] > 0 {
			if share := Norm(v) / t.rated[k]; share > out.Use {
				out.Use, out.About = share, "lift point "+t.refs[k].String()
			}
		}
	}
}

// uses judges legs and clevises by their worst pulls.
func (t *Trial) uses(out *Trialled) {
	for i := range t.r.spec.Legs {
		l := &t.r.spec.Legs[i]
		if allowed, ok := l.Allowed(); ok {
			share := out.Worst[i] / allowed
			out.LegUse = math.Max(out.LegUse, share)
			t.use(out, share, "leg", l.ID)
		}
		if l.Clevis != nil {
			t.use(out, out.Worst[i]/(*l.Clevis), "clevis of leg", l.ID)
		}
	}
}
