package report

import (
	"cmp"
	"maps"
	"slices"
	"sync"
	"time"

	"hangtrue/internal/engine/teach"
)

// Item is a deficiency as results count it.
type Item struct {
	Key        string // kind/attribute/state
	Kind       string // name of the kind of part
	Text       string // what a person finds
	Checkpoint string // key of the checkpoint that asks about it first; "" for none
	Title      string // of that checkpoint
	Part       string // the part's id on its rig
}

// Namer says what a deficiency of a version is. ok is false where its rig is
// not kept any longer.
type Namer func(version, deficiency string) (x Item, ok bool)

// Answer is whether a student found a planted deficiency.
type Answer struct {
	Item  int // index in [Set.Items]
	Place int // index in [Set.Places]
	Found bool
	After time.Duration // of a find: from the start of the run
}

// Sitting is a run of a student as it counts.
type Sitting struct {
	Run, Class, Lane, Version string
	Student, Grader           string
	At                        time.Time
	Outcome                   teach.Outcome
	Took                      time.Duration
	False, Order              int
	Attempt                   int // 1 for the first on its lane
	Answers                   []Answer

	who int // the student's number in the set
}

// counts reports whether the sitting's answers count.
func (s *Sitting) counts() bool {
	switch s.Outcome {
	case teach.Met, teach.NotMet, teach.Ungraded:
		return s.Attempt == 1
	}
	return false
}

// Pair is one run graded by two people who did not see each other's grading.
type Pair struct{ First, Second Sitting }

// Place is where an item was planted: a part of a rig, for drawings.
type Place struct {
	Part, Checkpoint, Title string
}

// Set is results in the order in which they were had.
type Set struct {
	Items    []Item // each key once
	Places   []Place
	Sittings []Sitting
	Pairs    []Pair
	Unnamed  int // answers about rigs that are not kept

	students int // numbers from 0

	mu    sync.Mutex
	known map[string]Lines // that were counted
}

// Gather makes a set of what runs came to; the order of the results does not
// matter.
func Gather(results []teach.Result, name Namer) *Set {
	g := NewReader(name)
	newest := map[string]int{} // by run
	for i := range results {
		if k, ok := newest[results[i].Run]; !ok || results[i].N > results[k].N {
			newest[results[i].Run] = i
		}
	}
	order := make([]int, 0, len(newest))
	for _, i := range newest {
		order = append(order, i)
	}
	first := map[string]time.Time{}
	for i := range results {
		if results[i].N == 1 {
			first[results[i].Run] = results[i].At // a later grading does not move the run
		}
	}
	slices.SortFunc(order, func(a, b int) int {
		x, y := &results[a], &results[b]
		return cmp.Or(first[x.Run].Compare(first[y.Run]), cmp.Compare(x.Run, y.Run))
	})
	type on struct{ student, what string }
	attempts := map[on]int{}
	numbers := numbering{}
	seconds := map[on]Sitting{}
	for _, i := range order {
		r := &results[i]
		s := g.sitting(r)
		s.who = numbers.of(r.Student)
		if at, ok := first[r.Run]; ok {
			s.At = at
		}
		if r.Second {
			seconds[on{r.Student, r.Version}] = s
			continue
		}
		attempts[on{r.Student, r.Lane}]++
		s.Attempt = attempts[on{r.Student, r.Lane}]
		g.Sittings = append(g.Sittings, s)
	}
	for i := range g.Sittings {
		s := &g.Sittings[i]
		if two, ok := seconds[on{s.Student, s.Version}]; ok && two.Grader != s.Grader {
			g.Pairs = append(g.Pairs, Pair{*s, two})
			delete(seconds, on{s.Student, s.Version})
		}
	}
	g.students = len(numbers)
	return g.Set
}

// Reader makes sittings of results one after the other, for who does not hold all
// of them at once. Its set has the items and places met so far, and no sittings.
type Reader struct {
	*Set
	name   Namer
	items  map[string]int
	places map[Place]int
	known  map[string]map[string][2]int // version, then deficiency, to item and place; −1 for none
}

