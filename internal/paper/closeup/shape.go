package closeup

import (
	"math"

	"hangtrue/internal/paper/draw"
)

// Outlines in real mm. They carry no paint; a sketch paints them.

// pts makes points of pairs of numbers.
func pts(xy ...float64) []draw.Point {
	out := make([]draw.Point, len(xy)/2)
	for i := range out {
		out[i] = draw.Pt(xy[2*i], xy[2*i+1])
	}
	return out
}

// line runs straight from point to point.
func line(xy ...float64) draw.Path {
	var p draw.Path
	p.Polyline(pts(xy...), false)
	return p
}

// poly is a closed outline with straight sides.
func poly(xy ...float64) draw.Path {
	var p draw.Path
	p.Polyline(pts(xy...), true)
	return p
}

// smooth runs through the points without corners (a Catmull–Rom curve: at each
// point it heads as its neighbours lie).
func smooth(xy ...float64) draw.Path { return through(pts(xy...), false) }

// blob is a closed outline through the points without corners.
func blob(xy ...float64) draw.Path { return through(pts(xy...), true) }

func through(q []draw.Point, closed bool) draw.Path {
	n := len(q)
	at := func(i int) draw.Point {
		if closed {
			return q[(i+n)%n]
		}
		return q[min(max(i, 0), n-1)]
	}
	var p draw.Path
	p.MoveTo(q[0])
	last := n - 1
	if closed {
		last = n
	}
	for i := range last {
		a, b, c, d := at(i-1), at(i), at(i+1), at(i+2)
		p.CubicTo(b.Add(c.Sub(a).Mul(1.0/6)), c.Sub(d.Sub(b).Mul(1.0/6)), c)
	}
	if closed {
		p.Close()
	}
	return p
}

// soft is a closed outline with straight sides and corners rounded to r.
func soft(r float64, xy ...float64) draw.Path {
	q := pts(xy...)
	n := len(q)
	var p draw.Path
	for i, c := range q {
		a, b := q[(i+n-1)%n], q[(i+1)%n]
		in := min(r, a.Sub(c).Len()/2)
		out := min(r, b.Sub(c).Len()/2)
		from, to := c.Add(a.Sub(c).Unit().Mul(in)), c.Add(b.Sub(c).Unit().Mul(out))
		if i == 0 {
			p.MoveTo(from)
		} else {
			p.LineTo(from)
		}
		p.QuadTo(c, to)
	}
	p.Close()
	return p
}

// box is an upright rectangle about a centre.
func box(x, y, w, h float64) draw.Path {
	return poly(x-w/2, y-h/2, x+w/2, y-h/2, x+w/2, y+h/2, x-w/2, y+h/2)
}

// softBox is a box with rounded corners.
func softBox(x, y, w, h, r float64) draw.Path {
	return soft(min(r, w/2, h/2), x-w/2, y-h/2, x+w/2, y-h/2, x+w/2, y+h/2, x-w/2, y+h/2)
}

func circle(x, y, r float64) draw.Path { return ellipse(x, y, r, r) }

func ellipse(x, y, rx, ry float64) draw.Path {
	var p draw.Path
	p.Ellipse(draw.Pt(x, y), rx, ry, 0)
	return p
}

// arc is part of an ellipse, in degrees, clockwise on the page where to is greater.
func arc(x, y, rx, ry, from, to float64) draw.Path {
	var p draw.Path
	p.ArcTo(draw.Pt(x, y), rx, ry, 0, from, to)
	return p
}

// stadium is the closed middle line of an oval ring: two half circles joined by
// straight sides; length and width are those of the line, the length along x.
func stadium(length, width float64) draw.Path {
	if length < width {
		return ellipse(0, 0, length/2, width/2)
	}
	r, x := width/2, (length-width)/2
	var p draw.Path
	p.MoveTo(draw.Pt(-x, -r))
	p.ArcTo(draw.Pt(x, 0), r, r, 0, -90, 90)
	p.ArcTo(draw.Pt(-x, 0), r, r, 0, 90, 270)
	p.Close()
	return p
}

// join makes one outline of several: areas with holes, by the even-odd rule.
func join(ps ...draw.Path) draw.Path {
	out := draw.Path{EvenOdd: true}
	for _, p := range ps {
		out.Segs = append(out.Segs, p.Segs...)
	}
	return out
}

// station is a place on a line with the direction in which the line runs there.
type station struct {
	at, dir draw.Point
	s       float64 // distance from the line's start
}

// beside is the place d to the right of the direction of travel.
func (t station) beside(d float64) draw.Point { return t.at.Add(t.dir.Perp().Mul(d)) }

// walk sets a station every step mm along the first run of a path, the first at
// the distance from.
func walk(p draw.Path, from, step float64) []station {
	runs := p.Flatten(0.2)
	if len(runs) == 0 {
		return nil
	}
	q := runs[0].Pts
	if runs[0].Closed {
		q = append(q[:len(q):len(q)], q[0])
	}
	var out []station
	done, next := 0.0, from
	for i := 1; i < len(q); i++ {
		d := q[i].Sub(q[i-1])
		n := d.Len()
		for n > 0 && next <= done+n+1e-9 {
			out = append(out, station{q[i-1].Lerp(q[i], (next-done)/n), d.Mul(1 / n), next})
			next += step
		}
		done += n
	}
	return out
}

// along is the length of the first run of a path.
func along(p draw.Path) float64 {
	sum := 0.0
	for _, r := range p.Flatten(0.2)[:1] {
		for i := 1; i < len(r.Pts); i++ {
			sum += r.Pts[i].Sub(r.Pts[i-1]).Len()
		}
	}
	return sum
}

// part is the piece of a path between two distances from its start.
func part(p draw.Path, from, to float64) draw.Path {
	var out []draw.Point
	for _, t := range walk(p, from, (to-from)/math.Max(4, math.Ceil((to-from)/2))) {
		if t.s <= to+1e-6 {
			out = append(out, t.at)
		}
	}
	var q draw.Path
	q.Polyline(out, false)
	return q
}

// rough is a number in [−1, 1) that looks like chance and is always the same
// for the same i: frayed yarn and rust have to be drawn the same each time.
func rough(i int) float64 {
	x := uint32(i)*2654435761 + 0x9e3779b9
	x ^= x >> 15
	x *= 0x85ebca6b
	x ^= x >> 13
	x *= 0xc2b2ae35
	x ^= x >> 16
	return float64(x)/(1<<31) - 1
}
