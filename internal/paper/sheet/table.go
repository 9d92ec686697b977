package sheet

import (
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// column is one column of a table. Width is its share of the table's width.
type column struct {
	head  string
	width float64
	right bool // numbers stand at the right
}

const rowHeight = 4.6

// table draws a ruled table with its top left corner at a place and returns
// its height. Text too long for its cell is cut, with an ellipsis.
func table(l *draw.List, at draw.Point, width float64, columns []column, rows [][]string) float64 {
	total := 0.0
	for _, c := range columns {
		total += c.width
	}
	l.Rect(draw.Rect{X: at.X, Y: at.Y, W: width, H: rowHeight}, draw.Stroke{}, look.Shade)
	line := func(y float64, cells []string, style draw.TextStyle) {
		x := at.X
		for i, c := range columns {
			w := width * c.width / total
			text := cut(cells[i], w-2, style)
			if c.right {
				l.Text(draw.Pt(x+w-1, y+rowHeight/2), text, style.At(draw.End, draw.CapMiddle))
			} else {
				l.Text(draw.Pt(x+1, y+rowHeight/2), text, style.At(draw.Start, draw.CapMiddle))
			}
			x += w
		}
	}
	heads := make([]string, len(columns))
	for i, c := range columns {
		heads[i] = c.head
	}
	line(at.Y, heads, look.Strong)
	y := at.Y + rowHeight
	for _, r := range rows {
		line(y, r, look.Body)
		y += rowHeight
		l.Line(draw.Pt(at.X, y), draw.Pt(at.X+width, y), look.GridLine)
	}
	l.Line(draw.Pt(at.X, at.Y), draw.Pt(at.X+width, at.Y), look.Rule)
	l.Line(draw.Pt(at.X, y), draw.Pt(at.X+width, y), look.Rule)
	return y - at.Y
}

// cut shortens text until it fits the width.
func cut(text string, width float64, style draw.TextStyle) string {
	if style.Width(text) <= width {
		return text
	}
	runes := []rune(text)
	for len(runes) > 0 && style.Width(string(runes)+"…") > width {
		runes = runes[:len(runes)-1]
	}
	return string(runes) + "…"
}
