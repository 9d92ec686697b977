package app

import (
	"context"
	"encoding/json"
	"errors"
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
	"hangtrue/internal/paper/lesson"
)

// A lane in pictures is walked by a student on a screen: station by station round
// the drawn load, every part that can be drawn both right and wrong in one
// picture, as it should be or as it was planted. It is a drill in its making and
// a run of the lane in what comes of it: the calls are those of a run, the rule
// is the lane's, and nobody grades.
//
// What is planted is read where a walk begins, for its pictures, and where it
// ends, for its result; no step between reads it, so that none takes longer for
// one planting than for another.

// drawnLesson is a lane's walk as it can be drawn.
func (d *LaneDesk) drawnLesson() *lesson.Lesson {
	if d.lesson == nil {
		d.lesson = lesson.Of(d.Survey, d.Sequence, func(x *inspect.Deficiency) lesson.Outcome { return lesson.Outcome{Ends: x.State.Ends} })
	}
	return d.lesson
}

// MayPlant lists what may be planted here: on a real load, what can be set on it;
// in pictures, what can be drawn both right and wrong.
func (d *LaneDesk) MayPlant() []teach.Candidate {
	may := func(c *teach.Candidate) bool { return c.Plantable(d.Lane.Setup.Spoiled) }
	if !d.Lane.Setup.Real {
		drawn := d.drawnLesson().Drawn()
		may = func(c *teach.Candidate) bool { return drawn[c.ID] }
	}
	var out []teach.Candidate
	for i := range d.Candidates {
		if may(&d.Candidates[i]) {
			out = append(out, d.Candidates[i])
		}
	}
	return out
}

// shortLook is the time for a picture below which a lane in pictures is short:
// to see what is drawn, read what is asked and press. Common practice, no source.
const shortLook = 10 * time.Second

// LanePictures is how much a walk of a lane in pictures has.
type LanePictures struct {
	Shown, All int           // pictures of a walk, and what could be drawn
	Within     time.Duration // for all of them; 0 where no time limit is entered
}

// Each is the time for one picture.
func (p *LanePictures) Each() time.Duration { return p.Within / time.Duration(max(1, p.Shown)) }

// Short reports whether there is little time for a picture.
func (p *LanePictures) Short() bool { return p.Within > 0 && p.Each() < shortLook }

// Words says how many pictures there are, and how much time each has.
func (p *LanePictures) Words() string {
	words := fmt.Sprintf("%d pictures", p.Shown)
	if p.Within > 0 {
		words += fmt.Sprintf(" in %s, which is %d s a picture", ClockWords(p.Within), int(p.Each().Seconds()))
	}
	return words
}

// Mend says what would give every picture its time; "" where it has it.
func (p *LanePictures) Mend() string {
	if !p.Short() {
		return ""
	}
	need := (time.Duration(p.Shown)*shortLook + time.Minute - 1).Truncate(time.Minute)
	return fmt.Sprintf("show at most %d pictures, or give %s", int(p.Within/shortLook), ClockWords(need))
}

// Pictures says how much a walk of a lane in pictures has. It does not depend on
// what is planted.
func (d *LaneDesk) Pictures() LanePictures {
	p := LanePictures{}
	if looks, err := d.drawnLesson().Looks(nil); err == nil {
		p.Shown, p.All = len(looks), len(looks)
	}
	if n := d.Lane.Setup.Pictures; n > 0 {
		p.Shown = min(n, p.All)
	}
	if w := d.Lane.Setup.Rule.Within; w != nil {
		p.Within = *w
	}
	return p
}

// OpenLane lets students run a lane in pictures on their own screens, or no
// longer.
func (s *School) OpenLane(ctx context.Context, by *people.Person, lane string, open bool) error {
	if err := need(by, people.Teach); err != nil {
		return err
	}
	l, err := s.keeper.Lane(ctx, lane)
	if err != nil {
		return err
	}
	versions, err := s.keeper.Versions(ctx, lane)
	if err != nil {
		return err
	}
	switch missing := l.Setup.Rule.Missing(); {
	case !open:
	case l.Setup.Real:
		return &Wrong{"open", "this lane is on a real load; students run one in pictures on their own screens"}
	case len(missing) > 0:
		return &Wrong{"open", "the rule is not complete: not entered is " + strings.Join(missing, "; ")}
	case len(versions) == 0:
		return &Wrong{"open", "nothing is planted yet"}
	}
	l.Setup.Open = open
	return s.keeper.SetLane(ctx, lane, l.Setup)
}

