package rigfile

import (
	"fmt"
	"slices"
	"strings"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
)

// Read makes a rig of a rig file, or returns everything that is wrong with it
// in the order of its lines. It never returns both.
func Read(data []byte) (*rig.Rig, []document.Problem) {
	value, problems := document.Read(data, shape)
	if value == nil {
		return nil, problems
	}
	b := builder{value: value, problems: problems}
	spec := b.spec()
	b.groups()
	r, wrong := rig.New(spec)
	if !hidden(value) {
		for _, p := range wrong {
			b.semantic(p)
		}
	}
	document.Sort(b.problems)
	if len(b.problems) > 0 {
		return nil, b.problems
	}
	return r, nil
}

// LineOf gives the line at which a rig file has what a path names, as in
// parts[2].kind, or the nearest thing above it that was written. It is 1 for a
// file that cannot be read.
func LineOf(data []byte, path string) int {
	value, _ := document.Read(data, shape)
	if value == nil {
		return 1
	}
	return value.LineOf(path)
}

type builder struct {
	value    *document.Value
	problems []document.Problem
}

// hidden reports whether a mistyped key hides a part that others build on: what
// the rig then lacks is no further mistake.
func hidden(v *document.Value) bool {
	missed := func(v *document.Value, keys ...string) bool {
		return slices.ContainsFunc(keys, v.Missed)
	}
	return missed(v, "apex", "bodies", "legs") ||
		slices.ContainsFunc(v.Get("bodies").Items(), func(b *document.Value) bool {
			return missed(b, "shape", "points", "items", "contents") || missed(b.Get("shape"), "box", "drum")
		}) ||
		slices.ContainsFunc(v.Get("legs").Items(), func(l *document.Value) bool {
			return missed(l, "rope", "chain") || missed(l.Get("chain"), "links")
		})
}

// semantic adds a problem that the rig found, at its line in the file, unless
// the file already has one there that it follows from.
func (b *builder) semantic(p rig.Problem) {
	path := b.written(p.Path)
	if path == "bodies" && !b.value.Has("bodies") {
		return // the reader has said that the key is missing
	}
	for _, have := range b.problems {
		if within(have.Path, path) || within(path, have.Path) && have.Path != "" {
			return
		}
	}
	b.problems = append(b.problems, b.value.ProblemAt(path, p.Text, p.Hint))
}

// within reports whether path lies at or under top.
func within(path, top string) bool {
	return path == top || strings.HasPrefix(path, top) && top != "" && (path[len(top)] == '.' || path[len(top)] == '[')
}

// written turns a path in the words of a rig into the keys of the file, where
// a plain leg has its length and stretch without a rope.
func (b *builder) written(path string) string {
	plain := strings.Replace(path, ".rope.", ".", 1)
	if plain == path {
		return path
	}
	at := path[:strings.Index(path, ".rope.")]
	for i, leg := range b.value.Get("legs").Items() {
		if at == fmt.Sprintf("legs[%d]", i) && !leg.Has("rope") {
			return plain
		}
	}
	return path
}

func (b *builder) spec() rig.Spec {
	v := b.value
	s := rig.Spec{
		Title:    v.Get("title").Text(),
		Invented: v.Get("invented").Yes(),
		Notes:    v.Get("notes").Text(),
		Show:     quantity.Count(v.Units()),
	}
	switch v.Get("show").Text() {
	case "metric":
		s.Show = quantity.Metric
	case "us":
		s.Show = quantity.US
	}
	for _, a := range v.Get("apex").Items() {
		s.Apexes = append(s.Apexes, apexOf(a))
	}
	for _, x := range v.Get("bodies").Items() {
		s.Bodies = append(s.Bodies, b.body(x))
	}
	for _, x := range v.Get("legs").Items() {
		s.Legs = append(s.Legs, b.leg(x))
	}
	for _, x := range v.Get("sets").Items() {
		set := rig.Set{ID: x.Get("id").Text(), Rated: optional(x.Get("rated")), UpTo: optional(x.Get("up-to")), Source: x.Get("source").Text()}
		for _, id := range x.Get("legs").Items() {
			set.Legs = append(set.Legs, id.Text())
		}
		s.Sets = append(s.Sets, set)
	}
	l := v.Get("limits")
	s.Limits = rig.Limits{Pitch: bandOf(l.Get("pitch")), Roll: bandOf(l.Get("roll")), LegAngle: optional(l.Get("leg-angle"))}
	s.LegTolerance = optional(v.Get("leg-tolerance"))
	s.LegsCounted = v.Get("legs-counted").Integer()
	s.LowestCount = v.Get("lowest-count").Integer()
	s.Procedure = procedureOf(v.Get("procedure"))
	for _, x := range v.Get("parts").Items() {
		on, point := x.Get("on").Reference()
		s.Parts = append(s.Parts, rig.ExtraPart{
			ID: x.Get("id").Text(), Kind: x.Get("kind").Text(), On: rig.Ref{ID: on, Point: point}.String(), At: vectorOf(x.Get("at")),
		})
	}
	return s
}

