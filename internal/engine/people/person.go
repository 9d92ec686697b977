package people

import (
	"slices"
	"time"

	"hangtrue/internal/engine/calendar"
)

// Person is one person of the school.
type Person struct {
	ID             string // random
	Name           string // "" once it was removed
	Login          string // what they sign in with; "" until they have accepted an invitation
	Contact        string
	Roles          []Role
	Made           time.Time
	Gone           time.Time // when they left; zero while they are here
	HasPassphrase  bool
	Qualifications []Qualification
}

// May reports whether one of the person's roles has the right.
func (p *Person) May(x Right) bool {
	return p.Gone.IsZero() && slices.ContainsFunc(p.Roles, func(r Role) bool { return r.May(x) })
}

// Is reports whether the person has a role.
func (p *Person) Is(r Role) bool { return slices.Contains(p.Roles, r) }

// Shown is what the person is called on a page: the name, or where it was
// removed the beginning of the id.
func (p *Person) Shown() string {
	if p.Name != "" {
		return p.Name
	}
	return "person " + p.ID[:min(8, len(p.ID))]
}

// QualificationKind is what a person is qualified as.
type QualificationKind string

// The kinds of qualification.
const (
	AsInstructor QualificationKind = "instructor"
	AsGrader     QualificationKind = "grader"
	AsInspector  QualificationKind = "inspector"
	AsHookUp     QualificationKind = "hook-up"
)

// QualificationKinds lists them in the order in which they are shown.
var QualificationKinds = []QualificationKind{AsInstructor, AsGrader, AsInspector, AsHookUp}

// Qualification is what somebody with the authority to do so has appointed a
// person as.
type Qualification struct {
	ID        string
	Kind      QualificationKind
	Scope     string       // what it covers, in the appointing letter's words
	Authority string       // who appointed
	From      calendar.Day // first day
	Expires   calendar.Day // last day; "" for none
	// Recency is how many months may pass without use; 0 for any number.
	Recency int
	Last    calendar.Day // last day of use; "" counts from From
	Ended   calendar.Day // the day it was taken away; "" while it stands
}

// LastDay is the last day on which the qualification counts; "" for no end.
func (q *Qualification) LastDay() calendar.Day {
	var stale, taken calendar.Day
	if q.Recency > 0 {
		used := q.Last
		if used == "" {
			used = q.From
		}
		stale = used.PlusMonths(q.Recency)
	}
	if q.Ended != "" {
		taken = q.Ended.Plus(-1)
	}
	return calendar.Earliest(q.Expires, stale, taken)
}

// Counts reports whether the qualification counts on a day.
func (q *Qualification) Counts(on calendar.Day) bool {
	last := q.LastDay()
	return q.From <= on && (last == "" || on <= last)
}

// Qualified returns a qualification of this kind that counts on the day, the
// one that counts longest.
func (p *Person) Qualified(kind QualificationKind, on calendar.Day) (Qualification, bool) {
	var best Qualification
	found := false
	for _, q := range p.Qualifications {
		if q.Kind != kind || !q.Counts(on) {
			continue
		}
		if last := q.LastDay(); !found || best.LastDay() != "" && (last == "" || last > best.LastDay()) {
			best, found = q, true
		}
	}
	return best, found
}

// Lapsed is a qualification that does not count on a planned day.
type Lapsed struct {
	Person        *Person
	Qualification Qualification
	On            calendar.Day // its last day
	Days          int          // from today to the last day; negative where it is past
	Why           string
}

// Lapsing lists, soonest first, the qualifications that will have lapsed on a
// planned day. What was taken away is not listed, nor what another
// qualification of the same kind and scope stands in for.
func Lapsing(all []Person, today, planned calendar.Day) []Lapsed {
	var out []Lapsed
	for i := range all {
		p := &all[i]
		if !p.Gone.IsZero() {
			continue
		}
		for _, q := range p.Qualifications {
			if q.Ended != "" || q.Counts(planned) || q.From > planned {
				continue
			}
			if slices.ContainsFunc(p.Qualifications, func(o Qualification) bool {
				return o.Kind == q.Kind && o.Scope == q.Scope && o.Counts(planned)
			}) {
				continue
			}
			last := q.LastDay()
			l := Lapsed{Person: p, Qualification: q, On: last, Days: today.Until(last), Why: "not used long enough"}
			if last == q.Expires {
				l.Why = "expires"
			}
			out = append(out, l)
		}
	}
	slices.SortStableFunc(out, func(a, b Lapsed) int { return a.Days - b.Days })
	return out
}
