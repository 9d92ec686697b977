package rig

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/statics"
)

// commonLegAngle is the limit for legs whose set states none, rad from the
// vertical: common practice, no source.
const commonLegAngle = 45 * math.Pi / 180

// judge holds one answer against the limits of its rig.
type judge struct {
	a      *Answer
	r      *Rig
	c      *compiled
	v      variant // what every solve of this answer has in common
	solver *statics.Solver
	base   statics.State
	// seatLoad is, per point, the largest pull found in any case judged.
	seatLoad map[Ref]float64
	seatCase map[Ref]string
	seatPull map[Ref]Vec // in the rig as entered
	still    bool        // every free surface has come to rest
}

func (j *judge) find(level Level, code, about, format string, args ...any) {
	j.a.Findings = append(j.a.Findings, Finding{level, code, about, fmt.Sprintf(format, args...)})
}

func (j *judge) all() {
	j.a.Status = j.r.status(&j.a.Findings)
	j.seats(j.a.Legs, "")
	j.cases()
	j.counted()
	j.standing()
	j.legs()
	j.sets()
	j.points()
	j.hooks()
	j.attitude()
	j.fills()
	j.overlaps()
	j.a.Findings = append(j.a.Findings, j.a.LegPaths()...)
	j.freeRunning()
	j.counts()
	j.missing()
	j.conclude()
}

// check records a limit and, where it is passed, says by how much.
func (j *judge) check(c Check) {
	j.a.Checks = append(j.a.Checks, c)
	if !c.Passed() {
		return
	}
	show := j.r.Show()
	text := ""
	if c.Force {
		text = fmt.Sprintf("%s %s, %s over its limit of %s (%s of it)", c.What,
			show.Force(c.Demand), show.Force(c.Demand-c.Limit), show.Force(c.Limit), show.Percent(c.Use()))
	} else {
		text = fmt.Sprintf("%s %s, %s beyond its limit of %s", c.What,
			show.Angle(c.Demand), show.Angle(c.Demand-c.Limit), show.Angle(c.Limit))
	}
	if c.Source != "" {
		text += "; " + c.Source
	}
	if c.Case != "" {
		text += "; worst " + c.Case
	}
	j.find(Exceeded, "limit-passed", c.About, "%s", text)
}

// seats adds up what each point carries, and keeps the largest.
func (j *judge) seats(legs []LegAnswer, name string) {
	pull := map[Ref]Vec{}
	for i := range legs {
		l := &j.r.spec.Legs[i]
		x := &legs[i]
		if x.Slack {
			continue
		}
		if l.From.Point != "" {
			along(pull, *l.From, x.From, x.To, x.Tension)
		}
		if len(l.To) == 1 {
			along(pull, l.To[0], x.To, x.From, x.Tension)
			continue
		}
		for k, ref := range l.To {
			along(pull, ref, x.Path[k+1], x.Path[k], x.Runs[k])
			along(pull, ref, x.Path[k+1], x.Path[k+2], x.Runs[k+1])
		}
	}
	if j.seatPull == nil {
		j.seatPull, j.seatLoad, j.seatCase = pull, map[Ref]float64{}, map[Ref]string{}
	}
	for ref, v := range pull {
		if n := Norm(v); n > j.seatLoad[ref]*(1+1e-9) {
			j.seatLoad[ref], j.seatCase[ref] = n, name
		}
	}
}

func along(pull map[Ref]Vec, ref Ref, from, to Vec, tension float64) {
	d := sub(to, from)
	if n := Norm(d); n > 0 {
		pull[ref] = statics.Add(pull[ref], statics.Scale(tension/n, d))
	}
}

// cases solves the rig with each leg whose tension statics leaves open a
// little longer and a little shorter, and keeps the worst tensions.
func (j *judge) cases() {
	var sol statics.Solution
	for i := range j.a.Legs {
		if !j.a.Legs[i].Redundant {
			continue
		}
		id := j.a.Legs[i].ID
		tol, _ := j.r.Tolerance(id)
		if tol == 0 {
			continue
		}
		for _, by := range []float64{tol, -tol} {
			if j.solver.Stop() {
				return // the answer is not wanted any more
			}
			name := fmt.Sprintf("with leg %s %s longer", id, j.r.Show().Size(tol))
			if by < 0 {
				name = fmt.Sprintf("with leg %s %s shorter", id, j.r.Show().Size(tol))
			}
			v := j.v
			v.longer = map[string]float64{id: by}
			c := compile(j.r, v)
			j.solver.Solve(c.model, &j.base, &sol)
			if !sol.Converged || !sol.Stable {
				j.solver.Solve(c.model, nil, &sol)
			}
			if !sol.Converged || !sol.Stable {
				j.find(Unknown, "not-settled", "leg "+id, "the computation did not settle %s", name)
				continue
			}
			other := c.read(j.r, &sol)
			for k := range other.Legs {
				x := &j.a.Legs[k]
				if t := other.Legs[k].Tension; t > x.Worst*(1+1e-9) {
					x.Worst, x.WorstCase = t, name
				}
			}
			j.seats(other.Legs, name)
		}
	}
}

