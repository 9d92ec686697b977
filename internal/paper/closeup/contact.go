package closeup

import (
	"errors"

	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// State is one attribute of a figure in one state.
type State struct{ Attribute, State string }

// Params is what to ask of [Draw] to see it.
func (s State) Params() map[string]string { return map[string]string{s.Attribute: s.State} }

// States lists every state of every attribute of a figure, in order.
func (f Figure) States() []State {
	var out []State
	for _, v := range f.Views {
		for _, a := range v.Attributes {
			for _, st := range a.States {
				out = append(out, State{a.ID, st})
			}
		}
	}
	return out
}

// Contact lays all states of a figure side by side in one picture, each beneath
// its name: for staff to look at, never for a student. It refuses fewer columns
// than one.
func Contact(f Figure, columns int) (*draw.Picture, error) {
	if columns < 1 {
		return nil, errors.New("closeup: a contact sheet has one column or more")
	}
	const gap, head = 4.0, 7.0
	states := f.States()
	rows := (len(states) + columns - 1) / columns
	p := draw.New(gap+float64(columns)*(Size+gap), gap+float64(rows)*(Size+head+gap), "All states of "+f.ID, "")
	p.Rect(p.Frame(), draw.Stroke{}, look.Shade)
	for i, s := range states {
		one, err := Draw(f.ID, s.Params(), Options{Staff: true})
		if err != nil {
			return nil, err
		}
		at := draw.Pt(gap+float64(i%columns)*(Size+gap), gap+float64(i/columns)*(Size+head+gap))
		p.Text(at.Add(draw.Pt(0, head/2)), f.ID+"  "+s.Attribute+": "+s.State, look.Body.WithSize(4).At(draw.Start, draw.CapMiddle))
		p.Embed(one, at.Add(draw.Pt(0, head)), 1)
	}
	return p, nil
}
