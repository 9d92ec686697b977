package web

import (
	"crypto/pbkdf2"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io/fs"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/likeness"
)

// walkBundle is all that a walk asks and shows. The tablet keeps it, so that
// the walk needs no network.
type walkBundle struct {
	Format      string             `json:"format"` // hangtrue.walk-bundle/1
	Inspection  string             `json:"inspection"`
	Person      bundlePerson       `json:"person"`
	Student     bool               `json:"student"`
	Training    bool               `json:"training"`
	Invented    bool               `json:"invented"`
	Blind       bool               `json:"blind"`
	Load        string             `json:"load"`
	Brief       [][2]string        `json:"brief"`
	Before      string             `json:"before"`
	Else        string             `json:"anything_else"`
	NotCovered  string             `json:"not_covered"`
	Checkpoints []bundleCheckpoint `json:"checkpoints"`
	Tasks       []bundleTask       `json:"tasks"`
	Keep        []string           `json:"keep"` // addresses of the shell
	Figures     string             `json:"figures"`
	WhatIf      bool               `json:"what_if"` // there is a table of what changes would do
}

type bundlePerson struct {
	ID   string `json:"id"`
	Name string `json:"name"`
}

type bundleCheckpoint struct {
	ID        string `json:"id"`
	Title     string `json:"title"`
	Note      string `json:"note"`
	Reference string `json:"reference"`
	Station   int    `json:"station"`
	Place     string `json:"place"`
}

type bundleTask struct {
	Checkpoint int           `json:"c"` // index
	Part       string        `json:"part"`
	Attribute  string        `json:"attribute"`
	Name       string        `json:"name"`
	Ask        string        `json:"ask"`
	Do         string        `json:"do"`
	Planned    string        `json:"planned"`
	Picture    string        `json:"picture"`
	Leg        string        `json:"leg"`  // the leg it belongs to; "" for none
	Legs       []string      `json:"legs"` // every leg that it belongs to or relates
	Links      int           `json:"links"`
	Count      *int          `json:"count"` // links planned; absent in a blind count
	Check      string        `json:"check"` // of a blind count: what the planned figure is known by
	States     []bundleState `json:"states"`
}

type bundleState struct {
	ID      string `json:"id"`
	Text    string `json:"text"`
	Act     string `json:"act"`
	Picture string `json:"picture"`
	By      *int   `json:"by"` // so many links more than planned
}

// inspected is the rig, order and catalogue of an inspection.
type inspected struct {
	solved    *app.Solved
	survey    *inspect.Survey  // nil where the rig cannot be read
	find      *likeness.Finder // of the survey
	order     *inspect.Sequence
	catalogue string // its version
}

// inspected opens the versions that an inspection began with. The catalogue is
// today's: it words the questions and does not choose them.
func (s *Server) inspected(x *inspection.Summary, state *inspection.State) (*inspected, error) {
	data, err := s.School.Rigs.Version(x.Rig, x.RigVersion)
	if errors.Is(err, fs.ErrNotExist) {
		return &inspected{solved: &app.Solved{}}, nil
	}
	if err != nil {
		return nil, err
	}
	d := &inspected{solved: s.solver.solve(data)}
	if d.solved.Rig == nil {
		return d, nil
	}
	shelf, err := s.Shelves.Shelf(app.Catalogues)
	if err != nil {
		return nil, err
	}
	school, err := app.SchoolCatalogOf(shelf)
	if err != nil {
		return nil, err
	}
	d.survey, _ = inspect.Of(d.solved.Rig, school.Catalog)
	d.find = likeness.NewFinder(d.survey)
	d.catalogue = school.Version
	if state.Begin.SequenceVersion != "" {
		orders, err := s.Shelves.Shelf(app.Sequences)
		if err != nil {
			return nil, err
		}
		text, err := orders.Version(state.Begin.Sequence, state.Begin.SequenceVersion)
		if notMissing(err) != nil {
			return nil, err
		}
		if err == nil {
			d.order = app.ReadOrder(text).Sequence
		}
	}
	if d.order == nil {
		d.order = inspect.Suggest(d.survey)
	}
	return d, nil
}