// PictureLane is a lane in pictures as a student of its class sees it.
type PictureLane struct {
	Class   string // its name
	Lane    teach.TestLane
	Against []string // why it cannot be begun now
	Has     LanePictures
	Walks   []PictureWalk
}

// PictureWalk is a student's run of a lane in pictures, in a list.
type PictureWalk struct {
	Run   string
	Began time.Time
	Ended bool
}

// PictureLanes lists what a student may run on their own screen, and what they
// have run. Nothing of what is planted is read for it.
func (s *School) PictureLanes(ctx context.Context, by *people.Person) ([]PictureLane, error) {
	if err := need(by, people.Drill); err != nil {
		return nil, err
	}
	member, err := s.keeper.MemberOf(ctx, by.ID)
	if err != nil {
		return nil, err
	}
	var out []PictureLane
	for _, m := range member {
		c, err := s.keeper.Class(ctx, m.Class)
		if err != nil {
			return nil, err
		}
		lanes, err := s.keeper.Lanes(ctx, m.Class)
		if err != nil {
			return nil, err
		}
		for i := range lanes {
			if lanes[i].Setup.Real {
				continue
			}
			x := PictureLane{Class: c.Name, Lane: lanes[i]}
			runs, err := s.keeper.Runs(ctx, "", lanes[i].ID, "", by.ID)
			if err != nil {
				return nil, err
			}
			for _, r := range runs {
				if r.Grader == by.ID {
					x.Walks = append(x.Walks, PictureWalk{r.ID, r.Received, r.Ended})
				}
			}
			if x.Against, err = s.againstPictures(ctx, &c, &lanes[i], &m, runs); err != nil {
				return nil, err
			}
			if len(x.Against) == 0 {
				desk, err := s.laneDesk(ctx, lanes[i].ID)
				if err != nil {
					return nil, err
				}
				x.Has = desk.Pictures()
			}
			if lanes[i].Setup.Open && m.Left.IsZero() || len(x.Walks) > 0 {
				out = append(out, x)
			}
		}
	}
	return out, nil
}

// againstPictures says what stands against a student's walk now.
func (s *School) againstPictures(ctx context.Context, c *teach.Class, l *teach.TestLane, m *teach.Member, runs []teach.RunSummary) ([]string, error) {
	switch {
	case !c.Ended.IsZero():
		return []string{"the class has ended"}, nil
	case !m.Left.IsZero():
		return []string{"you have left the class"}, nil
	case !l.Setup.Open:
		return []string{"it is not open now; your instructor opens it"}, nil
	case slices.ContainsFunc(runs, func(r teach.RunSummary) bool { return !r.Ended }):
		return []string{"a run of yours has not ended"}, nil
	}
	tries, err := s.keeper.Tries(ctx, l.Class, l.ID, m.Person)
	if err != nil {
		return nil, err
	}
	return tries.Against(&l.Setup, ""), nil
}

// StartPictures begins a student's run of a lane in pictures, on a version for
// their group that they have not had, and returns the run's id.
func (s *School) StartPictures(ctx context.Context, by *people.Person, lane string) (string, error) {
	if err := need(by, people.Drill); err != nil {
		return "", err
	}
	l, err := s.keeper.Lane(ctx, lane)
	if err != nil {
		return "", err
	}
	member, err := s.keeper.MemberOf(ctx, by.ID)
	if err != nil {
		return "", err
	}
	k := slices.IndexFunc(member, func(m teach.Member) bool { return m.Class == l.Class })
	if k < 0 || l.Setup.Real {
		return "", fmt.Errorf("app: no lane in pictures of a class of theirs: %w", fs.ErrNotExist)
	}
	c, err := s.keeper.Class(ctx, l.Class)
	if err != nil {
		return "", err
	}
	runs, err := s.keeper.Runs(ctx, "", lane, "", by.ID)
	if err != nil {
		return "", err
	}
	against, err := s.againstPictures(ctx, &c, &l, &member[k], runs)
	if err != nil {
		return "", err
	}
	if len(against) > 0 {
		return "", &Wrong{"lane", strings.Join(against, "; ")}
	}
	d, err := s.laneDesk(ctx, lane)
	if err != nil {
		return "", err
	}
	version, looks, err := s.pictureVersion(ctx, d, member[k].Group, runs)
	if err != nil {
		return "", err
	}
	run := NewID(s.random)
	x := teach.Drill{
		ID: NewID(s.random), Person: by.ID, Run: run, Rig: l.Setup.Rig, RigVersion: l.Setup.RigHash, Sequence: l.Setup.Sequence, Shared: true,
		Limit: *l.Setup.Rule.Within, Pictures: s.lanePictures(d, looks),
	}
	if err := x.Check(); err != nil {
		return "", &Wrong{"lane", plainEngine(err)}
	}
	if err := s.keeper.AddDrill(ctx, x); err != nil {
		return "", err
	}
	desk, err := s.openWalk(ctx, by.ID, run)
	if err != nil {
		return "", err
	}
	return run, s.deliverWalk(ctx, desk, version, false)
}