// known returns the quantity under a key that has to be there. Where the key is
// mistyped, which is already said, it returns something that gives no further
// complaint.
func known(parent *document.Value, key string) float64 {
	if parent.Missed(key) {
		return 1
	}
	return parent.Get(key).SI()
}

// optional returns the quantity's SI value, nil where it was not written or
// not understood.
func optional(v *document.Value) *float64 {
	if !v.Valid() {
		return nil
	}
	x := v.SI()
	return &x
}

func vectorOf(v *document.Value) *rig.Vec {
	if !v.Given() {
		return nil
	}
	x := rig.Vec(v.Vector())
	return &x
}

func place(v *document.Value) rig.Vec {
	if p := vectorOf(v); p != nil {
		return *p
	}
	return rig.Vec{}
}

func bandOf(v *document.Value) *[2]float64 {
	items := v.Items()
	if len(items) != 2 {
		return nil
	}
	return &[2]float64{items[0].SI(), items[1].SI()}
}

func stretchOf(v *document.Value) rig.Stretch {
	if !v.Valid() {
		// Whatever is wrong with it is already said.
		return rig.Stretch{Ratio: 0.01, Force: 1e4}
	}
	ratio, force := v.Stretch()
	return rig.Stretch{Ratio: ratio.Value, Force: force.Value}
}

func apexOf(v *document.Value) rig.Apex {
	a := rig.Apex{ID: v.Get("id").Text(), At: place(v.Get("at")), Rated: optional(v.Get("rated")), HookRated: optional(v.Get("hook"))}
	if a.ID == "" {
		a.ID = "apex"
	}
	if p := v.Get("pendant"); p.Given() {
		a.Pendant = &rig.Pendant{Length: known(p, "length"), Stretch: stretchOf(p.Get("stretch")), Rated: optional(p.Get("rated"))}
	}
	return a
}

func (b *builder) body(v *document.Value) rig.Body {
	x := rig.Body{
		ID: v.Get("id").Text(), Mass: known(v, "mass"), CG: vectorOf(v.Get("cg")), Gyration: vectorOf(v.Get("gyration")), DragArea: vectorOf(v.Get("drag")),
		At: place(v.Get("at")), Heading: v.Get("heading").SI(), Known: v.Get("known").Text(), KnownBy: v.Get("known-by").Text(), KnownOn: v.Get("known-on").Date(), MassBand: optional(v.Get("give-or-take")),
	}
	shape := v.Get("shape")
	switch {
	case shape.Has("box"):
		x.Shape = rig.Shape{Kind: rig.BoxShape, Size: place(shape.Get("box"))}
	case shape.Has("drum"):
		d := shape.Get("drum")
		x.Shape = rig.Shape{Kind: rig.DrumShape, Length: known(d, "length"), Diameter: known(d, "diameter")}
		if axis := d.Get("axis").Text(); axis != "" {
			x.Shape.Axis = int(axis[0] - 'x')
		}
	}
	for _, it := range v.Get("items").Items() {
		x.Items = append(x.Items, rig.Item{What: it.Get("what").Text(), Mass: known(it, "mass"), At: place(it.Get("at"))})
	}
	if v.Has("holds") {
		b.holds(v, &x)
	} else {
		b.contents(v, &x)
	}
	points := v.Get("points")
	for _, id := range points.Keys() {
		x.Points = append(x.Points, pointOf(id, points.Get(id)))
	}
	return x
}

// contents makes items of a body's tare and of what it holds.
func (b *builder) contents(v *document.Value, x *rig.Body) {
	c := v.Get("contents")
	if !c.Given() {
		if t := v.Get("tare"); t.Given() && !v.Missed("contents") {
			b.problems = append(b.problems, t.Problem("tare is only for a body with contents", "enter mass: instead, or add contents: or holds:"))
		}
		return
	}
	mass := c.Get("mass").SI()
	if vol := c.Get("volume"); vol.Given() {
		d := c.Get("density")
		if !d.Given() && !c.Missed("density") {
			b.problems = append(b.problems, vol.Problem("a volume without a density has no mass", "add density:, for example density: 998 kg/m3"))
		}
		mass = vol.SI() * d.SI()
		if !d.Given() {
			mass = 1 // what is missing is said; nothing follows from it
		}
	}
	at := x.Shape.Middle()
	if c.Has("at") {
		at = place(c.Get("at"))
	} else if x.Shape.Kind == rig.NoShape && !v.Has("shape") {
		b.problems = append(b.problems, c.Problem("the body has no shape, so the place of its contents must be entered", "add at: [x, y, z]"))
	}
	what := c.Get("what").Text()
	if what == "" {
		what = "contents"
	}
	tare(v, x)
	x.Items = append(x.Items, rig.Item{What: what, Mass: mass, At: at})
	x.CG = nil
}

