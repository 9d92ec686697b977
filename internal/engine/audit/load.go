package audit

import (
	"fmt"
	"math"
	"slices"

	"hangtrue/internal/engine/quantity"
)

// load is the rig as the audit reads it.
type load struct {
	bodies    []body
	apexes    []apex
	legs      []leg
	sets      []set
	pitch     *[2]float64 // rad
	roll      *[2]float64
	legAngle  *float64 // rad
	tolerance *float64 // m
	counted   int
	procedure *procedure
	invented  bool
}

type body struct {
	id       string
	mass     float64
	cg       vec
	gyration vec
	shape    shape
	points   map[string]point
	at       vec
	heading  float64
	fill     *fill // nil: it holds no liquid
}

type shape struct {
	box    vec     // sides; zero where it is no box
	radius float64 // of a drum
	drum   float64 // length of a drum
	axis   int
}

type point struct {
	at     vec
	rated  *float64
	pull   *vec
	within *float64
}

type apex struct {
	id          string
	at          vec
	hook, rated *float64
	pendant     *pendant
}

type pendant struct {
	length, ea float64
	rated      *float64
}

type end struct{ id, point string }

func (e end) String() string {
	if e.point == "" {
		return e.id
	}
	return e.id + "." + e.point
}

type leg struct {
	id       string
	from     end
	to       []end
	length   float64 // of rope and fittings
	soft     float64 // m/N of the rope
	links    int
	pitch    float64
	chainEA  float64
	count    *int
	rated    *float64
	factor   float64
	clevis   *float64
	noClevis bool
	direct   bool
}

// loop is the chain in the loop, m.
func (l *leg) loop() float64 {
	if l.count == nil {
		return 0
	}
	return float64(l.links-*l.count) * l.pitch
}

type set struct {
	id    string
	legs  []string
	rated *float64
	upTo  *float64
}

type procedure struct {
	weight *[2]float64
	counts map[string]int
}

// readLoad reads a rig file.
func readLoad(data []byte) (*load, error) {
	t := &typed{}
	root := t.file(data)
	r := &load{
		legAngle:  t.optional(t.object(root["limits"], "limits")["leg-angle"], quantity.Angle, "leg-angle"),
		tolerance: t.optional(root["leg-tolerance"], quantity.Length, "leg-tolerance"),
	}
	r.invented = root["invented"] == "yes" || root["invented"] == true
	if n, ok := root["legs-counted"].(int); ok {
		r.counted = n
	}
	limits := t.object(root["limits"], "limits")
	r.pitch, r.roll = t.band(limits["pitch"], quantity.Angle, "pitch"), t.band(limits["roll"], quantity.Angle, "roll")
	for _, x := range t.list(root["apex"], "apex") {
		r.apexes = append(r.apexes, t.apex(t.object(x, "an apex")))
	}
	if len(r.apexes) == 0 {
		r.apexes = []apex{{id: "apex"}}
	}
	for _, x := range t.list(root["bodies"], "bodies") {
		r.bodies = append(r.bodies, t.body(t.object(x, "a body")))
	}
	for _, x := range t.list(root["legs"], "legs") {
		r.legs = append(r.legs, t.leg(t.object(x, "a leg"), r.apexes[0].id))
	}
	for _, x := range t.list(root["sets"], "sets") {
		m := t.object(x, "a set")
		s := set{id: text(m["id"]), rated: t.optional(m["rated"], quantity.Force, "a set's rating"), upTo: t.optional(m["up-to"], quantity.Angle, "up-to")}
		for _, id := range t.list(m["legs"], "a set's legs") {
			s.legs = append(s.legs, text(id))
		}
		r.sets = append(r.sets, s)
	}
	if p := t.object(root["procedure"], "procedure"); p != nil {
		r.procedure = &procedure{weight: t.band(t.object(p["covers"], "covers")["weight"], quantity.Force, "the weight covered"), counts: map[string]int{}}
		for id, n := range t.object(p["counts"], "counts") {
			r.procedure.counts[id] = int(t.number(n, "a count"))
		}
	}
	if t.err == nil {
		t.err = r.complete()
	}
	return r, t.err
}

