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
	y := area.Y
	if r.Invented() {
		p.Text(draw.Pt(area.X+area.W, y), invented, look.Strong.At(draw.End, draw.CapTop))
		y += look.Strong.LineHeight()
	}
	y += p.TextBox(draw.Pt(area.X, y), area.W, "How sure is it: "+title(r), look.Head.At(draw.Start, draw.CapTop)) + look.Unit
	y += p.TextBox(draw.Pt(area.X, y), area.W, s.Words(), look.Body.At(draw.Start, draw.CapTop)) + 1
	DrawSpread(&p.List, r, s, draw.Rect{X: area.X, Y: y, W: area.W, H: area.Y + area.H - y})
	return p
}

// BareSpread draws the distributions alone, with the mark of demo data. Size in
// mm.
func BareSpread(r *rig.Rig, s *spread.Spread, width, height float64) *draw.Picture {
	p := draw.New(width, height, "Spread of "+r.Title(), s.Words()+".")
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	area := p.Frame().Inset(look.Unit)
	if r.Invented() {
		p.Text(draw.Pt(area.X+area.W, area.Y), invented, look.Strong.At(draw.End, draw.CapTop))
	}
	DrawSpread(&p.List, r, s, area)
	return p
}

// DrawSpread draws the three distributions one beneath the other into a frame,
// with the rating and the bands that the rig has.
func DrawSpread(l *draw.List, r *rig.Rig, s *spread.Spread, frame draw.Rect) {
	h := frame.H / 3
	lim := r.Limits()
	share, limit := "highest share of a leg's rating, %", "rating"
	if !s.LegsRated {
		share, limit = "highest share of any limit, %", "limit"
	}
	for i, part := range []struct {
		label  string
		d      spread.Distribution
		unit   float64
		limits []chart.Limit
	}{
		{share, s.Use, 0.01, []chart.Limit{{OnX: true, At: 100, Label: limit, Beyond: chart.Above}}},
		{"pitch, deg (positive nose up)", s.Pitch, quantity.Degree, band(lim.Pitch)},
		{"roll, deg (positive right side down)", s.Roll, quantity.Degree, band(lim.Roll)},
	} {
		histogram(l, draw.Rect{X: frame.X, Y: frame.Y + float64(i)*h, W: frame.W, H: h - 1}, part.label, part.d, part.unit, part.limits)
	}
}

// band is a band of attitude, rad, as limits in degrees.
func band(b *[2]float64) []chart.Limit {
	if b == nil {
		return nil
	}
	return []chart.Limit{
		{OnX: true, At: b[0] / quantity.Degree, Label: "band", Beyond: chart.Below},
		{OnX: true, At: b[1] / quantity.Degree, Label: "band", Beyond: chart.Above},
	}
}

func histogram(l *draw.List, frame draw.Rect, label string, d spread.Distribution, unit float64, limits []chart.Limit) {
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
	// A limit far from every case would squeeze them together: it is left out.
	width := (d.Most - d.Least) / unit
	for _, x := range limits {
		if x.At > d.Least/unit-width && x.At < d.Most/unit+width {
			plot.Limits = append(plot.Limits, x)
		}
	}
	v := plot.Draw(l, frame)
	top := v.Map(draw.Pt(d.Planned/unit, 0))
	l.Line(draw.Pt(top.X, v.Area.Y), draw.Pt(top.X, v.Area.Y+v.Area.H), look.Center)
	l.Text(draw.Pt(top.X+1, v.Area.Y+2.5), "as entered", look.OnDrawing)
}
