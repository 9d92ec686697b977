package closeup

import "hangtrue/internal/paper/draw"

func drawRing(s sketch) {
	body := ellipse(0, 0, 62, 84)
	if s.is("sound", "bent") {
		body = blob(0, -104, 34, -86, 44, -50, 40, 0, 52, 46, 26, 84, -14, 92, -50, 66, -46, 10, -56, -40, -38, -88)
	}
	s.steel(body, 30)
	if s.is("sound", "cracked") {
		s.at(42, -22).turned(-44).crack(38)
	}
	// Its lock: a sleeve that screws over the joint on the left.
	t := s.at(-62, 4)
	if s.is("sound", "bent") {
		t = s.at(-47, 12)
	}
	if s.is("closed", "open") {
		s.put(paper, noPen, box(-62, -10, 44, 22))
		s.at(-62, -40).thread90(-24, 20, 24)
		t.at(0, 16).put(bright, outline, softBox(0, 24, 42, 54, 4))
		s.at(-62, 14).thread90(-12, 8, 24)
		for _, y := range []float64{26, 40, 54} {
			t.ink(hair, line(-20, y, 20, y))
		}
		return
	}
	t.put(bright, outline, softBox(0, 0, 42, 62, 4))
	for _, y := range []float64{-20, 0, 20} {
		t.ink(hair, line(-20, y, 20, y))
	}
}

// thread90 is a thread that runs along y.
func (s sketch) thread90(y0, y1, w float64) { s.turned(90).thread(y0, y1, w) }

func drawRingFull(s sketch) {
	s = s.at(0, -80)
	hang := func(x, y, lean float64) {
		t := s.at(x, y).turned(lean)
		t.band(smooth(0, 20, 4, 120, 8, 340), 40, cloth)
		t.tube(arc(0, 12, 16, 26, 0, 360), 12, metal)
	}
	s.steel(smooth(-66, 0, -60, -54, 0, -84, 60, -54, 66, 0), 28)
	switch {
	case s.is("full", "crowded"):
		for _, q := range [][3]float64{{-16, 86, 26}, {6, 90, 8}, {14, 82, -8}, {-4, 84, -30}} {
			hang(q[0], q[1], q[2])
		}
	case s.is("full", "missing"):
		for _, q := range [][3]float64{{-48, 56, 30}, {-18, 78, 11}, {48, 56, -30}} {
			hang(q[0], q[1], q[2])
		}
	default:
		for _, q := range [][3]float64{{-48, 56, 30}, {-18, 78, 11}, {18, 78, -11}, {48, 56, -30}} {
			hang(q[0], q[1], q[2])
		}
	}
	s.steel(smooth(-66, 0, -60, 54, -30, 76, 0, 84, 30, 76, 60, 54, 66, 0), 28)
	// The straps' eyes pass over it in front.
	for _, q := range map[string][][3]float64{
		"all":     {{-48, 56, 30}, {-18, 78, 11}, {18, 78, -11}, {48, 56, -30}},
		"missing": {{-48, 56, 30}, {-18, 78, 11}, {48, 56, -30}},
		"crowded": {{-16, 86, 26}, {6, 90, 8}, {14, 82, -8}, {-4, 84, -30}},
	}[s.state["full"]] {
		s.at(q[0], q[1]).turned(q[2]).tube(arc(0, 12, 16, 26, 20, 160), 12, metal)
		s.at(q[0], q[1]).turned(q[2]).tube(line(12, -14, 14, 18), 12, metal)
	}
	s.card("plan: 4 straps")
}

