package closeup

import (
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

var apexFigures = []Figure{
	{ID: "apex-fitting", Views: []View{
		{
			Title: "apex fitting with its pin, nut and cotter pin", scale: 0.33, bar: 50,
			Attributes: []Attribute{
				attr("pin", "through", "part-way", "other"),
				attr("nut", "on", "backed", "missing"),
				attr("nut-faces", "planned", "turned"),
				attr("cotter", "spread", "straight", "missing", "nail"),
				attr("spacer", "present", "absent", "not-stated"),
				attr("sound", "sound", "cracked", "bent", "worn"),
			},
			draw: drawApex,
		},
		{
			Title: "apex fitting as it lies on the load", scale: 0.15, bar: 200,
			Attributes: []Attribute{attr("lie", "free", "turned", "caught")},
			draw:       drawApexLie,
		},
	}},
	{ID: "cargo-hook", Views: []View{
		{
			Title: "hook that the apex hangs on", scale: 0.3, bar: 100,
			Attributes: []Attribute{attr("keeper", "springs", "weak")},
			draw:       drawHookKeeper,
		},
		{
			Title: "hook that the apex hangs on, with its plate", scale: 0.3, bar: 100,
			Attributes: []Attribute{attr("type", "planned", "other")},
			draw:       drawHookType,
		},
		{
			Title: "the day's release test of a hook", scale: 0.3, bar: 100,
			Attributes: []Attribute{attr("release", "tried", "not-tried")},
			draw: func(s sketch) {
				s.at(-70, 0).cargoHook(0, "")
				s.testCard(s.is("release", "tried"), "normal", "backup", "latched")
			},
		},
	}},
	{ID: "pendant", Views: []View{
		{
			Title: "pendant along its length", scale: 0.5, bar: 50,
			Attributes: []Attribute{attr("sound", "whole", "damaged")},
			draw:       drawPendant,
		},
		{
			Title: "end of a pendant with its pin", scale: 0.42, bar: 50,
			Attributes: []Attribute{attr("ends", "secured", "unpinned", "worn")},
			draw:       func(s sketch) { s.pinnedEnd(s.state["ends"], wireRopeLook) },
		},
		{
			Title: "pendant laid out beside the load, from above", scale: 0.014, bar: 2000,
			Attributes: []Attribute{attr("lay", "laid-out", "looped")},
			draw:       func(s sketch) { s.layout(s.is("lay", "laid-out"), false) },
		},
		{
			Title: "lower hook of a pendant on the apex fitting", scale: 0.25, bar: 100,
			Attributes: []Attribute{attr("hook-end", "closed", "open")},
			draw:       drawPendantHook,
		},
	}},
	{ID: "set-plate", Views: []View{
		{
			Title: "plate of a set of legs", scale: 0.62, bar: 50,
			Attributes: []Attribute{attr("legible", "same", "missing", "other")},
			draw:       drawSetPlate,
		},
		{
			Title: "tags of the legs of a set", scale: 0.34, bar: 50,
			Attributes: []Attribute{attr("legs", "own", "foreign")},
			draw: func(s sketch) {
				last := "A"
				if s.is("legs", "foreign") {
					last = "B"
				}
				s.taggedLegs("A", "A", last, "A")
				s.card("plan: set A")
			},
		},
	}},
}

func drawApex(s sketch) {
	s = s.at(0, 26)
	// The eyes of the legs hang on the pin: two on either side of the spacer's place.
	bow := smooth(-86, 4, -86, -50, -70, -96, -30, -126, 0, -130, 30, -126, 70, -96, 86, -50, 86, 4)
	if s.is("sound", "bent") {
		bow = smooth(-86, 4, -98, -40, -98, -80, -58, -128, -10, -128, 44, -110, 96, -104, 108, -56, 86, 4)
	}
	s.steel(bow, 30)
	if s.is("sound", "worn") {
		// The hook has worn a saddle into the crown from beneath.
		s.put(paper, noPen, blob(-26, -110, -14, -121, 0, -125, 14, -121, 26, -110, 0, -104))
		s.ink(outline, smooth(-34, -110, -26, -113, -14, -123, 0, -126.5, 14, -123, 26, -113, 34, -110))
		s.ink(detail, smooth(-18, -118, 0, -122, 18, -118))
	}
	if s.is("sound", "cracked") {
		s.at(-66, -100).turned(-52).crack(34)
	}
	pinLook := func(x0, x1 float64) {
		if s.is("pin", "other") {
			// A plain bolt, thinner, threaded along and without a hole.
			s.thread(x0, x1, 22)
			return
		}
		s.bar(line(x0, 0, x1, 0), 34, bright)
		s.shine(line(x0+4, 0, x1-4, 0), 34)
	}
	shift := 0.0
	if s.is("pin", "part-way") {
		shift = -62
	}
	pinLook(-100+shift, 100+shift)
	s.spacer()
	for _, x := range []float64{-62, -39, 39, 62} {
		if shift < 0 && x > 50 {
			continue // its pin does not reach so far; the eye hangs from nothing
		}
		s.seatEye(x, -x*0.12)
	}
	if shift < 0 {
		s.at(4, 34).seatEye(62, -14)
	}
	for _, x := range []float64{-86, 86} {
		s.put(metal, outline, softBox(x, 2, 28, 66, 12))
		s.shine(line(x, -20, x, 22), 28)
		if shift < 0 && x > 0 {
			s.put(dark, edge, softBox(x-11, 0, 5, 34, 2))
		}
	}
	if s.is("pin", "other") {
		s.at(-111, 0).boltHead(20, 36)
		s.at(112, 0).boltHead(20, 36)
		s.at(122, 0).thread(0, 26, 22)
		return
	}
	s.at(-113+shift, 0).boltHead(26, 52)
	// The nut's end: thread with a hole for the cotter pin through it.
	s.at(100+shift, 0).thread(0, 46, 30)
	if shift < 0 {
		return
	}
	hole := 134.0
	nut := s.at(119, 0)
	switch {
	case s.is("nut", "missing"):
		s.hole(hole-6, 0, 4)
		return
	case s.is("nut", "backed"):
		// It stands off the ear, past the hole: no pin can go through both.
		nut = s.at(141, 0)
		s.at(100, 0).thread(0, 24, 30)
		nut.castellated(36, 52)
		return
	case s.is("nut-faces", "turned"):
		nut.mirrored().castellated(36, 52)
		s.at(137, 0).thread(0, 9, 30)
		s.at(110, 0).cotter(24, 3.2)
		return
	}
	nut.castellated(36, 52)
	s.at(137, 0).thread(0, 9, 30)
	cotter := s.at(130, 0)
	switch {
	case s.is("cotter", "missing"):
	case s.is("cotter", "straight"):
		cotter.wire(line(-1.7, 14, -1.7, 50), 3.2)
		cotter.wire(line(1.9, 14, 1.9, 47), 3.2)
		cotter.wire(line(0, -20, 0, -31), 5)
		cotter.wire(circle(0, -36, 5.4), 3.2)
	case s.is("cotter", "nail"):
		cotter.tubeIn(smooth(0, -32, 0, 0, 1, 26, 7, 40, 20, 46), 4.6, dull, edge.Width, draw.CapButt)
		cotter.put(dull, edge, softBox(0, -34, 17, 4, 1))
		cotter.put(metal, noPen, box(0, 0, 9, 30))
	default:
		cotter.cotter(24, 3.2)
	}
}

// spacer is the sleeve on the pin between the legs.
func (s sketch) spacer() {
	switch {
	case s.is("spacer", "absent"):
	case s.is("spacer", "not-stated"):
		s.put(noFill, look.Outline.WithWidth(look.Regular).WithDash(1.4, 1), softBox(0, 0, 44, 60, 4))
		s.write(0, 0, "?", 24, ink)
		s.card("plan: spacer not stated")
	default:
		s.put(look.Load, outline, softBox(0, 0, 48, 62, 4))
		s.put(paper, noPen, box(0, -14, 40, 12))
		s.ink(detail, line(-17, -31, -17, 31), line(17, -31, 17, 31))
	}
}

func drawApexLie(s sketch) {
	s = s.at(0, 60)
	// The top of the load, with a post that stands up from it.
	s.put(paper, outline, poly(-360, 40, 200, 40, 330, -110, -230, -110))
	s.put(dull, outline, poly(-360, 40, 200, 40, 200, 240, -360, 240))
	s.put(bright, outline, poly(200, 40, 330, -110, 330, 90, 200, 240))
	s.put(bright, outline, box(190, -150, 34, 150))
	legs := func(from draw.Point) {
		for i, q := range [][]float64{{-310, 20}, {-190, -100}, {110, 30}, {250, -96}} {
			m := from.Lerp(draw.Pt(q[0], q[1]), 0.5).Add(draw.Pt(0, 26))
			s.strand(26, cloth, from, m, draw.Pt(q[0], q[1]))
			s.at(q[0], q[1]).steel(circle(0, 0, 12), 9)
			_ = i
		}
	}
	up := func(t sketch) {
		t = t.sized(0.62)
		t.steel(smooth(-86, 4, -86, -50, -70, -96, -30, -126, 0, -130, 30, -126, 70, -96, 86, -50, 86, 4), 30)
		t.apexPinPlain()
	}
	at := draw.Pt(-30, -36)
	legs(at)
	switch {
	case s.is("lie", "turned"):
		// Its bow lies down on the load, the pin above.
		up(s.at(at.X, at.Y-50).turned(180))
	case s.is("lie", "caught"):
		up(s.at(at.X+10, at.Y).turned(24))
		s.strand(26, cloth, draw.Pt(-150, -96), draw.Pt(-70, -96), draw.Pt(30, -80), draw.Pt(120, -66), draw.Pt(180, -84), draw.Pt(250, -96))
	default:
		up(s.at(at.X, at.Y))
	}
	s.say(0, -290, "aircraft's hook above", draw.Middle)
	s.arrow(0, -230, 0, -272)
}

// cargoHook is the hook under an aircraft: a housing with the swinging beam
// beneath it. gap opens its keeper by so many degrees; plate is what its plate says.
func (s sketch) cargoHook(gap float64, plate string) {
	// What it hangs from.
	s.put(dull, outline, softBox(0, -134, 60, 44, 4))
	s.put(metal, outline, soft(10, -70, -118, 70, -118, 84, -96, 84, -10, 58, 14, -46, 14, -46, -30, -84, -40, -84, -96))
	s.put(bright, noPen, box(-10, -104, 120, 8))
	for _, x := range []float64{-64, 66} {
		s.screw(x, -100, 7)
	}
	// The beam: a hook that opens to the left.
	beam := draw.Path{}
	beam.MoveTo(draw.Pt(46, 0))
	beam.CubicTo(draw.Pt(50, 60), draw.Pt(30, 106), draw.Pt(-14, 110))
	beam.CubicTo(draw.Pt(-50, 112), draw.Pt(-78, 88), draw.Pt(-80, 44))
	beam.CubicTo(draw.Pt(-80, 30), draw.Pt(-60, 28), draw.Pt(-56, 44))
	beam.CubicTo(draw.Pt(-54, 70), draw.Pt(-34, 78), draw.Pt(-16, 76))
	beam.CubicTo(draw.Pt(4, 74), draw.Pt(10, 50), draw.Pt(8, 4))
	beam.Close()
	s.put(metal, outline.WithWidth(0.6), beam)
	s.screw(28, 6, 12)
	// The keeper closes the mouth from the housing.
	k := s.at(-40, -26).turned(gap)
	k.put(bright, outline, soft(5, -12, -10, 10, -10, 8, 20, -20, 66, -32, 62, -14, 10))
	k.screw(0, 0, 6)
	if plate != "" {
		s.put(paper, edge, softBox(8, -72, 120, 40, 3))
		s.screw(-46, -72, 4)
		s.screw(62, -72, 4)
		s.write(8, -72, plate, 15, ink)
	}
}

// onHook is the top of an apex fitting's bow in a hook's bight.
func (s sketch) onHook() {
	s.steel(smooth(-96, 250, -96, 150, -74, 96, -36, 62, -22, 60, -8, 62, 30, 96, 52, 150, 52, 250), 28)
}

func drawHookKeeper(s sketch) {
	s = s.at(0, -10)
	gap := 0.0
	if s.is("keeper", "weak") {
		gap = -62
	}
	s.cargoHook(gap, "")
	if s.is("keeper", "weak") {
		s.at(-40, -26).ink(look.Outline.WithWidth(look.Regular).WithDash(1.4, 1), soft(5, -12, -10, 10, -10, 8, 20, -20, 66, -32, 62, -14, 10))
	}
	s.say(-10, 136, "pressed in by hand and let go", draw.Middle)
}

func drawHookType(s sketch) {
	plate := "HOOK 25"
	if s.is("type", "other") {
		plate = "HOOK 40"
	}
	s.at(0, 6).sized(1.2).cargoHook(0, plate)
	s.card("plan: hook 25")
}

// testCard is the card on which the day's tests are written, in paper mm.
func (s sketch) testCard(done bool, rows ...string) {
	t := s.page().at(76, 54)
	h := 12 + 8*float64(len(rows))
	t.put(paper, outline, softBox(0, 0, 38, h, 1.5))
	t.put(metal, outline, softBox(0, -h/2, 14, 4, 1))
	t.write(0, -h/2+6, "TODAY", 2.6, ink)
	for i, r := range rows {
		y := -h/2 + 13 + 8*float64(i)
		t.list.Text(t.frame.apply(draw.Pt(-17, y)), r, look.Body.WithSize(3.2).At(draw.Start, draw.CapMiddle))
		t.ink(detail, line(-1, y+1.8, 17, y+1.8))
		if done {
			x := 8.0
			t.ink(outline, smooth(x-6, y+1, x-4, y-2, x-3, y+1, x-1, y-1.6, x, y+1, x+2, y-1.4, x+4, y+0.6, x+6, y-0.4))
		}
	}
}

func drawPendant(s sketch) {
	const w = 30.0
	s.wireLook(line(-120, 0, 120, 0), w)
	if s.is("sound", "damaged") {
		s.put(paper, noPen, box(0, -12, 46, 12))
		s.put(dark, edge, blob(-22, -16, -10, -4, 0, 0, 10, -5, 22, -16, 10, -10, 0, -7, -10, -10))
		for i := range 10 {
			x := -20 + 4.4*float64(i)
			s.wire(smooth(x, -6+0.5*float64(abs(i-5)), x+2*rough(i), -18, x+9*rough(i*3), -27-5*rough(i*7)), 2)
		}
	}
}

func abs(i int) int { return max(i, -i) }

// wireLook draws wire rope along a line.
func (s sketch) wireLook(p draw.Path, w float64) {
	s.laid(p, w, look.Metal)
	s.ink(hair.WithPaint(look.Load), shifted(p, -w*0.24))
	s.lay(p, w, 0.42)
	s.open(shifted(p, 0), 0.01, look.Ink)
}

type ropeLook func(s sketch, p draw.Path, w float64)

func wireRopeLook(s sketch, p draw.Path, w float64) { s.wireLook(p, w) }
func braidLook(s sketch, p draw.Path, w float64)    { s.braid(p, w) }

// pinnedEnd is the eye of a line in the fork of a fitting, with the pin through
// both: secured, unpinned (its cotter pin gone), worn.
func (s sketch) pinnedEnd(state string, rope ropeLook) {
	s = s.at(0, 6)
	// The fork comes from beneath, the line from above.
	s.put(metal, outline, softBox(0, 102, 52, 60, 6))
	s.steel(arc(0, -6, 36, 36, 90, 450), 24)
	rope(s, line(0, -170, 0, -70), 30)
	s.put(dull, outline, soft(4, -19, -100, 19, -100, 22, -44, -22, -44))
	s.ink(detail, line(-20, -86, 20, -86), line(-21, -60, 21, -60))
	for _, x := range []float64{-48, 48} {
		s.put(metal, outline, soft(10, x-13, -36, x+13, -36, x+13, 78, x-13, 78))
		s.shine(line(x, -24, x, 66), 26)
	}
	s.put(metal, outline, softBox(0, 82, 122, 26, 8))
	s.bar(line(-74, -6, 92, -6), 26, bright)
	s.shine(line(-70, -6, 88, -6), 26)
	for _, x := range []float64{-48, 48} {
		s.put(metal, outline, softBox(x, -6, 26, 46, 10))
		s.shine(line(x, -20, x, 8), 26)
	}
	s.at(-82, -6).boltHead(18, 44)
	switch state {
	case "unpinned":
		s.hole(78, -6, 5)
	case "worn":
		s.at(78, -6).cotter(13, 3.6)
		// The eye is worn through half of its bar where the pin bears.
		s.put(paper, noPen, blob(-16, 9, 0, 8, 16, 9, 13, 20, 0, 24, -13, 20))
		s.ink(outline, smooth(-20, 12, -13, 20, 0, 24, 13, 20, 20, 12))
		s.at(-40, -62).turned(14).crack(36)
	default:
		s.at(78, -6).cotter(13, 3.6)
	}
}

// layout is a pendant or long line on the ground, from above: load below, the
// place of the aircraft above. Lengths in real mm.
func (s sketch) layout(laid, skid bool) {
	load := s.at(-1500, 1600)
	load.put(bright, outline, box(0, 0, 1900, 1500))
	load.ink(detail, line(-950, -750, 950, 750), line(-950, 750, 950, -750))
	load.put(metal, outline, circle(0, 0, 170))
	s.say(-1500, 2650, "load", draw.Middle)
	const w = 110.0
	// The aircraft's place: a skid gear from above.
	air := s.at(1700, -1900)
	air.ink(outline.WithDash(2, 1.2), ellipse(0, 0, 900, 1250))
	for _, x := range []float64{-520, 520} {
		air.tube(line(x, -1000, x, 1000), 90, dull)
	}
	for _, y := range []float64{-450, 450} {
		air.tube(line(-520, y, 520, y), 80, dull)
	}
	s.say(1700, -2980, "aircraft", draw.Middle)
	var run draw.Path
	switch {
	case laid:
		run = smooth(-1500, 1600, -500, 1500, 600, 1700, 2300, 1600, 2700, 1200, 2300, 800, 600, 700, -400, 500, -700, 150, -300, -200, 700, -300, 1300, -700, 1700, -1500)
	case skid:
		run = smooth(-1500, 1600, -600, 900, -100, 200, 600, 300, 500, 900, -100, 800, -200, 100, 400, -300, 200, -1100, 600, -1700, 1150, -1600, 1250, -1100, 1000, -1500, 1700, -1900)
	default:
		run = smooth(-1500, 1600, -2300, 1000, -2600, 300, -2000, 200, -1700, 900, -900, 900, -200, 300, -600, -300, -1000, 100, -500, 500, 200, 300, 500, -500, 200, -900, 0, -400, 700, -500, 1200, -1100, 1700, -1500)
	}
	s.tubeIn(run, w, cloth, detail.Width, draw.CapRound)
	if skid && !laid {
		air.tube(line(-520, -200, -520, 1000), 90, dull)
	}
	if !laid && !skid {
		// It runs under a corner of the load.
		load.put(bright, noPen, poly(-950, -750, -400, -750, -500, -350, -950, 0))
		load.ink(outline, line(-950, 0, -950, -750, -400, -750))
		load.ink(detail, line(-950, -750, -430, -340))
	}
}

func drawPendantHook(s sketch) {
	s = s.at(10, -20)
	gap := 0.0
	if s.is("hook-end", "open") {
		gap = -66
	}
	s.wireLook(line(0, -240, 0, -150), 30)
	s.put(paper, noPen, box(0, 0, 1, 1))
	s.onHook()
	s.cargoHook(gap, "")
	// The bow passes behind the beam's tip and before its back.
	s.tube(smooth(-62, 84, -36, 62, -22, 60, -8, 62, 12, 76), 28, metal)
	s.shine(smooth(-62, 84, -36, 62, -22, 60, -8, 62, 12, 76), 28)
	beam := draw.Path{}
	beam.MoveTo(draw.Pt(-14, 110))
	beam.CubicTo(draw.Pt(-50, 112), draw.Pt(-78, 88), draw.Pt(-80, 44))
	beam.CubicTo(draw.Pt(-80, 30), draw.Pt(-60, 28), draw.Pt(-56, 44))
	beam.CubicTo(draw.Pt(-54, 70), draw.Pt(-34, 78), draw.Pt(-16, 76))
	s.put(metal, noPen, beam)
	s.ink(outline.WithWidth(0.6), draw.Path{Segs: beam.Segs})
}

func drawSetPlate(s sketch) {
	s.steel(circle(-44, -46, 30), 14)
	if s.is("legible", "missing") {
		s.wire(smooth(-28, -20, -20, -12, -24, -4, -16, 2), 3)
		s.wire(smooth(-34, -18, -30, -8, -36, -2), 3)
	} else {
		s.wire(smooth(-30, -20, -22, -10, -12, -8), 3)
		t := s.at(18, 24)
		t.put(bright, outline, softBox(0, 0, 112, 72, 6))
		t.ink(detail, softBox(0, 0, 104, 64, 4))
		t.hole(-46, -26, 4)
		for _, p := range [][2]float64{{46, -26}, {-46, 26}, {46, 26}} {
			t.screw(p[0], p[1], 3)
		}
		load := "25000 lb"
		if s.is("legible", "other") {
			load = "15000 lb"
		}
		t.write(0, -17, "SET A", 10, ink)
		t.write(0, 3, load, 12, ink)
		t.write(0, 22, "up to 45 deg", 7, ink)
	}
	s.card("plan: set A", "25000 lb, up to 45 deg")
}

// taggedLegs are the upper ends of legs side by side, each with its set's tag.
func (s sketch) taggedLegs(sets ...string) {
	n := float64(len(sets))
	for i, set := range sets {
		x := (float64(i) - (n-1)/2) * 64
		t := s.at(x, 0)
		t.braid(line(0, -20, 0, 170), 26)
		t.at(0, -74).socketBody(24)
		t.at(0, -74).ring(22, 14)
		t.at(0, -74).socketNeck(24)
		t = t.at(0, 0)
		_ = set
	}
	for i, set := range sets {
		x := (float64(i) - (n-1)/2) * 64
		t := s.at(x, 78)
		t.cord(line(-15, -26, 15, -26), 4)
		t.put(paper, outline, softBox(0, 0, 50, 44, 4))
		t.write(0, -7, set, 17, ink)
		t.write(0, 13, map[string]string{"A": "0417", "B": "0388"}[set], 9, ink)
	}
}