// pictureVersion chooses a version by chance and draws it.
func (s *School) pictureVersion(ctx context.Context, d *LaneDesk, group string, runs []teach.RunSummary) (version string, looks []drawnLook, err error) {
	all, err := s.keeper.Versions(ctx, d.Lane.ID)
	if err != nil {
		return "", nil, err
	}
	var seed [32]byte
	if _, err := io.ReadFull(s.random, seed[:]); err != nil {
		return "", nil, fmt.Errorf("app: no random bytes: %w", err)
	}
	l := d.drawnLesson()
	for _, i := range mrand.New(mrand.NewChaCha8(seed)).Perm(len(all)) {
		v := &all[i]
		had := slices.ContainsFunc(runs, func(r teach.RunSummary) bool { return r.Version == v.ID })
		if had || !v.Opened.IsZero() || v.For != "" && v.For != group {
			continue
		}
		list, err := l.Looks(v.Key.Planted)
		if err != nil {
			continue // planted before lanes in pictures kept to what can be drawn
		}
		// From the secret, so that everybody has the same pictures of one version.
		some := teach.Seed(v.Secret[:len(teach.Seed{})])
		for _, i := range some.Some(d.Lane.Setup.Pictures, len(list), func(i int) bool { return list[i].Shown.Wrong != nil }) {
			x := list[i]
			looks = append(looks, drawnLook{x, &l.Stops[x.Stop], &l.Stops[x.Stop].Questions[x.Question]})
		}
		return v.ID, looks, nil
	}
	return "", nil, &Wrong{"lane", "no version is left that you have not had; your instructor makes another one"}
}

// drawnLook is a picture with where in the walk it stands.
type drawnLook struct {
	lesson.Look
	stop     *lesson.Stop
	question *lesson.Question
}

// lanePictures are the pictures of a walk, each under a random name.
func (s *School) lanePictures(d *LaneDesk, looks []drawnLook) []teach.DrillPicture {
	at := map[int][2]float64{}
	for _, st := range d.Survey.Stations(d.Sequence) {
		at[st.Number] = st.At
	}
	ends := func(x *inspect.Deficiency) lesson.Outcome { return lesson.Outcome{Ends: x.State.Ends} }
	out := make([]teach.DrillPicture, 0, len(looks))
	for i := range looks {
		x := &looks[i]
		q := x.question
		p := teach.DrillPicture{
			Name: NewID(s.random), Station: x.stop.Station, Place: x.stop.Place, At: at[x.stop.Station], Checkpoint: x.stop.Checkpoint.ID, Title: x.stop.Checkpoint.Title,
			Part: x.Part.ID, Parts: x.Part.Name, Ask: q.Attribute.Ask, Do: lesson.Do(q.Do), State: x.Shown.State.ID, Figure: x.Shown.Drawing.Figure, Params: x.Shown.Drawing.Params,
		}
		p.Key = q.Kind.ID + "/" + q.Attribute.ID + "/" + p.State
		if q.Attribute.Plan != part.NotPlanned {
			for _, plan := range q.Plans {
				if slices.Contains(plan.Parts, x.Part) {
					p.Plan = plan.Text
				}
			}
		}
		for k := range q.Wrong {
			p.Choices = append(p.Choices, teach.DrillChoice{State: q.Wrong[k].State.ID, Text: q.Wrong[k].Found()})
		}
		if x.Shown.Wrong != nil {
			p.Deficiency = x.Shown.Wrong.ID()
		}
		p.Found, p.Matters, _ = x.Shown.Answer(x.Part, ends)
		out = append(out, p)
	}
	return out
}

// openWalk opens a run of a lane in pictures, of the person whose it is.
func (s *School) openWalk(ctx context.Context, person, run string) (*DrillDesk, error) {
	x, answers, err := s.keeper.RunDrill(ctx, run)
	if err != nil {
		return nil, err
	}
	if x.Person != person {
		return nil, fmt.Errorf("app: run %s is another person's: %w", run, fs.ErrNotExist)
	}
	return s.deskOf(x, answers), nil
}

