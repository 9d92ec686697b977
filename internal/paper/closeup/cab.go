package closeup

import "hangtrue/internal/paper/draw"

func drawBrake(s sketch) {
	s = s.at(-60, 70)
	s.put(dull, outline, poly(-150, 30, 290, 30, 290, 140, -150, 140))
	s.put(metal, outline, soft(12, -60, 30, -50, -30, 40, -36, 90, 30))
	// The toothed quadrant.
	for i := range 7 {
		v := draw.Polar(64, -150+16*float64(i))
		s.at(v.X, v.Y+4).turned(-60+16*float64(i)).put(metal, edge, poly(-5, 6, 0, -7, 5, 6))
	}
	turn := -8.0
	if s.is("brake", "other") {
		turn = -52
	}
	l := s.turned(turn)
	l.put(bright, outline, soft(8, -16, -14, 150, -12, 150, 12, -16, 14))
	l.put(dark, outline, softBox(190, 0, 110, 38, 16))
	l.put(metal, outline, softBox(250, 0, 16, 18, 5))
	s.screw(0, 0, 12)
	s.say(-150, -170, "lever up: on", draw.Start)
	s.say(-150, -146, "lever down: off", draw.Start)
	s.card("procedure: brake off")
}

func drawGear(s sketch) {
	s = s.at(0, 16)
	s.put(dull, outline, softBox(0, 0, 190, 204, 12))
	gate := line(-56, -52, -56, 52)
	slot := draw.Stroke{Paint: ink, Width: 3.4, Cap: draw.CapRound}
	s.ink(slot, gate, line(0, -52, 0, 52), line(56, -52, 56, 52), line(-56, 0, 56, 0))
	for i, q := range [][2]float64{{-56, -84}, {-56, 84}, {0, -84}, {0, 84}, {56, -84}, {56, 84}} {
		s.write(q[0], q[1], []string{"1", "2", "3", "4", "5", "R"}[i], 14, ink)
	}
	at := draw.Pt(0, 0)
	if s.is("gear", "other") {
		at = draw.Pt(-56, -44)
	}
	t := s.at(at.X, at.Y)
	t.put(paper, outline, circle(0, 0, 26))
	t.put(bright, noPen, circle(-7, -8, 8))
	t.ink(detail, circle(0, 0, 17))
	s.card("procedure: neutral")
}

func drawCaps(s sketch) {
	s = s.at(0, 20)
	s.put(bright, noPen, box(0, 0, 400, 400))
	s.ink(hair, line(-160, -96, 160, -100), line(-160, 120, 160, 116))
	s.put(metal, outline, circle(0, 0, 78))
	if s.is("caps", "tight") {
		s.put(dark, outline, circle(0, 0, 64))
		for i := range 16 {
			v, u := draw.Polar(64, 22.5*float64(i)), draw.Polar(55, 22.5*float64(i))
			s.ink(hair.WithPaint(paper), line(v.X, v.Y, u.X, u.Y))
		}
		s.put(dark, outline, softBox(0, 0, 100, 26, 12))
		s.ink(detail.WithPaint(paper), softBox(0, 0, 90, 17, 8))
		return
	}
	s.put(bright, outline, circle(0, 0, 56))
	s.put(ink, noPen, circle(0, 0, 46))
	s.wire(smooth(50, 50, 74, 76, 70, 96, 84, 104), 4)
	c := s.at(84, 92).turned(24)
	c.put(dark, outline, ellipse(0, 0, 62, 50))
	c.put(dark, outline, ellipse(0, -12, 62, 48))
	for i := range 16 {
		v, u := draw.Polar(1, 22.5*float64(i)), draw.Polar(0.86, 22.5*float64(i))
		c.ink(hair.WithPaint(paper), line(v.X*62, v.Y*48-12, u.X*62, u.Y*48-12))
	}
	c.put(dark, outline, softBox(0, -12, 96, 22, 10))
	c.ink(detail.WithPaint(paper), softBox(0, -12, 86, 14, 7))
}

