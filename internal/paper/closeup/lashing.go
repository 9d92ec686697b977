package closeup

import (
	"hangtrue/internal/paper/draw"
)

var tieFigures = []Figure{
	{ID: "breakaway-tie", Views: []View{
		{
			Title: "tie that holds the legs together on the load", scale: 0.3, bar: 100,
			Attributes: []Attribute{
				attr("present", "there", "missing"),
				attr("material", "breakaway", "cord", "doubled"),
				attr("place", "planned", "on-hook", "low"),
			},
			draw: drawBreakaway,
		},
		{
			Title: "ties along a bundle of legs", scale: 0.3, bar: 100,
			Attributes: []Attribute{attr("number", "planned", "more", "fewer")},
			draw: func(s sketch) {
				n := map[string]int{"planned": 2, "more": 4, "fewer": 1}[s.state["number"]]
				s.tiedBundle(n, func(t sketch, w float64) { t.cottonTie(w) })
				s.card("plan: 2 ties")
			},
		},
	}},
	{ID: "securing-tie", Views: []View{
		{
			Title: "tie that holds something on the load", scale: 0.55, bar: 50,
			Attributes: []Attribute{
				attr("present", "there", "missing"),
				attr("material", "holds", "breakaway", "wire"),
				attr("knot", "holds", "slips"),
			},
			draw: drawSecuring,
		},
		{
			Title: "ties along what they hold", scale: 0.3, bar: 100,
			Attributes: []Attribute{attr("number", "planned", "fewer")},
			draw: func(s sketch) {
				n := 3
				if s.is("number", "fewer") {
					n = 2
				}
				s.tiedBundle(n, func(t sketch, w float64) { t.cordTie(w, 6, 3) })
				s.card("plan: 3 ties")
			},
		},
	}},
	{ID: "tie-down", Views: []View{{
		Title: "lashing on the load", scale: 0.36, bar: 50,
		Attributes: []Attribute{attr("tight", "tight", "slack", "tail"), attr("sound", "whole", "cut")},
		draw:       drawTieDown,
	}}},
	{ID: "padding", Views: []View{{
		Title: "padding between a leg and an edge", scale: 0.42, bar: 50,
		Attributes: []Attribute{attr("in-place", "there", "slipped", "missing"), attr("held", "held", "loose")},
		draw: func(s sketch) {
			s.corner(s.state["in-place"], s.is("held", "held"))
		},
	}}},
	{ID: "tape", Views: []View{{
		Title: "tape round a cable and a bar", scale: 0.7, bar: 20,
		Attributes: []Attribute{attr("whole", "whole", "slit", "lifting"), attr("kind", "planned", "other")},
		draw:       drawTape,
	}}},
}

func drawBreakaway(s sketch) {
	s = s.at(0, -8)
	// The load's top edge, two legs side by side above their grab hooks.
	s.put(dull, outline, poly(-240, 84, 130, 84, 130, 400, -240, 400))
	s.put(paper, outline, poly(-240, 84, -170, 20, 240, 20, 130, 84))
	s.put(bright, outline, poly(130, 84, 240, 20, 240, 400, 130, 400))
	handle := s.at(-60, 134)
	handle.tube(line(-50, 0, -50, -26, 50, -26, 50, 0), 14, metal)
	const w = 30.0
	gap := 18.0
	if s.is("present", "missing") || s.is("place", "low") {
		gap = 60
	}
	leg := func(x, foot float64) {
		s.braid(smooth(x*0.55, -260, x, -130, foot+(x-foot)*0.6, -96, foot-4, -60), w)
		t := s.at(foot, 52).sized(0.62)
		t.put(metal, outline, soft(6, -34, -196, 20, -196, 24, -120, -38, -120))
		t.chain(smooth(0, 4, -60*sign(x), 40, -200*sign(x), 46), straight(0))
		t.put(metal, outline.WithWidth(0.6), join(hookBody(0), circle(-7, -105, 11)))
		t.keeperAt().turned(keeperShut).keeper()
		t.at(0, -16.5).turned(90).link(90)
	}
	leg(-gap, -34)
	leg(gap, 36)
	t := s.at(0, -96)
	width := 2*gap + w + 2
	switch {
	case s.is("present", "missing"):
		return
	case s.is("place", "on-hook"):
		t = s.at(2, 10)
		width = 102
	case s.is("place", "low"):
		// Down on the side of the load, round one leg's chain and a handle.
		handle.at(0, -26).turned(90).cottonTie(28)
		return
	}
	switch s.state["material"] {
	case "cord":
		t.cordTie(width, 8, 3)
	case "doubled":
		t.at(0, -26).cottonTie(width)
		t.at(0, 16).cottonTie(width)
	default:
		t.cottonTie(width)
	}
}

func sign(x float64) float64 {
	if x < 0 {
		return -1
	}
	return 1
}

// tiedBundle is a bundle with n ties spread along it.
func (s sketch) tiedBundle(n int, tie func(t sketch, w float64)) {
	for _, x := range []float64{-17, 17} {
		s.braid(line(x, -200, x, 200), 32)
	}
	for i := range n {
		y := 0.0
		if n > 1 {
			y = -90 + 180*float64(i)/float64(n-1)
		}
		tie(s.at(0, y-10), 66)
	}
}

