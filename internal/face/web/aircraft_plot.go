package web

import (
	"fmt"
	"html/template"
	"math"

	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/chart"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/draw/svg"
)

// A plot on a page is as wide as a telephone shows it with words large enough
// to read, mm.
const plotWidth, plotHeight = 118.0, 96.0

// hoverPlotView is the picture of a hover table with the figures entered and the
// possible slips marked.
func hoverPlotView(show quantity.System, t *lift.Table, title string, slips []lift.Slip) (plotView, error) {
	text, err := svg.String(hoverPlot(show, t, title, slips))
	return plotView{title, template.HTML(text)}, err // our own drawing, its texts escaped
}

// hoverPlot draws the gross mass over the temperature, a line for each pressure
// altitude, and a ring round each figure that may be a slip.
func hoverPlot(show quantity.System, t *lift.Table, title string, slips []lift.Slip) *draw.Picture {
	p := draw.New(plotWidth, plotHeight, title, fmt.Sprintf("Gross mass over temperature, a line for each of %d pressure altitudes.", len(t.Altitudes)))
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	warm, heavy := "degC", "kg"
	if show == quantity.US {
		warm, heavy = "degF", "lb"
	}
	at := func(i, k int) draw.Point {
		m := t.Gross[i][k]
		if !math.IsNaN(m) {
			m = quantity.In(m, heavy)
		}
		return draw.Pt(quantity.In(t.Temperatures[k], warm), m)
	}
	plot := chart.Plot{Title: title, X: chart.Axis{Label: "temperature, " + warm}, Y: chart.Axis{Label: "gross mass, " + heavy}}
	for i, altitude := range t.Altitudes {
		x := chart.Series{Stroke: look.Series(i), Marker: chart.Dot}
		for k := range t.Temperatures {
			x.Points = append(x.Points, at(i, k))
		}
		plot.Series = append(plot.Series, x)
		// Where a line stands highest it is furthest from its neighbours.
		for k := len(t.Temperatures) - 1; k >= 0; k-- {
			if !math.IsNaN(t.Gross[i][k]) {
				plot.Notes = append(plot.Notes, chart.Note{At: at(i, k), Text: altitudeTyped(show, altitude), Marker: chart.NoMarker, Prefer: draw.Pt(1, 0)})
				break
			}
		}
	}
	v := plot.Draw(&p.List, p.Frame().Inset(look.Space))
	for _, x := range slips {
		if x.Row >= 0 && x.Column >= 0 && !math.IsNaN(t.Gross[x.Row][x.Column]) {
			p.Circle(v.Map(at(x.Row, x.Column)), 2, look.Limit, draw.Paint{})
		}
	}
	return p
}

// altitudeTyped writes a table's altitude in round numbers.
func altitudeTyped(show quantity.System, m float64) string {
	if feet := m / quantity.Foot; show == quantity.US || math.Abs(feet-math.Round(feet/100)*100) < 0.5 {
		return fmt.Sprintf("%.0f ft", feet)
	}
	return fmt.Sprintf("%.0f m", m)
}