func drawBattery(s sketch) {
	s = s.at(-20, 40)
	tray := func() {
		s.put(metal, outline, poly(-170, 90, 190, 90, 190, 108, -170, 108))
		s.put(metal, outline, poly(-170, 60, -158, 60, -158, 92, -170, 92), poly(178, 60, 190, 60, 190, 92, 178, 92))
	}
	t := s
	if s.is("battery", "loose") {
		t = s.at(20, -26).turned(13)
	}
	tray()
	t.put(dull, outline.WithWidth(0.6), poly(-140, -70, 140, -70, 140, 90, -140, 90))
	t.put(dark, outline, poly(-146, -92, 146, -92, 146, -66, -146, -66))
	for i := range 6 {
		t.put(paper, hair, circle(-70+28*float64(i), -79, 7))
	}
	for i, x := range []float64{-114, 114} {
		t.put(metal, outline, softBox(x, -102, 26, 24, 4))
		t.write(x, -40, []string{"+", "-"}[i], 26, ink)
	}
	if s.is("battery", "loose") {
		s.tubeIn(smooth(-200, -140, -170, -120, -150, -60, -190, 0), 16, dark, edge.Width, draw.CapRound)
		s.put(metal, outline, softBox(-192, 10, 26, 30, 6))
		t.tubeIn(smooth(114, -112, 150, -150, 210, -130), 16, dark, edge.Width, draw.CapRound)
		return
	}
	// The strap over it, bolted to the tray, and the leads with their covers.
	s.put(bright, outline, poly(-30, -100, 30, -100, 30, 90, -30, 90))
	s.put(bright, outline, poly(-156, -100, 156, -100, 156, -92, -156, -92))
	for _, x := range []float64{-152, 152} {
		s.tube(line(x, -112, x, 92), 9, metal)
		s.at(x, -112).turned(90).boltHead(14, 24)
	}
	for _, x := range []float64{-114, 114} {
		s.put(dark, outline, softBox(x, -114, 44, 34, 10))
		s.tubeIn(smooth(x, -126, x*1.2, -160, x*1.7, -150), 16, dark, edge.Width, draw.CapRound)
		s.put(dark, outline, softBox(x, -114, 44, 34, 10))
	}
}

func drawFuel(s sketch) {
	s = s.at(0, 8)
	s.put(metal, outline.WithWidth(0.8), circle(0, 0, 56))
	s.put(paper, outline, circle(0, 0, 49))
	for i := range 9 {
		a := 210 + 15*float64(i)
		r := 40.0
		if i%4 == 0 {
			r = 35
		}
		v, u := draw.Polar(45, a), draw.Polar(r, a)
		s.ink(outline, line(v.X, v.Y+12, u.X, u.Y+12))
	}
	for _, q := range []struct {
		a float64
		w string
	}{{210, "0"}, {270, "1/2"}, {330, "1"}} {
		v := draw.Polar(27, q.a)
		s.write(v.X, v.Y+13, q.w, 6.4, ink)
	}
	a := 252.0
	if s.is("fuel", "full") {
		a = 326
	}
	v := draw.Polar(40, a)
	u := draw.Polar(8, a+180)
	w := draw.Polar(2.4, a+90)
	s.put(ink, noPen, poly(v.X, v.Y+12, u.X+w.X, u.Y+w.Y+12, u.X-w.X, u.Y-w.Y+12))
	s.put(dark, outline, circle(0, 12, 6))
	s.write(0, 34, "FUEL", 6.4, ink)
	s.card("procedure: at most 1/2")
}

