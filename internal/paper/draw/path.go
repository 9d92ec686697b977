package draw

import "math"

// Op says what a segment of a path does.
type Op uint8

// The operations of a path.
const (
	OpMove  Op = iota // start a new run at P[0]
	OpLine            // straight to P[0]
	OpCubic           // cubic Bézier with controls P[0], P[1] to P[2]
	OpClose           // back to the start of the run
)

// Seg is one operation of a path.
type Seg struct {
	Op Op
	P  [3]Point
}

// End is where the segment ends; meaningless for OpClose.
func (s Seg) End() Point {
	if s.Op == OpCubic {
		return s.P[2]
	}
	return s.P[0]
}

// Path is a line, a filled area or both. The fill lies beneath the stroke.
type Path struct {
	Segs    []Seg
	Stroke  Stroke
	Fill    Paint
	EvenOdd bool // fill by the even-odd rule; nonzero winding otherwise
}

func (Path) item() {}

// MoveTo starts a new run at q.
func (p *Path) MoveTo(q Point) { p.Segs = append(p.Segs, Seg{Op: OpMove, P: [3]Point{q}}) }

// LineTo draws straight to q.
func (p *Path) LineTo(q Point) { p.Segs = append(p.Segs, Seg{Op: OpLine, P: [3]Point{q}}) }

// CubicTo draws a cubic Bézier curve with the controls a and b to q.
func (p *Path) CubicTo(a, b, q Point) {
	p.Segs = append(p.Segs, Seg{Op: OpCubic, P: [3]Point{a, b, q}})
}

// QuadTo draws the quadratic Bézier curve from the current point with control a
// to q, stored as the same curve in cubic form.
func (p *Path) QuadTo(a, q Point) {
	from := p.current()
	p.CubicTo(from.Lerp(a, 2.0/3), q.Lerp(a, 2.0/3), q)
}

// Close draws back to the start of the run.
func (p *Path) Close() { p.Segs = append(p.Segs, Seg{Op: OpClose}) }

// Polyline adds a run through the points, closed or open.
func (p *Path) Polyline(pts []Point, closed bool) {
	for i, q := range pts {
		if i == 0 {
			p.MoveTo(q)
		} else {
			p.LineTo(q)
		}
	}
	if closed && len(pts) > 0 {
		p.Close()
	}
}

// ArcTo adds an arc of an ellipse about c with radii rx and ry, turned by turn,
// from the angle from to the angle to (degrees, clockwise when to > from). It
// starts a new run unless the path is in one, in which case a straight line
// leads to the arc's start.
//
// Each quarter turn or less is one cubic; the distance from the true circle is
// below 0.03 % of the radius (Goldapp, "Approximation of circular arcs by cubic
// polynomials", Computer Aided Geometric Design 8, 1991, figure from memory).
func (p *Path) ArcTo(c Point, rx, ry, turn, from, to float64) {
	n := int(math.Ceil(math.Abs(to-from)/90 - 1e-9))
	if n < 1 {
		n = 1
	}
	frame := Transform{Move: c, Rotate: turn}
	at := func(deg float64) (Point, Point) {
		s, co := math.Sincos(radians(deg))
		pos := frame.Apply(Point{rx * co, ry * s})
		dir := frame.Apply(Point{-rx * s, ry * co}).Sub(c)
		return pos, dir
	}
	step := (to - from) / float64(n)
	k := 4.0 / 3 * math.Tan(radians(step)/4)
	a, da := at(from)
	if len(p.Segs) == 0 || p.Segs[len(p.Segs)-1].Op == OpClose {
		p.MoveTo(a)
	} else {
		p.LineTo(a)
	}
	for i := 1; i <= n; i++ {
		b, db := at(from + step*float64(i))
		p.CubicTo(a.Add(da.Mul(k)), b.Sub(db.Mul(k)), b)
		a, da = b, db
	}
}