// complete makes sure that every leg leads from somewhere to somewhere.
func (r *load) complete() error {
	if len(r.bodies) == 0 {
		return fmt.Errorf("rig file: it has no bodies")
	}
	for i := range r.legs {
		l := &r.legs[i]
		for _, e := range l.to {
			if _, ok := r.point(e); !ok {
				return fmt.Errorf("rig file: leg %s leads to %v, which is not there", l.id, e)
			}
		}
		_, onBody := r.point(l.from)
		onApex := l.from.point == "" && slices.ContainsFunc(r.apexes, func(a apex) bool { return a.id == l.from.id })
		if len(l.to) == 0 || !onBody && !onApex {
			return fmt.Errorf("rig file: leg %s does not lead from somewhere to somewhere", l.id)
		}
	}
	return nil
}

func (r *load) body(id string) int {
	return slices.IndexFunc(r.bodies, func(b body) bool { return b.id == id })
}

func (r *load) point(e end) (point, bool) {
	i := r.body(e.id)
	if i < 0 {
		return point{}, false
	}
	p, ok := r.bodies[i].points[e.point]
	return p, ok
}

// ground is where a point stands on the ground.
func (r *load) ground(e end) vec {
	b := &r.bodies[r.body(e.id)]
	p := b.points[e.point].at
	sin, cos := math.Sincos(b.heading)
	return b.at.plus(vec{cos*p[0] - sin*p[1], sin*p[0] + cos*p[1], p[2]})
}

func (r *load) weight() float64 {
	w := 0.0
	for i := range r.bodies {
		w += r.bodies[i].mass * quantity.StandardGravity
	}
	return w
}

func (t *typed) band(v any, kind quantity.Kind, what string) *[2]float64 {
	l := t.list(v, what)
	if len(l) != 2 {
		return nil
	}
	return &[2]float64{t.si(l[0], kind, what), t.si(l[1], kind, what)}
}

func (t *typed) apex(m map[string]any) apex {
	a := apex{id: text(m["id"]), at: t.position(m["at"], "an apex's place"), hook: t.optional(m["hook"], quantity.Force, "hook"), rated: t.optional(m["rated"], quantity.Force, "an apex's rating")}
	if a.id == "" {
		a.id = "apex"
	}
	if p := t.object(m["pendant"], "pendant"); p != nil {
		a.pendant = &pendant{length: t.length(p["length"], "a pendant's length"), ea: t.stiffness(p["stretch"], "a pendant"), rated: t.optional(p["rated"], quantity.Force, "a pendant's rating")}
	}
	return a
}

func (t *typed) body(m map[string]any) body {
	b := body{id: text(m["id"]), at: t.position(m["at"], "a body's place"), points: map[string]point{}}
	if h := t.optional(m["heading"], quantity.Angle, "heading"); h != nil {
		b.heading = *h
	}
	t.shape(t.object(m["shape"], "shape"), &b)
	t.mass(m, &b)
	if m["gyration"] != nil {
		b.gyration = t.position(m["gyration"], "gyration")
	}
	for id, x := range t.object(m["points"], "points") {
		p := point{}
		if l, ok := x.([]any); ok {
			p.at = t.position(l, "a point")
		} else {
			o := t.object(x, "a point")
			p.at, p.rated, p.within = t.position(o["at"], "a point"), t.optional(o["rated"], quantity.Force, "a point's rating"), t.optional(o["within"], quantity.Angle, "within")
			if pull := t.list(o["pull"], "pull"); len(pull) == 3 {
				p.pull = &vec{t.number(pull[0], "pull"), t.number(pull[1], "pull"), t.number(pull[2], "pull")}
			}
		}
		b.points[id] = p
	}
	return b
}

func (t *typed) shape(m map[string]any, b *body) {
	if m["box"] != nil {
		s := t.position(m["box"], "a box")
		b.shape.box = s
		b.cg = vec{0, 0, s[2] / 2}
		b.gyration = vec{math.Hypot(s[1], s[2]), math.Hypot(s[0], s[2]), math.Hypot(s[0], s[1])}.times(1 / math.Sqrt(12))
	}
	if d := t.object(m["drum"], "drum"); d != nil {
		length, radius := t.length(d["length"], "a drum's length"), t.length(d["diameter"], "a drum's diameter")/2
		axis := 0
		if a := text(d["axis"]); a == "y" || a == "z" {
			axis = int(a[0] - 'x')
		}
		b.shape = shape{radius: radius, drum: length, axis: axis}
		b.cg = vec{0, 0, radius}
		if axis == 2 {
			b.cg[2] = length / 2
		}
		across := math.Sqrt(radius*radius/4 + length*length/12)
		b.gyration = vec{across, across, across}
		b.gyration[axis] = radius / math.Sqrt2
	}
}

