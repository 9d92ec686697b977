package closeup

import "hangtrue/internal/paper/draw"

func drawApproved(s sketch) {
	s = s.at(0, 40)
	s.put(dull, outline, box(0, 120, 500, 240))
	// The lift point with its plate; a light lashing ring beside it.
	l := s.at(-80, 0)
	l.put(bright, outline, softBox(0, -6, 130, 16, 3))
	l.put(metal, outline, join(soft(16, -44, 0, -30, -94, 30, -94, 44, 0), circle(0, -56, 22)))
	s.put(paper, edge, softBox(-80, 46, 116, 34, 3))
	s.at(-80, 46).write(0, 0, "LIFT HERE", 13, ink)
	r := s.at(110, 0)
	r.put(bright, outline, softBox(0, -4, 70, 10, 2))
	r.screw(-26, -4, 4)
	r.screw(26, -4, 4)
	r.tube(arc(0, -30, 24, 26, 0, 360), 9, metal)
	r.put(metal, edge, softBox(0, -8, 20, 12, 2))
	at := draw.Pt(-80, -56)
	if s.is("approved", "other") {
		at = draw.Pt(110, -32)
	}
	e := s.at(at.X, at.Y)
	e.turned(90).at(-38, 0).steel(stadium(96, 50), 18)
	if s.is("approved", "other") {
		r.tube(arc(0, -30, 24, 26, -160, -20), 9, metal)
	} else {
		l.put(metal, noPen, box(0, -82, 24, 20))
		l.ink(outline, line(-30, -94, 30, -94), arc(0, -56, 22, 22, 215, 325))
	}
	e.braid(line(0, -260, 0, -150), 30)
	e.at(0, -100).socketBody(22)
	e.at(0, -100).ring(20, 14)
	e.turned(90).at(-38, 0).steel(part(stadium(96, 50), 70, 108), 18)
}

func drawLiftPoint(s sketch) {
	s = s.at(0, 40)
	s.put(dull, outline, box(0, 100, 260, 120))
	lug := s.at(0, 20)
	if s.is("sound", "bent") {
		lug = s.at(0, 20).turned(24)
	}
	lift := 0.0
	if s.is("sound", "loose") {
		lift = -9
	}
	s.put(bright, outline, softBox(0, 30+lift, 170, 20, 3))
	eye := join(soft(26, -48, 2, -36, -112, 36, -112, 48, 2), circle(0, -64, 25))
	if s.is("sound", "bent") {
		eye = join(soft(20, -46, 6, -44, -60, -14, -116, 44, -104, 40, -40, 48, 6), circle(8, -70, 24))
		lug = s.at(0, 20)
		eye = frame{1, 0, -0.42, 1, 0, 0}.path(eye)
		eye.EvenOdd = true
	}
	lug.at(0, lift).put(metal, outline, eye)
	// The weld's bead along its foot.
	var bead draw.Path
	for x := -54.0; x <= 54; x += 6 {
		bead.ArcTo(draw.Pt(x, 20+lift), 4, 4, 0, 0, -180)
	}
	s.ink(detail, bead)
	for _, x := range []float64{-68, 68} {
		y := 14 + lift
		if lift < 0 {
			y -= 8
			s.at(x, y+14).thread90(-8, 22, 14)
		}
		s.at(x, y).turned(90).boltHead(14, 28)
	}
	if lift < 0 {
		s.put(dark, noPen, box(0, 36, 168, 7))
		for _, x := range []float64{-68, 68} {
			s.at(x, 36).thread90(-4, 4, 14)
		}
	}
	if s.is("sound", "cracked") {
		s.at(-50, 17).turned(-4).crack(62)
		s.at(-42, -8).turned(-16).crack(22)
	}
}

func drawBearing(s sketch) {
	s = s.at(0, 60)
	s.put(dull, outline, box(0, 130, 300, 120))
	bow := smooth(-44, 72, -44, 20, -30, -18, 0, -30, 30, -18, 44, 20, 44, 72)
	s.steel(bow, 24)
	s.put(bright, outline, softBox(0, 72, 150, 16, 3))
	switch s.state["bearing"] {
	case "side":
		// Down at the foot of the bow, over its weld and the plate's edge.
		e := s.at(58, 44).turned(22)
		e.turned(90).at(-16, 0).steel(stadium(72, 44), 15)
		e.at(0, -66).turned(90).chain(line(0, 0, -170, 0), straight(90))
		s.steel(part(bow, 128, 172), 24)
		s.put(bright, outline, softBox(0, 72, 150, 16, 3))
	case "point-loaded":
		// An open hook bears with its tip only.
		h := s.at(0, -38)
		h.chain(line(0, -98, 0, -240), straight(0))
		h.put(metal, outline.WithWidth(0.6), blob(-14, -90, 0, -96, 14, -88, 16, -60, 44, -36, 50, 6, 28, 34, 0, 36, -10, 22, 4, 12, 22, 10, 28, -8, 16, -30, -8, -48))
		h.put(paper, edge, circle(1, -80, 7))
		h.at(0, -98).turned(90).link(90)
		s.steel(part(bow, 60, 82), 24)
		s.put(metal, outline.WithWidth(0.6), blob(28, 0, 0, -2, -10, -16, 4, -26, 16, -28, 24, -20))
	default:
		e := s.at(0, -36)
		e.turned(90).at(-26, 0).steel(stadium(92, 50), 16)
		e.at(0, -88).turned(90).chain(line(0, 0, -170, 0), straight(90))
		s.steel(part(bow, 52, 92), 24)
	}
}
