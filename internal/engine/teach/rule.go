package teach

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"hangtrue/internal/engine/spelling"
)

// Rule is when a lane is met. What a school has not entered is nil, and nothing
// is graded until all of it is.
type Rule struct {
	Found       *int           // at least so many
	Within      *time.Duration // in so long
	False       *int           // at most so many false calls
	FigureRight *bool          // a wrong figure (as of a count) is no find
	Ordered     bool           // the order of the walk is asked for: stations out of order end nothing but are noted
	WrongOrder  *int           // at most so many out of order, where the order is asked for
}

// Missing lists what the school has still to enter.
func (r Rule) Missing() []string {
	var out []string
	add := func(blank bool, what string) {
		if blank {
			out = append(out, what)
		}
	}
	add(r.Found == nil, "how many have to be found")
	add(r.Within == nil, "in what time")
	add(r.False == nil, "how many false calls are allowed")
	add(r.FigureRight == nil, "whether a figure has to be right")
	add(r.Ordered && r.WrongOrder == nil, "how many stations may be taken out of order")
	return out
}

// Check refuses a rule that nobody can meet.
func (r Rule) Check(planted int) error {
	var errs []error
	if r.Found != nil && (*r.Found < 0 || *r.Found > planted) {
		errs = append(errs, fmt.Errorf("teach: %d have to be found of %d planted", *r.Found, planted))
	}
	if r.Within != nil && *r.Within <= 0 {
		errs = append(errs, errors.New("teach: the time has to be longer than nothing"))
	}
	if r.False != nil && *r.False < 0 || r.WrongOrder != nil && *r.WrongOrder < 0 {
		errs = append(errs, errors.New("teach: fewer than no calls cannot be allowed"))
	}
	return errors.Join(errs...)
}

// CallKind is what a grader makes of what a student says.
type CallKind string

// The kinds of calls.
const (
	CallFound      CallKind = "found"       // a planted deficiency
	CallFalse      CallKind = "false"       // nothing is wrong there
	CallTrue       CallKind = "not-planted" // wrong, and nobody planted it: it stops the lane
	CallOrder      CallKind = "order"       // a station taken out of order
	CallUnsafe     CallKind = "unsafe"      // a safety violation: it ends the run
	CallUndone     CallKind = "undo"        // takes back an earlier call
	CallPut        CallKind = "settled"     // what was found unplanted is repaired or declared
	CallStationEnd CallKind = "station"     // a station is done
)

// Call is one entry of a grader.
type Call struct {
	ID         string // made by the grader's device; the same twice counts once
	Kind       CallKind
	Deficiency string // of a find: its id
	WrongCount bool   // the figure said with it was wrong
	After      time.Duration
	Undoes     string // of an undo: the id of the call taken back
	Text       string
}

// Run is a student's time in a lane.
type Run struct {
	Planted []string // ids
	Calls   []Call   // in the order they were entered
	Ended   *time.Duration
}

// Outcome of a run.
type Outcome string

// The outcomes.
const (
	Met      Outcome = "met"
	NotMet   Outcome = "not-met"
	Unsafe   Outcome = "safety-violation"
	Stopped  Outcome = "stopped"  // a fault that nobody planted is not settled yet
	Running  Outcome = "running"  // it has not ended
	Ungraded Outcome = "ungraded" // the rule is not complete
)

// Words is the outcome as a person reads it.
func (o Outcome) Words() string {
	return map[Outcome]string{
		Met: "met the rule", NotMet: "did not meet the rule", Unsafe: "ended by a safety violation",
		Stopped: "stopped: a fault that nobody planted", Running: "still running", Ungraded: "not graded: the rule is not complete",
	}[o]
}

// Grade is what a run comes to.
type Grade struct {
	Outcome  Outcome
	Reasons  []string
	Found    []string // ids, in the order found
	Missed   []string
	Times    map[string]time.Duration
	False    int
	Order    int
	Unplaced []Call // true faults that nobody planted
	Time     time.Duration
}

// GradeRun grades a run by a rule. Calls that come twice, by id, count once; an
// undo takes back what it names, also another undo's work is not redone. A find
// of something not planted in this version counts as nothing and is named.
func GradeRun(r Rule, run Run) Grade {
	g := Grade{Times: map[string]time.Duration{}}
	seen, undone := map[string]bool{}, map[string]bool{}
	for _, c := range run.Calls {
		if c.Kind == CallUndone {
			undone[c.Undoes] = true
		}
	}
	unsettled := 0
	unsafe := ""
	limit := time.Duration(1<<63 - 1)
	if r.Within != nil {
		limit = *r.Within
	}
	late := 0
	for _, c := range run.Calls {
		if seen[c.ID] || undone[c.ID] {
			continue
		}
		seen[c.ID] = true
		switch c.Kind {
		case CallFound:
			switch {
			case !slices.Contains(run.Planted, c.Deficiency):
				g.Reasons = append(g.Reasons, "a find of what this version does not have was not counted: "+c.Deficiency)
			case c.After > limit:
				late++
			case c.WrongCount && r.FigureRight != nil && *r.FigureRight:
				g.Reasons = append(g.Reasons, "found with a wrong figure, which does not count: "+c.Deficiency)
			case slices.Contains(g.Found, c.Deficiency):
			default:
				g.Found = append(g.Found, c.Deficiency)
				g.Times[c.Deficiency] = c.After
			}
		case CallFalse:
			if c.After <= limit {
				g.False++
			}
		case CallOrder:
			g.Order++
		case CallTrue:
			unsettled++
			g.Unplaced = append(g.Unplaced, c)
		case CallPut:
			unsettled = max(0, unsettled-1)
		case CallUnsafe:
			unsafe = c.Text
			if unsafe == "" {
				unsafe = "no reason was entered"
			}
		}
	}
	for _, id := range run.Planted {
		if !slices.Contains(g.Found, id) {
			g.Missed = append(g.Missed, id)
		}
	}
	if run.Ended != nil {
		g.Time = *run.Ended
	}
	missing := r.Missing()
	switch {
	case unsafe != "":
		g.Outcome, g.Reasons = Unsafe, append(g.Reasons, unsafe)
	case unsettled > 0:
		g.Outcome = Stopped
		g.Reasons = append(g.Reasons, "repair it or declare it, and review the runs before this one")
	case run.Ended == nil:
		g.Outcome = Running
	case len(missing) > 0:
		g.Outcome = Ungraded
		g.Reasons = append(g.Reasons, "not entered: "+strings.Join(missing, ", "))
	default:
		g.Outcome = Met
		fail := func(bad bool, format string, args ...any) {
			if bad {
				g.Outcome = NotMet
				g.Reasons = append(g.Reasons, fmt.Sprintf(format, args...))
			}
		}
		fail(len(g.Found) < *r.Found, "found %d of %d, asked for %d", len(g.Found), len(run.Planted), *r.Found)
		fail(g.False > *r.False, "%s, allowed %d", spelling.Count(g.False, "false call", "false calls"), *r.False)
		fail(r.Ordered && g.Order > *r.WrongOrder, "%s out of order, allowed %d", spelling.Count(g.Order, "station", "stations"), valueOf(r.WrongOrder))
		if late > 0 {
			g.Reasons = append(g.Reasons, fmt.Sprintf("%d found after the time, not counted", late))
		}
	}
	return g
}

func valueOf(x *int) int {
	if x == nil {
		return 0
	}
	return *x
}
