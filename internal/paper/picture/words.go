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

// labels writes leg ids with counts and shares, bodies, CGs and hooks, none
// over another.
func (s *scene) labels(l *draw.List, f *frame, area draw.Rect) {
	place := draw.Labels{Bounds: area.Inset(2), Gap: 0.6}
	place.Avoid(draw.Rect{X: area.X, Y: area.Y + area.H - 12, W: area.W, H: 12})
	place.Avoid(draw.Rect{X: area.X + area.W - 24, Y: area.Y, W: 24, H: 6})
	if !s.o.Bare {
		place.Avoid(draw.Rect{X: area.X, Y: area.Y, W: area.W * 0.6, H: 7})
	}
	for i := range s.ropes {
		place.AvoidLine(f.at(s.ropes[i].from), f.at(s.ropes[i].to))
	}
	for _, h := range s.hooks {
		place.AvoidLine(f.at(h.at), f.at(h.apex))
	}
	centre := f.at(s.middle())
	var list []draw.Label
	add := func(at, prefer draw.Point, style draw.TextStyle, clear float64, lines ...string) {
		list = append(list, draw.Label{Lines: lines, Style: style, Anchor: at, Prefer: prefer, Clear: clear, Wide: true})
	}
	for _, h := range s.hooks {
		style := look.OnDrawing
		if h.cut > 0 && s.o.View.Elevation < 80 {
			add(f.at(h.at).Lerp(f.at(h.apex), 0.4), draw.Pt(1, 0), style, 4, "pendant, "+s.r.Show().Length(h.cut)+", drawn short")
		}
		if len(s.hooks) > 1 {
			add(f.at(h.at), draw.Pt(1, -1), style, 3, h.id)
		}
	}
	s.legLabels(f, centre, add)
	for i := range s.solids {
		sd := &s.solids[i]
		low := f.at(sd.at(sd.body.Centre()))
		for _, p := range f.all(sd.outline()) {
			low.Y = math.Max(low.Y, p.Y)
		}
		add(low, draw.Pt(0, 1), look.OnDrawing, 1.5, sd.body.ID+"  "+s.r.Show().Mass(sd.body.TotalMass()))
		if s.o.Ground {
			for _, p := range sd.body.Points {
				at := f.at(sd.at(p.At))
				add(at, at.Sub(centre), look.OnDrawing, 1.5, p.ID)
			}
		}
	}
	l.Labels(place.Place(list), look.Leader)
}

// legLabels adds one label to each leg that can be seen as a line: its id, what
// it pulls, its share of rating and its count. Legs that fall together in the
// view, as seen from the side, share a label.
func (s *scene) legLabels(f *frame, centre draw.Point, add func(at, prefer draw.Point, style draw.TextStyle, clear float64, lines ...string)) {
	if s.o.Ground {
		return
	}
	type seen struct {
		a, b  draw.Point
		lines []string
		style draw.TextStyle
	}
	var list []*seen
	for i := range s.ropes {
		r := &s.ropes[i]
		if !r.main {
			continue
		}
		x := &s.a.Legs[r.leg]
		a, b := f.at(r.from), f.at(r.to)
		for _, q := range s.ropes {
			if q.leg == r.leg && q.chain && len(x.Path) == 0 {
				b = f.at(q.to)
			}
		}
		style := look.OnDrawing
		if x.Use > 1 {
			style = style.AsBold()
		}
		line := s.legLine(r.leg)
		together := false
		for _, o := range list {
			if o.a.Sub(a).Len() < 1.5 && o.b.Sub(b).Len() < 1.5 {
				o.lines = append(o.lines, line)
				together = true
			}
		}
		if !together {
			list = append(list, &seen{a, b, []string{line}, style})
		}
	}
	for k, o := range list {
		at := o.a.Lerp(o.b, 0.42+0.16*float64(k%2))
		out := draw.Pt(1, 0)
		if at.X < centre.X {
			out = draw.Pt(-1, 0)
		}
		add(at, out, o.style, 1.6, o.lines...)
	}
}

func (s *scene) legLine(i int) string {
	x := &s.a.Legs[i]
	l := &s.r.Legs()[i]
	text := x.ID + "  " + share(x)
	if !x.Slack {
		text += "  " + s.r.Show().Force(x.Tension)
	}
	if l.Count != nil {
		text += fmt.Sprintf("  count %d", *l.Count)
	}
	return text
}

// middle is the weight's centre, where the bodies are.
func (s *scene) middle() rig.Vec {
	var sum rig.Vec
	mass := 0.0
	for i := range s.solids {
		m := s.solids[i].body.TotalMass()
		sum = statics.Add(sum, statics.Scale(m, s.solids[i].at(s.solids[i].body.Centre())))
		mass += m
	}
	return statics.Scale(1/mass, sum)
}

// scaleBar draws a bar of a round length.
func (s *scene) scaleBar(l *draw.List, f *frame, area draw.Rect) {
	unit, name := 1.0, "m"
	if s.r.Show() == quantity.US {
		unit, name = quantity.Foot, "ft"
	}
	n := niceBelow(28 / (f.scale * unit))
	w := n * unit * f.scale
	x, y := area.X+area.W-w-6, area.Y+area.H-4
	l.Line(draw.Pt(x, y), draw.Pt(x+w, y), draw.Stroke{Paint: look.Ink, Width: look.Heavy})
	for _, t := range []float64{0, 0.5, 1} {
		l.Line(draw.Pt(x+t*w, y-1.2), draw.Pt(x+t*w, y+0.2), look.Detail)
	}
	l.Text(draw.Pt(x+w, y-2), quantity.FormatNumber(n)+" "+name, look.Body.At(draw.End, draw.Baseline))
	l.Text(draw.Pt(x, y-2), "0", look.Body.At(draw.Start, draw.Baseline))
}

// niceBelow returns the largest of 1, 2, 5 times a power of ten up to x.
func niceBelow(x float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(x)))
	for _, k := range []float64{5, 2} {
		if k*p <= x {
			return k * p
		}
	}
	return p
}

// triad draws which way front, left and up point in this view.
func (s *scene) triad(l *draw.List, f *frame, area draw.Rect) {
	c := draw.Pt(area.X+11, area.Y+area.H-9)
	for i, name := range []string{"front", "left", "up"} {
		var axis rig.Vec
		axis[i] = 1
		d := s.cam.flat(axis)
		if d.Len() < 0.25 {
			continue
		}
		tip := c.Add(d.Mul(6))
		l.Arrow(c, tip, look.NoteArrow)
		at := tip.Add(d.Unit().Mul(1.4))
		anchor := draw.Middle
		if d.X > 0.3 {
			anchor = draw.Start
		} else if d.X < -0.3 {
			anchor = draw.End
		}
		l.Text(at, name, look.Small.At(anchor, draw.CapMiddle))
	}
}

func (s *scene) caption(l *draw.List, area draw.Rect) {
	name := s.o.View.Name
	if name == "" {
		name = "turned"
	}
	if s.o.Ground {
		name += ", on the ground"
	}
	l.Text(draw.Pt(area.X+3, area.Y+3), name, look.Strong.At(draw.Start, draw.CapTop))
}