func drawCoupling(s sketch) {
	// Two halves of an oval link, hinged on a pin with a sleeve between them.
	half := func(t sketch) {
		t.put(metal, outline, soft(7, -34, -12, -22, -12, -22, -2, -20, -44, 0, -62, 20, -44, 22, -2, 22, -12, 34, -12, 36, -46, 14, -78, -14, -78, -36, -46))
		t.shine(smooth(-29, -20, -29, -44, -12, -68, 0, -70, 12, -68), 12)
	}
	// Chain above, the next fitting beneath.
	s.at(0, -92).turned(90).link(90)
	half(s.at(0, 4))
	half(s.at(0, -4).turned(180))
	s.at(0, -76).turned(90).steel(line(-40, 0, 10, 0), wire)
	s.at(0, 76).turned(-90).steel(line(-40, 0, 10, 0), 14)
	knuckle := func() {
		for _, x := range []float64{-29, 29} {
			s.put(metal, outline, softBox(x, -10, 19, 18, 3))
			s.put(metal, outline, softBox(x, 10, 19, 18, 3))
		}
	}
	knuckle()
	if s.is("sound", "cracked") {
		s.at(-31, -26).turned(-66).crack(32)
	}
	if s.is("sound", "worn") {
		s.put(paper, noPen, blob(-9, -63, 0, -61, 9, -63, 8, -70, 0, -73, -8, -70))
		s.ink(outline, smooth(-14, -58, -9, -66, 0, -73, 9, -66, 14, -58))
		s.at(0, 0).speckle(66, 17, 40, 1.1, ink)
	}
	switch s.state["pin"] {
	case "bolt":
		s.thread(-62, 66, 11)
		s.at(-52, 0).boltHead(12, 26)
		s.at(52, 0).boltHead(12, 26)
	case "proud":
		s.bar(line(-38, 0, 62, 0), 11, bright)
		s.put(bright, outline, softBox(0, 0, 36, 26, 3))
		s.ink(detail, line(-12, -13, -12, 13), line(12, -13, 12, 13))
	default:
		s.bar(line(-38, 0, 38, 0), 11, bright)
		s.put(bright, outline, softBox(0, 0, 36, 26, 3))
		s.ink(detail, line(-12, -13, -12, 13), line(12, -13, 12, 13))
	}
}

func drawSwivel(s sketch) {
	// Eye above, body, eye beneath; each with a pin of its neighbour.
	gap := 0.0
	if s.is("turns", "play") {
		gap = 9
	}
	up, low := s.at(0, -gap), s.at(0, gap)
	lean := 0.0
	if s.is("turns", "play") {
		lean = 5
	}
	up.steel(circle(0, -66, 34), 22)
	low = low.turned(lean)
	low.steel(circle(0, 72, 34), 22)
	// The spindle shows between the halves.
	s.put(dark, outline, box(0, 2, 40, 18+2*gap))
	up.put(metal, outline, soft(6, -36, -34, 36, -34, 46, -4, -46, -4))
	up.put(bright, noPen, box(-14, -20, 14, 20))
	low.put(metal, outline, soft(6, -46, 8, 46, 8, 36, 40, -36, 40))
	low.put(bright, noPen, box(-16, 24, 14, 22))
	// A line scribed across both halves when it was put together: turning shows on it.
	mark := bold.WithWidth(0.9)
	up.ink(mark, line(22, -26, 22, -8))
	if s.is("turns", "stiff") {
		low.ink(mark, line(22, 12, 22, 34))
		s.put(dark, edge, blob(-48, 0, -30, -5, 0, -3, 30, -5, 48, 0, 46, 8, 20, 9, -10, 7, -40, 10))
		s.at(0, 2).speckle(110, 26, 60, 1.6, ink)
	} else if s.is("turns", "free") {
		low.ink(mark, line(-6, 12, -6, 34))
	} else {
		low.ink(mark, line(-6, 12, -6, 34))
	}
	s.arrow(64, 24, 64, 24)
	s.ink(edge, arc(0, 24, 66, 14, -20, 80))
	s.arrow(20, 37.4, 10, 38)
	for i, t := range []sketch{up.at(0, -92), low.at(0, 98)} {
		y := 0.0
		t.bar(line(-44, y, 56, y), 22, bright)
		t.shine(line(-40, y, 50, y), 22)
		t.at(-50, y).boltHead(14, 36)
		if i == 1 && s.is("secured", "unpinned") {
			t.hole(44, y, 4)
		} else {
			t.at(44, y).cotter(11, 3)
		}
	}
	s.say(78, 30, "turned", draw.Start)
	s.say(78, 42, "by hand", draw.Start)
}
