package closeup

import "hangtrue/internal/paper/draw"

var loadFigures = []Figure{
	{ID: "area", Views: []View{
		{
			Title: "the place around the load: what lies about", scale: 0.0205, bar: 1000,
			Attributes: []Attribute{attr("loose-items", "none", "sheet", "tools")},
			draw:       drawLooseItems,
		},
		{
			Title: "the place around the load: what it could catch on", scale: 0.0205, bar: 1000,
			Attributes: []Attribute{attr("obstructions", "none", "line", "near")},
			draw:       drawObstructions,
		},
	}},
	{ID: "body", Views: []View{
		{
			Title: "how the load stands", scale: 0.026, bar: 1000,
			Attributes: []Attribute{attr("held-down", "free", "tied", "frozen")},
			draw:       drawHeldDown,
		},
		{
			Title: "what is on and in the load", scale: 0.028, bar: 1000,
			Attributes: []Attribute{attr("contents", "held", "loose", "open")},
			draw:       drawContents,
		},
		{
			Title: "marking of the load", scale: 0.034, bar: 500,
			Attributes: []Attribute{attr("identity", "same", "other", "unknown-weight")},
			draw:       drawIdentity,
		},
		{
			Title: "legs as they lie on the load", scale: 0.026, bar: 1000,
			Attributes: []Attribute{attr("legs-free", "free", "under", "caught")},
			draw:       drawLegsFree,
		},
		{
			Title: "frame of the load where a leg pulls", scale: 0.28, bar: 100,
			Attributes: []Attribute{attr("frame", "whole", "cracked", "loose")},
			draw:       drawFrame,
		},
	}},
	{ID: "spreader", Views: []View{
		{
			Title: "spreader bar along its length", scale: 0.028, bar: 1000,
			Attributes: []Attribute{attr("straight", "straight", "bent")},
			draw:       drawSpreader,
		},
		{
			Title: "end of a spreader bar with its lugs", scale: 0.26, bar: 100,
			Attributes: []Attribute{attr("welds", "whole", "cracked")},
			draw:       drawSpreaderEnd,
		},
		{
			Title: "plate of a spreader bar", scale: 0.36, bar: 50,
			Attributes: []Attribute{attr("plate", "legible", "missing", "too-small")},
			draw:       drawSpreaderPlate,
		},
	}},
}

// legsOnTop are four legs from the corners of a crate to the fitting that lies
// in the middle of its top; but leaves out one of them by its number.
func (s sketch) legsOnTop(w, d, h float64, but int) {
	mid := deep(w/2, d/2, h)
	for i, p := range [][2]float64{{w - 150, d - 150}, {150, d - 150}, {w - 150, 150}, {150, 150}} {
		s.eyeRing(p[0], p[1], h, 62)
		if i == but {
			continue
		}
		e := deep(p[0], p[1], h).Add(draw.Pt(0, -50))
		s.strand(64, cloth, mid, mid.Lerp(e, 0.35).Add(draw.Pt(0, 60)), mid.Lerp(e, 0.7).Add(draw.Pt(0, -10)), e)
	}
	s.at(mid.X, mid.Y-60).steel(circle(0, 0, 120), 60)
}

func drawHeldDown(s sketch) {
	s = s.at(-1400, 1000)
	s.ground(60, 5000)
	const w, d, h = 2300.0, 1600.0, 1300.0
	s.crate(0, 0, 0, w, d, h)
	s.legsOnTop(w, d, h, -1)
	switch s.state["held-down"] {
	case "tied":
		strap := func(x float64) {
			a, b := deep(x, 0, h), deep(x, d, h)
			s.tubeIn(line(b.X, b.Y, a.X, a.Y, a.X-60, 40), 90, cloth, edge.Width, draw.CapButt)
			s.at(x-60, 40).steel(circle(0, 0, 60), 36)
			s.at(x-30, -500).put(metal, edge, softBox(0, 0, 180, 190, 20))
		}
		strap(900)
	case "frozen":
		for _, x := range []float64{184, 1840} {
			s.put(paper, outline, blob(x-190, 90, x-170, -40, x-60, -150, x+140, -170, x+330, -120, x+420, 0, x+470, 90))
			s.ink(detail, line(x-60, -60, x+20, -120), line(x+90, -40, x+190, -120), line(x+240, 0, x+330, -70), line(x-110, 30, x-60, -10))
		}
		for i := range 7 {
			x := 420 + 190*float64(i)
			l := 130 + 60*rough(i*3)
			s.put(paper, edge, poly(x-34, -120, x+34, -120, x, -120+l))
		}
	}
}

