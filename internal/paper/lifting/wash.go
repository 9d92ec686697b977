package lifting

import (
	"fmt"
	"math"

	"hangtrue/internal/engine/air"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/chart"
	"hangtrue/internal/paper/draw/look"
)

// WashSheet is the wash of an aircraft that hovers, to be drawn.
type WashSheet struct {
	Aircraft string
	Invented bool
	Show     quantity.System
	Gross    float64 // kg
	Hook     float64 // m beneath the disc
	Wash     air.Wash
}

// washRings are the distances that are drawn as rings, in rotor radii.
var washRings = []float64{1.5, 3, 6, 12}

// Wash draws the highest mean wind near the ground around a hovering aircraft,
// over the distance from the axis of the nearest rotor and as rings, with the
// method and its limits beneath.
func Wash(s WashSheet) *draw.Picture {
	p := draw.New(wide, high, "Rotor wash of "+s.Aircraft, "Highest mean wind near the ground by distance from the axis of the nearest rotor. "+air.RingLimits+".")
	title := fmt.Sprintf("Rotor wash of %s at %s in a hover", s.Aircraft, s.Show.Mass(s.Gross))
	area := head(p, "", title, s.Invented, "", spelling.Capital(air.RingLimits)+".")
	words := fmt.Sprintf("Air of %.3f kg/m3; disc loading %.0f N/m2; %s through the discs, %s in the full wake; at the hook, %s beneath the disc, %s.",
		s.Wash.Density, s.Wash.Loading, speed(s.Show, s.Wash.Induced), speed(s.Show, s.Wash.Far), s.Show.Length(s.Hook), speed(s.Show, s.Wash.Beneath(s.Hook)))
	h := p.TextBox(area.Min(), area.W, words, look.Body.At(draw.Start, draw.CapTop)) + look.Space
	area.Y, area.H = area.Y+h, area.H-h
	half := (area.W - look.Wide) / 2
	washPlot(&p.List, s, draw.Rect{X: area.X, Y: area.Y, W: half, H: area.H})
	rings(&p.List, s, draw.Rect{X: area.X + half + look.Wide, Y: area.Y, W: half, H: area.H})
	return p
}

// speed writes a wind speed in m/s with kt beside it.
func speed(show quantity.System, ms float64) string {
	if show == quantity.US {
		return show.Speed(ms)
	}
	return fmt.Sprintf("%s (%.0f kt)", show.Speed(ms), ms/quantity.Knot)
}

func washPlot(l *draw.List, s WashSheet, frame draw.Rect) {
	sc := scales{s.Show}
	unit := sc.unit("m/s", "kt")
	radius := s.Wash.Rotors.Diameter / 2
	x := chart.Series{}
	for i := 0; i <= 120; i++ {
		d := 12 * radius * float64(i) / 120
		if v, err := s.Wash.Ring(d); err == nil {
			x.Points = append(x.Points, draw.Pt(sc.in(d, sc.height()), sc.in(v, unit)))
		}
	}
	plot := chart.Plot{
		Title:  "Wind near the ground: a mean, gusts are well above it",
		X:      chart.Axis{Label: "distance from the axis of the nearest rotor, " + sc.height(), Zero: true},
		Y:      chart.Axis{Label: "highest mean wind, " + unit, Zero: true},
		Series: []chart.Series{x},
	}
	plot.Draw(l, frame)
}

// rings draws the ground around one rotor from above, at scale.
func rings(l *draw.List, s WashSheet, frame draw.Rect) {
	radius := s.Wash.Rotors.Diameter / 2
	y := frame.Y + l.TextBox(frame.Min(), frame.W, "Around one rotor, from above", look.Head.At(draw.Start, draw.CapTop)) + look.Space
	box := draw.Rect{X: frame.X, Y: y, W: frame.W, H: frame.Y + frame.H - y}
	middle := draw.Pt(box.X+box.W/2, box.Y+box.H/2)
	scale := math.Min(box.W, box.H) / 2 / (12.4 * radius)
	labels := draw.Labels{Bounds: box, Gap: 0.8}
	var names []draw.Label
	for _, n := range washRings {
		d := n * radius
		v, err := s.Wash.Ring(d)
		if err != nil {
			continue
		}
		l.Circle(middle, d*scale, look.Detail, draw.Paint{})
		at := middle.Add(draw.Polar(d*scale, -62))
		names = append(names, draw.Label{Lines: []string{fmt.Sprintf("%s: %s", s.Show.Length(d), speed(s.Show, v))}, Style: look.OnDrawing, Anchor: at, Prefer: draw.Pt(1, -0.6), Wide: true})
	}
	l.Circle(middle, radius*scale, look.Outline, look.Load)
	l.Line(middle.Add(draw.Pt(-radius*scale, 0)), middle.Add(draw.Pt(radius*scale, 0)), look.Center)
	l.Line(middle.Add(draw.Pt(0, -radius*scale)), middle.Add(draw.Pt(0, radius*scale)), look.Center)
	l.Labels(labels.Place(names), look.Leader)
}
