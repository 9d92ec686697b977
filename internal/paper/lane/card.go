package lane

import (
	"fmt"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/likeness"
	"hangtrue/internal/paper/sheet"
)

// Item is one planted deficiency. Wrong is nil where the catalogue no longer has
// it; then only the id stands on paper.
type Item struct {
	ID      string
	Station int
	Place   string // where to stand
	Wrong   *inspect.Deficiency
}

// Planted is a version of a lane as it is set up.
type Planted struct {
	Lane, Class, Load, Tag string
	Version                int
	For                    string // a group; "" for any
	Real                   bool
	Survey                 *inspect.Survey
	Items                  []Item
}

// trainingCaveat stands beneath what sets a load up.
const trainingCaveat = rig.Caution + " This load is set up for training with faults on purpose. It carries a red tag, does not fly and is not signed for until every fault is confirmed put right, one by one, by two people, and a full fresh inspection has been walked."

// caveat is what stands beneath: nothing carries a tag in pictures.
func (p *Planted) caveat() string {
	if !p.Real {
		return rig.Caution + " For training, in pictures: nothing is set on a load."
	}
	return trainingCaveat
}

// tag is what the load wears while faults are on it; "" in pictures.
func (p *Planted) tag() string {
	if !p.Real {
		return ""
	}
	return p.Tag
}

func (p *Planted) name() string {
	s := fmt.Sprintf("%s, version %d", p.Lane, p.Version)
	if p.For != "" {
		s += ", for group " + p.For
	}
	return s
}

func (p *Planted) begin(what string, s sheet.Stamp) *flow {
	f := newTagged(p.Survey.Rig, p.tag(), what+": "+p.name(), notForStudents, p.caveat(), s)
	f.Write(fmt.Sprintf("Class %s. Load: %s.", p.Class, p.Load), look.Body.WithSize(3))
	if p.Real {
		f.Write("Tie the red tag to the apex fitting before the first fault is set. It comes off last.", look.Strong)
		f.Y += 2
	}
	return f
}

// how says how a state is brought about.
func how(d *inspect.Deficiency) string {
	switch d.State.Plant {
	case part.SpoiledPart:
		return "Fit the spoiled training part, marked never for flight. Keep the sound one with this card. Do not harm a part that flies."
	case part.PictureOnly:
		return "In a picture only; it is not set on a load."
	}
	return "By hand, without force and without harming the part."
}

const cardSide = 34.0

// Card is the set-up card for whoever plants the faults: each with where it is,
// how it is set, how it looks and how right looks.
func Card(p *Planted, s sheet.Stamp) []*draw.Picture {
	f := p.begin("Set-up card", s)
	f.Write(fmt.Sprintf("%d to set. Set them out of sight of students, one after another, and mark each. Whoever sets them does not grade by memory: the key says what counts.", len(p.Items)), look.Body)
	f.Y += 2
	for i := range p.Items {
		f.item(p, i, true)
	}
	f.sign("Set by (name)", "signature", "date, time")
	return f.Done()
}

// PutBack is the list to put a load back by where the machine is not there: each
// fault, how right looks, and room for two people.
func PutBack(p *Planted, s sheet.Stamp) []*draw.Picture {
	f := p.begin("Put-back list", s)
	f.Write("Two different people, one after the other, each look at every item with their own eyes and mark it. Then the spoiled training parts are counted, the red tag comes off, and a full fresh inspection is walked. What is marked here is entered in the program as soon as it is there again: until then the load stays barred.", look.Body)
	f.Y += 2
	for i := range p.Items {
		f.item(p, i, false)
	}
	f.Need(3 * signHeight) // nobody signs on a page by itself
	f.sign("First person (name)", "signature", "date, time")
	f.sign("Second person (name)", "signature", "date, time")
	f.sign("Red tag off, spoiled parts counted (name)", "signature", "date, time")
	return f.Done()
}

// signHeight is what the blanks for one person take.
const signHeight = 14.0

func (f *flow) sign(names ...string) {
	f.Need(signHeight)
	f.Y += 9
	f.Blanks(names, []float64{0.44, 0.32, 0.24})
	f.Y += 5
}

// item writes one deficiency with its pictures.
func (f *flow) item(p *Planted, i int, card bool) {
	x := &p.Items[i]
	const gap = 3.0
	left := 2*cardSide + 2*gap
	w := f.Area.W - left
	type line struct {
		text  string
		style draw.TextStyle
	}
	lines := []line{{fmt.Sprintf("%d. Station %d: %s", i+1, x.Station, x.Place), look.Body}}
	if x.Wrong == nil {
		lines = append(lines, line{"No longer in the catalogue: " + x.ID, look.Head})
	} else {
		if card {
			lines = append(lines,
				line{spelling.Capital(x.Wrong.Text()), look.Head},
				line{how(x.Wrong), look.Body},
				line{"To put back: " + p.Survey.PutBack(x.Wrong) + ".", look.Body},
			)
		} else {
			lines = append(lines,
				line{spelling.Capital(x.Wrong.Part.Name), look.Head},
				line{"Put back: " + p.Survey.PutBack(x.Wrong) + ".", look.Body.AsBold()},
				line{"It was set to: " + x.Wrong.State.Text + ".", look.Body},
			)
		}
	}
	h := 0.0
	for _, t := range lines {
		h += draw.TextHeight(t.text, w, t.style) + 0.6
	}
	h += 8
	f.Need(max(h, cardSide+5) + 3)
	top := f.Y
	if x.Wrong != nil {
		wrong := likeness.Of(p.Survey, x.Wrong.Part, x.Wrong.Attribute, x.Wrong.State)
		var good *likeness.Drawing
		if g := likeness.Good(p.Survey, x.Wrong.Part, x.Wrong.Attribute); g != nil {
			good = likeness.Of(p.Survey, x.Wrong.Part, x.Wrong.Attribute, g)
		}
		first, second, a, b := wrong, good, "to be set", "as planned"
		if !card {
			first, second, a, b = good, wrong, "put back to this", "as it was set"
		}
		f.figure(first, f.Area.X, top, cardSide, a)
		f.figure(second, f.Area.X+cardSide+gap, top, cardSide, b)
	}
	y := top
	for _, t := range lines {
		y += f.List().TextBox(draw.Pt(f.Area.X+left, y), w, t.text, t.style) + 0.6
	}
	at := f.Area.X + left
	by := max(y+1, top+cardSide-2.5)
	if card {
		at = f.box(at, by, "set")
		f.box(at, by, "could not be set: say so before the test")
	} else {
		at = f.box(at, by, "right: first person")
		f.box(at, by, "right: second person")
	}
	f.Y = max(by+7, top+cardSide+5) + 1
	f.Rule(look.GridLine)
	f.Y += 2.5
}
