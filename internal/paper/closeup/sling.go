package closeup

import (
	"math"

	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

var slingFigures = []Figure{
	{ID: "wire-rope", Views: []View{
		{
			Title: "wire rope", scale: 0.85, bar: 20,
			Attributes: []Attribute{
				attr("wires", "few", "spread", "strand"),
				attr("wear", "full", "flat"),
				attr("shape", "even", "kinked", "caged", "crushed"),
				attr("heat", "none", "burnt"),
				attr("rust", "clean", "pitted"),
			},
			draw: drawWireRope,
		},
		{
			Title: "end of a wire rope with its sleeve and thimble", scale: 0.4, bar: 50,
			Attributes: []Attribute{attr("ends", "whole", "slipped", "cracked")},
			draw:       drawFerrule,
		},
	}},
	{ID: "webbing-sling", Views: []View{
		{
			Title: "webbing of a flat sling", scale: 0.55, bar: 50,
			Attributes: []Attribute{
				attr("cut", "whole", "edge", "hole"),
				attr("burn", "none", "melted"),
				attr("chemical", "none", "burnt", "bleached"),
				attr("chafe", "none", "worn"),
				attr("lie", "flat", "twisted"),
			},
			draw: drawWebbing,
		},
		{
			Title: "sewn eye of a flat sling with its fitting", scale: 0.4, bar: 50,
			Attributes: []Attribute{attr("stitches", "whole", "broken"), attr("fitting", "whole", "bent")},
			draw:       drawSewnEye,
		},
	}},
	{ID: "round-sling", Views: []View{{
		Title: "round sling", scale: 0.4, bar: 50,
		Attributes: []Attribute{
			attr("cover", "closed", "torn", "hard"),
			attr("burn", "none", "melted"),
			attr("chemical", "none", "stained"),
			attr("lie", "free", "knotted"),
		},
		draw: drawRoundSling,
	}}},
	{ID: "plain-leg", Views: []View{
		{
			Title: "sling leg along its length", scale: 0.6, bar: 50,
			Attributes: []Attribute{attr("sound", "whole", "damaged", "doubtful")},
			draw:       drawPlainSound,
		},
		{
			Title: "hook at the end of a sling leg", scale: 0.36, bar: 50,
			Attributes: []Attribute{attr("fittings", "whole", "open", "bent")},
			draw:       drawPlainEnd,
		},
		{
			Title: "sling leg and its tag", scale: 0.5, bar: 50,
			Attributes: []Attribute{attr("length", "planned", "other")},
			draw:       drawPlainLength,
		},
		{
			Title: "sling legs on the load before the lift", scale: 0.026, bar: 1000,
			Attributes: []Attribute{attr("free-end", "held", "behind")},
			draw:       drawFreeEnd,
		},
	}},
	{ID: "choke-hitch", Views: []View{{
		Title: "choke hitch round a bundle", scale: 0.11, bar: 200,
		Attributes: []Attribute{attr("lie", "tight", "loose", "over-eye"), attr("place", "planned", "moved"), attr("turns", "planned", "single")},
		draw:       drawChoke,
	}}},
	{ID: "basket-hitch", Views: []View{{
		Title: "basket hitch under a beam", scale: 0.032, bar: 500,
		Attributes: []Attribute{attr("balanced", "balanced", "shifted"), attr("eyes", "both", "one")},
		draw:       drawBasket,
	}}},
}

// strands draws wire rope close enough for its wires to show.
func (s sketch) strands(p draw.Path, w float64) {
	s.open(p, w, metal)
	step := w * 0.62
	var lines, wires, light draw.Path
	for _, t := range walk(p, -w, step) {
		_ = t
	}
	for _, t := range walk(p, 0, step) {
		a := t.beside(w * 0.49).Sub(t.dir.Mul(w * 0.55))
		b := t.beside(-w * 0.49).Add(t.dir.Mul(w * 0.55))
		lines.MoveTo(a)
		lines.CubicTo(a.Add(t.dir.Mul(w*0.6)), b.Sub(t.dir.Mul(w*0.6)), b)
		for i := range 6 {
			f := (float64(i) + 0.9) / 6.6
			q := t.at.Add(t.dir.Mul(step * 0.5)).Add(t.dir.Perp().Mul(w * 0.47 * (1 - 2*f))).Add(t.dir.Mul((2*f - 1) * w * 0.34))
			wires.MoveTo(q.Sub(t.dir.Mul(w * 0.12)).Sub(t.dir.Perp().Mul(w * 0.05)))
			wires.LineTo(q.Add(t.dir.Mul(w * 0.12)).Add(t.dir.Perp().Mul(w * 0.05)))
		}
	}
	s.ink(edge, lines)
	s.ink(hair, wires)
	_ = light
}

func drawWireRope(s sketch) {
	const w = 32.0
	run := line(-90, 0, 90, 0)
	broken := func(x, y, dir float64, i int) {
		s.wire(smooth(x, y, x+dir*3, y-4, x+dir*(9+3*rough(i)), y-9-3*rough(i*3)), 2)
	}
	switch s.state["shape"] {
	case "kinked":
		k := smooth(-90, 22, -30, 20, -10, 14, -2, -6, -12, -22, -24, -14, -14, 2, 8, 2, 30, -14, 90, -32)
		s.strands(smooth(-90, 22, -36, 18, -14, 8, -4, -12), w)
		s.strands(smooth(-12, -18, 6, 6, 34, -6, 90, -26), w)
		s.put(dark, edge, blob(-10, -8, 0, -2, -4, 8, -12, 4))
		for i := range 4 {
			broken(-12+5*float64(i), -24+2*float64(i), -0.6+0.5*float64(i), i)
		}
		_ = k
		return
	case "caged":
		s.strands(line(-90, 0, -34, 0), w)
		s.strands(line(34, 0, 90, 0), w)
		s.tubeIn(line(-36, 0, 36, 0), 12, dull, detail.Width, draw.CapButt)
		s.lay(line(-36, 0, 36, 0), 12, 0.6)
		for i, h := range []float64{-34, -20, 20, 34} {
			y0 := -12 + 8*float64(i)
			p := smooth(-42, y0, -24, y0+(h-y0)*0.6, 0, h, 24, y0+(h-y0)*0.6, 42, y0)
			s.tubeIn(p, 8.5, metal, edge.Width, draw.CapRound)
			s.lay(p, 8.5, 0.8)
		}
		p := smooth(-42, -2, -20, 5, 0, 8, 20, 5, 42, 2)
		s.tubeIn(p, 8.5, metal, edge.Width, draw.CapRound)
		s.lay(p, 8.5, 0.8)
		return
	case "crushed":
		s.strands(run, w)
		flat := blob(-40, -15, -20, -22, 0, -25, 20, -22, 40, -15, 40, 15, 20, 22, 0, 25, -20, 22, -40, 15)
		s.put(metal, outline, flat)
		s.put(metal, noPen, box(-38, 0, 8, 31), box(38, 0, 8, 31))
		for i := range 7 {
			y := -20 + 6.6*float64(i)
			f := math.Sqrt(1 - (y/26)*(y/26))
			s.ink(edge, smooth(-38*f, y*0.8, -14, y+2, 14, y-2, 38*f, y*0.8))
		}
		s.put(bright, edge, poly(-16, -16, 16, -18, 19, 15, -13, 17))
		for i := range 5 {
			s.ink(hair, line(-14, -12+6*float64(i), 17, -13+6*float64(i)))
		}
		return
	}
	s.strands(run, w)
	switch {
	case s.is("wires", "few"):
	case s.is("wires", "spread"):
		for i := range 12 {
			x := -48 + 8.6*float64(i)
			y := 12 * rough(i*7+1)
			s.wire(smooth(x, y, x+2, y-5, x+7+2*rough(i), y-9), 2)
			s.wire(smooth(x+3, y+1, x+6, y-1, x+10, y-2), 2)
		}
	case s.is("wires", "strand"):
		for i := range 6 {
			f := float64(i) / 5
			x, y := -15+30*f, 13-26*f
			s.wire(smooth(x, y, x+1, y-5, x+8, y-8), 2)
			s.wire(smooth(x-1, y+1, x-4, y-4, x-7, y-4), 2)
		}
	}
	if s.is("wear", "flat") {
		for _, t := range walk(run, 10, 32*0.62) {
			if math.Abs(t.at.X) < 56 {
				s.at(t.at.X+9, -8).put(paper, detail, ellipse(0, 0, 8, 4.4))
				s.at(t.at.X+5, -8).ink(hair, line(-2, -2.6, 4, -2.8), line(-3, 0, 9, 0), line(-1, 2.6, 7, 2.4))
			}
		}
		s.put(paper, noPen, box(0, -15.6, 110, 3.4))
		s.ink(outline, line(-55, -13.9, 55, -13.9))
	}
	if s.is("heat", "burnt") {
		s.put(look.Series6, noPen, box(0, 0, 50, 31))
		s.put(cloth, noPen, box(-30, 0, 12, 31), box(30, 0, 12, 31))
		s.ink(edge, line(-14, 14, 6, -14), line(4, 14, 24, -14), line(-30, 10, -14, -14))
		s.put(ink, noPen, stainPath(13, 11, 4))
		s.put(bright, detail, circle(1, -1, 3))
		for i := range 8 {
			v := draw.Polar(9+3*rough(i), float64(i)*45)
			s.put(ink, noPen, circle(v.X, v.Y, 1.1))
		}
	}
	if s.is("rust", "pitted") {
		for i := range 220 {
			s.put(ink, noPen, circle(62*rough(i*3+1), 15*rough(i*7+2), 0.7+0.6*math.Abs(rough(i*5))))
		}
	}
}

func drawFerrule(s sketch) {
	s = s.at(0, 10)
	const w = 26.0
	loop := smooth(-10, -40, -34, 10, -44, 60, -24, 98, 0, 106, 24, 98, 44, 60, 34, 10, 10, -40)
	s.strands(loop, w)
	s.tube(smooth(-6, 2, -26, 50, -16, 84, 0, 90, 16, 84, 26, 50, 6, 2), 10, bright)
	y := 0.0
	if s.is("ends", "slipped") {
		y = 0
	}
	s.strands(line(0, -180, 0, -90), w)
	s.at(0, y).put(metal, outline, soft(8, -19, -112, 19, -112, 25, -36, -25, -36))
	s.put(bright, noPen, box(-9, -76, 9, 56))
	// The rope's dead end stands a little out of the sleeve.
	end := 8.0
	if s.is("ends", "slipped") {
		end = -10
		s.put(dark, edge, softBox(9, -112, 16, 5, 2))
		s.put(bright, outline, box(-4, -131, 30, 26))
		for x := -16.0; x < 10; x += 4 {
			s.ink(hair, line(x, -142, x+5, -120))
		}
		s.ink(edge, line(-26, -144, 28, -144))
	} else {
		s.strands(line(9, -112-end, 9, -110), 15)
		s.ink(outline, line(1.5, -112-end, 16.5, -112-end))
	}
	if s.is("ends", "cracked") {
		s.at(-16, -104).turned(72).crack(52)
	}
}

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
		s.webbing(line(-110, 0, -40, 0), w)
		s.webbing(line(40, 0, 110, 0), w)
		s.put(cloth, outline, draw.Path{Segs: poly(-42, -37.5, -20, -30, 4, 0, -20, 30, -42, 37.5).Segs})
		s.put(dull, outline, poly(42, -37.5, 20, -30, -4, 0, 20, 30, 42, 37.5))
		s.put(cloth, outline, poly(-42, -37.5, -18, -34, 42, 37.5, 18, 34))
		s.ink(detail, line(-30, -36, 30, 36), line(-42, -24, -8, 0), line(42, 24, 8, 0))
		s.put(cloth, noPen, box(-42, 0, 3, 72), box(42, 0, 3, 72))
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
	s = s.at(0, -10)
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
	// The eye wraps the lower... the straight side: webbing folded over it.
	t := s.turned(180)
	_ = t
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

func drawPlainSound(s sketch) {
	const w = 30.0
	run := line(-100, 0, 100, 0)
	s.laid(run, w, cloth)
	switch s.state["sound"] {
	case "damaged":
		s.put(paper, noPen, poly(-12, -16, 14, -16, 4, 4, -4, 6))
		s.put(ink, noPen, poly(-8, -12, 10, -12, 3, 2, -3, 4))
		for i := range 7 {
			s.wireYarn(-9+1.5*float64(i), -12+2.4*float64(i), -1)
			s.wireYarn(10-1.2*float64(i), -12+2.2*float64(i), 1)
		}
	case "doubtful":
		s.put(dull, edge, box(0, 0, 56, w+3))
		for x := -24.0; x < 28; x += 8 {
			s.ink(detail, line(x, -16.5, x-4, 16.5))
		}
		s.put(cloth, detail, stainPath(20, 13, 3))
	}
}

// swivelHook is an open hook with a latch: its eye above the origin, its bight
// beneath. latch turns it open; bent opens its mouth.
func (s sketch) swivelHook(latch, bent float64) {
	x := bent
	p := draw.Path{}
	p.MoveTo(draw.Pt(-15, -30))
	p.CubicTo(draw.Pt(-18, 0), draw.Pt(-46, 14), draw.Pt(-46, 58))
	p.CubicTo(draw.Pt(-46, 98), draw.Pt(-16, 116), draw.Pt(8, 114))
	p.CubicTo(draw.Pt(40+x*0.6, 112), draw.Pt(58+x, 88), draw.Pt(54+x, 56))
	p.CubicTo(draw.Pt(52+x, 44), draw.Pt(38+x, 42), draw.Pt(36+x, 54))
	p.CubicTo(draw.Pt(34+x, 74), draw.Pt(22+x*0.4, 84), draw.Pt(6, 82))
	p.CubicTo(draw.Pt(-12, 80), draw.Pt(-18, 66), draw.Pt(-14, 50))
	p.CubicTo(draw.Pt(-10, 30), draw.Pt(14, 16), draw.Pt(15, -30))
	p.Close()
	s.put(metal, outline.WithWidth(0.6), p)
	s.put(bright, noPen, smooth(-34, 30, -40, 60, -30, 88, -34, 60))
	s.ring(20, 17)
	k := s.at(0, 16).turned(latch)
	k.put(bright, outline, soft(3, -7, -8, 7, -8, 46, 44, 40, 50, -8, 8))
	k.screw(0, 0, 4)
}

func drawPlainEnd(s sketch) {
	s = s.at(0, -34)
	s.laid(line(0, -180, 0, -70), 28, cloth)
	s.put(dull, outline, soft(4, -18, -84, 18, -84, 20, -44, -20, -44))
	t := s.at(0, -8)
	latch, bent := 0.0, 0.0
	switch s.state["fittings"] {
	case "open":
		latch = -70
	case "bent":
		bent = 30
	}
	t.swivelHook(latch, bent)
	s.tube(arc(0, 100, 34, 40, 20, 160), 1, metal)
}

func drawPlainLength(s sketch) {
	s.laid(line(-56, -120, -56, 120), 28, cloth)
	s.cord(line(-71, -30, -41, -30), 4)
	s.cord(smooth(-42, -30, -30, -28, -24, -24), 4)
	t := s.at(26, 4)
	t.put(bright, outline, softBox(0, 0, 104, 76, 5))
	t.hole(-44, -30, 4)
	l := "4.6 m"
	if s.is("length", "other") {
		l = "4.2 m"
	}
	t.write(0, -12, l, 17, ink)
	t.write(0, 18, "30 kN", 14, ink)
	s.card("plan: 4.6 m, 30 kN")
}

func drawFreeEnd(s sketch) {
	s = s.at(-1400, 900)
	s.ground(40, 5000)
	const w, d, h = 2300.0, 1600.0, 1300.0
	s.crate(0, 0, 0, w, d, h)
	top := func(x, y float64) draw.Point { return deep(x, y, h) }
	mid := top(w/2, d/2)
	for i, p := range [][2]float64{{w - 150, 150}, {w - 150, d - 150}, {150, d - 150}, {150, 150}} {
		s.eyeRing(p[0], p[1], h, 62)
		e := top(p[0], p[1]).Add(draw.Pt(0, -50))
		if i == 3 && s.is("free-end", "behind") {
			// It has slid off the front face and hangs down before it.
			s.strand(64, cloth, mid, draw.Pt(700, -h-60), draw.Pt(760, -h+40), draw.Pt(700, -500), draw.Pt(460, -200), draw.Pt(200, -420), draw.Pt(170, -h+20), e)
			continue
		}
		s.strand(64, cloth, mid, mid.Lerp(e, 0.35).Add(draw.Pt(0, 60)), mid.Lerp(e, 0.7).Add(draw.Pt(0, -10)), e)
	}
	s.at(mid.X, mid.Y-60).steel(circle(0, 0, 120), 60)
}

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
	if s.is("turns", "single", "planned") && len(s.state) > 0 {
		s.card("plan: 2 turns,", "at the mark")
	}
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
		s.band(line(x, -112, end.X, end.Y), w, cloth)
		s.band(line(x, -118, x, 196), w, cloth)
		if side > 0 && s.is("eyes", "one") {
			continue
		}
	}
	s.at(0, -1960).steel(circle(0, 0, 150), 70)
	if s.is("eyes", "one") {
		// The right basket's second part has come off and hangs down.
		s.put(paper, noPen, box(0, 0, 1, 1))
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
