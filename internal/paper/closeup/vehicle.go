package closeup

import "hangtrue/internal/paper/draw"

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
	{Title: "fuel gauge", scale: 0.62, bar: 20, Attributes: []Attribute{attr("fuel", "allowed", "full")}, draw: drawFuel},
	{Title: "what is stowed in the vehicle", scale: 0.041, bar: 500, Attributes: []Attribute{attr("stowed", "held", "loose")}, draw: drawStowed},
}}}

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
	s = s.at(-40, 1500)
	s.ground(0, 5000)
	s.truck()
	base := draw.Pt(380, -1900)
	s.put(dark, outline, softBox(base.X, base.Y-50, 130, 120, 30))
	if s.is("aerials", "up") {
		s.tubeIn(smooth(base.X, base.Y-100, base.X-20, base.Y-900, base.X-90, base.Y-1650), 44, metal, edge.Width, draw.CapRound)
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
