package picture

import (
	"strings"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// Board is the picture that a rig is drawn as by default, an A4 sheet lying
// down: its status above everything, the result, four views, the legend of leg
// lines, and the caution. With ground, the load as it stands; the answer may
// then be nil.
func Board(r *rig.Rig, a *rig.Answer, ground bool) *draw.Picture {
	const w, h = 297.0, 210.0
	s := newScene(r, a, Options{View: Side, Ground: ground})
	p := draw.New(w, h, strings.TrimSuffix(s.title(), ", side view, as it hangs"), s.describe())
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	inner := p.Frame().Inset(look.Margin - 2)
	y := header(&p.List, r, a, inner)
	foot := footer(&p.List, a, inner)
	area := draw.Rect{X: inner.X, Y: y, W: inner.W, H: foot - y}
	Four(&p.List, r, a, ground, area)
	return p
}

// Four draws the four views in an area, with thin rules between them: side and
// front at full height, since a rig is taller than wide, and beside them the
// top view over the three-quarter view.
func Four(l *draw.List, r *rig.Rig, a *rig.Answer, ground bool, area draw.Rect) {
	w, h := area.W/3, area.H
	for _, part := range []struct {
		view View
		at   draw.Rect
	}{
		{Side, draw.Rect{X: area.X, Y: area.Y, W: w, H: h}},
		{Front, draw.Rect{X: area.X + w, Y: area.Y, W: w, H: h}},
		{Top, draw.Rect{X: area.X + 2*w, Y: area.Y, W: w, H: 0.42 * h}},
		{ThreeQuarter, draw.Rect{X: area.X + 2*w, Y: area.Y + 0.42*h, W: w, H: 0.58 * h}},
	} {
		l.Rect(part.at, look.GridLine, draw.Paint{})
		newScene(r, a, Options{View: part.view, Ground: ground}).draw(l, part.at)
	}
}

// header writes the status, title and result and returns where the views may
// begin.
func header(l *draw.List, r *rig.Rig, a *rig.Answer, area draw.Rect) float64 {
	y := area.Y
	if a != nil {
		l.Text(draw.Pt(area.X, y), strings.ToUpper(a.Status.String()), look.Loud.At(draw.Start, draw.CapTop))
	}
	if r.Invented() {
		l.Text(draw.Pt(area.X+area.W, y), "INVENTED", look.Loud.At(draw.End, draw.CapTop))
	}
	y += look.SizeLoud + look.Space
	l.Text(draw.Pt(area.X, y), r.Title(), look.Title.At(draw.Start, draw.CapTop))
	y += look.SizeTitle + look.Space
	if a == nil {
		return y
	}
	style := look.Head
	if a.Result == rig.Over || a.Result == rig.DoesNotStand {
		style = style.WithPaint(look.Over)
	}
	text := strings.ToUpper(a.Result.Words()[:1]) + a.Result.Words()[1:] + ": " + a.Reason
	y += l.TextBox(draw.Pt(area.X, y), area.W, text, style.WithSize(look.SizeBody).AsBold().At(draw.Start, draw.CapTop))
	return y + look.Space
}

// footer writes the legend and the caution and returns where it begins.
func footer(l *draw.List, a *rig.Answer, area draw.Rect) float64 {
	bottom := area.Y + area.H
	y := bottom - 12
	if a != nil {
		x := area.X
		for _, b := range look.Bands() {
			l.Line(draw.Pt(x, y+2), draw.Pt(x+10, y+2), b.Leg())
			l.Text(draw.Pt(x+11.5, y+2), b.Words(), look.Small.WithPaint(look.Ink).At(draw.Start, draw.CapMiddle))
			x += 14 + look.Small.Width(b.Words()) + look.Space
		}
	}
	text := rig.Caution
	if a != nil && a.Status.Draft() != "" {
		text += " " + strings.ToUpper(a.Status.Draft()[:1]) + a.Status.Draft()[1:] + "."
	}
	l.TextBox(draw.Pt(area.X, y+5.5), area.W, text, look.Small.WithPaint(look.Ink).At(draw.Start, draw.CapTop))
	return y - look.Space
}
