package closeup

import (
	"hangtrue/internal/paper/draw"
)

var vehicleFigures = []Figure{{ID: "vehicle", Views: []View{
	{Title: "parking brake", scale: 0.21, bar: 100, Attributes: []Attribute{attr("brake", "planned", "other")}, draw: drawBrake},
	{Title: "gear lever", scale: 0.4, bar: 50, Attributes: []Attribute{attr("gear", "planned", "other")}, draw: drawGear},
	{Title: "steering and front wheels", scale: 0.04, bar: 500, Attributes: []Attribute{attr("steering", "tied", "free")}, draw: drawSteering},
	{Title: "doors, bonnet and tailgate", scale: 0.0195, bar: 1000, Attributes: []Attribute{attr("doors", "held", "open")}, draw: drawDoors},
	{Title: "glass and lamps", scale: 0.044, bar: 500, Attributes: []Attribute{attr("glass", "taped", "bare")}, draw: drawGlass},
	{Title: "mirrors", scale: 0.036, bar: 500, Attributes: []Attribute{attr("mirrors", "folded", "out")}, draw: drawMirrors},
	{Title: "aerials", scale: 0.0195, bar: 1000, Attributes: []Attribute{attr("aerials", "down", "up")}, draw: drawAerials},
	{Title: "covers and canopy", scale: 0.0195, bar: 1000, Attributes: []Attribute{attr("covers", "lashed", "loose")}, draw: drawCovers},
	{Title: "caps of fuel, oil and radiator", scale: 0.34, bar: 50, Attributes: []Attribute{attr("caps", "tight", "loose")}, draw: drawCaps},
	{Title: "battery", scale: 0.22, bar: 100, Attributes: []Attribute{attr("battery", "held", "loose")}, draw: drawBattery},
	{Title: "fuel gauge", scale: 0.7, bar: 20, Attributes: []Attribute{attr("fuel", "allowed", "full")}, draw: drawFuel},
	{Title: "what is stowed in the vehicle", scale: 0.044, bar: 500, Attributes: []Attribute{attr("stowed", "held", "loose")}, draw: drawStowed},
}}}

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
	s.say(60, 96, "lever up: on", draw.Middle)
	s.say(60, 118, "lever down: off", draw.Middle)
	s.card("procedure: brake off")
}

