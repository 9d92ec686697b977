package report

import (
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

	enough, before bool // there are enough results, of this class and of the one before
}

// Enough reports whether there are enough results to compare the class.
func (c *ClassLine) Enough() bool { return c.enough }

// ByClass is a line for each class in the order of their first runs. The
// changes are Newcombe's with the intervals widened for answers of one student.
func (s *Set) ByClass() []ClassLine {
	at := map[string]int{}
	var out []ClassLine
	var by [][]int // the sittings of each
	for i := range s.Sittings {
		x := &s.Sittings[i]
		if !x.counts() || len(x.Answers) == 0 {
			continue
		}
		k, ok := at[x.Class]
		if !ok {
			k = len(out)
			at[x.Class] = k
			out, by = append(out, ClassLine{Class: x.Class, At: x.At}), append(by, nil)
		}
		by[k] = append(by[k], i)
	}
	c := s.counter()
	for k := range out {
		s.count(c, by[k])
		out[k].Found, out[k].Effect, out[k].Students = c.take()
		out[k].enough = enough(out[k].Found, out[k].Effect, out[k].Students)
		if k > 0 {
			c := stats.ChangeOf(out[k-1].Found, out[k].Found)
			out[k].Change, out[k].before = &c, out[k-1].enough
		}
	}
	return out
}

// count counts all answers of some sittings.
func (s *Set) count(c *counter, sittings []int) {
	for _, i := range sittings {
		x := &s.Sittings[i]
		for k := range x.Answers {
			c.add(x.who, x.Answers[k].Found)
		}
	}
}

// Words says how the class did against the one before it.
func (c *ClassLine) Words() string {
	switch {
	case c.Change == nil:
		return "the first"
	case !c.enough || !c.before:
		return "too few results to say"
	}
	return c.Change.Words()
}

// FoundWords is the share found as a person reads it.
func (c *ClassLine) FoundWords() string { return shareWords(c.Found, c.Effect, c.Students) }

// TestDay is what was found on lanes on one day.
type TestDay struct {
	Day      string // 2026-05-31
	Found    stats.Share
	Effect   float64
	Students int
}

// Enough reports whether there are enough results to compare the day.
func (d *TestDay) Enough() bool { return enough(d.Found, d.Effect, d.Students) }

// Words is the share as a person reads it.
func (d *TestDay) Words() string { return shareWords(d.Found, d.Effect, d.Students) }

// ByDay is a line for each day with runs that count, in order; day says on which
// one a time lies.
func (s *Set) ByDay(day func(time.Time) string) []TestDay {
	by := map[string][]int{}
	var out []TestDay
	for i := range s.Sittings {
		x := &s.Sittings[i]
		if !x.counts() || len(x.Answers) == 0 {
			continue
		}
		d := day(x.At)
		if by[d] == nil {
			out = append(out, TestDay{Day: d}) // sittings stand in the order of time
		}
		by[d] = append(by[d], i)
	}
	c := s.counter()
	for i := range out {
		s.count(c, by[out[i].Day])
		out[i].Found, out[i].Effect, out[i].Students = c.take()
	}
	return out
}
