package picture

import (
	"fmt"
	"math"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/statics"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// Options say what is drawn and how large.
type Options struct {
	View   View
	Ground bool    // as it stands on the ground, before lifting
	Width  float64 // mm; 0: 160
	Height float64 // mm; 0: 160
	Bare   bool    // no caption (a sheet or page has its own)
	Small  bool    // a thumbnail: no labels
}

// Of draws one view of a rig: as it hangs in the answer, or as it stands on
// the ground, for which the answer may be nil.
func Of(r *rig.Rig, a *rig.Answer, o Options) *draw.Picture {
	if o.Width == 0 {
		o.Width = 160
	}
	if o.Height == 0 {
		o.Height = 160
	}
	s := newScene(r, a, o)
	p := draw.New(o.Width, o.Height, s.title(), s.describe())
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	s.draw(&p.List, p.Frame())
	return p
}

// scene is what is drawn.
type scene struct {
	r      *rig.Rig
	a      *rig.Answer
	o      Options
	cam    camera
	solids []solid
	ropes  []rope
	hooks  []hook
}

// rope is one straight piece of a leg in the hook frame.
type rope struct {
	leg   int // −1: a pendant
	from  rig.Vec
	to    rig.Vec
	chain bool // from the grab hook down
	main  bool // the piece that carries the leg's label
}

type hook struct {
	id       string
	at, apex rig.Vec
	cut      float64 // full length of a pendant that is drawn shorter, m; 0 if it is not
}

func newScene(r *rig.Rig, a *rig.Answer, o Options) *scene {
	s := &scene{r: r, a: a, o: o, cam: newCamera(o.View)}
	bodies := r.Bodies()
	for i := range bodies {
		b := &bodies[i]
		pose := statics.Pose{Origin: b.At, Turn: statics.Turn(rig.Vec{0, 0, b.Heading})}
		if !o.Ground {
			pose = a.Bodies[i].Pose()
		}
		s.solids = append(s.solids, newSolid(b, pose))
	}
	if !o.Ground {
		s.hang()
	}
	return s
}

// hang collects the legs and hooks.
func (s *scene) hang() {
	legs := s.r.Legs()
	for i := range s.a.Legs {
		x := &s.a.Legs[i]
		l := &legs[i]
		if x.Length == 0 {
			continue
		}
		switch {
		case len(x.Path) > 0:
			s.ropes = append(s.ropes, rope{leg: i, from: x.From, to: x.To, main: true})
			for k := 1; k < len(x.Path); k++ {
				s.ropes = append(s.ropes, rope{leg: i, from: x.Path[k-1], to: x.Path[k], chain: true})
			}
		case l.Chain != nil:
			// the grab hook, as far down the leg as the rope and fittings reach
			upper := l.Fittings
			if l.Rope != nil {
				upper += l.Rope.Length
			}
			t := math.Max(0, math.Min(1, upper/x.Unstretched))
			grab := statics.Add(x.From, statics.Scale(t, statics.Sub(x.To, x.From)))
			s.ropes = append(s.ropes, rope{leg: i, from: x.From, to: grab, main: true}, rope{leg: i, from: grab, to: x.To, chain: true})
		default:
			s.ropes = append(s.ropes, rope{leg: i, from: x.From, to: x.To, main: true})
		}
	}
	size := s.size()
	for _, ap := range s.a.Apexes {
		h := hook{id: ap.ID, at: ap.Hook, apex: ap.Position}
		d := statics.Sub(h.at, h.apex)
		if n := statics.Norm(d); n > 0.5*size {
			h.cut = n
			h.at = statics.Add(h.apex, statics.Scale(0.25*size/n, d))
		}
		s.hooks = append(s.hooks, h)
	}
}

// size is the extent of everything under the apexes, m.
func (s *scene) size() float64 {
	var lo, hi rig.Vec
	first := true
	add := func(p rig.Vec) {
		for k := range 3 {
			if first || p[k] < lo[k] {
				lo[k] = p[k]
			}
			if first || p[k] > hi[k] {
				hi[k] = p[k]
			}
		}
		first = false
	}
	for _, p := range s.points() {
		add(p)
	}
	return math.Max(0.5, math.Max(hi[0]-lo[0], math.Max(hi[1]-lo[1], hi[2]-lo[2])))
}

// points bounds everything that is drawn.
func (s *scene) points() []rig.Vec {
	var out []rig.Vec
	for i := range s.solids {
		out = append(out, s.solids[i].outline()...)
		out = append(out, s.solids[i].at(s.solids[i].body.Centre()))
		for _, p := range s.solids[i].body.Points {
			out = append(out, s.solids[i].at(p.At))
		}
	}
	for _, r := range s.ropes {
		out = append(out, r.from, r.to)
	}
	for _, h := range s.hooks {
		out = append(out, h.at, h.apex)
	}
	return out
}

func (s *scene) title() string {
	how := "as it hangs"
	if s.o.Ground {
		how = "on the ground"
	}
	name := s.o.View.Name
	if name == "" {
		name = fmt.Sprintf("seen from %.0f deg, %.0f deg up", s.o.View.Azimuth, s.o.View.Elevation)
	} else {
		name += " view"
	}
	return fmt.Sprintf("%s, %s, %s", s.r.Title(), name, how)
}

// describe says in words what the picture shows.
func (s *scene) describe() string {
	if s.o.Ground {
		return fmt.Sprintf("%d bodies as they stand on the ground.", len(s.solids))
	}
	text := ""
	for i := range s.a.Bodies {
		text += s.a.Bodies[i].ID + ": " + AttitudeWords(s.r.Show(), &s.a.Bodies[i]) + ". "
	}
	for i := range s.a.Legs {
		text += "Leg " + s.a.Legs[i].ID + " " + share(&s.a.Legs[i]) + ". "
	}
	return text + "Result: " + s.a.Result.Words() + "."
}

// AttitudeWords says how a body hangs in words and numbers.
func AttitudeWords(show quantity.System, b *rig.BodyAnswer) string {
	const level = 0.05 * math.Pi / 180
	nose, side := "level fore and aft", "level sideways"
	switch {
	case b.Pitch > level:
		nose = "nose up " + show.Angle(b.Pitch)
	case b.Pitch < -level:
		nose = "nose down " + show.Angle(-b.Pitch)
	}
	switch {
	case b.Roll > level:
		side = "right side down " + show.Angle(b.Roll)
	case b.Roll < -level:
		side = "left side down " + show.Angle(-b.Roll)
	}
	return nose + ", " + side
}

// share is a leg's share of its rating in words.
func share(x *rig.LegAnswer) string {
	switch {
	case x.Slack:
		return "slack"
	case math.IsNaN(x.Use):
		return "not rated"
	}
	return fmt.Sprintf("%.0f %%", 100*x.Use)
}

func (s *scene) draw(l *draw.List, area draw.Rect) {
	margin := 9.0
	if s.o.Small {
		margin = 3
	}
	box := area.Inset(margin)
	if !s.o.Small {
		box.Y += 1
		box.H -= 12
	}
	f := fit(s.cam, box, s.points())
	if s.o.Ground && s.o.View.Elevation < 80 {
		s.ground(l, &f, area)
	}
	s.plumb(l, &f)
	drawSolids(l, &f, s.solids)
	for i := range s.ropes {
		s.rope(l, &f, &s.ropes[i])
	}
	for i := range s.hooks {
		s.hook(l, &f, &s.hooks[i])
	}
	s.marks(l, &f)
	if !s.o.Small {
		s.labels(l, &f, area)
		s.scaleBar(l, &f, area)
		s.triad(l, &f, area)
		if !s.o.Bare {
			s.caption(l, area)
		}
	}
	if s.r.Invented() {
		style := look.Strong
		if s.o.Small {
			style = style.WithSize(look.SizeSmall)
		}
		l.Text(draw.Pt(area.X+area.W-2, area.Y+2), "INVENTED", style.At(draw.End, draw.CapTop))
	}
}

// ground draws the ground line under the lowest point.
func (s *scene) ground(l *draw.List, f *frame, area draw.Rect) {
	low := math.Inf(1)
	var at rig.Vec
	for _, p := range s.points() {
		if p[2] < low {
			low, at = p[2], p
		}
	}
	y := f.at(at).Y
	for _, p := range s.points() {
		y = math.Max(y, f.at(rig.Vec{p[0], p[1], low}).Y)
	}
	l.Line(draw.Pt(area.X+6, y), draw.Pt(area.X+area.W-6, y), look.Ground)
	for x := area.X + 8; x < area.X+area.W-8; x += 4 {
		l.Line(draw.Pt(x, y), draw.Pt(x-2, y+2), look.HatchLine)
	}
}

// plumb draws the vertical under each hook down past the load.
func (s *scene) plumb(l *draw.List, f *frame) {
	if s.o.Ground || s.o.View.Elevation > 80 {
		return
	}
	low := math.Inf(1)
	for _, p := range s.points() {
		low = math.Min(low, p[2])
	}
	for _, h := range s.hooks {
		end := h.apex
		end[2] = low - 0.03*s.size()
		l.Line(f.at(h.at), f.at(end), look.Center)
	}
}

// rope draws one piece of a leg, dashed where a body hides it.
func (s *scene) rope(l *draw.List, f *frame, r *rope) {
	x := &s.a.Legs[r.leg]
	use := x.Use
	if math.IsNaN(use) {
		use = -1
	}
	stroke := look.BandOf(use, x.Slack).Leg()
	if s.o.Small {
		stroke.Width *= 0.6
	}
	g := l.Group("", "leg "+x.ID+": "+share(x))
	const pieces = 80
	d := statics.Sub(r.to, r.from)
	start := 0
	hidden := func(k int) bool {
		p := statics.Add(r.from, statics.Scale((float64(k)+0.5)/pieces, d))
		for i := range s.solids {
			if s.solids[i].hides(p, f.towards) {
				return true
			}
		}
		return false
	}
	was := hidden(0)
	for k := 1; k <= pieces; k++ {
		if k < pieces && hidden(k) == was {
			continue
		}
		a := f.at(statics.Add(r.from, statics.Scale(float64(start)/pieces, d)))
		b := f.at(statics.Add(r.from, statics.Scale(float64(k)/pieces, d)))
		if was {
			g.Line(a, b, look.Hidden)
		} else {
			g.Line(a, b, stroke)
			if r.chain && !s.o.Small {
				s.links(g, a, b, stroke)
			}
		}
		start, was = k, !was
	}
}

// links marks a chain with short cross strokes, so that it is told from rope.
func (s *scene) links(g *draw.Group, a, b draw.Point, stroke draw.Stroke) {
	d := b.Sub(a)
	n := d.Len()
	across := d.Perp().Unit().Mul(0.5 + stroke.Width/2)
	thin := draw.Stroke{Paint: stroke.Paint, Width: look.Thin}
	for t := 1.2; t < n; t += 2.4 {
		p := a.Add(d.Mul(t / n))
		g.Line(p.Sub(across), p.Add(across), thin)
	}
}

// hook draws the apex fitting, the pendant and the hook.
func (s *scene) hook(l *draw.List, f *frame, h *hook) {
	g := l.Group("", "hook of "+h.id)
	apex, top := f.at(h.apex), f.at(h.at)
	r := 1.3
	if s.o.Small {
		r = 0.7
	}
	if d := top.Sub(apex); d.Len() > 0.5 {
		g.Line(apex, top, draw.Stroke{Paint: look.Ink, Width: look.Bold})
		if h.cut > 0 {
			mid := apex.Lerp(top, 0.6)
			u, n := d.Unit(), d.Perp().Unit()
			g.Polygon([]draw.Point{
				mid.Sub(n.Mul(3)).Sub(u.Mul(1)), mid.Add(n.Mul(3)).Add(u.Mul(0.2)), mid.Add(n.Mul(3)).Add(u.Mul(2)), mid.Sub(n.Mul(3)).Add(u.Mul(0.8)),
			}, draw.Stroke{}, look.Paper)
			for _, k := range []float64{-1, 0.8} {
				g.Line(mid.Sub(n.Mul(3)).Add(u.Mul(k)), mid.Add(n.Mul(3)).Add(u.Mul(k+1.2)), look.Detail)
			}
		}
	}
	g.Circle(apex, r, look.Outline, look.Metal)
	// the hook: a ring open to one side
	g.Circle(top, r*1.6, look.Outline, draw.Paint{})
	g.Circle(top, r*0.5, draw.Stroke{}, look.Ink)
}

// marks draws points and CGs.
func (s *scene) marks(l *draw.List, f *frame) {
	r := 0.9
	if s.o.Small {
		r = 0.4
	}
	for i := range s.solids {
		sd := &s.solids[i]
		for _, p := range sd.body.Points {
			at := sd.at(p.At)
			fill := look.Ink
			for k := range s.solids {
				if s.solids[k].hides(at, f.towards) {
					fill = look.Paper
				}
			}
			l.Circle(f.at(at), r*0.7, look.Detail, fill)
		}
		if !s.o.Small {
			cgMark(l, f.at(sd.at(sd.body.Centre())), 1.9)
		}
	}
}

// cgMark draws the usual sign of a centre of gravity, a circle with two of its
// quarters filled.
func cgMark(l *draw.List, c draw.Point, r float64) {
	l.Circle(c, r, draw.Stroke{}, look.Paper)
	for _, from := range []float64{0, 180} {
		pts := []draw.Point{c}
		for k := 0; k <= 8; k++ {
			pts = append(pts, c.Add(draw.Polar(r, from+float64(k)*90/8)))
		}
		l.Polygon(pts, draw.Stroke{}, look.Ink)
	}
	l.Circle(c, r, look.Detail, draw.Paint{})
}

// Draw draws one view into an area of a larger picture.
func Draw(l *draw.List, r *rig.Rig, a *rig.Answer, o Options, area draw.Rect) {
	newScene(r, a, o).draw(l, area)
}
