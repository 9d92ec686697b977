package app

import (
	"context"
	"crypto/rand"
	"fmt"
	"io"
	"io/fs"
	mrand "math/rand/v2"
	"slices"
	"strings"
	"time"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/teach"
	"hangtrue/internal/engine/teach/report"
	"hangtrue/internal/paper/closeup"
	"hangtrue/internal/paper/lesson"
)

// DrillAsk is what is wanted of a drill.
type DrillAsk struct {
	Rig        string
	RigVersion string
	Sequence   string // the version of the school's own order; "" for the suggested one
	Pictures   int
	Seconds    int  // for each picture; 0 for no clock
	Shared     bool // with a class, so that it moves nobody's boxes
}

// The bounds of a drill, with what it begins with.
const (
	LeastDrill, UsualDrill = 4, 10
	MostDrillSeconds       = 300
	drillGrace             = 2 * time.Second // for the way to the server
	drillsShown            = 30
	drillKeptOpen          = 24 * time.Hour
)

// drillItem is something that can be practised on a rig: a wrong state that is
// drawn.
type drillItem struct {
	stop, question int
	wrong          lesson.Shown
}

// StartDrill begins a drill on a lesson of the rig. Which deficiencies it asks
// about follows from what the person missed before (Leitner's boxes); each is
// then shown, or the part as it should be, by the toss of a coin, so that what
// is asked about tells nothing. effects say what each would do. It returns the
// drill's id.
func (s *School) StartDrill(ctx context.Context, by *people.Person, a DrillAsk, l *lesson.Lesson, effects *EffectsDocument) (string, error) {
	if err := need(by, people.Drill); err != nil {
		return "", err
	}
	switch {
	case a.Pictures < LeastDrill || a.Pictures > teach.MostDrillPictures:
		return "", &Wrong{"pictures", fmt.Sprintf("a drill has from %d to %d pictures", LeastDrill, teach.MostDrillPictures)}
	case a.Seconds < 0 || a.Seconds > MostDrillSeconds:
		return "", &Wrong{"seconds", fmt.Sprintf("the clock is from 0, for none, to %d seconds a picture", MostDrillSeconds)}
	case a.Shared && !by.May(people.Teach):
		return "", &NotAllowed{people.Teach}
	}
	boxes, err := s.keeper.Boxes(ctx, by.ID)
	if err != nil {
		return "", err
	}
	if a.Shared {
		boxes = nil
	}
	var seed [32]byte
	if _, err := io.ReadFull(rand.Reader, seed[:]); err != nil {
		return "", fmt.Errorf("app: no random bytes: %w", err)
	}
	d := teach.Drill{
		ID: NewID(s.random), Person: by.ID, Rig: a.Rig, RigVersion: a.RigVersion, Sequence: a.Sequence, Shared: a.Shared,
		Limit: time.Duration(a.Pictures*a.Seconds) * time.Second,
	}
	d.Pictures = chooseDrill(l, effects, boxes, s.now(), a.Pictures, mrand.New(mrand.NewChaCha8(seed)))
	for i := range d.Pictures {
		d.Pictures[i].Name = NewID(s.random)
	}
	if err := endPictures(ctx, d.Pictures, l.Survey); err != nil {
		return "", err
	}
	if len(d.Pictures) < LeastDrill {
		return "", &Wrong{"rig", fmt.Sprintf("only %d parts of this rig can be drawn both right and wrong; a drill needs %d", len(d.Pictures), LeastDrill)}
	}
	d.Limit = time.Duration(len(d.Pictures)*a.Seconds) * time.Second
	if err := d.Check(); err != nil {
		return "", err
	}
	return d.ID, s.keeper.AddDrill(ctx, d)
}

