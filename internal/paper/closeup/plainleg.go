package closeup

import "hangtrue/internal/paper/draw"

func drawPlainSound(s sketch) {
	const w = 30.0
	run := line(-100, 0, 100, 0)
	s.laid(run, w, cloth)
	switch s.state["sound"] {
	case "damaged":
		s.put(paper, noPen, poly(-12, -16, 14, -16, 4, 4, -4, 6))
		s.put(ink, noPen, poly(-8, -12, 10, -12, 3, 2, -3, 4))
		for i := range 7 {
			s.wireYarn(-9+1.5*float64(i), -12+2.4*float64(i), -1)
			s.wireYarn(10-1.2*float64(i), -12+2.2*float64(i), 1)
		}
	case "doubtful":
		s.put(dull, edge, box(0, 0, 56, w+3))
		for x := -24.0; x < 28; x += 8 {
			s.ink(detail, line(x, -16.5, x-4, 16.5))
		}
		s.put(cloth, detail, stainPath(20, 13, 3))
	}
}

// swivelHook is an open hook with a latch: its eye above the origin, its bight
// beneath. latch turns it open; bent opens its mouth.
func (s sketch) swivelHook(latch, bent float64) {
	x := bent
	p := draw.Path{}
	p.MoveTo(draw.Pt(-15, -30))
	p.CubicTo(draw.Pt(-18, 0), draw.Pt(-46, 14), draw.Pt(-46, 58))
	p.CubicTo(draw.Pt(-46, 98), draw.Pt(-16, 116), draw.Pt(8, 114))
	p.CubicTo(draw.Pt(40+x*0.6, 112), draw.Pt(58+x, 88), draw.Pt(54+x, 56))
	p.CubicTo(draw.Pt(52+x, 44), draw.Pt(38+x, 42), draw.Pt(36+x, 54))
	p.CubicTo(draw.Pt(34+x, 74), draw.Pt(22+x*0.4, 84), draw.Pt(6, 82))
	p.CubicTo(draw.Pt(-12, 80), draw.Pt(-18, 66), draw.Pt(-14, 50))
	p.CubicTo(draw.Pt(-10, 30), draw.Pt(14, 16), draw.Pt(15, -30))
	p.Close()
	s.put(metal, outline.WithWidth(0.6), p)
	s.put(bright, noPen, smooth(-34, 30, -40, 60, -30, 88, -34, 60))
	s.ring(20, 17)
	k := s.at(0, 16).turned(latch)
	k.put(bright, outline, soft(3, -7, -8, 7, -8, 46, 44, 40, 50, -8, 8))
	k.screw(0, 0, 4)
}

func drawPlainEnd(s sketch) {
	s = s.at(0, -34)
	s.laid(line(0, -180, 0, -70), 28, cloth)
	s.put(dull, outline, soft(4, -18, -84, 18, -84, 20, -44, -20, -44))
	t := s.at(0, -8)
	latch, bent := 0.0, 0.0
	switch s.state["fittings"] {
	case "open":
		latch = -70
	case "bent":
		bent = 30
	}
	t.swivelHook(latch, bent)
}

func drawPlainLength(s sketch) {
	s.laid(line(-56, -120, -56, 120), 28, cloth)
	s.cord(line(-71, -30, -41, -30), 4)
	s.cord(smooth(-42, -30, -30, -28, -24, -24), 4)
	t := s.at(26, 4)
	t.put(bright, outline, softBox(0, 0, 104, 76, 5))
	t.hole(-44, -30, 4)
	l := "4.6 m"
	if s.is("length", "other") {
		l = "4.2 m"
	}
	t.write(0, -12, l, 17, ink)
	t.write(0, 18, "30 kN", 14, ink)
	s.card("plan: 4.6 m, 30 kN")
}

func drawFreeEnd(s sketch) {
	s = s.at(-1400, 900)
	s.ground(40, 5000)
	const w, d, h = 2300.0, 1600.0, 1300.0
	s.crate(0, 0, 0, w, d, h)
	top := func(x, y float64) draw.Point { return deep(x, y, h) }
	mid := top(w/2, d/2)
	for i, p := range [][2]float64{{w - 150, 150}, {w - 150, d - 150}, {150, d - 150}, {150, 150}} {
		s.eyeRing(p[0], p[1], h, 62)
		e := top(p[0], p[1]).Add(draw.Pt(0, -50))
		if i == 3 && s.is("free-end", "behind") {
			// It has slid off the front face and hangs down before it.
			s.strand(64, cloth, mid, draw.Pt(700, -h-60), draw.Pt(760, -h+40), draw.Pt(700, -500), draw.Pt(460, -200), draw.Pt(200, -420), draw.Pt(170, -h+20), e)
			continue
		}
		s.strand(64, cloth, mid, mid.Lerp(e, 0.35).Add(draw.Pt(0, 60)), mid.Lerp(e, 0.7).Add(draw.Pt(0, -10)), e)
	}
	s.at(mid.X, mid.Y-60).steel(circle(0, 0, 120), 60)
}
