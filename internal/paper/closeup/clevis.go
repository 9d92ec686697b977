package closeup

import "hangtrue/internal/paper/draw"

// clevisBow is the bow of a clevis: its pin lies through the origin, the bow above.
func clevisBow(w float64) draw.Path {
	return smooth(-w, 6, -w, -24, -w-12, -62, -w+2, -100, 0, -116, w-2, -100, w+12, -62, w, -24, w, 6)
}

func (s sketch) clevisEars(w float64) {
	for _, x := range []float64{-w, w} {
		s.put(metal, outline, softBox(x, 2, 24, 52, 9))
		s.shine(line(x, -16, x, 16), 24)
	}
}

func drawClevis(s sketch) {
	s = s.at(-4, 48)
	if s.is("size", "small") {
		s.card("plan: 1 in clevis")
		s = s.sized(0.72)
	} else if s.is("size", "right", "unmarked") {
		s.card("plan: 1 in clevis")
	}
	const w = 38.0
	bow := clevisBow(w)
	if s.is("sound", "bent") {
		bow = smooth(-w, 6, -w-2, -24, -w-8, -62, -w+6, -100, 8, -116, w+24, -104, w+44, -66, w+24, -24, w+14, 6)
	}
	s.steel(bow, 24)
	mark := "WLL 8 1/2 t"
	if s.is("size", "small") {
		mark = "WLL 3 1/4 t"
	}
	if s.is("size", "unmarked") {
		s.at(-w-7, -58).speckle(20, 60, 50, 1.5, ink)
		s.at(-w-7, -58).put(dull, noPen, ellipse(0, 0, 7, 25))
	} else {
		s.at(-w-8, -56).turned(-88).write(0, 0, mark, 7.5, ink)
	}
	if s.is("sound", "worn") {
		s.put(paper, noPen, blob(-20, -98, -10, -109, 0, -113, 10, -109, 20, -98, 0, -94))
		s.ink(outline, smooth(-30, -96, -20, -101, -10, -111, 0, -115, 10, -111, 20, -101, 30, -96))
		s.ink(detail, smooth(-15, -107, 0, -111.5, 15, -107))
	}
	if s.is("sound", "cracked") {
		s.at(w+1, -36).turned(-52).crack(38)
	}
	earR := w
	if s.is("sound", "bent") {
		earR = w + 14
	}
	ears := func() {
		for _, x := range []float64{-w, earR} {
			s.put(metal, outline, softBox(x, 2, 24, 52, 9))
			s.shine(line(x, -16, x, 16), 24)
		}
	}
	switch s.state["pin"] {
	case "missing":
		ears()
		s.put(ink, noPen, softBox(-w+13.5, 2, 3, 24, 1), softBox(earR-13.5, 2, 3, 24, 1))
		return
	case "bolt":
		s.thread(-w-34, w+44, 20)
		ears()
		s.at(-w-24, 2).boltHead(16, 34)
		s.at(w+22, 2).boltHead(16, 34)
		return
	}
	shift := 0.0
	if s.is("pin", "backed") {
		shift = -26
	}
	s.bar(line(-w-20+shift, 2, w+38+shift*0.9, 2), 24, bright)
	s.shine(line(-w-16+shift, 2, w+30+shift*0.9, 2), 24)
	if shift < 0 {
		s.at(0, 2).thread(-w-13+shift, -w-11, 24)
	}
	ears()
	// The head: a flat eye to turn it by.
	s.put(metal, outline, join(soft(6, -w-52+shift, -18, -w-14+shift, -12, -w-14+shift, 16, -w-52+shift, 22), circle(-w-36+shift, 2, 7)))
	cot := s.at(w+26, 2)
	switch {
	case shift < 0:
		return
	case s.is("secured", "none"):
		s.hole(w+26, 2, 3.6)
	case s.is("secured", "straight"):
		cot.wire(line(-1.6, 10, -1.6, 40), 3)
		cot.wire(line(1.6, 10, 1.6, 37), 3)
		cot.wire(line(0, -12, 0, -19), 4.6)
		cot.wire(circle(0, -24, 5), 3)
	default:
		cot.cotter(12, 3)
	}
}

func drawClevisLie(s sketch) {
	s = s.at(0, 56)
	// The lug on the load.
	s.put(dull, outline, poly(-160, 90, 160, 90, 160, 200, -160, 200))
	s.put(bright, outline, soft(14, -34, -26, 34, -26, 48, 90, -48, 90))
	t := s
	if s.is("lie", "sideways") {
		// The bow has fallen over: the pull runs across it.
		s.steel(smooth(8, 2, -30, -28, -64, -70, -104, -92, -132, -62, -118, -16, -76, 8, -30, 18), 22)
		s.put(metal, outline, circle(0, 2, 26))
		s.put(bright, outline, circle(0, 2, 13))
		e := s.at(-96, -120)
		e.ring(24, 16)
		e.socketBody(26)
		e.braid(line(0, -220, 0, -70), 30)
		s.steel(smooth(-64, -70, -104, -92, -132, -62), 22)
		return
	}
	const w = 44.0
	t.steel(clevisBow(w), 22)
	e := t.at(0, -126)
	e.braid(line(0, -220, 0, -70), 30)
	e.socketBody(26)
	e.ring(24, 16)
	t.steel(part(clevisBow(w), 82, 150), 22)
	t.bar(line(-w-20, 2, w+34, 2), 24, bright)
	t.clevisEars(w)
	t.put(metal, outline, join(soft(6, -w-52, -18, -w-14, -12, -w-14, 16, -w-52, 22), circle(-w-36, 2, 7)))
	t.at(w+24, 2).cotter(12, 3)
}