// chooseDrill chooses the pictures of a drill, in the order of the walk.
func chooseDrill(l *lesson.Lesson, effects *EffectsDocument, boxes map[string]teach.Box, now time.Time, n int, r *mrand.Rand) []teach.DrillPicture {
	type shown struct {
		good  lesson.Shown
		wrong []lesson.Shown
	}
	pictures := map[[2]int]shown{}
	byKey := map[string][]drillItem{}
	var keys []string
	for i := range l.Stops {
		for k := range l.Stops[i].Questions {
			q := &l.Stops[i].Questions[k]
			good, wrong := q.Pictures()
			if good == nil {
				continue
			}
			pictures[[2]int{i, k}] = shown{*good, wrong}
			for _, w := range wrong {
				key := q.Kind.ID + "/" + q.Attribute.ID + "/" + w.State.ID
				if byKey[key] == nil {
					keys = append(keys, key)
				}
				byKey[key] = append(byKey[key], drillItem{i, k, w})
			}
		}
	}
	slices.Sort(keys)
	r.Shuffle(len(keys), func(i, k int) { keys[i], keys[k] = keys[k], keys[i] })
	type chosen struct {
		drillItem
		key  string
		toss bool
	}
	var out []chosen
	used := map[[2]int]bool{}
	for _, key := range teach.Practise(keys, boxes, now, len(keys)) {
		if len(out) == n {
			break
		}
		// Of the places where this could be, one that is not asked about yet.
		list := byKey[key]
		start := r.IntN(len(list))
		for i := range list {
			x := list[(start+i)%len(list)]
			at := [2]int{x.stop, x.question}
			if used[at] {
				continue
			}
			used[at] = true
			out = append(out, chosen{x, key, r.IntN(2) == 0})
			break
		}
	}
	slices.SortStableFunc(out, func(a, b chosen) int {
		if a.stop != b.stop {
			return a.stop - b.stop
		}
		return a.question - b.question
	})
	what := Outcomes(effects)
	at := map[int][2]float64{}
	for _, st := range l.Survey.Stations(l.Sequence) {
		at[st.Number] = st.At
	}
	var all []teach.DrillPicture
	for _, x := range out {
		stop := &l.Stops[x.stop]
		q := &stop.Questions[x.question]
		p := teach.DrillPicture{
			Station: stop.Station, Place: stop.Place, At: at[stop.Station], Checkpoint: stop.Checkpoint.ID, Title: stop.Checkpoint.Title,
			Parts: lesson.Names(q.Parts), Ask: q.Attribute.Ask, Do: lesson.Do(q.Do), Key: x.key,
		}
		if q.Attribute.Plan != part.NotPlanned && len(q.Plans) > 0 {
			p.Plan = q.Plans[0].Text
		}
		for i := range q.Wrong {
			p.Choices = append(p.Choices, teach.DrillChoice{State: q.Wrong[i].State.ID, Text: q.Wrong[i].Found()})
		}
		show := pictures[[2]int{x.stop, x.question}].good
		about := q.Parts[0]
		if x.toss {
			show = x.wrong
			p.Deficiency, about = show.Wrong.ID(), show.Wrong.Part
		}
		p.Part, p.State, p.Figure, p.Params = about.ID, show.State.ID, show.Drawing.Figure, show.Drawing.Params
		p.Found, p.Matters, p.Did = show.Answer(about, what)
		all = append(all, p)
	}
	return all
}

// endPictures says of what is wrong in pictures and changes nothing by itself what
// it would do once it has ended as it may.
func endPictures(ctx context.Context, list []teach.DrillPicture, v *inspect.Survey) error {
	words := EndedWords(ctx, v)
	for i := range list {
		p := &list[i]
		if !p.Faulty() || p.Did != "" {
			continue
		}
		k := slices.IndexFunc(v.Deficiencies, func(x inspect.Deficiency) bool { return x.ID() == p.Deficiency })
		if k < 0 {
			continue
		}
		var err error
		if p.Did, err = words(&v.Deficiencies[k]); err != nil {
			return err
		}
	}
	return nil
}

// DrillDesk is a drill with how far it is.
type DrillDesk struct {
	teach.Drill
	Answers  []teach.DrillAnswer
	From, To int           // the pictures that the student stands before
	Left     time.Duration // of the clock; below 0 when it is over; of no meaning without one
	Over     bool          // it has ended
}

// DrillDesk opens a drill for the person whose it is. Nobody else sees it. One
// whose time is over ends with that.
func (s *School) DrillDesk(ctx context.Context, by *people.Person, id string) (*DrillDesk, error) {
	d, err := s.openDrill(ctx, by, id)
	if err != nil {
		return nil, err
	}
	d.Over = d.Over || d.late()
	if d.Over && d.Ended.IsZero() {
		if err := s.keeper.EndDrill(ctx, id); err != nil {
			return nil, err
		}
		d.Ended = s.now()
	}
	return d, nil
}

// late reports whether the time of the drill is over.
func (d *DrillDesk) late() bool { return d.Limit > 0 && d.Left < -drillGrace }

