package audit

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// wanted is a limit that a solution of this rig must hold against something.
type wanted struct {
	about, what   string
	demand, limit float64 // N, or deg
	force         bool
	band          *[2]float64 // deg, of pitch or roll; limit is then its nearer end
}

// limit notes a limit, where one is entered.
func (a *auditor) limit(about, what string, demand float64, limit *float64, force bool) {
	if limit == nil {
		return
	}
	w := wanted{about: about, what: what, demand: demand, limit: *limit, force: force}
	if !force {
		w.demand, w.limit = degrees(w.demand), degrees(w.limit)
	}
	a.wanted = append(a.wanted, w)
}

// commonAngle is 45 deg, for what has no limit of angle: common practice, no
// source.
var commonAngle = math.Pi / 4

func (a *auditor) legLimits() {
	for i := range a.r.legs {
		in, x := &a.r.legs[i], &a.strands[i]
		a.limit("leg "+in.id, "pull along the leg", x.worst, in.allowed(), true)
		a.limit("clevis of leg "+in.id, "pull on the clevis", x.worst, in.clevis, true)
		if x.slack {
			continue
		}
		angle := &commonAngle
		if a.r.legAngle != nil {
			angle = a.r.legAngle
		}
		for k := range a.r.sets {
			if s := &a.r.sets[k]; slices.Contains(s.legs, in.id) && s.upTo != nil {
				angle = s.upTo
			}
		}
		a.limit("leg "+in.id, "angle from the vertical", x.angle, angle, false)
	}
	for k := range a.r.sets {
		a.limit("set "+a.r.sets[k].id, "weight on the set", a.setLoad(&a.r.sets[k]), a.r.sets[k].rated, true)
	}
}

func (a *auditor) pointLimits() {
	for i := range a.r.bodies {
		b := &a.r.bodies[i]
		for _, id := range sortedKeys(b.points) {
			p, e := b.points[id], end{b.id, id}
			about := "lift point " + e.String()
			if a.points[e] > 0 {
				a.limit(about, "pull on the lift point", a.points[e], p.rated, true)
			}
			pull := a.pulled[e]
			if p.pull == nil || pull.length() == 0 {
				continue
			}
			within := &commonAngle
			if p.within != nil {
				within = p.within
			}
			made := a.s.turn[i].turn(*p.pull)
			a.limit(about, "pull aside of the direction it is made for,", math.Atan2(made.cross(pull).length(), made.dot(pull)), within, false)
		}
	}
}

// bandLimits notes the bands of pitch and roll, for every body with a shape, or
// the only body.
func (a *auditor) bandLimits() {
	for i := range a.r.bodies {
		if !a.judgedAttitude(i) {
			continue
		}
		pitch, roll := a.attitude(i)
		for _, x := range [...]struct {
			what string
			is   float64
			band *[2]float64
		}{{"pitch", pitch, a.r.pitch}, {"roll", roll, a.r.roll}} {
			if x.band == nil {
				continue
			}
			w := wanted{about: "body " + a.r.bodies[i].id, what: x.what, demand: degrees(x.is), band: &[2]float64{degrees(x.band[0]), degrees(x.band[1])}}
			w.limit = w.band[1]
			if w.demand < (w.band[0]+w.band[1])/2 {
				w.limit = w.band[0]
			}
			a.wanted = append(a.wanted, w)
		}
	}
}

// judgedAttitude reports whether a body's attitude is held against the bands: a
// mere mass among others has none to keep.
func (a *auditor) judgedAttitude(i int) bool {
	return a.r.bodies[i].shape != (shape{}) || len(a.r.bodies) == 1
}

// attitude returns pitch and roll of a body, rad.
func (a *auditor) attitude(i int) (pitch, roll float64) {
	x, y, z := a.s.turn[i].turn(vec{1, 0, 0}), a.s.turn[i].turn(vec{0, 1, 0}), a.s.turn[i].turn(vec{0, 0, 1})
	return math.Atan2(x[2], math.Hypot(x[0], x[1])), math.Atan2(y[2], z[2])
}

// passed reports whether a limit is passed or a band left by more than slack.
func (w *wanted) passed(slack float64) bool {
	if w.band != nil {
		return w.demand < w.band[0]-slack || w.demand > w.band[1]+slack
	}
	return w.demand > w.limit+slack
}

