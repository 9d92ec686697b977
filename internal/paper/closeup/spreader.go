package closeup

import (
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

func drawSpreader(s sketch) {
	s = s.at(0, 200)
	bar := line(-1500, 0, 1500, 0)
	if s.is("straight", "bent") {
		bar = smooth(-1500, -60, -700, -50, -100, 110, 60, 200, 300, 130, 800, -40, 1500, -70)
	}
	s.bar(bar, 170, bright)
	s.ink(hair, shifted(bar, -50), shifted(bar, 50))
	if s.is("straight", "bent") {
		s.put(dull, edge, blob(-60, 120, 20, 110, 120, 120, 110, 190, 30, 220, -40, 190))
		s.ink(detail, smooth(-20, 130, 30, 170, 90, 140), smooth(-30, 180, 30, 200, 80, 180))
	}
	for _, x := range []float64{-1400, 1400} {
		y := 0.0
		if s.is("straight", "bent") {
			y = -62
		}
		t := s.at(x, y)
		t.put(metal, outline, softBox(0, 0, 200, 420, 70))
		t.put(paper, edge, circle(0, -140, 46), circle(0, 140, 46))
		// Legs up to the apex, and down to the load.
		s.strand(50, cloth, draw.Pt(x, y-160), draw.Pt(0, -1700))
		s.strand(50, cloth, draw.Pt(x, y+160), draw.Pt(x, 1700))
	}
	s.at(0, -1640).steel(circle(0, 0, 110), 60)
	// A straight edge to judge by: a taut string.
	s.ink(look.Outline.WithWidth(look.Regular).WithDash(1.4, 1), line(-1650, 290, 1650, 290))
	s.say(0, 420, "taut string", draw.Middle)
}

func drawSpreaderEnd(s sketch) {
	s = s.at(-30, 0)
	s.put(bright, outline, poly(-220, -52, 110, -52, 110, 52, -220, 52))
	s.ink(hair, line(-220, -36, 110, -36), line(-220, 36, 110, 36))
	s.put(dull, outline, poly(104, -62, 122, -62, 122, 62, 104, 62))
	for _, up := range []float64{1, -1} {
		l := s.at(40, -52*up)
		shape := soft(26, -62, 0, -40, -104*up, 40, -104*up, 62, 0)
		l.put(metal, outline, join(shape, circle(0, -62*up, 22)))
		var bead draw.Path
		for x := -64.0; x <= 64; x += 8 {
			bead.ArcTo(draw.Pt(x, 0), 5, 5, 0, 0, -180)
		}
		l.ink(detail, bead)
	}
	if s.is("welds", "cracked") {
		s.at(-26, -54).turned(-3).crack(76)
		s.at(-12, -62).turned(-34).crack(34)
	}
}

func drawSpreaderPlate(s sketch) {
	s.put(bright, outline, box(0, 0, 320, 150))
	s.ink(hair, line(-160, -60, 160, -60), line(-160, 60, 160, 60))
	if s.is("plate", "missing") {
		s.put(dull, detail.WithDash(1, 0.8), softBox(0, 0, 170, 90, 4))
		for _, q := range [][2]float64{{-76, -36}, {76, -36}, {-76, 36}, {76, 36}} {
			s.hole(q[0], q[1], 4)
		}
	} else {
		s.put(paper, outline, softBox(0, 0, 170, 90, 4))
		for _, q := range [][2]float64{{-76, -36}, {76, -36}, {-76, 36}, {76, 36}} {
			s.screw(q[0], q[1], 4.5)
		}
		w := "WLL 4 t"
		if s.is("plate", "too-small") {
			w = "WLL 2 t"
		}
		s.write(0, -14, w, 22, ink)
		s.write(0, 24, "own weight 90 kg", 9.5, ink)
	}
	s.card("load on it: 3.2 t")
}
