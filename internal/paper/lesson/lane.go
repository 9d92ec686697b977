package lesson

import (
	"fmt"

	"hangtrue/internal/engine/inspect"
)

// Look is one part that a lane in pictures shows, in one state.
type Look struct {
	Stop, Question int // indices
	Part           *inspect.Part
	Shown          Shown
}

// Drawn are the deficiencies, by id, that can be drawn in the same view as the
// good state and look otherwise: those that a lane in pictures may have.
func (l *Lesson) Drawn() map[string]bool {
	out := map[string]bool{}
	l.each(func(_, _ int, q *Question, _ Shown, wrong []Shown) {
		for i := range l.Survey.Deficiencies {
			d := &l.Survey.Deficiencies[i]
			if _, ok := drawnAs(q, wrong, d); ok {
				out[d.ID()] = true
			}
		}
	})
	return out
}

// Looks draws a whole walk: every part that a question is about and that can be
// drawn both right and wrong, as it should be, or in the state that is planted.
// Which pictures there are does not depend on what is planted. It returns an
// error, which names none, where one of the planted cannot be drawn.
func (l *Lesson) Looks(planted []string) ([]Look, error) {
	type asked struct{ part, attribute string }
	wanted := map[asked]*inspect.Deficiency{}
	for _, id := range planted {
		for i := range l.Survey.Deficiencies {
			if d := &l.Survey.Deficiencies[i]; d.ID() == id {
				wanted[asked{d.Part.ID, d.Attribute.ID}] = d
			}
		}
	}
	shown := map[asked]bool{}
	var out []Look
	l.each(func(stop, k int, q *Question, good Shown, wrong []Shown) {
		for _, p := range q.Parts {
			x := Look{stop, k, p, good}
			at := asked{p.ID, q.Attribute.ID}
			if d := wanted[at]; d != nil {
				if w, ok := drawnAs(q, wrong, d); ok {
					x.Shown, shown[at] = w, true
				}
			}
			out = append(out, x)
		}
	})
	if len(shown) != len(planted) {
		return nil, fmt.Errorf("lesson: of %d planted only %d can be drawn", len(planted), len(shown))
	}
	return out, nil
}

// each goes through the questions that can be drawn both right and wrong.
func (l *Lesson) each(do func(stop, question int, q *Question, good Shown, wrong []Shown)) {
	for i := range l.Stops {
		for k := range l.Stops[i].Questions {
			q := &l.Stops[i].Questions[k]
			if good, wrong := q.Pictures(); good != nil {
				do(i, k, q, *good, wrong)
			}
		}
	}
}

// drawnAs is how a question shows a deficiency of one of its parts.
func drawnAs(q *Question, wrong []Shown, d *inspect.Deficiency) (Shown, bool) {
	if d.Attribute.ID != q.Attribute.ID || d.Part.Kind.ID != q.Kind.ID {
		return Shown{}, false
	}
	for _, p := range q.Parts {
		if p.ID != d.Part.ID {
			continue
		}
		for _, w := range wrong {
			if w.State.ID == d.State.ID {
				return Shown{w.Drawing, w.State, d}, true
			}
		}
	}
	return Shown{}, false
}
