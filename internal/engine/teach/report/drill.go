package report

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"hangtrue/internal/engine/teach/stats"
)

// Look is one picture of a drill to which a student said yes or no.
type Look struct {
	Student    string
	Key        string // kind/attribute/state of the deficiency that was practised, shown or not
	Checkpoint string
	Title      string
	Faulty     bool // something was wrong in it
	Called     bool // the student called it wrong
	Which      bool // and said rightly what
	After      time.Duration
	At         time.Time
}

// Detecting is how well somebody told right from wrong in drills.
type Detecting struct {
	Key, Text string // of a student or a checkpoint
	stats.Detection
	Has     bool // there is a value
	Rightly int  // hits with what was wrong said rightly
}

// Words says what it is worth.
func (d *Detecting) Words() string {
	switch {
	case !d.Has:
		return "too few to say: pictures of both kinds are needed"
	case !d.Hits.Enough() || !d.False.Enough():
		return fmt.Sprintf("%d of %d faults called, %d of %d sound ones called: too few to say", d.Hits.Count, d.Hits.Of, d.False.Count, d.False.Of)
	}
	return fmt.Sprintf("d′ %.2f, c %.2f", d.Sensitivity, d.Bias)
}

// Detect makes it of looks: for all of them by by, in the order met. by gives a
// key and its words.
func Detect(looks []Look, by func(*Look) (key, text string)) []Detecting {
	type counts struct{ hits, faulty, cried, sound, which int }
	at := map[string]int{}
	var out []Detecting
	var all []counts
	for i := range looks {
		l := &looks[i]
		key, text := by(l)
		k, ok := at[key]
		if !ok {
			k = len(out)
			at[key] = k
			out, all = append(out, Detecting{Key: key, Text: text}), append(all, counts{})
		}
		c := &all[k]
		if l.Faulty {
			c.faulty++
			c.hits += index(l.Called)
			c.which += index(l.Called && l.Which)
		} else {
			c.sound++
			c.cried += index(l.Called)
		}
	}
	for k, c := range all {
		d, err := stats.Detect(c.hits, c.faulty, c.cried, c.sound)
		if err != nil {
			d = stats.Detection{Hits: stats.ShareOf(c.hits, c.faulty), False: stats.ShareOf(c.cried, c.sound)}
		}
		out[k].Detection, out[k].Has, out[k].Rightly = d, err == nil, c.which
	}
	return out
}

// FalseAlarms is how often pictures of sound parts were called wrong in drills.
type FalseAlarms struct {
	stats.Share
	Effect   float64
	Students int
}

// Words is the share as a person reads it.
func (f *FalseAlarms) Words() string {
	if f.Of == 0 {
		return "not drilled"
	}
	return shareWords(f.Share, f.Effect, f.Students)
}

// Alarms counts them by what by says, the empty text being for none. Drills alone
// know the place of a false call: on a lane nobody notes it.
func Alarms(looks []Look, by func(*Look) string) map[string]*FalseAlarms {
	numbers := numbering{}
	answers := map[string][]studentAnswer{}
	for i := range looks {
		l := &looks[i]
		if l.Faulty {
			continue
		}
		key := by(l)
		if key == "" {
			continue
		}
		who := numbers.of(l.Student)
		answers[key] = append(answers[key], studentAnswer{who, l.Called})
	}
	c := &counter{at: make([]int, len(numbers))}
	out := map[string]*FalseAlarms{}
	for key, list := range answers {
		for _, a := range list {
			c.add(a.who, a.found)
		}
		f := &FalseAlarms{}
		f.Share, f.Effect, f.Students = c.take()
		out[key] = f
	}
	return out
}

// Day is what drills of one day came to: the share of pictures of which right
// was told from wrong.
type Day struct {
	Day      string // 2026-05-31
	Right    stats.Share
	Effect   float64
	Students int
}

// Enough reports whether there are enough answers to compare the day.
func (d *Day) Enough() bool { return enough(d.Right, d.Effect, d.Students) }

// Words is the share as a person reads it.
func (d *Day) Words() string { return shareWords(d.Right, d.Effect, d.Students) }

// ByDay is a line for each day of drills, in order; day says on which one a time
// lies.
func ByDay(looks []Look, day func(time.Time) string) []Day {
	at := map[string]int{}
	numbers := numbering{}
	var out []Day
	var by [][]studentAnswer
	for i := range looks {
		l := &looks[i]
		d := day(l.At)
		k, ok := at[d]
		if !ok {
			k = len(out)
			at[d] = k
			out, by = append(out, Day{Day: d}), append(by, nil)
		}
		who := numbers.of(l.Student)
		by[k] = append(by[k], studentAnswer{who, l.Called == l.Faulty})
	}
	c := &counter{at: make([]int, len(numbers))}
	for k := range out {
		for _, a := range by[k] {
			c.add(a.who, a.found)
		}
		out[k].Right, out[k].Effect, out[k].Students = c.take()
	}
	slices.SortFunc(out, func(a, b Day) int { return strings.Compare(a.Day, b.Day) })
	return out
}
