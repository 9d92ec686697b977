package catalogfile

import (
	"fmt"
	"io"
	"slices"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/part"
)

// Read makes a catalogue of one file, or returns everything that is wrong with
// it in the order of its lines. What the file names and may find in another
// one is not checked: that is for [Load].
func Read(data []byte) (*part.Catalog, []document.Problem) {
	c, _, problems := read(data)
	return c, problems
}

// File is a catalogue to load. Name is what problems call it.
type File struct {
	Name string
	Data io.Reader
}

// Problem is something wrong in one of the files.
type Problem struct {
	File string
	document.Problem
}

// String is the problem with its file and line.
func (p Problem) String() string { return p.Format(p.File) }

// Load reads catalogues and merges them, each over those before it: the
// shipped one first, then a school's own. It returns no catalogue where there
// is any problem, and every problem of every file.
func Load(files ...File) (*part.Catalog, []Problem) {
	var problems []Problem
	var catalogs []*part.Catalog
	var values []*document.Value
	for _, f := range files {
		data, err := io.ReadAll(f.Data)
		if err != nil {
			problems = append(problems, Problem{f.Name, document.Problem{Line: 1, Column: 1, Text: "cannot be read: " + err.Error()}})
			continue
		}
		c, v, wrong := read(data)
		for _, p := range wrong {
			problems = append(problems, Problem{f.Name, p})
		}
		if c == nil {
			continue
		}
		for i := range c.Kinds {
			c.Kinds[i].From = f.Name
		}
		catalogs, values = append(catalogs, c), append(values, v)
	}
	if len(problems) > 0 || len(catalogs) == 0 {
		return nil, problems
	}
	merged := part.Merge(catalogs[0], catalogs[1:]...)
	for i, c := range catalogs {
		var wrong []document.Problem
		for _, p := range merged.Check(c) {
			wrong = append(wrong, values[i].ProblemAt(p.Path, p.Text, p.Hint))
		}
		document.Sort(wrong)
		for _, p := range wrong {
			problems = append(problems, Problem{files[i].Name, p})
		}
	}
	if len(problems) > 0 {
		return nil, problems
	}
	return merged, nil
}

func read(data []byte) (*part.Catalog, *document.Value, []document.Problem) {
	v, problems := document.Read(data, shape)
	if v == nil {
		return nil, nil, problems
	}
	b := builder{problems: problems}
	c := b.catalog(v)
	if len(b.problems) > 0 {
		document.Sort(b.problems)
		return nil, v, b.problems
	}
	return c, v, nil
}

type builder struct{ problems []document.Problem }

func (b *builder) refuse(v *document.Value, text, hint string) {
	b.problems = append(b.problems, v.Problem(text, hint))
}

func (b *builder) catalog(v *document.Value) *part.Catalog {
	c := &part.Catalog{Title: v.Get("title").Text()}
	criteria := v.Get("criteria")
	for _, id := range criteria.Keys() {
		x := criteria.Get(id)
		c.Criteria = append(c.Criteria, part.Criterion{
			ID: id, Where: x.Get("where").Text(), Text: x.Get("text").Text(), Gap: x.Get("gap").Text(),
		})
	}
	pairs := map[[2]string]bool{}
	for _, x := range v.Get("spacers").Items() {
		r := part.SpacerRule{
			Fitting: x.Get("fitting").Text(), On: x.Get("on").Text(),
			Need: part.SpacerNeed(x.Get("spacer").Text()), Source: x.Get("source").Text(),
		}
		pair := [2]string{r.Fitting, r.On}
		if pairs[pair] {
			b.refuse(x, fmt.Sprintf("there is already a rule for fitting %s on %s", r.Fitting, r.On), "one rule for each pair")
		}
		pairs[pair] = true
		c.Spacers = append(c.Spacers, r)
	}
	kinds := v.Get("kinds")
	for _, id := range kinds.Keys() {
		c.Kinds = append(c.Kinds, b.kind(id, kinds.Get(id)))
	}
	return c
}

func (b *builder) kind(id string, v *document.Value) part.Kind {
	k := part.Kind{
		ID: id, Name: v.Get("name").Text(), Each: part.Each(v.Get("each").Text()), InsteadOf: texts(v.Get("instead-of")),
		Duty: part.Duty(v.Get("duty").Text()), Place: part.Spot(v.Get("place").Text()),
		Figure: v.Get("figure").Text(), Real: v.Get("real").Text(), Source: v.Get("source").Text(),
	}
	if k.Each != part.Nowhere && len(k.InsteadOf) > 0 {
		b.refuse(v.Get("instead-of"), "a kind that is found on every "+string(k.Each)+" cannot take another's place",
			"leave out each:, and name the part in the rig file")
	}
	attributes := v.Get("attributes")
	for _, name := range attributes.Keys() {
		k.Attributes = append(k.Attributes, b.attribute(&k, name, attributes.Get(name)))
	}
	return k
}