// Ellipse adds a closed ellipse, turned by turn degrees.
func (p *Path) Ellipse(c Point, rx, ry, turn float64) {
	start := Transform{Move: c, Rotate: turn}.Apply(Point{X: rx})
	p.MoveTo(start)
	// ArcTo leads to its start with a line of no length, which a back-end
	// might dot with a round cap; it is dropped.
	n := len(p.Segs)
	p.ArcTo(c, rx, ry, turn, 0, 360)
	p.Segs = append(p.Segs[:n], p.Segs[n+1:]...)
	p.Close()
}

func (p *Path) current() Point {
	var start, at Point
	for _, s := range p.Segs {
		switch s.Op {
		case OpMove:
			start, at = s.P[0], s.P[0]
		case OpClose:
			at = start
		default:
			at = s.End()
		}
	}
	return at
}

// Apply is the path placed by t: points moved, widths and dashes scaled.
func (p Path) Apply(t Transform) Path {
	if t == (Transform{}) {
		return p
	}
	segs := make([]Seg, len(p.Segs))
	for i, s := range p.Segs {
		for k := range s.P {
			s.P[k] = t.Apply(s.P[k])
		}
		segs[i] = s
	}
	p.Segs = segs
	k := t.Factor()
	p.Stroke.Width *= k
	if len(p.Stroke.Dash) > 0 {
		dash := make([]float64, len(p.Stroke.Dash))
		for i, d := range p.Stroke.Dash {
			dash[i] = d * k
		}
		p.Stroke.Dash = dash
	}
	return p
}

// Run is a part of a path drawn without lifting the pen, made of straight pieces.
type Run struct {
	Pts    []Point
	Closed bool
}

// Flatten turns the path into straight runs that stay within tol mm of its curves.
func (p Path) Flatten(tol float64) []Run {
	var runs []Run
	var cur Run
	flush := func() {
		if len(cur.Pts) > 0 {
			runs = append(runs, cur)
		}
		cur = Run{}
	}
	for _, s := range p.Segs {
		switch s.Op {
		case OpMove:
			flush()
			cur.Pts = append(cur.Pts, s.P[0])
		case OpLine:
			cur.Pts = append(cur.Pts, s.P[0])
		case OpCubic:
			if len(cur.Pts) == 0 {
				cur.Pts = append(cur.Pts, s.P[0])
			}
			cur.Pts = appendCubic(cur.Pts, cur.Pts[len(cur.Pts)-1], s.P, tol)
		case OpClose:
			if len(cur.Pts) == 0 {
				continue
			}
			start := cur.Pts[0]
			cur.Closed = true
			flush()
			// What follows a close without a move starts where it closed.
			cur.Pts = []Point{start}
		}
	}
	if len(cur.Pts) > 1 || len(runs) == 0 || !runs[len(runs)-1].Closed {
		flush()
	}
	return runs
}

// appendCubic adds the points of a cubic from a, without a itself. The number
// of pieces follows from the bound on the distance of a curve from its chord,
// |second derivative|·h²/8.
func appendCubic(pts []Point, a Point, c [3]Point, tol float64) []Point {
	d1 := a.Sub(c[0].Mul(2)).Add(c[1]).Len()
	d2 := c[0].Sub(c[1].Mul(2)).Add(c[2]).Len()
	n := int(math.Ceil(math.Sqrt(6 * max(d1, d2) / (8 * tol))))
	n = min(max(n, 1), 200)
	for i := 1; i < n; i++ {
		t := float64(i) / float64(n)
		u := 1 - t
		pts = append(pts, a.Mul(u*u*u).Add(c[0].Mul(3*u*u*t)).Add(c[1].Mul(3*u*t*t)).Add(c[2].Mul(t*t*t)))
	}
	return append(pts, c[2])
}

// Bounds is the box around the path's points and controls, which holds the
// curve; line width is not counted.
func (p Path) Bounds() Rect {
	var pts []Point
	for _, s := range p.Segs {
		switch s.Op {
		case OpCubic:
			pts = append(pts, s.P[:]...)
		case OpMove, OpLine:
			pts = append(pts, s.P[0])
		}
	}
	return Around(pts...)
}
