package app

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/teach"
	"hangtrue/internal/engine/teach/stats"
)

// MostRunEvents is how many events of runs one delivery may have.
const MostRunEvents = 500

// GradeDesk is what a grader's tablet needs for one version, also without the
// network.
type GradeDesk struct {
	*VersionDesk
	Class    *ClassRoom
	Against  map[string][]string // by student: what stands against a start now
	Had      map[string]int      // by student: attempts on this lane
	Mine     []GradedRun         // of whoever asks, on this version, newest first
	Stopped  []StoppedRun        // what stops the lane for everybody
	Missing  []string            // of the rule
	Graders  map[string]string   // by student: who graded them last here
	Assigned string              // the grader that the lane names
}

// GradedRun is a run with its state and what it came to, if it has ended.
type GradedRun struct {
	teach.RunSummary
	State   *teach.RunState
	Results []teach.Result // first the first
}

// StoppedRun is a fault that nobody planted and that is not settled.
type StoppedRun struct {
	Run  teach.RunSummary
	Call teach.Call
}

// GradeDesk opens a version for grading.
func (s *School) GradeDesk(ctx context.Context, by *people.Person, version string) (*GradeDesk, error) {
	v, err := s.VersionDesk(ctx, by, version, people.Grade)
	if err != nil {
		return nil, err
	}
	d := &GradeDesk{VersionDesk: v, Against: map[string][]string{}, Had: map[string]int{}, Graders: map[string]string{}, Missing: v.Lane.Setup.Rule.Missing(), Assigned: v.Lane.Setup.Grader}
	if d.Class, err = s.room(ctx, v.Lane.Class); err != nil {
		return nil, err
	}
	attempts, err := s.attempts(ctx, &v.Lane)
	if err != nil {
		return nil, err
	}
	for _, m := range d.Class.Students {
		if a := attempts[m.Person.ID]; a != nil && !m.Left {
			d.Against[m.Person.ID] = a.Against(&v.Lane.Setup, version)
			d.Had[m.Person.ID] = len(a.Results)
			if n := len(a.Results); n > 0 {
				d.Graders[m.Person.ID] = a.Results[n-1].Grader
			}
		}
	}
	runs, err := s.runsNow(ctx, "", v.Lane.ID, "")
	if err != nil {
		return nil, err
	}
	for i := len(runs) - 1; i >= 0; i-- {
		mine := runs[i].Grader == by.ID && runs[i].Version == version
		if runs[i].Ended && !mine {
			continue
		}
		g, err := s.graded(ctx, runs[i])
		if err != nil {
			return nil, err
		}
		if mine {
			d.Mine = append(d.Mine, *g)
		}
	}
	d.Stopped, err = s.stopped(ctx, &v.Lane, runs)
	return d, err
}

