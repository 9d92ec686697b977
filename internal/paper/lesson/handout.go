package lesson

import (
	"fmt"
	"strings"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/sheet"
)

// Sides of the handout's pictures, mm.
const (
	rightSide = 36.0
	wrongSide = 21.0
)

// Handout is the lesson on A4, one picture for each page: for each checkpoint
// where to stand, what is asked and done, how right looks, how each wrong state
// looks, why it matters and what it would do to this load. What an earlier
// checkpoint showed of the same kind is named and not printed again, but for
// what it would do here.
func Handout(l *Lesson, s sheet.Stamp) []*draw.Picture {
	f := newFlow(l.Survey.Rig, "Handout", "", s)
	if text := l.Sequence.Words(); text != "" {
		f.Write("Sequence: "+text+".", look.Body)
	}
	f.Y++
	f.Write(inspect.BeforeTheWalk, look.Strong)
	f.Write("Pictures are likenesses of the kind of part, not of one maker's. A double frame is how it should look. What a wrong state would do is computed for this load where it changes how the load hangs; elsewhere there is only why it matters.", look.Body)
	f.Y += 2
	for i := range l.Stops {
		f.stop(l, &l.Stops[i])
	}
	f.Again = nil
	f.Need(12)
	f.Y += 2
	f.Write(inspect.AnythingElse, look.Head)
	f.Write(inspect.Cover(l.Survey, l.Sequence).Claim(), look.Body)
	return f.Done()
}

func (f *flow) stop(l *Lesson, s *Stop) {
	f.Again = nil
	f.Need(60)
	f.bar(s, "")
	f.Again = func() { f.bar(s, ", continued") }
	text := fmt.Sprintf("Station %d. Stand %s.", s.Station, s.Place)
	if len(s.Do) > 0 {
		text += " " + spelling.Capital(Do(s.Do)) + "."
	}
	f.Write(text, look.Strong)
	if n := s.Checkpoint.Note; n != "" {
		f.Write("Note: "+spelling.Short(n, 600), look.Body)
	}
	if n := s.Checkpoint.Reference; n != "" {
		f.Write("See: "+spelling.Short(n, 600), look.Body)
	}
	f.Y++
	if len(s.Questions) == 0 {
		f.Write("Asks about nothing on this rig.", look.Body)
	}
	for i := range s.Questions {
		if q := &s.Questions[i]; q.Before < 0 {
			f.question(q)
		}
	}
	f.repeats(l, s)
	f.Y += 3
}

// question writes one question in full.
func (f *flow) question(q *Question) {
	left := 0.0
	if q.Good != nil {
		left = rightSide + 4
	}
	w := f.Area.W - left
	style, strong := look.Body, look.Strong.WithSize(2.9)
	var lines []string
	lines = append(lines, spelling.Capital(Names(q.Parts))+" ("+Do(q.Do)+")")
	for i := range q.Plans {
		if text := q.Right(&q.Plans[i]); text != "" {
			lines = append(lines, text)
		}
	}
	h := draw.TextHeight(q.Attribute.Ask, w, strong)
	for _, x := range lines {
		h += draw.TextHeight(x, w, style)
	}
	h += 1.5
	first := 0.0
	if len(q.Wrong) > 0 {
		first = min(f.rowHeight(q, 0, left), 80)
	}
	room := h + first
	if q.Good != nil {
		room = max(room, rightSide+2)
	}
	f.Need(room)
	page, bottom := f.Number(), 0.0
	if q.Good != nil {
		f.figure(q.Good, f.Area.X+0.8, f.Y+0.8, rightSide, true, true)
		bottom = f.Y + rightSide + 2
	}
	l, y := f.List(), f.Y
	y += l.TextBox(draw.Pt(f.Area.X+left, y), w, q.Attribute.Ask, strong)
	for _, x := range lines {
		y += l.TextBox(draw.Pt(f.Area.X+left, y), w, x, style)
	}
	f.Y += h
	for i := 0; i < len(q.Wrong); i += columns {
		f.row(q, i, left)
	}
	if f.Number() == page {
		f.Y = max(f.Y, bottom)
	}
	f.Y += 2.5
}

