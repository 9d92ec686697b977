package lesson

import (
	"fmt"
	"strings"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/sheet"
)

// A4 in mm, standing.
const (
	pageWidth  = 210.0
	pageHeight = 297.0
)

// small is the type of what is read at the desk: what it would do, sources.
var small = look.Body.WithSize(2.4)

// flow is a paper in the making: what runs on from page to page.
type flow struct {
	rig   *rig.Rig
	what  string // Handout, Picture quiz
	mark  string // stands in the foot beside the rig's version; may be ""
	stamp sheet.Stamp
	pages []*draw.Picture
	area  draw.Rect // of the current page, without the running head and foot
	y     float64
	again func() // writes the head of what goes on on a new page; may be nil
}

func newFlow(r *rig.Rig, what, mark string, stamp sheet.Stamp) *flow {
	f := &flow{rig: r, what: what, mark: mark, stamp: stamp}
	f.page()
	f.head()
	return f
}

func (f *flow) list() *draw.List { return &f.pages[len(f.pages)-1].List }

// page begins a new page.
func (f *flow) page() {
	n := len(f.pages) + 1
	desc := f.what + ". " + sentence(f.rig.Status().String()) + "."
	if f.rig.Invented() {
		desc = "INVENTED. " + desc
	}
	title := f.what + ": " + short(f.rig.Title(), 200)
	if n > 1 {
		title += fmt.Sprintf(", page %d", n)
	}
	p := draw.New(pageWidth, pageHeight, title, desc)
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	f.pages = append(f.pages, p)
	f.area = p.Frame().Inset(look.Margin)
	f.area.H -= f.footHeight() + 1
	f.y = f.area.Y
	if n == 1 {
		return
	}
	room := f.area.W
	if f.rig.Invented() {
		p.Text(draw.Pt(f.area.X+f.area.W, f.y), "INVENTED", look.Strong.At(draw.End, draw.CapTop))
		room -= 22
	}
	text := f.what + " · " + sentence(f.rig.Status().String()) + " · " + f.rig.Title()
	p.Text(draw.Pt(f.area.X, f.y), oneLine(text, room, look.Strong), look.Strong.At(draw.Start, draw.CapTop))
	f.y += 3.5
	p.Line(draw.Pt(f.area.X, f.y), draw.Pt(f.area.X+f.area.W, f.y), look.Rule)
	f.y += 2.5
}

// need begins a new page where less than h mm is left, and reports whether it
// did.
func (f *flow) need(h float64) bool {
	if f.y+h <= f.area.Y+f.area.H || f.y < f.area.Y+8 {
		return false
	}
	f.page()
	if f.again != nil {
		f.again()
	}
	return true
}

// write writes a text at an indent, broken over lines and pages.
func (f *flow) write(indent float64, text string, style draw.TextStyle) {
	for _, line := range draw.Wrap(text, f.area.W-indent, style) {
		f.need(style.LineHeight())
		f.y += f.list().TextBox(draw.Pt(f.area.X+indent, f.y), f.area.W-indent, line, style)
	}
}

// head is the top of the first page: the status above and larger than every
// number.
func (f *flow) head() {
	r, l := f.rig, f.list()
	room := f.area.W
	if r.Invented() {
		style := look.Title.WithSize(0.8 * look.SizeLoud)
		style.Leading = 1
		l.TextBox(draw.Pt(f.area.X+f.area.W, f.y), f.area.W, "INVENTED", style.At(draw.End, draw.CapTop))
		room -= style.Width("INVENTED") + look.Wide
	}
	status := look.Loud
	status.Leading = 1
	text := strings.ToUpper(r.Status().String())
	if w := status.Width(text); w > room {
		status.Size = max(look.SizeTitle*1.2, status.Size*room/w*0.999)
	}
	f.y += max(look.SizeLoud, l.TextBox(draw.Pt(f.area.X, f.y), room, text, status)) + look.Unit
	if pr := r.Procedure(); pr != nil {
		var parts []string
		for _, x := range []string{pr.Publication, pr.Edition, pr.Change, pr.Paragraph} {
			if x != "" {
				parts = append(parts, x)
			}
		}
		f.write(0, short(strings.Join(parts, ", "), 200), look.Body)
	}
	if x := r.Status().Draft(); x != "" {
		f.write(0, sentence(x)+".", look.Body)
	}
	f.write(0, f.what+": "+short(r.Title(), 160), look.Title)
	f.y++
}

