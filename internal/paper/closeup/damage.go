package closeup

import "hangtrue/internal/paper/draw"

// Damage, about the origin, in the part's own mm.

// crack is a jagged line that runs along x and thins out: dark at its mouth.
func (s sketch) crack(length float64) {
	var q []draw.Point
	n := 7
	for i := range n + 1 {
		q = append(q, draw.Pt(length*float64(i)/float64(n), length*0.09*rough(i*3+1)))
	}
	var up, all draw.Path
	all.Polyline(q, false)
	s.ink(bold.WithWidth(1), all)
	up.MoveTo(q[2])
	up.LineTo(q[2].Add(draw.Pt(length*0.13, -length*0.16)))
	up.MoveTo(q[5])
	up.LineTo(q[5].Add(draw.Pt(length*0.12, length*0.13)))
	s.ink(outline, up)
	var mouth draw.Path
	mouth.Polyline([]draw.Point{q[0].Add(draw.Pt(-length*0.05, -length*0.09)), q[1], q[3], q[2], q[0].Add(draw.Pt(-length*0.05, length*0.09))}, true)
	s.put(ink, noPen, mouth)
}

// fuzz is broken filaments that stand off along a line, on both sides of it or
// on the right of its run only.
func (s sketch) fuzz(p draw.Path, length, step float64, both bool) {
	var out draw.Path
	for i, t := range walk(p, 0, step) {
		side := 1.0
		if both && i%2 == 1 {
			side = -1
		}
		a := t.at
		h := length * (0.65 + 0.35*rough(i*5+2))
		b := a.Add(t.dir.Perp().Mul(side * h)).Add(t.dir.Mul(length * 0.7 * rough(i*7+3)))
		c := a.Lerp(b, 0.5).Add(t.dir.Mul(length * 0.4 * rough(i*11+5)))
		out.MoveTo(a)
		out.QuadTo(c, b)
	}
	s.ink(detail, out)
}

// stainPath is an irregular patch about the origin; each seed gives another.
func stainPath(w, h float64, seed int) draw.Path {
	var q []draw.Point
	for i := range 11 {
		r := 0.43 + 0.09*rough(seed*31+i*3)
		v := draw.Polar(1, float64(i)*360/11)
		q = append(q, draw.Pt(v.X*w*r, v.Y*h*r))
	}
	return through(q, true)
}

// speckle is dots of many sizes within an ellipse: rust, sand, dirt.
func (s sketch) speckle(w, h float64, n int, r float64, p draw.Paint) {
	for i := range n {
		v := draw.Polar(1, 180*rough(i*13+4))
		d := 0.5 * (0.5 + 0.5*rough(i*17+9))
		d = 0.5 - d*d*1.6
		s.put(p, noPen, circle(v.X*w*d, v.Y*h*d, r*(0.65+0.35*rough(i*19+6))))
	}
}

// drop is a hanging drop, its tip at the origin, h high.
func (s sketch) drop(x, y, h float64) {
	var p draw.Path
	w := h * 0.34
	p.MoveTo(draw.Pt(x, y))
	p.CubicTo(draw.Pt(x+w*0.2, y+h*0.4), draw.Pt(x+w, y+h*0.45), draw.Pt(x+w, y+h*0.68))
	p.CubicTo(draw.Pt(x+w, y+h*1.1), draw.Pt(x-w, y+h*1.1), draw.Pt(x-w, y+h*0.68))
	p.CubicTo(draw.Pt(x-w, y+h*0.45), draw.Pt(x-w*0.2, y+h*0.4), draw.Pt(x, y))
	p.Close()
	s.put(bright, edge, p)
}

// yarns is the cut end of a textile part that runs along x, w wide, cut at the
// origin: yarns of unequal length towards +x.
func (s sketch) yarns(w, length float64, n int) {
	for i := range n {
		y := -w/2 + w*(float64(i)+0.5)/float64(n)
		l := length * (0.7 + 0.3*rough(i*3+8))
		s.tubeIn(smooth(-length*0.3, y, 0, y, l*0.5, y+length*0.12*rough(i*5), l, y+length*0.3*rough(i*7+1)), w/float64(n)*0.7, cloth, hair.Width, draw.CapRound)
	}
}
