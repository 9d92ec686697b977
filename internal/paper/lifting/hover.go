package lifting

import (
	"fmt"
	"math"

	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/chart"
	"hangtrue/internal/paper/draw/look"
)

// HoverTable is a hover table to be drawn, with what may be typing slips.
type HoverTable struct {
	Title string
	Table *lift.Table
	Slips []Slip
}

// Slip is a figure that may be a typing slip.
type Slip struct{ Row, Column, Line int }

// Hover draws hover tables on an A4 sheet lying down: the gross mass over the
// temperature, a line for each pressure altitude, a mark at every figure
// entered and a ring around each that may be a typing slip, with its line in
// the file. A row that does not fall shows as lines that cross.
func Hover(s lift.Spec, version string, tables []HoverTable) *draw.Picture {
	n, slips := 0, 0
	for _, t := range tables {
		n += len(t.Table.Altitudes) * len(t.Table.Temperatures)
		seen := map[[2]int]bool{}
		for _, x := range t.Slips {
			seen[[2]int{x.Row, x.Column}] = true
		}
		slips += len(seen)
	}
	words := "No figure is pointed out as a possible typing slip."
	if slips == 1 {
		words = "1 figure is ringed as a possible typing slip."
	} else if slips > 1 {
		words = fmt.Sprintf("%d figures are ringed as possible typing slips.", slips)
	}
	p := draw.New(wide, high, "Hover tables of "+s.Title, fmt.Sprintf("Gross mass over temperature, a line for each pressure altitude; %d figures. %s", n, words))
	source := "Figures from " + s.Source.String() + "."
	if s.Source.Publication == "" {
		source = "No source is entered."
	}
	if s.Invented {
		source = "INVENTED: this aircraft does not exist, and no figure is from a flight manual."
	}
	area := head(p, "", "Hover tables of "+s.Title, s.Invented, madeFrom("aircraft file", version),
		source+" A mark is a figure entered; between marks it is interpolated, outside the table nothing is said. "+words)
	gap := look.Wide
	w := (area.W - gap*float64(len(tables)-1)) / float64(len(tables))
	sc := scales{s.Show}
	y := massAxis(sc, tables)
	for i, t := range tables {
		hoverPlot(&p.List, sc, y, t, draw.Rect{X: area.X + float64(i)*(w+gap), Y: area.Y, W: w, H: area.H})
	}
	return p
}

// massAxis is one axis for all tables, so that they can be compared.
func massAxis(sc scales, tables []HoverTable) chart.Axis {
	low, top := math.Inf(1), math.Inf(-1)
	for _, t := range tables {
		for _, row := range t.Table.Gross {
			for _, m := range row {
				if !math.IsNaN(m) {
					low, top = math.Min(low, sc.in(m, sc.mass())), math.Max(top, sc.in(m, sc.mass()))
				}
			}
		}
	}
	if low > top { // nothing but holes
		low, top = 0, 1
	}
	step := chart.Step125(math.Max(top-low, 1), 8)
	return chart.Axis{Label: "gross mass, " + sc.mass(), Min: math.Floor(low/step) * step, Max: math.Ceil(top/step) * step}
}

func hoverPlot(l *draw.List, sc scales, y chart.Axis, t HoverTable, frame draw.Rect) {
	plot := chart.Plot{Title: t.Title, X: chart.Axis{Label: "temperature, " + sc.temperature()}, Y: y}
	point := func(i, k int) draw.Point {
		return draw.Pt(sc.in(t.Table.Temperatures[k], sc.temperature()), sc.in(t.Table.Gross[i][k], sc.mass()))
	}
	for i, altitude := range t.Table.Altitudes {
		x := chart.Series{Stroke: look.Series(i), Marker: chart.Dot, Inline: fmt.Sprintf("%.0f ft", altitude/quantity.Foot)}
		for k := range t.Table.Temperatures {
			x.Points = append(x.Points, point(i, k))
		}
		plot.Series = append(plot.Series, x)
	}
	v := plot.Draw(l, frame)
	labels := draw.Labels{Bounds: v.Area, Gap: 0.6}
	var names []draw.Label
	seen := map[[2]int]bool{}
	for _, s := range t.Slips {
		if seen[[2]int{s.Row, s.Column}] || math.IsNaN(t.Table.Gross[s.Row][s.Column]) {
			continue
		}
		seen[[2]int{s.Row, s.Column}] = true
		at := v.Map(point(s.Row, s.Column))
		l.Circle(at, 2, look.Limit, draw.Paint{})
		names = append(names, draw.Label{Lines: []string{fmt.Sprintf("line %d", s.Line)}, Style: look.Callout.WithPaint(look.Over), Anchor: at, Prefer: draw.Pt(1, -1), Clear: 2.4, Wide: true})
	}
	l.Labels(labels.Place(names), look.Leader)
}
