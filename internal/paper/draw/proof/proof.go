// Package proof holds the reference picture by which the back-ends are compared.
// For tests: it uses every primitive there is, once or more.
package proof

import (
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// Sheet is the reference picture, new each time.
func Sheet() *draw.Picture {
	p := draw.New(180, 130, "Proof sheet", "Every primitive in every back-end.")
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	p.Rect(p.Frame().Inset(2), look.Detail, draw.Paint{})
	p.Text(draw.Pt(6, 9), "Proof sheet: θ ≤ 45°, √3, F₁ × 9.81 m/s², äöüß", look.Title)
	strokes(&p.List)
	shapes(&p.List)
	texts(&p.List)
	dimensions(&p.List)
	groups(p)
	labels(&p.List)
	return p
}

func strokes(l *draw.List) {
	y := 15.0
	for _, b := range look.Bands() {
		l.Line(draw.Pt(6, y), draw.Pt(34, y), b.Leg())
		l.Text(draw.Pt(37, y), b.Words(), look.Small.At(draw.Start, draw.CapMiddle))
		y += 4
	}
	for i, s := range []draw.Stroke{look.Hidden, look.Center, look.Limit, look.Ground} {
		l.Line(draw.Pt(6, y+3*float64(i)), draw.Pt(34, y+3*float64(i)), s)
	}
	thick := draw.Stroke{Paint: look.Accent, Width: 2.4}
	x := 8.0
	for _, j := range []draw.Join{draw.JoinMiter, draw.JoinRound, draw.JoinBevel} {
		for _, c := range []draw.Cap{draw.CapButt, draw.CapRound, draw.CapSquare} {
			if int(j) != int(c) {
				continue
			}
			thick.Join, thick.Cap = j, c
			l.Polyline([]draw.Point{{X: x, Y: 62}, {X: x + 4, Y: 55}, {X: x + 8, Y: 62}}, thick)
			x += 14
		}
	}
	thick.Join = draw.JoinMiter
	l.Polyline([]draw.Point{{X: 50, Y: 62}, {X: 51, Y: 54}, {X: 52, Y: 62}}, thick) // too sharp: bevel
}

func shapes(l *draw.List) {
	l.Circle(draw.Pt(74, 20), 5, look.Outline, look.Load)
	l.Ellipse(draw.Pt(88, 20), 7, 3.5, 30, look.Outline, look.Wash)
	l.Arc(draw.Pt(104, 22), 6, 180, 315, look.Force)
	l.RoundRect(draw.Rect{X: 114, Y: 14, W: 16, H: 10}, 2.5, look.Outline, look.Shade)
	l.Rect(draw.Rect{X: 134, Y: 14, W: 10, H: 10}, look.Outline, look.OverFog)
	l.Hatch(1.4, 45, look.HatchLine, draw.Rect{X: 134, Y: 14, W: 10, H: 10}.Corners())
	star := draw.Path{Stroke: look.Detail, Fill: look.Metal, EvenOdd: true}
	var pts []draw.Point
	for i := range 5 {
		pts = append(pts, draw.Pt(156, 19.5).Add(draw.Polar(6, -90+144*float64(i))))
	}
	star.Polyline(pts, true)
	l.Add(star)
	ring := draw.Path{Stroke: look.Detail, Fill: look.Rope}
	ring.Ellipse(draw.Pt(169, 19.5), 5, 5, 0)
	ring.ArcTo(draw.Pt(169, 19.5), 2.5, 2.5, 0, 360, 0) // against it: a hole by nonzero winding
	ring.Close()
	l.Add(ring)
	curve := draw.Path{Stroke: look.Center}
	curve.MoveTo(draw.Pt(70, 34))
	curve.CubicTo(draw.Pt(90, 24), draw.Pt(100, 46), draw.Pt(122, 32))
	l.Add(curve)
	l.Arrow(draw.Pt(128, 36), draw.Pt(146, 30), look.ForceArrow)
	l.DoubleArrow(draw.Pt(152, 36), draw.Pt(172, 30), look.NoteArrow)
}

func texts(l *draw.List) {
	y := 45.0
	for i, a := range []draw.Anchor{draw.Start, draw.Middle, draw.End} {
		for k, v := range []draw.VAnchor{draw.Baseline, draw.CapMiddle, draw.CapTop} {
			at := draw.Pt(74+22*float64(i), y+6*float64(k))
			l.Line(at.Sub(draw.Pt(1.5, 0)), at.Add(draw.Pt(1.5, 0)), look.Measure)
			l.Line(at.Sub(draw.Pt(0, 1.5)), at.Add(draw.Pt(0, 1.5)), look.Measure)
			l.Text(at, "Hook 12", look.Body.At(a, v))
		}
	}
	for i := range 6 {
		deg := 60 * float64(i)
		l.TextTurned(draw.Pt(150, 50).Add(draw.Polar(2, deg)), "turned", deg, look.Small)
	}
	for i := range 5 {
		y := 44 + 1.2*float64(i)
		l.Line(draw.Pt(160, y), draw.Pt(176, y), look.Detail)
	}
	l.Text(draw.Pt(168, 47), "halo", look.OnDrawing.At(draw.Middle, draw.CapMiddle))
	l.Text(draw.Pt(160, 56), "mono 0123", look.Figures)
	l.Text(draw.Pt(160, 60), "bold", look.Figures.AsBold())
	box := draw.Rect{X: 6, Y: 68, W: 50, H: 0}
	box.H = l.TextBox(box.Min(), box.W, "A wrapped text box: its words break at spaces, and a_word_that_is_much_too_long_for_its_line is cut.\nA line feed starts a new line.", look.Body)
	l.Rect(box, look.Detail, draw.Paint{})
}

func dimensions(l *draw.List) {
	a, b, c := draw.Pt(72, 92), draw.Pt(112, 92), draw.Pt(112, 72)
	l.Polygon([]draw.Point{a, b, c}, look.Outline, look.Load)
	l.DimensionLine(a, b, 6, "4.00 m", look.Dimension)
	l.DimensionLine(b, c, 6, "2.00 m", look.Dimension)
	l.DimensionLine(c, a, 5, "4.47 m", look.Dimension)
	l.AngleDimension(a, 14, -26.565, 0, "26.6°", look.Dimension)
	l.DimensionLine(draw.Pt(66, 108), draw.Pt(69, 108), 4, "0.30 m", look.Dimension)
}

func groups(p *draw.Picture) {
	inner := draw.New(30, 20, "A picture in the picture", "")
	inner.Rect(inner.Frame(), look.Outline, look.Shade)
	inner.Circle(draw.Pt(15, 10), 14, look.Force, draw.Paint{})
	inner.Text(draw.Pt(15, 10), "clipped & scaled", look.Strong.At(draw.Middle, draw.CapMiddle))
	p.Embed(inner, draw.Pt(6, 102), 1)
	p.Embed(inner, draw.Pt(40, 102), 0.5)
	g := p.Group("turned", "a turned and clipped group")
	g.Transform = draw.Transform{Move: draw.Pt(90, 114), Rotate: -20, Scale: 1.2}
	g.Clip = &draw.Rect{W: 24, H: 8}
	g.Rect(draw.Rect{W: 24, H: 8}, look.Outline, look.Wash)
	g.Line(draw.Pt(-5, -5), draw.Pt(30, 14), look.BandHigh.Leg())
	g.Text(draw.Pt(2, 5), "group", look.OnDrawing)
}

func labels(l *draw.List) {
	place := draw.Labels{Bounds: draw.Rect{X: 126, Y: 66, W: 50, H: 60}, Gap: 0.6}
	hub := draw.Pt(151, 78)
	var labels []draw.Label
	for i, name := range []string{"FL 41 %", "FR 62 %", "RL 88 %", "RR 104 %", "hook", "apex"} {
		foot := draw.Pt(138+5*float64(i), 112)
		if i < 4 {
			l.Line(hub, foot, look.Bands()[i+1].Leg())
			place.AvoidLine(hub, foot)
		} else {
			foot = hub
		}
		labels = append(labels, draw.Label{Lines: []string{name}, Style: look.OnDrawing, Anchor: hub.Lerp(foot, 0.6), Prefer: draw.Pt(1, 0), Clear: 1})
	}
	l.Labels(place.Place(labels), look.Leader)
}
