package draw

import (
	"math"

	"hangtrue/internal/engine/quantity"
)

// ArrowStyle is the line and the head of an arrow. The head is a filled
// triangle, slender as on engineering drawings.
type ArrowStyle struct {
	Stroke Stroke
	Length float64 // of the head in mm
	Width  float64 // of the head in mm; 0 means a third of Length
}

func (a ArrowStyle) width() float64 {
	if a.Width == 0 {
		return a.Length / 3
	}
	return a.Width
}

// Arrow draws a line from a to b with a head whose tip is at b. On a line
// shorter than its head the head shrinks to the line. Nothing is drawn where a
// and b are the same.
func (l *List) Arrow(a, b Point, s ArrowStyle) {
	d := b.Sub(a)
	if d.Len() == 0 {
		return
	}
	k := min(1, d.Len()/s.Length)
	// The line ends inside the head: at its tip a line as wide as it is would
	// blunt the point.
	l.Line(a, b.Sub(d.Unit().Mul(0.7*s.Length*k)), s.Stroke)
	l.arrowHead(b, d.Unit(), s.Length*k, s.width()*k, s.Stroke.Paint)
}

// DoubleArrow draws a line with a head at each end.
func (l *List) DoubleArrow(a, b Point, s ArrowStyle) {
	d := b.Sub(a)
	if d.Len() == 0 {
		return
	}
	k := min(1, d.Len()/(2*s.Length))
	in := d.Unit().Mul(0.7 * s.Length * k)
	l.Line(a.Add(in), b.Sub(in), s.Stroke)
	l.arrowHead(b, d.Unit(), s.Length*k, s.width()*k, s.Stroke.Paint)
	l.arrowHead(a, d.Unit().Mul(-1), s.Length*k, s.width()*k, s.Stroke.Paint)
}

func (l *List) arrowHead(tip, dir Point, length, width float64, p Paint) {
	base := tip.Sub(dir.Mul(length))
	side := dir.Perp().Mul(width / 2)
	l.Polygon([]Point{tip, base.Add(side), base.Sub(side)}, Stroke{}, p)
}

// DimensionStyle is how a dimension is drawn: the line and its arrow heads, the
// extension lines and the figure.
type DimensionStyle struct {
	Arrow     ArrowStyle
	Extension Stroke
	Gap       float64 // mm left free between the point measured and its extension line
	Overrun   float64 // mm by which the extension line passes the dimension line
	Text      TextStyle
	TextGap   float64 // mm between the dimension line and the figure
}

// DimensionLine measures from a to b. The dimension line runs parallel to them
// at offset mm, on the side that [Point.Perp] of b − a points to where offset is
// positive (below a line drawn from left to right). The figure stands over the
// middle and reads from below or from the right. Where the heads do not fit
// between the extension lines they stand outside and point inwards.
func (l *List) DimensionLine(a, b Point, offset float64, label string, s DimensionStyle) {
	d := b.Sub(a)
	if d.Len() == 0 {
		return
	}
	dir, side := d.Unit(), d.Unit().Perp()
	out := side
	if offset < 0 {
		out = side.Mul(-1)
	}
	p, q := a.Add(side.Mul(offset)), b.Add(side.Mul(offset))
	if math.Abs(offset) > s.Gap {
		l.Line(a.Add(out.Mul(s.Gap)), p.Add(out.Mul(s.Overrun)), s.Extension)
		l.Line(b.Add(out.Mul(s.Gap)), q.Add(out.Mul(s.Overrun)), s.Extension)
	}
	if d.Len() >= 2.5*s.Arrow.Length {
		l.DoubleArrow(p, q, s.Arrow)
	} else {
		tail := dir.Mul(2 * s.Arrow.Length)
		l.Line(p, q, s.Arrow.Stroke)
		l.Arrow(p.Sub(tail), p, s.Arrow)
		l.Arrow(q.Add(tail), q, s.Arrow)
	}
	turn, up := readable(dir)
	st := s.Text.At(Middle, Baseline)
	at := p.Lerp(q, 0.5).Add(up.Mul(s.TextGap + s.Arrow.Stroke.Width/2))
	if d.Len() < st.Width(label)+2*s.TextGap {
		// The figure is wider than what it measures: it stands beyond b, on a
		// line drawn out to it, so that it does not cover the extension lines.
		w := st.Width(label)
		tail := max(2*s.Arrow.Length, s.Arrow.Length+w+2*s.TextGap)
		if d.Len() >= 2.5*s.Arrow.Length {
			tail = w + 2*s.TextGap
		}
		l.Line(q, q.Add(dir.Mul(tail)), s.Arrow.Stroke)
		at = q.Add(dir.Mul(tail - w/2 - s.TextGap/2)).Add(up.Mul(s.TextGap + s.Arrow.Stroke.Width/2))
	}
	l.TextTurned(at, label, turn, st)
}

// readable is the angle at which a text along dir reads from below or from the
// right, in (−90°, 90°] less the quarter turn that would read from the left,
// and the direction in which its letters stand up.
func readable(dir Point) (deg float64, up Point) {
	if dir.X < -1e-9 || (math.Abs(dir.X) <= 1e-9 && dir.Y > 0) {
		dir = dir.Mul(-1)
	}
	return dir.Angle(), dir.Perp().Mul(-1)
}

// AngleDimension measures the angle at c between the directions from and to (in
// degrees, clockwise from from to to) with an arc of radius r mm and arrow heads
// at its ends. The figure stands outside the arc's middle, level. On an arc too
// short for its heads they are left out.
func (l *List) AngleDimension(c Point, r, from, to float64, label string, s DimensionStyle) {
	for to < from {
		to += 360
	}
	length := radians(to-from) * r
	head := s.Arrow.Length
	if length >= 2.5*head && r > head {
		// A head is a chord of the arc: its axis is turned by half the angle that
		// it spans, so that both its ends lie on the arc.
		span := 2 * math.Asin(head/(2*r)) / quantity.Degree
		l.Arc(c, r, from+0.7*span, to-0.7*span, s.Arrow.Stroke)
		for _, e := range []struct{ at, sign float64 }{{from, 1}, {to, -1}} {
			tip := c.Add(Polar(r, e.at))
			base := c.Add(Polar(r, e.at+e.sign*span))
			l.arrowHead(tip, tip.Sub(base).Unit(), head, s.Arrow.width(), s.Arrow.Stroke.Paint)
		}
	} else {
		l.Arc(c, r, from, to, s.Arrow.Stroke)
	}
	mid := Polar(1, (from+to)/2)
	st := s.Text.At(Middle, CapMiddle)
	w, h := st.Width(label)/2, CapHeight*st.Size/2
	// How far the box of the figure reaches towards the arc.
	reach := math.Abs(mid.X)*w + math.Abs(mid.Y)*h
	l.Text(c.Add(mid.Mul(r+s.TextGap+reach)), label, st)
}