// counted works out what each leg would carry if only as many legs as the
// user's rule counts shared the weight that hangs on them.
func (j *judge) counted() {
	n := j.r.spec.LegsCounted
	for _, legs := range j.r.countedGroups(func(i int) bool { return j.a.Legs[i].Redundant }) {
		load := 0.0
		for _, i := range legs {
			load += j.vertical(i)
		}
		for _, i := range legs {
			x := &j.a.Legs[i]
			x.Counted = countedPull(load, float64(n), x.Angle)
			name := fmt.Sprintf("counting %d of %d legs", n, len(legs))
			if x.Counted > x.Worst*(1+1e-9) {
				x.Worst, x.WorstCase = x.Counted, name
			}
			ref := j.r.spec.Legs[i].To[0]
			if len(j.r.spec.Legs[i].To) == 1 && x.Counted > j.seatLoad[ref] {
				j.seatLoad[ref], j.seatCase[ref] = x.Counted, name
			}
		}
	}
}

// countedGroups returns the groups of legs, by where they hang from, whose
// tensions statics leaves open and of which the user's rule counts only some.
func (r *Rig) countedGroups(open func(leg int) bool) [][]int {
	n := r.spec.LegsCounted
	if n == 0 {
		return nil
	}
	var order []Ref
	groups := map[Ref][]int{}
	for i := range r.spec.Legs {
		if open(i) {
			from := *r.spec.Legs[i].From
			if groups[from] == nil {
				order = append(order, from)
			}
			groups[from] = append(groups[from], i)
		}
	}
	var out [][]int
	for _, from := range order {
		if len(groups[from]) > n {
			out = append(out, groups[from])
		}
	}
	return out
}

// countedPull is what a leg at an angle from the vertical pulls when n legs
// share the load. Beyond about 89.9 degrees it stays at a thousand times its
// share.
func countedPull(load, n, angle float64) float64 {
	return load / n / math.Max(1e-3, math.Cos(angle))
}

// vertical returns the upward pull of leg i, N.
func (j *judge) vertical(i int) float64 {
	x := &j.a.Legs[i]
	if x.Slack {
		return 0
	}
	return x.Tension * math.Cos(x.Angle)
}

func (j *judge) standing() {
	a := j.a
	if !a.Converged {
		j.find(Unknown, "not-settled", "rig", "the computation did not settle: %.3g N are out of balance", a.Residual)
	} else if !a.Stable {
		j.find(Unknown, "not-stable", "rig", "no stable position was found: the stiffness goes down to %.3g N/m", a.Lowest)
	}
	for i := range a.Bodies {
		b := &a.Bodies[i]
		switch {
		case !b.Joined:
			j.find(Exceeded, "does-not-stand", "body "+b.ID, "no leg joins it to an apex, directly or through other bodies: it does not leave the ground")
		case b.Tilt > tipped:
			j.find(Exceeded, "does-not-stand", "body "+b.ID, "it tips until it hangs %s from upright%s", j.r.Show().Angle(b.Tilt), j.lacks(i))
		}
	}
	for i := range a.Legs {
		if a.Legs[i].Slack {
			j.find(Note, "slack", "leg "+a.Legs[i].ID, "slack: it carries nothing")
		}
	}
}

