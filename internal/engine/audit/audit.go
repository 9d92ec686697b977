package audit

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
)

// Report is what an audit found.
type Report struct {
	Weight float64 // of all bodies, N
	// Force and Moment are the largest unbalanced components, N and N·m, of the
	// bodies and free nodes that hang on an apex; ForceAt and MomentAt say
	// where.
	Force, Moment     float64
	ForceAt, MomentAt string
	Allowed           float64 // what may be left over of either, N or N·m over 1 m
	Compared          int     // numbers of the solution held against an own one
	Disagreements     []Disagreement
	NotCompared       []string // numbers of the solution that the audit does not know
}

// Disagreement is one thing in which the solution and the audit differ.
type Disagreement struct {
	About     string // key of the solution, or what is wrong
	Solution  string
	Own       string
	Tolerance string // "" where the two must be the same
}

// String is the disagreement on one line.
func (d Disagreement) String() string {
	s := d.About + ": the solution says " + d.Solution + ", the audit finds " + d.Own
	if d.Tolerance != "" {
		s += " (tolerance " + d.Tolerance + ")"
	}
	return s
}

// Run audits the bytes of a solution against the bytes of its rig file. The
// error is that one of them cannot be read, or that they do not belong
// together.
func Run(rig, solution []byte) (*Report, error) {
	r, err := readLoad(rig)
	if err != nil {
		return nil, err
	}
	p, err := readPublished(solution)
	if err != nil {
		return nil, err
	}
	s := &state{load: r}
	s.lay()
	s.loosen()
	if err := p.position(s); err != nil {
		return nil, err
	}
	a := &auditor{r: r, p: p, s: s, w: r.weight(), report: &Report{Weight: r.weight()}}
	a.identity(rig)
	a.balance()
	a.bodies()
	a.lines()
	a.cases()
	a.legs()
	a.sets()
	a.apexes()
	a.contacts()
	a.motions()
	a.checks()
	a.outcome()
	if p.err != nil {
		return nil, p.err
	}
	a.report.Compared = len(p.compared)
	a.report.NotCompared = p.uncompared()
	return a.report, nil
}

type auditor struct {
	r      *load
	p      *published
	s      *state
	w      float64 // weight, N
	report *Report

	strands []legFound
	points  map[end]float64 // largest pull on each point in all cases, N
	pulled  map[end]vec     // pull on each point as the rig is entered, N
	wanted  []wanted        // limits that must have been held against something
}

// legFound is what the audit finds of a leg.
type legFound struct {
	tension, length, angle float64
	upper                  vec // from its lower end to its upper end
	runs                   []float64
	slack, open            bool
	worst, counted         float64
}

func (a *auditor) differ(about, solution, own, tolerance string) {
	a.report.Disagreements = append(a.report.Disagreements, Disagreement{about, solution, own, tolerance})
}

func digits(x float64) string { return strconv.FormatFloat(x, 'g', 9, 64) }

// near compares a number of the solution with an own one.
func (a *auditor) near(about string, have, own, tolerance float64, unit string) {
	if !(math.Abs(have-own) <= tolerance) {
		a.differ(about, digits(have)+unit, digits(own)+unit, strconv.FormatFloat(tolerance, 'g', 2, 64)+unit)
	}
}

// number compares the number under a key.
func (a *auditor) number(in map[string]any, path, key string, own, tolerance float64, unit string) {
	a.near(path+key, a.p.number(in, path, key), own, tolerance, unit)
}

// optional compares a number that is null where there is none.
func (a *auditor) optional(in map[string]any, path, key string, own *float64, tolerance float64, unit string) {
	v, there := in[key]
	switch {
	case !there:
		a.p.fail(path+key, "there")
	case own == nil && v != nil:
		a.p.compared[path+key] = true
		a.differ(path+key, fmt.Sprint(v), "nothing", "")
	case own != nil && v == nil:
		a.differ(path+key, "nothing", digits(*own)+unit, "")
	case own != nil:
		a.number(in, path, key, *own, tolerance, unit)
	}
}

func (a *auditor) same(about string, have, own any) {
	if have != own {
		a.differ(about, fmt.Sprint(have), fmt.Sprint(own), "")
	}
}

func (a *auditor) vector(in map[string]any, path, key string, own vec, tolerance float64, unit string) {
	have := a.p.vec(in, path, key)
	for k := range 3 {
		a.near(fmt.Sprintf("%s%s[%d]", path, key, k), have[k], own[k], tolerance, unit)
	}
}

func (a *auditor) force() float64 { return 1e-6 * a.w }

const (
	lengthTolerance = 1e-6 // m
	angleTolerance  = 1e-5 // deg
)

func degrees(rad float64) float64 { return rad * 180 / math.Pi }