func drawContents(s sketch) {
	s = s.at(-1350, 900)
	s.ground(40, 5000)
	const w, d, h = 2200.0, 1500.0, 800.0
	s.crate(0, 0, 0, w, d, h)
	top := func(x, y float64) draw.Point { return deep(x, y, h) }
	if s.is("contents", "open") {
		// The lid stands up and nothing holds it.
		a, b := top(0, d), top(w, d)
		s.put(dark, outline, deepPath(true, 60, 60, h, w-60, 60, h, w-60, d-60, h, 60, d-60, h))
		s.put(bright, outline, poly(a.X, a.Y, b.X, b.Y, b.X+160, b.Y-900, a.X+160, a.Y-900))
		s.ink(hair, line(a.X+80, a.Y-450, b.X+80, b.Y-450))
		return
	}
	// A generator and a can stand on the lid.
	gen := func(t sketch) {
		t.prism(500, 450, h, 760, 560, 420, bright)
		p := deep(600, 450, h+120)
		t.put(paper, edge, softBox(p.X+130, p.Y-90, 260, 180, 20))
	}
	gen(s)
	can := func(t sketch) {
		t.put(dull, outline, softBox(0, -190, 270, 380, 40))
		t.ink(detail, line(-100, -330, 100, -60), line(-100, -60, 100, -330))
		t.strand(30, dull, draw.Pt(-80, -390), draw.Pt(-60, -450), draw.Pt(60, -450), draw.Pt(80, -390))
	}
	p := top(1560, 600)
	c := s.at(p.X+60, p.Y)
	if s.is("contents", "loose") {
		can(c.at(120, 40).turned(78))
		return
	}
	can(c)
	strap := func(q ...float64) { s.tubeIn(line(q...), 60, cloth, edge.Width, draw.CapButt) }
	a, b := top(330, 620), top(1450, 620)
	strap(a.X, a.Y, a.X+170, a.Y-420, b.X-190, b.Y-420, b.X, b.Y)
	a, b = top(1470, 620), top(1920, 620)
	strap(a.X, a.Y, a.X+10, a.Y-290, b.X-60, b.Y-290, b.X, b.Y)
}

func drawIdentity(s sketch) {
	s = s.at(-1150, 800)
	s.ground(40, 4000)
	s.crate(0, 0, 0, 2000, 900, 1500)
	s.legsOnTop(2000, 900, 1500, -1)
	name := "CRATE 12"
	if s.is("identity", "other") {
		name = "CRATE 35"
	}
	s.put(paper, edge, box(1000, -830, 1240, 640))
	s.write(1000, -980, name, 170, ink)
	if !s.is("identity", "unknown-weight") {
		s.write(1000, -690, "2100 kg", 170, ink)
	} else {
		s.ink(detail, line(620, -640, 1380, -640))
	}
	s.card("brief: crate 12, 2100 kg")
}

