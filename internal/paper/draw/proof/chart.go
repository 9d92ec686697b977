package proof

import (
	"math"

	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/chart"
	"hangtrue/internal/paper/draw/look"
)

// Charts is a picture with every kind of series, limit, note and contour.
func Charts() *draw.Picture {
	p := draw.New(190, 150, "Proof charts", "Every kind of series.")
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	names := []string{"FL", "FR", "RL", "RR"}
	lines := chart.Plot{
		Title:  "Lines, one for each series",
		X:      chart.Axis{Label: "link count of the rear legs"},
		Y:      chart.Axis{Label: "share of rating, %", Zero: true},
		Limits: []chart.Limit{{At: 100, Label: "rating entered", Beyond: chart.Above}},
		Notes:  []chart.Note{{At: draw.Pt(10, 62), Text: "plan", Marker: chart.Dot, Prefer: draw.Pt(0, 1)}},
	}
	for i, n := range names {
		s := chart.Series{Name: n, Marker: chart.Circle + chart.Marker(i)}
		for x := 3.0; x <= 25; x += 2 {
			s.Points = append(s.Points, draw.Pt(x, 40+12*float64(i)+(x-10)*(x-10)*0.2*(1-0.5*float64(i))))
		}
		lines.Series = append(lines.Series, s)
	}
	lines.Draw(&p.List, draw.Rect{X: 5, Y: 4, W: 88, H: 68})

	steps := chart.Plot{
		Title: "Steps, an area and marks",
		X:     chart.Axis{Label: "time, min"},
		Y:     chart.Axis{Label: "mass on the hook, kg"},
		Series: []chart.Series{
			{Name: "mass", Kind: chart.Step, Points: []draw.Point{{X: 0, Y: 1200}, {X: 12, Y: 900}, {X: 20, Y: 1500}, {X: 41, Y: 1500}}},
			{Name: "allowed", Kind: chart.Area, Points: []draw.Point{{X: 0, Y: 700}, {X: 41, Y: 1100}}},
			{Name: "measured", Kind: chart.Marks, Points: []draw.Point{{X: 3, Y: 1180}, {X: 15, Y: 930}, {X: 30, Y: 1480}}},
		},
		Limits: []chart.Limit{{OnX: true, At: 35, Label: "fuel", Beyond: chart.Above}},
	}
	steps.Draw(&p.List, draw.Rect{X: 98, Y: 4, W: 88, H: 68})

	contours := chart.Plot{Title: "Contour lines", X: chart.Axis{Label: "front count"}, Y: chart.Axis{Label: "rear count"}}
	var xs, ys []float64
	for i := range 41 {
		xs, ys = append(xs, 2+float64(i)*0.5), append(ys, 2+float64(i)*0.5)
	}
	z := make([][]float64, len(ys))
	for i, y := range ys {
		for _, x := range xs {
			z[i] = append(z[i], math.Hypot(x-9, (y-13)*1.4))
		}
	}
	for i, level := range []float64{2, 4, 8, 12} {
		pts, err := chart.Contour(xs, ys, z, level)
		if err != nil {
			panic(err) // the grid above is fixed
		}
		contours.Series = append(contours.Series, chart.Series{Points: pts, Inline: chart.Figure(level, 1) + "°", Stroke: look.Detail.WithWidth(0.18 + 0.12*float64(i))})
	}
	contours.Notes = []chart.Note{{At: draw.Pt(9, 13), Text: "level", Marker: chart.Cross}}
	contours.Draw(&p.List, draw.Rect{X: 5, Y: 78, W: 88, H: 68})

	bare := chart.Plot{Title: "Without data", X: chart.Axis{Label: "x", Min: -0.2, Max: 0.2}}
	bare.Draw(&p.List, draw.Rect{X: 98, Y: 78, W: 88, H: 30})
	six := chart.Plot{X: chart.Axis{Label: "the six series styles"}}
	for i := range 6 {
		six.Series = append(six.Series, chart.Series{Name: string(rune('a' + i)), Points: []draw.Point{{X: 0, Y: float64(i)}, {X: 10, Y: float64(i) - 2}}})
	}
	six.Draw(&p.List, draw.Rect{X: 98, Y: 110, W: 88, H: 36})
	return p
}
