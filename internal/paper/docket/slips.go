package docket

import (
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/draw/qr"
	"hangtrue/internal/paper/draw/running"
)

// Slip hands a person their one-time link on paper.
type Slip struct {
	School, Name, Group string
	URL                 string // the link; whoever has it can sign in as the person
	Until               string // it works until then
	Trust               string // where a device is first led to trust the school; "" for nowhere
}

// The grid of a sheet of slips: two across and five down an A4, to be cut along
// the lines.
const (
	slipColumns = 2
	slipRows    = 5
	slipWidth   = running.Width / slipColumns
	slipHeight  = running.Height / slipRows
)

// Slips draws slips on as many A4 pages as they need. It fails where a link is too
// long for a code.
func Slips(list []Slip) ([]*draw.Picture, error) {
	const each = slipColumns * slipRows
	var pages []*draw.Picture
	for i := range list {
		if i%each == 0 {
			p := draw.New(running.Width, running.Height, "One-time links", "Slips with a name, a code and a link each, to be cut apart")
			p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
			pages = append(pages, p)
		}
		k := i % each
		g := pages[i/each].GroupAt(draw.Transform{Move: draw.Pt(float64(k%slipColumns)*slipWidth, float64(k/slipColumns)*slipHeight)})
		if err := slip(&g.List, &list[i]); err != nil {
			return nil, err
		}
	}
	return pages, nil
}

func slip(l *draw.List, x *Slip) error {
	l.Rect(draw.Rect{W: slipWidth, H: slipHeight}, draw.Stroke{Paint: look.Grid, Width: 0.2}, draw.Paint{})
	// Printers leave some millimetres of the sheet's edge white.
	const edge, side = 7.0, 36.0
	code, err := qr.Code(x.URL, draw.Rect{X: edge - 1, Y: edge, W: side, H: side})
	if err != nil {
		return err
	}
	l.Add(code)
	put := func(at draw.Point, text string, w float64, style draw.TextStyle, lines int, least float64) float64 {
		if text == "" {
			return 0
		}
		style = fitted(text, w, lines, least, style)
		style.Leading = 1.2
		return l.TextBox(at, w, cutTo(text, w, lines, style), style) + 0.8
	}
	left, y := edge+side+1, edge+1
	w := slipWidth - left - edge
	y += put(draw.Pt(left, y), x.Name, w, look.Title.WithSize(4.6), 2, 2.6)
	if x.Group != "" {
		y += put(draw.Pt(left, y), "group "+x.Group, w, look.Body, 1, 2.2)
	}
	y += put(draw.Pt(left, y), x.School, w, look.Small.WithPaint(look.Ink), 2, 1.8)
	y += put(draw.Pt(left, y), "Works once, until "+x.Until+".", w, look.Strong.WithSize(2.6), 2, 2)
	put(draw.Pt(left, y), "Whoever has this slip can sign in as you. Use it soon, then tear it up.", w, look.Small.WithPaint(look.Ink), 3, 1.8)
	y = edge + side + 1
	y += put(draw.Pt(edge, y), x.URL, slipWidth-2*edge, look.Small.WithPaint(look.Ink), 2, 1.6)
	if x.Trust != "" {
		put(draw.Pt(edge, y), "On a device that does not know the school yet, open this first: "+x.Trust, slipWidth-2*edge, look.Small.WithPaint(look.Ink), 2, 1.6)
	}
	return nil
}
