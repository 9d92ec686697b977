package closeup

import (
	"fmt"
	"strconv"

	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

var hookFigures = []Figure{
	{ID: "grab-hook", Views: []View{
		{
			Title: "the chain in the grab hook, from the loaded links to the free end", bar: 50,
			Attributes: []Attribute{attr("count", "planned", "one-more", "one-less", "five-more", "five-less")},
			Numbers:    []Number{{"planned-count", 1, 90, 6}},
			fit:        func(n map[string]int) float64 { k, _ := countScale(n["planned-count"]); return k },
			draw:       drawCount,
		},
		{
			Title: "grab hook and the link that it holds", scale: 0.4, bar: 50,
			Attributes: []Attribute{
				attr("seated", "down", "tip", "double"),
				attr("shape", "whole", "opened", "twisted", "cracked"),
			},
			draw: drawGrabHook,
		},
	}},
	{ID: "keeper", Views: []View{{
		Title: "keeper of a grab hook", scale: 0.48, bar: 50,
		Attributes: []Attribute{
			attr("closed", "closed", "open", "on-link"),
			attr("springs", "springs", "weak", "missing"),
		},
		draw: drawKeeper,
	}}},
}

// hookBody is the outline of a grab hook, the bottom of its slot at the origin,
// the slot open upwards. opened turns its tip out by so many degrees.
func hookBody(opened float64) draw.Path {
	q := func(x, y float64) draw.Point {
		p := draw.Pt(x, y)
		if x > 0 && y < 0 && y > -70 {
			// Turned about the foot of the tip, the more the higher.
			return moved(22, 4).then(turned(opened * min(1, -y/30))).then(moved(-22, -4)).apply(p)
		}
		return p
	}
	var p draw.Path
	p.MoveTo(q(-6, -6))
	p.LineTo(q(-7, -48))
	p.CubicTo(q(-8, -64), q(-2, -74), q(5, -82))
	p.CubicTo(q(22, -96), q(20, -126), q(-2, -130))
	p.CubicTo(q(-18, -132), q(-30, -122), q(-31, -104))
	p.CubicTo(q(-31, -86), q(-34, -60), q(-36, -34))
	p.CubicTo(q(-38, 0), q(-26, 32), q(2, 33))
	p.CubicTo(q(28, 33), q(38, 8), q(37, -16))
	p.CubicTo(q(36, -34), q(34, -44), q(28, -50))
	p.CubicTo(q(22, -55), q(12, -52), q(10, -42))
	p.CubicTo(q(8, -34), q(6, -24), q(6, -6))
	p.CubicTo(q(6, 2), q(-6, 2), q(-6, -6))
	p.Close()
	return p
}

// upperLink is the link that a grab hook hangs by: what lies behind its body,
// then what passes through its eye in front.
func (s sketch) upperLink(front bool) {
	t := s.at(-7, -133).turned(90)
	if front {
		t.steel(line(-2, 0, 26, 0), 13)
		return
	}
	t.steel(line(-80, 0, 26, 0), 13)
}

// hookOnly is a grab hook without keeper or chain.
func (s sketch) hookOnly(opened float64) {
	s.upperLink(false)
	s.put(metal, outline.WithWidth(0.6), join(hookBody(opened), circle(-7, -105, 11)))
	s.put(bright, noPen, smooth(-27, -96, -31, -50, -32, -20, -27, 4, -22, 2, -26, -20, -25, -50, -22, -90))
	s.ink(detail, smooth(-25, -88, -28, -50, -28, -10, -17, 18, 4, 25))
	s.upperLink(true)
}

// keeper is the sprung tongue of a hook, at its pivot, towards +x.
func (s sketch) keeper() {
	s.put(bright, outline, soft(4, -9, -9, 10, -9, 46, -5, 48, 4, 8, 9, -9, 9))
	s.ink(detail, line(10, 0, 41, 0))
	s.put(metal, edge, circle(0, 0, 6))
	s.wire(arc(0, 0, 3, 3, 0, 320), 1.4)
}

// keeperAt is the keeper's place on the hook; turned by the angle at which it closes.
func (s sketch) keeperAt() sketch { return s.at(-21, -66) }

const keeperShut = 16.0

// load is the loaded chain before the hook, its first link face on about the
// origin.
func (s sketch) load() { s.chain(line(0, 0, 0, 220), straight(0)) }

func (s sketch) tail() {
	s.chain(smooth(4, -8, 26, 14, 42, 50, 46, 90, 44, 160), straight(0))
}

func drawGrabHook(s sketch) {
	s = s.at(-2, 30)
	s.tail()
	opened := 0.0
	if s.is("shape", "opened") {
		opened = 26
	}
	s.hookOnly(opened)
	if s.is("shape", "cracked") {
		s.at(-34, 2).turned(-34).crack(36)
	}
	if s.is("shape", "twisted") {
		// The tip stands out towards the viewer: its edge shows as a second face.
		s.put(dull, outline, blob(36, -14, 44, -30, 40, -50, 30, -60, 20, -56, 24, -46, 30, -36, 30, -18))
		s.put(metal, outline, blob(30, -18, 30, -36, 24, -47, 19, -56, 11, -51, 12, -38, 17, -22, 22, -10))
	}
	load, held := s.at(0, 4.5), s.at(0, -16.5)
	switch {
	case s.is("seated", "tip"):
		load, held = s.at(24, -32), s.at(22, -66).turned(-16)
	case s.is("seated", "double"):
		s.at(0, -34).turned(90).link(90)
		load, held = s.at(-1, -12), s.at(2, -34).turned(14)
	}
	load.load()
	held.turned(90).link(90)
	if s.is("seated", "double") {
		s.at(-3, -58).turned(76).link(90)
	}
	switch {
	case s.is("seated", "tip"):
		s.keeperAt().turned(-24).keeper()
	case s.is("seated", "double"):
		s.keeperAt().turned(-20).keeper()
	default:
		s.keeperAt().turned(keeperShut).keeper()
	}
}

func drawKeeper(s sketch) {
	s = s.at(-2, 42)
	s.tail()
	s.hookOnly(0)
	s.at(0, 4.5).load()
	held := s.at(0, -16.5)
	if s.is("closed", "on-link") {
		held = s.at(4, -44).turned(26)
	}
	held.turned(90).link(90)
	ghost := draw.Stroke{Paint: look.Ink, Width: look.Regular, Dash: []float64{1.4, 1}}
	k := s.keeperAt()
	// Tried by hand: the broken line is where a finger pressed it.
	tongue := soft(4, -9, -9, 10, -9, 46, -5, 48, 4, 8, 9, -9, 9)
	switch {
	case s.is("springs", "missing"):
		s.hole(-21, -66, 4)
		k.put(metal, edge, poly(-3, -6, 7, -7, 9, -3, 5, 1, 9, 5, -3, 6))
		k.screw(0, 0, 4)
	case s.is("springs", "weak"):
		k.turned(72).keeper()
		k.turned(keeperShut).ink(ghost, tongue)
	case s.is("closed", "open"):
		k.turned(-58).keeper()
	case s.is("closed", "on-link"):
		k.turned(-12).keeper()
	default:
		k.turned(keeperShut).keeper()
	}
}

// countScale is the scale of a count's drawing, and how many links are in a row:
// by the planned count, so that all states have the same.
func countScale(planned int) (scale float64, row int) {
	switch {
	case planned <= 10:
		return 0.38, 6
	case planned <= 35:
		return 0.235, 11
	}
	return 0.155, 17
}

func drawCount(s sketch) {
	planned := s.number["planned-count"]
	held := max(1, planned+map[string]int{"one-more": 1, "one-less": -1, "five-more": 5, "five-less": -5}[s.state["count"]])
	scale, row := countScale(planned)
	// The hook stands in the top left corner, in paper mm; the tail goes from
	// it in rows.
	s = s.at(-26/scale, -18/scale)
	var tail draw.Path
	drop := 66.0
	left, right := 24.0, pitch*float64(row)-12
	tail.MoveTo(draw.Pt(0, 0))
	y, goesRight := 0.0, true
	for range 6 {
		if goesRight {
			tail.LineTo(draw.Pt(right, y))
			tail.ArcTo(draw.Pt(right, y+drop/2), drop/2, drop/2, 0, -90, 90)
		} else {
			tail.LineTo(draw.Pt(left, y))
			tail.ArcTo(draw.Pt(left, y+drop/2), drop/2, drop/2, 0, 270, 90)
		}
		y += drop
		goesRight = !goesRight
	}
	s.chain(smooth(-pitch, 0, -pitch*1.5, 7, -pitch*1.95, 40, -pitch*2, 90, -pitch*2, 600), straight(90))
	links := walk(tail, 0, pitch)
	links = links[:min(held, len(links))]
	for _, edgeOn := range []bool{false, true} {
		for i, t := range links {
			if (i%2 == 1) == edgeOn {
				s.on(t).link(float64(90 * (i % 2)))
			}
		}
	}
	// The hook from its edge, over the middle of the link that it holds.
	h := 17 / scale
	s.put(metal, outline, soft(5, -8, -h, 8, -h, 9.5, 34, -9.5, 34))
	s.put(bright, noPen, poly(-4, -h+4, -1, -h+4, -1, 28, -5, 28))
	s.put(bright, outline, softBox(0, -h, 40, 13, 5))
	s.card(fmt.Sprintf("plan: link %d", planned))
	if s.notes {
		size := max(1.8, 7*scale)
		for i, t := range links {
			p := s.frame.apply(t.at.Sub(draw.Pt(0, 25)))
			if i == 0 {
				p = s.frame.apply(draw.Pt(-25, -27))
			}
			s.list.Text(p, strconv.Itoa(held-i), look.OnDrawing.WithSize(size).At(draw.Middle, draw.CapMiddle))
		}
	}
}