func (s *School) graded(ctx context.Context, r teach.RunSummary) (*GradedRun, error) {
	events, err := s.keeper.RunEvents(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	g := &GradedRun{RunSummary: r}
	if g.State, err = teach.FoldRun(events); err != nil {
		return nil, err
	}
	g.Results, err = s.keeper.Results(ctx, "", "", r.ID)
	return g, err
}

// stopped lists what stops a lane: in the runs of today and in those that have
// not ended, on any lane with the same load.
func (s *School) stopped(ctx context.Context, l *teach.TestLane, runs []teach.RunSummary) ([]StoppedRun, error) {
	since := s.now().Add(-24 * time.Hour)
	var out []StoppedRun
	for _, r := range runs {
		if r.Ended && r.Received.Before(since) {
			continue
		}
		events, err := s.keeper.RunEvents(ctx, r.ID)
		if err != nil {
			return nil, err
		}
		state, err := teach.FoldRun(events)
		if err != nil {
			return nil, err
		}
		if !state.Stopped() {
			continue
		}
		g := teach.GradeRun(teach.Rule{}, teach.Run{Calls: state.Calls})
		out = append(out, StoppedRun{r, g.Unplaced[len(g.Unplaced)-1]})
	}
	return out, nil
}

// attempts gathers what each student of a class has behind them on a lane.
func (s *School) attempts(ctx context.Context, l *teach.TestLane) (map[string]*teach.Attempt, error) {
	members, err := s.keeper.Members(ctx, l.Class)
	if err != nil {
		return nil, err
	}
	results, err := s.keeper.Results(ctx, l.Class, "", "")
	if err != nil {
		return nil, err
	}
	entries, err := s.keeper.Entries(ctx, l.Class, "")
	if err != nil {
		return nil, err
	}
	out := map[string]*teach.Attempt{}
	for _, m := range members {
		out[m.Person] = &teach.Attempt{}
	}
	for _, x := range OfRuns(results) {
		if a := out[x.First.Student]; a != nil && x.First.Lane == l.ID && !x.First.Second {
			last := x.Last
			last.At = x.First.At // a later grading is no later attempt
			a.Results = append(a.Results, last)
		}
	}
	for _, e := range entries {
		if a := out[e.Person]; a != nil && e.Kind == teach.EntryRetraining {
			a.Retrains = append(a.Retrains, e)
		}
	}
	return out, nil
}

// RunResult is what a run came to at first, and what it comes to now.
type RunResult struct{ First, Last teach.Result }

// Again reports whether it was graded again.
func (r *RunResult) Again() bool { return r.Last.N > r.First.N }

// OfRuns puts the results of runs together, in the order of the first ones.
func OfRuns(results []teach.Result) []RunResult {
	var out []RunResult
	at := map[string]int{}
	for _, x := range results {
		i, ok := at[x.Run]
		if !ok {
			at[x.Run] = len(out)
			out = append(out, RunResult{x, x})
			continue
		}
		if x.N > out[i].Last.N {
			out[i].Last = x
		}
		if x.N < out[i].First.N {
			out[i].First = x
		}
	}
	return out
}

// DeliverRuns takes events of runs from a grader's device. An outcome without a
// refusal means: it is on the disk. A start that is not as the rules say is
// taken all the same, and what was odd about it is kept with the run.
func (s *School) DeliverRuns(ctx context.Context, by *people.Person, events []teach.RunEvent) ([]RunOutcome, error) {
	if err := need(by, people.Grade); err != nil {
		return nil, err
	}
	if len(events) > MostRunEvents {
		return nil, fmt.Errorf("app: %d events at once; at most %d are taken", len(events), MostRunEvents)
	}
	odd := map[string]string{}
	for i := range events {
		e := &events[i]
		if e.Kind != teach.RunStart {
			continue
		}
		b, err := e.Read()
		if err != nil {
			continue // the keeper refuses it
		}
		if odd[e.Run], err = s.odd(ctx, by, b); err != nil {
			return nil, err
		}
	}
	settings, _, err := s.Settings()
	if err != nil {
		return nil, err
	}
	return s.keeper.AddRunEvents(ctx, events, by.ID, odd, settings.Today(s.now()))
}

// odd says what is not as the rules for starting say.
func (s *School) odd(ctx context.Context, by *people.Person, b teach.RunBody) (string, error) {
	v, err := s.keeper.LaneVersion(ctx, b.Version)
	if err != nil {
		return "", nil // the keeper refuses it, in its words
	}
	l, err := s.keeper.Lane(ctx, v.Lane)
	if err != nil {
		return "", err
	}
	if err := s.MaySeeKeys(ctx, by, l.Class, people.Grade); err != nil {
		return "", err
	}
	attempts, err := s.attempts(ctx, &l)
	if err != nil {
		return "", err
	}
	var out []string
	if a := attempts[b.Student]; a != nil && !b.Second {
		out = a.Against(&l.Setup, b.Version)
	}
	if !v.Opened.IsZero() {
		out = append(out, "the key of this version had been shown")
	}
	runs, err := s.keeper.Runs(ctx, "", l.ID, "", "")
	if err != nil {
		return "", err
	}
	stopped, err := s.stopped(ctx, &l, runs)
	if err != nil {
		return "", err
	}
	if len(stopped) > 0 {
		out = append(out, "the lane was stopped")
	}
	return strings.Join(out, "; "), nil
}

// RunDesk is one run with all that was recorded about it.
type RunDesk struct {
	*VersionDesk
	GradedRun
	Student, Grader people.Person
	Entries         []teach.Entry
	Earlier         []teach.RunSummary // of the same load, before a fault that nobody planted
	Reviewed        map[string]teach.Entry
}

// RunDesk opens a run.
func (s *School) RunDesk(ctx context.Context, by *people.Person, id string) (*RunDesk, error) {
	if err := need(by, people.Grade); err != nil {
		return nil, err
	}
	r, err := s.keeper.Run(ctx, id)
	if err != nil {
		return nil, err
	}
	d := &RunDesk{Reviewed: map[string]teach.Entry{}}
	if d.VersionDesk, err = s.VersionDesk(ctx, by, r.Version, people.Grade); err != nil {
		return nil, err
	}
	g, err := s.graded(ctx, r)
	if err != nil {
		return nil, err
	}
	d.GradedRun = *g
	if d.Student, err = s.keeper.Person(ctx, r.Student); err != nil {
		return nil, err
	}
	if d.Grader, err = s.keeper.Person(ctx, r.Grader); err != nil {
		return nil, err
	}
	entries, err := s.keeper.Entries(ctx, r.Class, "")
	if err != nil {
		return nil, err
	}
	for _, e := range entries {
		switch {
		case e.Kind == teach.EntryReview:
			d.Reviewed[e.Run] = e
		case e.Run == id || e.Kind == teach.EntryVoid && e.Version == r.Version:
			d.Entries = append(d.Entries, e)
		}
	}
	if len(teach.GradeRun(teach.Rule{}, teach.Run{Calls: d.State.Calls}).Unplaced) > 0 {
		d.Earlier, err = s.earlier(ctx, r)
	}
	return d, err
}

// earlier lists the runs on the same load before a run, of its class.
func (s *School) earlier(ctx context.Context, r teach.RunSummary) ([]teach.RunSummary, error) {
	lanes, err := s.keeper.Lanes(ctx, r.Class)
	if err != nil {
		return nil, err
	}
	load := map[string]string{}
	for _, l := range lanes {
		load[l.ID] = l.Setup.Load
	}
	runs, err := s.keeper.Runs(ctx, r.Class, "", "", "")
	if err != nil {
		return nil, err
	}
	return slices.DeleteFunc(runs, func(o teach.RunSummary) bool {
		return o.ID == r.ID || !teach.SameLoad(load[o.Lane], load[r.Lane]) || o.Received.After(r.Received)
	}), nil
}

// RecordOnRun records an appeal, a decision on it or a review of a run.
func (s *School) RecordOnRun(ctx context.Context, by *people.Person, run string, kind teach.EntryKind, text string) error {
	text, err := checkedText("text", "what is recorded", text, 1, mostNote)
	if err != nil {
		return err
	}
	d, err := s.RunDesk(ctx, by, run)
	if err != nil {
		return err
	}
	if kind != teach.EntryAppeal && kind != teach.EntryDecision && kind != teach.EntryReview {
		return &Wrong{"kind", "an appeal, a decision or a review is recorded of a run"}
	}
	r := d.RunSummary
	return s.keeper.AddEntry(ctx, teach.Entry{
		ID: NewID(s.random), Class: r.Class, Person: r.Student, Lane: r.Lane, Version: r.Version, Run: run, Kind: kind, Text: text, By: by.ID,
	})
}

// VoidItem takes a deficiency out of the grading of a version, for every run of
// it: the first results stay, and each run is graded again beside them.
func (s *School) VoidItem(ctx context.Context, by *people.Person, version, deficiency, text string) error {
	text, err := checkedText("text", "why it no longer counts", text, 1, mostNote)
	if err != nil {
		return err
	}
	d, err := s.VersionDesk(ctx, by, version, people.Teach)
	if err != nil {
		return err
	}
	switch {
	case !slices.Contains(d.Version.Key.Planted, deficiency):
		return &Wrong{"deficiency", "that is not planted in this version"}
	case slices.Contains(d.Voided, deficiency):
		return &Wrong{"deficiency", "that one no longer counts already"}
	case len(d.Voided)+1 >= len(d.Version.Key.Planted):
		return &Wrong{"deficiency", "nothing would be left that counts"}
	}
	return s.keeper.Void(ctx, teach.Entry{
		ID: NewID(s.random), Class: d.Lane.Class, Lane: d.Lane.ID, Version: version, Deficiency: deficiency, Kind: teach.EntryVoid, Text: text, By: by.ID,
	}, "an item was voided")
}

// ClassResults are what a class's runs came to.
type ClassResults struct {
	Class   *ClassRoom
	Lanes   []teach.TestLane
	Runs    []RunResult // first gradings only, not the second graders'
	Odd     map[string]string
	Seconds int // runs graded a second time
	Pairs   int // of them with a first grading to hold against
	// Agreement is over found or missed, item by item; nil where there is no pair
	// or nothing to tell.
	Agreement *stats.Agreement
	Open      []teach.RunSummary // not ended
}

// ClassResults returns what a class's runs came to, and how far graders agree.
func (s *School) ClassResults(ctx context.Context, by *people.Person, class string) (*ClassResults, error) {
	if err := s.MaySeeKeys(ctx, by, class, people.Teach); err != nil {
		return nil, err
	}
	room, err := s.room(ctx, class)
	if err != nil {
		return nil, err
	}
	out := &ClassResults{Class: room, Odd: map[string]string{}}
	if out.Lanes, err = s.keeper.Lanes(ctx, class); err != nil {
		return nil, err
	}
	runs, err := s.runsNow(ctx, class, "", "")
	if err != nil {
		return nil, err
	}
	results, err := s.keeper.Results(ctx, class, "", "")
	if err != nil {
		return nil, err
	}
	for _, r := range runs {
		if r.Odd != "" {
			out.Odd[r.ID] = r.Odd
		}
		if !r.Ended {
			out.Open = append(out.Open, r)
		}
	}
	var seconds []RunResult
	for _, x := range OfRuns(results) {
		if x.First.Second {
			seconds = append(seconds, x)
		} else {
			out.Runs = append(out.Runs, x)
		}
	}
	out.Seconds = len(seconds)
	counts := [][]int{{0, 0}, {0, 0}}
	used := map[string]bool{}
	for _, b := range seconds {
		// The first grading of the same student on the same version.
		i := slices.IndexFunc(out.Runs, func(a RunResult) bool {
			return a.First.Student == b.First.Student && a.First.Version == b.First.Version && a.First.Grader != b.First.Grader && !used[a.First.Run]
		})
		if i < 0 {
			continue
		}
		a := out.Runs[i]
		used[a.First.Run] = true
		out.Pairs++
		for id := range a.First.Found {
			_, both := b.First.Found[id]
			counts[0][map[bool]int{true: 0, false: 1}[both]]++
		}
		for _, id := range a.First.Missed {
			_, found := b.First.Found[id]
			counts[1][map[bool]int{true: 0, false: 1}[found]]++
		}
	}
	if out.Pairs > 0 {
		if g, err := stats.Agree(counts); err == nil {
			out.Agreement = &g
		}
	}
	return out, nil
}

// MyResult is one of a student's own results: never what was planted.
type MyResult struct {
	Class, Lane string
	At          time.Time
	Outcome     teach.Outcome
	Found, Of   int
	False       int
	Took        time.Duration
	Again       bool
	Invented    bool // the rig is demo data
}

// MyResults returns a student's own results, once graded. What was planted is
// not in them.
func (s *School) MyResults(ctx context.Context, by *people.Person) ([]MyResult, error) {
	if err := need(by, people.Drill); err != nil {
		return nil, err
	}
	h, err := s.history(ctx, by.ID)
	if err != nil {
		return nil, err
	}
	var out []MyResult
	for _, x := range OfRuns(h.Results) {
		if x.First.Second {
			continue
		}
		r := x.Last
		out = append(out, MyResult{
			Class: h.Classes[r.Class].Name, Lane: h.Lanes[r.Lane].Setup.Title, At: x.First.At, Outcome: r.Outcome, Found: len(r.Found), Of: len(r.Found) + len(r.Missed),
			False: r.False, Took: r.Took, Again: x.Again(), Invented: h.Lanes[r.Lane].Setup.Invented,
		})
	}
	return out, nil
}