// identity compares what names the rig.
func (a *auditor) identity(rig []byte) {
	if have, ok := a.p.root["rig_sha256"].(string); ok {
		sum := sha256.Sum256(rig)
		if own := hex.EncodeToString(sum[:]); have != own {
			// The beginning tells two versions of one rig apart.
			a.differ("rig_sha256", "the rig's version is "+have[:min(8, len(have))], own[:8]+": it is of another version", "")
		}
	}
	a.same("invented", a.p.yes(a.p.root, "", "invented"), a.r.invented)
	a.number(a.p.root, "", "weight_n", a.w, 1e-9*a.w, " N")
}

// balance adds up all forces on each body and node.
func (a *auditor) balance() {
	fine, _ := a.s.forces(2 * samples)
	coarse, _ := a.s.forces(samples)
	a.report.Allowed = a.force()
	nb := len(a.r.bodies)
	for i, x := range fine {
		// How well the contact is summed shows in what more points change.
		a.report.Allowed = math.Max(a.report.Allowed, a.force()+2*math.Abs(x-coarse[i]))
		name := "a node"
		if i < 6*nb {
			name = "body " + a.r.bodies[i/6].id
		}
		if x = math.Abs(x); i < 6*nb && i%6 >= 3 {
			if x > a.report.Moment {
				a.report.Moment, a.report.MomentAt = x, name
			}
		} else if x > a.report.Force {
			a.report.Force, a.report.ForceAt = x, name
		}
	}
	if a.report.Force > a.report.Allowed {
		a.differ("balance of forces at "+a.report.ForceAt, "0 N", digits(a.report.Force)+" N", digits(a.report.Allowed)+" N")
	}
	if a.report.Moment > a.report.Allowed {
		a.differ("balance of moments at "+a.report.MomentAt, "0 N·m", digits(a.report.Moment)+" N·m", digits(a.report.Allowed)+" N·m")
	}
	// A residual is what rounding leaves; only its size can be held to anything.
	if have := a.p.number(a.p.root, "", "residual_n"); !(have >= 0 && have <= a.force()) {
		a.differ("residual_n", digits(have)+" N", "at most "+digits(a.force())+" N", "")
	}
	a.same("converged", a.p.yes(a.p.root, "", "converged"), math.Max(a.report.Force, a.report.Moment) <= a.report.Allowed)
}

func (a *auditor) bodies() {
	for i, b := range a.p.items(a.p.root, "", "bodies") {
		path := fmt.Sprintf("bodies[%d].", i)
		q := a.p.numbers(b, path, "quaternion_wxyz", 4)
		size := math.Sqrt(q[0]*q[0] + q[1]*q[1] + q[2]*q[2] + q[3]*q[3])
		a.near(path+"quaternion_wxyz: its size", size, 1, 1e-9, "")
		if q[0] < 0 {
			a.differ(path+"quaternion_wxyz[0]", digits(q[0]), "at least 0", "")
		}
		a.vector(b, path, "cg_m", a.s.cg[i], lengthTolerance, " m")
		x, y, z := a.s.turn[i].turn(vec{1, 0, 0}), a.s.turn[i].turn(vec{0, 1, 0}), a.s.turn[i].turn(vec{0, 0, 1})
		a.number(b, path, "pitch_deg", degrees(math.Atan2(x[2], math.Hypot(x[0], x[1]))), angleTolerance, " deg")
		a.number(b, path, "roll_deg", degrees(math.Atan2(y[2], z[2])), angleTolerance, " deg")
		a.number(b, path, "tilt_deg", degrees(z.fromVertical()), angleTolerance, " deg")
		a.number(b, path, "mass_kg", a.r.bodies[i].mass, 1e-9*a.r.bodies[i].mass, " kg")
		a.same(path+"joined", a.p.yes(b, path, "joined"), !a.s.off[i])
	}
}

func (a *auditor) sets() {
	list := a.p.items(a.p.root, "", "sets")
	if len(list) != len(a.r.sets) {
		a.differ("sets", fmt.Sprint(len(list)), fmt.Sprint(len(a.r.sets)), "")
		return
	}
	for i, x := range list {
		path := fmt.Sprintf("sets[%d].", i)
		in := a.r.sets[i]
		a.same(path+"id", a.p.text(x, path, "id"), in.id)
		load := a.setLoad(&in)
		a.number(x, path, "load_n", load, a.force(), " N")
		a.optional(x, path, "rated_n", in.rated, 1e-6, " N")
		a.optional(x, path, "use", share(load, in.rated), a.use(in.rated), "")
	}
}

func (a *auditor) setLoad(in *set) float64 {
	load := 0.0
	for k := range a.r.legs {
		if slices.Contains(in.legs, a.r.legs[k].id) {
			load += a.strands[k].vertical()
		}
	}
	return load
}

