package closeup

import (
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

func drawPendant(s sketch) {
	const w = 30.0
	s.wireLook(line(-120, 0, 120, 0), w)
	if s.is("sound", "damaged") {
		s.put(paper, noPen, box(0, -12, 46, 12))
		s.put(dark, edge, blob(-22, -16, -10, -4, 0, 0, 10, -5, 22, -16, 10, -10, 0, -7, -10, -10))
		for i := range 10 {
			x := -20 + 4.4*float64(i)
			s.wire(smooth(x, -6+0.5*float64(abs(i-5)), x+2*rough(i), -18, x+9*rough(i*3), -27-5*rough(i*7)), 2)
		}
	}
}

func abs(i int) int { return max(i, -i) }

// wireLook draws wire rope along a line.
func (s sketch) wireLook(p draw.Path, w float64) {
	s.laid(p, w, look.Metal)
	s.ink(hair.WithPaint(look.Load), shifted(p, -w*0.24))
	s.lay(p, w, 0.42)
}

type ropeLook func(s sketch, p draw.Path, w float64)

func wireRopeLook(s sketch, p draw.Path, w float64) { s.wireLook(p, w) }

func braidLook(s sketch, p draw.Path, w float64) { s.braid(p, w) }

// pinnedEnd is the eye of a line in the fork of a fitting, with the pin through
// both: secured, unpinned (its cotter pin gone), worn.
func (s sketch) pinnedEnd(state string, rope ropeLook) {
	s = s.at(0, 6)
	// The fork comes from beneath, the line from above.
	s.put(metal, outline, softBox(0, 102, 52, 60, 6))
	s.steel(arc(0, -6, 36, 36, 90, 450), 24)
	rope(s, line(0, -170, 0, -70), 30)
	s.put(dull, outline, soft(4, -19, -100, 19, -100, 22, -44, -22, -44))
	s.ink(detail, line(-20, -86, 20, -86), line(-21, -60, 21, -60))
	for _, x := range []float64{-48, 48} {
		s.put(metal, outline, soft(10, x-13, -36, x+13, -36, x+13, 78, x-13, 78))
		s.shine(line(x, -24, x, 66), 26)
	}
	s.put(metal, outline, softBox(0, 82, 122, 26, 8))
	s.bar(line(-74, -6, 92, -6), 26, bright)
	s.shine(line(-70, -6, 88, -6), 26)
	for _, x := range []float64{-48, 48} {
		s.put(metal, outline, softBox(x, -6, 26, 46, 10))
		s.shine(line(x, -20, x, 8), 26)
	}
	s.at(-82, -6).boltHead(18, 44)
	switch state {
	case "unpinned":
		s.hole(78, -6, 5)
	case "worn":
		s.at(78, -6).cotter(13, 3.6)
		// The eye is worn through half of its bar where the pin bears.
		s.put(paper, noPen, blob(-16, 9, 0, 8, 16, 9, 13, 20, 0, 24, -13, 20))
		s.ink(outline, smooth(-20, 12, -13, 20, 0, 24, 13, 20, 20, 12))
		s.at(-40, -62).turned(14).crack(36)
	default:
		s.at(78, -6).cotter(13, 3.6)
	}
}

// layout is a pendant or long line on the ground, from above: load below, the
// place of the aircraft above. Lengths in real mm.
func (s sketch) layout(laid, skid bool) {
	load := s.at(-1500, 1600)
	load.put(bright, outline, box(0, 0, 1900, 1500))
	load.ink(detail, line(-950, -750, 950, 750), line(-950, 750, 950, -750))
	load.put(metal, outline, circle(0, 0, 170))
	s.say(-1500, 2650, "load", draw.Middle)
	const w = 110.0
	// The aircraft's place: a skid gear from above.
	air := s.at(1700, -1900)
	air.ink(outline.WithDash(2, 1.2), ellipse(0, 0, 900, 1250))
	for _, x := range []float64{-520, 520} {
		air.tube(line(x, -1000, x, 1000), 90, dull)
	}
	for _, y := range []float64{-450, 450} {
		air.tube(line(-520, y, 520, y), 80, dull)
	}
	s.say(450, -2900, "aircraft", draw.Middle)
	var run draw.Path
	switch {
	case laid:
		run = smooth(-1500, 1600, -500, 1500, 600, 1700, 2300, 1600, 2700, 1200, 2300, 800, 600, 700, -400, 500, -700, 150, -300, -200, 700, -300, 1300, -700, 1700, -1500)
	case skid:
		run = smooth(-1500, 1600, -600, 900, -100, 200, 600, 300, 500, 900, -100, 800, -200, 100, 400, -300, 200, -1100, 600, -1700, 1150, -1600, 1250, -1100, 1000, -1500, 1700, -1900)
	default:
		run = smooth(-1500, 1600, -2300, 1000, -2600, 300, -2000, 200, -1700, 900, -900, 900, -200, 300, -600, -300, -1000, 100, -500, 500, 200, 300, 500, -500, 200, -900, 0, -400, 700, -500, 1200, -1100, 1700, -1500)
	}
	s.tubeIn(run, w, cloth, detail.Width, draw.CapRound)
	if skid && !laid {
		air.tube(line(-520, -200, -520, 1000), 90, dull)
	}
	if !laid && !skid {
		// It runs under a corner of the load.
		load.put(bright, noPen, poly(-950, -750, -400, -750, -500, -350, -950, 0))
		load.ink(outline, line(-950, 0, -950, -750, -400, -750))
		load.ink(detail, line(-950, -750, -430, -340))
	}
}

func drawPendantHook(s sketch) {
	s = s.at(10, -20)
	gap := 0.0
	if s.is("hook-end", "open") {
		gap = -66
	}
	s.wireLook(line(0, -240, 0, -150), 30)
	s.onHook()
	s.cargoHook(gap, "")
	// The bow passes behind the beam's tip and before its back.
	s.tube(smooth(-62, 84, -36, 62, -22, 60, -8, 62, 12, 76), 28, metal)
	s.shine(smooth(-62, 84, -36, 62, -22, 60, -8, 62, 12, 76), 28)
	beam := draw.Path{}
	beam.MoveTo(draw.Pt(-14, 110))
	beam.CubicTo(draw.Pt(-50, 112), draw.Pt(-78, 88), draw.Pt(-80, 44))
	beam.CubicTo(draw.Pt(-80, 30), draw.Pt(-60, 28), draw.Pt(-56, 44))
	beam.CubicTo(draw.Pt(-54, 70), draw.Pt(-34, 78), draw.Pt(-16, 76))
	s.put(metal, noPen, beam)
	s.ink(outline.WithWidth(0.6), draw.Path{Segs: beam.Segs})
}
