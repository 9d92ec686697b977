package closeup

import "hangtrue/internal/paper/draw"

func drawChoke(s sketch) {
	// A bundle of pipes from the side, its ends to the left and right.
	s = s.at(0, 150)
	for i := range 5 {
		y := -110 + 55*float64(i)
		s.tube(line(-420, y, 420, y), 52, bright)
		s.ink(hair, line(-410, y-14, 410, y-14))
	}
	x := 40.0
	if s.is("place", "moved") {
		x = -230
	}
	t := s.at(x, 0)
	turns := 2
	if s.is("turns", "single") {
		turns = 1
	}
	const w = 44.0
	bulge := 0.0
	if s.is("lie", "loose") {
		bulge = 40
	}
	for i := range turns {
		dx := -54 * float64(i)
		t.band(smooth(dx-bulge*0.4, -150-bulge*0.6, dx-10-bulge, 0, dx-bulge*0.4, 146+bulge), w, cloth)
	}
	// The eye and the leg through it.
	switch {
	case s.is("lie", "loose"):
		t.band(smooth(-16, -190, 60, -230, 90, -300, 90, -640), w, cloth)
		t.tube(arc(30, -206, 50, 30, 0, 360), 26, cloth)
		t.band(smooth(70, -224, 88, -270, 90, -330), w, cloth)
	case s.is("lie", "over-eye"):
		t.band(smooth(10, -150, 40, -200, 60, -260, 60, -640), w, cloth)
		t.put(cloth, outline, box(62, -286, 56, 150))
		t.at(62, -286).stitchField(40, 130, false)
		t.tube(arc(40, -236, 62, 34, 0, 360), 26, cloth)
		t.put(cloth, outline, box(62, -286, 50, 60))
	default:
		t.band(smooth(10, -150, 40, -200, 60, -260, 60, -640), w, cloth)
		t.tube(arc(22, -178, 52, 28, 0, 360), 26, cloth)
		t.band(smooth(30, -186, 56, -240, 60, -330), w, cloth)
	}
	s.card("plan: 2 turns,", "at the mark")
	s.put(ink, noPen, poly(18, 150, 62, 150, 40, 184))
	s.put(ink, noPen, poly(18, 214, 62, 214, 40, 184))
}

func drawBasket(s sketch) {
	s = s.at(0, 700)
	s.ground(330, 3600)
	for _, x := range []float64{-900, 900} {
		s.put(bright, outline, box(x, 260, 260, 140))
	}
	s.put(dull, outline, box(0, 40, 2700, 300))
	s.ink(detail, line(-1350, -60, 1350, -60), line(-1350, 140, 1350, 140))
	// The balance point, marked on the beam.
	s.put(paper, edge, circle(0, 40, 85))
	s.put(ink, noPen, join(line(0, 40), arcSector(0, 40, 85, 0, 90), arcSector(0, 40, 85, 180, 270)))
	shift := 0.0
	if s.is("balanced", "shifted") {
		shift = 520
	}
	const w = 110.0
	apex := draw.Pt(0, -1900)
	for _, side := range []float64{-1, 1} {
		x := side*560 + shift
		end := apex.Add(draw.Pt(side*40, 0))
		if side < 0 || s.is("eyes", "both") {
			s.band(line(x, -112, end.X, end.Y), w, cloth)
		}
		s.band(line(x, -118, x, 196), w, cloth)
	}
	s.at(0, -1960).steel(circle(0, 0, 150), 70)
	if s.is("eyes", "one") {
		// The right part has come off the ring and hangs down beside the beam.
		s.band(smooth(560+shift, -118, 700+shift, -420, 900+shift, -300, 960+shift, 60, 930+shift, 250), w*0.8, cloth)
		s.at(930+shift, 250).tube(circle(0, 40, 70), 40, cloth)
	}
}

// arcSector is a slice of a circle.
func arcSector(x, y, r, from, to float64) draw.Path {
	var p draw.Path
	p.MoveTo(draw.Pt(x, y))
	p.ArcTo(draw.Pt(x, y), r, r, 0, from, to)
	p.Close()
	return p
}
