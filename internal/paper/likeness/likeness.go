// Package likeness finds the close-up of a part of one rig: the drawing of its
// kind in one state of one attribute, with the numbers that this rig's plan has.
package likeness

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/paper/closeup"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// Drawing names a close-up of a part in one state of one attribute.
type Drawing struct {
	Figure string
	Params map[string]string
	View   string // names the view and its numbers, whatever the state
}

// Picture draws it. Staff adds the numbers of links and a title that names the
// state.
func (d *Drawing) Picture(staff bool) *draw.Picture {
	p, err := closeup.Draw(d.Figure, d.Params, closeup.Options{Staff: staff})
	if err != nil {
		panic("likeness: a drawing that was drawn before: " + err.Error())
	}
	return p
}

// Framed draws it in a frame with its top left corner at a place; where there is
// no drawing the frame says so.
func (d *Drawing) Framed(l *draw.List, at draw.Point, side float64, staff bool) {
	frame := draw.Rect{X: at.X, Y: at.Y, W: side, H: side}
	if d == nil {
		l.Rect(frame, look.GridLine, draw.Paint{})
		l.Text(frame.Center(), "not drawn", look.Small.At(draw.Middle, draw.CapMiddle))
		return
	}
	p := d.Picture(staff)
	l.Embed(p, at, side/p.Width)
	l.Rect(frame, look.Detail, draw.Paint{})
}

// Of returns the close-up of a part in a state, nil where there is none and where
// it would show a plan that is not this rig's.
func Of(v *inspect.Survey, p *inspect.Part, a *part.Attribute, s *part.State) *Drawing {
	return NewFinder(v).Of(p, a, s)
}

// Finder finds many close-ups of one rig's parts.
type Finder struct {
	v     *inspect.Survey
	fails map[string]bool // by a drawing's id: it shows a plan that is not this rig's
}

// NewFinder is a finder for a rig.
func NewFinder(v *inspect.Survey) *Finder { return &Finder{v, map[string]bool{}} }

// Of is as [Of].
func (w *Finder) Of(p *inspect.Part, a *part.Attribute, s *part.State) *Drawing {
	v := w.v
	figure, ok := v.Figure(p, a, s)
	if !ok {
		return nil
	}
	f, ok := closeup.Find(figure.Name)
	if !ok {
		return nil
	}
	i := slices.IndexFunc(f.Views, func(view closeup.View) bool {
		return slices.ContainsFunc(view.Attributes, func(x closeup.Attribute) bool {
			return x.ID == a.ID && slices.Contains(x.States, figure.Params[x.ID])
		})
	})
	if i < 0 {
		return nil
	}
	d := &Drawing{Figure: figure.Name, Params: map[string]string{}, View: fmt.Sprintf("%s %d", figure.Name, i)}
	for _, x := range f.Views[i].Attributes {
		if state := figure.Params[x.ID]; slices.Contains(x.States, state) {
			d.Params[x.ID] = state
		}
	}
	for _, n := range f.Views[i].Numbers {
		k, known := plannedNumber(v, p, n.ID)
		if !known || k < n.Least || k > n.Most {
			return nil
		}
		d.Params[n.ID] = fmt.Sprint(k)
		d.View += fmt.Sprintf(" %s=%d", n.ID, k)
	}
	fails, known := w.fails[d.ID()]
	if !known {
		drawn, err := closeup.Draw(d.Figure, d.Params, closeup.Options{Staff: true})
		fails = err != nil || len(f.Views[i].Numbers) == 0 && foreignPlan(drawn.Items)
		w.fails[d.ID()] = fails
	}
	if fails {
		return nil
	}
	return d
}

// plannedNumber is the number that the plan has for what a drawing counts: the
// link in the hook of the part's leg, or of the left or right one of its two.
func plannedNumber(v *inspect.Survey, p *inspect.Part, number string) (int, bool) {
	leg := p.On.Leg
	switch number {
	case "left", "right":
		if len(p.Legs) != 2 {
			return 0, false
		}
		scene := inspect.SceneOf(v.Rig, nil)
		y := func(i int) float64 { return scene.Ground(inspect.Place{Leg: p.Legs[i], Along: 1})[1] }
		if leg = p.Legs[1]; (y(0) > y(1)) == (number == "left") {
			leg = p.Legs[0]
		}
	case "planned-count":
	default:
		return 0, false
	}
	l, ok := v.Rig.Leg(leg)
	if !ok || l.Count == nil {
		return 0, false
	}
	return *l.Count, true
}

// foreignPlan reports whether a drawing carries the words of a plan: those of a
// likeness, which are not this rig's.
func foreignPlan(items []draw.Item) bool {
	for _, it := range items {
		switch x := it.(type) {
		case draw.Text:
			if strings.Contains(x.S, ":") {
				return true
			}
		case *draw.Group:
			if foreignPlan(x.Items) {
				return true
			}
		}
	}
	return false
}

// Good is the state of an attribute that the plan calls for on a part; nil where
// nobody has stated it.
func Good(v *inspect.Survey, p *inspect.Part, a *part.Attribute) *part.State {
	id := a.Good
	if a.Plan == part.PlanSpacer {
		switch need, _ := v.Spacer(p); need {
		case part.Required:
			id = part.SpacerOn
		case part.Forbidden:
			id = part.SpacerOff
		default:
			return nil
		}
	}
	s, ok := a.State(id)
	if !ok {
		return nil
	}
	return s
}

// ID tells a drawing from every other.
func (d *Drawing) ID() string {
	s := d.Figure
	for _, k := range slices.Sorted(maps.Keys(d.Params)) {
		s += " " + k + "=" + d.Params[k]
	}
	return s
}