func drawStowed(s sketch) {
	s = s.at(-1080, 560)
	// The bed from behind and above, with a can, a box and a spare wheel.
	s.put(dull, outline, deepPath(true, 0, 0, 0, 1800, 0, 0, 1800, 1000, 0, 0, 1000, 0))
	s.put(bright, outline, deepPath(true, 0, 1000, 0, 1800, 1000, 0, 1800, 1000, 400, 0, 1000, 400))
	s.put(bright, outline, deepPath(true, 0, 0, 0, 0, 1000, 0, 0, 1000, 400, 0, 0, 400))
	for i := range 4 {
		y := 200 + 200*float64(i)
		s.ink(hair, deepPath(false, 0, y, 0, 1800, y, 0))
	}
	for _, x := range []float64{120, 1640} {
		p := deep(x, 120, 0)
		s.at(p.X, p.Y-20).tube(circle(0, 0, 34), 20, metal)
	}
	loose := s.is("stowed", "loose")
	can := func(t sketch) {
		t.put(dull, outline, softBox(0, -230, 320, 460, 50))
		t.ink(detail, line(-110, -390, 110, -70), line(-110, -70, 110, -390))
		t.strand(34, dull, draw.Pt(-90, -470), draw.Pt(-70, -530), draw.Pt(70, -530), draw.Pt(90, -470))
	}
	s.prism(260, 420, 0, 620, 420, 340, bright)
	p := deep(1180, 400, 0)
	if loose {
		can(s.at(p.X+150, p.Y+120).turned(84))
	} else {
		can(s.at(p.X, p.Y))
	}
	w := deep(1620, 620, 200)
	if loose {
		s.put(dark, outline, ellipse(w.X-60, w.Y+240, 300, 130))
		s.put(bright, outline, ellipse(w.X-60, w.Y+230, 150, 60))
	} else {
		s.wheel(w.X-60, w.Y, 260)
	}
	if loose {
		s.tubeIn(smooth(120, -60, 300, -20, 500, 20, 700, -30, 900, 30), 50, cloth, edge.Width, draw.CapButt)
		return
	}
	a, b := deep(120, 120, 0), deep(1640, 120, 0)
	strap := line(a.X, a.Y-30, 440, -460, 1080, -470, 1180, -560, 1420, -560, 1560, -420, 1840, -400, b.X, b.Y-30)
	s.tubeIn(strap, 54, cloth, edge.Width, draw.CapButt)
	s.at(760, -470).put(metal, edge, softBox(0, 0, 150, 90, 14))
}

func drawSteering(s sketch) {
	free := s.is("steering", "free")
	// Above, the steering wheel before its panel; beneath, the front wheels from above.
	w := s.at(0, -480).sized(1.5)
	w.put(dull, outline, soft(60, -640, -150, 640, -150, 700, 330, -700, 330))
	for _, x := range []float64{-420, 420} {
		w.put(metal, outline, softBox(x, 270, 70, 40, 12))
	}
	t := w
	if free {
		t = w.turned(58)
	}
	t.tube(circle(0, 0, 230), 40, dark)
	for _, a := range []float64{90, 205, 335} {
		v := draw.Polar(215, a)
		t.bar(line(0, 0, v.X, v.Y), 34, bright)
	}
	t.put(metal, outline, circle(0, 0, 62))
	if free {
		w.strand(24, cloth, draw.Pt(-420, 262), draw.Pt(-360, 340), draw.Pt(-240, 300), draw.Pt(-150, 360))
	} else {
		for _, side := range []float64{-1, 1} {
			w.strand(24, cloth, draw.Pt(side*195, 112), draw.Pt(side*420, 262))
			w.strand(24, cloth, draw.Pt(side*175, 140), draw.Pt(side*410, 280))
			for i := range 3 {
				k := float64(i) * 17
				w.strand(20, cloth, draw.Pt(side*(224-k*0.6), 96+k*0.7), draw.Pt(side*(170-k*0.6), 78+k*1.4))
			}
		}
	}
	f := s.at(0, 590)
	f.bar(line(-700, 0, 700, 0), 90, bright)
	f.put(metal, outline, circle(0, 0, 110))
	for _, x := range []float64{-760, 760} {
		t := f.at(x, 0)
		if free {
			t = t.turned(27)
		}
		t.put(dark, outline, softBox(0, 0, 210, 720, 60))
		for i := range 7 {
			y := -280 + 93*float64(i)
			t.ink(hair.WithPaint(paper), line(-70, y, 0, y+34, 70, y))
		}
	}
	s.say(0, 300, "front", draw.Middle)
	s.arrow(190, 380, 190, 220)
}