// checks compares the limits that the solution held against something with
// those that this rig enters.
func (a *auditor) checks() {
	a.legLimits()
	a.pointLimits()
	a.bandLimits()
	seen := make([]bool, len(a.wanted))
	for i, x := range a.p.items(a.p.root, "", "checks") {
		path := fmt.Sprintf("checks[%d].", i)
		about, what := a.p.text(x, path, "about"), a.p.text(x, path, "what")
		k := slices.IndexFunc(a.wanted, func(w wanted) bool { return w.about == about && w.what == what })
		if k < 0 || seen[k] {
			a.differ(path, about+", "+what, "no such limit in the rig", "")
			continue
		}
		seen[k] = true
		w := a.wanted[k]
		unit, demand, limit := "N", a.worstForce(), 1e-6
		if !w.force {
			unit, demand, limit = "deg", angleTolerance, 1e-9
		}
		a.same(path+"unit", a.p.text(x, path, "unit"), unit)
		a.number(x, path, "demand", w.demand, demand, " "+unit)
		if w.band != nil {
			a.number(x, path, "low", w.band[0], limit, " "+unit)
			a.number(x, path, "high", w.band[1], limit, " "+unit)
			// In the middle of a band either end is as near.
			if mid := (w.band[0] + w.band[1]) / 2; math.Abs(w.demand-mid) < demand && a.p.number(x, path, "limit") > mid {
				w.limit = w.band[1]
			} else if math.Abs(w.demand-mid) < demand {
				w.limit = w.band[0]
			}
		}
		a.number(x, path, "limit", w.limit, limit, " "+unit)
		if over := a.p.yes(x, path, "over"); math.Abs(w.demand-w.limit) > demand {
			a.same(path+"over", over, w.passed(0))
		}
	}
	for k, w := range a.wanted {
		if !seen[k] {
			a.differ("checks", "nothing", w.about+", "+w.what, "")
		}
	}
}

// outcome holds the result against the limits that were entered, those that
// were not, and how the load stands.
func (a *auditor) outcome() {
	missing := a.missing()
	var have []string
	list, _ := a.p.root["not_entered"].([]any)
	for _, x := range list {
		s, _ := x.(string)
		have = append(have, s)
	}
	slices.Sort(have)
	slices.Sort(missing)
	a.same("not_entered", strings.Join(have, ", "), strings.Join(missing, ", "))

	falls, over := false, false
	for i := range a.r.bodies {
		z := a.s.turn[i].turn(vec{0, 0, 1})
		falls = falls || a.s.off[i] || z.fromVertical() > math.Pi/3
		over = over || a.r.bodies[i].fill != nil && a.r.bodies[i].fill.over
	}
	for i := range a.wanted {
		w := &a.wanted[i]
		slack := 1e-6 * w.limit
		if w.band != nil {
			slack = degrees(1e-7)
		}
		over = over || w.passed(slack)
	}
	result := a.p.text(a.p.root, "", "result")
	levels := map[string]bool{}
	for i, f := range a.p.items(a.p.root, "", "findings") {
		levels[a.p.text(f, fmt.Sprintf("findings[%d].", i), "level")] = true
	}
	switch {
	case falls:
		a.same("result", result, "does-not-stand")
	case over:
		a.same("result", result, "over")
	case result == "within" && len(missing) > 0, result == "within" && (levels["over"] || levels["cannot-tell"]):
		a.differ("result", result, "cannot-tell or over: something is not entered, or a finding stands against it", "")
	case result == "over" && !levels["over"], result == "cannot-tell" && !levels["cannot-tell"]:
		a.differ("result", result, "no finding that says so", "")
	case result == "does-not-stand":
		a.differ("result", result, "every body hangs within 60 deg of upright", "")
	case result != "within" && result != "over" && result != "cannot-tell":
		a.differ("result", result, "none of the four results", "")
	}
	a.same("status", a.p.text(a.p.root, "", "status"), a.status())
}

// status is how the rig stands to its procedure.
func (a *auditor) status() string {
	p := a.r.procedure
	if p == nil {
		return "no approved procedure entered"
	}
	out := p.weight != nil && (a.w < p.weight[0]*(1-1e-9) || a.w > p.weight[1]*(1+1e-9))
	for i := range a.r.legs {
		l := &a.r.legs[i]
		if n, given := p.counts[l.id]; given && (l.count == nil || *l.count != n) {
			out = true
		}
	}
	if out {
		return "outside what its procedure covers"
	}
	return "follows an approved procedure"
}

// missing names every part of the load path with no rating or limit.
func (a *auditor) missing() []string {
	var out []string
	add := func(part string, here bool) {
		if !here && !slices.Contains(out, part) {
			out = append(out, part)
		}
	}
	for _, x := range a.r.apexes {
		add("hook "+x.id, x.hook != nil)
		add("apex fitting "+x.id, x.rated != nil)
		add("pendant "+x.id, x.pendant == nil || x.pendant.rated != nil)
	}
	for i := range a.r.legs {
		l := &a.r.legs[i]
		rated := l.rated != nil
		for _, s := range a.r.sets {
			rated = rated || s.rated != nil && slices.Contains(s.legs, l.id)
		}
		add("leg "+l.id, rated)
		if !l.direct {
			continue
		}
		add("clevis "+l.id, l.clevis != nil || l.noClevis)
		for _, e := range append(slices.Clone(l.to), l.from) {
			if p, onBody := a.r.point(e); onBody {
				add("lift point "+e.String(), p.rated != nil)
			}
		}
	}
	return out
}
