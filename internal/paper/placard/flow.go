package placard

import (
	"fmt"
	"strings"

	"hangtrue/internal/engine/brief"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// piece is something that stays on one page.
type piece struct {
	height float64
	with   bool   // the next piece begins on the same page
	head   string // the heading that it stands under
	heads  bool   // it is that heading
	draw   func(l *draw.List, at draw.Point)
}

// flow lays pieces on as many pages as they need, each with the standing of the
// load on top.
func flow(k Kind, b *brief.Brief, s Stamp, pieces []piece) []*draw.Picture {
	area := draw.Rect{X: margin, Y: margin, W: pageWidth - 2*margin, H: pageHeight - 2*margin}
	var trial draw.List
	top, _ := standing(&trial, k, b, area, statusSize)
	bottom := foot(&trial, b, s, "page 9 of 9", area)
	on := onto(pieces, bottom-top, true)
	if loose := onto(pieces, bottom-top, false); len(loose) < len(on) {
		on = loose
	}
	var out []*draw.Picture
	for i, list := range on {
		p := page(k, b)
		y, _ := standing(&p.List, k, b, area, statusSize)
		for _, x := range list {
			x.draw(&p.List, draw.Pt(area.X, y))
			y += x.height
		}
		foot(&p.List, b, s, fmt.Sprintf("page %d of %d", i+1, len(on)), area)
		out = append(out, p)
	}
	return out
}

// onto puts pieces on pages with so much room. With whole, a section that fits
// on a page stands on one page; what goes on on the next has its heading again.
func onto(pieces []piece, room float64, whole bool) [][]piece {
	all := map[string]float64{}
	for _, p := range pieces {
		all[p.head] += p.height
	}
	var pages [][]piece
	var one []piece
	left := room
	for i := 0; i < len(pieces); {
		n, h := 1, pieces[i].height
		for i+n < len(pieces) && (pieces[i+n-1].with || pieces[i].heads && whole && pieces[i+n].head == pieces[i].head && all[pieces[i].head] <= room) {
			h += pieces[i+n].height
			n++
		}
		if h > left && len(one) > 0 {
			pages, one, left = append(pages, one), nil, room
			if !pieces[i].heads {
				again := heading(pieces[i].head, ", continued")
				one, left = append(one, again), left-again.height
			}
		}
		one = append(one, pieces[i:i+n]...)
		left -= h
		i += n
	}
	return append(pages, one)
}

// statusSize is the em of the status on a page of rows, mm; no text on it is
// as large.
const statusSize = 10.0

const (
	labelShare = 0.3
	rowGap     = 1.6
)

const rowsWidth = pageWidth - 2*margin

func heading(text, more string) piece {
	st := style(sizeHead, true).WithPaint(look.Paper)
	h := 8.2
	return piece{height: h + 3.4, with: true, head: text, heads: true, draw: func(l *draw.List, at draw.Point) {
		at.Y += 1.8
		l.Rect(draw.Rect{X: at.X, Y: at.Y, W: rowsWidth, H: h}, draw.Stroke{}, look.Ink)
		l.Text(draw.Pt(at.X+2, at.Y+h/2), text+more, st.At(draw.Start, draw.CapMiddle))
	}}
}

// row is a label and what it says. Very long text is cut into pieces, so that it
// can go on on the next page.
func row(r brief.Row) []piece {
	labels, text := style(sizeText, true), style(sizeText, r.Text == "")
	width := rowsWidth * (1 - labelShare)
	label := draw.Wrap(r.Label, rowsWidth*labelShare-3, labels)
	lines := draw.Wrap(r.Says(), width, text)
	step := text.LineHeight()
	const most = 24 // lines in one piece
	var out []piece
	for first := 0; first < len(lines) || first == 0; first += most {
		part := lines[min(first, len(lines)):min(first+most, len(lines))]
		last := first+most >= len(lines)
		n := len(part)
		if first == 0 {
			n = max(n, len(label))
		}
		head := label
		if first > 0 {
			head = nil
		}
		h := float64(n) * step
		if last {
			h += rowGap
		}
		out = append(out, piece{height: h, draw: func(l *draw.List, at draw.Point) {
			if len(head) > 0 {
				l.TextBox(at, rowsWidth*labelShare-3, strings.Join(head, "\n"), labels)
			}
			l.TextBox(draw.Pt(at.X+rowsWidth*labelShare, at.Y), width, strings.Join(part, "\n"), text)
			if last {
				l.Line(draw.Pt(at.X, at.Y+h-rowGap/2), draw.Pt(at.X+rowsWidth, at.Y+h-rowGap/2), draw.Stroke{Paint: look.Grid, Width: 0.25})
			}
		}})
	}
	return out
}

func sections(list []brief.Section) []piece {
	var out []piece
	for _, s := range list {
		out = append(out, heading(s.Heading, ""))
		for _, r := range s.Rows {
			for _, p := range row(r) {
				p.head = s.Heading
				out = append(out, p)
			}
		}
	}
	return out
}

func aircrew(b *brief.Brief) []piece { return append(sections(b.Aircrew), ticks(b)...) }

func team(b *brief.Brief) []piece { return append(ticks(b), sections(b.Team)...) }

// ticks are boxes that are filled in by hand. What was entered on a screen for
// the day stands in them.
func ticks(b *brief.Brief) []piece {
	const head = "Each day, before the first load"
	out := []piece{heading(head, "")}
	for i, t := range b.Ticks {
		words, line := style(sizeText, false).At(draw.Start, draw.CapMiddle), draw.Stroke{Paint: look.Ink, Width: 0.4}
		const h, box = 9.5, 6.0
		out = append(out, piece{height: h, with: i < len(b.Ticks)-1, head: head, draw: func(l *draw.List, at draw.Point) {
			mid := at.Y + h/2
			l.Rect(draw.Rect{X: at.X + 1, Y: mid - box/2, W: box, H: box}, draw.Stroke{Paint: look.Ink, Width: 0.6}, draw.Paint{})
			l.Text(draw.Pt(at.X+box+4, mid), t.Words, words)
			x := at.X + 90
			if t.By != "" {
				l.Text(draw.Pt(x, mid), spelling.Short(t.By, 26)+", "+t.At, words.AsBold())
				return
			}
			for _, f := range []struct {
				word string
				room float64
			}{{"name", 48}, {"time", 22}} {
				l.Text(draw.Pt(x, mid), f.word, words)
				x += words.Width(f.word) + 2
				l.Line(draw.Pt(x, mid+2.4), draw.Pt(x+f.room, mid+2.4), line)
				x += f.room + 3
			}
		}})
	}
	return out
}
