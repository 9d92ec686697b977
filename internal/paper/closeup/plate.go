package closeup

func drawSetPlate(s sketch) {
	s.steel(circle(-44, -46, 30), 14)
	if s.is("legible", "missing") {
		s.wire(smooth(-28, -20, -20, -12, -24, -4, -16, 2), 3)
		s.wire(smooth(-34, -18, -30, -8, -36, -2), 3)
	} else {
		s.wire(smooth(-30, -20, -22, -10, -12, -8), 3)
		t := s.at(18, 24)
		t.put(bright, outline, softBox(0, 0, 112, 72, 6))
		t.ink(detail, softBox(0, 0, 104, 64, 4))
		t.hole(-46, -26, 4)
		for _, p := range [][2]float64{{46, -26}, {-46, 26}, {46, 26}} {
			t.screw(p[0], p[1], 3)
		}
		load := "25000 lb"
		if s.is("legible", "other") {
			load = "15000 lb"
		}
		t.write(0, -17, "SET A", 10, ink)
		t.write(0, 3, load, 12, ink)
		t.write(0, 22, "up to 45 deg", 7, ink)
	}
	s.card("plan: set A", "25000 lb, up to 45 deg")
}

// taggedLegs are the upper ends of legs side by side, each with its set's tag.
func (s sketch) taggedLegs(sets ...string) {
	s = s.at(0, 22)
	n := float64(len(sets))
	for i := range sets {
		x := (float64(i) - (n-1)/2) * 64
		t := s.at(x, 0)
		t.braid(line(0, -30, 0, 170), 26)
		e := t.at(0, -96).turned(180)
		e.socketBody(24)
		e.ring(22, 14)
		e.socketNeck(24)
	}
	for i, set := range sets {
		x := (float64(i) - (n-1)/2) * 64
		t := s.at(x, 78)
		t.cord(line(-15, -26, 15, -26), 4)
		t.put(paper, outline, softBox(0, 0, 50, 44, 4))
		t.write(0, -7, set, 17, ink)
		t.write(0, 13, map[string]string{"A": "0417", "B": "0388"}[set], 9, ink)
	}
}