// question is a task of an inspection with what the survey knows of it.
type question struct {
	inspection.Task
	At   int // index of its checkpoint
	Asks *inspect.Task
}

// questions are the tasks of an inspection in its order, and their checkpoints.
// A task that the catalogue no longer knows keeps its ids for words.
func (d *inspected) questions(state *inspection.State) ([]question, []bundleCheckpoint) {
	known := map[inspection.Task]*inspect.Task{}
	checkpoint := map[string]bundleCheckpoint{}
	if d.survey != nil {
		for _, st := range d.survey.Stations(d.order) {
			for _, i := range st.Checkpoints {
				c := &d.order.Checkpoints[i]
				checkpoint[c.ID] = bundleCheckpoint{c.ID, c.Title, c.Note, c.Reference, st.Number, st.Text}
				for _, t := range d.survey.Tasks(c) {
					known[inspection.Task{Checkpoint: c.ID, Part: t.Part.ID, Attribute: t.Attribute.ID}] = &t
				}
			}
		}
	}
	var out []question
	var places []bundleCheckpoint
	for _, t := range state.Begin.Tasks {
		at := slices.IndexFunc(places, func(c bundleCheckpoint) bool { return c.ID == t.Checkpoint })
		if at < 0 {
			c, ok := checkpoint[t.Checkpoint]
			if !ok {
				c = bundleCheckpoint{ID: t.Checkpoint, Title: "Checkpoint " + t.Checkpoint}
			}
			at, places = len(places), append(places, c)
		}
		out = append(out, question{t, at, known[t]})
	}
	return out, places
}

// inspectBundle sends what the tablet keeps.
func (s *Server) inspectBundle(w http.ResponseWriter, r *http.Request) error {
	me := personOf(r)
	x, state, err := s.School.Inspection(r.Context(), me, r.PathValue("id"))
	if err != nil {
		return told(err)
	}
	d, err := s.inspected(&x, state)
	if err != nil {
		return err
	}
	called, err := s.School.Called(r.Context(), me, x.By, x.Rigger)
	if err != nil {
		return told(err)
	}
	b := &walkBundle{
		Format: "hangtrue.walk-bundle/1", Inspection: x.ID, Person: bundlePerson{x.By, called[x.By]}, Student: student(me), Training: x.Training,
		Blind: state.Begin.Blind, Load: x.Load, Before: inspect.BeforeTheWalk, Else: inspect.AnythingElse, NotCovered: inspect.NotCovered,
		Keep: s.shell(), Figures: "hangtrue-figures-" + s.assets.hash,
	}
	if d.solved.Answer != nil && !(b.Blind && b.Student) {
		s.whatIfOf(d) // begun now, so that it is there when the tablet asks for it
		b.WhatIf = true
	}
	b.brief(d.solved, state, called[x.Rigger])
	if err := b.sets(s, r, x.Sets); err != nil {
		return err
	}
	asked, places := d.questions(state)
	b.Checkpoints = places
	for _, q := range asked {
		t, err := b.task(d, q)
		if err != nil {
			return err
		}
		b.Tasks = append(b.Tasks, t)
	}
	writeJSON(w, http.StatusOK, b)
	return nil
}

// brief says what the load is, before it is walked round.
func (b *walkBundle) brief(solved *app.Solved, state *inspection.State, rigger string) {
	add := func(head, text string) {
		if text != "" {
			b.Brief = append(b.Brief, [2]string{head, text})
		}
	}
	if r := solved.Rig; r != nil {
		b.Invented = r.Invented()
		weight, known := weightWords(r)
		add("Load", titleOf(r))
		add("Weight", weight)
		add("Weight known by", known)
	}
	add("Aircraft", orSay(state.Begin.Aircraft, "not chosen"))
	add("Procedure", orSay(state.Begin.Procedure, "none entered"))
	add("Rigged by", joined(", ", rigger, state.Begin.Unit))
	add("Version of the rig", app.ShortVersion(state.Begin.RigVersion))
	switch {
	case state.Begin.SequenceVersion != "":
		add("Order walked", "the school’s own, version "+app.ShortVersion(state.Begin.SequenceVersion))
	default:
		add("Order walked", "suggested from the rig")
	}
	if state.Begin.Blind {
		add("Counts", "counted blind: the planned figures are not shown")
	}
}

