package report

import (
	"slices"
	"time"

	"hangtrue/internal/engine/teach/stats"
)

// ClassLine is what one class found, with the change from the class before it.
type ClassLine struct {
	Class    string
	At       time.Time // of its first run
	Found    stats.Share
	Effect   float64
	Students int
	Change   *stats.Change // nil for the first
}

// ByClass is a line for each class in the order of their first runs. The
// changes are Newcombe's with the intervals widened for answers of one student.
func (s *Set) ByClass() []ClassLine {
	at := map[string]int{}
	var out []ClassLine
	var by []map[string]*cluster
	for i := range s.Sittings {
		x := &s.Sittings[i]
		if !x.counts() || len(x.Answers) == 0 {
			continue
		}
		k, ok := at[x.Class]
		if !ok {
			k = len(out)
			at[x.Class] = k
			out, by = append(out, ClassLine{Class: x.Class, At: x.At}), append(by, map[string]*cluster{})
		}
		c := by[k][x.Student]
		if c == nil {
			c = &cluster{}
			by[k][x.Student] = c
		}
		for _, a := range x.Answers {
			c.asked++
			if a.Found {
				c.found++
			}
		}
	}
	for k := range out {
		out[k].Found, out[k].Effect = clustered(by[k])
		out[k].Students = len(by[k])
		if k > 0 {
			c := stats.ChangeOf(out[k-1].Found, out[k].Found)
			out[k].Change = &c
		}
	}
	return out
}

// Words says how the class did against the one before it.
func (c *ClassLine) Words() string {
	if c.Change == nil {
		return "the first"
	}
	return c.Change.Words()
}

// Day is what was found on one day, for a learning curve.
type Day struct {
	Day    string // 2026-05-31
	Found  stats.Share
	Effect float64
}

// ByDay is a line for each day, in order; day says on which day a time lies.
func (s *Set) ByDay(day func(time.Time) string) []Day {
	by := map[string]map[string]*cluster{}
	var days []string
	for i := range s.Sittings {
		x := &s.Sittings[i]
		if !x.counts() || len(x.Answers) == 0 {
			continue
		}
		d := day(x.At)
		if by[d] == nil {
			by[d] = map[string]*cluster{}
			days = append(days, d)
		}
		c := by[d][x.Student]
		if c == nil {
			c = &cluster{}
			by[d][x.Student] = c
		}
		for _, a := range x.Answers {
			c.asked++
			if a.Found {
				c.found++
			}
		}
	}
	slices.Sort(days)
	var out []Day
	for _, d := range days {
		share, effect := clustered(by[d])
		out = append(out, Day{d, share, effect})
	}
	return out
}
