package docket

import (
	"fmt"
	"strings"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// A4 in millimetres, standing.
const (
	pageWidth  = 210.0
	pageHeight = 297.0
)

// mostLetters is how many letters of one text a paper prints; a longer one is
// cut and ends with an ellipsis. The record itself keeps all of it.
const mostLetters = 4000

// document is a paper of several pages in the making.
type document struct {
	title, desc string
	running     string // stands on top of every page but the first
	mark        string // stands in a frame on top of every page; "" for none
	note        string // at the foot of every page, above the page's number
	caution     bool   // the caution stands at the foot
	pages       []*draw.Picture
	area        draw.Rect
	y           float64
	again       func() // writes the head of a table that goes on on a new page; may be nil
}

func (d *document) list() *draw.List { return &d.pages[len(d.pages)-1].List }

func (d *document) bottom() float64 { return d.area.Y + d.area.H }

// page begins a new page.
func (d *document) page() {
	title := d.title
	if n := len(d.pages) + 1; n > 1 {
		title += fmt.Sprintf(", page %d", n)
	}
	p := draw.New(pageWidth, pageHeight, title, d.desc)
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	d.pages = append(d.pages, p)
	d.area = p.Frame().Inset(look.Margin)
	d.area.H -= d.footHeight() + 1
	d.y = d.area.Y
	room := d.area.W
	if d.mark != "" {
		style := look.Head.WithSize(3.6)
		w := style.Width(d.mark) + 6
		box := draw.Rect{X: d.area.X + d.area.W - w, Y: d.y - 2, W: w, H: 8}
		p.Rect(box, draw.Stroke{Paint: look.Ink, Width: 0.6}, draw.Paint{})
		p.Text(box.Center(), d.mark, style.At(draw.Middle, draw.CapMiddle))
		room -= w + look.Wide
	}
	if len(d.pages) > 1 {
		p.Text(draw.Pt(d.area.X, d.y+0.5), oneLine(d.running, room, look.Strong), look.Strong.At(draw.Start, draw.CapTop))
		d.y += 7.5
		p.Line(draw.Pt(d.area.X, d.y), draw.Pt(d.area.X+d.area.W, d.y), look.Rule)
		d.y += 2
	} else if d.mark != "" {
		d.y += 8
	}
}

// need begins a new page where less than h mm is left.
func (d *document) need(h float64) {
	if d.y+h <= d.bottom() || d.y < d.area.Y+12 {
		return
	}
	d.page()
	if d.again != nil {
		d.again()
	}
}

// write writes a text, broken over lines and pages.
func (d *document) write(text string, style draw.TextStyle) { d.writeIn(0, d.area.W, text, style) }

func (d *document) writeIn(indent, width float64, text string, style draw.TextStyle) {
	for _, line := range draw.Wrap(short(text, mostLetters), width, style) {
		d.need(style.LineHeight())
		d.y += d.list().TextBox(draw.Pt(d.area.X+indent, d.y), width, line, style)
	}
}

// heading begins a section; room is what must stand under it on the same page.
func (d *document) heading(text string, room float64) {
	d.again = nil
	d.y += look.Space
	d.need(9 + room)
	d.bar(text)
	d.again = func() { d.bar(text + ", continued") }
}

func (d *document) bar(text string) {
	l := d.list()
	l.Rect(draw.Rect{X: d.area.X, Y: d.y, W: d.area.W, H: 6}, draw.Stroke{}, look.Ink)
	l.Text(draw.Pt(d.area.X+2, d.y+3), text, look.Head.WithPaint(look.Paper).At(draw.Start, draw.CapMiddle))
	d.y += 7.5
}

// row writes cells side by side, each wrapped to its width, with a line below. A
// row too high for a page is cut into several.
func (d *document) row(widths []float64, cells []string, styles []draw.TextStyle) {
	lines := make([][]string, len(cells))
	step, most := 0.0, 0
	for i, c := range cells {
		lines[i] = draw.Wrap(short(c, mostLetters), widths[i]-2, styles[i])
		step, most = max(step, styles[i].LineHeight()), max(most, len(lines[i]))
	}
	const high = 40 // lines that stay together
	for first := 0; first == 0 || first < most; first += high {
		n := min(high, most-first)
		d.need(float64(n)*step + 1.4)
		x := d.area.X
		for i := range cells {
			part := lines[i][min(first, len(lines[i])):min(first+high, len(lines[i]))]
			d.list().TextBox(draw.Pt(x, d.y), widths[i]-2, strings.Join(part, "\n"), styles[i])
			x += widths[i]
		}
		d.y += float64(n)*step + 0.7
	}
	d.list().Line(draw.Pt(d.area.X, d.y), draw.Pt(d.area.X+d.area.W, d.y), draw.Stroke{Paint: look.Grid, Width: 0.25})
	d.y += 0.7
}

func (d *document) footHeight() float64 {
	small := look.Small.WithPaint(look.Ink)
	h := small.LineHeight() + 2.5
	if d.caution {
		h += draw.TextHeight(rig.Caution, pageWidth-2*look.Margin, small)
	}
	if d.note != "" {
		h += draw.TextHeight(d.note, pageWidth-2*look.Margin, small)
	}
	return h
}

// finish writes the foot of every page.
func (d *document) finish(stamp string) []*draw.Picture {
	small := look.Small.WithPaint(look.Ink)
	x, w := look.Margin, pageWidth-2*look.Margin
	for i, p := range d.pages {
		y := pageHeight - look.Margin - d.footHeight()
		p.Line(draw.Pt(x, y), draw.Pt(x+w, y), look.Rule)
		y += 1.5
		if d.caution {
			y += p.TextBox(draw.Pt(x, y), w, rig.Caution, small)
		}
		if d.note != "" {
			y += p.TextBox(draw.Pt(x, y), w, d.note, small)
		}
		page := fmt.Sprintf("page %d of %d", i+1, len(d.pages))
		strong := look.Strong.At(draw.End, draw.CapTop)
		p.Text(draw.Pt(x+w, y+0.4), page, strong)
		p.TextBox(draw.Pt(x, y), w, oneLine(stamp, w-strong.Width(page)-4, small), small)
	}
	return d.pages
}

// short cuts a text that is longer than so many letters.
func short(s string, most int) string {
	r := []rune(s)
	if len(r) <= most {
		return s
	}
	return strings.TrimRight(string(r[:most-1]), " ") + "…"
}

// oneLine cuts a text to one line of a width.
func oneLine(s string, width float64, style draw.TextStyle) string {
	s = strings.Join(strings.Fields(s), " ")
	if style.Width(s) <= width {
		return s
	}
	r := []rune(s)
	for len(r) > 0 && style.Width(string(r)+"…") > width {
		r = r[:len(r)-1]
	}
	return strings.TrimRight(string(r), " ") + "…"
}

// fitted is the style in the largest size, at most its own and at least the
// least, in which a text stands on so many lines of a width.
func fitted(text string, width float64, lines int, least float64, style draw.TextStyle) draw.TextStyle {
	for style.Size > least && len(draw.Wrap(text, width, style)) > lines {
		style.Size = max(least, style.Size*0.95)
	}
	return style
}

func sentence(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

func joined(between string, parts ...string) string {
	var out []string
	for _, p := range parts {
		if p != "" {
			out = append(out, p)
		}
	}
	return strings.Join(out, between)
}
