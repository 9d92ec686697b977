package report

import (
	"fmt"
	"math"
	"strings"

	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/engine/teach/stats"
)

// Model is the Rasch model of a set: a person is a student in a class, an item
// a deficiency by its key. Of an item that a student was asked about more than
// once in a class the first time counts.
type Model struct {
	Why    string // there is none: why; then all else is empty
	People int
	Items  []ModelItem // in the order of [Set.Items], those that were asked about
	Who    []Person    // in the order in which they were met
	Steps  int
}

// ModelItem is the difficulty of one item. Difficulties are in logits, higher
// is harder, 0 is the mean of those that are estimated.
type ModelItem struct {
	stats.Item
	Key, Text string
}

// Person is a student of a class on the same scale: one who finds an item of
// the same number half of the time.
type Person struct {
	Student, Class string
	Found, Asked   int // of the items that are estimated
	Theta, SE      float64
	// Infit and Outfit are mean squares about 1; NaN of who found all or nothing,
	// which says nothing of fit.
	Infit, Outfit float64
}

// Fit fits the model.
func (s *Set) Fit() *Model {
	type who struct{ student, class string }
	at := map[who]int{}
	m := &Model{}
	t := &stats.Table{}
	column := make([]int, len(s.Items))
	for i := range column {
		column[i] = -1
	}
	for i := range s.Sittings {
		if !s.Sittings[i].counts() {
			continue
		}
		for _, a := range s.Sittings[i].Answers {
			column[a.Item] = 0
		}
	}
	for i := range column {
		if column[i] == 0 {
			column[i] = t.Items
			t.Items++
			m.Items = append(m.Items, ModelItem{Key: s.Items[i].Key, Text: s.Items[i].Text})
		}
	}
	for i := range s.Sittings {
		x := &s.Sittings[i]
		if !x.counts() {
			continue
		}
		k, ok := at[who{x.Student, x.Class}]
		if !ok {
			k = len(m.Who)
			at[who{x.Student, x.Class}] = k
			m.Who = append(m.Who, Person{Student: x.Student, Class: x.Class})
			row := make([]int8, t.Items)
			for c := range row {
				row[c] = stats.Missing
			}
			t.Rows = append(t.Rows, row)
		}
		for _, a := range x.Answers {
			if c := column[a.Item]; t.Rows[k][c] == stats.Missing {
				t.Rows[k][c] = 0
				if a.Found {
					t.Rows[k][c] = 1
				}
			}
		}
	}
	m.People = len(m.Who)
	f, err := stats.FitRasch(t)
	if err != nil {
		return &Model{Why: strings.TrimPrefix(err.Error(), "stats: "), People: m.People}
	}
	m.Steps = f.Steps
	for c := range m.Items {
		m.Items[c].Item = f.Items[c]
	}
	for k := range m.Who {
		p := &m.Who[k]
		var asked []float64
		for c, v := range t.Rows[k] {
			if v == stats.Missing || !f.Items[c].Estimated {
				continue
			}
			asked = append(asked, f.Items[c].Difficulty)
			p.Found += int(v)
		}
		p.Asked, p.Theta, p.SE = len(asked), math.NaN(), math.NaN()
		p.Infit, p.Outfit = f.People[k].Infit, f.People[k].Outfit
		if len(asked) > 0 {
			p.Theta, p.SE = stats.Ability(asked, p.Found)
		}
	}
	return m
}

// Known are the difficulties that planting may rely on, by key: those with a
// standard error of half a logit or less (common practice, no source).
func (m *Model) Known() map[string]float64 {
	out := map[string]float64{}
	for _, x := range m.Items {
		if x.Estimated && x.SE <= .5 {
			out[x.Key] = x.Difficulty
		}
	}
	return out
}

// FitWords says what the mean squares of an item mean. The bounds 0.7 and 1.3
// are those of Wright and Linacre (1994) for tests of multiple choice, from
// memory.
func (x *ModelItem) FitWords() string {
	switch {
	case !x.Estimated:
		return x.Why
	case math.IsNaN(x.Infit):
		return "fit not known"
	case x.Asked < 4*stats.Few:
		return "fit of " + spelling.Count(x.Asked, "answer", "answers") + ": too few to say"
	case x.Infit > 1.3:
		return "found and missed by others than the model expects: look at what was planted"
	case x.Infit < .7:
		return "tells students apart more sharply than the model expects"
	}
	return "as the model expects"
}

// FitWords says what the mean squares of a person mean. Of so few answers they say
// little, so no bound is drawn.
func (p *Person) FitWords() string {
	if math.IsNaN(p.Infit) {
		return "none: all or nothing was found"
	}
	return fmt.Sprintf("%.2f, %.2f", p.Infit, p.Outfit)
}
