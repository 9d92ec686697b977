package closeup

import (
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

var apexFigures = []Figure{
	{ID: "apex-fitting", Views: []View{
		{
			Title: "apex fitting with its pin, nut and cotter pin", scale: 0.305, bar: 50,
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
	s = s.at(-8, 22)
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
		s.at(-84, -84).turned(-20).crack(44)
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
		for _, q := range [][]float64{{-310, 20}, {-190, -100}, {110, 30}, {250, -96}} {
			m := from.Lerp(draw.Pt(q[0], q[1]), 0.5).Add(draw.Pt(0, 26))
			s.strand(26, cloth, from, m, draw.Pt(q[0], q[1]))
			s.at(q[0], q[1]).steel(circle(0, 0, 12), 9)
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
