package lane

import (
	"fmt"
	"strings"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/lesson"
	"hangtrue/internal/paper/sheet"
)

// A4 in mm, standing.
const (
	pageWidth  = 210.0
	pageHeight = 297.0
)

// small is the type of what is read at the desk.
var small = look.Body.WithSize(2.4)

// notForStudents stands on every page of what shows or tells what is planted.
const notForStudents = "NOT FOR STUDENTS"

// flow is a paper in the making: what runs on from page to page.
type flow struct {
	rig    *rig.Rig // nil where the paper is about no one rig
	title  string
	mark   string // stands large at the top right of the first page, and in the heads of the others
	stamp  sheet.Stamp
	pages  []*draw.Picture
	area   draw.Rect // of the current page, without the running head and foot
	y      float64
	wide   bool
	caveat string // stands in the foot of every page
}

// newFlow begins a paper.
func newFlow(r *rig.Rig, title, mark, caveat string, wide bool, stamp sheet.Stamp) *flow {
	f := &flow{rig: r, title: title, mark: mark, caveat: caveat, wide: wide, stamp: stamp}
	f.page()
	l := f.list()
	room := f.area.W
	marks := []string{mark}
	if r != nil && r.Invented() {
		marks = append(marks, "INVENTED")
	}
	if mark == "" {
		marks = marks[1:]
	}
	style := look.Title.WithSize(0.6 * look.SizeLoud)
	style.Leading = 1
	y := f.y
	widest := 0.0
	for _, m := range marks {
		y += l.TextBox(draw.Pt(f.area.X+f.area.W, y), f.area.W, m, style.At(draw.End, draw.CapTop)) + 1
		widest = max(widest, style.Width(m))
	}
	if widest > 0 {
		room -= widest + look.Wide
	}
	if r != nil {
		status := look.Title
		status.Leading = 1
		f.y += l.TextBox(draw.Pt(f.area.X, f.y), room, strings.ToUpper(r.Status().String()), status.WithSize(0.75*look.SizeLoud)) + 1.5
	}
	f.y += l.TextBox(draw.Pt(f.area.X, f.y), room, title, look.Title) + 1
	f.y = max(f.y, y)
	return f
}

func (f *flow) list() *draw.List { return &f.pages[len(f.pages)-1].List }

func (f *flow) size() (w, h float64) {
	if f.wide {
		return pageHeight, pageWidth
	}
	return pageWidth, pageHeight
}

// page begins a new page.
func (f *flow) page() {
	w, h := f.size()
	n := len(f.pages) + 1
	desc := f.title + "."
	if f.rig != nil {
		desc += " " + sentence(f.rig.Status().String()) + "."
		if f.rig.Invented() {
			desc = "INVENTED. " + desc
		}
	}
	title := f.title
	if n > 1 {
		title += fmt.Sprintf(", page %d", n)
	}
	p := draw.New(w, h, title, desc)
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	f.pages = append(f.pages, p)
	f.area = p.Frame().Inset(look.Margin)
	f.area.H -= f.footHeight() + 1
	f.y = f.area.Y
	if n == 1 {
		return
	}
	mark := f.mark
	if f.rig != nil && f.rig.Invented() {
		mark = strings.TrimPrefix(mark+" · INVENTED", " · ")
	}
	p.Text(draw.Pt(f.area.X+f.area.W, f.y), mark, look.Strong.At(draw.End, draw.CapTop))
	text := f.title
	if f.rig != nil {
		text = sentence(f.rig.Status().String()) + " · " + text
	}
	p.Text(draw.Pt(f.area.X, f.y), oneLine(text, f.area.W-look.Strong.Width(mark)-4, look.Strong), look.Strong.At(draw.Start, draw.CapTop))
	f.y += 3.5
	p.Line(draw.Pt(f.area.X, f.y), draw.Pt(f.area.X+f.area.W, f.y), look.Rule)
	f.y += 2.5
}

// need begins a new page where less than h mm is left.
func (f *flow) need(h float64) {
	if f.y+h > f.area.Y+f.area.H && f.y > f.area.Y+8 {
		f.page()
	}
}

