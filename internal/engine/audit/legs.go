package audit

import (
	"fmt"
	"math"
)

// lines works out every line from the published position.
func (a *auditor) lines() {
	a.strands = found(a.s)
	a.points, a.pulled = map[end]float64{}, a.s.pulls()
	a.seat(a.s)
}

// found reads the legs off a state.
func found(s *state) []legFound {
	out := make([]legFound, len(s.load.legs))
	for i := range s.lines {
		l := &s.lines[i]
		if l.leg < 0 {
			continue
		}
		t, length, along := s.pull(l)
		x := &out[l.leg]
		if l.run >= 0 {
			x.runs = append(x.runs, t)
			continue
		}
		x.tension, x.length, x.slack = t, length, t == 0
		x.upper = along.times(-length)
		x.angle = x.upper.fromVertical()
		x.worst = t
	}
	return out
}

// pulls adds up what legs do to each point of a body.
func (s *state) pulls() map[end]vec {
	out := map[end]vec{}
	for i := range s.lines {
		l := &s.lines[i]
		t, _, along := s.pull(l)
		if t == 0 {
			continue
		}
		if l.a.body >= 0 {
			out[l.a.name] = out[l.a.name].plus(along.times(t))
		}
		if l.b.body >= 0 {
			out[l.b.name] = out[l.b.name].plus(along.times(-t))
		}
	}
	return out
}

func (a *auditor) seat(s *state) {
	for e, v := range s.pulls() {
		a.points[e] = math.Max(a.points[e], v.length())
	}
}

// slack tolerance of a leg: as entered, half a link of its chain or of the
// longest link in the rig, half of a 28 mm link where there is no chain.
func (a *auditor) tolerance(i int) float64 {
	if a.r.tolerance != nil {
		return *a.r.tolerance
	}
	longest := a.r.legs[i].pitch
	if longest == 0 {
		for k := range a.r.legs {
			longest = math.Max(longest, a.r.legs[k].pitch)
		}
	}
	if longest == 0 {
		longest = 0.028
	}
	return longest / 2
}

// cases settles the rig again with each leg whose tension statics leaves open
// a little longer and shorter, and then counts legs as the user's rule does.
func (a *auditor) cases() {
	open := a.s.open()
	for i := range a.strands {
		a.strands[i].open = open[i]
		tol := a.tolerance(i)
		if !open[i] || tol == 0 {
			continue
		}
		for _, by := range [...]float64{tol, -tol} {
			start := *a.s
			start.lines = append([]line{}, a.s.lines...)
			for k := range start.lines {
				if l := &start.lines[k]; l.leg == i && l.run < 0 {
					l.unloaded = math.Max(1e-3, l.unloaded+by)
				}
			}
			other, ok := start.settled(a.w)
			if !ok {
				continue
			}
			for k, x := range found(other) {
				a.strands[k].worst = math.Max(a.strands[k].worst, x.tension)
			}
			a.seat(other)
		}
	}
	if a.r.counted > 0 {
		a.count()
	}
}

// count shares the weight that hangs on a group of open legs over as many as
// the rule counts.
func (a *auditor) count() {
	groups := map[end][]int{}
	for i := range a.strands {
		if a.strands[i].open {
			groups[a.r.legs[i].from] = append(groups[a.r.legs[i].from], i)
		}
	}
	for _, group := range groups {
		if len(group) <= a.r.counted {
			continue
		}
		load := 0.0
		for _, i := range group {
			load += a.strands[i].vertical()
		}
		for _, i := range group {
			x := &a.strands[i]
			x.counted = load / float64(a.r.counted) / math.Max(1e-3, math.Cos(x.angle))
			x.worst = math.Max(x.worst, x.counted)
			if to := a.r.legs[i].to; len(to) == 1 {
				a.points[to[0]] = math.Max(a.points[to[0]], x.counted)
			}
		}
	}
}

// worstForce is the tolerance of a tension in a case that is settled again.
func (a *auditor) worstForce() float64 { return 1e-5 * a.w }

func (a *auditor) legs() {
	for i, x := range a.p.items(a.p.root, "", "legs") {
		path := fmt.Sprintf("legs[%d].", i)
		in, own := &a.r.legs[i], &a.strands[i]
		a.same(path+"id", a.p.text(x, path, "id"), in.id)
		if t := a.p.number(x, path, "tension_n"); t < 0 {
			a.differ(path+"tension_n", digits(t)+" N", "not negative", "")
		}
		a.number(x, path, "tension_n", own.tension, a.force(), " N")
		a.number(x, path, "length_m", own.length, lengthTolerance, " m")
		rope := in.length
		if len(in.to) == 1 {
			rope += in.loop() / 2
		}
		a.number(x, path, "unstretched_m", rope, 1e-9*(1+rope), " m")
		angle := degrees(own.angle)
		angleIs := &angle
		if own.slack {
			angleIs = nil
		}
		a.optional(x, path, "angle_from_vertical_deg", angleIs, angleTolerance, " deg")
		a.same(path+"slack", a.p.yes(x, path, "slack"), own.slack)
		runs := a.p.numbers(x, path, "run_tensions_n", -1)
		if len(runs) != len(own.runs) {
			a.differ(path+"run_tensions_n", fmt.Sprint(len(runs), " runs"), fmt.Sprint(len(own.runs)), "")
		} else {
			for k := range runs {
				a.near(fmt.Sprintf("%srun_tensions_n[%d]", path, k), runs[k], own.runs[k], a.force(), " N")
			}
		}
		rated := in.allowed()
		a.optional(x, path, "rated_n", rated, 1e-6, " N")
		a.optional(x, path, "use", share(own.tension, rated), a.use(rated), "")
		a.number(x, path, "worst_tension_n", own.worst, a.worstForce(), " N")
		a.optional(x, path, "worst_use", share(own.worst, rated), 10*a.use(rated), "")
		a.same(path+"redundant", a.p.yes(x, path, "redundant"), own.open)
		var counted *float64
		if own.counted > 0 {
			counted = &own.counted
		}
		a.optional(x, path, "counted_n", counted, a.worstForce(), " N")
		var count *float64
		if in.count != nil {
			n := float64(*in.count)
			count = &n
		}
		a.optional(x, path, "count", count, 0, "")
	}
}

// allowed is the pull that a leg's rating allows in its hitch.
func (l *leg) allowed() *float64 {
	if l.rated == nil {
		return nil
	}
	x := *l.rated * l.factor
	return &x
}
