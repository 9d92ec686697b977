package lesson

import (
	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
)

// Closeup returns the close-up of a part in a state; nil where there is none, and
// where it would show a plan that is not this rig's.
func Closeup(v *inspect.Survey, p *inspect.Part, a *part.Attribute, s *part.State) *Drawing {
	return newDrawer(v).of(p, a, s)
}

// Good is the state of an attribute that the plan calls for on a part; nil where
// nobody has stated it.
func Good(v *inspect.Survey, p *inspect.Part, a *part.Attribute) *part.State {
	return goodState(v, p, a)
}
