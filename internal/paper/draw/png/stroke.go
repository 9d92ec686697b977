package png

import (
	"math"

	"hangtrue/internal/paper/draw"
)

// outline is the area of a stroke as pieces that all turn the same way, so that
// filled by nonzero winding their union is the stroke.
func outline(runs []draw.Run, s draw.Stroke) [][]draw.Point {
	b := brush{stroke: s, half: s.Width / 2}
	for _, r := range runs {
		r = distinct(r)
		if len(s.Dash) == 0 {
			b.run(r)
			continue
		}
		for _, d := range dashes(r, s.Dash) {
			b.run(d)
		}
	}
	return b.areas
}

// distinct drops points that do not move.
func distinct(r draw.Run) draw.Run {
	var pts []draw.Point
	for _, p := range r.Pts {
		if len(pts) == 0 || p.Sub(pts[len(pts)-1]).Len() > 1e-9 {
			pts = append(pts, p)
		}
	}
	if r.Closed && len(pts) > 1 && pts[len(pts)-1].Sub(pts[0]).Len() <= 1e-9 {
		pts = pts[:len(pts)-1]
	}
	return draw.Run{Pts: pts, Closed: r.Closed}
}

// most dashes drawn of one run; a pattern that asks for more is finer than a pixel.
const mostDashes = 100_000

// dashes cuts a run into the open runs that a dash pattern leaves. A pattern of
// odd length is used twice, as SVG and PDF do.
func dashes(r draw.Run, pattern []float64) []draw.Run {
	if len(pattern)%2 == 1 {
		pattern = append(append([]float64{}, pattern...), pattern...)
	}
	pts := r.Pts
	if r.Closed && len(pts) > 0 {
		pts = append(append([]draw.Point{}, pts...), pts[0])
	}
	var out []draw.Run
	if len(pts) == 0 {
		return nil
	}
	k, left := 0, pattern[0]
	cur := []draw.Point{pts[0]}
	// toggle ends the dash or the gap at p. Patterns sum to more than nothing
	// (draw.Picture.Check), so the loop ends.
	toggle := func(p draw.Point) {
		if k%2 == 0 {
			out = append(out, draw.Run{Pts: append(cur, p)})
		}
		k = (k + 1) % len(pattern)
		left = pattern[k]
		cur = []draw.Point{p}
	}
	for i := 1; i < len(pts); i++ {
		a, b := pts[i-1], pts[i]
		length := b.Sub(a).Len()
		done := 0.0
		for length-done > left {
			done += left
			toggle(a.Lerp(b, done/length))
			if len(out) > mostDashes {
				return []draw.Run{r}
			}
		}
		left -= length - done
		if k%2 == 0 {
			cur = append(cur, b)
		}
	}
	if k%2 == 0 && len(cur) > 1 {
		out = append(out, draw.Run{Pts: cur})
	}
	for i := range out {
		out[i] = distinct(out[i])
	}
	return out
}

// brush collects the pieces of strokes.
type brush struct {
	stroke draw.Stroke
	half   float64
	areas  [][]draw.Point
}

// add adds a convex piece, turned the way of all others.
func (b *brush) add(pts ...draw.Point) {
	area := 0.0
	for i, p := range pts {
		area += p.Cross(pts[(i+1)%len(pts)])
	}
	if area < 0 {
		for i, j := 0, len(pts)-1; i < j; i, j = i+1, j-1 {
			pts[i], pts[j] = pts[j], pts[i]
		}
	}
	b.areas = append(b.areas, pts)
}

func (b *brush) disc(c draw.Point) {
	var p draw.Path
	p.Ellipse(c, b.half, b.half, 0)
	b.add(p.Flatten(tolerance)[0].Pts...)
}

func (b *brush) run(r draw.Run) {
	n := len(r.Pts)
	if n == 0 {
		return
	}
	if n == 1 {
		if b.stroke.Cap == draw.CapRound {
			b.disc(r.Pts[0])
		}
		return
	}
	pieces := n - 1
	if r.Closed {
		pieces = n
	}
	for i := range pieces {
		p, q := r.Pts[i], r.Pts[(i+1)%n]
		dir := q.Sub(p).Unit()
		if !r.Closed && b.stroke.Cap == draw.CapSquare {
			if i == 0 {
				p = p.Sub(dir.Mul(b.half))
			}
			if i == pieces-1 {
				q = q.Add(dir.Mul(b.half))
			}
		}
		side := dir.Perp().Mul(b.half)
		b.add(p.Add(side), q.Add(side), q.Sub(side), p.Sub(side))
	}
	if !r.Closed && b.stroke.Cap == draw.CapRound {
		b.disc(r.Pts[0])
		b.disc(r.Pts[n-1])
	}
	for i := range n {
		if !r.Closed && (i == 0 || i == n-1) {
			continue
		}
		b.join(r.Pts[(i+n-1)%n], r.Pts[i], r.Pts[(i+1)%n])
	}
}

// gentle is the turn, as the sine of its angle, below which every join is a
// miter: the corners of flattened curves.
const gentle = 0.3

func (b *brush) join(from, at, to draw.Point) {
	d0, d1 := at.Sub(from).Unit(), to.Sub(at).Unit()
	sin, cos := d0.Cross(d1), d0.Dot(d1)
	smooth := cos > 0 && math.Abs(sin) < gentle
	if b.stroke.Join == draw.JoinRound && !smooth {
		b.disc(at)
		return
	}
	side := -1.0 // the outer side lies against the turn
	if sin < 0 {
		side = 1
	}
	o0 := at.Add(d0.Perp().Mul(side * b.half))
	o1 := at.Add(d1.Perp().Mul(side * b.half))
	// The miter's length over the line width is 1/cos of half the turn.
	half := math.Sqrt(max(0, (1+cos)/2))
	if (b.stroke.Join == draw.JoinMiter || smooth) && half*draw.MiterLimit >= 1 {
		mid := d0.Perp().Add(d1.Perp()).Unit()
		b.add(at, o0, at.Add(mid.Mul(side*b.half/half)), o1)
		return
	}
	b.add(at, o0, o1)
}
