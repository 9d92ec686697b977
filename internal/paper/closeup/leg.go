package closeup

import (
	"hangtrue/internal/paper/draw"
)

var legFigures = []Figure{
	{ID: "leg-run", Views: []View{
		{
			Title: "the points that the legs lead to", scale: 0.026, bar: 1000,
			Attributes: []Attribute{attr("point", "own", "other")},
			draw:       drawLegPoint,
		},
		{
			Title: "the seats on the apex pin, facing the load's front", scale: 0.34, bar: 50,
			Attributes: []Attribute{attr("seat", "own", "other")},
			draw:       drawLegSeat,
		},
		{
			Title: "rope of a leg", scale: 0.42, bar: 50,
			Attributes: []Attribute{attr("twist", "straight", "twisted"), attr("knot", "free", "knotted")},
			draw:       drawLegLie,
		},
		{
			Title: "a leg over an edge of the load", scale: 0.42, bar: 50,
			Attributes: []Attribute{attr("edges", "padded", "bare", "slipped")},
			draw: func(s sketch) {
				s.corner(map[string]string{"padded": "there", "bare": "missing", "slipped": "slipped"}[s.state["edges"]], true)
			},
		},
	}},
	{ID: "leg-tag", Views: []View{{
		Title: "tag of a leg", scale: 0.78, bar: 20,
		Attributes: []Attribute{attr("legible", "legible", "missing", "illegible"), attr("due", "in-date", "overdue")},
		draw:       drawTag,
	}}},
	{ID: "rope-leg", Views: []View{
		{
			Title: "textile rope of a leg", scale: 0.8, bar: 20,
			Attributes: []Attribute{
				attr("cut", "whole", "outer", "core"),
				attr("chafe", "fuzz", "worn", "powder"),
				attr("burn", "none", "glazed"),
				attr("contamination", "clean", "oil", "stained"),
				attr("size", "even", "thin", "lump"),
			},
			draw: drawRope,
		},
		{
			Title: "potted end of a rope", scale: 0.5, bar: 50,
			Attributes: []Attribute{attr("end", "whole", "cracked", "pulled", "dented")},
			draw:       drawPotted,
		},
	}},
	{ID: "eye-roller", Views: []View{{
		Title: "roller in the eye of a potted end", scale: 0.55, bar: 50,
		Attributes: []Attribute{attr("present", "inside", "missing", "outside"), attr("whole", "whole", "cracked", "jammed")},
		draw:       drawRoller,
	}}},
}

func drawLegPoint(s sketch) {
	s = s.at(-1400, 1150)
	s.ground(40, 5000)
	const w, d, h = 2400.0, 1700.0, 1150.0
	s.crate(0, 0, 0, w, d, h)
	names := []string{"2", "1", "4", "3"}
	at := [][2]float64{{w - 150, 150}, {w - 150, d - 150}, {150, 150}, {150, d - 150}}
	apex := deep(w/2, d/2, 3050)
	to := []int{0, 1, 2, 3}
	if s.is("point", "other") {
		to[0] = 2
	}
	for i, p := range at {
		s.eyeRing(p[0], p[1], h, 62)
		q := deep(p[0], p[1], h)
		side := 150.0
		if i > 1 {
			side = -150
		}
		if i == 2 && s.is("point", "other") {
			side = -170
		}
		s.write(q.X+side, q.Y+120, names[i], 130, ink)
	}
	for i := 3; i >= 0; i-- {
		p := at[to[i]]
		end := deep(p[0], p[1], h).Add(draw.Pt(0, -62))
		if i != 0 {
			s.strand(34, cloth, apex, end)
			continue
		}
		s.strand(70, cloth, apex, end)
		m := apex.Lerp(end, 0.5)
		s.at(m.X, m.Y).put(paper, edge, softBox(0, 0, 330, 250, 30))
		s.at(m.X, m.Y).write(0, 0, "2", 150, ink)
	}
	s.at(apex.X, apex.Y).steel(circle(0, -60, 110), 60)
	s.card("plan: leg 2 to point 2")
}

