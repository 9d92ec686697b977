package closeup

import "hangtrue/internal/paper/draw"

func (s sketch) fillFitting(cap, tape string) {
	s = s.at(-14, 16)
	// The plate on the drum, the neck, the cap with its lugs.
	s.put(dull, outline, box(0, 150, 300, 120))
	s.put(bright, outline, softBox(0, 82, 190, 24, 4))
	for _, x := range []float64{-78, -40, 40, 78} {
		s.at(x, 66).turned(90).boltHead(10, 20)
	}
	s.put(metal, outline, box(0, 24, 106, 96))
	s.put(bright, noPen, box(-30, 24, 18, 92))
	lift := 0.0
	if cap == "loose" {
		lift = -30
	}
	if cap != "tight" {
		s.at(0, -24).turned(90).at(0, 0).thread(-36, 2, 96)
	}
	c := s.at(0, lift)
	if cap == "loose" {
		c = c.turned(-4)
	}
	if cap != "missing" {
		c.put(metal, outline, soft(12, -70, -96, 70, -96, 74, -26, -74, -26))
		c.put(bright, noPen, box(-38, -62, 22, 60))
		for _, x := range []float64{-84, 84} {
			c.put(metal, outline, softBox(x, -66, 32, 36, 8))
		}
		for _, x := range []float64{-10, 18, 42} {
			c.ink(hair, line(x, -92, x, -30))
		}
	} else {
		s.put(ink, edge, ellipse(0, -60, 47, 13))
	}
	// Its chain to the plate.
	chain := smooth(84, -50+lift, 128, -20, 140, 40, 104, 78)
	if cap == "missing" {
		chain = smooth(100, 78, 116, 96, 112, 120, 118, 136)
	}
	for _, t := range walk(chain, 6, 12) {
		s.on(t).tubeIn(stadium(13, 6), 2.6, bright, hair.Width, draw.CapRound)
	}
	const y, h = -16.0, 44.0
	band := func(x0, x1 float64) {
		s.put(paper, outline, poly(x0, y-h/2, x1, y-h/2+2, x1, y+h/2+2, x0, y+h/2))
		s.ink(hair, line(x0, y-6, x1, y-4), line(x0, y+9, x1, y+11))
	}
	switch {
	case cap == "missing":
		// What is left of the tape sticks to the neck.
		s.put(paper, outline, soft(2, -57, 6, 56, 8, 56, 22, 40, 16, 22, 26, 4, 18, -16, 26, -40, 18, -57, 24))
	case cap == "loose":
		s.put(paper, outline, soft(2, -57, 0, -30, 6, -8, -4, 14, 8, 40, -2, 57, 4, 57, 26, -57, 24))
	case tape == "none":
	case tape == "part-way":
		band(-77, 8)
		s.put(paper, edge, soft(2, 8, y-h/2+2, 26, y-h/2-4, 22, y, 30, y+h/2+6, 8, y+h/2+2))
	default:
		band(-77, 77)
		s.ink(edge, line(34, y-h/2+1, 37, y-10, 33, y, 38, y+12, 35, y+h/2+1))
		if tape == "slit" {
			s.put(ink, noPen, poly(-77, y-8, -40, y-12, 0, y-8, 40, y-12, 77, y-8, 77, y-4, 40, y-5, 0, y-2, -40, y-5, -77, y-3))
		}
	}
}

func drawDrain(s sketch) {
	s = s.at(6, 40)
	// From the drum on the left: flange, valve body, hose end with its cap.
	s.put(dull, outline, box(-190, 0, 60, 330))
	s.put(bright, outline, softBox(-152, 0, 24, 190, 4))
	for _, y := range []float64{-74, -36, 36, 74} {
		s.at(-134, y).boltHead(11, 22)
	}
	s.put(metal, outline, box(-100, 0, 80, 92))
	s.put(bright, noPen, box(-100, -22, 76, 16))
	s.put(metal, outline, softBox(-26, 0, 90, 124, 18))
	s.put(bright, noPen, softBox(-26, -34, 70, 20, 6))
	s.put(metal, outline, box(46, 0, 60, 92))
	s.put(bright, noPen, box(46, -22, 56, 16))
	// The spindle with its lever: across the pipe is shut, along it is open.
	s.put(metal, outline, softBox(-26, -76, 34, 36, 4))
	lever := s.at(-26, -92)
	open := s.is("closed", "open")
	if open {
		lever.put(bright, outline, soft(8, -14, -10, 120, -12, 132, 0, 120, 12, -14, 10))
		lever.put(dark, edge, softBox(92, 0, 70, 26, 10))
	} else {
		lever = lever.turned(-90)
		lever.put(bright, outline, soft(8, -14, -10, 120, -12, 132, 0, 120, 12, -14, 10))
		lever.put(dark, edge, softBox(92, 0, 70, 26, 10))
	}
	s.screw(-26, -92, 10)
	if s.is("closed", "shut") {
		// A cord holds the lever down to the flange.
		s.cord(smooth(-26, -150, -80, -112, -126, -88, -146, -74), 7)
		s.cord(smooth(-26, -160, -86, -122, -132, -98, -152, -84), 7)
		lever.at(58, 0).turned(90).cordTie(22, 7, 2)
	}
	s.say(22, -196, "lever across: shut", draw.Start)
	s.say(22, -178, "lever along: open", draw.Start)
	chain := func(p draw.Path) {
		for _, t := range walk(p, 6, 14) {
			s.on(t).tubeIn(stadium(15, 7), 3, bright, hair.Width, draw.CapRound)
		}
	}
	cap := func(t sketch) {
		t.put(metal, outline, soft(10, -30, -58, 30, -58, 34, -40, 34, 40, 30, 58, -30, 58))
		t.put(bright, noPen, box(0, -28, 50, 16))
		for _, y := range []float64{-64, 64} {
			t.put(metal, outline, softBox(0, y, 30, 22, 6))
		}
	}
	if s.is("capped", "off") {
		s.at(76, 0).thread(0, 30, 82)
		s.put(ink, edge, ellipse(106, 0, 9, 40))
		chain(smooth(60, 48, 84, 66, 100, 80))
		cap(s.at(116, 120).turned(72))
		return
	}
	chain(smooth(50, 48, 60, 92, 96, 96, 110, 70))
	cap(s.at(106, 0))
	s.put(paper, outline, poly(58, -56, 102, -58, 102, 58, 58, 56))
	s.ink(hair, line(72, -56, 72, 56), line(87, -57, 87, 57))
	s.ink(edge, line(58, 22, 72, 25, 80, 20, 92, 26, 102, 23))
	if s.is("capped", "slit") {
		s.put(ink, noPen, poly(76, -57, 82, -20, 77, 10, 82, 57, 86, 57, 83, 10, 88, -20, 82, -57))
	}
}
