package web

import (
	"html/template"

	"hangtrue/internal/engine/air"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/chart"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/draw/svg"
)

// washPlot draws the highest mean wind near the ground over the distance.
func washPlot(show quantity.System, w air.Wash) (plotView, error) {
	const title = "Wind near the ground: a mean, gusts are well above it"
	p := draw.New(plotWidth, plotHeight, title, "Highest mean wind by distance from the axis of the nearest rotor.")
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	far, fast := "m", "m/s"
	if show == quantity.US {
		far, fast = "ft", "kt"
	}
	x := chart.Series{Stroke: look.Outline}
	const steps = 120
	for i := range steps + 1 {
		d := 12 * w.Rotors.Diameter / 2 * float64(i) / steps // as far as the method goes
		if v, err := w.Ring(d); err == nil {
			x.Points = append(x.Points, draw.Pt(quantity.In(d, far), quantity.In(v, fast)))
		}
	}
	chart.Plot{
		Title:  title,
		X:      chart.Axis{Label: "distance from the axis, " + far, Zero: true},
		Y:      chart.Axis{Label: "highest mean wind, " + fast, Zero: true},
		Series: []chart.Series{x},
	}.Draw(&p.List, p.Frame().Inset(look.Space))
	text, err := svg.String(p)
	return plotView{title, template.HTML(text)}, err // our own drawing, its texts escaped
}
