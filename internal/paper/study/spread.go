package study

import (
	"fmt"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/spread"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/chart"
	"hangtrue/internal/paper/draw/look"
)

// Spread draws how the highest share of a limit, pitch and roll are
// distributed over the cases tried. Size in mm.
func Spread(r *rig.Rig, s *spread.Spread, width, height float64) *draw.Picture {
	p := draw.New(width, height, "Spread of "+r.Title(), s.Words()+".")
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	area := p.Frame().Inset(look.Wide)
	p.Text(area.Min(), "How sure is it: "+r.Title(), look.Head.At(draw.Start, draw.CapTop))
	if r.Invented() {
		p.Text(draw.Pt(area.X+area.W, area.Y), "INVENTED", look.Strong.At(draw.End, draw.CapTop))
	}
	y := area.Y + 6
	y += p.TextBox(draw.Pt(area.X, y), area.W, s.Words(), look.Body.At(draw.Start, draw.CapTop)) + 1
	h := (area.Y + area.H - y) / 3
	for i, part := range []struct {
		label string
		d     spread.Distribution
		unit  float64
		limit *chart.Limit
	}{
		{"highest share of a leg's rating, %", s.Use, 0.01, &chart.Limit{OnX: true, At: 100, Label: "rating", Beyond: chart.Above}},
		{"pitch, deg (positive nose up)", s.Pitch, quantity.Degree, nil},
		{"roll, deg (positive right side down)", s.Roll, quantity.Degree, nil},
	} {
		histogram(&p.List, draw.Rect{X: area.X, Y: y + float64(i)*h, W: area.W, H: h - 1}, part.label, part.d, part.unit, part.limit)
	}
	return p
}

func histogram(l *draw.List, frame draw.Rect, label string, d spread.Distribution, unit float64, limit *chart.Limit) {
	if len(d.Bins) == 0 {
		return
	}
	step := (d.Most - d.Least) / float64(len(d.Bins))
	if step <= 0 {
		l.Text(frame.Min().Add(draw.Pt(0, 4)), fmt.Sprintf("%s: always %s", label, quantity.FormatNumber(d.Least/unit)), look.Body)
		return
	}
	var points []draw.Point
	for i, n := range d.Bins {
		x := d.Least + step*float64(i)
		points = append(points, draw.Pt(x/unit, float64(n)), draw.Pt((x+step)/unit, float64(n)))
	}
	plot := chart.Plot{
		X:      chart.Axis{Label: label},
		Y:      chart.Axis{Label: "cases", Zero: true},
		Series: []chart.Series{{Kind: chart.Area, Points: points, Stroke: look.Outline}},
	}
	if limit != nil && d.Most/unit > 0.8*limit.At {
		plot.Limits = append(plot.Limits, *limit)
	}
	v := plot.Draw(l, frame)
	top := v.Map(draw.Pt(d.Planned/unit, 0))
	l.Line(draw.Pt(top.X, v.Area.Y), draw.Pt(top.X, v.Area.Y+v.Area.H), look.Center)
	l.Text(draw.Pt(top.X+1, v.Area.Y+2.5), "as entered", look.OnDrawing)
}
