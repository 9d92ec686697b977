package closeup

import "hangtrue/internal/paper/draw"

var netFigures = []Figure{
	{ID: "cargo-net", Views: []View{
		{
			Title: "mesh and border of a cargo net", scale: 0.12, bar: 200,
			Attributes: []Attribute{attr("mesh", "whole", "cut", "wide"), attr("border", "whole", "cut")},
			draw:       drawMesh,
		},
		{
			Title: "lifting straps of a cargo net, gathered", scale: 0.15, bar: 200,
			Attributes: []Attribute{attr("straps", "all", "missing", "burred")},
			draw:       drawNetStraps,
		},
		{
			Title: "cargo net over its load", scale: 0.032, bar: 500,
			Attributes: []Attribute{attr("closure", "closed", "open"), attr("contents", "held", "light")},
			draw:       drawNet,
		},
	}},
	{ID: "cargo-bag", Views: []View{{
		Title: "cargo bag", scale: 0.042, bar: 500,
		Attributes: []Attribute{
			attr("fabric", "whole", "torn"), attr("straps", "all", "missing", "frayed"),
			attr("closure", "shut", "open"), attr("label", "legible", "missing", "used"),
		},
		draw: drawBag,
	}}},
}

// netting draws square mesh over a rectangle, its cords spaced apart, set back
// from the border at the top. cut leaves a hole about its middle.
func (s sketch) netting(w, h, space, cord float64, cut bool) {
	nx, ny := int(w/space), int(h/space)
	x0, y0 := -space*float64(nx)/2, -h/2
	node := func(i, j int) draw.Point {
		return draw.Pt(x0+space*float64(i)+space*0.05*rough(i*7+j*3), y0+space*float64(j)+space*0.05*rough(i*5+j*11))
	}
	ci, cj := nx/2, ny/2
	gone := func(a, b [2]int) bool {
		if !cut {
			return false
		}
		mid := [2]int{ci, cj}
		return a == mid || b == mid || (a == [2]int{ci, cj + 1} && b == [2]int{ci + 1, cj + 1})
	}
	seg := func(a, b [2]int) {
		p, q := node(a[0], a[1]), node(b[0], b[1])
		if !gone(a, b) {
			s.laid(line(p.X, p.Y, q.X, q.Y), cord, cloth)
			return
		}
		// The ends that are left hang from their knots.
		for k, e := range []draw.Point{p, q} {
			at := a
			if k == 1 {
				at = b
			}
			if at == [2]int{ci, cj} {
				continue
			}
			o := p
			if k == 0 {
				o = q
			}
			m := e.Lerp(o, 0.3)
			d := smooth(e.X, e.Y, m.X, m.Y+space*0.1, m.X+space*0.06*rough(k+a[0]*3+b[1]), m.Y+space*0.3)
			s.laid(d, cord, cloth)
			end := walk(d, along(d)-0.5, 99)
			if len(end) > 0 {
				s.on(end[0]).yarns(cord, cord*1.1, 4)
			}
		}
	}
	for j := 0; j <= ny; j++ {
		for i := range nx {
			seg([2]int{i, j}, [2]int{i + 1, j})
		}
	}
	for i := 0; i <= nx; i++ {
		for j := range ny {
			seg([2]int{i, j}, [2]int{i, j + 1})
		}
	}
	for i := 0; i <= nx; i++ {
		for j := 0; j <= ny; j++ {
			if cut && i == ci && j == cj {
				continue
			}
			p := node(i, j)
			s.at(p.X, p.Y).put(cloth, edge, blob(-cord*0.8, -cord*0.5, cord*0.1, -cord*0.9, cord*0.9, -cord*0.2, cord*0.5, cord*0.8, -cord*0.6, cord*0.7))
			s.at(p.X, p.Y).ink(hair, line(-cord*0.5, -cord*0.4, cord*0.5, cord*0.5), line(cord*0.4, -cord*0.5, -cord*0.4, cord*0.4))
		}
	}
}

