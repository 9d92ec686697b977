package walk

import (
	"fmt"
	"slices"
	"strings"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/likeness"
)

// Boxes of a line, mm.
const (
	boxSide  = 4.4
	boxPitch = 10.5
	boxRoom  = 3*boxPitch + 1
	leastRow = 6.2
)

// Sides of the close-up pictures, mm. Those with a count to be read are larger.
const (
	picture      = 19.0
	largePicture = 30.0
)

var boxHeads = []string{"right", "wrong", "can't tell"}

// counted reports whether the plan of an attribute is a count.
func counted(a *part.Attribute) bool { return a.Plan == part.PlanCount || a.Plan == part.PlanMatched }

// stations writes the checklist station by station.
func (d *document) stations() {
	for _, s := range d.v.Stations(d.q) {
		for i, k := range s.Checkpoints {
			d.checkpoint(&s, &d.q.Checkpoints[k], i == 0)
		}
	}
}

// checkpoint writes one checkpoint.
func (d *document) checkpoint(s *inspect.Station, c *inspect.Checkpoint, first bool) {
	groups := d.groups(c)
	small := look.Body.WithSize(2.4)
	var notes []string
	if c.Note != "" {
		notes = append(notes, "Note: "+spelling.Short(c.Note, mostLetters))
	}
	if c.Reference != "" {
		notes = append(notes, "See: "+spelling.Short(c.Reference, mostLetters))
	}
	room := 16.0
	for _, text := range notes {
		room += draw.TextHeight(text, d.Area.W, small)
	}
	if len(groups) > 0 {
		room += min(groups[0].height(), 40)
	}
	d.Again = nil
	d.Need(room)
	if first {
		d.station(s)
	}
	d.bar(c, "")
	d.Again = func() { d.bar(c, ", continued") }
	for _, text := range notes {
		d.Write(text, small)
	}
	if len(notes) > 0 {
		d.Y++
	}
	if len(groups) == 0 {
		d.Write("It asks about nothing on this rig.", small)
	}
	for i := range groups {
		d.group(&groups[i])
	}
	d.remarks(c)
	d.Again = nil
}

// station writes where to stand.
func (d *document) station(s *inspect.Station) {
	l := d.List()
	at := draw.Pt(d.Area.X+3.2, d.Y+3.2)
	l.Circle(at, 3, look.Outline, look.Paper)
	l.Text(at, fmt.Sprint(s.Number), look.Strong.At(draw.Middle, draw.CapMiddle))
	l.Text(draw.Pt(d.Area.X+8, at.Y), draw.OneLine("Stand "+s.Text, d.Area.W-10, look.Head), look.Head.At(draw.Start, draw.CapMiddle))
	d.Y += 7.5
}

// bar is the head of a checkpoint, with the names of the boxes.
func (d *document) bar(c *inspect.Checkpoint, more string) {
	l := d.List()
	const h = 5.2
	l.Rect(draw.Rect{X: d.Area.X, Y: d.Y, W: d.Area.W, H: h}, draw.Stroke{}, look.Shade)
	l.Line(draw.Pt(d.Area.X, d.Y), draw.Pt(d.Area.X+d.Area.W, d.Y), look.Rule)
	style := look.Strong.WithSize(2.9)
	title := draw.OneLine(spelling.Short(c.ID, 24)+"  "+c.Title, d.Area.W-boxRoom-4-style.Width(more), style) + more
	l.Text(draw.Pt(d.Area.X+1, d.Y+h/2), title, style.At(draw.Start, draw.CapMiddle))
	for i, head := range boxHeads {
		l.Text(draw.Pt(d.boxAt(i), d.Y+h/2), head, look.Small.WithPaint(look.Ink).WithSize(1.9).At(draw.Middle, draw.CapMiddle))
	}
	d.Y += h + 1
}

// boxAt is the middle of a column of boxes.
func (d *document) boxAt(i int) float64 {
	return d.Area.X + d.Area.W - boxRoom + boxPitch*(float64(i)+0.5)
}

// line is one line of text; with a blank, a rule to write on follows it.
type line struct {
	text  string
	style draw.TextStyle
	blank bool
}

func (l line) height() float64 {
	if l.blank {
		return 5.4
	}
	return l.style.LineHeight()
}

