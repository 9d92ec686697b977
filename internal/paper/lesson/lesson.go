package lesson

import (
	"slices"
	"strings"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/likeness"
)

// Lesson is an inspection sequence as it is taught, in the order of the walk.
type Lesson struct {
	Survey   *inspect.Survey
	Sequence *inspect.Sequence
	Stops    []Stop
}

// Stop is one checkpoint.
type Stop struct {
	Station    int
	Place      string // where to stand, in words
	Checkpoint *inspect.Checkpoint
	Do         []part.See // what is done here, least work first
	Questions  []Question
}

// Question is what is asked of one or more parts of a kind, in the same way and
// with the same drawing.
type Question struct {
	Kind      *part.Kind
	Attribute *part.Attribute
	Parts     []*inspect.Part
	Do        []part.See
	Plans     []Plan // what is planned, one for each different plan
	Good      *likeness.Drawing
	Wrong     []Wrong
	// Before is the index of the first stop that asks the same of the same kind
	// with the same drawing; -1 where this is the first.
	Before int

	good *part.State // nil where nobody has stated it
}

// Plan is what is planned of some of a question's parts.
type Plan struct {
	Parts []*inspect.Part
	Text  string
}

// Wrong is a state that the plan does not call for.
type Wrong struct {
	State   *part.State
	Drawing *likeness.Drawing // nil where it is not drawn
	Cases   []Case            // one for each different outcome
}

// Case is what a wrong state is and would do on some of a question's parts.
type Case struct {
	Parts   []*inspect.Part
	Found   string // what a person finds
	Outcome Outcome

	of *inspect.Deficiency // on the first of the parts
}

// Outcome is what a deficiency would do.
type Outcome struct {
	// Computed says that the rig was hung with it; otherwise the catalogue's
	// hazard is all there is.
	Computed bool
	Text     string // how it hangs, the highest use, whether it stands; "" where not computed
	Result   string // in words; "" where not computed
	Ends     []part.End
}

// Of makes the lesson of a sequence on a surveyed rig. what says what a
// deficiency would do.
func Of(v *inspect.Survey, q *inspect.Sequence, what func(*inspect.Deficiency) Outcome) *Lesson {
	l := &Lesson{Survey: v, Sequence: q}
	type asked struct{ part, attribute string }
	wrong := map[asked][]*inspect.Deficiency{}
	for i := range v.Deficiencies {
		d := &v.Deficiencies[i]
		k := asked{d.Part.ID, d.Attribute.ID}
		wrong[k] = append(wrong[k], d)
	}
	drawer := likeness.NewFinder(v)
	first := map[string]int{} // by the question's key: the stop that asks it first
	for _, s := range v.Stations(q) {
		for _, i := range s.Checkpoints {
			stop := Stop{Station: s.Number, Place: s.Text, Checkpoint: &q.Checkpoints[i]}
			at := map[string]int{}
			for _, t := range v.Tasks(stop.Checkpoint) {
				var good *likeness.Drawing
				state := likeness.Good(v, t.Part, t.Attribute)
				if state != nil {
					good = drawer.Of(t.Part, t.Attribute, state)
				}
				key := t.Part.Kind.ID + "/" + t.Attribute.ID
				if good != nil {
					key += " " + good.View
				}
				k, known := at[key]
				if !known {
					k = len(stop.Questions)
					at[key] = k
					before, repeated := first[key]
					if !repeated {
						before, first[key] = -1, len(l.Stops)
					}
					stop.Questions = append(stop.Questions, Question{Kind: t.Part.Kind, Attribute: t.Attribute, Do: t.Do, Good: good, Before: before, good: state})
				}
				x := &stop.Questions[k]
				x.Parts = append(x.Parts, t.Part)
				x.plan(t.Part, t.Planned)
				for _, d := range wrong[asked{t.Part.ID, t.Attribute.ID}] {
					x.wrong(drawer, d, what(d))
				}
				for _, see := range t.Do {
					if !slices.Contains(stop.Do, see) {
						stop.Do = append(stop.Do, see)
					}
				}
			}
			slices.SortFunc(stop.Do, func(a, b part.See) int { return slices.Index(part.Sees, a) - slices.Index(part.Sees, b) })
			l.Stops = append(l.Stops, stop)
		}
	}
	return l
}