// columns is how many wrong states stand side by side.
const columns = 2

func (f *flow) cellWidth(left float64) float64 { return (f.Area.W - left - 4*(columns-1)) / columns }

func (f *flow) rowHeight(q *Question, i int, left float64) float64 {
	h := 0.0
	for k := i; k < min(i+columns, len(q.Wrong)); k++ {
		h = max(h, f.cell(&q.Wrong[k], q, 0, f.cellWidth(left), true))
	}
	return h + 1.5
}

// row writes wrong states side by side, from the i-th on.
func (f *flow) row(q *Question, i int, left float64) {
	h, w := f.rowHeight(q, i, left), f.cellWidth(left)
	f.Need(h)
	for k := i; k < min(i+columns, len(q.Wrong)); k++ {
		f.cell(&q.Wrong[k], q, left+float64(k-i)*(w+4), w, false)
	}
	f.Y += h
}

// cell writes one wrong state at an indent, or only measures it.
func (f *flow) cell(x *Wrong, q *Question, indent, w float64, measure bool) float64 {
	left := 0.0
	if x.Drawing != nil {
		left = wrongSide + 2.5
	}
	y := 0.0
	put := func(text string, style draw.TextStyle) {
		if text == "" {
			return
		}
		if !measure {
			f.List().TextBox(draw.Pt(f.Area.X+indent+left, f.Y+y), w-left, text, style)
		}
		y += draw.TextHeight(text, w-left, style)
	}
	put("Wrong: "+x.Found(), look.Strong.WithSize(2.4))
	put(x.Why(), small)
	for k := range x.Cases {
		if words := x.Cases[k].Words(q.Parts); words != "" {
			put("Computed: "+words, small)
		}
	}
	if x.Drawing != nil {
		if !measure {
			f.figure(x.Drawing, f.Area.X+indent, f.Y, wrongSide, true, false)
		}
		y = max(y, wrongSide)
	}
	return y
}

// repeats names what earlier checkpoints showed, part by part, with what it would
// do here: states that would do the same stand together.
func (f *flow) repeats(l *Lesson, s *Stop) {
	type group struct{ key, text string }
	var asked, computed []group
	add := func(list *[]group, key, head, text string) {
		for i := range *list {
			if g := &(*list)[i]; g.key == key {
				g.text += text
				return
			}
		}
		*list = append(*list, group{key, head + text})
	}
	for i := range s.Questions {
		q := &s.Questions[i]
		if q.Before < 0 {
			continue
		}
		names, before := Names(q.Parts), l.Stops[q.Before].Checkpoint.ID
		text := " " + q.Attribute.Ask
		for k := range q.Plans {
			if right := q.Right(&q.Plans[k]); right != "" && q.Attribute.Plan != "" {
				text += " " + right
			}
		}
		add(&asked, before+names, "– "+spelling.Capital(names)+", as at "+before+":", text)
		for k := range q.Wrong {
			for c := range q.Wrong[k].Cases {
				if x := &q.Wrong[k].Cases[c]; x.Outcome.Computed {
					words := (&Case{Parts: q.Parts, Outcome: x.Outcome}).Words(q.Parts)
					add(&computed, words, "– "+words+" So with: ", Names(x.Parts)+", "+x.Found+"; ")
				}
			}
		}
	}
	if len(asked) == 0 {
		return
	}
	f.Need(14)
	f.Y++
	f.Write("Asked and shown before, and asked here again:", look.Strong)
	for _, g := range asked {
		f.paragraph(g.text)
	}
	if len(computed) == 0 {
		return
	}
	f.Need(10)
	f.Write("What wrong states would do here, computed:", look.Strong)
	for _, g := range computed {
		f.paragraph(strings.TrimSuffix(g.text, "; ") + ".")
	}
}

// paragraph writes a text that is broken over two pages only where it is long.
func (f *flow) paragraph(text string) {
	f.Need(min(draw.TextHeight(text, f.Area.W-2, small), 30))
	f.WriteIn(2, f.Area.W-2, text, small)
}
