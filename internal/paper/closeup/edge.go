package closeup

import "hangtrue/internal/paper/draw"

// corner is an edge of the load with a leg bent over it. pad says where the
// padding is: there, slipped or missing; tied whether it is tied to the leg.
func (s sketch) corner(pad string, tied bool) {
	s = s.at(-20, -34)
	const w = 32.0
	block := poly(-200, -4, 20, -4, 20, 300, -200, 300)
	s.put(dull, outline, block)
	s.list.Hatch(2.4, 45, hair, s.frame.path(poly(-200, 2, 14, 2, 14, 300, -200, 300)).Flatten(1)[0].Pts)
	r := 30.0
	rope := smooth(-200, -34, -60, -34, 0, -33, r, -24, 46, 6, 50, 60, 54, 300)
	padding := func(p draw.Path) {
		s.open(p, 18, paper)
		s.ink(detail.WithDash(1, 0.8), p)
		for _, t := range walk(p, 0, along(p)-1e-6) {
			a, b := t.beside(9), t.beside(-9)
			s.ink(outline, line(a.X, a.Y, b.X, b.Y))
		}
	}
	switch pad {
	case "there":
		padding(smooth(-110, -13, -40, -13, 4, -13, 24, -4, 29, 20, 29, 60, 29, 116))
	case "slipped":
		padding(smooth(29, 70, 29, 110, 29, 150, 30, 200))
		rope = smooth(-200, -22, -60, -22, 0, -21, 26, -16, 40, 6, 48, 60, 54, 130, 56, 300)
	default:
		rope = smooth(-200, -21, -60, -21, 2, -21, 28, -14, 37, 10, 37, 60, 37, 300)
	}
	s.braid(rope, w)
	if pad == "missing" || !tied {
		if pad != "missing" && !tied {
			// The loose end of a cord that has come undone.
			s.cord(smooth(34, 96, 52, 110, 66, 128, 60, 150, 76, 168), 5)
		}
		return
	}
	for _, at := range [][3]float64{{-62, -24, 90}, {42, 92, 0}} {
		if pad == "slipped" {
			at = [3]float64{44, 96 + at[1]*0.4 + 30, 0}
		}
		s.at(at[0], at[1]).turned(at[2]).cordTie(w+24, 5, 2)
	}
}