// write writes a text, broken over lines and pages.
func (f *flow) write(text string, style draw.TextStyle) { f.writeAt(0, text, style) }

func (f *flow) writeAt(indent float64, text string, style draw.TextStyle) {
	for _, line := range draw.Wrap(text, f.area.W-indent, style) {
		f.need(style.LineHeight())
		f.y += f.list().TextBox(draw.Pt(f.area.X+indent, f.y), f.area.W-indent, line, style)
	}
}

// head writes a heading with a rule above it.
func (f *flow) head(text string) {
	f.need(16)
	f.y += 2
	f.list().Line(draw.Pt(f.area.X, f.y), draw.Pt(f.area.X+f.area.W, f.y), look.Rule)
	f.y += 1.5
	f.write(text, look.Head)
	f.y++
}

func (f *flow) footHeight() float64 {
	w, _ := f.size()
	style := look.Small.WithPaint(look.Ink)
	return draw.TextHeight(f.caveat, w-2*look.Margin, style) + 2*style.LineHeight() + 2.5
}

// done writes the foot of every page: what the paper is not, its stamp and the
// page's number.
func (f *flow) done() []*draw.Picture {
	style := look.Small.WithPaint(look.Ink)
	pw, ph := f.size()
	x, w := look.Margin, pw-2*look.Margin
	for i, p := range f.pages {
		l := &p.List
		y := ph - look.Margin - f.footHeight()
		l.Line(draw.Pt(x, y), draw.Pt(x+w, y), look.Rule)
		y += 1.5
		y += l.TextBox(draw.Pt(x, y), w, f.caveat, style)
		page := fmt.Sprintf("page %d of %d", i+1, len(f.pages))
		strong := look.Strong.At(draw.End, draw.CapTop)
		room := w - strong.Width(page) - 3
		l.Text(draw.Pt(x+w, y+1), page, strong)
		s := f.stamp
		y += l.TextBox(draw.Pt(x, y), w, oneLine(fmt.Sprintf("Printed %s by %s", s.Date, s.Tool), room, style), style)
		if s.Version != "" {
			l.TextBox(draw.Pt(x, y), w, oneLine("Rig "+s.File+" · version SHA-256 "+s.Version, room, style), style)
		}
	}
	return f.pages
}

// figure draws a close-up in a frame with its name beneath.
func (f *flow) figure(d *lesson.Drawing, x, y, size float64, name string) {
	l := f.list()
	if d == nil {
		l.Rect(draw.Rect{X: x, Y: y, W: size, H: size}, look.GridLine, draw.Paint{})
		l.Text(draw.Pt(x+size/2, y+size/2), "not drawn", look.Small.At(draw.Middle, draw.CapMiddle))
	} else {
		l.Embed(d.Picture(true), draw.Pt(x, y), size/100)
		l.Rect(draw.Rect{X: x, Y: y, W: size, H: size}, look.Detail, draw.Paint{})
	}
	l.Text(draw.Pt(x+size/2, y+size+3), name, look.Small.WithPaint(look.Ink).At(draw.Middle, draw.Baseline))
}

// box is an empty square with words beside it, and returns where the next may
// stand.
func (f *flow) box(x, y float64, words string) float64 {
	l := f.list()
	const side = 5.0
	l.Rect(draw.Rect{X: x, Y: y, W: side, H: side}, look.Outline, look.Paper)
	l.Text(draw.Pt(x+side+1.5, y+side/2), words, look.Body.At(draw.Start, draw.CapMiddle))
	return x + side + 1.5 + look.Body.Width(words) + 6
}

// field is a line to write on with its name beneath.
func (f *flow) field(x, y, w float64, name string) {
	l := f.list()
	l.Line(draw.Pt(x, y), draw.Pt(x+w-4, y), look.Rule)
	l.Text(draw.Pt(x, y+2.8), name, look.Small.WithPaint(look.Ink).At(draw.Start, draw.Baseline))
}

// sentence begins a text with a capital.
func sentence(s string) string {
	if s == "" {
		return s
	}
	r := []rune(s)
	return strings.ToUpper(string(r[:1])) + string(r[1:])
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
