package walk

import (
	"fmt"
	"slices"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// markRadius is the size of the marks on parts, mm.
const markRadius = 2.4

// Coverage draws what a sequence asks about on its rig, seen from above as the
// load stands: a round mark with the number of parts there where all that the
// catalogue knows of them is asked about, a square one with a number from the
// list where something is not. Beside it stands the list, and the claim as
// [inspect.Coverage.Claim] words it. What the list has no room for it counts.
// Size in mm; it takes 150 by 100 or more.
func Coverage(v *inspect.Survey, c *inspect.Coverage, width, height float64) *draw.Picture {
	desc := c.Claim()
	if v.Rig.Invented() {
		desc = "INVENTED. " + desc
	}
	for _, d := range c.Uncovered {
		desc += " Not asked about: " + d.Text() + "."
	}
	p := draw.New(width, height, "What the walk asks about: "+v.Rig.Title(), spelling.Short(desc, 4000))
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	area := p.Frame().Inset(3)
	y := headline(&p.List, v.Rig, "What the walk asks about: "+v.Rig.Title(), area)
	style := look.Strong.At(draw.Start, draw.CapTop)
	y += p.TextBox(draw.Pt(area.X, area.Y+y), area.W, c.Claim(), style) + 1
	list := area.W * 0.42
	g := groups(v, c, draw.Rect{X: area.X, Y: area.Y + y, W: area.W - list - 3, H: area.H - y})
	g.draw(&p.List)
	g.list(&p.List, draw.Rect{X: area.X + area.W - list, Y: area.Y + y, W: list, H: area.H - y})
	return p
}

// spot is one or more parts that stand so near to one another that they share a
// mark.
type spot struct {
	at     draw.Point
	parts  []*inspect.Part
	number int // in the list; 0 where all is asked about
}

type coverageMap struct {
	v     *inspect.Survey
	c     *inspect.Coverage
	g     *ground
	area  draw.Rect
	spots []spot
	open  map[*inspect.Part][]*inspect.Deficiency
	all   map[*inspect.Part]int
}

// groups finds the marks: parts at one place, and parts whose marks would lie
// on each other, share one.
func groups(v *inspect.Survey, c *inspect.Coverage, area draw.Rect) *coverageMap {
	low, high := reach(v)
	m := &coverageMap{
		v: v, c: c, area: area, open: map[*inspect.Part][]*inspect.Deficiency{}, all: map[*inspect.Part]int{},
		g: groundOf(v.Rig, low, high, draw.Rect{X: area.X + 4, Y: area.Y + 4, W: area.W - 8, H: area.H - 24}),
	}
	for _, d := range c.Uncovered {
		m.open[d.Part] = append(m.open[d.Part], d)
	}
	for i := range v.Deficiencies {
		m.all[v.Deficiencies[i].Part]++
	}
	for i := range v.Parts {
		p := &v.Parts[i]
		at := m.g.over(m.g.scene.Ground(p.Place))
		if p.Kind.Each == part.EachRig {
			at = m.g.at(low[0], high[1])
		}
		m.put(spot{at: at, parts: []*inspect.Part{p}})
	}
	n := 0
	for i := range m.spots {
		s := &m.spots[i]
		if slices.ContainsFunc(s.parts, func(p *inspect.Part) bool { return len(m.open[p]) > 0 }) {
			n++
			s.number = n
		}
	}
	return m
}

func (m *coverageMap) put(s spot) {
	for i := range m.spots {
		if m.spots[i].at.Sub(s.at).Len() < 2*markRadius+0.3 {
			m.spots[i].parts = append(m.spots[i].parts, s.parts...)
			return
		}
	}
	m.spots = append(m.spots, s)
}

func (m *coverageMap) draw(l *draw.List) {
	l.Rect(m.area, look.GridLine, draw.Paint{})
	m.g.bodies(l)
	m.g.legs(l)
	place := &draw.Labels{Bounds: m.area.Inset(1), Gap: 0.3}
	place.Avoid(m.legend(l))
	place.Avoid(m.g.scaleBar(l, m.area.X+m.area.W-3, m.area.Y+m.area.H-12))
	place.Avoid(front(l, draw.Pt(m.area.X+3, m.area.Y+m.area.H-14)))
	for i := range m.spots {
		m.mark(l, &m.spots[i])
		at := m.spots[i].at
		place.Avoid(draw.Rect{X: at.X - markRadius, Y: at.Y - markRadius, W: 2 * markRadius, H: 2 * markRadius})
	}
	m.g.avoid(place)
	l.Labels(m.g.names(place), look.Leader)
}

// mark draws one mark: shape and filling tell it, not colour.
func (m *coverageMap) mark(l *draw.List, s *spot) {
	title := ""
	for i, p := range s.parts {
		if i > 0 {
			title += "; "
		}
		title += p.Name
		if n := len(m.open[p]); n > 0 {
			title += fmt.Sprintf(": %d of %d not asked about", n, m.all[p])
		}
	}
	g := l.Group("", title)
	text, style := fmt.Sprint(len(s.parts)), look.Body.WithSize(2.3).At(draw.Middle, draw.CapMiddle)
	if s.number > 0 {
		text = fmt.Sprint(s.number)
		g.Rect(draw.Rect{X: s.at.X - markRadius, Y: s.at.Y - markRadius, W: 2 * markRadius, H: 2 * markRadius}, look.Outline, look.Ink)
		style = style.AsBold().WithPaint(look.Paper)
	} else {
		g.Circle(s.at, markRadius, look.Detail, look.Paper)
	}
	g.Text(s.at, text, style)
}

// legend says what the marks mean.
func (m *coverageMap) legend(l *draw.List) draw.Rect {
	style := look.Small.WithPaint(look.Ink).At(draw.Start, draw.CapMiddle)
	x, y := m.area.X+4.5, m.area.Y+m.area.H-7.5
	l.Circle(draw.Pt(x, y), 1.9, look.Detail, look.Paper)
	l.Text(draw.Pt(x, y), "3", look.Body.WithSize(2).At(draw.Middle, draw.CapMiddle))
	w := m.area.W - 10
	l.Text(draw.Pt(x+3.2, y), draw.OneLine("three parts here, all of the catalogue's asked about", w, style), style)
	y += 4.6
	l.Rect(draw.Rect{X: x - 1.9, Y: y - 1.9, W: 3.8, H: 3.8}, look.Detail, look.Ink)
	l.Text(draw.Pt(x, y), "3", look.Body.WithSize(2).AsBold().WithPaint(look.Paper).At(draw.Middle, draw.CapMiddle))
	l.Text(draw.Pt(x+3.2, y), draw.OneLine("something here is not asked about: number 3 of the list", w, style), style)
	return draw.Rect{X: m.area.X, Y: m.area.Y + m.area.H - 11, W: m.area.W, H: 11}
}

// entry is one line or more of the list.
type entry struct {
	text   string
	style  draw.TextStyle
	indent float64
	mark   int // the mark it begins with; 0 for none
	counts int // how many deficiencies it names
}

// entries lists what is not asked about, mark by mark and part by part.
func (m *coverageMap) entries() []entry {
	var out []entry
	head := look.Body.AsBold().At(draw.Start, draw.CapTop)
	body := look.Body.WithSize(2.4).At(draw.Start, draw.CapTop)
	for i := range m.spots {
		s := &m.spots[i]
		number := s.number
		for _, p := range s.parts {
			if len(m.open[p]) == 0 {
				continue
			}
			out = append(out, entry{text: fmt.Sprintf("%s: %d of %d", p.Name, len(m.open[p]), m.all[p]), style: head, indent: 5.5, mark: number})
			number = 0
			for _, d := range m.open[p] {
				out = append(out, entry{text: "– " + unnamed(d), style: body, indent: 5.5, counts: 1})
			}
		}
	}
	return out
}

// unnamed is what a deficiency says without its part's name, which stands above
// it.
func unnamed(d *inspect.Deficiency) string {
	text, name := d.Text(), d.Part.Name+": "
	if len(text) > len(name) && text[:len(name)] == name {
		return text[len(name):]
	}
	return text
}

func (m *coverageMap) list(l *draw.List, area draw.Rect) {
	y := area.Y
	title := look.Strong.At(draw.Start, draw.CapTop)
	if len(m.c.Uncovered) == 0 {
		y += l.TextBox(draw.Pt(area.X, y), area.W, "No checkpoint asks about: none of the catalogue's for this rig.", title) + 1
	} else {
		y += l.TextBox(draw.Pt(area.X, y), area.W, "No checkpoint asks about:", title) + 1
	}
	bottom := area.Y + area.H - m.asides(l, area)
	list := m.entries()
	left := len(m.c.Uncovered)
	for i, e := range list {
		h := draw.TextHeight(e.text, area.W-e.indent, e.style)
		need := h
		if e.counts == 0 && i+1 < len(list) {
			need += draw.TextHeight(list[i+1].text, area.W-list[i+1].indent, list[i+1].style) // a heading never stands alone
		}
		if i+1 < len(list) {
			need += 4 // room for the line that counts the rest
		}
		if y+need > bottom {
			l.Text(draw.Pt(area.X, y+1), fmt.Sprintf("and %d more, in the list beside the sequence", left), title)
			return
		}
		if e.mark > 0 {
			at := draw.Pt(area.X+markRadius-0.4, y+1.7)
			l.Rect(draw.Rect{X: at.X - 2, Y: at.Y - 1.7, W: 4, H: 3.4}, draw.Stroke{}, look.Ink)
			l.Text(at, fmt.Sprint(e.mark), look.Body.WithSize(2.1).AsBold().WithPaint(look.Paper).At(draw.Middle, draw.CapMiddle))
		}
		y += l.TextBox(draw.Pt(area.X+e.indent, y), area.W-e.indent, e.text, e.style)
		left -= e.counts
	}
}

// asides names at the bottom the checkpoints that can see nothing here, and
// gives the caution. It returns the height used.
func (m *coverageMap) asides(l *draw.List, area draw.Rect) float64 {
	style := look.Small.WithPaint(look.Ink)
	y := area.Y + area.H - draw.TextHeight(rig.Caution, area.W, style)
	l.TextBox(draw.Pt(area.X, y), area.W, rig.Caution, style)
	if len(m.c.Blind) > 0 {
		text := "Can see nothing on this rig:"
		for i, k := range m.c.Blind {
			if i == 12 {
				text += fmt.Sprintf(" and %d more", len(m.c.Blind)-i)
				break
			}
			text += " " + spelling.Short(m.c.Sequence.Checkpoints[k].ID, 16)
		}
		strong := look.Body.AsBold().At(draw.Start, draw.CapTop)
		y -= draw.TextHeight(text, area.W, strong) + 1
		l.TextBox(draw.Pt(area.X, y), area.W, text, strong)
	}
	return area.Y + area.H - y + 1.5
}
