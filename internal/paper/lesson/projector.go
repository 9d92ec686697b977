package lesson

import (
	"fmt"
	"strings"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/sheet"
)

// A projector's page in mm: 16 to 9. Its type is large for its height, since it
// is read from the back of a room.
const (
	screenWidth  = 320.0
	screenHeight = 180.0
	screenMargin = 9.0
	screenGood   = 84.0 // side of the picture of right
)

var (
	screenStatus = look.Loud.WithSize(9)
	screenAsk    = look.Strong.WithSize(7)
	screenBody   = look.Body.WithSize(5)
	screenSmall  = look.Body.WithSize(4.5)
)

// Projector is the lesson as pages for a projector: a page or more for each
// question, with where to stand, how right looks, how each wrong state looks,
// why it matters and what it would do to this load. A question that an earlier
// checkpoint asked is named on one page.
func Projector(l *Lesson, s sheet.Stamp) []*draw.Picture {
	b := &screens{l: l, stamp: s}
	for i := range l.Stops {
		stop := &l.Stops[i]
		again := false
		for k := range stop.Questions {
			q := &stop.Questions[k]
			if q.Before >= 0 {
				again = true
				continue
			}
			for from := 0; from == 0 || from < len(q.Wrong); from += beside(q) {
				b.question(stop, q, from)
			}
		}
		if again || len(stop.Questions) == 0 {
			b.again(stop)
		}
	}
	p := b.page(nil)
	y := 60.0
	for _, text := range []string{inspect.AnythingElse, inspect.Cover(l.Survey, l.Sequence).Claim()} {
		y += p.TextBox(draw.Pt(screenMargin, y), screenWidth-2*screenMargin, text, screenAsk) + 6
	}
	b.foot()
	return b.pages
}

type screens struct {
	l     *Lesson
	stamp sheet.Stamp
	pages []*draw.Picture
}

// page begins a page: the status above and larger than every number, then where
// on the walk it is.
func (b *screens) page(s *Stop) *draw.Picture {
	r := b.l.Survey.Rig
	desc := "Lesson. " + spelling.Capital(r.Status().String()) + "."
	if r.Invented() {
		desc = "INVENTED. " + desc
	}
	p := draw.New(screenWidth, screenHeight, fmt.Sprintf("Lesson: %s, page %d", spelling.Short(r.Title(), 200), len(b.pages)+1), desc)
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	b.pages = append(b.pages, p)
	room := screenWidth - 2*screenMargin
	if r.Invented() {
		style := screenAsk.At(draw.End, draw.CapTop)
		p.Text(draw.Pt(screenWidth-screenMargin, screenMargin), "INVENTED", style)
		room -= style.Width("INVENTED") + 6
	}
	status := screenStatus
	text := strings.ToUpper(r.Status().String())
	if w := status.Width(text); w > room {
		status.Size = max(screenAsk.Size*1.1, status.Size*room/w*0.999)
	}
	p.Text(draw.Pt(screenMargin, screenMargin), draw.OneLine(text, room, status), status.At(draw.Start, draw.CapTop))
	where := spelling.Short(r.Title(), 160)
	if s != nil {
		where = fmt.Sprintf("%s %s. Station %d: stand %s.", s.Checkpoint.ID, s.Checkpoint.Title, s.Station, s.Place)
	}
	p.Text(draw.Pt(screenMargin, screenMargin+9.5), draw.OneLine(where, screenWidth-2*screenMargin, screenBody), screenBody.At(draw.Start, draw.CapTop))
	p.Line(draw.Pt(screenMargin, screenMargin+15), draw.Pt(screenWidth-screenMargin, screenMargin+15), look.Rule)
	return p
}

// question writes one question with its wrong states from the from-th on.
func (b *screens) question(s *Stop, q *Question, from int) {
	p := b.page(s)
	w := screenWidth - 2*screenMargin
	y := screenMargin + 18
	ask := q.Attribute.Ask
	if from > 0 {
		ask += " (continued)"
	}
	y += p.TextBox(draw.Pt(screenMargin, y), w, ask, screenAsk)
	y += p.TextBox(draw.Pt(screenMargin, y), w, draw.OneLine(spelling.Capital(Names(q.Parts))+" · "+Do(q.Do), w, screenBody), screenBody) + 2
	top, x := y, screenMargin
	if q.Good != nil {
		q.Good.Framed(&p.List, draw.Pt(x+1, y+1), screenGood-2, true)
		p.Rect(draw.Rect{X: x, Y: y, W: screenGood, H: screenGood}, look.Outline, draw.Paint{})
		y += screenGood + 2
	}
	for i := range q.Plans {
		if text := q.Right(&q.Plans[i]); text != "" {
			y += fitted(&p.List, draw.Pt(x, y), screenGood, screenHeight-screenMargin-9-y, text, screenBody)
		}
	}
	x += screenGood + 8
	n := beside(q)
	cell := (screenWidth - screenMargin - x - 6*float64(n-1)) / float64(n)
	for k := from; k < min(from+n, len(q.Wrong)); k++ {
		b.wrong(p, &q.Wrong[k], q, draw.Rect{X: x, Y: top, W: cell, H: screenHeight - screenMargin - 9 - top})
		x += cell + 6
	}
}

