package closeup

import "hangtrue/internal/paper/draw"

func drawRope(s sketch) {
	const w = 32.0
	run := line(-70, 0, 70, 0)
	top, bottom := line(-62, -w/2, 62, -w/2), line(62, w/2, -62, w/2)
	switch {
	case s.is("size", "thin", "lump"), s.is("chafe", "worn"):
		d := map[string]float64{"thin": -7.5, "lump": 9, "even": -5}[s.state["size"]]
		out := smooth(-70, -16, -36, -16, -20, -16-d*0.5, 0, -16-d, 20, -16-d*0.5, 36, -16, 70, -16)
		low := smooth(70, 16, 36, 16, 20, 16+d*0.5, 0, 16+d, -20, 16+d*0.5, -36, 16, -70, 16)
		body := out
		body.LineTo(draw.Pt(70, 16))
		body.Segs = append(body.Segs, low.Segs[1:]...)
		s.put(cloth, noPen, body)
		s.braiding(line(-70, 0, -26, 0), w)
		s.braiding(line(-26, 0, 26, 0), w+1.4*d)
		s.braiding(line(26, 0, 70, 0), w)
		s.ink(outline, out, low)
		if s.is("chafe", "worn") {
			s.put(paper, noPen, ellipse(0, 0, 24, 9.5))
			for i := range 34 {
				x := -24 + 48*float64(i)/33
				h := 8.5 * (0.5 + 0.5*rough(i*3))
				s.ink(hair, smooth(x, -h, x+2+1.5*rough(i), 0, x+1.5*rough(i*5), h))
			}
			s.fuzz(line(-26, -12, 26, -12), -7, 1.3, false)
			s.fuzz(line(26, 12, -26, 12), -7, 1.3, false)
		}
	default:
		s.braid(run, w)
	}
	if !s.is("size", "thin", "lump") && !s.is("chafe", "worn") {
		s.fuzz(top, -2.2, 2.6, false)
		s.fuzz(bottom, -2.2, 2.6, false)
	}
	switch {
	case s.is("cut", "outer"):
		s.put(ink, noPen, blob(-8, -17, -2, -8, 1, -3, 4, -8, 9, -17))
		for i := range 4 {
			y := -15 + 3.4*float64(i)
			s.wireYarn(-6+2.5*float64(i)*0.6, y, -1)
			s.wireYarn(7-2.5*float64(i)*0.6, y, 1)
		}
	case s.is("cut", "core"):
		gap := blob(-15, -17, -11, -5, -15, 6, -9, 17, 10, 17, 14, 4, 10, -6, 15, -17)
		s.put(paper, outline, gap)
		for y := -11.0; y <= 12; y += 4.4 {
			s.tubeIn(line(-12, y, 12, y), 3.6, paper, hair.Width, draw.CapButt)
		}
		s.ink(outline, smooth(-15, -17, -11, -5, -15, 6, -9, 17), smooth(10, 17, 14, 4, 10, -6, 15, -17))
		for i := range 6 {
			y := -14 + 5.6*float64(i)
			s.wireYarn(-13, y, -1)
			s.wireYarn(13, y, 1)
		}
	case s.is("chafe", "powder"):
		for i := range 150 {
			x, y := 34*rough(i*3+1), 15*rough(i*7+2)
			s.put(paper, hair, circle(x, y, 0.75+0.5*rough(i)))
		}
		for i := range 40 {
			s.put(ink, noPen, circle(38*rough(i*5+3), 19+3.2*rough(i*11), 0.5))
		}
	case s.is("burn", "glazed"):
		s.put(dark, outline, blob(-26, -16, -20, -2, -24, 10, -8, 16, 12, 16, 24, 8, 20, -6, 27, -16, 8, -17.5, -10, -17))
		s.put(paper, noPen, blob(-15, -11, -4, -12, 6, -10, -4, -8), blob(-10, 5, 2, 4, 12, 7, 0, 9))
		s.ink(hair.WithPaint(paper), smooth(-19, -5, 0, -4, 18, -6), smooth(-16, 1, 2, 0, 16, 1), smooth(-14, 12, 4, 12, 16, 11))
	case s.is("contamination", "oil"):
		s.put(dark, noPen, blob(-44, -15.6, -20, -15.6, 10, -15.6, 36, -15.6, 45, -4, 38, 9, 30, 15.6, 0, 15.6, -30, 15.6, -48, 6, -50, -6))
		s.braiding(line(-46, 0, 42, 0), w)
		s.drop(-8, 14, 13)
		s.drop(16, 14, 9)
		s.ink(hair.WithPaint(paper), smooth(-36, -9, -10, -10, 20, -9))
	case s.is("contamination", "stained"):
		s.put(paper, detail, blob(-38, -15.6, -10, -15.6, 24, -15.6, 36, -3, 30, 15.6, 0, 15.6, -28, 15.6, -40, 4))
		s.put(dull, detail.WithDash(1, 0.7), blob(-26, -11, -4, -13, 18, -11, 25, -1, 17, 11, -4, 12, -22, 9, -29, 0))
		s.braiding(line(-40, 0, 36, 0), w)
	}
}

