package docket

import (
	"strings"

	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/draw/qr"
	"hangtrue/internal/paper/draw/running"
)

// Label is a label for an item of equipment.
type Label struct {
	School, Kind, Serial, Name, Rating string
	Spoiled                            bool   // made wrong for training
	URL                                string // leads a tablet to the item
}

// The grid of a sheet of labels: three across and eight down an A4, to be cut
// along the lines or printed on sheets of that cut (70 × 37 mm, edge to edge but
// for half a millimetre above and below).
const (
	labelColumns = 3
	labelRows    = 8
	labelWidth   = running.Width / labelColumns
	labelHeight  = 37.0
	labelTop     = (running.Height - labelRows*labelHeight) / 2
)

// Labels draws labels on as many A4 pages as they need, the first skip places of
// the first page left empty. It fails where an address is too long for a code.
func Labels(list []Label, skip int) ([]*draw.Picture, error) {
	const each = labelColumns * labelRows
	skip = max(0, min(skip, each-1))
	var pages []*draw.Picture
	for i := range list {
		at := i + skip
		if at/each >= len(pages) {
			p := draw.New(running.Width, running.Height, "Equipment labels", "Labels with codes, to be cut out")
			p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
			pages = append(pages, p)
		}
		k := at % each
		g := pages[at/each].GroupAt(draw.Transform{Move: draw.Pt(float64(k%labelColumns)*labelWidth, labelTop+float64(k/labelColumns)*labelHeight)})
		if err := label(&g.List, &list[i]); err != nil {
			return nil, err
		}
	}
	return pages, nil
}

func label(l *draw.List, x *Label) error {
	l.Rect(draw.Rect{W: labelWidth, H: labelHeight}, draw.Stroke{Paint: look.Grid, Width: 0.2}, draw.Paint{})
	const edge, side = 4.0, 27.0
	code, err := qr.Code(x.URL, draw.Rect{X: edge - 1, Y: (labelHeight - side) / 2, W: side, H: side})
	if err != nil {
		return err
	}
	l.Add(code)
	left := edge + side
	w := labelWidth - left - edge
	y := edge
	put := func(text string, style draw.TextStyle, lines int, least float64) {
		if text == "" {
			return
		}
		style = fitted(text, w, lines, least, style)
		style.Leading = 1.15
		y += l.TextBox(draw.Pt(left, y), w, cutTo(text, w, lines, style), style) + 0.5
	}
	if x.Spoiled {
		l.Rect(draw.Rect{X: left, Y: y, W: w, H: 8.4}, draw.Stroke{}, look.Ink)
		style := look.Strong.WithSize(2.3).WithPaint(look.Paper)
		style.Leading = 1.2
		l.TextBox(draw.Pt(left+1, y+1.2), w-2, "TRAINING PART\nNEVER FOR FLIGHT", style)
		y += 9.2
	}
	put(x.Serial, look.Title.WithSize(5), 2, 2.4)
	put(spelling.Capital(x.Kind), look.Strong, 1, 2.2)
	if x.Rating != "" {
		put("rated "+strings.TrimPrefix(x.Rating, "rated "), look.Body, 2, 2)
	}
	if !x.Spoiled {
		put(x.Name, look.Small.WithPaint(look.Ink), 1, 1.8)
	}
	put(x.School, look.Small.WithPaint(look.Ink), 1, 1.6)
	return nil
}
