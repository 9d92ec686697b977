package closeup

import "hangtrue/internal/paper/draw"

var drumFigures = []Figure{
	{ID: "drum", Views: []View{
		{
			Title: "drum lying on the ground", scale: 0.036, bar: 500,
			Attributes: []Attribute{
				attr("leak", "dry", "weeping", "wet"),
				attr("lies", "as-planned", "turned", "reversed"),
				attr("pressure", "as-planned", "slack", "hard"),
			},
			draw: drawDrum,
		},
		{
			Title: "skin of a drum with a patch and a seam", scale: 0.2, bar: 100,
			Attributes: []Attribute{attr("patches", "sound", "lifting", "chafed")},
			draw:       drawPatch,
		},
	}},
	{ID: "fill-fitting", Views: []View{
		{
			Title: "cap of a fill fitting", scale: 0.36, bar: 50,
			Attributes: []Attribute{attr("capped", "tight", "loose", "missing")},
			draw:       func(s sketch) { s.fillFitting(s.state["capped"], "all-round") },
		},
		{
			Title: "tape round the cap of a fill fitting", scale: 0.36, bar: 50,
			Attributes: []Attribute{attr("taped", "all-round", "part-way", "slit", "none")},
			draw:       func(s sketch) { s.fillFitting("tight", s.state["taped"]) },
		},
	}},
	{ID: "drain-fitting", Views: []View{{
		Title: "drain fitting with its valve and cap", scale: 0.27, bar: 100,
		Attributes: []Attribute{attr("closed", "shut", "open", "handle-free"), attr("capped", "taped", "slit", "off")},
		draw:       drawDrain,
	}}},
	{ID: "drum-pair", Views: []View{{
		Title: "two drums side by side, from their ends", scale: 0.031, bar: 500,
		Attributes: []Attribute{attr("marks", "opposed", "same-side", "one-off"), attr("touching", "touching", "apart", "sharp")},
		draw:       drawDrumPair,
	}}},
}

// drumSkin is the outline of a drum that lies, its fitting's end to the left:
// the end face, and the body behind it. sag flattens it, bulge rounds it.
func (s sketch) drumBody(sag, bulge float64) (rx, ry float64) {
	rx, ry = 330, 640-sag
	const l = 1150.0
	body := draw.Path{}
	body.MoveTo(draw.Pt(-500, -ry))
	body.CubicTo(draw.Pt(-100, -ry-bulge+sag*0.4), draw.Pt(l-800, -ry-bulge+sag*0.4), draw.Pt(l-480, -ry))
	body.CubicTo(draw.Pt(l-480+rx*1.33, -ry), draw.Pt(l-480+rx*1.33, ry), draw.Pt(l-480, ry))
	body.CubicTo(draw.Pt(l-800, ry+bulge*0.2), draw.Pt(-100, ry+bulge*0.2), draw.Pt(-500, ry))
	body.Close()
	s.put(dull, outline.WithWidth(0.6), body)
	// Cord bands round the body.
	for _, x := range []float64{-180, 160, 500} {
		top, low := -ry-bulge*0.66+sag*0.1, ry+bulge*0.13
		s.ink(detail, arc(x, (top+low)/2, rx, (low-top)/2, -90, 90))
	}
	if sag > 0 {
		s.ink(edge, smooth(-320, -ry+70, -100, -ry+180, 160, -ry+90), smooth(60, -ry+120, 260, -ry+230, 520, -ry+110), smooth(-220, -120, -20, 30, 160, -80))
	}
	s.put(bright, outline.WithWidth(0.6), ellipse(-500, 0, rx, ry))
	s.ink(detail, ellipse(-500, 0, rx*0.86, ry*0.86))
	return rx, ry
}

