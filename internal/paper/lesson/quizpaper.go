package lesson

import (
	"fmt"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/sheet"
)

// Sides of the pictures of a quiz and of its key, mm.
const (
	quizSide = 56.0
	pairSide = 50.0
	keySide  = 24.0
)

// Paper is the quiz on A4 as a student gets it: for each question the part and
// its picture or pair, and lines to write on.
func (z *Quiz) Paper(s sheet.Stamp) []*draw.Picture {
	f := newFlow(z.v.Rig, "Picture quiz", "Quiz "+z.Mark, s)
	f.Y += 6
	f.Blanks([]string{"Name", "Group", "Date"}, []float64{0.5, 0.25, 0.25})
	f.Y += 5
	text := "What is wrong in each picture, if anything? Write what you see, and what it would lead to. Some pictures show a part as it should be."
	if z.Ask.Pairs {
		text = "Each pair shows one part twice. What is wrong in A, what in B, if anything? Write what you see, and what it would lead to. Some pictures show a part as it should be; it may be both of a pair, or none."
	}
	f.Write(text, look.Body.WithSize(3))
	f.Write("Pictures are likenesses of the kind of part. Practice: nothing here says anything of any load.", look.Body)
	f.Y += 3
	for i := range z.Items {
		f.item(z, i)
	}
	return f.Done()
}

// item writes one question. Nothing but the drawing depends on the state.
func (f *flow) item(z *Quiz, i int) {
	x := &z.Items[i]
	side := quizSide
	if len(x.Shown) > 1 {
		side = pairSide
	}
	f.Need(side + 5)
	top, l := f.Y, f.List()
	at := f.Area.X
	for k, s := range x.Shown {
		f.figure(s.Drawing, at, top, side, false, false)
		if len(x.Shown) > 1 {
			tag := draw.Rect{X: at, Y: top, W: 6, H: 6}
			l = f.List()
			l.Rect(tag, look.Detail, look.Paper)
			l.Text(draw.Pt(at+3, top+3), sideName(k), look.Head.At(draw.Middle, draw.CapMiddle))
		}
		at += side + 3
	}
	at += 2
	w := f.Area.X + f.Area.W - at
	y := top
	y += l.TextBox(draw.Pt(at, y), w, fmt.Sprintf("%d. %s", i+1, spelling.Capital(x.Part.Name)), look.Head)
	if x.Attribute.Plan != "" {
		y += 0.5 + l.TextBox(draw.Pt(at, y+0.5), w, "The plan: "+z.v.Planned(x.Part, x.Attribute)+".", look.Body)
	}
	for k, lines := 0, 5; k < lines; k++ {
		ly := top + side - 8.2*float64(lines-1-k)
		if ly < y+6 {
			continue
		}
		l.Line(draw.Pt(at, ly), draw.Pt(at+w, ly), look.Rule)
	}
	f.Y = top + side + 5
}

func sideName(k int) string { return string(rune('A' + k)) }

// Key is the key of the quiz on A4, for whoever gives it: for each picture what
// is wrong in it, why it matters and what it would have done to this load. what
// says what a deficiency would do.
func (z *Quiz) Key(s sheet.Stamp, what func(*inspect.Deficiency) Outcome) []*draw.Picture {
	f := newFlow(z.v.Rig, "Key to the picture quiz", "Quiz "+z.Mark, s)
	text := fmt.Sprintf("Key to quiz %s: %d questions, seed “%s”, %.0f %% of the pictures as they should be", z.Mark, len(z.Items), spelling.Short(z.Ask.Seed, 80), 100*z.Ask.Good)
	if z.Ask.Pairs {
		text += ", in pairs"
	}
	f.Write(text+". The same seed on the same rig gives the same quiz.", look.Body)
	f.Write("What a wrong state would have done is computed for this load where it changes how the load hangs. It is a result about practice, not about any load that flies.", look.Body)
	f.Y += 2
	for i := range z.Items {
		x := &z.Items[i]
		for k := range x.Shown {
			name := fmt.Sprintf("%d. %s", i+1, spelling.Capital(x.Part.Name))
			if len(x.Shown) > 1 {
				name = fmt.Sprintf("%d %s. %s", i+1, sideName(k), spelling.Capital(x.Part.Name))
			}
			f.answer(name, x, &x.Shown[k], z, what)
		}
	}
	return f.Done()
}

// Answer says in words what a picture shows: what is found, why it matters, and
// what it would have done, each "" where there is nothing to say.
func (s *Shown) Answer(p *inspect.Part, what func(*inspect.Deficiency) Outcome) (found, matters, did string) {
	if s.Wrong == nil {
		return "As it should be: " + s.State.Text + ".", "", ""
	}
	c := Case{Parts: []*inspect.Part{p}, Found: seenAs(s.Wrong), Outcome: what(s.Wrong)}
	return "Wrong: " + c.Found + ".", why(s.State, c.Outcome.Ends), c.Words(c.Parts)
}

func (f *flow) answer(name string, x *Item, s *Shown, z *Quiz, what func(*inspect.Deficiency) Outcome) {
	const left = keySide + 3
	w := f.Area.W - left
	found, matters, did := s.Answer(x.Part, what)
	type line struct {
		text  string
		style draw.TextStyle
	}
	lines := []line{{name, look.Strong}, {x.Attribute.Ask, look.Body}, {found, look.Strong}, {matters, look.Body}}
	if did != "" {
		lines = append(lines, line{"It would have done, computed: " + did, look.Body})
	}
	h := 0.0
	for _, t := range lines {
		if t.text != "" {
			h += draw.TextHeight(t.text, w, t.style)
		}
	}
	f.Need(max(h, keySide) + 3)
	f.figure(s.Drawing, f.Area.X, f.Y, keySide, false, false)
	y := f.Y
	for _, t := range lines {
		if t.text != "" {
			y += f.List().TextBox(draw.Pt(f.Area.X+left, y), w, t.text, t.style)
		}
	}
	f.Y += max(h, keySide) + 3
}
