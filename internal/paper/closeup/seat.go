package closeup

import "hangtrue/internal/paper/draw"

// apexBow is the bow of an apex fitting, seen facing the load's front: its pin
// lies through the origin.
func (s sketch) apexBow() {
	s.steel(smooth(-86, 4, -86, -50, -70, -96, -30, -126, 0, -130, 30, -126, 70, -96, 86, -50, 86, 4), 30)
}

// apexPinPlain is its pin with head and nut, in a scene.
func (s sketch) apexPinPlain() {
	s.bar(line(-116, 0, 116, 0), 34, bright)
	for _, x := range []float64{-86, 86} {
		s.put(metal, outline, circle(x, 0, 31))
		s.put(bright, edge, circle(x, 0, 17))
	}
	s.at(-122, 0).boltHead(26, 50)
	s.at(122, 0).castellated(34, 50)
}

// seatEye is the eye of a leg on the pin, seen from its edge, with its rope.
func (s sketch) seatEye(x, lean float64) {
	t := s.at(x, 0).turned(lean)
	t.open(line(0, 76, 0, 300), 25, cloth)
	t.braiding(line(0, 76, 0, 300), 25)
	t.put(metal, outline, soft(4, -9, 22, 9, 22, 16, 84, -16, 84))
	t.put(metal, outline, softBox(0, 2, 20, 62, 9))
	t.shine(line(0, -18, 0, 20), 20)
}

func drawLegSeat(s sketch) {
	s = s.at(-4, 22)
	s.apexBow()
	s.bar(line(-86, 0, 86, 0), 34, bright)
	legs := []string{"1", "2", "3", "4"}
	if s.is("seat", "other") {
		legs[0], legs[1] = "2", "1"
	}
	for _, x := range []float64{51, 17, -17, -51} {
		s.seatEye(x, -x*0.22)
	}
	for i, x := range []float64{51, 17, -17, -51} {
		t := s.at(x, 0).turned(-x*0.22).at(0, 100+18*float64(i%2))
		t.put(paper, edge, softBox(0, 0, 34, 26, 3))
		t.write(0, 0, legs[i], 15, ink)
	}
	s.pinEnds()
	s.card("plan: seat 1 leg 1,", "seat 2 leg 2 ...")
	for i, x := range []float64{51, 17, -17, -51} {
		s.say(x, -44, string(rune('1'+i)), draw.Middle)
	}
	s.say(0, -64, "seat", draw.Middle)
}

// pinEnds are the ears, the head and the nut of an apex pin.
func (s sketch) pinEnds() {
	for _, x := range []float64{-86, 86} {
		s.put(metal, outline, softBox(x, 2, 28, 66, 12))
		s.shine(line(x, -20, x, 22), 28)
	}
	s.at(-113, 0).boltHead(26, 52)
	s.at(117, 0).castellated(34, 50)
}
