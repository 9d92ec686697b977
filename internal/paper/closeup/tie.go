package closeup

import "hangtrue/internal/paper/draw"

// A bundle is bound about the origin; it runs along y and is w wide.

// tapeBand winds tape about a bundle, h high: plain turns with a torn end.
func (s sketch) tapeBand(w, h float64, fill draw.Paint) {
	b := w * 0.06
	s.put(fill, edge, draw.Path{Segs: poly(
		-w/2-b, -h/2, w/2+b, -h/2-h*0.06, w/2+b, h/2-h*0.06, -w/2-b, h/2).Segs})
	n := 3
	var out draw.Path
	for i := 1; i < n; i++ {
		y := -h/2 + h*float64(i)/float64(n)
		out.MoveTo(draw.Pt(-w/2-b, y))
		out.LineTo(draw.Pt(w/2+b, y-h*0.06))
	}
	s.ink(hair, out)
	// The torn end of the last turn.
	s.ink(detail, line(w*0.22, -h/2+h*0.3, w*0.25, -h*0.1, w*0.2, -h*0.02, w*0.26, h*0.08, w*0.22, h*0.14))
}

// cottonTie binds a bundle with flat cotton tape: two turns, a flat knot, two
// short tails.
func (s sketch) cottonTie(w float64) {
	h := w * 0.3
	b := w*0.5 + h*0.12
	for _, y := range []float64{-h * 0.45, h * 0.45} {
		s.put(paper, edge, soft(h*0.2, -b, y-h*0.42+h*0.1, b, y-h*0.42-h*0.1, b, y+h*0.42-h*0.1, -b, y+h*0.42+h*0.1))
		s.ink(hair.WithDash(0.5, 0.5), line(-b, y+h*0.1, b, y-h*0.1))
	}
	s.put(paper, edge, poly(-h*0.1, h*0.2, h*0.5, h*0.35, h*1.5, h*2.4, h*0.75, h*2.55, h*0.55, h*2.2))
	s.put(paper, edge, poly(h*0.1, h*0.2, -h*0.5, h*0.35, -h*1.3, h*2.2, -h*0.65, h*2.5, -h*0.4, h*2.1))
	s.put(paper, edge, soft(h*0.3, -h*0.6, -h*0.5, h*0.6, -h*0.6, h*0.7, h*0.5, -h*0.6, h*0.6))
	s.ink(detail, line(-h*0.5, h*0.45, h*0.5, -h*0.45))
}

// cordTie binds a bundle with turns of cord and a knot.
func (s sketch) cordTie(w, d float64, turns int) {
	h := d * 1.05
	b := w*0.5 + d*0.3
	y0 := -h * float64(turns-1) / 2
	s.cord(smooth(0, 0, d*2, d*4, d*1, d*9, d*3, d*13), d)
	s.cord(smooth(0, 0, -d*2.5, d*3, -d*3.5, d*8, -d*2.4, d*11), d)
	for i := range turns {
		y := y0 + h*float64(i)
		s.cord(line(-b, y+d*0.25, b, y-d*0.25), d)
	}
	s.put(cloth, edge, blob(-d*1.5, -d*0.4, 0, -d*1.5, d*1.6, -d*0.3, d*0.9, d*1.5, -d*1.1, d*1.3))
	s.ink(detail, smooth(-d, -d*0.6, 0, d*0.2, d*0.9, d*0.9), smooth(-d*0.6, d*0.9, 0, -d*0.1, d*0.9, -d*0.8))
}

// wireTie binds a bundle with bare wire, its ends twisted together.
func (s sketch) wireTie(w, d float64) {
	b := w*0.5 + d*0.4
	for _, y := range []float64{-d * 0.9, d * 0.9} {
		s.wire(line(-b, y+d*0.4, b, y-d*0.4), d)
	}
	x := w * 0.18
	for i := range 6 {
		y := d * (1.8 + 2.2*float64(i))
		s.wire(line(x-d*1.1, y-d*0.8, x+d*1.1, y+d*0.8), d)
	}
	s.wire(smooth(x+d, d*14, x+d*2, d*17, x+d*4, d*18), d)
	s.wire(smooth(x-d, d*14, x-d*2, d*16, x-d*4, d*16), d)
}
