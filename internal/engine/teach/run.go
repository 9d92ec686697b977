package teach

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"hangtrue/internal/engine/spelling"
)

// The kinds of event of a run besides the calls.
const (
	RunStart CallKind = "start"
	RunEnd   CallKind = "end"
)

// RunEvent is one event of a student's run, made on the grader's device with a
// random id of its own and numbered from 1 on that device within the run.
// Delivering it twice does no harm. Received and Seq are the server's.
type RunEvent struct {
	ID     string          `json:"id"`
	Run    string          `json:"run"`
	Device string          `json:"device"`
	N      int64           `json:"n"`
	Kind   CallKind        `json:"kind"`
	At     time.Time       `json:"at"` // the device's clock
	Body   json.RawMessage `json:"body,omitempty"`

	By       string    `json:"by,omitempty"` // the grader, as signed in
	Received time.Time `json:"received,omitzero"`
	Seq      int64     `json:"seq,omitempty"`
}

// RunBody is what an event says; what does not belong to its kind is left out.
type RunBody struct {
	Version    string `json:"version,omitempty"` // of a start: the lane's version
	Student    string `json:"student,omitempty"`
	Second     bool   `json:"second,omitempty"` // graded a second time, unseen
	Deficiency string `json:"deficiency,omitempty"`
	WrongCount bool   `json:"wrong_count,omitempty"`
	After      int64  `json:"after_ms"` // from the start, without stops
	Undoes     string `json:"undoes,omitempty"`
	Text       string `json:"text,omitempty"`
}

// What is refused of events; errors.Is tells them apart.
var (
	ErrRunConflict = errors.New("an event with that id or number is there with other content")
	ErrRunGap      = errors.New("events before this one have not arrived; send them first")
	ErrRunEnded    = errors.New("the run has ended")
	ErrRunOther    = errors.New("this is another grader's run")
)

// MostRunBody bounds an event's body, bytes.
const MostRunBody = 8 << 10

// mostAfter bounds the clock of a run: a day.
const mostAfter = 24 * time.Hour

// Check refuses an event that is wrong in itself.
func (e *RunEvent) Check() error {
	switch {
	case !validID(e.ID) || !validID(e.Run) || !validID(e.Device):
		return errors.New("teach: ids of event, run and device are 20 to 64 small letters and digits, chosen at random")
	case e.N < 1:
		return fmt.Errorf("teach: an event's number is %d; they count from 1", e.N)
	case e.At.Year() < 2000 || e.At.Year() > 2200:
		return fmt.Errorf("teach: the device's clock shows %s", e.At.Format(time.DateOnly))
	case len(e.Body) > MostRunBody:
		return fmt.Errorf("teach: an event's body has %d bytes; at most %d are taken", len(e.Body), MostRunBody)
	}
	_, err := e.Read()
	return err
}

func validID(id string) bool {
	return len(id) >= 20 && len(id) <= 64 && strings.Trim(id, "0123456789abcdefghijklmnopqrstuvwxyz") == ""
}

// Read decodes and checks the body.
func (e *RunEvent) Read() (RunBody, error) {
	var b RunBody
	d := json.NewDecoder(bytes.NewReader(e.Body))
	d.DisallowUnknownFields()
	if err := d.Decode(&b); err != nil {
		return b, fmt.Errorf("teach: an event's body: %w", err)
	}
	switch {
	case d.More():
		return b, errors.New("teach: an event's body is followed by more")
	case b.After < 0 || b.After > mostAfter.Milliseconds():
		return b, fmt.Errorf("teach: %d ms after the start of a run", b.After)
	case len(b.Text) > 2000 || !utf8.ValidString(b.Text) || strings.ContainsRune(b.Text, 0):
		return b, errors.New("teach: a text has more than 2000 bytes, or signs that cannot be read")
	}
	need := func(what string, there bool) error {
		if there {
			return nil
		}
		return fmt.Errorf("teach: an event %s names no %s", e.Kind, what)
	}
	switch e.Kind {
	case RunStart:
		return b, errors.Join(need("version", b.Version != ""), need("student", b.Student != ""))
	case CallFound:
		return b, need("deficiency", b.Deficiency != "")
	case CallUndone:
		return b, need("call to take back", b.Undoes != "")
	case CallFalse, CallTrue, CallOrder, CallUnsafe, CallPut, CallStationEnd, RunEnd:
		return b, nil
	}
	return b, fmt.Errorf("teach: %.40q is no kind of event", string(e.Kind))
}

// RunState is a run as its events tell it.
type RunState struct {
	ID, Version, Student, Grader string
	Second                       bool
	Started                      time.Time // the device's clock
	Received                     time.Time // of the start, the server's
	Calls                        []Call
	Ended                        *time.Duration   // by the run's own clock
	Last                         map[string]int64 // by device: the last number
	Halted                       time.Time        // since when its clock stands still; zero while it runs
	Waited                       time.Duration    // for how long it stood still before
}

// Clock is what the run's own clock shows at a time of the device's: it stands
// still while a fault that nobody planted is not settled.
func (s *RunState) Clock(now time.Time) time.Duration {
	if !s.Halted.IsZero() {
		now = s.Halted
	}
	return max(0, now.Sub(s.Started)-s.Waited)
}

