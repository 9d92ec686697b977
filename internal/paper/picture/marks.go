package picture

import (
	"math"
	"slices"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// pointRadius and centreRadius are the sizes of the signs, mm.
const (
	pointRadius  = 0.65
	centreRadius = 1.8
)

// marks draws points and CGs. A point behind a body is open.
func (s *scene) marks(l *draw.List, f *frame) {
	r := pointRadius
	if s.o.Small {
		r = 0.28
	}
	var behind, before []draw.Point
	for i := range s.solids {
		sd := &s.solids[i]
		for _, p := range sd.body.Points {
			at := f.at(sd.at(p.At))
			if s.hidden(sd.at(sd.clearOf(p.At))) {
				behind = append(behind, at)
			} else {
				before = append(before, at)
			}
		}
	}
	for _, at := range behind {
		l.Circle(at, r, look.Detail, look.Paper)
	}
	for _, at := range before {
		l.Circle(at, r, look.Detail, look.Ink)
	}
	for i := range s.solids {
		sd := &s.solids[i]
		if c, r := s.centre(f, sd); r > 0 {
			cgMark(l, c, r, s.covered(i))
		}
	}
}

// covered reports whether another body hides the CG of a body.
func (s *scene) covered(i int) bool {
	c := s.solids[i].cg()
	for k := range s.solids {
		if k != i && s.solids[k].hides(c, s.cam.towards) {
			return true
		}
	}
	return false
}

// centre is where the sign of a body's CG stands and how large it is: nothing
// in a thumbnail, less on a body that is itself hardly larger.
func (s *scene) centre(f *frame, sd *solid) (draw.Point, float64) {
	c := f.at(sd.cg())
	if s.o.Small {
		return c, 0
	}
	b := draw.Around(f.all(sd.outline())...)
	return c, math.Max(0.9, math.Min(centreRadius, 0.3*math.Max(b.W, b.H)))
}

// cgMark draws the usual sign of a centre of gravity, a circle with two of its
// quarters filled.
// With faint, that of a body that another one hides.
func cgMark(l *draw.List, c draw.Point, r float64, faint bool) {
	ink, line := look.Ink, look.Detail
	if faint {
		ink, line = look.Faint, draw.Stroke{Paint: look.Faint, Width: look.Hair}
	}
	l.Circle(c, r, draw.Stroke{}, look.Paper)
	for _, from := range []float64{0, 180} {
		pts := []draw.Point{c}
		for k := 0; k <= 8; k++ {
			pts = append(pts, c.Add(draw.Polar(r, from+float64(k)*90/8)))
		}
		l.Polygon(pts, draw.Stroke{}, ink)
	}
	l.Circle(c, r, line, draw.Paint{})
}

// plumb draws the vertical under each hook down past the load.
func (s *scene) plumb(l *draw.List, f *frame) {
	for _, p := range s.plumbs(f) {
		l.Line(p[0], p[1], look.Center)
	}
}

func (s *scene) plumbs(f *frame) [][2]draw.Point {
	if s.o.Ground || s.above() {
		return nil
	}
	var out [][2]draw.Point
	low := math.Inf(1)
	for _, p := range s.points() {
		low = math.Min(low, p[2])
	}
	for _, h := range s.hooks {
		end := h.apex
		end[2] = low
		out = append(out, [2]draw.Point{f.at(h.apex), f.at(end).Add(draw.Pt(0, 2))})
	}
	return out
}

// foot is the height of the strip at the bottom that the scale bar and the
// axes stand in, mm.
const foot = 12

// scaleBar draws a bar of a round length.
func (s *scene) scaleBar(l *draw.List, f *frame, area draw.Rect) {
	unit, name := 1.0, "m"
	if s.r.Show() == quantity.US {
		unit, name = quantity.Foot, "ft"
	}
	n := niceBelow(28 / (f.scale * unit))
	w := n * unit * f.scale
	x, y := area.X+area.W-w-4, area.Y+area.H-3
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
func (s *scene) triad(l *draw.List, area draw.Rect) {
	c := draw.Pt(area.X+6, area.Y+area.H-4)
	for i := range 3 {
		var axis rig.Vec
		axis[i] = 1
		d := s.cam.flat(axis)
		if d.Len() < 0.25 {
			continue
		}
		// Axes that point down or to the left get room to do so.
		c.X = math.Max(c.X, area.X+4-math.Min(0, d.X)*12)
		c.Y = math.Min(c.Y, area.Y+area.H-3-math.Max(0, d.Y)*7)
	}
	var taken []draw.Rect
	for i, name := range []string{"front", "left", "up"} {
		var axis rig.Vec
		axis[i] = 1
		d := s.cam.flat(axis)
		if d.Len() < 0.25 {
			continue
		}
		tip := c.Add(d.Mul(5.5))
		l.Arrow(c, tip, look.NoteArrow)
		at := tip.Add(d.Unit().Mul(1.3))
		anchor := draw.Middle
		if d.X > 0.3 {
			anchor = draw.Start
		} else if d.X < -0.3 {
			anchor = draw.End
		}
		st := look.Small.At(anchor, draw.CapMiddle)
		box := func() draw.Rect {
			w := st.Width(name)
			x := at.X - w/2
			switch anchor {
			case draw.Start:
				x = at.X
			case draw.End:
				x = at.X - w
			}
			return draw.Rect{X: x, Y: at.Y - st.Size/2, W: w, H: st.Size}
		}
		// Where two axes point nearly the same way the later name moves on.
		for k := 0; k < 12 && slices.ContainsFunc(taken, box().Overlaps); k++ {
			at = at.Add(draw.Pt(1, 0))
		}
		taken = append(taken, box())
		l.Text(at, name, st)
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
	l.Text(draw.Pt(area.X+2.5, area.Y+2.5), name, look.Strong.At(draw.Start, draw.CapTop))
}