// wireYarn is a cut yarn's end that stands off, to the left or the right.
func (s sketch) wireYarn(x, y, dir float64) {
	r := rough(int(x*13) + int(y*7))
	s.tubeIn(smooth(x, y, x+dir*2, y-3, x+dir*(5+2*r), y-6-3*r, x+dir*(9+2*r), y-6), 2, cloth, hair.Width, draw.CapRound)
}

func drawPotted(s sketch) {
	s = s.at(0, 40)
	rope := line(0, -140, 0, -44)
	if s.is("end", "pulled") {
		s.open(line(0, -96, 0, -44), 28, paper)
		for x := -10.0; x <= 10; x += 5 {
			s.ink(detail, line(x, -88, x, -50))
		}
		rope = line(0, -150, 0, -88)
		s.braid(rope, 32)
		s.ink(detail, line(-16, -88, 16, -88))
		s.fuzz(line(-16, -86, 16, -86), 5, 2.2, false)
	} else {
		s.braid(rope, 32)
	}
	s.socketBody(28)
	s.ring(26, 17)
	s.socketNeck(28)
	switch {
	case s.is("end", "cracked"):
		s.at(-26, -66).turned(60).crack(64)
	case s.is("end", "dented"):
		s.put(paper, noPen, blob(30, -44, 36, -40, 36, -16, 30, -12, 18, -22, 16, -34))
		s.put(dull, outline.WithWidth(0.7), smooth(29.5, -46, 20, -40, 15, -30, 19, -20, 30, -12))
		s.ink(detail, smooth(24, -36, 21, -30, 24, -22), smooth(12, -42, 8, -30, 13, -18))
	}
}

// socketBody is the cone of a potted end above an eye of this inner radius at the origin.
func (s sketch) socketBody(eye float64) {
	y := -eye
	s.put(metal, outline, soft(5, -24, y-48, 24, y-48, 32, y-14, 24, y+6, -24, y+6, -32, y-14))
	s.put(bright, noPen, poly(-17, y-44, -10, y-44, -14, y-2, -24, y-12))
	s.ink(detail, line(-24, y-40, 24, y-40))
}

// socketNeck joins cone and eye in front.
func (s sketch) socketNeck(eye float64) {
	y := -eye
	s.put(metal, noPen, poly(-13, y-12, 13, y-12, 11, y+1, -11, y+1))
}

func drawRoller(s sketch) {
	s = s.at(0, 22)
	s.braid(line(0, -160, 0, -60), 32)
	s.socketBody(34)
	s.ring(31, 16)
	s.socketNeck(34)
	roller := func(t sketch) {
		t.put(bright, outline, circle(0, 0, 29.5))
		t.ink(detail, circle(0, 0, 22))
		t.put(paper, edge, circle(0, 0, 13.5))
	}
	// The pin of what hangs beneath, seen from its end.
	pin := func(y float64) {
		s.put(metal, outline, circle(0, y, 12))
		s.put(bright, noPen, circle(-3, y-3, 4))
		s.ink(detail, circle(0, y, 8))
	}
	switch {
	case s.is("present", "missing"):
		pin(18.5)
	case s.is("present", "outside"):
		pin(18.5)
		// It has come out of the eye and hangs on the pin, beside it.
		t := s.at(38, 38).turned(28)
		t.put(bright, outline, ellipse(9, 0, 20, 29.5))
		t.put(bright, outline, softBox(0, 0, 20, 44, 3))
		t.put(bright, outline, ellipse(-9, 0, 20, 29.5))
		t.ink(detail, ellipse(-9, 0, 15, 22))
		t.put(paper, edge, ellipse(-9, 0, 9, 13.5))
		s.steel(line(4, 20, 28, 33), 12)
	default:
		roller(s)
		pin(0)
		switch {
		case s.is("whole", "cracked"):
			s.at(0, 0).turned(-58).at(12, 0).crack(17)
			s.put(paper, outline, blob(20, 21, 27, 11, 30, 13, 26, 22, 20, 26))
		case s.is("whole", "jammed"):
			// Grit and rust fill the gap, and the roller is worn flat where it stood.
			s.put(dark, edge, poly(-27, 13, -12, 25, 12, 25, 27, 13, 22, 21, 9, 30, -9, 30, -22, 21))
			s.at(0, 22).speckle(50, 18, 40, 1.6, ink)
			s.at(0, 0).speckle(62, 62, 50, 1.2, ink)
		}
	}
	s.ink(outline, circle(0, 0, 31))
}