func drawMesh(s sketch) {
	s = s.at(0, 30)
	space := 150.0
	if s.is("mesh", "wide") {
		space = 300
	}
	// What lies in the net: logs of firewood.
	for i := range 5 {
		for j := range 4 {
			x, y := -360+180*float64(i), -200+190*float64(j)
			s.put(bright, edge, circle(x, y, 84))
			s.ink(hair, circle(x+5, y-4, 52), circle(x+8, y-5, 24))
		}
	}
	s.at(0, 20).netting(960, 600, space, 24, s.is("mesh", "cut"))
	border := line(-460, -280, 460, -280)
	if s.is("border", "cut") {
		s.laid(smooth(-460, -280, -140, -280, -70, -268, -50, -236), 52, cloth)
		s.laid(smooth(460, -280, 140, -280, 74, -272, 58, -250), 52, cloth)
		s.at(-50, -238).turned(62).yarns(52, 42, 9)
		s.at(58, -252).turned(126).yarns(52, 42, 9)
		return
	}
	s.laid(border, 52, cloth)
}

func drawNetStraps(s sketch) {
	s = s.at(0, -120)
	s.at(0, -60).chainlessHook(2.1)
	n := []float64{-66, -24, 24, 66}
	// The straps come up from the net, each with a steel hook or ring on the ring above.
	s.steel(circle(0, 66, 74), 26)
	for i, a := range n {
		if s.is("straps", "missing") && i == 2 {
			t := s.at(150, 330).turned(-70)
			t.strapEnd(false)
			continue
		}
		v := draw.Polar(74, 90-a*0.62)
		t := s.at(v.X, 66+v.Y).turned(-a * 0.5)
		t.strapEnd(s.is("straps", "burred") && i == 1)
	}
	s.steel(arc(0, 66, 74, 74, 200, 340), 26)
	s.card("plan: 4 straps")
}

// strapEnd is a lifting strap hung by its hook at the origin, the strap below.
func (s sketch) strapEnd(burred bool) {
	s.webbing(line(0, 96, 0, 420), 46)
	s.put(cloth, outline, softBox(0, 116, 46, 64, 6))
	s.ink(edge.WithDash(1.1, 0.7), line(-16, 96, -16, 140), line(16, 96, 16, 140))
	s.put(metal, outline, softBox(0, 78, 60, 20, 6))
	hook := smooth(0, 74, 0, 40, -24, 20, -28, -4, -12, -26, 12, -26, 26, -6, 22, 14)
	if burred {
		hook = smooth(0, 74, 0, 40, -24, 20, -28, -4, -12, -26, 16, -24, 44, -8, 58, 14)
	}
	s.steel(hook, 18)
	if burred {
		s.put(ink, edge, poly(-36, 2, -44, -6, -37, -7, -43, -16, -35, -14, -38, -24, -30, -18, -27, -6))
		s.at(-12, 34).turned(20).crack(26)
	} else {
		s.put(bright, edge, soft(3, -16, 34, -8, 30, 24, 10, 18, 4))
	}
}

// chainlessHook is the lower part of a hook from above, at the origin's ring.
func (s sketch) chainlessHook(k float64) {
	t := s.at(0, -130).sized(k)
	t.steel(smooth(0, -80, 0, 0, -22, 24, -26, 60, 0, 84, 28, 66, 30, 36), 24)
}

