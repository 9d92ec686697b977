package closeup

import (
	"strconv"

	"hangtrue/internal/paper/draw"
)

var fanFigures = []Figure{
	{ID: "apex-legs", Views: []View{
		{
			Title: "legs beneath the apex fitting", scale: 0.2, bar: 100,
			Attributes: []Attribute{attr("half-turn", "straight", "turned")},
			draw:       drawHalfTurn,
		},
		{
			Title: "tags of the legs on one apex", scale: 0.34, bar: 50,
			Attributes: []Attribute{attr("sets", "planned", "mixed")},
			draw: func(s sketch) {
				if s.is("sets", "mixed") {
					s.taggedLegs("A", "B", "A", "B")
				} else {
					s.taggedLegs("A", "A", "B", "B")
				}
				s.card("plan: A A B B")
			},
		},
		{
			Title: "legs on the pin of the apex fitting", scale: 0.3, bar: 50,
			Attributes: []Attribute{attr("number", "planned", "fewer", "more")},
			draw:       drawNumber,
		},
	}},
	{ID: "mirrored-legs", Views: []View{
		{
			Title: "chains of a left and a right leg beyond the grab hook", scale: 0.24, bar: 100,
			Attributes: []Attribute{attr("counts", "matched", "traded", "one-off")},
			Numbers:    []Number{{"left", 2, 9, 5}, {"right", 2, 9, 3}},
			draw:       drawMirrored,
		},
		{
			Title: "chain loops of a left and a right leg", scale: 0.13, bar: 200,
			Attributes: []Attribute{attr("chains", "alike", "unlike")},
			draw:       drawAlike,
		},
	}},
	{ID: "neighbour-legs", Views: []View{
		{
			Title: "two legs from their seats to their points", scale: 0.024, bar: 1000,
			Attributes: []Attribute{attr("crossed", "apart", "points-traded", "seats-traded")},
			draw:       drawCrossed,
		},
		{
			Title: "two legs side by side", scale: 0.2, bar: 100,
			Attributes: []Attribute{attr("wrapped", "free", "over", "wrapped")},
			draw:       drawWrapped,
		},
	}},
}

func drawHalfTurn(s sketch) {
	s = s.at(0, -90)
	straight := s.is("half-turn", "straight")
	t := s
	if !straight {
		t = s.mirrored() // the fitting turned half round shows its other side
	}
	t.sized(0.8).apexBow()
	const w = 24.0
	xs := []float64{-51, -17, 17, 51}
	ends := []float64{-210, -90, 90, 210}
	run := func(i int) draw.Path {
		x := xs[i] * 0.8
		if straight {
			return smooth(x, 60, x*1.4, 110, ends[i]*0.6, 230, ends[i], 420)
		}
		e := ends[i]
		return smooth(x, 60, x*0.8, 90, -x*0.1, 120, -x*0.5, 150, e*0.3, 200, e*0.65, 300, e, 420)
	}
	order := []int{0, 1, 2, 3}
	if !straight {
		// Wound: each leaves for the other side, and all wind round one another.
		ends = []float64{210, 90, -90, -210}
		order = []int{3, 1, 0, 2}
	}
	for _, i := range order {
		s.braid(run(i), w)
	}
	if !straight {
		s.tube(smooth(-44, 98, -20, 92, 22, 112, 40, 122), w, cloth)
		s.braiding(smooth(-44, 98, -20, 92, 22, 112, 40, 122), w)
		s.tube(smooth(-40, 134, -18, 126, 22, 142, 36, 152), w, cloth)
		s.braiding(smooth(-40, 134, -18, 126, 22, 142, 36, 152), w)
	}
	u := t.sized(0.8)
	u.bar(line(-86, 0, 86, 0), 34, bright)
	for _, x := range xs {
		u.put(metal, outline, soft(4, x-9, 20, x+9, 20, x+14, 84, x-14, 84))
		u.put(metal, outline, softBox(x, 2, 20, 62, 9))
	}
	u.pinEnds()
	s.say(-235, -106, "facing the", draw.Start)
	s.say(-235, -84, "load's front", draw.Start)
	s.card("plan: nut on the right")
}

func drawNumber(s sketch) {
	s = s.at(0, -10)
	s.apexBow()
	s.bar(line(-86, 0, 86, 0), 34, bright)
	xs := []float64{-54, -18, 18, 54}
	switch {
	case s.is("number", "fewer"):
		xs = []float64{-54, -18, 54}
	case s.is("number", "more"):
		xs = []float64{-60, -31, 0, 31, 60}
	}
	for _, x := range xs {
		s.seatEye(x, -x*0.24)
	}
	s.pinEnds()
	s.card("plan: 4 legs")
}