// apexPin is the apex fitting in its plain form, seen facing the load's front:
// a bow, two ears and the pin between them, at the origin.
func (s sketch) apexBow() {
	s.steel(smooth(-86, 4, -86, -50, -70, -96, -30, -126, 0, -130, 30, -126, 70, -96, 86, -50, 86, 4), 30)
}

func (s sketch) apexPinPlain() {
	s.bar(line(-116, 0, 116, 0), 34, bright)
	for _, x := range []float64{-86, 86} {
		s.put(metal, outline, circle(x, 0, 31))
		s.put(bright, edge, circle(x, 0, 17))
	}
	s.at(-122, 0).boltHead(26, 50)
	s.at(122, 0).castellated(34, 50)
}

// seatEye is the eye of a leg on the pin, seen from its edge, with its rope.
func (s sketch) seatEye(x, lean float64) {
	t := s.at(x, 0).turned(lean)
	t.open(line(0, 76, 0, 300), 25, cloth)
	t.braiding(line(0, 76, 0, 300), 25)
	t.put(metal, outline, soft(4, -9, 22, 9, 22, 16, 84, -16, 84))
	t.put(metal, outline, softBox(0, 2, 20, 62, 9))
	t.shine(line(0, -18, 0, 20), 20)
}

func drawLegSeat(s sketch) {
	s = s.at(0, -14)
	s.apexBow()
	s.bar(line(-86, 0, 86, 0), 34, bright)
	legs := []string{"1", "2", "3", "4"}
	if s.is("seat", "other") {
		legs[0], legs[1] = "2", "1"
	}
	for _, x := range []float64{51, 17, -17, -51} {
		s.seatEye(x, -x*0.22)
	}
	for i, x := range []float64{51, 17, -17, -51} {
		t := s.at(x, 0).turned(-x*0.22).at(0, 114+18*float64(i%2))
		t.put(paper, edge, softBox(0, 0, 34, 26, 3))
		t.write(0, 0, legs[i], 15, ink)
	}
	s.pinEnds()
	s.card("plan: seat 1 leg 1,", "seat 2 leg 2 ...")
	for i, x := range []float64{51, 17, -17, -51} {
		s.say(x, -44, string(rune('1'+i)), draw.Middle)
	}
	s.say(0, -64, "seat", draw.Middle)
}

// pinEnds are the ears, the head and the nut of an apex pin.
func (s sketch) pinEnds() {
	for _, x := range []float64{-86, 86} {
		s.put(metal, outline, softBox(x, 2, 28, 66, 12))
		s.shine(line(x, -20, x, 22), 28)
	}
	s.at(-113, 0).boltHead(26, 52)
	s.at(117, 0).castellated(34, 50)
}

func drawLegLie(s sketch) {
	const w = 32.0
	if s.is("knot", "knotted") {
		s.braid(smooth(-140, 8, -70, 8, -30, 14, 10, 24), w)
		s.braid(smooth(140, -8, 70, -8, 30, -14, -10, -24), w)
		s.tube(smooth(-30, 26, -40, -14, -14, -40, 16, -34), w, cloth)
		s.braiding(smooth(-30, 26, -40, -14, -14, -40, 16, -34), w)
		s.tube(smooth(30, -26, 40, 14, 14, 40, -16, 34), w, cloth)
		s.braiding(smooth(30, -26, 40, 14, 14, 40, -16, 34), w)
		s.tube(smooth(-12, -30, 0, 0, 12, 30), w, cloth)
		s.braiding(smooth(-12, -30, 0, 0, 12, 30), w)
		return
	}
	run := line(-140, 0, 140, 0)
	s.braid(run, w)
	// The coloured yarn woven in along the rope shows how it lies.
	mark := draw.Stroke{Paint: ink, Width: 1.1, Cap: draw.CapRound}
	if s.is("twist", "straight") {
		s.ink(mark, line(-140, -4, 140, -4))
		return
	}
	for x := -150.0; x < 150; x += 62 {
		s.ink(mark, smooth(x, 14.5, x+6, 9, x+16, -4, x+26, -12, x+31, -15))
	}
}

