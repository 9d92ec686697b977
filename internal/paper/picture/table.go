package picture

import (
	"fmt"
	"math"
	"strings"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// Column is one column of a table. Width is its share of the table's width.
type Column struct {
	Head  string
	Width float64
	Right bool // numbers stand at the right
}

// RowHeight is the height of a row in the usual size of type, mm.
const RowHeight = 4.6

// Table draws a ruled table with its top left corner at a place, in type of an
// em size in mm, and returns its height. Text too long for its cell is cut,
// with an ellipsis.
func Table(l *draw.List, at draw.Point, width, size float64, columns []Column, rows [][]string) float64 {
	row := RowHeight * size / look.SizeBody
	total := 0.0
	for _, c := range columns {
		total += c.Width
	}
	l.Rect(draw.Rect{X: at.X, Y: at.Y, W: width, H: row}, draw.Stroke{}, look.Shade)
	line := func(y float64, cells []string, style draw.TextStyle) {
		x := at.X
		for i, c := range columns {
			w := width * c.Width / total
			left := 1.0
			if i > 0 && columns[i-1].Right && !c.Right {
				left = 3
			}
			text := draw.OneLine(cells[i], w-1-left, style)
			if c.Right {
				l.Text(draw.Pt(x+w-1, y+row/2), text, style.At(draw.End, draw.CapMiddle))
			} else {
				l.Text(draw.Pt(x+left, y+row/2), text, style.At(draw.Start, draw.CapMiddle))
			}
			x += w
		}
	}
	heads := make([]string, len(columns))
	for i, c := range columns {
		heads[i] = c.Head
	}
	line(at.Y, heads, look.Strong.WithSize(size))
	y := at.Y + row
	for i, r := range rows {
		line(y, r, look.Body.WithSize(size))
		y += row
		if i < len(rows)-1 {
			l.Line(draw.Pt(at.X, y), draw.Pt(at.X+width, y), look.GridLine)
		}
	}
	l.Line(draw.Pt(at.X, at.Y), draw.Pt(at.X+width, at.Y), look.Rule)
	l.Line(draw.Pt(at.X, y), draw.Pt(at.X+width, y), look.Rule)
	return y - at.Y
}

// LegTable draws what each leg is set to and pulls, in an area, and returns its
// height: of the legs that do not fit, the number.
func LegTable(l *draw.List, a *rig.Answer, area draw.Rect) float64 {
	size := look.SizeBody
	row := func() float64 { return RowHeight * size / look.SizeBody }
	if float64(len(a.Legs)+1)*row() > area.H || area.W < 80 {
		size = look.SizeSmall
	}
	fit := int(area.H/row()) - 1
	show := a.Rig.Show()
	var rows [][]string
	for i := range a.Legs {
		if i == fit-1 && len(a.Legs) > fit {
			rows = append(rows, []string{"…", "", fmt.Sprintf("and %d more", len(a.Legs)-i), "", ""})
			break
		}
		x, leg := &a.Legs[i], &a.Rig.Legs()[i]
		count, pull := "–", show.Force(x.Tension)
		if leg.Count != nil {
			count = fmt.Sprint(*leg.Count)
		}
		if x.Slack {
			pull = "slack"
		}
		use := "not rated"
		if !math.IsNaN(x.Use) {
			use = show.Percent(x.Use)
		}
		rows = append(rows, []string{x.ID, count, refs(leg.To), pull, use})
	}
	return Table(l, area.Min(), area.W, size, []Column{
		{"Leg", 2, false}, {"count", 2, true}, {"to", 3.4, false}, {"pull", 2.6, true}, {"of rating", 2.6, true},
	}, rows)
}

func refs(list []rig.Ref) string {
	var out []string
	for _, r := range list {
		out = append(out, r.String())
	}
	return strings.Join(out, ", ")
}