// row is one question.
type row struct{ lines []line }

func (r row) height() float64 {
	h := 1.0
	for _, l := range r.lines {
		h += l.height()
	}
	return max(h, leastRow)
}

func wrapped(text string, width float64, style draw.TextStyle) []line {
	var out []line
	for _, s := range draw.Wrap(text, width, style) {
		out = append(out, line{text: s, style: style})
	}
	return out
}

// group is what a checkpoint asks of one part.
type group struct {
	name     string
	rows     []row
	pictures []*draw.Picture
	side     float64 // of a picture
	text     float64 // x of the text from the left edge
}

const nameHigh = 4.2

func (g *group) height() float64 {
	h := nameHigh
	for _, r := range g.rows {
		h += r.height()
	}
	if len(g.pictures) > 0 {
		h = max(h, g.side+1)
	}
	return h
}

// The styles of a row.
var (
	askStyle   = look.Body
	planStyle  = look.Body.WithSize(2.25)
	countStyle = look.Strong.WithSize(3.1)
)

// groups sorts the tasks of a checkpoint by part.
func (d *document) groups(c *inspect.Checkpoint) []group {
	var out []group
	tasks := d.v.Tasks(c)
	for i := 0; i < len(tasks); {
		k := i
		for k < len(tasks) && tasks[k].Part == tasks[i].Part {
			k++
		}
		out = append(out, d.groupOf(tasks[i:k]))
		i = k
	}
	return out
}

func (d *document) groupOf(tasks []inspect.Task) group {
	g := group{name: spelling.Capital(spelling.Short(tasks[0].Part.Name, 120)), side: picture}
	seen := map[string]bool{}
	// What shows a count comes first: it is what the plan says of this rig.
	order := slices.Clone(tasks)
	slices.SortStableFunc(order, func(a, b inspect.Task) int {
		switch {
		case counted(a.Attribute) == counted(b.Attribute):
			return 0
		case counted(a.Attribute):
			return -1
		}
		return 1
	})
	for _, t := range order {
		if d.o.Blind && counted(t.Attribute) {
			continue
		}
		state := likeness.Good(d.v, t.Part, t.Attribute)
		if state == nil {
			continue
		}
		x := d.likenesses.Of(t.Part, t.Attribute, state)
		if x == nil || seen[x.View] {
			continue
		}
		seen[x.View] = true
		if counted(t.Attribute) {
			g.side = largePicture
		}
		g.pictures = append(g.pictures, x.Picture(true))
	}
	g.text = picture + 2
	if len(g.pictures) > 0 {
		g.text = g.side + 2
	}
	width := d.Area.W - g.text - boxRoom - 2
	for _, t := range tasks {
		g.rows = append(g.rows, d.row(t, width))
	}
	// As many pictures as stand beside the text.
	if n := max(1, int((g.height()-1)/(g.side+1))); len(g.pictures) > n {
		g.pictures = g.pictures[:n]
	}
	return g
}

// row lays out one question: what to ask and how, what is planned, and for a
// count room to write down what was found.
func (d *document) row(t inspect.Task, width float64) row {
	var do []string
	for _, s := range t.Do {
		do = append(do, string(s))
	}
	x := row{wrapped(spelling.Short(t.Attribute.Ask, mostLetters)+" ["+strings.Join(do, ", ")+"]", width, askStyle)}
	plan := spelling.Short(t.Planned, mostLetters)
	if !counted(t.Attribute) {
		if plan != "" {
			plan = "As planned: " + plan + ". "
		}
		x.lines = append(x.lines, wrapped(plan+wrongWords(t.Attribute), width, planStyle)...)
		return x
	}
	if !d.o.Blind {
		x.lines = append(x.lines, wrapped("Planned: "+plan, width, countStyle)...)
	}
	for _, id := range t.Part.Legs {
		x.lines = append(x.lines, line{text: "Leg " + spelling.Short(id, 20) + ", link found from the free end:", style: askStyle, blank: true})
	}
	x.lines = append(x.lines, wrapped(wrongWords(t.Attribute), width, planStyle)...)
	return x
}

