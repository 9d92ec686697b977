package closeup

import (
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

var chainFigures = []Figure{
	{ID: "chain", Views: []View{
		{
			Title: "run of chain", scale: 0.74, bar: 20,
			Attributes: []Attribute{
				attr("twist", "straight", "twisted", "knotted"),
				attr("wear", "full", "worn"),
				attr("links", "whole", "bent", "stretched", "cracked"),
				attr("heat", "none", "blued"),
				attr("rust", "clean", "pitted"),
			},
			draw: drawChain,
		},
		{
			Title: "the loop of a chain through its point", scale: 0.13, bar: 200,
			Attributes: []Attribute{attr("routing", "through", "beside", "one-run")},
			draw:       drawRouting,
		},
		{
			Title: "the loop of a chain through several points", scale: 0.06, bar: 500,
			Attributes: []Attribute{attr("order", "in-order", "missed", "crossed")},
			draw:       drawOrder,
		},
	}},
	{ID: "excess-chain", Views: []View{{
		Title: "excess chain beyond the grab hook", scale: 0.19, bar: 100,
		Attributes: []Attribute{
			attr("held", "held", "hanging", "loose"),
			attr("run", "own", "both", "other"),
			attr("tie", "right", "weak", "wire"),
			attr("below-hook", "away", "in-keeper"),
		},
		draw: drawExcess,
	}}},
}

func drawChain(s sketch) {
	x0 := -4 * pitch
	run := line(x0, 0, -x0, 0)
	at := func(i int) sketch { return s.at(pitch*float64(i), 0) }
	switch {
	case s.is("twist", "twisted"):
		s.chain(run, func(i int) float64 { return float64(90*(i%2)) + 30*float64(i) })
		return
	case s.is("twist", "knotted"):
		s.chain(line(x0, 0, -40, 0), straight(0))
		s.chain(line(46, 4, 130, 4), straight(90))
		for _, t := range []struct{ x, y, turn, roll float64 }{
			{-26, 4, 28, 0}, {14, -14, -52, 60}, {30, 10, 74, 0}, {-8, 20, 12, 90}, {4, -6, 40, 0}, {-10, -18, -24, 70}, {20, -2, 110, 90},
		} {
			s.at(t.x, t.y).turned(t.turn).link(t.roll)
		}
		return
	case s.is("links", "stretched"):
		// The middle links are longer and drawn in, their wire thinner.
		s.chain(line(x0-20, 0, -70, 0), straight(0))
		s.chain(line(-x0+20, 0, 70, 0), straight(0))
		s.steel(stadium(pitch+15+wire, 15.5), wire*0.82)
		for _, x := range []float64{-1, 1} {
			s.at(x*(pitch+11), 0).linkOf(pitch+7, wire*0.84, 90)
		}
		return
	}
	s.chain(run, straight(0))
	switch {
	case s.is("wear", "worn"):
		// The wire is gone where the middle link bears on the next.
		at(0).thinned()
	case s.is("links", "bent"):
		at(0).put(paper, noPen, box(0, 0, pitch+2*wire+1, wide+2))
		p := blob(-19, -3, -14, -13, -2, -19, 10, -14, 20, -9, 21, 3, 13, 14, 1, 9, -12, 14, -19, 8)
		s.steel(p, wire)
		for _, x := range []float64{-1, 1} {
			at(int(x)).link(90)
		}
	case s.is("links", "cracked"):
		at(0).turned(90).at(-wide/2-3, -4).crack(17)
		s.put(ink, noPen, poly(-2, -17.5, 5, -17.5, 1, -11))
	case s.is("heat", "blued"):
		s.heated(run)
	case s.is("rust", "pitted"):
		for i := -3; i <= 3; i++ {
			t := at(i)
			if i%2 == 0 {
				for j, p := range walk(stadium(pitch+wire, wide-wire), 2, 3.1) {
					t.put(ink, noPen, circle(p.at.X+2.4*rough(j+i*7), p.at.Y+2.4*rough(j*3+i), 1.1+0.5*rough(j*5+i)))
				}
			} else {
				t.speckle(pitch+wire, wire*0.8, 18, 1.2, ink)
			}
		}
	}
}

// thinned is a link worn at its right end, with the next link drawn over it.
func (s sketch) thinned() {
	s.put(paper, noPen, box(0, 0, pitch+2*wire+2, wide+2))
	outer := soft(16, -23.5, -16.5, 20, -16.5, 20, 16.5, -23.5, 16.5)
	inner := soft(7, -14, -7, 10, -7, 18.7, -7.6, 18.7, 7.6, 10, 7, -14, 7)
	s.put(metal, outline, join(outer, inner))
	s.shine(line(-8, -12, 8, -12), wire)
	s.at(-pitch, 0).link(90)
	// The next link has moved into the worn place and is worn itself.
	s.at(pitch, 0).put(metal, outline, soft(2, -14, -2.8, -7, -2.8, -3.6, -4.75, 23.5, -4.75, 23.5, 4.75, -3.6, 4.75, -7, 2.8, -14, 2.8))
	s.at(pitch, 0).shine(line(2, 0, 17, 0), wire)
}

// heated puts bands of heat colour over the middle of a run: the sheen is drawn
// as hatching that is closer in the middle, since colour may not be seen.
func (s sketch) heated(draw.Path) {
	for i := -2; i <= 2; i++ {
		t := s.at(pitch*float64(i), 0)
		fill := look.Series6
		if i == -2 || i == 2 {
			fill = look.Rope
		}
		if i%2 == 0 {
			t.tube(stadium(pitch+wire, wide-wire), wire, fill)
		}
	}
	for i := -3; i <= 3; i += 2 {
		t := s.at(pitch*float64(i), 0)
		fill := look.Series6
		if i == -3 || i == 3 {
			fill = look.Metal
		}
		t.tube(line(-(pitch+wire)/2, 0, (pitch+wire)/2, 0), wire, fill)
	}
	// Beads of weld spatter.
	for i := range 9 {
		s.put(ink, noPen, circle(-34+8.5*float64(i), 7+8*rough(i*3+1), 1.6+0.7*rough(i)))
	}
}

func drawRouting(s sketch) {
	s = s.at(0, -270)
	// The load's top, with its point: a staple on a plate, and a step beside it.
	s.put(dull, outline, poly(-420, 440, 420, 440, 420, 760, -420, 760))
	s.ink(detail, line(-420, 470, 420, 470))
	step := s.at(190, 440)
	step.tube(line(-60, 0, -60, -60, 60, -60, 60, 0), 22, bright)
	s.put(bright, outline, box(0, 432, 190, 20))
	staple := line(-48, 424, -48, 372, -30, 346, 30, 346, 48, 372, 48, 424)
	s.tube(staple, 30, metal)
	top := 346.0
	end := draw.Pt(0, top+8)
	if s.is("routing", "beside") {
		end = draw.Pt(190, 440-60)
	}
	if s.is("routing", "one-run") {
		// The right run is hooked under the step and hangs slack above it.
		s.chain(smooth(-14, 0, -14, 150, -10, 300, 0, end.Y+10), straight(0))
		s.chain(smooth(14, 0, 60, 120, 200, 200, 232, 300, 222, 384), straight(0))
		s.chain(smooth(222, 398, 150, 414, 90, 408, 30, 380), straight(90))
		step.tube(line(-60, 0, -60, -60, 10, -60), 22, bright)
	} else {
		s.chain(smooth(-14, 0, end.X*0.4-14, 150, end.X-12, end.Y-60, end.X, end.Y+8), straight(0))
		s.chain(smooth(14, 0, end.X*0.4+16, 150, end.X+14, end.Y-60, end.X+2, end.Y), straight(90))
		if s.is("routing", "beside") {
			step.tube(line(-60, 0, -60, -60, -4, -60), 22, bright)
		}
	}
	if !s.is("routing", "beside") {
		s.tube(part(staple, 52, 110), 30, metal)
	}
	s.at(0, -18).miniHook()
}

// miniHook is a grab hook in a scene: its saddle at the origin.
func (s sketch) miniHook() {
	s.open(line(-7, -400, -7, -150), 28, cloth)
	s.braiding(line(-7, -400, -7, -150), 28)
	s.put(metal, outline, soft(6, -25, -190, 11, -190, 16, -134, -30, -134))
	s.put(metal, outline, join(hookBody(0), circle(-7, -105, 11)))
	s.keeperAt().turned(keeperShut).put(bright, edge, soft(4, -9, -9, 46, -5, 48, 4, -9, 9))
	s.at(0, -16.5).turned(90).link(90)
}

func drawOrder(s sketch) {
	// Three bodies stand in a row, each with an eye on top, numbered.
	xs := []float64{-480, 0, 480}
	y := 420.0
	for i, x := range xs {
		s.put(dull, outline, box(x, y+170, 400, 340))
		s.steel(arc(x, y-20, 46, 60, 180, 360), 26)
		s.write(x, y+130, string(rune('1'+i)), 110, ink)
	}
	order := []int{0, 1, 2}
	switch {
	case s.is("order", "missed"):
		order = []int{0, 2}
	case s.is("order", "crossed"):
		order = []int{1, 0, 2}
	}
	apex := draw.Pt(0, -420)
	path := []draw.Point{apex.Add(draw.Pt(-30, 0))}
	for _, i := range order {
		path = append(path, draw.Pt(xs[i], y-66))
	}
	path = append(path, apex.Add(draw.Pt(30, 0)))
	for i := 1; i < len(path); i++ {
		a, b := path[i-1], path[i]
		if i > 1 && i < len(path)-1 {
			// Between points the chain sags a little, each crossing beneath the last.
			m := a.Lerp(b, 0.5).Add(draw.Pt(0, 46*float64(i)-30))
			s.mesh(smooth(a.X, a.Y, m.X, m.Y, b.X, b.Y))
			continue
		}
		s.mesh(line(a.X, a.Y, b.X, b.Y))
	}
	for _, x := range xs {
		s.steel(arc(x, y-20, 46, 60, 230, 262), 26)
	}
	s.at(0, -400).sized(1.9).miniHook()
	s.card("plan: 1 - 2 - 3")
}

// mesh is a chain too far away to count: its links as beads.
func (s sketch) mesh(p draw.Path) {
	const step = 46.0
	for _, t := range walk(p, step/2, step) {
		s.on(t).tubeIn(stadium(34, 14), 9, metal, hair.Width, draw.CapRound)
	}
	for _, t := range walk(p, step, step) {
		s.on(t).tubeIn(line(-16, 0, 16, 0), 10, metal, hair.Width, draw.CapRound)
	}
}

func drawExcess(s sketch) {
	s = s.at(-60, -40)
	// The two loaded runs, and another leg's run to the right.
	left, right := line(-52, -100, -64, 500), line(0, 4.5, 6, 500)
	other := line(190, -420, 190, 500)
	s.chain(other, straight(0))
	s.tube(line(-7, -134, -52, -118), 18, metal)
	s.chain(left, straight(0))
	s.chain(right, straight(0))
	tie := func(x, y, w float64) {
		t := s.at(x, y)
		switch {
		case s.is("tie", "weak"):
			t.cottonTie(w)
		case s.is("tie", "wire"):
			t.wireTie(w, 5)
		default:
			t.cordTie(w, 7, 4)
		}
	}
	tail := smooth(4, -8, 30, 10, 48, 50, 50, 120, 40, 200, 34, 290)
	knots := []draw.Point{{X: 24, Y: 120}, {X: 22, Y: 250}}
	width := 62.0
	switch {
	case s.is("below-hook", "in-keeper"):
		// The tail comes up before the hook and a link of it lies in the keeper.
		tail = smooth(4, -8, 44, -20, 56, 10, 52, 90, 44, 180, 38, 230)
	case s.is("held", "hanging"):
		tail = smooth(4, -8, 40, 0, 70, 30, 84, 110, 90, 210, 88, 340)
		knots = nil
	case s.is("held", "loose"):
		tail = smooth(4, -8, 40, 0, 76, 40, 90, 120, 70, 200, 80, 300)
		width = 110
		knots = []draw.Point{{X: 44, Y: 190}}
	case s.is("run", "both"):
		tail = smooth(4, -8, 36, 10, 40, 60, -30, 120, -84, 160, -30, 196, 34, 230, -20, 280, -70, 320)
		knots = []draw.Point{{X: -30, Y: 240}}
		width = 126
	case s.is("run", "other"):
		tail = smooth(4, -8, 40, 0, 90, 60, 140, 130, 166, 200, 162, 320)
		knots = []draw.Point{{X: 178, Y: 210}, {X: 176, Y: 290}}
	}
	s.chain(tail, straight(0))
	s.hookOnly(0)
	s.at(0, 4.5).chain(line(0, 0, 0, 64), straight(0))
	s.at(0, -16.5).turned(90).link(90)
	k := s.keeperAt()
	if s.is("below-hook", "in-keeper") {
		s.at(16, -58).turned(-24).link(20)
		s.at(36, -36).turned(58).link(90)
		k.turned(-16).keeper()
	} else {
		k.turned(keeperShut).keeper()
	}
	for _, p := range knots {
		tie(p.X, p.Y, width)
	}
}