// lacks says what a tipped body is short of.
func (j *judge) lacks(body int) string {
	id := j.r.spec.Bodies[body].ID
	var slack []string
	points := map[string]bool{}
	for i := range j.r.spec.Legs {
		for _, ref := range j.r.spec.Legs[i].To {
			if ref.ID == id {
				if j.a.Legs[i].Slack {
					slack = append(slack, j.r.spec.Legs[i].ID)
				} else {
					points[ref.Point] = true
				}
			}
		}
	}
	text := fmt.Sprintf("; %d of its points %s pulled", len(points), plural(len(points), "is", "are"))
	if len(slack) > 0 {
		text += fmt.Sprintf(", %s %s %s slack", plural(len(slack), "leg", "legs"), words(slack), plural(len(slack), "is", "are"))
	}
	return text + ": it lacks a pull on the side of its CG, or points above its CG"
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// legs judges each leg's pull and angle.
func (j *judge) legs() {
	own := map[string]*Set{}
	for i := range j.r.spec.Sets {
		for _, id := range j.r.spec.Sets[i].Legs {
			own[id] = &j.r.spec.Sets[i]
		}
	}
	for i := range j.a.Legs {
		x := &j.a.Legs[i]
		l := &j.r.spec.Legs[i]
		if x.Allowed > 0 {
			_, source := l.Factor()
			if source != "" {
				f, _ := l.Factor()
				source = fmt.Sprintf("%s hitch, factor %.3g: %s", l.Hitch, f, source)
			}
			j.check(Check{"leg " + l.ID, "pull along the leg", x.Worst, x.Allowed, true, source, x.WorstCase, nil})
			// What is shown as use is the rig as entered; a clevis sees the worst.
		}
		if l.Clevis != nil {
			j.check(Check{"clevis of leg " + l.ID, "pull on the clevis", x.Worst, *l.Clevis, true, "", x.WorstCase, nil})
		}
		if x.Slack {
			continue
		}
		limit, source := commonLegAngle, "no limit entered, so 45 deg: common practice, no source"
		if s := own[l.ID]; s != nil && s.UpTo != nil {
			limit, source = *s.UpTo, ""
		} else if j.r.spec.Limits.LegAngle != nil {
			limit, source = *j.r.spec.Limits.LegAngle, ""
		}
		j.check(Check{"leg " + l.ID, "angle from the vertical", x.Angle, limit, false, source, "", nil})
	}
}

func (j *judge) sets() {
	for _, s := range j.r.spec.Sets {
		x := SetAnswer{ID: s.ID}
		for i := range j.r.spec.Legs {
			if slices.Contains(s.Legs, j.r.spec.Legs[i].ID) {
				x.Load += j.vertical(i)
			}
		}
		if s.Rated != nil {
			x.Rated = *s.Rated
			j.check(Check{"set " + s.ID, "weight on the set", x.Load, *s.Rated, true, s.Source, "", nil})
		}
		j.a.Sets = append(j.a.Sets, x)
	}
}

// points judges the lift points: what they carry and which way they are
// pulled.
func (j *judge) points() {
	for bi := range j.r.spec.Bodies {
		b := &j.r.spec.Bodies[bi]
		for _, p := range b.Points {
			ref := Ref{b.ID, p.ID}
			if p.Rated != nil && j.seatLoad[ref] > 0 {
				j.check(Check{"lift point " + ref.String(), "pull on the lift point", j.seatLoad[ref], *p.Rated, true, "", j.seatCase[ref], nil})
			}
			pull, loaded := j.seatPull[ref]
			if p.Pull == nil || !loaded || Norm(pull) == 0 {
				continue
			}
			limit := math.Pi / 4
			source := "no limit entered, so 45 deg: common practice, no source"
			if p.PullWithin != nil {
				limit, source = *p.PullWithin, ""
			}
			made := j.a.Bodies[bi].Turn.Rotate(*p.Pull)
			angle := math.Atan2(Norm(statics.Cross(made, pull)), statics.Dot(made, pull))
			j.check(Check{"lift point " + ref.String(), "pull aside of the direction it is made for,", angle, limit, false, source, "", nil})
		}
	}
}

func (j *judge) hooks() {
	for i, ap := range j.r.spec.Apexes {
		x := &j.a.Apexes[i]
		force := Norm(x.Force)
		if ap.HookRated != nil {
			j.check(Check{"hook of " + ap.ID, "pull on the hook", force, *ap.HookRated, true, "", "", nil})
		}
		if ap.Rated != nil {
			j.check(Check{"apex fitting " + ap.ID, "pull on the apex fitting", force, *ap.Rated, true, "", "", nil})
		}
		if ap.Pendant != nil && ap.Pendant.Rated != nil {
			j.check(Check{"pendant of " + ap.ID, "pull along the pendant", x.Pendant, *ap.Pendant.Rated, true, "", "", nil})
		}
	}
}

// attitude judges the bands of pitch and roll, where the rig gives any, for
// every body that has a shape, or all where none has.
func (j *judge) attitude() {
	show := j.r.Show()
	by := func(beyond float64) string {
		if beyond < 0.05*quantity.Degree { // it would read as nothing
			return "less than " + show.Angle(0.1*quantity.Degree)
		}
		return show.Angle(beyond)
	}
	band := func(code, about, what string, x float64, b *[2]float64, low, high string) {
		if b == nil {
			return
		}
		end := b[1]
		if x < (b[0]+b[1])/2 {
			end = b[0]
		}
		c := Check{About: about, What: what, Demand: x, Limit: end, Band: b}
		j.a.Checks = append(j.a.Checks, c)
		switch {
		case !c.Passed():
		case x < b[0]:
			j.find(Exceeded, code, about, "%s %s, %s below the band of %s to %s (%s)", what, show.Angle(x), by(b[0]-x), show.Angle(b[0]), show.Angle(b[1]), low)
		default:
			j.find(Exceeded, code, about, "%s %s, %s above the band of %s to %s (%s)", what, show.Angle(x), by(x-b[1]), show.Angle(b[0]), show.Angle(b[1]), high)
		}
	}
	for i := range j.a.Bodies {
		b := &j.a.Bodies[i]
		if j.r.spec.Bodies[i].Shape.Kind == NoShape && len(j.a.Bodies) > 1 {
			continue
		}
		band("pitch-outside", "body "+b.ID, "pitch", b.Pitch, j.r.spec.Limits.Pitch, "nose too low", "nose too high")
		band("roll-outside", "body "+b.ID, "roll", b.Roll, j.r.spec.Limits.Roll, "left side too low", "right side too low")
	}
}

func (j *judge) overlaps() {
	for _, o := range j.a.overlappingBoxes() {
		j.find(Exceeded, "boxes-overlap", fmt.Sprintf("bodies %s and %s", o.a, o.b),
			"their boxes overlap by %s; boxes do not push each other here, so the position shown is not the real one", j.r.Show().Size(o.depth))
	}
}

// freeRunning solves the rig a second time with chain that runs through its
// points without friction, where there are loops through several points.
func (j *judge) freeRunning() {
	var loops []string
	for i := range j.r.spec.Legs {
		if len(j.r.spec.Legs[i].To) > 1 {
			loops = append(loops, j.r.spec.Legs[i].ID)
		}
	}
	if len(loops) == 0 {
		return
	}
	about := plural(len(loops), "leg ", "legs ") + words(loops)
	var sol statics.Solution
	v := j.v
	v.runFreely = true
	c := compile(j.r, v)
	j.solver.Solve(c.model, nil, &sol)
	if !sol.Converged || !sol.Stable {
		j.find(Unknown, "chain-may-run", about, "if the chain ran through its points, the computation finds no position: it holds only as long as the chain bites")
		return
	}
	other := c.read(j.r, &sol)
	tilt, worst, leg, over := 0.0, 0.0, "", false
	for i := range other.Bodies {
		tilt = math.Max(tilt, other.Bodies[i].Tilt-j.a.Bodies[i].Tilt)
		if other.Bodies[i].Tilt > tipped && j.a.Bodies[i].Tilt <= tipped {
			j.find(Unknown, "chain-may-run", about, "if the chain ran through its points, body %s would tip over: it stands only as long as the chain bites", other.Bodies[i].ID)
			return
		}
	}
	for i := range other.Legs {
		x, was := &other.Legs[i], &j.a.Legs[i]
		if x.Allowed > 0 && x.Use-was.Use > worst {
			worst, leg = x.Use-was.Use, x.ID
			over = over || x.Use > 1 && was.Use <= 1
		}
	}
	if over {
		j.find(Unknown, "chain-may-run", about, "if the chain ran through its points, a leg would pass its rating: it is kept only as long as the chain bites")
		return
	}
	if worst > 0.005 {
		j.find(Note, "chain-may-run", about, "if the chain ran through its points, leg %s would carry %s more of its rating", leg, j.r.Show().Percent(worst))
	}
	if tilt > math.Pi/180 {
		j.find(Note, "chain-may-run", about, "if the chain ran through its points, the load would tilt %s more", j.r.Show().Angle(tilt))
	}
}

// counts names counts lower than practice allows.
func (j *judge) counts() {
	for i := range j.r.spec.Legs {
		l := &j.r.spec.Legs[i]
		if l.Count != nil && *l.Count < j.r.spec.LowestCount {
			j.find(Note, "count-low", "leg "+l.ID, "count %d is below %d, the lowest that practice allows (%s)", *l.Count, j.r.spec.LowestCount,
				"common practice, no source, unless the school set it")
		}
	}
}

// missing names every part of the load path with no rating or limit entered.
func (j *judge) missing() {
	var hooks, fittings, pendants, legs, clevises, points []string
	for _, ap := range j.r.spec.Apexes {
		if ap.HookRated == nil {
			hooks = append(hooks, ap.ID)
		}
		if ap.Rated == nil {
			fittings = append(fittings, ap.ID)
		}
		if ap.Pendant != nil && ap.Pendant.Rated == nil {
			pendants = append(pendants, ap.ID)
		}
	}
	inSet := map[string]bool{}
	for _, s := range j.r.spec.Sets {
		for _, id := range s.Legs {
			inSet[id] = inSet[id] || s.Rated != nil
		}
	}
	seen := map[Ref]bool{}
	for i := range j.r.spec.Legs {
		l := &j.r.spec.Legs[i]
		if l.Rated == nil && !inSet[l.ID] {
			legs = append(legs, l.ID)
		}
		if l.Hitch != Direct {
			continue
		}
		if l.Clevis == nil && !l.NoClevis {
			clevises = append(clevises, l.ID)
		}
		refs := l.To
		if l.From.Point != "" {
			refs = append(slices.Clone(refs), *l.From)
		}
		for _, ref := range refs {
			if p, _ := j.r.spec.Bodies[j.c.bodies[ref.ID]].PointAt(ref.Point); p.Rated == nil && !seen[ref] {
				seen[ref] = true
				points = append(points, ref.String())
			}
		}
	}
	j.lack("hook", hooks, "the hook's rating for %s is not entered")
	j.lack("apex fitting", fittings, "no rating is entered for apex fitting %s")
	j.lack("pendant", pendants, "no rating is entered for the pendant of %s")
	j.lack("leg", legs, "no rating is entered for leg %s or a set it belongs to")
	j.lack("clevis", clevises, "no rating is entered for the clevis of leg %s")
	j.lack("lift point", points, "no rating is entered for lift point %s")
}

func (j *judge) lack(part string, ids []string, format string) {
	if len(ids) == 0 {
		return
	}
	for _, id := range ids {
		j.a.Missing = append(j.a.Missing, part+" "+id)
	}
	j.find(Unknown, "limit-missing", part+" "+strings.Join(ids, ", "), format, words(ids))
}

// conclude sets the result from the findings and sorts them, gravest first.
func (j *judge) conclude() {
	a := j.a
	first := func(ok func(Finding) bool) (Finding, int) {
		var f Finding
		n := 0
		for _, x := range a.Findings {
			if ok(x) {
				if n == 0 {
					f = x
				}
				n++
			}
		}
		return f, n
	}
	// What the computation could not settle weighs more than a limit that
	// nobody entered.
	slices.SortStableFunc(a.Findings, func(x, y Finding) int {
		return cmp.Compare(lateness(x), lateness(y))
	})
	fallen, falls := first(func(f Finding) bool { return f.Code == "does-not-stand" })
	over, overs := first(func(f Finding) bool { return f.Level == Exceeded && f.Code != "does-not-stand" })
	unknown, unknowns := first(func(f Finding) bool { return f.Level == Unknown })
	more := func(n int) string {
		if n > 1 {
			return fmt.Sprintf(" (and %d more)", n-1)
		}
		return ""
	}
	switch {
	case falls > 0:
		a.Result, a.Reason = DoesNotStand, fallen.About+": "+fallen.Text+more(falls)
	case overs > 0:
		a.Result, a.Reason = Over, over.About+": "+over.Text+more(overs)
	case unknowns > 0:
		a.Result, a.Reason = CannotTell, unknown.About+": "+unknown.Text+more(unknowns)
		if unknown.Code == "limit-missing" {
			a.Reason = "no limit is entered for: " + strings.Join(a.Missing, ", ")
		}
	default:
		a.Result = Within
		a.Reason = "every limit entered is kept"
		if c, ok := a.Governing(); ok {
			a.Reason += fmt.Sprintf("; nearest to its limit: %s, %s %s of %s", c.About, c.What, showCheck(j.r.Show(), c.Demand, c.Force), showCheck(j.r.Show(), c.Limit, c.Force))
		}
	}
}

// lateness orders findings: gravest level first, and within a level missing
// limits last.
func lateness(f Finding) int {
	n := 2 * int(Exceeded-f.Level)
	if f.Code == "limit-missing" {
		n++
	}
	return n
}

func showCheck(s quantity.System, x float64, force bool) string {
	if force {
		return s.Force(x)
	}
	return s.Angle(x)
}
