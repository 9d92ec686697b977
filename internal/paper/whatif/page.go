package whatif

import (
	"fmt"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/draw/running"
	"hangtrue/internal/paper/picture"
	"hangtrue/internal/paper/sheet"
)

// pages lays out a document from the top of its first page on. Every page has
// the rig's status above and larger than any number, the caution, and the
// version of the rig.
type pages struct {
	plan  *rig.Answer
	stamp sheet.Stamp
	what  string   // what the document is, for every page
	under []string // what stands beneath the title on the first page
	list  []*draw.Picture
	area  draw.Rect // between head and foot of the page under way
	y     float64   // how far that is filled
}

func (d *pages) p() *draw.Picture { return d.list[len(d.list)-1] }

// page begins a page.
func (d *pages) page() {
	r := d.plan.Rig
	desc := d.what + ". " + d.plan.Status.String() + "."
	if r.Invented() {
		desc = "INVENTED. " + desc
	}
	p := draw.New(running.Width, running.Height, d.what+": "+r.Title(), desc)
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	d.list = append(d.list, p)
	d.area = p.Frame().Inset(look.Margin)
	d.y = d.area.Y
	d.y += sheet.Status(&p.List, r, d.area)
	title := look.Title
	if len(d.list) > 1 {
		title = look.Head
	} else if text := r.Procedure().Words(); text != "" {
		d.say(draw.OneLine(text, 2*d.area.W, look.Body), look.Body)
		d.y += look.Unit
	}
	d.say(draw.OneLine(d.what+": "+r.Title(), 2*d.area.W, title), title)
	if len(d.list) == 1 {
		for _, text := range d.under {
			d.say(text, look.Strong)
		}
	}
	d.y += look.Space
	d.area.H = running.Height - look.Margin - d.area.Y - d.footHeight() - look.Space
}

// say writes a text over the width of the page.
func (d *pages) say(text string, style draw.TextStyle) {
	d.y += d.p().TextBox(draw.Pt(d.area.X, d.y), d.area.W, text, style.At(draw.Start, draw.CapTop))
}

// left is what the page has room for, mm.
func (d *pages) left() float64 { return d.area.Y + d.area.H - d.y }

// need begins a new page where the height given does not fit.
func (d *pages) need(h float64) {
	if d.left() < h {
		d.page()
	}
}

// head writes a heading that stays with at least so much of what follows.
func (d *pages) head(text string, with float64) {
	h := draw.TextHeight(text, d.area.W, look.Head)
	d.need(look.Space + h + look.Unit + with)
	d.y += look.Space
	d.say(text, look.Head)
	d.y += look.Unit
}

// points writes a list, each point whole on a page.
func (d *pages) points(list []string, style draw.TextStyle) {
	for _, text := range list {
		const indent = 3
		h := draw.TextHeight(text, d.area.W-indent, style)
		d.need(h)
		d.p().Text(draw.Pt(d.area.X, d.y), "–", style.At(draw.Start, draw.CapTop))
		d.y += d.p().TextBox(draw.Pt(d.area.X+indent, d.y), d.area.W-indent, text, style.At(draw.Start, draw.CapTop)) + look.Unit/2
	}
}

// table writes a table, going on over as many pages as it takes.
func (d *pages) table(columns []picture.Column, rows [][]string) {
	for len(rows) > 0 {
		d.need(3 * picture.RowHeight)
		n := min(len(rows), int(d.left()/picture.RowHeight)-1)
		d.y += picture.Table(&d.p().List, draw.Pt(d.area.X, d.y), d.area.W, look.SizeBody, columns, rows[:n]) + look.Space
		rows = rows[n:]
	}
}

// put places a picture over the width of the page.
func (d *pages) put(p *draw.Picture, at, scale float64) {
	d.p().Embed(p, draw.Pt(d.area.X+at, d.y), scale)
}

func (d *pages) caution() string {
	text := rig.Caution
	if draft := d.plan.Status.Draft(); draft != "" {
		text += " " + spelling.Capital(draft) + "."
	}
	return text
}

func (d *pages) footHeight() float64 {
	return draw.TextHeight(d.caution(), running.Width-2*look.Margin, look.Strong) + look.Unit + 3*look.Small.LineHeight()
}

// done writes the foot of every page, now that their number is known.
func (d *pages) done() []*draw.Picture {
	small := look.Small.WithPaint(look.Ink)
	width := running.Width - 2*look.Margin
	for i, p := range d.list {
		y := running.Height - look.Margin - d.footHeight()
		p.Line(draw.Pt(look.Margin, y-look.Unit), draw.Pt(look.Margin+width, y-look.Unit), look.Rule)
		y += p.TextBox(draw.Pt(look.Margin, y), width, d.caution(), look.Strong.At(draw.Start, draw.CapTop)) + look.Unit
		number := fmt.Sprintf("page %d of %d", i+1, len(d.list))
		p.Text(draw.Pt(look.Margin+width, y), number, small.At(draw.End, draw.CapTop))
		room := width - small.Width(number) - look.Space
		for _, text := range []string{
			fmt.Sprintf("%s · file %s · printed %s by %s", draw.OneLine(d.plan.Rig.Title(), 0.45*width, small), draw.OneLine(d.stamp.File, 0.2*width, small), d.stamp.Date, d.stamp.Tool),
			"Rig version SHA-256 " + d.stamp.Version,
			"This sheet holds for that version of the rig only. After any change it is void.",
		} {
			p.Text(draw.Pt(look.Margin, y), draw.OneLine(text, room, small), small.At(draw.Start, draw.CapTop))
			y += small.LineHeight()
			room = width
		}
	}
	return d.list
}