// wrongWords says what is done where a question's answer is wrong.
func wrongWords(a *part.Attribute) string {
	stop, put := false, false
	for i := range a.States {
		switch s := &a.States[i]; {
		case s.ID == a.Good && a.Plan != part.PlanSpacer:
		case s.Act == part.Stop:
			stop = true
		default:
			put = true
		}
	}
	switch {
	case stop && put:
		return "If wrong: stops the lift, or put right here, by what is found."
	case stop:
		return "If wrong: stops the lift."
	case put:
		return "If wrong: put right here."
	}
	return ""
}

// group writes what is asked of one part. It stays on one page where it can.
func (d *document) group(g *group) {
	if h := g.height(); h < 90 {
		d.Need(h + 1)
	}
	for first := 0; first < len(g.rows); {
		// What fits on this page, one row at least.
		name := g.name
		if first > 0 {
			name += ", continued"
		}
		least := nameHigh + g.rows[first].height() + 1
		if first == 0 && len(g.pictures) > 0 {
			least = max(least, g.side+1)
		}
		d.Need(least)
		top, y := d.Y, d.Y+nameHigh
		l := d.List()
		l.Text(draw.Pt(d.Area.X+g.text, top+nameHigh/2), draw.OneLine(name, d.Area.W-g.text-boxRoom, look.Strong), look.Strong.At(draw.Start, draw.CapMiddle))
		last := first
		for last < len(g.rows) && (last == first || y+g.rows[last].height() <= d.Bottom()) {
			d.rowAt(&g.rows[last], g.text, y)
			y += g.rows[last].height()
			last++
		}
		if first == 0 {
			shown := 0
			for i, p := range g.pictures {
				at := draw.Pt(d.Area.X, top+float64(i)*(g.side+1))
				if i > 0 && at.Y+g.side > max(y, d.Bottom()) {
					break
				}
				l.Embed(p, at, g.side/p.Width)
				l.Rect(draw.Rect{X: at.X, Y: at.Y, W: g.side, H: g.side}, look.GridLine, draw.Paint{})
				shown++
			}
			if shown > 0 {
				y = max(y, top+float64(shown)*(g.side+1))
			}
		}
		d.Y = y + 1
		first = last
		if first < len(g.rows) {
			d.GoOn()
		}
	}
}

// rowAt writes one row with its boxes.
func (d *document) rowAt(r *row, text, y float64) {
	l := d.List()
	x := d.Area.X + text
	right := d.Area.X + d.Area.W
	l.Line(draw.Pt(x, y), draw.Pt(right, y), look.GridLine)
	at := y + 0.5
	for _, s := range r.lines {
		h := s.height()
		style := s.style.At(draw.Start, draw.CapMiddle)
		l.Text(draw.Pt(x, at+h/2), s.text, style)
		if s.blank {
			from := x + style.Width(s.text) + 1.5
			l.Line(draw.Pt(from, at+h-0.9), draw.Pt(min(from+28, right-boxRoom-2), at+h-0.9), look.Rule)
		}
		at += h
	}
	mid := y + r.height()/2
	for i := range boxHeads {
		l.Rect(draw.Rect{X: d.boxAt(i) - boxSide/2, Y: mid - boxSide/2, W: boxSide, H: boxSide}, look.Outline, look.Paper)
	}
}

// remarks leaves room for initials and remarks at the end of a checkpoint.
func (d *document) remarks(c *inspect.Checkpoint) {
	const h = 13.0
	again := d.Again
	d.Again = nil
	d.Need(h + 2)
	d.Again = again
	l := d.List()
	x, right := d.Area.X, d.Area.X+d.Area.W
	style := look.Small.WithPaint(look.Ink).At(draw.Start, draw.Baseline)
	y := d.Y + 5.5
	text := spelling.Short(c.ID, 12) + ", initials"
	l.Text(draw.Pt(x, y), text, style)
	from := style.Width(text) + 1.5
	l.Line(draw.Pt(x+from, y), draw.Pt(x+from+22, y), look.Rule)
	l.Text(draw.Pt(x+from+25, y), "remarks", style)
	from += 36
	l.Line(draw.Pt(x+from, y), draw.Pt(right, y), look.Rule)
	l.Line(draw.Pt(x+from, y+6), draw.Pt(right, y+6), look.Rule)
	d.Y += h + 2
}
