package closeup

import (
	"strconv"

	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

var chainFigures = []Figure{
	{
		ID: "grab-hook", Title: "grab hook, its keeper and the link it holds", scale: 0.46, bar: 50,
		Attributes: []Attribute{
			attr("keeper", "closed", "open", "missing", "bent"),
			attr("seating", "seated", "half-seated", "on-tip"),
			attr("hook", "sound", "cracked", "spread"),
		},
		draw: drawGrabHook,
	},
	{
		ID: "chain-count", Title: "chain in the grab hook, from the load to the free end", scale: 0.19, bar: 100,
		Numbers: []Number{{"held", 1, 48, 5}},
		draw:    drawChainCount,
	},
	{
		ID: "chain", Title: "run of chain", scale: 0.38, bar: 50,
		Attributes: []Attribute{
			attr("lie", "straight", "twisted", "kinked", "knotted"),
			attr("wear", "sound", "worn", "stretched", "gouged", "bent", "cracked", "rusted"),
		},
		draw: drawChain,
	},
	{
		ID: "excess-chain", Title: "excess chain beyond the grab hook", scale: 0.21, bar: 100,
		Attributes: []Attribute{
			attr("secured", "secured", "hanging-loose", "wrong-run", "half-secured"),
			attr("material", "right", "wire", "cord"),
		},
		draw: drawExcess,
	},
}

// hookBody is the outline of a grab hook in the frame of its saddle: the bottom
// of the slot at the origin, the slot open upwards. spread bends the tip out.
func hookBody(spread float64) draw.Path {
	var p draw.Path
	move := func(x, y float64) draw.Point {
		if y > 10 || x < 0 {
			return draw.Pt(x, y)
		}
		// Turned about the saddle, the more the higher.
		return frame{1, 0, 0, 1, 0, 0}.then(turned(spread)).apply(draw.Pt(x, y))
	}
	q := func(x, y float64) draw.Point { return move(x, y) }
	p.MoveTo(q(-6, -6))
	p.LineTo(q(-7, -48))
	p.CubicTo(q(-8, -64), q(-2, -72), q(6, -80))
	p.CubicTo(q(20, -94), q(20, -122), q(0, -128))
	p.CubicTo(q(-16, -132), q(-30, -122), q(-30, -104))
	p.CubicTo(q(-30, -86), q(-34, -60), q(-36, -34))
	p.CubicTo(q(-38, 0), q(-26, 32), q(2, 33))
	p.CubicTo(q(28, 33), q(38, 8), q(37, -16))
	p.CubicTo(q(36, -34), q(34, -44), q(28, -50))
	p.CubicTo(q(22, -55), q(12, -52), q(10, -42))
	p.CubicTo(q(8, -34), q(6, -24), q(6, -6))
	p.CubicTo(q(6, 2), q(-6, 2), q(-6, -6))
	p.Close()
	return p
}

func drawGrabHook(s sketch) {
	s = s.at(4, 22)
	// The link above, by which the hook hangs, and the free chain behind.
	s.at(-7, -128).turned(90).linkOf(48, 13, 0)
	tail := smooth(4, -8, 26, 14, 40, 50, 42, 90, 38, 140)
	s.chain(tail, straight(0))

	spread := 0.0
	if s.is("hook", "spread") {
		spread = 24
	}
	body := hookBody(spread)
	s.put(metal, outline.WithWidth(0.6), join(body, circle(-7, -104, 11)))
	s.ink(detail, smooth(-26, -88, -29, -50, -29, -10, -18, 18, 4, 24))
	// The bar of the upper link passes through the eye in front.
	s.at(-7, -118).turned(90).steel(line(-2, 0, 20, 0), 13)
	if s.is("hook", "cracked") {
		s.at(-38, 2).turned(8).crack(34)
	}

	held := s.at(0, -16.5)
	drop := 0.0
	switch {
	case s.is("seating", "half-seated"):
		held, drop = s.at(2, -36).turned(14), -22
	case s.is("seating", "on-tip"):
		held, drop = s.at(20, -64).turned(70), -40
	}
	// The loaded chain hangs before the hook from the held link.
	load := s.at(0, 4.5+drop)
	if s.is("seating", "on-tip") {
		load = s.at(17, 4.5+drop)
	}
	load.chain(line(0, 0, 0, 200), straight(0))
	held.turned(90).link(90)

	keeper := s.at(-22, -66)
	switch {
	case s.is("keeper", "missing"):
	case s.is("keeper", "closed"):
		keeper.turned(14).keeper(0)
	case s.is("keeper", "open"):
		keeper.turned(-52).keeper(0)
	case s.is("keeper", "bent"):
		keeper.turned(6).keeper(1)
	}
	if s.is("keeper", "missing") {
		s.hole(-22, -66, 4)
	}
}

// keeper is the sprung tongue of a hook: its pivot at the origin, its end
// towards +x; bent curls the end up.
func (s sketch) keeper(bent float64) {
	p := soft(4, -9, -9, 10, -9, 50, -5, 52, 4, 8, 9, -9, 9)
	if bent > 0 {
		p = blob(-9, -2, -4, -9, 8, -9, 24, -7, 34, -18, 44, -34, 52, -30, 46, -14, 34, 0, 22, 8, 4, 9, -6, 7)
	}
	s.put(bright, outline, p)
	if bent > 0 {
		s.ink(detail, line(26, -8, 31, 4))
	} else {
		s.ink(detail, line(8, 0, 44, 0))
	}
	s.put(metal, edge, circle(0, 0, 6))
	s.wire(arc(0, 0, 3, 3, 0, 320), 1.4)
}

func drawChainCount(s sketch) {
	held := s.number["held"]
	// The hook's plate stands across the chain: the chain passes over its saddle.
	const hookX, row = -150.0, 15
	s = s.at(0, -120)
	// Free links, the free end last, in rows that turn back at the edge.
	var path draw.Path
	left, right, drop := hookX, 210.0, 100.0
	path.MoveTo(draw.Pt(left, 0))
	x := right
	y := 0.0
	dir := 1.0
	for range 4 {
		path.LineTo(draw.Pt(x, y))
		path.ArcTo(draw.Pt(x, y+drop/2), drop/2, drop/2, 0, -90, -90+180*dir)
		y += drop
		dir = -dir
		if dir < 0 {
			x = -190
		} else {
			x = right
		}
	}
	links := walk(path, 0, pitch)
	links = links[:min(len(links), held)]
	s.open(line(hookX-16, 0, hookX-16, 0), 1, metal)
	// Loaded chain comes from the left below.
	s.at(hookX, 0).chain(smooth(-pitch, 0, -pitch*1.6, 4, -70, 90, -76, 330), straight(90))
	for _, edgeOn := range []bool{false, true} {
		for i, t := range links {
			if (i%2 == 1) == edgeOn {
				a := 0.0
				if edgeOn {
					a = 90
				}
				s.on(t).link(a)
			}
		}
	}
	// The hook before it, seen from its edge.
	s.at(hookX, 0).put(metal, outline, soft(8, -8, -150, 8, -150, 9, 36, -9, 36))
	s.at(hookX, -126).put(bright, edge, softBox(0, 0, 34, 12, 4))
	if s.notes {
		for i, t := range links {
			p := s.frame.apply(t.at.Add(draw.Pt(0, -30)))
			s.list.Text(p, strconv.Itoa(held-i), look.OnDrawing.WithSize(2.6).At(draw.Middle, draw.CapMiddle))
		}
	}
}

func drawChain(s sketch) {
	const n = 7
	s = s.at(-pitch*(n-1)/2, 0)
	at := func(i int) sketch { return s.at(pitch*float64(i), 0) }
	turn := straight(0)
	switch {
	case s.is("lie", "twisted"):
		turn = func(i int) float64 { return float64(90*(i%2)) + 30*float64(i) }
	}
	s.chain(line(-2*pitch, 0, pitch*(n+1)+1, 0), func(i int) float64 { return turn(i) })
	_ = at
}

func drawExcess(s sketch) {}
