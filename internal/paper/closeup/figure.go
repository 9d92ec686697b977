package closeup

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// Attribute is one thing of a figure that can be drawn in several states.
type Attribute struct {
	ID     string
	States []string // the first is drawn where none is asked for
}

// Number is a whole number that a figure is drawn with, such as which link is held.
type Number struct {
	ID                  string
	Least, Most, Unless int // Unless is drawn where none is given
}

// Figure is one drawing with all that it can show.
type Figure struct {
	ID         string
	Title      string // what it shows, whatever its states
	Attributes []Attribute
	Numbers    []Number

	scale float64 // paper mm to a real mm
	bar   float64 // length of the scale bar in real mm
	draw  func(sketch)
}

// Size is the width and the height of every close-up, in mm of paper.
const Size = 100

// Options says for whom a close-up is.
type Options struct {
	// Staff adds what a student has to find out alone: the numbers of the
	// links, and a title that names the states.
	Staff bool
}

// Figures lists all figures, in a fixed order.
func Figures() []Figure {
	return slices.Concat(chainFigures)
}

// Find returns the figure of this name.
func Find(id string) (Figure, bool) {
	for _, f := range Figures() {
		if f.ID == id {
			return f, true
		}
	}
	return Figure{}, false
}

// Draw draws a figure with some of its attributes in given states (attribute:
// state) and its numbers (number: digits); all else as it should be. It returns
// an error for a figure, attribute, state or number that there is not, and
// names those that there are.
func Draw(figure string, params map[string]string, o Options) (*draw.Picture, error) {
	f, ok := Find(figure)
	if !ok {
		var ids []string
		for _, f := range Figures() {
			ids = append(ids, f.ID)
		}
		return nil, fmt.Errorf("closeup: there is no figure %q%s", figure, meant(figure, ids))
	}
	s := sketch{notes: o.Staff, state: map[string]string{}, number: map[string]int{}}
	for _, a := range f.Attributes {
		s.state[a.ID] = a.States[0]
	}
	for _, n := range f.Numbers {
		s.number[n.ID] = n.Unless
	}
	var said []string
	for _, key := range sortedKeys(params) {
		if err := f.set(s, key, params[key]); err != nil {
			return nil, fmt.Errorf("closeup: figure %s: %w", f.ID, err)
		}
		said = append(said, key+" "+params[key])
	}
	title := f.Title
	if o.Staff && len(said) > 0 {
		title += ": " + strings.Join(said, ", ")
	}
	p := draw.New(Size, Size, title, "")
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	g := p.Group("", "")
	g.Clip = &draw.Rect{W: Size, H: Size}
	s.list = &g.List
	s.frame = moved(Size/2, Size/2-2).then(scaled(f.scale))
	f.draw(s)
	scaleBar(&p.List, f)
	return p, nil
}

func (f Figure) set(s sketch, key, value string) error {
	for _, n := range f.Numbers {
		if n.ID == key {
			v, err := strconv.Atoi(value)
			if err != nil || v < n.Least || v > n.Most {
				return fmt.Errorf("%s is %q; it takes a whole number from %d to %d", key, value, n.Least, n.Most)
			}
			s.number[key] = v
			return nil
		}
	}
	var ids []string
	for _, a := range f.Attributes {
		if a.ID == key {
			if !slices.Contains(a.States, value) {
				return fmt.Errorf("%s cannot be drawn %q; its states are %s", key, value, strings.Join(a.States, ", "))
			}
			s.state[key] = value
			return nil
		}
		ids = append(ids, a.ID)
	}
	for _, n := range f.Numbers {
		ids = append(ids, n.ID)
	}
	return fmt.Errorf("it has no %q%s", key, meant(key, ids))
}

func meant(word string, known []string) string {
	if near := spelling.Nearest(word, known); near != "" {
		return fmt.Sprintf("; did you mean %s?", near)
	}
	return "; there are " + strings.Join(known, ", ")
}

func sortedKeys(m map[string]string) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// scaleBar says how large the part is: a bar of a round real length.
func scaleBar(l *draw.List, f Figure) {
	n := f.bar * f.scale
	x, y := 5.0, Size-5.0
	l.Rect(draw.Rect{X: x - 2, Y: y - 3.2, W: n + 24, H: 6.4}, draw.Stroke{}, look.Paper)
	pen := draw.Stroke{Paint: look.Ink, Width: look.Heavy}
	l.Line(draw.Pt(x, y), draw.Pt(x+n, y), pen)
	for _, at := range []float64{0, 0.5, 1} {
		h := 1.4
		if at == 0.5 {
			h = 0.8
		}
		l.Line(draw.Pt(x+n*at, y-h), draw.Pt(x+n*at, y+h), pen)
	}
	words := fmt.Sprintf("%g mm", f.bar)
	if f.bar >= 1000 {
		words = fmt.Sprintf("%g m", f.bar/1000)
	}
	l.Text(draw.Pt(x+n+1.8, y), words, look.Body.WithSize(3.2).At(draw.Start, draw.CapMiddle))
}

func attr(id string, states ...string) Attribute { return Attribute{id, states} }
