package closeup

import "hangtrue/internal/paper/draw"

func drawLooseItems(s sketch) {
	s = s.at(-1350, 1000)
	s.put(pale, noPen, box(1350, 150, 5600, 3500))
	s.ink(hair, line(-2000, -1600, 4400, -1600))
	s.crate(0, 0, 0, 2000, 1400, 1100)
	s.legsOnTop(2000, 1400, 1100, -1)
	switch s.state["loose-items"] {
	case "sheet":
		s.put(paper, outline, poly(2150, 520, 3000, 250, 3560, 420, 2700, 760))
		s.ink(hair, line(2420, 440, 2960, 660), line(2720, 340, 3270, 530))
		s.put(paper, outline, blob(-900, 640, -600, 330, -200, 420, 200, 330, 420, 560, 300, 800, -100, 700, -500, 860))
		s.ink(detail, smooth(-700, 600, -300, 520, 0, 640), smooth(-400, 760, 0, 560, 260, 620))
	case "tools":
		s.strand(60, dull, draw.Pt(2300, 760), draw.Pt(3160, 440))
		s.put(metal, outline, soft(60, 3120, 370, 3460, 270, 3560, 440, 3200, 560))
		s.put(dark, outline, softBox(-500, 520, 620, 300, 60))
		s.strand(40, paper, draw.Pt(-650, 380), draw.Pt(-600, 260), draw.Pt(-400, 260), draw.Pt(-350, 380))
		// A coil of chain and a wrench on top of the load.
		for i := range 3 {
			s.tubeIn(ellipse(1150, -1460-26*float64(i), 210, 80), 46, metal, detail.Width, draw.CapRound)
		}
		s.strand(46, metal, draw.Pt(620, -1260), draw.Pt(930, -1340))
	}
}

func drawObstructions(s sketch) {
	s = s.at(-1350, 1000)
	s.put(pale, noPen, box(1350, 150, 5600, 3500))
	s.ink(hair, line(-2000, -1600, 4400, -1600))
	post := func() {
		s.tube(line(3300, -1500, 3300, 120), 150, bright)
		s.put(bright, outline, ellipse(3300, -1540, 75, 30))
	}
	post()
	s.crate(0, 0, 0, 2000, 1400, 1100)
	s.legsOnTop(2000, 1400, 1100, -1)
	switch s.state["obstructions"] {
	case "line":
		s.at(2010, -430).steel(circle(0, 0, 50), 30)
		s.strand(60, cloth, draw.Pt(2010, -420), draw.Pt(2200, -40), draw.Pt(2650, 60), draw.Pt(3100, -140), draw.Pt(3240, -620))
		s.strand(60, cloth, draw.Pt(3215, -640), draw.Pt(3385, -660))
		s.strand(60, cloth, draw.Pt(3215, -720), draw.Pt(3385, -740))
	case "near":
		// Another load stands against its side, its rim over this one's.
		s.crate(2010, 0, 0, 900, 1400, 1500)
		post()
	}
}