// mass reads mass and cg, items, or contents and tare. The body's cg is the
// middle of its shape on entry.
func (t *typed) mass(m map[string]any, b *body) {
	type thing struct {
		mass float64
		at   vec
	}
	var things []thing
	middle := b.cg
	if m["cg"] != nil {
		b.cg = t.position(m["cg"], "cg")
	}
	switch {
	case m["holds"] != nil:
		b.fill = t.fillOf(m, b, middle)
		b.mass = b.fill.mass + b.fill.tare
		b.settleLiquid(vec{0, 0, 1})
		return
	case m["items"] != nil:
		for _, x := range t.list(m["items"], "items") {
			o := t.object(x, "an item")
			things = append(things, thing{t.si(o["mass"], quantity.Mass, "an item's mass"), t.position(o["at"], "an item's place")})
		}
	case m["contents"] != nil:
		o := t.object(m["contents"], "contents")
		inside := thing{at: middle}
		if o["at"] != nil {
			inside.at = t.position(o["at"], "the contents' place")
		}
		if o["mass"] != nil {
			inside.mass = t.si(o["mass"], quantity.Mass, "the contents' mass")
		} else {
			inside.mass = t.si(o["volume"], quantity.Volume, "volume") * t.si(o["density"], quantity.Density, "density")
		}
		things = append(things, inside)
		if m["tare"] != nil {
			things = append(things, thing{t.si(m["tare"], quantity.Mass, "tare"), b.cg})
		}
	default:
		b.mass = t.si(m["mass"], quantity.Mass, "mass")
		return
	}
	sum := vec{}
	for _, x := range things {
		b.mass += x.mass
		sum = sum.plus(x.at.times(x.mass))
	}
	b.cg = sum.times(1 / b.mass)
}

func (t *typed) leg(m map[string]any, onlyApex string) leg {
	l := leg{id: text(m["id"]), from: end{id: onlyApex}, factor: 1, direct: true}
	l.rated = t.optional(m["rated"], quantity.Force, "a leg's rating")
	if from := text(m["from"]); from != "" {
		l.from = endOf(from)
	}
	if to, ok := m["to"].([]any); ok {
		for _, x := range to {
			l.to = append(l.to, endOf(text(x)))
		}
	} else {
		l.to = []end{endOf(text(m["to"]))}
	}
	rope := t.object(m["rope"], "rope")
	if m["length"] != nil {
		rope = m
	}
	if rope != nil {
		l.length = t.length(rope["length"], "a rope's length")
		l.soft = l.length / t.stiffness(rope["stretch"], "a rope")
	}
	l.length += t.length(m["fittings"], "fittings")
	if c := t.object(m["chain"], "chain"); c != nil {
		l.links, l.pitch, l.chainEA = int(t.number(c["links"], "links")), t.length(c["pitch"], "pitch"), t.stiffness(c["stretch"], "a chain")
		n, ok := m["count"].(int)
		if !ok {
			t.fail("the count of leg %s is not a number", l.id)
		}
		l.count = &n
	}
	if c := m["clevis"]; c == "none" {
		l.noClevis = true
	} else {
		l.clevis = t.optional(c, quantity.Force, "a clevis's rating")
	}
	t.hitch(m["hitch"], &l)
	return l
}

func (t *typed) hitch(v any, l *leg) {
	kind := text(v)
	if o, ok := v.(map[string]any); ok {
		kind = text(o["kind"])
		if o["factor"] != nil {
			l.factor = t.number(o["factor"], "a hitch's factor")
			kind += " with a factor"
		}
	}
	l.direct = kind == "" || kind == "direct" || kind == "direct with a factor"
	if kind == "choke" {
		l.factor = 0.8 // EN 1492-1, from memory, where none is entered
	}
}

func endOf(s string) end {
	for i, r := range s {
		if r == '.' {
			return end{s[:i], s[i+1:]}
		}
	}
	return end{id: s}
}