// walkEvents are a walk as the events of a run, the same whenever they are made,
// so that delivering them again does no harm. A call where something is planted
// finds it; where another state is named than the one planted, with a wrong
// figure.
func walkEvents(d *DrillDesk, version string, ended bool) ([]teach.RunEvent, error) {
	var out []teach.RunEvent
	add := func(kind teach.CallKind, after time.Duration, b teach.RunBody) error {
		after = min(after, d.Limit)
		b.After = after.Milliseconds()
		body, err := json.Marshal(b)
		if err != nil {
			return fmt.Errorf("app: %w", err)
		}
		n := len(out) + 1
		out = append(out, teach.RunEvent{
			ID: fmt.Sprintf("%s%05d", d.Run, n), Run: d.Run, Device: "screen" + d.ID, N: int64(n), Kind: kind, At: d.Made.Add(after), Body: body,
		})
		return nil
	}
	if err := add(teach.RunStart, 0, teach.RunBody{Version: version, Student: d.Person}); err != nil || !ended {
		return out, err
	}
	last := time.Duration(0)
	for i := range d.Answers {
		a := &d.Answers[i]
		if a.Late || a.N >= len(d.Pictures) {
			continue
		}
		last = a.After
		if !a.Wrong {
			continue
		}
		p := &d.Pictures[a.N]
		kind, b := teach.CallFalse, teach.RunBody{Text: p.Parts + ": " + p.Choice(a.Choice)}
		if p.Faulty() {
			kind, b = teach.CallFound, teach.RunBody{Deficiency: p.Deficiency, WrongCount: !a.Named(p)}
		}
		if err := add(kind, a.After, b); err != nil {
			return nil, err
		}
	}
	if len(d.Answers) < len(d.Pictures) {
		last = max(last, d.Ended.Sub(d.Made))
	}
	return out, add(teach.RunEnd, last, teach.RunBody{})
}

// deliverWalk keeps a walk's events as its run; with its end, so that the run is
// graded by the lane's rule.
func (s *School) deliverWalk(ctx context.Context, d *DrillDesk, version string, ended bool) error {
	events, err := walkEvents(d, version, ended)
	if err != nil {
		return err
	}
	settings, _, err := s.Settings()
	if err != nil {
		return err
	}
	for len(events) > 0 {
		n := min(len(events), MostRunEvents)
		out, err := s.keeper.AddRunEvents(ctx, events[:n], d.Person, nil, settings.Today(s.now()))
		if err != nil {
			return err
		}
		for _, o := range out {
			if o.Refused != nil {
				return fmt.Errorf("app: run %s: %w", d.Run, o.Refused)
			}
		}
		events = events[n:]
	}
	return nil
}

// endWalk ends a walk and grades its run. It may be called again: what a crash
// left half done is then done.
func (s *School) endWalk(ctx context.Context, d *DrillDesk) error {
	r, err := s.keeper.Run(ctx, d.Run)
	if err != nil || r.Ended {
		return err
	}
	if d.Ended.IsZero() {
		if err := s.keeper.EndDrill(ctx, d.ID); err != nil {
			return err
		}
		// As it was kept, so that the same events come of it again.
		if d, err = s.openWalk(ctx, d.Person, d.Run); err != nil {
			return err
		}
	}
	return s.deliverWalk(ctx, d, r.Version, true)
}

// endOverdue ends the walks of runs whose time is over and whose student did not
// come back.
func (s *School) endOverdue(ctx context.Context, runs []teach.RunSummary) (ended bool, err error) {
	for _, r := range runs {
		if r.Ended || r.Grader != r.Student {
			continue
		}
		d, err := s.openWalk(ctx, r.Student, r.ID)
		if errors.Is(err, fs.ErrNotExist) {
			continue // graded by a person, of themself
		}
		if err != nil {
			return ended, err
		}
		if d.Over || d.late() {
			if err := s.endWalk(ctx, d); err != nil {
				return ended, err
			}
			ended = true
		}
	}
	return ended, nil
}

// runsNow lists runs, after those walks were ended whose time is over.
func (s *School) runsNow(ctx context.Context, class, lane, version string) ([]teach.RunSummary, error) {
	runs, err := s.keeper.Runs(ctx, class, lane, version, "")
	if err != nil {
		return nil, err
	}
	ended, err := s.endOverdue(ctx, runs)
	if err != nil || !ended {
		return runs, err
	}
	return s.keeper.Runs(ctx, class, lane, version, "")
}

// WalkDesk is a student's run of a lane in pictures.
type WalkDesk struct {
	DrillDesk
	Lane   teach.TestLane
	Class  string
	Result *teach.Result // as it stands now, when it has ended
	Shown  bool          // the key was shown: what was planted may be seen
}