// footHeight is the room that the foot of every page takes, mm.
func (f *flow) footHeight() float64 {
	style := look.Small.WithPaint(look.Ink)
	return draw.TextHeight(rig.Caution, pageWidth-2*look.Margin, style) + 2*style.LineHeight() + 2.5
}

// done writes the foot of every page: the caution, the stamp and the page's
// number.
func (f *flow) done() []*draw.Picture {
	style := look.Small.WithPaint(look.Ink)
	x, w := look.Margin, pageWidth-2*look.Margin
	for i, p := range f.pages {
		l := &p.List
		y := pageHeight - look.Margin - f.footHeight()
		l.Line(draw.Pt(x, y), draw.Pt(x+w, y), look.Rule)
		y += 1.5
		y += l.TextBox(draw.Pt(x, y), w, rig.Caution, style)
		page := fmt.Sprintf("page %d of %d", i+1, len(f.pages))
		strong := look.Strong.At(draw.End, draw.CapTop)
		room := w - strong.Width(page) - 3
		l.Text(draw.Pt(x+w, y+1), page, strong)
		s := f.stamp
		y += l.TextBox(draw.Pt(x, y), w, oneLine(fmt.Sprintf("File %s · printed %s by %s", short(s.File, 60), s.Date, s.Tool), room, style), style)
		text := "Rig version SHA-256 " + s.Version
		if f.mark != "" {
			text = f.mark + " · " + text
		}
		l.TextBox(draw.Pt(x, y), w, oneLine(text, room, style), style)
	}
	return f.pages
}

// figure draws a close-up with its top left corner at a place, in a frame. A
// good state has a double one: a second sign beside the words.
func (f *flow) figure(d *Drawing, x, y, size float64, staff, good bool) {
	l := f.list()
	if d == nil {
		l.Rect(draw.Rect{X: x, Y: y, W: size, H: size}, look.GridLine, draw.Paint{})
		l.Text(draw.Pt(x+size/2, y+size/2), "not drawn", look.Small.At(draw.Middle, draw.CapMiddle))
		return
	}
	l.Embed(d.Picture(staff), draw.Pt(x, y), size/100)
	l.Rect(draw.Rect{X: x, Y: y, W: size, H: size}, look.Detail, draw.Paint{})
	if good {
		l.Rect(draw.Rect{X: x - 0.8, Y: y - 0.8, W: size + 1.6, H: size + 1.6}, look.Detail, draw.Paint{})
	}
}

// bar writes the head of a checkpoint on a ground of its own.
func (f *flow) bar(s *Stop, more string) {
	l := f.list()
	const h = 7.0
	l.Rect(draw.Rect{X: f.area.X, Y: f.y, W: f.area.W, H: h}, draw.Stroke{}, look.Shade)
	text := s.Checkpoint.Title + more
	id := look.Body.At(draw.End, draw.CapMiddle)
	l.Text(draw.Pt(f.area.X+2, f.y+h/2), oneLine(text, f.area.W-8-id.Width(s.Checkpoint.ID), look.Head), look.Head.At(draw.Start, draw.CapMiddle))
	l.Text(draw.Pt(f.area.X+f.area.W-2, f.y+h/2), s.Checkpoint.ID, id)
	f.y += h + 1.5
}

// whose says whose sequence it is.
func whose(q *inspect.Sequence) string {
	text := short(q.Title, 160)
	if q.Source != "" {
		text += ". Source: " + short(q.Source, 200)
	}
	if q.Made {
		text += ". Suggested from the rig: a school's own order stands before it"
	}
	return text
}

// short cuts a text and ends it with an ellipsis.
func short(s string, n int) string {
	letters := []rune(s)
	if len(letters) <= n {
		return s
	}
	return string(letters[:n-1]) + "…"
}

// oneLine cuts a text to a width in mm.
func oneLine(s string, width float64, style draw.TextStyle) string {
	s = strings.Join(strings.Fields(s), " ")
	if style.Width(s) <= width {
		return s
	}
	letters := []rune(s)
	for len(letters) > 1 && style.Width(string(letters)+"…") > width {
		letters = letters[:len(letters)-1]
	}
	return string(letters) + "…"
}