func drawNet(s sketch) {
	s = s.at(-1000, 900)
	s.ground(30, 3800)
	// A pile of boxes; the net over it.
	s.prism(100, 0, 0, 900, 900, 900, bright)
	s.prism(1000, 0, 0, 800, 900, 760, dull)
	s.prism(400, 200, 900, 800, 600, 420, bright)
	if s.is("contents", "light") {
		// Empty sacks, foil and foam lie on top.
		s.put(paper, outline, blob(900, -1000, 1100, -1140, 1500, -1120, 1720, -1000, 1500, -930, 1200, -960))
		s.put(paper, outline, poly(1380, -1080, 1760, -1190, 1900, -1040, 1520, -950))
		s.ink(hair, line(1450, -1040, 1800, -1120))
		s.put(paper, outline, softBox(760, -1560, 420, 160, 60))
		s.put(paper, outline, blob(150, -1000, 300, -1120, 480, -1060, 420, -960))
	} else {
		s.put(dull, outline, blob(1080, -1010, 1160, -1150, 1420, -1210, 1640, -1120, 1740, -980, 1500, -930, 1240, -940))
		s.cordTieAt(1400, -1150)
	}
	apex := draw.Pt(1150, -1960)
	nodes := [][]float64{
		{60, -20, 80, -460, 96, -950, 420, -1380, 560, -1480},
		{480, -10, 490, -480, 500, -930, 640, -1370, 800, -1560},
		{930, -10, 930, -500, 940, -960, 1000, -1390, 1080, -1600},
		{1380, -10, 1390, -400, 1400, -860, 1440, -1180, 1330, -1560},
		{1810, -10, 1810, -400, 1830, -820, 1760, -1180, 1560, -1460},
		{2230, -260, 2240, -560, 2250, -1010, 2050, -1290, 1760, -1480},
	}
	open := s.is("closure", "open")
	if open {
		nodes[2] = []float64{860, 20, 600, -330, 560, -760, 620, -1290, 720, -1480}
		nodes[3] = []float64{1330, 20, 1620, -330, 1700, -800, 1640, -1160, 1500, -1440}
	}
	for _, q := range nodes {
		s.tubeIn(through(pts(q...), false), 30, cloth, hair.Width, draw.CapRound)
	}
	for lvl := range 5 {
		for i := 0; i+1 < len(nodes); i++ {
			if open && i == 2 {
				continue
			}
			a, b := draw.Pt(nodes[i][2*lvl], nodes[i][2*lvl+1]), draw.Pt(nodes[i+1][2*lvl], nodes[i+1][2*lvl+1])
			w := 30.0
			if lvl == 0 {
				w = 46
			}
			m := a.Lerp(b, 0.5).Add(draw.Pt(0, 30))
			s.tubeIn(smooth(a.X, a.Y, m.X, m.Y, b.X, b.Y), w, cloth, hair.Width, draw.CapRound)
			if lvl > 0 && lvl < 5 {
				c, d := a.Lerp(b, 0.5), draw.Pt(nodes[i][2*lvl-2], nodes[i][2*lvl-1]).Lerp(draw.Pt(nodes[i+1][2*lvl-2], nodes[i+1][2*lvl-1]), 0.5)
				s.tubeIn(line(c.X, c.Y+20, d.X, d.Y), 26, cloth, hair.Width, draw.CapRound)
				g, h := a.Lerp(draw.Pt(nodes[i][2*lvl-2], nodes[i][2*lvl-1]), 0.5), b.Lerp(draw.Pt(nodes[i+1][2*lvl-2], nodes[i+1][2*lvl-1]), 0.5)
				s.tubeIn(line(g.X, g.Y, h.X, h.Y), 26, cloth, hair.Width, draw.CapRound)
			}
		}
	}
	for i, q := range nodes {
		e := draw.Pt(q[8], q[9])
		if open && (i == 2 || i == 3) {
			continue
		}
		s.strand(50, cloth, e, e.Lerp(apex, 0.5).Add(draw.Pt(0, -20)), apex)
	}
	s.at(apex.X, apex.Y-50).steel(circle(0, 0, 90), 50)
	if !open {
		t := s.at(1150, -1590)
		t.sized(7).turned(90).cordTie(60, 7, 3)
	} else {
		// The cord that should draw it together lies undone.
		s.strand(26, paper, draw.Pt(720, -1480), draw.Pt(900, -1330), draw.Pt(840, -1180), draw.Pt(990, -1060))
	}
}

// cordTieAt ties the neck of a sack in a scene.
func (s sketch) cordTieAt(x, y float64) {
	t := s.at(x, y)
	t.put(dull, outline, blob(-70, 0, -120, -110, -30, -150, 60, -140, 110, -90, 60, 0))
	t.strand(30, cloth, draw.Pt(-76, -8), draw.Pt(0, 10), draw.Pt(72, -8))
}
