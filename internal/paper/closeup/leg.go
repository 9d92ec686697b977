package closeup

import "hangtrue/internal/paper/draw"

var legFigures = []Figure{
	{ID: "leg-run", Views: []View{
		{
			Title: "the points that the legs lead to", scale: 0.026, bar: 1000,
			Attributes: []Attribute{attr("point", "own", "other")},
			draw:       drawLegPoint,
		},
		{
			Title: "the seats on the apex pin, facing the load's front", scale: 0.31, bar: 50,
			Attributes: []Attribute{attr("seat", "own", "other")},
			draw:       drawLegSeat,
		},
		{
			Title: "rope of a leg", scale: 0.42, bar: 50,
			Attributes: []Attribute{attr("twist", "straight", "twisted"), attr("knot", "free", "knotted")},
			draw:       drawLegLie,
		},
		{
			Title: "a leg over an edge of the load", scale: 0.42, bar: 50,
			Attributes: []Attribute{attr("edges", "padded", "bare", "slipped")},
			draw: func(s sketch) {
				s.corner(map[string]string{"padded": "there", "bare": "missing", "slipped": "slipped"}[s.state["edges"]], true)
			},
		},
	}},
	{ID: "leg-tag", Views: []View{{
		Title: "tag of a leg", scale: 0.78, bar: 20,
		Attributes: []Attribute{attr("legible", "legible", "missing", "illegible"), attr("due", "in-date", "overdue")},
		draw:       drawTag,
	}}},
	{ID: "rope-leg", Views: []View{
		{
			Title: "textile rope of a leg", scale: 0.8, bar: 20,
			Attributes: []Attribute{
				attr("cut", "whole", "outer", "core"),
				attr("chafe", "fuzz", "worn", "powder"),
				attr("burn", "none", "glazed"),
				attr("contamination", "clean", "oil", "stained"),
				attr("size", "even", "thin", "lump"),
			},
			draw: drawRope,
		},
		{
			Title: "potted end of a rope", scale: 0.5, bar: 50,
			Attributes: []Attribute{attr("end", "whole", "cracked", "pulled", "dented")},
			draw:       drawPotted,
		},
	}},
	{ID: "eye-roller", Views: []View{{
		Title: "roller in the eye of a potted end", scale: 0.55, bar: 50,
		Attributes: []Attribute{attr("present", "inside", "missing", "outside"), attr("whole", "whole", "cracked", "jammed")},
		draw:       drawRoller,
	}}},
}

func drawLegPoint(s sketch) {
	s = s.at(-1480, 1300)
	s.ground(40, 5000)
	const w, d, h = 2400.0, 1700.0, 1150.0
	s.crate(0, 0, 0, w, d, h)
	names := []string{"2", "1", "4", "3"}
	at := [][2]float64{{w - 150, 150}, {w - 150, d - 150}, {150, 150}, {150, d - 150}}
	apex := deep(w/2, d/2, 2500)
	to := []int{0, 1, 2, 3}
	if s.is("point", "other") {
		to[0] = 2
	}
	for i, p := range at {
		s.eyeRing(p[0], p[1], h, 62)
		q := deep(p[0], p[1], h)
		side := 150.0
		if i > 1 {
			side = -150
		}
		if i == 2 && s.is("point", "other") {
			side = -170
		}
		s.write(q.X+side, q.Y+120, names[i], 130, ink)
	}
	for i := 3; i >= 0; i-- {
		p := at[to[i]]
		end := deep(p[0], p[1], h).Add(draw.Pt(0, -62))
		if i != 0 {
			s.strand(34, cloth, apex, end)
			continue
		}
		s.strand(70, cloth, apex, end)
		m := apex.Lerp(end, 0.5)
		s.at(m.X, m.Y).put(paper, edge, softBox(0, 0, 330, 250, 30))
		s.at(m.X, m.Y).write(0, 0, "2", 150, ink)
	}
	s.at(apex.X, apex.Y).steel(circle(0, -60, 110), 60)
	s.card("plan: leg 2 to point 2")
}

func drawLegLie(s sketch) {
	const w = 32.0
	if s.is("knot", "knotted") {
		s.braid(smooth(-140, 8, -70, 8, -30, 14, 10, 24), w)
		s.braid(smooth(140, -8, 70, -8, 30, -14, -10, -24), w)
		s.tube(smooth(-30, 26, -40, -14, -14, -40, 16, -34), w, cloth)
		s.braiding(smooth(-30, 26, -40, -14, -14, -40, 16, -34), w)
		s.tube(smooth(30, -26, 40, 14, 14, 40, -16, 34), w, cloth)
		s.braiding(smooth(30, -26, 40, 14, 14, 40, -16, 34), w)
		s.tube(smooth(-12, -30, 0, 0, 12, 30), w, cloth)
		s.braiding(smooth(-12, -30, 0, 0, 12, 30), w)
		return
	}
	run := line(-140, 0, 140, 0)
	s.braid(run, w)
	// The coloured yarn woven in along the rope shows how it lies.
	mark := draw.Stroke{Paint: ink, Width: 1.1, Cap: draw.CapRound}
	if s.is("twist", "straight") {
		s.ink(mark, line(-140, -4, 140, -4))
		return
	}
	for x := -150.0; x < 150; x += 62 {
		s.ink(mark, smooth(x, 14.5, x+6, 9, x+16, -4, x+26, -12, x+31, -15))
	}
}

func drawTag(s sketch) {
	rope := line(-46, -90, -46, 90)
	s.braid(rope, 26)
	s.cord(line(-60, -30, -32, -30), 4)
	s.cord(line(-60, -24, -32, -24), 4)
	switch {
	case s.is("legible", "missing"):
		s.cord(smooth(-33, -28, -26, -22, -24, -14), 4)
		s.at(-24, -13).turned(80).yarns(4, 6, 3)
		return
	default:
		s.cord(smooth(-33, -28, -26, -26, -20, -22), 4)
	}
	t := s.at(14, 4)
	t.put(bright, outline, softBox(0, 0, 76, 66, 5))
	t.hole(-32, -26, 3.4)
	date := "2027-05"
	if s.is("due", "overdue") {
		date = "2026-05"
	}
	for i, words := range []string{"LEG A-1", "6250 lb  12 ft", "next inspection", date} {
		h := 5.8
		if i == 2 {
			h = 4.4
		}
		t.write(1, -19+13.2*float64(i), words, h, ink)
	}
	if s.is("legible", "illegible") {
		for i := range 4 {
			y := -19 + 13.2*float64(i)
			t.put(dull, noPen, blob(-34, y-4, -20, y-6, 0, y-5, 20, y-6.5, 35, y-3, 33, y+4, 10, y+6, -14, y+5, -33, y+4))
			for j := range 5 {
				x := -28 + 13*float64(j) + 3*rough(i*7+j)
				t.ink(edge, line(x, y-2+2*rough(i+j*3), x+7, y+3*rough(i*5+j)))
			}
		}
		t.at(0, 0).speckle(74, 62, 60, 1, ink)
	}
	s.card("today: 2026-11-25")
}