// NewReader begins without any item.
func NewReader(name Namer) *Reader {
	return &Reader{Set: &Set{}, name: name, items: map[string]int{}, places: map[Place]int{}, known: map[string]map[string][2]int{}}
}

// Sitting is the newest result of a run as it counts: first is when the run was
// graded first, attempt which one of the student on the lane it is.
func (g *Reader) Sitting(r *teach.Result, first time.Time, attempt int) Sitting {
	s := g.sitting(r)
	s.At, s.Attempt = first, attempt
	return s
}

func (g *Reader) sitting(r *teach.Result) Sitting {
	s := Sitting{
		Run: r.Run, Class: r.Class, Lane: r.Lane, Version: r.Version, Student: r.Student, Grader: r.Grader,
		At: r.At, Outcome: r.Outcome, Took: r.Took, False: r.False, Order: r.Order,
	}
	known := g.known[r.Version]
	if known == nil {
		known = map[string][2]int{}
		g.known[r.Version] = known
	}
	s.Answers = make([]Answer, 0, len(r.Found)+len(r.Missed))
	take := func(id string, found bool, after time.Duration) {
		item, place := g.find(known, r.Version, id)
		if item < 0 {
			g.Unnamed++
			return
		}
		s.Answers = append(s.Answers, Answer{Item: item, Place: place, Found: found, After: after})
	}
	// In an order of their own, so that the same results are the same set.
	for _, id := range slices.Sorted(maps.Keys(r.Found)) {
		take(id, true, time.Duration(r.Found[id])*time.Millisecond)
	}
	for _, id := range r.Missed {
		take(id, false, 0)
	}
	slices.SortFunc(s.Answers, func(a, b Answer) int { return cmp.Or(cmp.Compare(a.Item, b.Item), cmp.Compare(a.Place, b.Place)) })
	return s
}

func (g *Reader) find(known map[string][2]int, version, id string) (item, place int) {
	if at, ok := known[id]; ok {
		return at[0], at[1]
	}
	x, ok := g.name(version, id)
	if !ok {
		known[id] = [2]int{-1, -1}
		return -1, -1
	}
	if item, ok = g.items[x.Key]; !ok {
		item = len(g.Items)
		g.items[x.Key] = item
		g.Items = append(g.Items, x)
	}
	p := Place{x.Part, x.Checkpoint, x.Title}
	if place, ok = g.places[p]; !ok {
		place = len(g.Places)
		g.places[p] = place
		g.Places = append(g.Places, p)
	}
	known[id] = [2]int{item, place}
	return item, place
}

// Only is the part of a set that a test lets through; items stay as they are
// numbered.
func (s *Set) Only(take func(*Sitting) bool) *Set {
	out := &Set{Items: s.Items, Places: s.Places, students: s.students}
	for i := range s.Sittings {
		if take(&s.Sittings[i]) {
			out.Sittings = append(out.Sittings, s.Sittings[i])
		}
	}
	for i := range s.Pairs {
		if take(&s.Pairs[i].First) {
			out.Pairs = append(out.Pairs, s.Pairs[i])
		}
	}
	return out
}

// Runs says how many runs there are and how many count, and why the others do
// not.
type Runs struct {
	All, Counted               int
	Later, Unsafe, NotFinished int
	Students                   int // whose answers count
}

// Runs counts them.
func (s *Set) Runs() Runs {
	r := Runs{All: len(s.Sittings)}
	who := map[string]bool{}
	for i := range s.Sittings {
		x := &s.Sittings[i]
		switch {
		case x.counts():
			r.Counted++
			who[x.Student] = true
		case x.Outcome == teach.Unsafe:
			r.Unsafe++
		case x.Attempt > 1:
			r.Later++
		default:
			r.NotFinished++
		}
	}
	r.Students = len(who)
	return r
}

// numbering gives each student a number, from 0 in the order in which they come.
type numbering map[string]int

func (n numbering) of(student string) int {
	number, ok := n[student]
	if !ok {
		number = len(n)
		n[student] = number
	}
	return number
}