func drawGear(s sketch) {
	s = s.at(0, 16)
	s.put(dull, outline, softBox(0, 0, 190, 170, 12))
	gate := line(-56, -52, -56, 52)
	slot := draw.Stroke{Paint: ink, Width: 3.4, Cap: draw.CapRound}
	s.ink(slot, gate, line(0, -52, 0, 52), line(56, -52, 56, 52), line(-56, 0, 56, 0))
	for i, q := range [][2]float64{{-56, -70}, {-56, 70}, {0, -70}, {0, 70}, {56, -70}, {56, 70}} {
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

// wheel is a wheel from the side.
func (s sketch) wheel(x, y, r float64) {
	s.put(dark, outline, circle(x, y, r))
	s.put(bright, outline, circle(x, y, r*0.58))
	s.put(metal, edge, circle(x, y, r*0.2))
	for i := range 5 {
		v := draw.Polar(r*0.38, 72*float64(i)-90)
		s.put(metal, hair, circle(x+v.X, y+v.Y, r*0.06))
	}
}

// truck is a small goods vehicle from the side, its front to the right, its
// wheels on the origin's level. Lengths in real mm.
func (s sketch) truck() {
	s.put(metal, outline, box(0, -560, 4300, 120))
	// The bed.
	s.put(bright, outline, poly(-2200, -1150, 150, -1150, 150, -620, -2200, -620))
	for _, x := range []float64{-1400, -620} {
		s.ink(hair, line(x, -1140, x, -630))
	}
	// The cab and the bonnet.
	s.put(bright, outline.WithWidth(0.6), soft(90, 230, -620, 230, -1900, 1250, -1900, 1500, -1230, 2150, -1130, 2230, -900, 2230, -480, 230, -480))
	s.put(paper, outline, soft(40, 620, -1800, 1200, -1800, 1400, -1260, 620, -1260))
	s.put(paper, outline, soft(40, 320, -1800, 520, -1800, 520, -1260, 320, -1260))
	s.ink(edge, line(570, -1850, 570, -520, 1380, -520))
	s.ink(edge, line(1430, -1230, 1440, -560))
	s.put(metal, edge, softBox(700, -1130, 150, 44, 20))
	s.put(paper, edge, softBox(2160, -950, 90, 150, 30))
	s.put(metal, outline, softBox(2230, -520, 110, 160, 30))
	for _, x := range []float64{-1300, 1600} {
		s.put(paper, noPen, arcSector(x, -400, 480, 180, 360))
		s.ink(outline, arc(x, -400, 480, 480, 180, 360))
		s.wheel(x, -400, 400)
	}
}

func drawDoors(s sketch) {
	s = s.at(-40, 1000)
	s.ground(0, 5000)
	s.truck()
	if s.is("doors", "open") {
		// The door stands open: its dark opening and the door swung forward.
		s.put(dark, outline, soft(60, 580, -1830, 1210, -1830, 1420, -1250, 1420, -540, 580, -540))
		s.put(dull, outline, poly(660, -900, 1000, -900, 1000, -700, 660, -700))
		s.put(bright, outline.WithWidth(0.6), soft(40, 1400, -1240, 1460, -1840, 1990, -1720, 2120, -1130, 2120, -420, 1420, -520))
		s.put(paper, outline, soft(30, 1500, -1740, 1930, -1650, 2020, -1180, 1490, -1270))
		s.put(metal, edge, softBox(2000, -1020, 130, 44, 20))
		return
	}
	s.at(720, -1060).put(paper, outline, poly(-60, 0, 60, 0, 60, 560, -60, 560))
	s.at(720, -1060).put(paper, edge, poly(-340, 60, -340, 160, 200, 160, 200, 60))
	s.at(720, -1060).ink(hair, line(-340, 110, 200, 110))
}

func drawGlass(s sketch) {
	s = s.at(0, 60)
	// Windscreen and lamps from the front.
	s.put(bright, outline.WithWidth(0.6), soft(120, -900, 620, -960, 60, -800, -80, -700, -820, 700, -820, 800, -80, 960, 60, 900, 620))
	s.put(paper, outline, soft(60, -620, -740, 620, -740, 720, -120, -720, -120))
	s.ink(edge, line(-900, 60, 900, 60))
	for i := range 5 {
		s.ink(edge, line(-330, 180+60*float64(i), 330, 180+60*float64(i)))
	}
	s.put(metal, outline, softBox(0, 560, 1900, 130, 40))
	for _, x := range []float64{-620, 620} {
		s.put(paper, outline, circle(x, 280, 170))
		s.ink(detail, circle(x, 280, 120))
	}
	if s.is("glass", "bare") {
		s.ink(hair, line(-400, -600, -250, -260), line(-340, -620, -190, -280))
		return
	}
	tape := func(q ...float64) {
		s.tubeIn(line(q...), 76, cloth, edge.Width, draw.CapButt)
	}
	tape(-640, -700, 640, -160)
	tape(640, -700, -640, -160)
	tape(-690, -430, 690, -430)
	tape(0, -750, 0, -110)
	for _, x := range []float64{-620, 620} {
		s.at(x, 280).tubeIn(line(-180, 0, 180, 0), 70, cloth, edge.Width, draw.CapButt)
		s.at(x, 280).tubeIn(line(0, -180, 0, 180), 70, cloth, edge.Width, draw.CapButt)
	}
}

func drawMirrors(s sketch) {
	s = s.at(0, 60)
	s.put(bright, outline.WithWidth(0.6), soft(120, -900, 700, -960, 60, -800, -80, -700, -820, 700, -820, 800, -80, 960, 60, 900, 700))
	s.put(paper, outline, soft(60, -620, -740, 620, -740, 720, -120, -720, -120))
	s.ink(edge, line(-900, 60, 900, 60))
	for i := range 5 {
		s.ink(edge, line(-330, 180+60*float64(i), 330, 180+60*float64(i)))
	}
	for _, x := range []float64{-620, 620} {
		s.put(paper, outline, circle(x, 280, 150))
	}
	for _, side := range []float64{-1, 1} {
		t := s
		if side < 0 {
			t = s.mirrored()
		}
		if s.is("mirrors", "out") {
			t.tube(line(800, -230, 1010, -330), 46, metal)
			t.tube(line(800, -90, 1010, -230), 46, metal)
			t.put(dark, outline, softBox(1090, -330, 230, 420, 50))
			t.put(bright, outline, softBox(1090, -330, 170, 360, 36))
			continue
		}
		// Folded against the side window, its edge to the front, tied with cord.
		t.tube(line(780, -180, 830, -250), 46, metal)
		t.put(dark, outline, softBox(850, -330, 90, 420, 36))
		for i := range 3 {
			t.strand(26, cloth, draw.Pt(770, -330+44*float64(i)), draw.Pt(912, -350+44*float64(i)))
		}
		t.strand(22, cloth, draw.Pt(900, -250), draw.Pt(960, -160), draw.Pt(930, -60))
	}
}

func drawAerials(s sketch) {
	s = s.at(-40, 1300)
	s.ground(0, 5000)
	s.truck()
	base := draw.Pt(380, -1900)
	s.put(dark, outline, softBox(base.X, base.Y-50, 130, 120, 30))
	if s.is("aerials", "up") {
		s.tubeIn(smooth(base.X, base.Y-100, base.X-20, base.Y-900, base.X-90, base.Y-1750), 44, metal, edge.Width, draw.CapRound)
		return
	}
	s.tubeIn(smooth(base.X, base.Y-100, base.X-110, base.Y-420, base.X-600, base.Y-360, base.X-1200, base.Y+140, -1500, -1200), 44, metal, edge.Width, draw.CapRound)
	for i := range 3 {
		s.strand(26, cloth, draw.Pt(-1560+50*float64(i), -1170), draw.Pt(-1480+50*float64(i), -1290))
	}
}

func drawCovers(s sketch) {
	s = s.at(-40, 1000)
	s.ground(0, 5000)
	if s.is("covers", "loose") {
		s.truck()
		s.put(cloth, outline.WithWidth(0.6), blob(-2200, -1120, -2240, -1700, -2000, -1950, -1300, -1980, -600, -1950, 0, -2000, 140, -1600, 120, -1130, -300, -1180, -700, -1090, -1000, -1300, -1300, -1480, -1600, -1330, -1800, -1060))
		s.put(paper, outline, blob(-1800, -1060, -1600, -1330, -1300, -1480, -1000, -1300, -1180, -1180, -1320, -1300, -1520, -1200))
		s.ink(detail, smooth(-1900, -1850, -1700, -1500, -1650, -1340), smooth(-600, -1900, -640, -1500, -760, -1150))
		s.strand(24, paper, draw.Pt(-1800, -1060), draw.Pt(-1760, -900), draw.Pt(-1640, -820), draw.Pt(-1690, -660))
		s.strand(24, paper, draw.Pt(-1000, -1290), draw.Pt(-860, -1000), draw.Pt(-960, -860), draw.Pt(-900, -700))
		return
	}
	s.truck()
	s.put(cloth, outline.WithWidth(0.6), soft(120, -2230, -1060, -2230, -1930, -1900, -1990, 0, -1990, 180, -1930, 180, -1060))
	for _, x := range []float64{-1620, -1020, -430} {
		s.ink(detail, smooth(x, -1980, x+14, -1500, x, -1070))
	}
	// Lashed all round: cord from eyelet to hook.
	var lace draw.Path
	for i := range 13 {
		x := -2190 + 190*float64(i)
		s.put(ink, noPen, circle(x, -1110, 22))
		if i == 0 {
			lace.MoveTo(draw.Pt(x, -1110))
		}
		lace.LineTo(draw.Pt(x, -1110))
		lace.LineTo(draw.Pt(x+95, -950))
		s.put(metal, hair, softBox(x+95, -940, 50, 40, 12))
	}
	s.tubeIn(lace, 26, paper, hair.Width, draw.CapRound)
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
	s = s.at(-900, 600)
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