func drawLegsFree(s sketch) {
	s = s.at(-1400, 900)
	s.ground(40, 5000)
	const w, d, h = 2300.0, 1600.0, 1200.0
	if s.is("legs-free", "under") {
		s.strand(64, cloth, draw.Pt(-330, 10), draw.Pt(300, -40), draw.Pt(1300, -30), draw.Pt(2200, 10))
	}
	s.crate(0, 0, 0, w, d, h)
	// A bracket stands out from the front, near the left corner.
	s.put(metal, outline, soft(20, 360, -h+130, 640, -h+130, 640, -h+250, 520, -h+250, 520, -h+380, 360, -h+380))
	but := -1
	if !s.is("legs-free", "free") {
		but = 3
	}
	s.legsOnTop(w, d, h, but)
	e := deep(150, 150, h).Add(draw.Pt(0, -50))
	mid := deep(w/2, d/2, h)
	switch s.state["legs-free"] {
	case "under":
		s.strand(64, cloth, mid, draw.Pt(640, -h-190), draw.Pt(200, -h-170), draw.Pt(-160, -h+60), draw.Pt(-320, -500), draw.Pt(-420, -60), draw.Pt(-200, 30), draw.Pt(180, -20))
		s.strand(64, cloth, draw.Pt(220, -60), draw.Pt(30, -500), draw.Pt(60, -h+60), e)
		s.crateFoot(w, d, h)
	case "caught":
		s.strand(64, cloth, mid, draw.Pt(1200, -h-70), draw.Pt(900, -h+160), draw.Pt(600, -h+330), draw.Pt(450, -h+420), draw.Pt(310, -h+330), draw.Pt(240, -h+60), e)
		s.put(metal, outline, soft(20, 360, -h+130, 640, -h+130, 640, -h+250, 520, -h+250, 520, -h+380, 360, -h+380))
	}
}

// crateFoot draws a crate's left skid once more, over what lies under it.
func (s sketch) crateFoot(w, d, h float64) {
	s.prism(w*0.08, 0, 0, w*0.12, d*0.1, h*0.09, dull)
}

func drawFrame(s sketch) {
	s = s.at(-30, 10)
	// A square post and a rail meet; a lug is bolted to the rail above the post.
	s.put(dull, outline, poly(-60, 40, 60, 40, 60, 200, -60, 200))
	s.put(bright, outline, poly(-180, -30, 230, -30, 230, 40, -180, 40))
	s.ink(hair, line(-180, -18, 230, -18), line(-180, 28, 230, 28), line(-46, 40, -46, 200), line(46, 40, 46, 200))
	var bead draw.Path
	for x := -56.0; x <= 56; x += 8 {
		bead.ArcTo(draw.Pt(x, 42), 5, 5, 0, 180, 0)
	}
	s.ink(detail, bead)
	lift := 0.0
	if s.is("frame", "loose") {
		lift = -12
	}
	l := s.at(0, lift)
	if lift < 0 {
		l = s.at(6, lift).turned(3)
	}
	l.put(metal, outline, softBox(0, -38, 150, 16, 3))
	l.put(metal, outline, join(soft(18, -40, -46, -28, -122, 28, -122, 40, -46), circle(0, -88, 20)))
	for _, x := range []float64{-56, 56} {
		if lift < 0 {
			s.at(x, -38).thread90(-26, 12, 13)
			s.at(x, -66).turned(90).boltHead(13, 28)
			continue
		}
		l.at(x, -53).turned(90).boltHead(13, 28)
	}
	if lift < 0 {
		s.ink(detail, line(-74, -31, 74, -31))
	}
	if s.is("frame", "cracked") {
		s.at(-62, 43).turned(-2).crack(90)
		s.at(-60, 40).turned(-68).crack(44)
	}
	e := l.at(0, -88)
	e.turned(90).at(-36, 0).steel(stadium(92, 44), 14)
	l.put(metal, noPen, box(0, -114, 20, 10))
	l.ink(outline, line(-20, -122, 20, -122))
	e.turned(90).at(-36, 0).steel(part(stadium(92, 44), 64, 104), 14)
	e.at(0, -90).turned(90).chain(line(0, 0, -170, 0), straight(90))
}
