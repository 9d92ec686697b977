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

// Number is a whole number that a figure is drawn with, such as which link the
// plan has in the hook.
type Number struct {
	ID                  string
	Least, Most, Unless int // Unless is drawn where none is given
}

// Figure is what can be drawn of one kind of part.
type Figure struct {
	ID    string
	Views []View
}

// View is one drawing of a part with all that it can show. What is seen from
// another place, or at another size, is another view of the same figure.
type View struct {
	Title      string // what it shows, whatever its states
	Attributes []Attribute
	Numbers    []Number

	scale float64 // paper mm to a real mm
	bar   float64 // length of the scale bar in real mm
	draw  func(sketch)
	// fit, where given, is the scale for these numbers; the states have no say.
	fit func(number map[string]int) float64
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
	return slices.Concat(
		hookFigures, chainFigures, legFigures, apexFigures, fanFigures, fastenerFigures, tieFigures,
		slingFigures, loadFigures, drumFigures, netFigures, lineFigures, vehicleFigures,
	)
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
// state) and its numbers (number: digits); all else as it should be. The first
// attribute in the figure's order chooses the view. It returns an error for a
// figure, attribute, state or number that there is not, naming those that there
// are, and for attributes that no one view shows together.
func Draw(figure string, params map[string]string, o Options) (*draw.Picture, error) {
	f, ok := Find(figure)
	if !ok {
		var ids []string
		for _, f := range Figures() {
			ids = append(ids, f.ID)
		}
		return nil, fmt.Errorf("closeup: there is no figure %q%s", figure, meant(figure, ids))
	}
	v, err := f.view(params)
	if err != nil {
		return nil, fmt.Errorf("closeup: figure %s: %w", f.ID, err)
	}
	s := sketch{notes: o.Staff, state: map[string]string{}, number: map[string]int{}}
	for _, a := range v.Attributes {
		s.state[a.ID] = a.States[0]
	}
	for _, n := range v.Numbers {
		s.number[n.ID] = n.Unless
	}
	var said []string
	for _, key := range sortedKeys(params) {
		if err := v.set(s, key, params[key]); err != nil {
			return nil, fmt.Errorf("closeup: figure %s: %w", f.ID, err)
		}
		said = append(said, key+" "+params[key])
	}
	title := v.Title
	if o.Staff && len(said) > 0 {
		title += ": " + strings.Join(said, ", ")
	}
	p := draw.New(Size, Size, title, "")
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	g := p.Group("", "")
	g.Clip = &draw.Rect{W: Size, H: Size}
	s.list = &g.List
	scale := v.scale
	if v.fit != nil {
		scale = v.fit(s.number)
	}
	s.frame = moved(Size/2, Size/2-2).then(scaled(scale))
	v.draw(s)
	scaleBar(&p.List, scale, v.bar)
	return p, nil
}

// view finds the view that shows all that is asked for.
func (f Figure) view(params map[string]string) (View, error) {
	found := -1
	var known []string
	for i, v := range f.Views {
		for _, a := range v.names() {
			known = append(known, a)
			if _, asked := params[a]; asked && found < 0 {
				found = i
			}
		}
	}
	for _, key := range sortedKeys(params) {
		if !slices.Contains(known, key) {
			return View{}, fmt.Errorf("it has no %q%s", key, meant(key, known))
		}
		if !slices.Contains(f.Views[max(found, 0)].names(), key) {
			return View{}, fmt.Errorf("%s is not in view together with %s; draw them one by one", key, strings.Join(f.Views[found].names(), ", "))
		}
	}
	return f.Views[max(found, 0)], nil
}

func (v View) names() []string {
	var out []string
	for _, a := range v.Attributes {
		out = append(out, a.ID)
	}
	for _, n := range v.Numbers {
		out = append(out, n.ID)
	}
	return out
}

func (v View) set(s sketch, key, value string) error {
	for _, n := range v.Numbers {
		if n.ID == key {
			x, err := strconv.Atoi(value)
			if err != nil || x < n.Least || x > n.Most {
				return fmt.Errorf("%s is %q; it takes a whole number from %d to %d", key, value, n.Least, n.Most)
			}
			s.number[key] = x
		}
	}
	for _, a := range v.Attributes {
		if a.ID == key {
			if !slices.Contains(a.States, value) {
				return fmt.Errorf("%s cannot be drawn %q; its states are %s", key, value, strings.Join(a.States, ", "))
			}
			s.state[key] = value
		}
	}
	return nil
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
func scaleBar(l *draw.List, scale, bar float64) {
	n := bar * scale
	x, y := 4.0, Size-4.5
	words := fmt.Sprintf("%g mm", bar)
	if bar >= 1000 {
		words = fmt.Sprintf("%g m", bar/1000)
	}
	style := look.Body.WithSize(3.2).At(draw.Start, draw.CapMiddle)
	l.Rect(draw.Rect{X: 0, Y: y - 3, W: x + n + 3.5 + style.Width(words), H: Size - y + 3}, draw.Stroke{}, look.Paper)
	pen := draw.Stroke{Paint: look.Ink, Width: look.Heavy}
	l.Line(draw.Pt(x, y), draw.Pt(x+n, y), pen)
	for _, at := range []float64{0, 0.5, 1} {
		h := 1.4
		if at == 0.5 {
			h = 0.8
		}
		l.Line(draw.Pt(x+n*at, y-h), draw.Pt(x+n*at, y+h), pen)
	}
	l.Text(draw.Pt(x+n+1.8, y), words, style)
}

func attr(id string, states ...string) Attribute { return Attribute{id, states} }