func (s *School) openDrill(ctx context.Context, by *people.Person, id string) (*DrillDesk, error) {
	if err := need(by, people.Drill); err != nil {
		return nil, err
	}
	drill, answers, err := s.keeper.Drill(ctx, id)
	if err != nil {
		return nil, err
	}
	if drill.Person != by.ID {
		return nil, fmt.Errorf("app: drill %s is another person's: %w", id, fs.ErrNotExist)
	}
	if drill.Run != "" {
		return nil, fmt.Errorf("app: drill %s is a run of a lane: %w", id, fs.ErrNotExist)
	}
	return s.deskOf(drill, answers), nil
}

// deskOf says how far a drill is now.
func (s *School) deskOf(drill teach.Drill, answers []teach.DrillAnswer) *DrillDesk {
	d := &DrillDesk{Drill: drill, Answers: answers}
	d.From, d.To = drill.Station(len(answers))
	gone := s.now().Sub(drill.Made)
	d.Left = drill.Limit - gone
	d.Over = !drill.Ended.IsZero() || d.From == len(drill.Pictures) || gone > drillKeptOpen
	return d
}

// answersOf are the answers to the pictures that the student stands before;
// about one of which nothing was said, it is as it should be.
func (d *DrillDesk) answersOf(said map[string]DrillSaid, now time.Time) []teach.DrillAnswer {
	var out []teach.DrillAnswer
	for i := d.From; i < d.To; i++ {
		p := &d.Pictures[i]
		x := said[p.Name]
		if !x.Wrong || !slices.ContainsFunc(p.Choices, func(c teach.DrillChoice) bool { return c.State == x.Choice }) {
			x.Choice = ""
		}
		out = append(out, teach.DrillAnswer{Drill: d.ID, N: i, Wrong: x.Wrong, Choice: x.Choice, After: now.Sub(d.Made), Late: d.late()})
	}
	return out
}

// DrillSaid is what a student says of one picture.
type DrillSaid struct {
	Wrong  bool
	Choice string // a state; "" for something else, or nothing wrong
}

// AnswerDrill takes what a student says of the pictures they stand before, by
// the pictures' names; all of them have to be there. What comes after the time
// is kept, does not count and ends the drill.
func (s *School) AnswerDrill(ctx context.Context, by *people.Person, id string, said map[string]DrillSaid) error {
	d, err := s.openDrill(ctx, by, id)
	if err != nil {
		return err
	}
	if d.Over {
		return nil // the page shows how it went
	}
	late := d.late()
	boxes, err := s.keeper.Boxes(ctx, by.ID)
	if err != nil {
		return err
	}
	for i := d.From; i < d.To; i++ {
		if name := d.Pictures[i].Name; !hasSaid(said, name) {
			return &Wrong{name, "say of each picture whether it is as it should be"}
		}
	}
	moved := map[string]teach.Box{}
	answers := d.answersOf(said, s.now())
	for i := range answers {
		if p := &d.Pictures[answers[i].N]; p.Faulty() && !late && !d.Shared {
			moved[p.Key] = boxes[p.Key].Next(answers[i].Named(p), s.now())
		}
	}
	if _, err := s.keeper.AnswerDrill(ctx, id, answers, moved); err != nil {
		return err
	}
	if late || d.To == len(d.Pictures) {
		return s.keeper.EndDrill(ctx, id)
	}
	return nil
}

func hasSaid(said map[string]DrillSaid, name string) bool {
	_, ok := said[name]
	return ok
}

// StopDrill ends a drill before its last picture.
func (s *School) StopDrill(ctx context.Context, by *people.Person, id string) error {
	if _, err := s.DrillDesk(ctx, by, id); err != nil {
		return err
	}
	return s.keeper.EndDrill(ctx, id)
}

// studentPicture draws a picture of a drill, for a dark screen or for a bright one.
func studentPicture(p *teach.DrillPicture, night bool) ([]byte, error) {
	if night {
		return closeup.StudentNightPNG(p.Figure, p.Params)
	}
	return closeup.StudentPNG(p.Figure, p.Params)
}

// DrillPicture draws a picture of a drill for whoever stands before it, or when
// the drill has ended: a PNG of fixed size that carries nothing but its pixels.
// Any other is not there.
func (s *School) DrillPicture(ctx context.Context, by *people.Person, id, name string, night bool) ([]byte, error) {
	d, err := s.DrillDesk(ctx, by, id)
	if err != nil {
		return nil, err
	}
	for i := range d.Pictures {
		p := &d.Pictures[i]
		if p.Name == name && (d.Over || i >= d.From && i < d.To) {
			return studentPicture(p, night)
		}
	}
	return nil, fmt.Errorf("app: no such picture is shown now: %w", fs.ErrNotExist)
}

