package closeup

import (
	"hangtrue/internal/paper/draw"
)

var lineFigures = []Figure{
	{ID: "long-line", Views: []View{
		{
			Title: "long line along its length", scale: 0.6, bar: 50,
			Attributes: []Attribute{attr("sound", "whole", "damaged")},
			draw:       drawLongLine,
		},
		{
			Title: "upper end of a long line with its pin", scale: 0.42, bar: 50,
			Attributes: []Attribute{attr("ends", "secured", "unpinned", "wrong-way")},
			draw:       drawLongLineEnd,
		},
		{
			Title: "long line laid out, from above", scale: 0.014, bar: 2000,
			Attributes: []Attribute{attr("lay", "laid-out", "looped")},
			draw:       func(s sketch) { s.layout(s.is("lay", "laid-out"), true) },
		},
		{
			Title: "weight on the end of a long line", scale: 0.085, bar: 200,
			Attributes: []Attribute{attr("weight", "planned", "light")},
			draw:       drawLineWeight,
		},
	}},
	{ID: "remote-hook", Views: []View{
		{
			Title: "remote hook in its cage", scale: 0.24, bar: 100,
			Attributes: []Attribute{attr("closed", "closed", "open"), attr("cage", "whole", "bent")},
			draw:       drawRemoteHook,
		},
		{
			Title: "the day's release test of a remote hook", scale: 0.24, bar: 100,
			Attributes: []Attribute{attr("release", "tried", "not-tried", "manual-only")},
			draw:       drawRemoteTest,
		},
		{
			Title: "electric cable along the line above a remote hook", scale: 0.26, bar: 100,
			Attributes: []Attribute{attr("cable", "whole", "tight", "damaged")},
			draw:       drawCable,
		},
	}},
	{ID: "tag-line", Views: []View{
		{
			Title: "tag line on the load", scale: 0.024, bar: 1000,
			Attributes: []Attribute{attr("length", "planned", "long"), attr("made-fast", "planned", "other")},
			draw:       drawTagLine,
		},
		{
			Title: "free end of a tag line", scale: 0.5, bar: 50,
			Attributes: []Attribute{attr("end", "plain", "loop")},
			draw:       drawTagEnd,
		},
	}},
}

func drawLongLine(s sketch) {
	const w = 26.0
	run := line(-100, 0, 100, 0)
	if s.is("sound", "damaged") {
		k := smooth(-100, 16, -50, 14, -16, 10, 2, -8, 24, -16, 60, -14, 100, -14)
		s.braid(k, w)
		t := s.at(-30, 12)
		t.put(dark, outline, blob(-20, -11, -8, -4, -14, 6, 4, 12, 20, 8, 16, -4, 20, -13))
		t.put(paper, noPen, blob(-8, -6, 2, -8, 10, -6, 2, -3))
		c := s.at(40, -16)
		c.put(ink, noPen, poly(-6, -14, 8, -14, 1, 3))
		for i := range 5 {
			c.wireYarn(-6+1.4*float64(i), -13+3*float64(i), -1)
			c.wireYarn(7-1.2*float64(i), -13+3*float64(i), 1)
		}
		return
	}
	s.braid(run, w)
}

func drawLongLineEnd(s sketch) {
	state := s.state["ends"]
	tag := "AIRCRAFT"
	if state == "wrong-way" {
		tag, state = "LOAD", "secured"
	}
	// The line hangs from the aircraft: its fitting is above, the line beneath.
	s.turned(180).at(0, 10).pinnedEnd(state, braidLook)
	t := s.at(0, 84)
	t.cord(line(-19, 0, 19, 0), 4)
	t.put(paper, outline, softBox(0, 12, 92, 26, 3))
	t.write(0, 12, tag, 10, ink)
	s.say(76, -96, "to the", draw.Start)
	s.say(76, -86, "aircraft", draw.Start)
	s.arrow(70, -80, 70, -110)
}