// vertical is the upward pull of a leg, N.
func (l *legFound) vertical() float64 { return l.tension * l.upper.unit()[2] }

func share(x float64, rated *float64) *float64 {
	if rated == nil {
		return nil
	}
	use := x / *rated
	return &use
}

// use is the tolerance of a share.
func (a *auditor) use(rated *float64) float64 {
	if rated == nil {
		return 0
	}
	return 1e-6 + a.force() / *rated
}

// hookForce is what the rig does to the aircraft at an apex.
func (a *auditor) hookForce(i int) (force vec, pendant float64) {
	at := a.r.apexes[i]
	for k := range a.s.lines {
		l := &a.s.lines[k]
		t, _, along := a.s.pull(l)
		switch {
		case l.leg < 0 && l.apex == i:
			force, pendant = force.plus(along.times(t)), t
		case l.a.fixed && at.pendant == nil && a.r.legs[l.leg].from == end{id: at.id}:
			force = force.plus(along.times(t))
		}
	}
	return force, pendant
}

func (a *auditor) apexes() {
	for i, x := range a.p.items(a.p.root, "", "apexes") {
		path := fmt.Sprintf("apexes[%d].", i)
		in := a.r.apexes[i]
		a.same(path+"id", a.p.text(x, path, "id"), in.id)
		a.vector(x, path, "hook_m", in.at, lengthTolerance, " m")
		if in.pendant == nil {
			a.vector(x, path, "position_m", in.at, lengthTolerance, " m")
		}
		force, pendant := a.hookForce(i)
		a.vector(x, path, "force_n", force, a.force(), " N")
		a.limit("hook of "+in.id, "pull on the hook", force.length(), in.hook, true)
		a.limit("apex fitting "+in.id, "pull on the apex fitting", force.length(), in.rated, true)
		if in.pendant != nil {
			a.limit("pendant of "+in.id, "pull along the pendant", pendant, in.pendant.rated, true)
		}
	}
}

func (a *auditor) contacts() {
	type pair struct{ a, b string }
	have := map[pair]string{}
	list := a.p.items(a.p.root, "", "contacts")
	for i, x := range list {
		path := fmt.Sprintf("contacts[%d].", i)
		have[pair{a.p.text(x, path, "a"), a.p.text(x, path, "b")}] = path
	}
	found := 0
	for i := range a.r.bodies {
		for k := range i {
			force := a.s.contactForce(k, i, 2*samples)
			path, there := have[pair{a.r.bodies[k].id, a.r.bodies[i].id}]
			if there {
				found++
				tolerance := a.force() + 2*math.Abs(force-a.s.contactForce(k, i, samples))
				n := slices.IndexFunc(list, func(x map[string]any) bool {
					return x["a"] == a.r.bodies[k].id && x["b"] == a.r.bodies[i].id
				})
				a.number(list[n], path, "force_n", force, tolerance, " N")
			} else if force > a.force() && !a.s.off[i] && !a.s.off[k] {
				a.differ("contact of "+a.r.bodies[k].id+" and "+a.r.bodies[i].id, "none", digits(force)+" N", "")
			}
		}
	}
	if found != len(list) {
		a.differ("contacts", fmt.Sprint(len(list)), fmt.Sprint(found)+" of them between bodies of this rig", "")
	}
}

// motions compares the stiffness and the small motions.
func (a *auditor) motions() {
	k := a.s.stiffness(samples)
	low := a.s.lowest(k)
	if a.p.root["lowest_stiffness_n_per_m"] != nil {
		a.number(a.p.root, "", "lowest_stiffness_n_per_m", low, 1e-4*math.Abs(low)+1e-6*a.w, " N/m")
	}
	a.same("stable", a.p.yes(a.p.root, "", "stable"), low >= -1e-4*a.w)
	own, floor := a.s.frequencies(k)
	list := a.p.items(a.p.root, "", "modes")
	slow := 0
	for slow < len(list) {
		if f, ok := list[slow]["frequency_hz"].(float64); !ok || f > floor {
			break
		}
		slow++
	}
	if len(list)-slow != len(own) {
		a.differ("modes above "+digits(floor)+" Hz", fmt.Sprint(len(list)-slow), fmt.Sprint(len(own)), "")
		return
	}
	for i, x := range list[slow:] {
		path := fmt.Sprintf("modes[%d].", slow+i)
		a.number(x, path, "frequency_hz", own[i], 1e-4*own[i], " Hz")
		a.number(x, path, "period_s", 1/own[i], 1e-4/own[i], " s")
	}
}

func sortedKeys[V any](m map[string]V) []string {
	return slices.SortedFunc(maps.Keys(m), func(x, y string) int { return cmp.Compare(x, y) })
}
