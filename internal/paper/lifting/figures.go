package lifting

import (
	"fmt"

	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// FiguresSheet is what was entered and what was worked out from it, as one page
// of figures.
type FiguresSheet struct {
	Title    string
	Result   string // in words; "" where nothing is judged
	Reason   string
	Invented bool
	Groups   []FigureGroup
	Notes    []string
	Version  string // of the file it was worked out from, "" where there is none
}

// FigureGroup is some figures under a heading.
type FigureGroup struct {
	Title string
	Rows  []Figure
}

// Figure is one figure: what it is, its value with its unit, and what is to be
// said of it.
type Figure struct{ What, Value, Note string }

// Figures draws the sheet on A4 standing. Figures for which the page has no room
// are counted on its last line.
func Figures(s FiguresSheet) *draw.Picture {
	p := draw.New(high, wide, s.Title, s.Reason)
	area := head(p, "", s.Title, s.Invented, madeFrom("the file", s.Version))
	y, bottom := area.Y, area.Y+area.H
	if s.Result != "" {
		y += p.TextBox(draw.Pt(area.X, y), area.W, spelling.Capital(s.Result), look.Head.At(draw.Start, draw.CapTop)) + look.Unit
		y += p.TextBox(draw.Pt(area.X, y), area.W, spelling.Capital(s.Reason)+".", look.Body.At(draw.Start, draw.CapTop)) + look.Space
	}
	what, value, note := look.Body.At(draw.Start, draw.CapTop), look.Strong.At(draw.End, draw.CapTop), look.Small.WithPaint(look.Ink).At(draw.Start, draw.CapTop)
	var columns [3]draw.Rect // left edge and width of each
	columns[0] = draw.Rect{X: area.X, W: 0.34 * area.W}
	columns[1] = draw.Rect{X: area.X + 0.34*area.W, W: 0.26 * area.W}
	columns[2] = draw.Rect{X: area.X + 0.6*area.W + look.Wide, W: 0.4*area.W - look.Wide}
	notes := 0.0
	for _, n := range s.Notes {
		notes += draw.TextHeight(n, area.W, what) + look.Unit
	}
	left := 0
	for _, g := range s.Groups {
		for k, f := range g.Rows {
			h := max(draw.TextHeight(f.What, columns[0].W, what), draw.TextHeight(f.Value, columns[1].W, value), draw.TextHeight(f.Note, columns[2].W, note)) + look.Space
			start := 0.0
			if k == 0 {
				start = look.Wide + look.Head.LineHeight()
			}
			if left > 0 || y+start+h > bottom-notes-2*look.Wide {
				left++
				continue
			}
			if k == 0 {
				y += look.Wide
				y += p.TextBox(draw.Pt(area.X, y), area.W, g.Title, look.Head.At(draw.Start, draw.CapTop))
			}
			p.TextBox(draw.Pt(columns[0].X, y+look.Unit), columns[0].W, f.What, what)
			p.TextBox(draw.Pt(columns[1].X+columns[1].W, y+look.Unit), columns[1].W, f.Value, value)
			p.TextBox(draw.Pt(columns[2].X, y+look.Unit), columns[2].W, f.Note, note)
			y += h
			p.Line(draw.Pt(area.X, y), draw.Pt(area.X+area.W, y), look.GridLine)
		}
	}
	y += look.Wide
	if left > 0 {
		y += p.TextBox(draw.Pt(area.X, y), area.W, fmt.Sprintf("Not on this page for want of room: %d lines more.", left), look.Strong.At(draw.Start, draw.CapTop)) + look.Unit
	}
	for _, n := range s.Notes {
		y += p.TextBox(draw.Pt(area.X, y), area.W, n, what) + look.Unit
	}
	return p
}
