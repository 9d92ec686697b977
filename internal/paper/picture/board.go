package picture

import (
	"strings"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// Board is the picture that a rig is drawn as by default, an A4 sheet lying
// down: its status above everything, the result, four views, the legs in a
// table, the legend of lines and signs, and the caution. With ground, the load
// as it stands; the answer may then be nil.
func Board(r *rig.Rig, a *rig.Answer, ground bool) *draw.Picture {
	const w, h = 297.0, 210.0
	s := newScene(r, a, Options{View: Side, Ground: ground})
	title := strings.Replace(s.title(), ", side view, ", ", four views, ", 1)
	p := draw.New(w, h, title, s.describe())
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	inner := p.Frame().Inset(look.Margin - 2)
	y := header(&p.List, r, a, inner)
	foot := footer(&p.List, r, a, ground, inner)
	area := draw.Rect{X: inner.X, Y: y, W: inner.W, H: foot - y}
	Four(&p.List, r, a, ground, area)
	return p
}

// header writes the status, title and result and returns where the views may
// begin.
func header(l *draw.List, r *rig.Rig, a *rig.Answer, area draw.Rect) float64 {
	y := area.Y
	right := 0.0
	if r.Invented() {
		l.TextBox(draw.Pt(area.X+area.W, y), area.W, "INVENTED", look.Loud.At(draw.End, draw.CapTop))
		right = look.Loud.Width("INVENTED") + look.Wide
	}
	if a != nil {
		y += l.TextBox(draw.Pt(area.X, y), area.W-right, strings.ToUpper(a.Status.String()), look.Loud.At(draw.Start, draw.CapTop))
	} else {
		y += look.Loud.LineHeight()
	}
	y += l.TextBox(draw.Pt(area.X, y), area.W, spelling.Short(r.Title(), 200), look.Title.At(draw.Start, draw.CapTop))
	if a == nil {
		return y
	}
	style := look.Strong.At(draw.Start, draw.CapTop)
	if a.Result == rig.Over || a.Result == rig.DoesNotStand {
		style = style.WithPaint(look.Over)
	}
	text := spelling.Capital(a.Result.Words()) + ": " + a.Reason
	y += l.TextBox(draw.Pt(area.X, y), area.W, spelling.Short(text, 420), style)
	return y + 1.5*look.Unit
}

// footer writes the legend and the caution and returns where it begins.
func footer(l *draw.List, r *rig.Rig, a *rig.Answer, ground bool, area draw.Rect) float64 {
	text := rig.Caution
	if a != nil && a.Status.Draft() != "" {
		text += " " + spelling.Capital(a.Status.Draft()) + "."
	}
	style := look.Small.WithPaint(look.Ink).At(draw.Start, draw.CapTop)
	y := area.Y + area.H - draw.TextHeight(text, area.W, style)
	l.TextBox(draw.Pt(area.X, y), area.W, text, style)
	y -= 5
	if a != nil && !ground {
		Legend(l, draw.Pt(area.X, y+1.5), area.W)
		y -= 4.2
		signs(l, r, draw.Pt(area.X, y+1.5))
	} else {
		signs(l, r, draw.Pt(area.X, y+1.5))
	}
	return y - look.Space
}

// Legend draws the line of each band of shares of rating side by side; it needs
// a width of about 175 mm.
func Legend(l *draw.List, at draw.Point, width float64) {
	style := look.Small.WithPaint(look.Ink).At(draw.Start, draw.CapMiddle)
	sample := 10.0
	if width < 220 {
		sample = 6
	}
	bands := look.Bands()
	used := 0.0
	for _, b := range bands {
		used += sample + look.Unit + style.Width(b.Words())
	}
	gap := min(2*look.Wide, (width-used)/float64(len(bands)-1))
	for _, b := range bands {
		l.Line(at, at.Add(draw.Pt(sample, 0)), b.Leg())
		at.X += sample + look.Unit
		l.Text(at, b.Words(), style)
		at.X += style.Width(b.Words()) + gap
	}
}

// signs explains the signs of the drawing, those that this rig has.
func signs(l *draw.List, r *rig.Rig, at draw.Point) {
	x := at.X
	style := look.Small.WithPaint(look.Ink).At(draw.Start, draw.CapMiddle)
	word := func(room float64, text string) {
		l.Text(draw.Pt(x+room, at.Y), text, style)
		x += room + style.Width(text) + look.Wide
	}
	l.Circle(draw.Pt(x+1, at.Y), pointRadius, look.Detail, look.Ink)
	word(2.6, "lift point")
	l.Circle(draw.Pt(x+1, at.Y), pointRadius, look.Detail, look.Paper)
	word(2.6, "lift point behind a body")
	cgMark(l, draw.Pt(x+1.2, at.Y), 1.2, false)
	word(3.4, "CG")
	l.Line(draw.Pt(x, at.Y), draw.Pt(x+8, at.Y), look.Hidden)
	word(9.5, "leg behind a body")
	l.Line(draw.Pt(x, at.Y), draw.Pt(x+8, at.Y), look.Center)
	word(9.5, "plumb under the hook")
	for _, leg := range r.Legs() {
		if leg.Chain == nil {
			continue
		}
		g := l.Group("", "sign of a chain")
		stroke := look.BandLow.Leg()
		g.Line(draw.Pt(x, at.Y), draw.Pt(x+12, at.Y), stroke)
		links(g, draw.Pt(x+3.5, at.Y), draw.Pt(x+12, at.Y), stroke)
		g.Rect(draw.Rect{X: x + 2.5, Y: at.Y - 0.75, W: 2, H: 1.5}, look.Detail, look.Metal)
		word(13.5, "chain from the grab hook down")
		break
	}
}