func drawSecuring(s sketch) {
	// A hose held to a rail.
	s.tube(line(-10, -120, -10, 120), 34, bright)
	s.shine(line(-10, -120, -10, 120), 34)
	x := 26.0
	hose := line(x, -120, x, 120)
	if s.is("present", "missing") {
		hose = smooth(x, -120, x+4, -60, x+30, 0, x+26, 60, x+6, 120)
	}
	s.open(hose, 30, dark)
	s.ink(hair.WithPaint(paper), shifted(hose, 6))
	if s.is("present", "missing") {
		return
	}
	t := s.at(8, -16)
	switch {
	case s.is("material", "breakaway"):
		t.cottonTie(72)
	case s.is("material", "wire"):
		t.wireTie(70, 4)
	case s.is("knot", "slips"):
		// The turns stand off, the knot has opened into a loop.
		for i := range 4 {
			y := -14 + 11*float64(i)
			t.cord(smooth(-42, y+3, 0, y+9, 42, y-6), 6)
		}
		t.cord(smooth(30, 24, 52, 34, 60, 60, 44, 74, 32, 56, 44, 38, 66, 46, 74, 78), 6)
		t.cord(smooth(-30, 28, -46, 46, -40, 76, -52, 92), 6)
	default:
		t.cordTie(70, 6, 4)
	}
}

func drawTieDown(s sketch) {
	s = s.at(0, 40)
	// A case held down on a deck by a strap over it.
	s.put(dull, outline, box(0, 104, 400, 60))
	s.put(bright, outline, box(-6, 4, 176, 140))
	s.ink(hair, line(-94, -20, 82, -20), line(-94, 26, 82, 26))
	for _, x := range []float64{-118, 106} {
		s.tube(arc(x, 60, 13, 15, 0, 360), 7, metal)
		s.put(metal, edge, softBox(x, 73, 26, 8, 2))
	}
	over := line(-116, 52, -98, -70, 86, -70, 104, 52)
	if s.is("tight", "slack") {
		over = smooth(-116, 52, -120, 0, -128, -50, -104, -104, -60, -88, -10, -112, 40, -90, 84, -106, 118, -66, 112, 0, 104, 52)
	}
	s.tubeIn(over, 22, cloth, outline.Width, draw.CapButt)
	s.ink(hair, shifted(over, 5), shifted(over, -5))
	if s.is("sound", "cut") {
		t := s.at(40, -70)
		t.put(ink, noPen, poly(-7, 12, -1, -2, 6, 12))
		t.put(paper, outline, poly(-6, 12, 0, -3, 6, 12))
		for i := range 4 {
			t.tubeIn(smooth(-4+2.4*float64(i), 4, -5+3*float64(i), 11, -8+5*float64(i), 17), 2, cloth, hair.Width, draw.CapRound)
		}
	}
	// The buckle on the left run and the tail beyond it.
	b := s.at(-107, -8).turned(-8)
	if s.is("tight", "slack") {
		b = s.at(-121, -8).turned(-4)
	}
	b.put(metal, outline, softBox(0, 0, 40, 34, 4))
	b.put(bright, outline, softBox(0, -4, 28, 12, 2))
	b.ink(detail, line(-16, 8, 16, 8))
	tail := smooth(-104, -28, -110, -50, -92, -84, -40, -86, 10, -85)
	switch {
	case s.is("tight", "tail"):
		tail = smooth(-110, -24, -126, -50, -112, -86, -70, -96, -44, -124, 0, -112, 30, -138)
	case s.is("tight", "slack"):
		tail = smooth(-124, -26, -140, -60, -116, -122, -60, -106, -10, -130, 10, -124)
	}
	s.tubeIn(tail, 16, cloth, outline.Width, draw.CapButt)
	s.ink(hair, shifted(tail, 0))
	if !s.is("tight", "tail") {
		t := s.at(-16, -78)
		if s.is("tight", "slack") {
			t = s.at(-16, -118)
		}
		t.turned(90).tapeBand(46, 18, dark)
	}
}

func drawTape(s sketch) {
	s.tube(line(-90, 16, 90, 16), 30, bright)
	s.shine(line(-90, 16, 90, 16), 30)
	cable := smooth(-90, -12, -40, -12, 0, -10, 40, -12, 90, -14)
	s.open(cable, 18, dark)
	s.ink(hair.WithPaint(paper), shifted(cable, -3))
	if s.is("kind", "other") {
		// Clear film with bubbles instead of cloth tape.
		s.put(paper, outline, poly(-22, -23, 24, -23, 22, 33, -24, 33))
		for i := range 14 {
			s.ink(hair, circle(18*rough(i*3+2), 5+22*rough(i*5+1), 2+1.4*rough(i)))
		}
		s.ink(hair, line(-18, -14, 10, -20), line(-14, 26, 18, 20))
		return
	}
	s.put(dull, outline, poly(-22, -23, 24, -23, 22, 33, -24, 33))
	for x := -18.0; x < 22; x += 3.2 {
		s.ink(hair, line(x, -22, x-1.4, 32))
	}
	s.ink(detail, line(-8, -23, -10, 33), line(9, -23, 7, 33))
	switch s.state["whole"] {
	case "slit":
		s.put(ink, noPen, poly(-23, 6, -10, 3, 4, 5, 23, 2, 23, 6, 4, 9, -10, 7, -23, 9))
	case "lifting":
		s.put(paper, outline, soft(2, 7, 12, 24, 12, 44, 30, 50, 44, 34, 48, 28, 36, 8, 30))
		s.ink(hair, line(26, 16, 40, 44), line(32, 20, 46, 38))
		s.put(dull, edge, poly(7, 12, 24, 12, 28, 18, 10, 20))
	default:
		s.ink(detail, line(14, -23, 15.5, -8, 13, 6, 15, 20, 13, 33))
	}
}
