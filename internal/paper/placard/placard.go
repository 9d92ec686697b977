package placard

import (
	"math"
	"strings"

	"hangtrue/internal/engine/brief"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// placard is one page whatever the load: the counts take what is left, in as
// many columns as they need.
func placard(b *brief.Brief, s Stamp) *draw.Picture {
	p := page(Placard, b)
	area := draw.Rect{X: margin, Y: margin, W: pageWidth - 2*margin, H: pageHeight - 2*margin}
	y, status := standing(&p.List, Placard, b, area, 14)
	bottom := foot(&p.List, b, s, "page 1 of 1", area)
	for _, r := range b.Placard[0].Rows {
		size := 5.4
		if r.Label == "Aircraft" || r.Label == "Weight" {
			size = 6.6
		}
		labels, text := style(sizeText, false), style(size, true)
		const label = 36
		most := 170
		l := p.TextBox(draw.Pt(area.X, y+(text.LineHeight()-labels.LineHeight())/2), label-2, r.Label, labels)
		h := p.TextBox(draw.Pt(area.X+label, y), area.W-label, spelling.Short(r.Says(), most), text)
		y += math.Max(l, h) + 1
	}
	result := spelling.Capital(b.Result.Words()) + ": " + spelling.Short(b.Reason, 150)
	y += p.TextBox(draw.Pt(area.X, y), area.W, result, style(4, false)) + 1.5
	l := &p.List
	l.Rect(draw.Rect{X: area.X, Y: y, W: area.W, H: 8.2}, draw.Stroke{}, look.Ink)
	l.Text(draw.Pt(area.X+2, y+4.1), b.CountsHead(), style(sizeHead, true).WithPaint(look.Paper).At(draw.Start, draw.CapMiddle))
	y += 10
	counts(l, b, draw.Rect{X: area.X, Y: y, W: area.W, H: bottom - y}, status)
	return p
}

// counts draws the trace and beside it a cell for each leg.
func counts(l *draw.List, b *brief.Brief, area draw.Rect, status float64) {
	n := len(b.Counts)
	if n == 0 {
		return
	}
	cells, columns := area, 4
	if n <= 8 {
		trace := draw.Rect{X: area.X, Y: area.Y, W: area.W * 0.46, H: area.H}
		Trace(l, b, trace)
		cells = draw.Rect{X: area.X + trace.W + 4, Y: area.Y, W: area.W - trace.W - 4, H: area.H}
		columns = 2
		if n <= 2 {
			columns = 1
		}
	} else {
		for columns < n && float64((n+columns-1)/columns)*11 > area.H {
			columns++
		}
		// With room to spare the trace stands above.
		rows := float64((n + columns - 1) / columns)
		if rest := area.H - 16*rows; rest > 62 {
			Trace(l, b, draw.Rect{X: area.X + area.W/4, Y: area.Y, W: area.W / 2, H: rest - 2})
			cells = draw.Rect{X: area.X, Y: area.Y + rest, W: area.W, H: area.H - rest}
		}
	}
	rows := (n + columns - 1) / columns
	h, w := math.Min(44, cells.H/float64(rows)), cells.W/float64(columns)
	for i, c := range b.Counts {
		box := draw.Rect{X: cells.X + w*float64(i%columns), Y: cells.Y + h*float64(i/columns), W: w, H: h}.Inset(0.6)
		cell(l, c, box, status)
	}
}

func cell(l *draw.List, c brief.Count, box draw.Rect, status float64) {
	l.Rect(box, draw.Stroke{Paint: look.Ink, Width: 0.5}, draw.Paint{})
	in := box.Inset(1.4)
	remark := "to " + c.To
	if c.Seat != "" {
		remark += ", seat " + c.Seat
	}
	if !c.Chain {
		remark = "no chain; " + remark
	}
	if c.Remark != "" {
		remark += "; " + c.Remark
	}
	small := style(math.Min(4, math.Max(2.2, in.H*0.17)), false)
	lines := draw.Wrap(remark, in.W, small)
	if most := max(1, int(in.H*0.42/small.LineHeight())); len(lines) > most {
		lines = append(lines[:most-1:most-1], draw.OneLine(strings.Join(lines[most-1:], " "), in.W, small))
	}
	below := float64(len(lines)) * small.LineHeight()
	name := style(math.Min(7.5, (in.H-below)*0.62), true)
	number := style(math.Min(0.92*status, (in.H-below)*0.92), true)
	for name.Size > 2 && name.Width(c.Leg)+number.Width(c.Count)+3 > in.W {
		name.Size *= 0.93
		number.Size = math.Max(number.Size*0.97, name.Size)
	}
	mid := in.Y + (in.H-below)/2
	l.Text(draw.Pt(in.X, mid), c.Leg, name.At(draw.Start, draw.CapMiddle))
	l.Text(draw.Pt(in.X+in.W, mid), c.Count, number.At(draw.End, draw.CapMiddle))
	l.TextBox(draw.Pt(in.X, in.Y+in.H-below), in.W, strings.Join(lines, "\n"), small)
}
