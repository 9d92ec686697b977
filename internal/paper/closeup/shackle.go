package closeup

import (
	"hangtrue/internal/paper/draw"
)

var fastenerFigures = []Figure{
	{ID: "clevis", Views: []View{
		{
			Title: "screw-pin clevis", scale: 0.5, bar: 50,
			Attributes: []Attribute{
				attr("size", "right", "small", "unmarked"),
				attr("pin", "home", "backed", "bolt", "missing"),
				attr("secured", "secured", "straight", "none"),
				attr("sound", "sound", "worn", "bent", "cracked"),
			},
			draw: drawClevis,
		},
		{
			Title: "clevis under the pull of its leg", scale: 0.34, bar: 50,
			Attributes: []Attribute{attr("lie", "in-line", "sideways")},
			draw:       drawClevisLie,
		},
	}},
	{ID: "ring", Views: []View{
		{
			Title: "gathering ring", scale: 0.4, bar: 50,
			Attributes: []Attribute{attr("sound", "sound", "bent", "cracked"), attr("closed", "closed", "open")},
			draw:       drawRing,
		},
		{
			Title: "gathering ring with what hangs on it", scale: 0.3, bar: 100,
			Attributes: []Attribute{attr("full", "all", "missing", "crowded")},
			draw:       drawRingFull,
		},
	}},
	{ID: "coupling-link", Views: []View{{
		Title: "coupling link", scale: 0.62, bar: 50,
		Attributes: []Attribute{attr("pin", "home", "proud", "bolt"), attr("sound", "sound", "worn", "cracked")},
		draw:       drawCoupling,
	}}},
	{ID: "swivel", Views: []View{{
		Title: "swivel", scale: 0.42, bar: 50,
		Attributes: []Attribute{attr("turns", "free", "stiff", "play"), attr("secured", "secured", "unpinned")},
		draw:       drawSwivel,
	}}},
	{ID: "lift-point", Views: []View{
		{
			Title: "lift point and what stands beside it", scale: 0.24, bar: 100,
			Attributes: []Attribute{attr("approved", "approved", "other")},
			draw:       drawApproved,
		},
		{
			Title: "lift point", scale: 0.4, bar: 50,
			Attributes: []Attribute{attr("sound", "sound", "cracked", "bent", "loose")},
			draw:       drawLiftPoint,
		},
		{
			Title: "how the leg bears on its lift point", scale: 0.36, bar: 50,
			Attributes: []Attribute{attr("bearing", "in-place", "side", "point-loaded")},
			draw:       drawBearing,
		},
	}},
}

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
	s = s.at(-8, 40)
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
		s.at(w+4, -92).turned(24).at(-6, 0).crack(26)
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
		s.at(-74, -66).turned(-34).sized(1).ring(0.1, 0.1)
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
	e.put(metal, outline, draw.Path{})
}

func drawRing(s sketch) {
	body := ellipse(0, 0, 62, 84)
	if s.is("sound", "bent") {
		body = blob(0, -104, 34, -86, 44, -50, 40, 0, 52, 46, 26, 84, -14, 92, -50, 66, -46, 10, -56, -40, -38, -88)
	}
	s.steel(body, 30)
	if s.is("sound", "cracked") {
		s.at(45, -30).turned(-8).crack(34)
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
		s.at(-37, -40).turned(10).crack(22)
	}
	if s.is("sound", "worn") {
		s.put(paper, noPen, blob(-9, -63, 0, -61, 9, -63, 8, -70, 0, -73, -8, -70))
		s.ink(outline, smooth(-14, -58, -9, -66, 0, -73, 9, -66, 14, -58))
		s.speckle(90, 30, 40, 1.1, ink)
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
	s.say(0, -112, "turned by hand", draw.Middle)
}

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