// tare makes an item of what the body weighs empty.
func tare(v *document.Value, x *rig.Body) {
	t := v.Get("tare")
	if !t.Given() {
		return
	}
	empty := x.Shape.Middle()
	if x.CG != nil {
		empty = *x.CG
	}
	x.Items = append(x.Items, rig.Item{What: "tare", Mass: t.SI(), At: empty})
}

func pointOf(id string, v *document.Value) rig.Point {
	p := rig.Point{ID: id}
	if v.Form() != document.FormObject {
		p.At = place(v)
		return p
	}
	p.At = place(v.Get("at"))
	p.Rated = optional(v.Get("rated"))
	p.PullWithin = optional(v.Get("within"))
	if d := v.Get("pull"); d.Given() {
		var pull rig.Vec
		for i, x := range d.Items() {
			if i < 3 {
				pull[i] = x.Number()
			}
		}
		p.Pull = &pull
	}
	return p
}

func refOf(v *document.Value) rig.Ref {
	id, point := v.Reference()
	return rig.Ref{ID: id, Point: point}
}

func (b *builder) leg(v *document.Value) rig.Leg {
	l := rig.Leg{
		ID: v.Get("id").Text(), Fittings: v.Get("fittings").SI(), Group: v.Get("group").Text(),
		Rated: optional(v.Get("rated")),
	}
	if f := v.Get("from"); f.Given() {
		ref := refOf(f)
		l.From = &ref
	}
	to := v.Get("to")
	if to.Form() == document.FormList {
		for _, x := range to.Items() {
			l.To = append(l.To, refOf(x))
		}
	} else if to.Given() {
		l.To = []rig.Ref{refOf(to)}
	}
	b.line(v, &l)
	switch c := v.Get("count"); {
	case !c.Given():
	case c.Form() == document.FormInteger:
		n := c.Integer()
		l.Count = &n
	default:
		l.Find = true
	}
	if s := v.Get("seat"); s.Given() {
		n := s.Integer()
		l.Seat = &n
	}
	if c := v.Get("clevis"); c.Form() == document.FormChoice {
		l.NoClevis = true
	} else {
		l.Clevis = optional(c)
	}
	h := v.Get("hitch")
	kind := h.Text()
	if h.Form() == document.FormObject {
		kind = h.Get("kind").Text()
		l.HitchSource = h.Get("source").Text()
		if f := h.Get("factor"); f.Given() {
			x := f.Number()
			l.HitchFactor = &x
		}
	}
	switch kind {
	case "choke":
		l.Hitch = rig.Choke
	case "basket":
		l.Hitch = rig.Basket
	}
	return l
}

// line reads what the leg is made of. A plain leg is a rope alone.
func (b *builder) line(v *document.Value, l *rig.Leg) {
	length, stretch := v.Get("length"), v.Get("stretch")
	switch {
	case v.Has("rope") || v.Has("chain"):
		// That there are both is already said.
	case length.Given() && !stretch.Given() && !v.Missed("stretch"):
		b.problems = append(b.problems, length.Problem("a plain leg needs a stretch too", "add stretch:, for example stretch: 1 % at 20 kN"))
	case stretch.Given() && !length.Given() && !v.Missed("length"):
		b.problems = append(b.problems, stretch.Problem("this stretch belongs to no length", "add length:, or write the stretch inside rope: and chain:"))
	}
	if length.Given() || stretch.Given() {
		l.Rope = &rig.Rope{Length: known(v, "length"), Stretch: stretchOf(stretch)}
	}
	if r := v.Get("rope"); r.Given() {
		l.Rope = &rig.Rope{Length: known(r, "length"), Stretch: stretchOf(r.Get("stretch"))}
	}
	if c := v.Get("chain"); c.Given() {
		l.Chain = &rig.Chain{Links: c.Get("links").Integer(), Pitch: known(c, "pitch"), Stretch: stretchOf(c.Get("stretch"))}
	}
}

func procedureOf(v *document.Value) *rig.Procedure {
	if !v.Given() {
		return nil
	}
	p := &rig.Procedure{
		Publication: v.Get("publication").Text(), Edition: v.Get("edition").Text(),
		Change: v.Get("change").Text(), Paragraph: v.Get("paragraph").Text(),
	}
	c := v.Get("covers")
	p.Weight = bandOf(c.Get("weight"))
	p.Set, p.Airspeed = c.Get("set").Text(), c.Get("airspeed").Text()
	if a := c.Get("aircraft"); a.Form() == document.FormList {
		for _, x := range a.Items() {
			p.Aircraft = append(p.Aircraft, x.Text())
		}
	} else if a.Given() {
		p.Aircraft = []string{a.Text()}
	}
	counts := v.Get("counts")
	for _, id := range counts.Keys() {
		if p.Counts == nil {
			p.Counts = map[string]int{}
		}
		p.Counts[id] = counts.Get(id).Integer()
	}
	return p
}
