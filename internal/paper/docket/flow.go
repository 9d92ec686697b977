package docket

import (
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/draw/running"
)

// mostLetters is how many letters of one text a paper prints; a longer one is
// cut and ends with an ellipsis. The record itself keeps all of it.
const mostLetters = 4000

// begin begins a paper of several pages. title stands on top of every page but
// the first, mark in a frame on top of every page; "" for none.
func begin(p *running.Paper, title, mark string) *running.Paper {
	p.Longest = mostLetters
	p.Head = func() {
		l, room := p.List(), p.Area.W
		if mark != "" {
			style := look.Head.WithSize(3.6)
			w := style.Width(mark) + 6
			box := draw.Rect{X: p.Area.X + p.Area.W - w, Y: p.Y - 2, W: w, H: 8}
			l.Rect(box, draw.Stroke{Paint: look.Ink, Width: 0.6}, draw.Paint{})
			l.Text(box.Center(), mark, style.At(draw.Middle, draw.CapMiddle))
			room -= w + look.Wide
		}
		if p.Number() > 1 {
			l.Text(draw.Pt(p.Area.X, p.Y+0.5), draw.OneLine(title, room, look.Strong), look.Strong.At(draw.Start, draw.CapTop))
			p.Y += 7.5
			p.Rule(look.Rule)
			p.Y += 2
		} else if mark != "" {
			p.Y += 8
		}
	}
	p.Page()
	return p
}

// fitted is the style in the largest size, at most its own and at least the
// least, in which a text stands on so many lines of a width.
func fitted(text string, width float64, lines int, least float64, style draw.TextStyle) draw.TextStyle {
	for style.Size > least && len(draw.Wrap(text, width, style)) > lines {
		style.Size = max(least, style.Size*0.95)
	}
	return style
}
