package closeup

import (
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// cargoHook is the hook under an aircraft: a housing with the swinging beam
// beneath it. gap opens its keeper by so many degrees; plate is what its plate says.
func (s sketch) cargoHook(gap float64, plate string) {
	// What it hangs from.
	s.put(dull, outline, softBox(0, -134, 60, 44, 4))
	s.put(metal, outline, soft(10, -70, -118, 70, -118, 84, -96, 84, -10, 58, 14, -46, 14, -46, -30, -84, -40, -84, -96))
	s.put(bright, noPen, box(-10, -104, 120, 8))
	for _, x := range []float64{-64, 66} {
		s.screw(x, -100, 7)
	}
	// The beam: a hook that opens to the left.
	beam := draw.Path{}
	beam.MoveTo(draw.Pt(46, 0))
	beam.CubicTo(draw.Pt(50, 60), draw.Pt(30, 106), draw.Pt(-14, 110))
	beam.CubicTo(draw.Pt(-50, 112), draw.Pt(-78, 88), draw.Pt(-80, 44))
	beam.CubicTo(draw.Pt(-80, 30), draw.Pt(-60, 28), draw.Pt(-56, 44))
	beam.CubicTo(draw.Pt(-54, 70), draw.Pt(-34, 78), draw.Pt(-16, 76))
	beam.CubicTo(draw.Pt(4, 74), draw.Pt(10, 50), draw.Pt(8, 4))
	beam.Close()
	s.put(metal, outline.WithWidth(0.6), beam)
	s.screw(28, 6, 12)
	// The keeper closes the mouth from the housing.
	k := s.at(-40, -26).turned(gap)
	k.put(bright, outline, soft(5, -12, -10, 10, -10, 8, 20, -20, 66, -32, 62, -14, 10))
	k.screw(0, 0, 6)
	if plate != "" {
		s.put(paper, edge, softBox(8, -72, 120, 40, 3))
		s.screw(-46, -72, 4)
		s.screw(62, -72, 4)
		s.write(8, -72, plate, 13, ink)
	}
}

// onHook is the top of an apex fitting's bow in a hook's bight.
func (s sketch) onHook() {
	s.steel(smooth(-96, 250, -96, 150, -74, 96, -36, 62, -22, 60, -8, 62, 30, 96, 52, 150, 52, 250), 28)
}

func drawHookKeeper(s sketch) {
	s = s.at(0, -10)
	gap := 0.0
	if s.is("keeper", "weak") {
		gap = -62
	}
	s.cargoHook(gap, "")
	if s.is("keeper", "weak") {
		s.at(-40, -26).ink(look.Outline.WithWidth(look.Regular).WithDash(1.4, 1), soft(5, -12, -10, 10, -10, 8, 20, -20, 66, -32, 62, -14, 10))
	}
	s.say(-10, 136, "pressed in by hand and let go", draw.Middle)
}

func drawHookType(s sketch) {
	plate := "TYPE 25"
	if s.is("type", "other") {
		plate = "TYPE 40"
	}
	s.at(0, 24).sized(1.14).cargoHook(0, plate)
	s.card("plan: hook type 25")
}

// testCard is the card on which the day's tests are written, in paper mm.
func (s sketch) testCard(done bool, rows ...string) {
	t := s.page().at(76, 54)
	h := 12 + 8*float64(len(rows))
	t.put(paper, outline, softBox(0, 0, 38, h, 1.5))
	t.put(metal, outline, softBox(0, -h/2, 14, 4, 1))
	t.write(0, -h/2+6, "TODAY", 2.6, ink)
	for i, r := range rows {
		y := -h/2 + 13 + 8*float64(i)
		t.list.Text(t.frame.apply(draw.Pt(-17, y)), r, look.Body.WithSize(3.2).At(draw.Start, draw.CapMiddle))
		t.ink(detail, line(-1, y+1.8, 17, y+1.8))
		if done {
			x := 8.0
			t.ink(outline, smooth(x-6, y+1, x-4, y-2, x-3, y+1, x-1, y-1.6, x, y+1, x+2, y-1.4, x+4, y+0.6, x+6, y-0.4))
		}
	}
}
