package walk

import (
	"fmt"
	"strings"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/sheet"
)

// A4 in millimetres, standing.
const (
	pageWidth  = 210.0
	pageHeight = 297.0
)

// mostLetters is how many letters of one text a sheet prints; a longer one is
// cut and ends with an ellipsis.
const mostLetters = 600

// Options say how a sheet is printed.
type Options struct {
	// Blind leaves out the counts of the plan, in words and pictures: the
	// inspector counts and writes down what was found.
	Blind bool
}

// Sheet is an inspection sequence as a printed checklist, one picture for each
// A4 page: whose rig and which version of it, the map of the walk, who hangs
// where, then station by station each checkpoint with what it asks, what is
// planned, a picture of how it should look and boxes to fill in; "anything
// else?", what no checkpoint asks about, and room for signatures.
func Sheet(v *inspect.Survey, q *inspect.Sequence, s sheet.Stamp, o Options) []*draw.Picture {
	d := &document{v: v, q: q, c: inspect.Cover(v, q), stamp: s, o: o}
	d.page()
	d.head()
	d.maps()
	d.stations()
	d.end()
	for i := range d.pages {
		d.foot(i)
	}
	return d.pages
}

// document is a sheet in the making.
type document struct {
	v     *inspect.Survey
	q     *inspect.Sequence
	c     *inspect.Coverage
	stamp sheet.Stamp
	o     Options
	pages []*draw.Picture
	area  draw.Rect // of the current page, without the running head and foot
	y     float64
	again func() // writes the head of what goes on on a new page; may be nil
}

// list is what the current page is drawn on.
func (d *document) list() *draw.List { return &d.pages[len(d.pages)-1].List }

// page begins a new page.
func (d *document) page() {
	r := d.v.Rig
	n := len(d.pages) + 1
	desc := "Inspection sheet. " + sentence(r.Status().String()) + "."
	if r.Invented() {
		desc = "INVENTED. " + desc
	}
	title := "Inspection sheet: " + short(r.Title(), 200)
	if n > 1 {
		title += fmt.Sprintf(", page %d", n)
	}
	p := draw.New(pageWidth, pageHeight, title, desc)
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	d.pages = append(d.pages, p)
	d.area = p.Frame().Inset(look.Margin)
	d.area.H -= d.footHeight() + 1
	d.y = d.area.Y
	if n > 1 {
		text := "Inspection sheet · " + sentence(r.Status().String()) + " · " + r.Title()
		room := d.area.W
		if r.Invented() {
			p.Text(draw.Pt(d.area.X+d.area.W, d.y), "INVENTED", look.Strong.At(draw.End, draw.CapTop))
			room -= 22
		}
		p.Text(draw.Pt(d.area.X, d.y), oneLine(text, room, look.Strong), look.Strong.At(draw.Start, draw.CapTop))
		d.y += 3.5
		p.Line(draw.Pt(d.area.X, d.y), draw.Pt(d.area.X+d.area.W, d.y), look.Rule)
		d.y += 2
	}
}

// bottom is where the room for the text of a page ends.
func (d *document) bottom() float64 { return d.area.Y + d.area.H }

// need begins a new page where less than h mm is left, and reports whether it
// did.
func (d *document) need(h float64) bool {
	if d.y+h <= d.bottom() || d.y < d.area.Y+8 {
		return false
	}
	d.page()
	if d.again != nil {
		d.again()
	}
	return true
}

// write writes a text at the left edge, broken over lines and pages.
func (d *document) write(text string, style draw.TextStyle) { d.writeAt(0, text, style) }

func (d *document) writeAt(indent float64, text string, style draw.TextStyle) {
	for _, line := range draw.Wrap(text, d.area.W-indent, style) {
		d.need(style.LineHeight())
		d.y += d.list().TextBox(draw.Pt(d.area.X+indent, d.y), d.area.W-indent, line, style)
	}
}