// beside is how many wrong states of a question stand on one page: so many that
// of several none is left alone on the last.
func beside(q *Question) int {
	if len(q.Wrong) < 2 {
		return 1
	}
	if n := len(q.Wrong); n == 3 || n > 4 && n%3 != 1 {
		return 3
	}
	return 2
}

func (b *screens) wrong(p *draw.Picture, x *Wrong, q *Question, in draw.Rect) {
	head, style := "Wrong: "+x.Found()+".", screenBody.AsBold()
	var rest []string
	if text := x.Why(); text != "" {
		rest = append(rest, text)
	}
	for k := range x.Cases {
		if words := x.Cases[k].Words(q.Parts); words != "" {
			rest = append(rest, "Computed: "+words)
		}
	}
	text := strings.Join(rest, "\n")
	y := in.Y
	if x.Drawing != nil {
		// What is said comes first: the picture takes what is left of the height.
		side := min(in.W, 72, max(36, in.H-3-draw.TextHeight(head, in.W, style)-draw.TextHeight(text, in.W, screenSmall)))
		x.Drawing.Framed(&p.List, draw.Pt(in.X, y), side, true)
		y += side + 2
	}
	y += fitted(&p.List, draw.Pt(in.X, y), in.W, in.Y+in.H-y, head, style) + 1
	fitted(&p.List, draw.Pt(in.X, y), in.W, in.Y+in.H-y, text, screenSmall)
}

// again names the questions of a stop that were asked before.
func (b *screens) again(s *Stop) {
	p := b.page(s)
	y := screenMargin + 18
	w := screenWidth - 2*screenMargin
	if len(s.Questions) == 0 {
		p.TextBox(draw.Pt(screenMargin, y), w, "Asks about nothing on this rig.", screenAsk)
		return
	}
	y += p.TextBox(draw.Pt(screenMargin, y), w, "Asked before, and here again", screenAsk) + 2
	var lines []string
	for i := range s.Questions {
		if q := &s.Questions[i]; q.Before >= 0 {
			lines = append(lines, fmt.Sprintf("– %s (%s; %s)", q.Attribute.Ask, spelling.Capital(Names(q.Parts)), b.l.Stops[q.Before].Checkpoint.ID))
		}
	}
	// Two columns where one does not do.
	style, room := screenBody, screenHeight-screenMargin-9-y
	if whole := draw.TextHeight(strings.Join(lines, "\n"), w, style); whole > room {
		half := (len(lines) + 1) / 2
		fitted(&p.List, draw.Pt(screenMargin, y), w/2-4, room, strings.Join(lines[:half], "\n"), style)
		fitted(&p.List, draw.Pt(screenMargin+w/2+4, y), w/2-4, room, strings.Join(lines[half:], "\n"), style)
		return
	}
	p.TextBox(draw.Pt(screenMargin, y), w, strings.Join(lines, "\n"), style)
}

// fitted writes a text in a box, in smaller type where it has to be and cut where
// even that does not do. It returns the height.
func fitted(l *draw.List, at draw.Point, width, height float64, text string, style draw.TextStyle) float64 {
	const least = 2.6
	for draw.TextHeight(text, width, style) > height && style.Size > least {
		style.Size -= 0.4
	}
	for draw.TextHeight(text, width, style) > height && text != "" {
		text = spelling.Short(text, max(1, len([]rune(text))*9/10))
		if len([]rune(text)) <= 1 {
			return 0
		}
	}
	return l.TextBox(at, width, text, style)
}

// foot writes the caution, the version and the page's number on every page.
func (b *screens) foot() {
	style := look.Small.WithPaint(look.Ink).WithSize(2.8)
	for i, p := range b.pages {
		y := screenHeight - screenMargin - 5.5
		p.Line(draw.Pt(screenMargin, y), draw.Pt(screenWidth-screenMargin, y), look.Rule)
		page := fmt.Sprintf("page %d of %d", i+1, len(b.pages))
		strong := style.AsBold().At(draw.End, draw.CapTop)
		room := screenWidth - 2*screenMargin - strong.Width(page) - 5
		p.Text(draw.Pt(screenWidth-screenMargin, y+1.5), page, strong)
		h := p.TextBox(draw.Pt(screenMargin, y+1.2), room, rig.Caution, style)
		text := fmt.Sprintf("File %s · printed %s by %s · rig version SHA-256 %s", spelling.Short(b.stamp.File, 60), b.stamp.Date, b.stamp.Tool, b.stamp.Version)
		p.TextBox(draw.Pt(screenMargin, y+1.2+h), room, draw.OneLine(text, room, style), style)
	}
}
