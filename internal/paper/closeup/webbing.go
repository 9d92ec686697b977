package closeup

import (
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// webbing is flat webbing along a line with its stripes and weave.
func (s sketch) webbing(p draw.Path, w float64) {
	s.open(p, w, cloth)
	for _, d := range []float64{-0.42, -0.2, 0.2, 0.42} {
		s.ink(hair, shifted(p, d*w))
	}
	var weave draw.Path
	for i, t := range walk(p, 3, 5) {
		for j := range 5 {
			d := (float64(j)-2)*w*0.19 + w*0.05*float64(i%2)
			a := t.beside(d - w*0.03)
			b := t.beside(d + w*0.03)
			weave.MoveTo(a)
			weave.LineTo(b)
		}
	}
	s.ink(hair, weave)
}

func drawWebbing(s sketch) {
	const w = 75.0
	if s.is("lie", "twisted") {
		s.webbing(line(-110, 0, -66, 0), w)
		s.webbing(line(66, 0, 110, 0), w)
		// Once round about itself between −66 and 66 mm; in the middle its back shows.
		half := func(x, share float64) float64 { return share * w / 2 * cosDeg(360*(x+66)/132) }
		for _, lobe := range []struct {
			from, to float64
			fill     draw.Paint
		}{{-66, -33, cloth}, {-33, 33, dull}, {33, 66, cloth}} {
			var rim []float64
			for i := range 13 {
				x := lobe.from + (lobe.to-lobe.from)*float64(i)/12
				rim = append(rim, x, half(x, 1))
			}
			for i := 12; i >= 0; i-- {
				x := lobe.from + (lobe.to-lobe.from)*float64(i)/12
				rim = append(rim, x, half(x, -1))
			}
			s.put(lobe.fill, noPen, poly(rim...))
		}
		for _, share := range []float64{-1, -0.84, -0.4, 0.4, 0.84, 1} {
			var q []float64
			for x := -66.0; x <= 66; x += 4 {
				q = append(q, x, half(x, share))
			}
			pen := hair
			if share == 1 || share == -1 {
				pen = outline
			}
			s.ink(pen, smooth(q...))
		}
		return
	}
	run := line(-110, 0, 110, 0)
	s.webbing(run, w)
	switch {
	case s.is("cut", "edge"):
		s.put(paper, outline, poly(-9, -38.5, -5, -24, 1, -13, 6, -24, 12, -38.5))
		s.put(paper, noPen, poly(-8, -40, 11, -40, 11, -38, -8, -38))
		for i := range 6 {
			y := -35 + 4.2*float64(i)
			s.ink(detail, smooth(-8+1.3*float64(i), y, -3, y-3, 2*rough(i), y-2), smooth(11-1.5*float64(i), y, 6, y+2, 3+2*rough(i*3), y+1))
		}
	case s.is("cut", "hole"):
		s.put(ink, outline, stainPath(26, 17, 3))
		for i := range 16 {
			v := draw.Polar(1, float64(i)*22.5)
			s.ink(detail, smooth(v.X*14, v.Y*9.5, v.X*10, v.Y*6+2*rough(i), v.X*6, v.Y*3))
		}
		for i := range 5 {
			s.wireYarn(-8+5*float64(i), -9, 1)
		}
	case s.is("burn", "melted"):
		s.put(dark, outline, blob(-34, -37, -20, -10, -30, 12, -6, 24, 18, 14, 34, 20, 40, -8, 30, -37))
		s.put(paper, noPen, blob(-16, -24, 0, -27, 14, -24, 0, -20), blob(-14, 4, 0, 1, 20, 3, 2, 8))
		s.ink(hair.WithPaint(paper), smooth(-20, -12, 4, -14, 30, -12))
		s.put(dark, outline, circle(-40, 6, 3), circle(44, -20, 2.4), circle(-38, -22, 2))
	case s.is("chemical", "burnt"):
		s.put(dull, detail, stainPath(96, 58, 6))
		s.put(paper, detail.WithDash(1, 0.7), stainPath(60, 34, 9))
		for i := range 16 {
			x, y := 34*rough(i*3+1), 20*rough(i*7+2)
			s.ink(detail, smooth(x, y, x+3, y-3, x+7, y-1), smooth(x, y, x+4, y+3, x+7, y-1))
		}
	case s.is("chemical", "bleached"):
		s.put(paper, noPen, box(0, 0, 110, 74))
		s.list.Hatch(1.6, 90, hair.WithPaint(look.Grid), s.frame.path(box(0, 0, 110, 70)).Flatten(1)[0].Pts)
		s.ink(hair.WithPaint(look.Grid), line(-55, -15, 55, -15), line(-55, 15, 55, 15))
		s.ink(outline, line(-110, -37.5, 110, -37.5), line(-110, 37.5, 110, 37.5))
	case s.is("chafe", "worn"):
		s.put(paper, noPen, ellipse(0, 0, 56, 26))
		for i := range 60 {
			x, y := 50*rough(i*3+1), 22*rough(i*7+4)
			s.ink(hair, smooth(x, y, x+2, y-3*rough(i), x+6, y+2*rough(i*5)))
		}
		s.put(paper, noPen, blob(-40, 39, -20, 33, 0, 31, 20, 33, 40, 39))
		s.ink(outline, smooth(-46, 37.5, -20, 33, 0, 31, 20, 33, 46, 37.5))
		s.fuzz(smooth(44, 36, 20, 33, 0, 31, -20, 33, -44, 36), -7, 1.6, false)
	}
}

func drawSewnEye(s sketch) {
	s = s.at(0, 8)
	const w = 62.0
	// A triangular fitting hangs in the sewn eye.
	tri := soft(14, -62, -96, 62, -96, 0, -4)
	if s.is("fitting", "bent") {
		tri = soft(14, -62, -96, 40, -116, 66, -78, 34, -44, 8, -6)
	}
	tri = moved(0, -4).path(tri)
	s.steel(tri, 18)
	if s.is("fitting", "bent") {
		s.at(48, -72).turned(20).crack(20)
	}
	s.webbing(line(0, 30, 0, 200), w)
	// The webbing is folded over the fitting and sewn to itself.
	s.put(cloth, outline, soft(6, -w/2, -30, w/2, -30, w/2, 40, -w/2, 40))
	s.put(cloth, outline, soft(10, -w/2, -44, w/2, -44, w/2, -18, -w/2, -18))
	s.ink(hair, line(-w*0.2, -44, -w*0.2, 40), line(w*0.2, -44, w*0.2, 40))
	s.put(cloth, outline, box(0, 62, w, 92))
	st := s.at(0, 62)
	if s.is("stitches", "broken") {
		st.stitchField(w-12, 78, true)
	} else {
		st.stitchField(w-12, 78, false)
	}
}

// stitchField is the block of stitching that closes an eye: w wide, h high.
func (s sketch) stitchField(w, h float64, broken bool) {
	for i := range 6 {
		x := -w/2 + w*float64(i)/5
		if broken && i >= 2 && i <= 4 {
			s.ink(edge.WithDash(1.1, 0.7), line(x, -h/2, x, -h*0.2), line(x, h*0.22, x, h/2))
			for j := range 4 {
				y := -h*0.18 + h*0.11*float64(j)
				s.ink(edge, smooth(x, y, x+3, y-2+2*rough(i+j*3), x+8, y+1+3*rough(i*3+j)))
			}
			continue
		}
		s.ink(edge.WithDash(1.1, 0.7), line(x, -h/2, x, h/2))
	}
	s.ink(edge.WithDash(1.1, 0.7), line(-w/2, -h/2, w/2, -h/2), line(-w/2, h/2, w/2, h/2))
}

func drawRoundSling(s sketch) {
	const w = 44.0
	cover := func(p draw.Path) {
		s.open(p, w, cloth)
		s.ink(hair, shifted(p, -w*0.3), shifted(p, w*0.3))
		s.ink(hair.WithDash(1, 0.7), shifted(p, w*0.38))
	}
	if s.is("lie", "knotted") {
		cover(smooth(-130, -30, -60, -30, -20, -16, 20, 34, 60, 40, 130, 34))
		cover(smooth(-130, 34, -60, 40, -24, 36, 16, -16, 60, -30, 130, -30))
		cover(smooth(-30, -34, -8, -44, 18, -30, 16, 0, 20, 34, -2, 50, -24, 36))
		return
	}
	cover(line(-130, -40, 130, -40))
	cover(line(-130, 40, 130, 40))
	t := s.at(0, -40)
	switch {
	case s.is("cover", "torn"):
		t.put(paper, outline, blob(-34, -4, -16, -14, 10, -16, 32, -6, 36, 6, 14, 14, -14, 13, -32, 8))
		for i := range 7 {
			y := -10 + 3.4*float64(i)
			t.tubeIn(smooth(-28, y, 0, y-2, 30, y), 2.6, paper, hair.Width, draw.CapRound)
		}
		t.tubeIn(smooth(-10, -8, -2, -28, 12, -34, 22, -22), 2.6, paper, hair.Width, draw.CapRound)
		t.fuzz(smooth(-34, -4, -16, -14, 10, -16, 32, -6), -6, 4, false)
	case s.is("cover", "hard"):
		// A lump shows, pressed out under the cover.
		t.put(cloth, outline, smooth(-40, -22, -20, -24, -6, -34, 8, -34, 22, -24, 40, -22))
		t.put(cloth, noPen, box(0, -18, 76, 10))
		t.ink(detail, smooth(-24, -18, -6, -27, 8, -27, 24, -18), smooth(-22, 2, 0, -7, 22, 2), smooth(-18, 10, 0, 3, 18, 10))
		s.say(0, -98, "felt with the hand", draw.Middle)
	case s.is("burn", "melted"):
		t.put(dark, outline, blob(-30, -22, -18, -4, -26, 10, 0, 16, 24, 8, 32, -22))
		t.put(paper, noPen, blob(-14, -14, 0, -16, 14, -14, 0, -11))
		t.ink(hair.WithPaint(paper), smooth(-16, -4, 0, -6, 20, -4))
	case s.is("chemical", "stained"):
		t.put(dull, detail.WithDash(1, 0.7), stainPath(100, 38, 6))
		t.put(paper, detail, stainPath(46, 18, 2))
	}
}
