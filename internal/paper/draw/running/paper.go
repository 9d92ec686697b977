// Package running lays out papers that run over several pages: the head and the
// foot of each page, texts and tables that go on on the next. It knows type and
// paper and nothing of what is printed. Lengths are millimetres.
package running

import (
	"fmt"

	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// A4, standing.
const (
	Width  = 210.0
	Height = 297.0
)

// Paper is a paper in the making. What stands on every page is set before
// [Paper.Page] begins the first one.
type Paper struct {
	Title, Desc string   // of each page as a picture; after the first the title has its number
	Head        func()   // draws the head of a page from Y on and moves Y beneath it; may be nil
	Foot        []string // texts at the foot of every page
	Stamp       []string // lines beneath them, each cut to what the page's number leaves of it
	Longest     int      // so many letters of one text are printed; 0 is all

	Area  draw.Rect // of the current page between its margins and above its foot
	Y     float64   // where the next thing stands
	Again func()    // writes the head of what goes on on a new page; may be nil

	pages []*draw.Picture
	top   float64 // where the first thing on the page stands
}

// small is the type of the foot.
var small = look.Small.WithPaint(look.Ink)

// List is what the current page is drawn on.
func (p *Paper) List() *draw.List { return &p.pages[len(p.pages)-1].List }

// Number is the number of the current page, from 1.
func (p *Paper) Number() int { return len(p.pages) }

// Bottom is where the room of the current page ends.
func (p *Paper) Bottom() float64 { return p.Area.Y + p.Area.H }

// Page begins a new page.
func (p *Paper) Page() {
	title := p.Title
	if n := len(p.pages) + 1; n > 1 {
		title += fmt.Sprintf(", page %d", n)
	}
	page := draw.New(Width, Height, title, p.Desc)
	page.Rect(page.Frame(), draw.Stroke{}, look.Paper)
	p.pages = append(p.pages, page)
	p.Area = page.Frame().Inset(look.Margin)
	p.Area.H -= p.footHeight() + 1
	p.Y = p.Area.Y
	if p.Head != nil {
		p.Head()
	}
	p.top = p.Y
}

// GoOn begins a new page with the head of what goes on on it.
func (p *Paper) GoOn() {
	p.Page()
	if p.Again != nil {
		p.Again()
	}
	p.top = p.Y
}

// Need goes on on a new page where less than h is left, and reports whether it
// did. What is higher than a page stays on the page that has nothing else.
func (p *Paper) Need(h float64) bool {
	const line = 4.0 // less than one is only white
	if p.Y+h <= p.Bottom() || p.Y < p.top+line {
		return false
	}
	p.GoOn()
	return true
}

// Running heads a page with a line of text, a mark at its right end, and a rule
// beneath.
func (p *Paper) Running(text, mark string) {
	room := p.Area.W
	if mark != "" {
		p.List().Text(draw.Pt(p.Area.X+p.Area.W, p.Y), mark, look.Strong.At(draw.End, draw.CapTop))
		room -= look.Strong.Width(mark) + 4
	}
	p.List().Text(draw.Pt(p.Area.X, p.Y), draw.OneLine(text, room, look.Strong), look.Strong.At(draw.Start, draw.CapTop))
	p.Y += 3.5
	p.Rule(look.Rule)
	p.Y += 2.5
}

// Rule draws a line across the page.
func (p *Paper) Rule(s draw.Stroke) {
	p.List().Line(draw.Pt(p.Area.X, p.Y), draw.Pt(p.Area.X+p.Area.W, p.Y), s)
}

func (p *Paper) footHeight() float64 {
	h := float64(len(p.Stamp))*small.LineHeight() + 2.5
	for _, text := range p.Foot {
		h += draw.TextHeight(text, Width-2*look.Margin, small)
	}
	return h
}

// Done writes the foot of every page, now that their number is known.
func (p *Paper) Done() []*draw.Picture {
	const x, w = look.Margin, Width - 2*look.Margin
	strong := look.Strong.At(draw.End, draw.CapTop)
	drop := 0.4
	if len(p.Stamp) > 1 {
		drop = 1
	}
	for i, page := range p.pages {
		y := Height - look.Margin - p.footHeight()
		page.Line(draw.Pt(x, y), draw.Pt(x+w, y), look.Rule)
		y += 1.5
		for _, text := range p.Foot {
			y += page.TextBox(draw.Pt(x, y), w, text, small)
		}
		number := fmt.Sprintf("page %d of %d", i+1, len(p.pages))
		page.Text(draw.Pt(x+w, y+drop), number, strong)
		for _, text := range p.Stamp {
			y += page.TextBox(draw.Pt(x, y), w, draw.OneLine(text, w-strong.Width(number)-3, small), small)
		}
	}
	return p.pages
}