// countedHook is a grab hook from its edge with its tail hanging down before
// it, so that the free links can be counted.
func (s sketch) countedHook(held int) {
	s.chain(smooth(0, -pitch, -10, -pitch*1.6, -60, -20, -66, 80, -66, 500), straight(90))
	links := walk(line(0, 0, 0, 600), 0, pitch)[:held]
	for _, edgeOn := range []bool{false, true} {
		for i, t := range links {
			if (i%2 == 1) == edgeOn {
				s.on(t).link(float64(90 * (i % 2)))
			}
		}
	}
	// The plate across the held link.
	s.put(metal, outline, soft(5, -34, -8, 80, -8, 80, 8, -34, 9.5))
	s.put(bright, outline, softBox(80, 0, 13, 40, 5))
	if s.notes {
		for i, t := range links {
			s.say(t.at.X+26, t.at.Y+3, strconv.Itoa(held-i), draw.Start)
		}
	}
}

func drawMirrored(s sketch) {
	s = s.at(0, -90)
	l, r := s.number["left"], s.number["right"]
	switch {
	case s.is("counts", "traded"):
		if l == r {
			l++
		}
		l, r = r, l
	case s.is("counts", "one-off"):
		r++
		if l == r {
			r++
		}
	}
	// Facing the load's front: its left is on the right.
	s.at(106, 0).countedHook(l)
	s.at(-106, 0).mirrored().countedHook(r)
	s.say(150, 272, "load's left", draw.Middle)
	s.say(-150, 210, "load's right", draw.Middle)
	s.card("plan: left "+strconv.Itoa(s.number["left"]), "right "+strconv.Itoa(s.number["right"]))
}

func drawAlike(s sketch) {
	s = s.at(0, -230)
	s.put(dull, outline, box(0, 560, 900, 240))
	for i, x := range []float64{-200, 200} {
		t := s.at(x, 0)
		staple := line(-44, 444, -44, 396, -28, 372, 28, 372, 44, 396, 44, 444)
		t.tube(staple, 26, metal)
		turn := straight(0)
		if i == 1 && s.is("chains", "unlike") {
			t.chain(smooth(-14, 0, -14, 150, -12, 320, 0, 380), func(i int) float64 { return float64(90*(i%2)) + 32*float64(i) })
			t.chain(smooth(14, 0, 60, 110, 110, 240, 90, 350, 30, 410, 2, 386), straight(90))
		} else {
			t.chain(smooth(-14, 0, -14, 150, -12, 320, 0, 380), turn)
			t.chain(smooth(14, 0, 14, 150, 14, 320, 2, 380), straight(90))
		}
		t.tube(part(staple, 46, 102), 26, metal)
		t.at(0, -18).miniHook()
	}
}

func drawCrossed(s sketch) {
	s = s.at(0, 1150)
	s.put(bright, outline, box(0, -560, 2900, 1120))
	s.ground(0, 4000)
	const top = -1120.0
	seat := []float64{170, -170} // seat 1 is on the load's left, at the viewer's right
	point := []float64{1250, -1250}
	for i, x := range point {
		s.at(x, top-60).steel(circle(0, 0, 60), 40)
		s.write(x, top+190, strconv.Itoa(i+1), 190, ink)
	}
	from := []int{0, 1} // seat of leg 1, leg 2
	to := []int{0, 1}
	switch {
	case s.is("crossed", "points-traded"):
		to = []int{1, 0}
	case s.is("crossed", "seats-traded"):
		from = []int{1, 0}
	}
	apexY := -2520.0
	for leg := 1; leg >= 0; leg-- {
		a, b := draw.Pt(seat[from[leg]], apexY), draw.Pt(point[to[leg]], top-110)
		s.strand(70, cloth, a, b)
	}
	for leg := range 2 {
		a, b := draw.Pt(seat[from[leg]], apexY), draw.Pt(point[to[leg]], top-110)
		m := a.Lerp(b, 0.62)
		s.at(m.X, m.Y).put(paper, edge, softBox(0, 0, 330, 270, 30))
		s.at(m.X, m.Y).write(0, 0, strconv.Itoa(leg+1), 170, ink)
	}
	u := s.at(0, apexY-30).sized(3)
	u.apexBow()
	u.apexPinPlain()
	for i, x := range seat {
		s.write(x*1.05, apexY-170, strconv.Itoa(i+1), 120, ink)
	}
	s.card("plan: leg 1 seat 1", "point 1, leg 2 ...")
}

func drawWrapped(s sketch) {
	const w = 30.0
	a := smooth(-60, -240, -60, 0, -60, 240)
	b := smooth(60, -240, 60, 0, 60, 240)
	switch {
	case s.is("wrapped", "over"):
		a = smooth(-60, -240, -50, -110, 0, 0, 50, 110, 60, 240)
		b = smooth(60, -240, 50, -110, 0, 0, -50, 110, -60, 240)
	case s.is("wrapped", "wrapped"):
		a = smooth(-60, -240, -30, -150, 0, -80, 0, 0, 0, 80, -30, 150, -60, 240)
		b = smooth(60, -240, 40, -170, 0, -104, -26, -60, 0, -20, 28, 24, 0, 62, -24, 100, 10, 142, 40, 180, 60, 240)
		s.braid(b, w)
		s.braid(a, w)
		for _, q := range []draw.Path{smooth(30, -148, 0, -104, -26, -64), smooth(28, 28, 0, 62, -24, 96)} {
			s.open(q, w, cloth)
			s.braiding(q, w)
		}
		return
	}
	s.braid(b, w)
	s.braid(a, w)
}