// corner is an edge of the load with a leg bent over it. pad says where the
// padding is: there, slipped or missing; tied whether it is tied to the leg.
func (s sketch) corner(pad string, tied bool) {
	s = s.at(-34, 0)
	const w = 32.0
	block := poly(-200, -4, 20, -4, 20, 300, -200, 300)
	s.put(dull, outline, block)
	s.list.Hatch(2.4, 45, hair, s.frame.path(poly(-200, 2, 14, 2, 14, 300, -200, 300)).Flatten(1)[0].Pts)
	r := 30.0
	rope := smooth(-200, -34, -60, -34, 0, -33, r, -24, 46, 6, 50, 60, 54, 300)
	padding := func(p draw.Path) {
		s.open(p, 18, paper)
		s.ink(detail.WithDash(1, 0.8), p)
		for _, t := range walk(p, 0, along(p)-1e-6) {
			a, b := t.beside(9), t.beside(-9)
			s.ink(outline, line(a.X, a.Y, b.X, b.Y))
		}
	}
	switch pad {
	case "there":
		padding(smooth(-110, -13, -40, -13, 4, -13, 24, -4, 29, 20, 29, 60, 29, 116))
	case "slipped":
		padding(smooth(29, 70, 29, 110, 29, 150, 30, 200))
		rope = smooth(-200, -22, -60, -22, 0, -21, 26, -16, 40, 6, 48, 60, 54, 130, 56, 300)
	default:
		rope = smooth(-200, -21, -60, -21, 2, -21, 28, -14, 37, 10, 37, 60, 37, 300)
	}
	s.braid(rope, w)
	if pad == "missing" || !tied {
		if pad != "missing" && !tied {
			// The loose end of a cord that has come undone.
			s.cord(smooth(34, 96, 52, 110, 66, 128, 60, 150, 76, 168), 5)
		}
		return
	}
	for _, at := range [][3]float64{{-82, -24, 90}, {42, 92, 0}} {
		if pad == "slipped" {
			at = [3]float64{44, 96 + at[1]*0.4 + 30, 0}
		}
		s.at(at[0], at[1]).turned(at[2]).cordTie(w+24, 5, 2)
	}
}

func drawTag(s sketch) {
	rope := line(-46, -90, -46, 90)
	s.braid(rope, 26)
	s.cord(line(-60, -30, -32, -30), 4)
	s.cord(line(-60, -24, -32, -24), 4)
	switch {
	case s.is("legible", "missing"):
		s.cord(smooth(-33, -28, -26, -22, -24, -14), 4)
		s.at(-24, -13).turned(80).yarns(4, 6, 3)
		return
	default:
		s.cord(smooth(-33, -28, -26, -26, -20, -22), 4)
	}
	t := s.at(14, 4)
	t.put(bright, outline, softBox(0, 0, 76, 66, 5))
	t.hole(-32, -26, 3.4)
	date := "2027-05"
	if s.is("due", "overdue") {
		date = "2026-05"
	}
	for i, words := range []string{"LEG A-1", "6250 lb  12 ft", "next inspection", date} {
		h := 6.4
		if i == 2 {
			h = 4.4
		}
		t.write(3, -19+13.2*float64(i), words, h, ink)
	}
	if s.is("legible", "illegible") {
		for i := range 4 {
			y := -19 + 13.2*float64(i)
			t.put(dull, noPen, blob(-34, y-4, -20, y-6, 0, y-5, 20, y-6.5, 35, y-3, 33, y+4, 10, y+6, -14, y+5, -33, y+4))
			for j := range 5 {
				x := -28 + 13*float64(j) + 3*rough(i*7+j)
				t.ink(edge, line(x, y-2+2*rough(i+j*3), x+7, y+3*rough(i*5+j)))
			}
		}
		t.at(0, 0).speckle(74, 62, 60, 1, ink)
	}
	s.card("today: 2026-11-25")
}

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
		s.at(-22, -58).turned(62).crack(50)
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
	// The pin of what hangs beneath, seen from its end, with its straps behind.
	strap := func(y float64) {
		s.put(dull, outline, soft(14, -19, y-19, 19, y-19, 19, 110, -19, 110))
	}
	_ = strap
	roller := func(t sketch) {
		t.put(bright, outline, circle(0, 0, 29.5))
		t.ink(detail, circle(0, 0, 22))
		t.put(paper, edge, circle(0, 0, 13.5))
	}
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