func (b *builder) attribute(k *part.Kind, id string, v *document.Value) part.Attribute {
	a := part.Attribute{
		ID: id, Ask: v.Get("ask").Text(), From: part.Near, Plan: part.Plan(v.Get("plan").Text()), Good: v.Get("good").Text(),
		Source: v.Get("source").Text(), Meets: texts(v.Get("meets")),
	}
	for _, s := range texts(v.Get("see")) {
		a.See = append(a.See, part.See(s))
	}
	if f := v.Get("from").Text(); f != "" {
		a.From = part.From(f)
	}
	w := v.Get("when")
	a.When = part.Condition{
		Tail: w.Get("tail").Integer(), Seats: w.Get("seats").Yes(), Points: w.Get("points").Integer(),
		Sets: w.Get("sets").Integer(), Swings: w.Get("pendant").Yes(),
	}
	b.good(&a, v)
	states := v.Get("states")
	for _, name := range states.Keys() {
		s := b.state(k, &a, name, v, states.Get(name))
		if name == a.Good {
			a.States = slices.Insert(a.States, 0, s)
		} else {
			a.States = append(a.States, s)
		}
	}
	return a
}

// good checks that the attribute says which state is the good one.
func (b *builder) good(a *part.Attribute, v *document.Value) {
	states := v.Get("states")
	switch {
	case a.Plan == part.PlanSpacer:
		if v.Has("good") {
			b.refuse(v.Get("good"), "with plan: spacer the rules say which state is good", "leave out good:")
		}
		for _, want := range []string{part.SpacerOn, part.SpacerOff, part.SpacerOpen} {
			if !states.Has(want) {
				b.refuse(states, "plan: spacer needs the state "+want, "its states are "+part.SpacerOn+", "+part.SpacerOff+" and "+part.SpacerOpen)
			}
		}
	case !v.Has("good"):
		if !v.Missed("good") {
			b.refuse(v, a.ID+" does not say which state is the good one", "add good: with one of its states")
		}
	case v.Get("good").Valid() && !states.Has(a.Good):
		b.refuse(v.Get("good"), fmt.Sprintf("%s has no state %q", a.ID, a.Good), "write it under states:")
	}
}

func (b *builder) state(k *part.Kind, a *part.Attribute, id string, of, v *document.Value) part.State {
	s := part.State{ID: id, Draw: map[string]string{a.ID: id}}
	if v.Form() != document.FormObject {
		s.Text = v.Text()
	} else {
		s.Text, s.PutBack, s.Source = v.Get("text").Text(), v.Get("put-back").Text(), v.Get("source").Text()
	}
	draw := v.Get("draw")
	for _, key := range draw.Keys() {
		s.Draw[key] = draw.Get(key).Text()
	}
	if id == a.Good {
		for _, key := range []string{"put-back", "hazard", "ends", "act", "plant", "effect"} {
			if v.Has(key) {
				b.refuse(v.Get(key), "the good state leads to nothing", "leave out "+key+":")
			}
		}
		return s
	}
	pick := func(key string) *document.Value {
		if v.Has(key) {
			return v.Get(key)
		}
		if !of.Has(key) && !of.Missed(key) && !v.Missed(key) {
			b.refuse(v, "state "+id+" does not say "+missing[key], "add "+key+":, here or for the whole attribute")
		}
		return of.Get(key)
	}
	s.Hazard = pick("hazard").Text()
	s.Act = part.Act(pick("act").Text())
	s.Plant = part.Plant(pick("plant").Text())
	named := texts(pick("ends"))
	for _, e := range part.Ends { // gravest first, however they were written
		if slices.Contains(named, string(e)) {
			s.Ends = append(s.Ends, e)
		}
	}
	switch e := v.Get("effect"); e.Form() {
	case document.FormChoice:
		s.Meaning = part.Meaning(e.Text())
	case document.FormObject:
		s.Meaning, s.By = part.CountOff, e.Get("count").Integer()
		if s.By == 0 && e.Get("count").Valid() {
			b.refuse(e, "a count that is off by nothing is the planned one", "for example effect: {count: -1}")
		}
	}
	if v.Has("effect") && s.Meaning != part.NoMeaning {
		b.suits(k, s.Meaning, v.Get("effect"))
	}
	return s
}

var missing = map[string]string{
	"hazard": "what it may lead to", "act": "what is done about it",
	"plant": "how it can be made for training", "ends": "what it may end in",
}

// suits checks that a meaning can be told of what the kind is found on.
func (b *builder) suits(k *part.Kind, m part.Meaning, v *document.Value) {
	if ok, what := k.Each.Means(m); !ok {
		b.refuse(v, fmt.Sprintf("%s cannot be told of a part on each %s", m, k.Each), "it takes "+what)
	}
}

func texts(v *document.Value) []string {
	var out []string
	for _, x := range v.Items() {
		if x.Valid() {
			out = append(out, x.Text())
		}
	}
	return out
}