func drawLineWeight(s sketch) {
	s = s.at(0, 130)
	s.ground(300, 1300)
	s.braid(line(0, -760, 0, -330), 40)
	s.at(0, -270).ring(44, 26)
	s.at(0, -270).sized(1.7).socketBody(30)
	s.steel(arc(0, -180, 50, 70, 0, 360), 26)
	k, words := 1.0, "100 kg"
	if s.is("weight", "light") {
		k, words = 0.66, "30 kg"
	}
	r := 210 * k
	y := -110 + r
	s.put(metal, outline.WithWidth(0.6), circle(0, y, r))
	s.put(bright, noPen, ellipse(-r*0.4, y-r*0.45, r*0.16, r*0.3))
	s.put(metal, outline, softBox(0, -112, 70, 40, 8))
	s.write(0, y+10, words, 74*k, ink)
	s.card("plan: 100 kg")
}

// remoteHook is a hook on the end of a line inside a cage of bars. gap opens its
// keeper; bent pushes the cage's right side in.
func (s sketch) remoteHook(gap float64, bent bool) {
	right := smooth(30, -168, 120, -150, 128, -60, 128, 20, 110, 60)
	if bent {
		right = smooth(30, -168, 96, -158, 84, -110, 58, -60, 66, -20, 110, 60)
	}
	back := smooth(0, -168, 30, -150, 34, -60, 30, 60)
	s.tube(back, 11, dull)
	s.at(0, 0).sized(0.86).cargoHook(gap, "")
	s.tube(smooth(-30, -168, -120, -150, -128, -60, -128, 20, -110, 60), 12, bright)
	s.tube(right, 12, bright)
	s.tube(smooth(-112, 58, -60, 74, 60, 74, 112, 58), 12, bright)
	s.put(metal, outline, softBox(0, -166, 96, 30, 6))
	// The release motor's box and the knob for the hand, on the right side.
	s.put(bright, outline, softBox(50, -58, 46, 60, 6))
	s.put(dark, outline, circle(50, -58, 13))
	if bent {
		s.tube(part(right, 60, 190), 12, bright)
	}
}

func drawRemoteHook(s sketch) {
	s = s.at(0, 40)
	s.braid(line(0, -300, 0, -180), 32)
	gap := 0.0
	if s.is("closed", "open") {
		gap = -62
	}
	s.remoteHook(gap, s.is("cage", "bent"))
}

func drawRemoteTest(s sketch) {
	s = s.at(-76, 40)
	s.braid(line(0, -300, 0, -180), 32)
	s.remoteHook(0, false)
	t := s.page().at(76, 54)
	t.put(paper, outline, softBox(0, 0, 38, 36, 1.5))
	t.put(metal, outline, softBox(0, -18, 14, 4, 1))
	t.write(0, -12, "TODAY", 2.6, ink)
	for i, r := range []string{"by wire", "by hand", "latched"} {
		y := -5 + 8*float64(i)
		t.write(-9.5, y, r, 2.2, ink)
		t.ink(detail, line(-1, y+1.8, 17, y+1.8))
		if s.is("release", "tried") || (s.is("release", "manual-only") && i > 0) {
			x := 8.0
			t.ink(outline, smooth(x-6, y+1, x-4, y-2, x-3, y+1, x-1, y-1.6, x, y+1, x+2, y-1.4, x+4, y+0.6, x+6, y-0.4))
		}
		if s.is("release", "manual-only") && i == 0 {
			t.write(8, y, "no", 2.6, ink)
		}
	}
}

func drawCable(s sketch) {
	s = s.at(0, 30)
	rope := line(-20, -240, -20, 120)
	s.braid(rope, 34)
	s.put(metal, outline, softBox(-20, 134, 110, 40, 8))
	s.put(bright, outline, softBox(62, 190, 70, 120, 8))
	s.put(dull, outline, softBox(-30, 200, 90, 110, 8))
	tie := func(y, w float64) { s.at(-12, y).cordTie(w, 5, 3) }
	plug := func(t sketch) {
		t.put(dark, outline, softBox(0, 0, 34, 44, 6))
		t.ink(hair.WithPaint(paper), line(-12, -10, 12, -10), line(-12, 0, 12, 0), line(-12, 10, 12, 10))
		t.put(metal, outline, softBox(0, 28, 26, 16, 3))
	}
	cable := smooth(8, -240, 12, -170, 8, -120, 36, -70, 34, -30, 10, 10, 40, 50, 62, 90)
	switch s.state["cable"] {
	case "tight":
		cable = smooth(14, -240, 14, -120, 22, 0, 62, 90)
	case "damaged":
	}
	s.tubeIn(cable, 15, dark, outline.Width, draw.CapButt)
	s.ink(hair.WithPaint(paper), shifted(cable, 3))
	for _, y := range []float64{-190, -116, 12} {
		if s.is("cable", "tight") && y == 12 {
			continue
		}
		tie(y, 58)
	}
	if s.is("cable", "damaged") {
		t := s.at(36, -52)
		t.put(paper, outline, blob(-8, -22, 6, -16, 9, 4, 4, 20, -6, 16, -10, -4))
		for _, x := range []float64{-5, 0, 5} {
			t.tubeIn(smooth(x, -16, x+2, 0, x, 14), 3, bright, hair.Width, draw.CapRound)
		}
		t.wire(smooth(5, 0, 20, -8, 26, -20), 2.4)
		plug(s.at(66, 92).turned(14))
		s.put(metal, edge, softBox(62, 128, 20, 8, 2))
		return
	}
	plug(s.at(62, 108))
}