// Stated reports whether the plan says which state is right; where it does not,
// that is a finding of its own.
func (x *Question) Stated() bool { return x.good != nil }

// Right says what is planned, of all parts or of those that share a plan; ""
// where the catalogue has no words for it.
func (x *Question) Right(p *Plan) string {
	if p.Text == "" {
		return ""
	}
	label := "Right"
	if !x.Stated() {
		label = "Planned"
	}
	if len(p.Parts) < len(x.Parts) {
		label += ", " + Names(p.Parts)
	}
	return label + ": " + p.Text + "."
}

func (x *Question) plan(p *inspect.Part, text string) {
	for i := range x.Plans {
		if x.Plans[i].Text == text {
			x.Plans[i].Parts = append(x.Plans[i].Parts, p)
			return
		}
	}
	x.Plans = append(x.Plans, Plan{[]*inspect.Part{p}, text})
}

func (x *Question) wrong(drawer *likeness.Finder, d *inspect.Deficiency, o Outcome) {
	i := slices.IndexFunc(x.Wrong, func(w Wrong) bool { return w.State == d.State })
	if i < 0 {
		i = len(x.Wrong)
		x.Wrong = append(x.Wrong, Wrong{State: d.State, Drawing: drawer.Of(d.Part, d.Attribute, d.State)})
	}
	w := &x.Wrong[i]
	found := seenAs(d)
	for k := range w.Cases {
		if c := &w.Cases[k]; c.Found == found && c.Outcome.Text == o.Text && c.Outcome.Result == o.Result && slices.Equal(c.Outcome.Ends, o.Ends) {
			c.Parts = append(c.Parts, d.Part)
			return
		}
	}
	w.Cases = append(w.Cases, Case{[]*inspect.Part{d.Part}, found, o, d})
}

// seenAs is what a person finds, without the part's name.
func seenAs(d *inspect.Deficiency) string { return strings.TrimPrefix(d.Text(), d.Part.Name+": ") }

// Found is what a person finds who sees the state, whatever the part.
func (w *Wrong) Found() string {
	if len(w.Cases) == 1 {
		return w.Cases[0].Found
	}
	return w.State.Text
}

// Why says why a wrong state matters, in sentences of the catalogue: what it
// leads to, and the worst that it may end in.
func (w *Wrong) Why() string {
	var ends []part.End
	for _, e := range part.Ends {
		if slices.ContainsFunc(w.Cases, func(c Case) bool { return slices.Contains(c.Outcome.Ends, e) }) {
			ends = append(ends, e)
		}
	}
	return why(w.State, ends)
}

func why(s *part.State, ends []part.End) string {
	text := ""
	if s.Hazard != "" {
		text = sentence(s.Hazard) + "."
	}
	if len(ends) > 0 {
		words := make([]string, len(ends))
		for i, e := range ends {
			words[i] = e.Words()
		}
		text += " May end in: " + strings.Join(words, "; ") + "."
	}
	return strings.TrimSpace(text)
}

// Words says what was computed, "" where nothing was. all are the question's
// parts: which of them is meant is said where it is not all.
func (c *Case) Words(all []*inspect.Part) string {
	if !c.Outcome.Computed {
		return ""
	}
	text := sentence(c.Outcome.Text) + "."
	if c.Outcome.Result != "" && !strings.HasPrefix(strings.ToLower(c.Outcome.Text), strings.ToLower(c.Outcome.Result)) {
		text += " " + sentence(c.Outcome.Result) + "."
	}
	if len(c.Parts) < len(all) {
		return Names(c.Parts) + ": " + text
	}
	return text
}

// Names lists parts by their names.
func Names(parts []*inspect.Part) string {
	names := make([]string, len(parts))
	for i, p := range parts {
		names[i] = p.Name
	}
	return strings.Join(names, ", ")
}

// Do says what a person does, in words.
func Do(ways []part.See) string {
	words := make([]string, len(ways))
	for i, w := range ways {
		words[i] = string(w)
	}
	return strings.Join(words, ", ")
}

// sentence begins a text as a sentence begins, without its full stop.
func sentence(s string) string {
	return spelling.Capital(strings.TrimRight(s, "."))
}