// FoldRun reads a run's events in the server's order.
func FoldRun(events []RunEvent) (*RunState, error) {
	s := &RunState{Last: map[string]int64{}}
	halt := "" // the call that stopped the clock
	for i := range events {
		e := &events[i]
		b, err := e.Read()
		if err != nil {
			return nil, err
		}
		s.Last[e.Device] = max(s.Last[e.Device], e.N)
		switch {
		case e.Kind == CallTrue && s.Halted.IsZero():
			s.Halted, halt = e.At, e.ID
		case !s.Halted.IsZero() && (e.Kind == CallPut || e.Kind == CallUndone && b.Undoes == halt):
			s.Waited += max(0, e.At.Sub(s.Halted))
			s.Halted = time.Time{}
		}
		switch e.Kind {
		case RunStart:
			if s.ID != "" {
				return nil, fmt.Errorf("teach: run %s starts twice", s.ID)
			}
			s.ID, s.Version, s.Student, s.Grader, s.Second = e.Run, b.Version, b.Student, e.By, b.Second
			s.Started, s.Received = e.At, e.Received
		case RunEnd:
			if s.Ended == nil {
				d := time.Duration(b.After) * time.Millisecond
				s.Ended = &d
			}
		default:
			s.Calls = append(s.Calls, Call{
				ID: e.ID, Kind: e.Kind, Deficiency: b.Deficiency, WrongCount: b.WrongCount, After: time.Duration(b.After) * time.Millisecond, Undoes: b.Undoes, Text: b.Text,
			})
		}
	}
	if s.ID == "" {
		return nil, errors.New("teach: a run without its start")
	}
	return s, nil
}

// Stopped reports whether a fault that nobody planted is not settled.
func (s *RunState) Stopped() bool {
	g := GradeRun(Rule{}, Run{Calls: s.Calls})
	return g.Outcome == Stopped
}

// GradeVersion grades a run of a version by a lane's rule. voided are the
// deficiencies that no longer count: neither found nor missed.
func GradeVersion(r Rule, planted, voided []string, s *RunState) Grade {
	var left []string
	gone := map[string]bool{}
	for _, id := range voided {
		gone[id] = true
	}
	for _, id := range planted {
		if !gone[id] {
			left = append(left, id)
		}
	}
	if r.Found != nil && *r.Found > len(left) {
		n := len(left) // nobody can find what no longer counts
		r.Found = &n
	}
	var calls []Call
	for _, c := range s.Calls {
		if c.Kind == CallFound && gone[c.Deficiency] {
			continue
		}
		calls = append(calls, c)
	}
	return GradeRun(r, Run{Planted: left, Calls: calls, Ended: s.Ended})
}

// RunSummary is a run as lists show it.
type RunSummary struct {
	ID, Class, Lane, Version string
	Student, Grader          string
	Second                   bool
	Started                  time.Time // the device's clock
	Received                 time.Time // of its start, the server's
	Ended                    bool
	Odd                      string // what was not as the rules for starting say; "" for nothing
}

// Result is what a run came to at one time. The first one stays; a later one
// says why it was made.
type Result struct {
	Run, Class, Lane, Version string
	Student, Grader           string
	Second                    bool
	N                         int // 1 for the first of the run
	Outcome                   Outcome
	Reasons                   []string
	Found                     map[string]int64 // id to ms after the start
	Missed                    []string
	False, Order, Unplaced    int
	Took                      time.Duration
	At                        time.Time
	Why                       string // "" for the first
}

// ResultOf makes a result of a grade.
func ResultOf(run RunSummary, g Grade, at time.Time, why string) Result {
	x := Result{
		Run: run.ID, Class: run.Class, Lane: run.Lane, Version: run.Version, Student: run.Student, Grader: run.Grader, Second: run.Second,
		Outcome: g.Outcome, Reasons: g.Reasons, Found: map[string]int64{}, Missed: g.Missed, False: g.False, Order: g.Order,
		Unplaced: len(g.Unplaced), Took: g.Time, At: at, Why: why,
	}
	for _, id := range g.Found {
		x.Found[id] = g.Times[id].Milliseconds()
	}
	return x
}

// Attempt is what a student has behind them on one lane, for the next start.
type Attempt struct {
	Results  []Result // first gradings, oldest first; one a run
	Retrains []Entry  // of this student in this class
}

// Against says what stands against a student's next run on a version: nothing
// for the first one.
func (a *Attempt) Against(setup *LaneSetup, version string) []string {
	n := len(a.Results)
	if n == 0 {
		return nil
	}
	var out []string
	last := a.Results[n-1]
	if last.Outcome == Met {
		return []string{"has met the rule here"}
	}
	switch {
	case setup.Attempts == nil:
		out = append(out, "the school has not entered how many attempts there are")
	case n >= *setup.Attempts:
		out = append(out, fmt.Sprintf("has had %d of %s", n, spelling.Count(*setup.Attempts, "attempt", "attempts")))
	}
	retrained := false
	for _, e := range a.Retrains {
		retrained = retrained || e.Kind == EntryRetraining && e.At.After(last.At)
	}
	if !retrained {
		out = append(out, "no retraining is recorded since the last attempt")
	}
	for _, r := range a.Results {
		if r.Version == version {
			out = append(out, "has had this version; use another one")
			break
		}
	}
	return out
}
