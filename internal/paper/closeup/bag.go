package closeup

import "hangtrue/internal/paper/draw"

func drawBag(s sketch) {
	s = s.at(0, 950)
	s.ground(0, 2600)
	const w, h = 1000.0, 1150.0
	body := soft(120, -w/2, -h, w/2, -h, w/2+60, -h/2, w/2, 0, -w/2, 0, -w/2-60, -h/2)
	s.put(paper, outline.WithWidth(0.6), body)
	s.ink(hair, smooth(-w/2+60, -h+60, -w/2+20, -h/2, -w/2+70, -60), smooth(w/2-60, -h+60, w/2-20, -h/2, w/2-70, -60))
	s.ink(detail.WithDash(1.1, 0.8), line(-w/2+20, -h+90, w/2-20, -h+90))
	// Its mouth: a neck of cloth, tied or lying open.
	if s.is("closure", "open") {
		s.put(paper, outline, poly(-330, -h, -520, -h-260, 500, -h-250, 330, -h))
		s.put(dark, outline, ellipse(-8, -h-255, 510, 90))
		s.put(dull, outline, blob(-360, -h-250, -200, -h-310, 60, -h-330, 300, -h-280, 380, -h-240, 100, -h-200, -250, -h-205))
		s.at(0, -h-260).speckle(620, 90, 50, 12, ink)
	} else {
		s.put(paper, outline, blob(-330, -h, -160, -h-110, -60, -h-170, 60, -h-170, 160, -h-110, 330, -h))
		s.put(paper, outline, blob(-60, -h-170, -170, -h-330, -60, -h-300, 0, -h-350, 70, -h-300, 180, -h-330, 60, -h-170))
		s.ink(hair, line(-30, -h-180, -80, -h-280), line(0, -h-180, 0, -h-300), line(30, -h-180, 90, -h-280))
		for i := range 3 {
			y := -h - 150 - 26*float64(i)
			s.strand(24, cloth, draw.Pt(-78, y), draw.Pt(0, y+14), draw.Pt(78, y))
		}
		s.strand(20, cloth, draw.Pt(30, -h-160), draw.Pt(120, -h-120), draw.Pt(150, -h-40))
	}
	// Four straps from its corners to the hook; two behind.
	hook := draw.Pt(0, -h-700)
	strap := func(i int, x float64, back bool) {
		if s.is("straps", "missing") && i == 3 {
			p := through([]draw.Point{{X: x, Y: -h + 60}, {X: x + 60, Y: -h - 160}, {X: x + 190, Y: -h - 120}, {X: x + 170, Y: -h + 200}, {X: x + 90, Y: -h + 120}, {X: x + 20, Y: -h + 90}}, false)
			s.tubeIn(p, 70, cloth, edge.Width, draw.CapButt)
			return
		}
		fill := cloth
		for _, dx := range []float64{-46, 46} {
			s.tubeIn(line(x+dx, -h+70, hook.X+x*0.04+dx*0.2, hook.Y+30), 56, fill, edge.Width, draw.CapButt)
		}
		if !back {
			s.put(cloth, edge, poly(x-80, -h+20, x+80, -h+20, x+80, -h+330, x-80, -h+330))
			s.ink(detail.WithDash(1.1, 0.8), line(x-60, -h+40, x-60, -h+310), line(x+60, -h+40, x+60, -h+310), line(x-60, -h+180, x+60, -h+180))
		}
		if s.is("straps", "frayed") && i == 2 {
			m := draw.Pt(x-46, -h+70).Lerp(draw.Pt(hook.X, hook.Y), 0.35)
			t := s.at(m.X-20, m.Y).turned(-50)
			t.put(paper, noPen, ellipse(0, 0, 120, 40))
			t.fuzz(line(-120, -34, 120, -34), -60, 16, false)
			t.fuzz(line(120, 34, -120, 34), -60, 16, false)
			t.fuzz(line(-110, 0, 110, 0), 34, 12, true)
		}
	}
	for i, x := range []float64{-300, 300} {
		strap(i, x, true)
	}
	if s.is("closure", "shut") {
		s.put(paper, outline, blob(-60, -h-170, -170, -h-330, -60, -h-300, 0, -h-350, 70, -h-300, 180, -h-330, 60, -h-170))
	}
	for i, x := range []float64{-430, 430} {
		strap(i+2, x, false)
	}
	s.at(hook.X, hook.Y+20).steel(smooth(0, -200, 0, -110, -60, -60, -70, 10, 0, 60, 70, 20, 74, -40), 60)
	switch s.state["fabric"] {
	case "torn":
		s.put(dark, outline, blob(-380, -840, -300, -760, -240, -630, -210, -500, -290, -460, -320, -620, -370, -720))
		s.put(paper, outline, poly(-380, -840, -440, -720, -370, -600, -300, -530, -320, -640))
		for i := range 9 {
			s.put(ink, noPen, circle(-275+40*rough(i), -450+400*float64(i)/9, 14))
		}
		s.put(dull, edge, poly(-430, 0, -280, -110, -130, 0))
		s.fuzz(smooth(-380, -840, -300, -760, -240, -630, -210, -500), -40, 22, false)
	}
	if !s.is("label", "missing") {
		l := s.at(120, -350)
		l.put(bright, edge, softBox(0, 0, 600, 430, 20))
		l.write(0, -130, "1000 kg", 84, ink)
		l.write(0, 6, "SINGLE TRIP", 56, ink)
		used := "used: no"
		if s.is("label", "used") {
			used = "used: yes"
		}
		l.write(0, 140, used, 74, ink)
	} else {
		l := s.at(120, -350)
		l.put(paper, detail.WithDash(1, 0.8), softBox(0, 0, 600, 430, 20))
		l.put(bright, edge, poly(-296, -210, 120, -210, 60, -170, -80, -178, -296, -134))
	}
}