func sentence(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// head is the top of the first page: the status above and larger than every
// number.
func (d *document) head() {
	r, l := d.v.Rig, d.list()
	room := d.area.W
	if r.Invented() {
		style := look.Title.WithSize(0.8 * look.SizeLoud)
		style.Leading = 1
		l.TextBox(draw.Pt(d.area.X+d.area.W, d.y), d.area.W, "INVENTED", style.At(draw.End, draw.CapTop))
		room -= style.Width("INVENTED") + look.Wide
	}
	status := look.Loud
	status.Leading = 1
	text := strings.ToUpper(r.Status().String())
	if w := status.Width(text); w > room {
		status.Size = max(look.SizeTitle*1.2, status.Size*room/w*0.999)
	}
	d.y += max(look.SizeLoud, l.TextBox(draw.Pt(d.area.X, d.y), room, text, status)) + look.Unit
	if pr := r.Procedure(); pr != nil {
		var parts []string
		for _, x := range []string{pr.Publication, pr.Edition, pr.Change, pr.Paragraph} {
			if x != "" {
				parts = append(parts, x)
			}
		}
		d.write(short(strings.Join(parts, ", "), 200), look.Body)
	}
	if x := r.Status().Draft(); x != "" {
		d.write(sentence(x)+".", look.Body)
	}
	d.write("Inspection sheet: "+short(r.Title(), 160), look.Title)
	whose := short(d.q.Title, 160)
	if d.q.Source != "" {
		whose += ". Source: " + short(d.q.Source, 200)
	}
	if d.q.Made {
		whose += ". Suggested from the rig: a school's own order stands before it"
	}
	if whose != "" {
		d.write("Sequence: "+strings.TrimSuffix(whose, ".")+".", look.Body)
	}
	d.y++
	d.write(inspect.BeforeTheWalk, look.Strong)
	fill := "For each line mark one box: right, wrong, or can't tell. What is wrong or cannot be told goes into the remarks. Pictures are likenesses of good parts; the plan is what the words say."
	if d.o.Blind {
		fill += " This sheet leaves out the planned counts: count, and write down the link you find."
	}
	d.write(fill, look.Body)
	d.y += 2
}

// maps draws the map of the walk under the head, and who hangs where.
func (d *document) maps() {
	h := min(d.bottom()-d.y, 200)
	drawMap(d.list(), d.v, d.q, d.v.Stations(d.q), draw.Rect{X: d.area.X, Y: d.y, W: d.area.W, H: h})
	d.y += h + 2
	if len(d.v.Rig.Legs()) < 2 {
		return
	}
	const high = 135
	d.need(high)
	drawTrace(d.list(), d.v.Rig, inspect.Trace(d.v.Rig, inspect.AsRigged(d.v.Rig)), draw.Rect{X: d.area.X, Y: d.y, W: d.area.W, H: high})
	d.y += high + 4
}

// footHeight is the room that the foot of every page takes, mm.
func (d *document) footHeight() float64 {
	small := look.Small.WithPaint(look.Ink)
	return draw.TextHeight(rig.Caution, pageWidth-2*look.Margin, small) + 2*small.LineHeight() + 2.5
}

// foot writes the caution, the stamp and the page's number.
func (d *document) foot(i int) {
	l := &d.pages[i].List
	small := look.Small.WithPaint(look.Ink)
	x, w := look.Margin, pageWidth-2*look.Margin
	y := pageHeight - look.Margin - d.footHeight()
	l.Line(draw.Pt(x, y), draw.Pt(x+w, y), look.Rule)
	y += 1.5
	y += l.TextBox(draw.Pt(x, y), w, rig.Caution, small)
	page := fmt.Sprintf("page %d of %d", i+1, len(d.pages))
	strong := look.Strong.At(draw.End, draw.CapTop)
	room := w - strong.Width(page) - 3
	l.Text(draw.Pt(x+w, y+1), page, strong)
	s := d.stamp
	y += l.TextBox(draw.Pt(x, y), w, oneLine(fmt.Sprintf("File %s · printed %s by %s", short(s.File, 60), s.Date, s.Tool), room, small), small)
	l.TextBox(draw.Pt(x, y), w, oneLine("Rig version SHA-256 "+s.Version+". After any change of the rig this sheet is void.", room, small), small)
}