func drawTagLine(s sketch) {
	s = s.at(-1150, 1100)
	s.ground(40, 5200)
	const w, d, h = 2000.0, 1300.0, 1000.0
	s.crate(0, 0, 0, w, d, h)
	apex := deep(w/2, d/2, 2500)
	for _, p := range [][2]float64{{w - 150, d - 150}, {150, d - 150}, {w - 150, 150}, {150, 150}} {
		s.eyeRing(p[0], p[1], h, 62)
		s.strand(50, cloth, apex, deep(p[0], p[1], h).Add(draw.Pt(0, -62)))
	}
	s.at(apex.X, apex.Y-30).steel(circle(0, 0, 100), 60)
	// The ring for the tag line at the lower right corner.
	s.at(w-70, -200).steel(circle(0, 0, 55), 32)
	from := draw.Pt(w-70, -170)
	if s.is("made-fast", "other") {
		e := deep(w-150, 150, h).Add(draw.Pt(0, -62))
		from = apex.Lerp(e, 0.6)
		s.at(from.X, from.Y).sized(9).turned(62).cordTie(8, 4, 2)
	}
	const c = 30.0
	cord := func(q ...draw.Point) { s.tubeIn(through(q, false), c, paper, hair.Width, draw.CapRound) }
	if s.is("length", "long") {
		cord(from, draw.Pt(2300, 20), draw.Pt(2700, 60), draw.Pt(2500, 260), draw.Pt(1700, 240), draw.Pt(1500, 140), draw.Pt(900, 220), draw.Pt(1000, 330), draw.Pt(300, 300), draw.Pt(-100, 160), draw.Pt(-500, 330), draw.Pt(-780, 200))
	} else {
		m := draw.Pt(2280, -60)
		cord(from, from.Lerp(m, 0.5).Add(draw.Pt(90, 60)), m, draw.Pt(2460, 80))
		s.put(dull, edge, blob(2400, 30, 2560, 20, 2600, 120, 2500, 180, 2390, 130))
	}
	s.card("plan: 6 m, weighted,", "on the corner ring")
}

func drawTagEnd(s sketch) {
	const w = 14.0
	if s.is("end", "loop") {
		s.laid(line(-110, 0, -20, 0), w, cloth)
		s.tube(smooth(-26, 0, 10, -14, 50, -34, 78, -6, 62, 26, 24, 22, -22, 4), w, cloth)
		s.lay(smooth(-26, 0, 10, -14, 50, -34, 78, -6, 62, 26, 24, 22, -22, 4), w, 0.75)
		s.at(-26, 2).put(cloth, outline, blob(-16, -12, 2, -18, 18, -8, 16, 12, -2, 18, -18, 10))
		s.at(-26, 2).ink(edge, smooth(-12, -10, 0, 0, 14, 8), smooth(-10, 10, 2, 0, 12, -10))
		return
	}
	s.laid(line(-110, 0, 66, 0), w, cloth)
	// Whipped with twine, cut square.
	s.put(paper, outline, box(52, 0, 28, 16))
	for x := 41.0; x < 66; x += 3.6 {
		s.ink(hair, line(x, -8, x-1, 8))
	}
	s.ink(outline, line(67, -7, 67, 7))
}
