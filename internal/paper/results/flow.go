package results

import (
	"fmt"
	"strings"

	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// A4 in millimetres, standing.
const (
	pageWidth  = 210.0
	pageHeight = 297.0
)

// Stamp says when a paper was printed and by what.
type Stamp struct{ Date, Tool string }

// paper is a document of several pages in the making.
type paper struct {
	title    string
	running  string
	note     string // at the foot of every page
	invented bool
	pages    []*draw.Picture
	area     draw.Rect
	y        float64
	again    func() // the head of a table that goes on on a new page; may be nil
}

func (d *paper) list() *draw.List { return &d.pages[len(d.pages)-1].List }

func (d *paper) bottom() float64 { return d.area.Y + d.area.H }

func (d *paper) page() {
	title := d.title
	if n := len(d.pages) + 1; n > 1 {
		title += fmt.Sprintf(", page %d", n)
	}
	desc := d.note
	if d.invented {
		desc = "INVENTED. " + desc
	}
	p := draw.New(pageWidth, pageHeight, title, desc)
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	d.pages = append(d.pages, p)
	d.area = p.Frame().Inset(look.Margin)
	d.area.H -= d.footHeight() + 1
	d.y = d.area.Y
	if len(d.pages) > 1 || d.invented {
		text := ""
		if len(d.pages) > 1 {
			text = d.running
		}
		d.y += heading(&p.List, text, d.invented, d.area)
	}
	if len(d.pages) > 1 {
		p.Line(draw.Pt(d.area.X, d.y-1), draw.Pt(d.area.X+d.area.W, d.y-1), look.Rule)
		d.y += 1
	}
}

// need begins a new page where less than h mm is left.
func (d *paper) need(h float64) {
	if d.y+h <= d.bottom() || d.y < d.area.Y+12 {
		return
	}
	d.page()
	if d.again != nil {
		d.again()
	}
}

func (d *paper) write(text string, style draw.TextStyle) {
	for _, line := range draw.Wrap(short(text, 4000), d.area.W, style) {
		d.need(style.LineHeight())
		d.y += d.list().TextBox(draw.Pt(d.area.X, d.y), d.area.W, line, style)
	}
}

// section begins a section; room is what must stand under it on the same page.
func (d *paper) section(text string, room float64) {
	d.again = nil
	d.y += 2 * look.Space
	d.need(9 + room)
	d.bar(text)
}

func (d *paper) bar(text string) {
	l := d.list()
	l.Rect(draw.Rect{X: d.area.X, Y: d.y, W: d.area.W, H: 6}, draw.Stroke{}, look.Ink)
	l.Text(draw.Pt(d.area.X+2, d.y+3), text, look.Head.WithPaint(look.Paper).At(draw.Start, draw.CapMiddle))
	d.y += 7.5
}

// table writes rows beneath a head that comes again on every page. shares are
// the columns' widths over the whole.
func (d *paper) table(section string, shares []float64, head []string, rows [][]string) {
	widths := make([]float64, len(shares))
	for i, s := range shares {
		widths[i] = s * d.area.W
	}
	heads := func() { d.row(widths, head, look.Strong.WithSize(2.3)) }
	heads()
	d.again = func() {
		d.bar(section + ", continued")
		heads()
	}
	for _, r := range rows {
		d.row(widths, r, look.Body)
	}
	d.again = nil
}

// row writes cells side by side, each wrapped to its width, with a line below.
func (d *paper) row(widths []float64, cells []string, style draw.TextStyle) {
	h := 0.0
	for i, c := range cells {
		h = max(h, draw.TextHeight(short(c, 600), widths[i]-2, style))
	}
	d.need(h + 1.6)
	x := d.area.X
	for i, c := range cells {
		d.list().TextBox(draw.Pt(x, d.y), widths[i]-2, short(c, 600), style)
		x += widths[i]
	}
	d.y += h + .7
	d.list().Line(draw.Pt(d.area.X, d.y), draw.Pt(d.area.X+d.area.W, d.y), draw.Stroke{Paint: look.Grid, Width: 0.25})
	d.y += .7
}

// picture sets a picture across the page.
func (d *paper) picture(p *draw.Picture) {
	scale := min(1, d.area.W/p.Width)
	d.need(p.Height * scale)
	d.list().Embed(p, draw.Pt(d.area.X+(d.area.W-p.Width*scale)/2, d.y), scale)
	d.y += p.Height*scale + 1
}

func (d *paper) footHeight() float64 {
	small := look.Small.WithPaint(look.Ink)
	return small.LineHeight() + 2.5 + draw.TextHeight(d.note, pageWidth-2*look.Margin, small)
}

// finish writes the foot of every page.
func (d *paper) finish(s Stamp) []*draw.Picture {
	small := look.Small.WithPaint(look.Ink)
	x, w := look.Margin, pageWidth-2*look.Margin
	for i, p := range d.pages {
		y := pageHeight - look.Margin - d.footHeight()
		p.Line(draw.Pt(x, y), draw.Pt(x+w, y), look.Rule)
		y += 1.5
		y += p.TextBox(draw.Pt(x, y), w, d.note, small)
		page := fmt.Sprintf("page %d of %d", i+1, len(d.pages))
		strong := look.Strong.At(draw.End, draw.CapTop)
		p.Text(draw.Pt(x+w, y+0.4), page, strong)
		p.TextBox(draw.Pt(x, y), w, oneLine(fmt.Sprintf("Printed %s by %s", s.Date, s.Tool), w-strong.Width(page)-4, small), small)
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

func joined(by string, parts ...string) string {
	var out []string
	for _, p := range parts {
		if p != "" {
			out = append(out, p)
		}
	}
	return strings.Join(out, by)
}