// WalkDesk opens a run of a lane in pictures for the student whose it is.
func (s *School) WalkDesk(ctx context.Context, by *people.Person, run string) (*WalkDesk, error) {
	if err := need(by, people.Drill); err != nil {
		return nil, err
	}
	x, err := s.openWalk(ctx, by.ID, run)
	if err != nil {
		return nil, err
	}
	if x.Over || x.late() {
		if err := s.endWalk(ctx, x); err != nil {
			return nil, err
		}
		if x, err = s.openWalk(ctx, by.ID, run); err != nil {
			return nil, err
		}
	}
	d := &WalkDesk{DrillDesk: *x}
	r, err := s.keeper.Run(ctx, run)
	if err != nil {
		return nil, err
	}
	if d.Lane, err = s.keeper.Lane(ctx, r.Lane); err != nil {
		return nil, err
	}
	c, err := s.keeper.Class(ctx, r.Class)
	if err != nil {
		return nil, err
	}
	d.Class = c.Name
	if !x.Over {
		return d, nil
	}
	results, err := s.keeper.Results(ctx, "", "", run)
	if err != nil {
		return nil, err
	}
	if n := len(results); n > 0 {
		d.Result = &results[n-1]
	}
	v, err := s.keeper.LaneVersion(ctx, r.Version)
	if err != nil {
		return nil, err
	}
	d.Shown = !v.Opened.IsZero()
	return d, nil
}

// AnswerWalk takes what a student calls at the pictures they stand before; what
// is not called wrong is as it should be. On the last, or after the time, the run
// ends and is graded.
func (s *School) AnswerWalk(ctx context.Context, by *people.Person, run string, said map[string]DrillSaid) error {
	if err := need(by, people.Drill); err != nil {
		return err
	}
	d, err := s.openWalk(ctx, by.ID, run)
	if err != nil {
		return err
	}
	if d.Over {
		return s.endWalk(ctx, d)
	}
	// A page of a station before, sent once more, answers nothing here.
	known := false
	for i := d.From; i < d.To; i++ {
		_, there := said[d.Pictures[i].Name]
		known = known || there
	}
	if !known {
		return nil
	}
	if _, err := s.keeper.AnswerDrill(ctx, d.ID, d.answersOf(said, s.now()), nil); err != nil {
		return err
	}
	if !d.late() && d.To < len(d.Pictures) {
		return nil
	}
	if d, err = s.openWalk(ctx, by.ID, run); err != nil {
		return err
	}
	return s.endWalk(ctx, d)
}

// StopWalk ends a run before its last picture.
func (s *School) StopWalk(ctx context.Context, by *people.Person, run string) error {
	if err := need(by, people.Drill); err != nil {
		return err
	}
	d, err := s.openWalk(ctx, by.ID, run)
	if err != nil {
		return err
	}
	return s.endWalk(ctx, d)
}

// WalkPicture draws a picture of a run for the student who stands before it; any
// other is not there, and after the end none is until the key was shown.
func (s *School) WalkPicture(ctx context.Context, by *people.Person, run, name string, night bool) ([]byte, error) {
	if err := need(by, people.Drill); err != nil {
		return nil, err
	}
	d, err := s.openWalk(ctx, by.ID, run)
	if err != nil {
		return nil, err
	}
	shown := false
	if d.Over {
		w, err := s.WalkDesk(ctx, by, run)
		if err != nil {
			return nil, err
		}
		shown = w.Shown
	}
	for i := range d.Pictures {
		p := &d.Pictures[i]
		if p.Name == name && (shown || !d.Over && !d.late() && i >= d.From && i < d.To) {
			return studentPicture(p, night)
		}
	}
	return nil, fmt.Errorf("app: no such picture is shown now: %w", fs.ErrNotExist)
}

// WalkReview opens the lane of a student's run whose key was shown, with the
// catalogue that its rig was surveyed with.
func (s *School) WalkReview(ctx context.Context, by *people.Person, d *WalkDesk) (*LaneDesk, *SchoolCatalog, error) {
	if by == nil || d.Person != by.ID || !d.Shown {
		return nil, nil, fmt.Errorf("app: the key of that run was not shown: %w", fs.ErrNotExist)
	}
	desk, err := s.laneDesk(ctx, d.Lane.ID)
	if err != nil {
		return nil, nil, err
	}
	shelf, err := s.Shelves.Shelf(Catalogues)
	if err != nil {
		return nil, nil, err
	}
	catalog, err := SchoolCatalogOf(shelf)
	return desk, catalog, err
}