func drawDrum(s sketch) {
	s = s.at(20, 60)
	sag, bulge := 0.0, 20.0
	switch s.state["pressure"] {
	case "slack":
		sag = 170
	case "hard":
		bulge = 150
	}
	base := s.at(0, 660)
	base.ground(0, 3000)
	if s.is("leak", "wet") {
		base.put(dark, outline, blob(-1000, 30, -700, -50, -200, -30, 300, -46, 700, 10, 500, 90, 0, 110, -500, 120, -900, 100))
		base.ink(edge.WithPaint(paper), smooth(-700, 30, -400, 10, -100, 30))
	}
	d := s.at(0, sag)
	rx, ry := d.drumBody(sag, bulge)
	face := d.at(-500, 0)
	if s.is("lies", "reversed") {
		// The other end: a plain closing plate with its lashing ring, no fitting.
		face.put(metal, outline, ellipse(0, 0, 110, 200))
		face.tube(arc(0, 110, 50, 90, 0, 360), 34, bright)
	} else {
		face.put(metal, outline, ellipse(0, 0, 130, 230))
		for i := range 8 {
			v := draw.Polar(1, 22.5+45*float64(i))
			face.put(bright, hair, circle(v.X*100, v.Y*180, 16))
		}
		f := face
		f.put(bright, outline, softBox(-110, 0, 190, 130, 20))
		f.put(metal, outline, softBox(-215, 0, 80, 190, 20))
	}
	// The mark on the end's rim: a painted arrowhead that should point up.
	turn := 0.0
	if s.is("lies", "turned") {
		turn = 62
	}
	v := draw.Polar(1, -90+turn)
	at := draw.Pt(v.X*rx*0.66, v.Y*ry*0.66)
	out := draw.Pt(v.X*rx*0.93, v.Y*ry*0.93)
	side := draw.Pt(-v.Y*rx*0.26, v.X*ry*0.14)
	if !s.is("lies", "reversed") {
		face.put(ink, noPen, poly(out.X, out.Y, at.X+side.X, at.Y+side.Y, at.X-side.X, at.Y-side.Y))
	}
	s.card("plan: mark up,", "fitting to the front")
	s.say(-1150, -1000, "front", draw.Start)
	s.arrow(-880, -1000+120, -1180, -1000+120)
	if s.is("leak", "weeping") {
		for i, y := range []float64{90, 300, 470} {
			face.drop(-180+30*float64(i), y, 130)
		}
		face.put(dark, noPen, blob(-150, 70, -110, 70, -70, 260, -80, 520, -140, 560, -170, 300))
		base.put(dark, noPen, ellipse(-640, 26, 130, 34))
	}
}

func drawPatch(s sketch) {
	// The skin fills the picture; a seam runs across.
	s.put(dull, noPen, box(0, 0, 520, 520))
	s.at(0, -10).put(bright, outline, poly(-260, 84, 260, 84, 260, 146, -260, 146))
	s.at(0, -10).ink(detail.WithDash(1.1, 0.8), line(-260, 96, 260, 96), line(-260, 134, 260, 134))
	p := s.at(-10, -70)
	p.put(bright, outline, softBox(0, 0, 240, 170, 26))
	p.ink(detail.WithDash(1.1, 0.8), softBox(0, 0, 220, 150, 20))
	switch s.state["patches"] {
	case "lifting":
		p.put(dark, edge, poly(34, 84, 120, 4, 120, 60, 96, 85))
		p.put(paper, outline, blob(30, 85, 60, 54, 94, 20, 120, 2, 116, 30, 84, 62, 56, 78))
		p.put(dull, noPen, poly(52, 88, 122, 88, 122, 22))
		p.put(dark, edge, poly(34, 85, 119, 5, 119, 40, 84, 85))
		p.put(paper, outline, soft(6, 32, 85, 119, 4, 96, -18, 22, 52))
		p.ink(hair, line(44, 64, 102, 8), line(38, 74, 110, 8))
	case "chafed":
		t := s.at(30, 105)
		t.put(paper, outline, stainPath(210, 78, 5))
		for i := range 13 {
			x := -74 + 12.4*float64(i)
			t.ink(edge, smooth(x, -20+8*rough(i), x+3, 0, x, 20+8*rough(i*3)))
		}
		for i := range 5 {
			y := -16 + 8*float64(i)
			t.ink(hair, line(-80, y, 80, y+4*rough(i)))
		}
		t.fuzz(smooth(-84, -20, 0, -34, 84, -20), -12, 7, false)
	}
}

func drawDrumPair(s sketch) {
	s = s.at(0, 150)
	const r = 660.0
	gap := 0.0
	if !s.is("touching", "touching") {
		gap = 200
	}
	ground := s.at(0, r)
	ground.ground(0, 3400)
	drum := func(x, turn float64) {
		t := s.at(x, 0)
		t.put(dull, outline.WithWidth(0.6), circle(0, 0, r))
		t.ink(detail, circle(0, 0, r*0.84))
		t.put(metal, outline, circle(0, 0, 230))
		t.put(bright, outline, circle(0, 0, 120))
		t = t.turned(turn)
		for i := range 8 {
			v := draw.Polar(180, 22.5+45*float64(i))
			t.put(bright, hair, circle(v.X, v.Y, 18))
		}
		t.put(ink, noPen, poly(r*0.94, 0, r*0.62, -130, r*0.62, 130))
	}
	// Marks that oppose each other point at one another.
	left, right := 0.0, 180.0
	switch s.state["marks"] {
	case "same-side":
		right = 0
	case "one-off":
		right = 258
	}
	drum(-r-gap/2, left)
	drum(r+gap/2, right)
	if s.is("touching", "sharp") {
		s.put(bright, outline, poly(-90, 260, -30, 60, 30, -40, 100, 90, 120, 300, 20, 360))
		s.ink(detail, line(-30, 60, 30, 130, 20, 360), line(30, 130, 100, 90))
	}
	if s.is("touching", "apart") {
		s.ink(hair, line(0, r-40, 0, r-40))
	}
}