// DrillRecord is a drill in a list, with what came of it.
type DrillRecord struct {
	teach.Drill
	Answered int
	Over     bool
	report.Detecting
}

// Practice is what somebody has practised. What a drill that has not ended asks
// about is not in it.
type Practice struct {
	Drills []DrillRecord  // newest first
	Boxes  map[int]int    // how many things stand in each box, from 1
	Due    int            // of them, to come back by now
	Worst  []PracticeItem // in the first box, the longest due first
	All    report.Detecting
}

// PracticeItem is something that was missed.
type PracticeItem struct {
	Key, Text string
	Due       time.Time
}

// Practice returns what a person has practised.
func (s *School) Practice(ctx context.Context, by *people.Person) (*Practice, error) {
	if err := need(by, people.Drill); err != nil {
		return nil, err
	}
	list, answers, err := s.keeper.Drills(ctx, by.ID, mostDrills)
	if err != nil {
		return nil, err
	}
	boxes, err := s.keeper.Boxes(ctx, by.ID)
	if err != nil {
		return nil, err
	}
	p := &Practice{Boxes: map[int]int{}}
	var all []report.Look
	going := map[string]bool{} // what a drill asks about that has not ended
	for i := range list {
		looks := looksOf(&list[i], answers[list[i].ID])
		desk := s.deskOf(list[i], answers[list[i].ID])
		over := desk.Over || desk.late()
		if !over {
			// Not even a count tells how it goes before it has ended.
			looks = nil
			for k := range list[i].Pictures {
				going[list[i].Pictures[k].Key] = true
			}
		}
		all = append(all, looks...)
		if len(p.Drills) < drillsShown {
			r := DrillRecord{Drill: list[i], Answered: len(answers[list[i].ID]), Over: over}
			if d := report.Detect(looks, everybody); len(d) > 0 {
				r.Detecting = d[0]
			}
			p.Drills = append(p.Drills, r)
		}
	}
	if d := report.Detect(all, everybody); len(d) > 0 {
		p.All = d[0]
	}
	catalog := shipped()
	shelf, err := s.Shelves.Shelf(Catalogues)
	if err != nil {
		return nil, err
	}
	if own, err := SchoolCatalogOf(shelf); err == nil {
		catalog = own.Catalog
	}
	for key, b := range boxes {
		if going[key] {
			continue
		}
		p.Boxes[b.Number]++
		if !b.Due.After(s.now()) {
			p.Due++
		}
		if b.Number == 1 {
			p.Worst = append(p.Worst, PracticeItem{key, keyWords(catalog, key), b.Due})
		}
	}
	slices.SortFunc(p.Worst, func(a, b PracticeItem) int {
		if c := a.Due.Compare(b.Due); c != 0 {
			return c
		}
		return strings.Compare(a.Key, b.Key)
	})
	return p, nil
}

func everybody(*report.Look) (string, string) { return "", "" }

// keyWords says what kind/attribute/state means; the key itself where the
// catalogue no longer has it.
func keyWords(c *part.Catalog, key string) string {
	p := strings.Split(key, "/")
	if len(p) != 3 {
		return key
	}
	k, ok := c.Kind(p[0])
	if !ok {
		return key
	}
	a, ok := k.Attribute(p[1])
	if !ok {
		return key
	}
	st, ok := a.State(p[2])
	if !ok {
		return key
	}
	return k.Name + ": " + st.Text
}

// looksOf are the answers of one drill that count: those of a person, in time.
func looksOf(d *teach.Drill, answers []teach.DrillAnswer) []report.Look {
	if d.Shared {
		return nil
	}
	var out []report.Look
	last := time.Duration(0)
	for i := range answers {
		a := &answers[i]
		if a.Late || a.N >= len(d.Pictures) {
			continue
		}
		p := &d.Pictures[a.N]
		out = append(out, report.Look{
			Student: d.Person, Key: p.Key, Checkpoint: d.Rig + "/" + p.Checkpoint, Title: p.Title, Faulty: p.Faulty(), Called: a.Wrong, Which: a.Named(p),
			After: a.After - last, At: a.At,
		})
		if i+1 < len(answers) && answers[i+1].After != a.After {
			last = a.After
		}
	}
	return out
}