// sets adds what equipment hangs on the load, for those who may see it.
func (b *walkBundle) sets(s *Server, r *http.Request, ids []string) error {
	me := personOf(r)
	if len(ids) == 0 || !me.May(people.SeeEquipment) {
		return nil
	}
	v, err := s.School.Equipment(r.Context(), me)
	if err != nil {
		return told(err)
	}
	var words []string
	for _, id := range ids {
		if i, ok := v.Item(id); ok {
			words = append(words, i.Called())
		}
	}
	b.Brief = append(b.Brief, [2]string{"Equipment", strings.Join(words, ", ")})
	return nil
}

func orSay(text, otherwise string) string {
	if text == "" {
		return otherwise
	}
	return text
}

// weightWords says what the load weighs and how that is known.
func weightWords(r *rig.Rig) (weight, known string) {
	mass := 0.0
	var ways []string
	for _, b := range r.Bodies() {
		mass += b.TotalMass()
		if way := orSay(b.Known, "not stated"); !slices.Contains(ways, way) {
			ways = append(ways, way)
		}
	}
	return r.Show().Mass(mass), strings.Join(ways, ", ")
}

func (b *walkBundle) task(d *inspected, q question) (bundleTask, error) {
	t := bundleTask{Checkpoint: q.At, Part: q.Part, Attribute: q.Attribute, Name: q.Part, Ask: q.Attribute, Legs: []string{}, States: []bundleState{}}
	if q.Asks == nil {
		return t, nil
	}
	p, a := q.Asks.Part, q.Asks.Attribute
	t.Name, t.Ask, t.Do, t.Planned, t.Leg = capital(p.Name), a.Ask, capital(seeWords(q.Asks.Do)), q.Asks.Planned, p.On.Leg
	t.Legs = append(t.Legs, p.Legs...)
	if t.Leg != "" && !slices.Contains(t.Legs, t.Leg) {
		t.Legs = append(t.Legs, t.Leg)
	}
	hidden := b.Blind && a.Plan == part.PlanCount
	if a.Plan == part.PlanCount {
		leg, ok := d.solved.Rig.Leg(p.On.Leg)
		if ok && leg.Chain != nil {
			t.Links, t.Count = leg.Chain.Links, leg.Count
		}
	}
	if hidden {
		if t.Planned = "The planned link; count first."; t.Count != nil && !b.Student {
			check, err := countCheck(b.Inspection, q.Task, *t.Count)
			if err != nil {
				return t, err
			}
			t.Check = check
		}
		t.Count = nil
	}
	for _, good := range attributeOf(d.survey, d.find, *q.Asks).Good {
		if t.Picture == "" && !hidden {
			t.Picture = figureURL(good.Picture, b.Blind)
		}
	}
	for i := range d.survey.Deficiencies {
		x := &d.survey.Deficiencies[i]
		if x.Part != p || x.Attribute != a {
			continue
		}
		st := bundleState{ID: x.State.ID, Text: capital(strings.TrimPrefix(x.Text(), p.Name+": ")), Act: string(x.State.Act)}
		if !hidden {
			st.Picture = figureURL(drawingURL(d.find.Of(p, a, x.State)), b.Blind)
		}
		if x.State.Meaning == part.CountOff {
			st.By = &x.State.By
		}
		t.States = append(t.States, st)
	}
	return t, nil
}

// checkRounds makes looking through all counts of a chain take a moment and not
// a glance. It keeps no secret: whoever wants to know the plan finds it.
const checkRounds = 4000

// countCheck is what a planned count is known by in a blind count: the page can
// tell whether a number that was entered is the planned one, and the plan stands
// nowhere in it.
func countCheck(inspection string, t inspection.Task, count int) (string, error) {
	key, err := pbkdf2.Key(sha256.New, strconv.Itoa(count), []byte(inspection+" "+t.Part+" "+t.Attribute), checkRounds, 16)
	return hex.EncodeToString(key), err
}
