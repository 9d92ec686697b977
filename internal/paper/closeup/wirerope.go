package closeup

import (
	"math"

	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// strands draws wire rope close enough for its wires to show.
func (s sketch) strands(p draw.Path, w float64) {
	s.open(p, w, metal)
	step := w * 0.62
	var lines, wires draw.Path
	for _, t := range walk(p, 0, step) {
		a := t.beside(w * 0.49).Sub(t.dir.Mul(w * 0.55))
		b := t.beside(-w * 0.49).Add(t.dir.Mul(w * 0.55))
		lines.MoveTo(a)
		lines.CubicTo(a.Add(t.dir.Mul(w*0.6)), b.Sub(t.dir.Mul(w*0.6)), b)
		for i := range 6 {
			f := (float64(i) + 0.9) / 6.6
			q := t.at.Add(t.dir.Mul(step * 0.5)).Add(t.dir.Perp().Mul(w * 0.47 * (1 - 2*f))).Add(t.dir.Mul((2*f - 1) * w * 0.34))
			wires.MoveTo(q.Sub(t.dir.Mul(w * 0.12)).Sub(t.dir.Perp().Mul(w * 0.05)))
			wires.LineTo(q.Add(t.dir.Mul(w * 0.12)).Add(t.dir.Perp().Mul(w * 0.05)))
		}
	}
	s.ink(edge, lines)
	s.ink(hair, wires)
}

func drawWireRope(s sketch) {
	const w = 32.0
	run := line(-90, 0, 90, 0)
	broken := func(x, y, dir float64, i int) {
		s.wire(smooth(x, y, x+dir*3, y-4, x+dir*(9+3*rough(i)), y-9-3*rough(i*3)), 2)
	}
	switch s.state["shape"] {
	case "kinked":
		s.strands(smooth(-90, 22, -36, 18, -14, 8, -4, -12), w)
		s.strands(smooth(-12, -18, 6, 6, 34, -6, 90, -26), w)
		s.put(dark, edge, blob(-10, -8, 0, -2, -4, 8, -12, 4))
		for i := range 4 {
			broken(-12+5*float64(i), -24+2*float64(i), -0.6+0.5*float64(i), i)
		}
		return
	case "caged":
		s.strands(line(-90, 0, -34, 0), w)
		s.strands(line(34, 0, 90, 0), w)
		s.tubeIn(line(-36, 0, 36, 0), 12, dull, detail.Width, draw.CapButt)
		s.lay(line(-36, 0, 36, 0), 12, 0.6)
		for i, h := range []float64{-34, -20, 20, 34} {
			y0 := -12 + 8*float64(i)
			p := smooth(-42, y0, -24, y0+(h-y0)*0.6, 0, h, 24, y0+(h-y0)*0.6, 42, y0)
			s.tubeIn(p, 8.5, metal, edge.Width, draw.CapRound)
			s.lay(p, 8.5, 0.8)
		}
		p := smooth(-42, -2, -20, 5, 0, 8, 20, 5, 42, 2)
		s.tubeIn(p, 8.5, metal, edge.Width, draw.CapRound)
		s.lay(p, 8.5, 0.8)
		return
	case "crushed":
		s.strands(run, w)
		flat := blob(-40, -15, -20, -22, 0, -25, 20, -22, 40, -15, 40, 15, 20, 22, 0, 25, -20, 22, -40, 15)
		s.put(metal, outline, flat)
		s.put(metal, noPen, box(-38, 0, 8, 31), box(38, 0, 8, 31))
		for i := range 7 {
			y := -20 + 6.6*float64(i)
			f := math.Sqrt(1 - (y/26)*(y/26))
			s.ink(edge, smooth(-38*f, y*0.8, -14, y+2, 14, y-2, 38*f, y*0.8))
		}
		s.put(bright, edge, poly(-16, -16, 16, -18, 19, 15, -13, 17))
		for i := range 5 {
			s.ink(hair, line(-14, -12+6*float64(i), 17, -13+6*float64(i)))
		}
		return
	}
	s.strands(run, w)
	switch {
	case s.is("wires", "few"):
	case s.is("wires", "spread"):
		for i := range 12 {
			x := -48 + 8.6*float64(i)
			y := 12 * rough(i*7+1)
			s.wire(smooth(x, y, x+2, y-5, x+7+2*rough(i), y-9), 2)
			s.wire(smooth(x+3, y+1, x+6, y-1, x+10, y-2), 2)
		}
	case s.is("wires", "strand"):
		for i := range 6 {
			f := float64(i) / 5
			x, y := -15+30*f, 13-26*f
			s.wire(smooth(x, y, x+1, y-5, x+8, y-8), 2)
			s.wire(smooth(x-1, y+1, x-4, y-4, x-7, y-4), 2)
		}
	}
	if s.is("wear", "flat") {
		for _, t := range walk(run, 10, 32*0.62) {
			if math.Abs(t.at.X) < 56 {
				s.at(t.at.X+9, -8).put(paper, detail, ellipse(0, 0, 8, 4.4))
				s.at(t.at.X+5, -8).ink(hair, line(-2, -2.6, 4, -2.8), line(-3, 0, 9, 0), line(-1, 2.6, 7, 2.4))
			}
		}
		s.put(paper, noPen, box(0, -15.6, 110, 3.4))
		s.ink(outline, line(-55, -13.9, 55, -13.9))
	}
	if s.is("heat", "burnt") {
		s.put(look.Series6, noPen, box(0, 0, 50, 31))
		s.put(cloth, noPen, box(-30, 0, 12, 31), box(30, 0, 12, 31))
		s.ink(edge, line(-14, 14, 6, -14), line(4, 14, 24, -14), line(-30, 10, -14, -14))
		s.put(ink, noPen, stainPath(13, 11, 4))
		s.put(bright, detail, circle(1, -1, 3))
		for i := range 8 {
			v := draw.Polar(9+3*rough(i), float64(i)*45)
			s.put(ink, noPen, circle(v.X, v.Y, 1.1))
		}
	}
	if s.is("rust", "pitted") {
		for i := range 220 {
			s.put(ink, noPen, circle(62*rough(i*3+1), 15*rough(i*7+2), 0.7+0.6*math.Abs(rough(i*5))))
		}
	}
}

func drawFerrule(s sketch) {
	s = s.at(0, 26)
	const w = 26.0
	loop := smooth(-10, -40, -34, 10, -44, 60, -24, 98, 0, 106, 24, 98, 44, 60, 34, 10, 10, -40)
	s.strands(loop, w)
	s.tube(smooth(-6, 2, -26, 50, -16, 84, 0, 90, 16, 84, 26, 50, 6, 2), 10, bright)
	y := 0.0
	if s.is("ends", "slipped") {
		y = 0
	}
	s.strands(line(0, -180, 0, -90), w)
	s.at(0, y).put(metal, outline, soft(8, -19, -112, 19, -112, 25, -36, -25, -36))
	s.put(bright, noPen, box(-9, -76, 9, 56))
	// The rope's dead end stands a little out of the sleeve.
	end := 8.0
	if s.is("ends", "slipped") {
		end = -10
		s.put(dark, edge, softBox(9, -112, 16, 5, 2))
		s.put(bright, outline, box(-4, -131, 30, 26))
		for x := -16.0; x < 10; x += 4 {
			s.ink(hair, line(x, -142, x+5, -120))
		}
		s.ink(edge, line(-26, -144, 28, -144))
	} else {
		s.strands(line(9, -112-end, 9, -110), 15)
		s.ink(outline, line(1.5, -112-end, 16.5, -112-end))
	}
	if s.is("ends", "cracked") {
		s.at(-18, -112).turned(72).crack(66)
	}
}
