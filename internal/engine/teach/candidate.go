package teach

import (
	"fmt"
	"slices"
	"strings"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
)

// Candidate is a deficiency that could be planted.
type Candidate struct {
	ID      string // part/attribute/state
	Part    string
	Kind    string
	Station int // number of the first station that asks about it
	Plant   part.Plant
	Text    string
	// Difficulty in logits from earlier results, nil as long as it is unknown.
	Difficulty *float64

	relation   bool     // it belongs to several parts together
	mechanical bool     // it changes how the load hangs
	touches    []string // legs, bodies and apex that it is on
}

// Candidates lists the deficiencies of a surveyed rig that a sequence asks
// about, in the order of the walk. known gives difficulties by a deficiency's
// kind, attribute and state; it may be nil.
func Candidates(v *inspect.Survey, q *inspect.Sequence, known func(d *inspect.Deficiency) (float64, bool)) []Candidate {
	type question struct{ part, attribute string }
	asked := map[question]int{}
	for _, s := range v.Stations(q) {
		for _, i := range s.Checkpoints {
			for _, t := range v.Tasks(&q.Checkpoints[i]) {
				key := question{t.Part.ID, t.Attribute.ID}
				if asked[key] == 0 {
					asked[key] = s.Number
				}
			}
		}
	}
	var out []Candidate
	for i := range v.Deficiencies {
		d := &v.Deficiencies[i]
		station := asked[question{d.Part.ID, d.Attribute.ID}]
		if station == 0 {
			continue
		}
		c := Candidate{
			ID: d.ID(), Part: d.Part.ID, Kind: d.Part.Kind.ID, Station: station, Plant: d.State.Plant, Text: d.Text(),
			relation: d.Part.Kind.Each.Relation(), mechanical: d.Change != "",
		}
		for _, leg := range d.Part.Legs {
			c.touches = append(c.touches, "leg "+leg)
		}
		for _, body := range d.Part.Bodies {
			c.touches = append(c.touches, "body "+body)
		}
		if a := d.Part.On.Apex; a != "" {
			c.touches = append(c.touches, "apex "+a)
		}
		if known != nil {
			if x, ok := known(d); ok {
				c.Difficulty = &x
			}
		}
		out = append(out, c)
	}
	slices.SortStableFunc(out, func(a, b Candidate) int { return a.Station - b.Station })
	return out
}

// shelf is candidates with what they touch as bits, so that many choices can be
// tried.
type shelf struct {
	list                  []Candidate
	parts, kinds, station []int
	all, legs             []touched
	used                  []int // in versions already chosen
	numKinds, numStations int
}

// touched has a bit for each thing. Beyond 256 things some share one, which
// makes a few more conflicts than there are and never fewer.
type touched [4]uint64

func (t *touched) set(n int) { t[n>>6&3] |= 1 << (n & 63) }

func (t *touched) meets(o *touched) bool {
	return t[0]&o[0]|t[1]&o[1]|t[2]&o[2]|t[3]&o[3] != 0
}

func newShelf(list []Candidate) *shelf {
	ints := func() []int { return make([]int, len(list)) }
	s := &shelf{list: list, parts: ints(), kinds: ints(), station: ints(), used: ints(), all: make([]touched, len(list)), legs: make([]touched, len(list))}
	things, parts, kinds, stations := map[string]int{}, map[string]int{}, map[string]int{}, map[string]int{}
	number := func(m map[string]int, name string) int {
		n, ok := m[name]
		if !ok {
			n = len(m)
			m[name] = n
		}
		return n
	}
	for i := range list {
		s.parts[i], s.kinds[i] = number(parts, list[i].Part), number(kinds, list[i].Kind)
		s.station[i] = number(stations, fmt.Sprint(list[i].Station))
		s.numKinds, s.numStations = len(kinds), len(stations)
		for _, t := range list[i].touches {
			n := number(things, t)
			s.all[i].set(n)
			if isLeg(t) {
				s.legs[i].set(n)
			}
		}
	}
	return s
}

// knownParts is on how many parts something has a known difficulty.
func (s *shelf) knownParts() int {
	parts := map[int]bool{}
	for i := range s.list {
		if s.list[i].Difficulty != nil {
			parts[s.parts[i]] = true
		}
	}
	return len(parts)
}

// conflict is [Conflict] for two of the list.
func (s *shelf) conflict(i, j int) bool {
	a, b := &s.list[i], &s.list[j]
	return s.parts[i] == s.parts[j] ||
		(a.relation || b.relation) && s.all[i].meets(&s.all[j]) ||
		(a.mechanical || b.mechanical) && s.legs[i].meets(&s.legs[j])
}

func isLeg(touch string) bool { return strings.HasPrefix(touch, "leg ") }

// Conflict says why two deficiencies cannot be planted together, "" where they
// can: they lie on one part, or one would show in the other.
func Conflict(a, b *Candidate) string {
	if a.Part == b.Part {
		return "both are on " + a.Part
	}
	for _, t := range a.touches {
		if !slices.Contains(b.touches, t) {
			continue
		}
		// What compares several parts shows a fault of each of them; and a leg
		// that is lost, misled or miscounted alters whatever else is on it.
		if a.relation || b.relation {
			return "one compares what the other is on: " + t
		}
		if isLeg(t) && (a.mechanical || b.mechanical) {
			return "one changes how " + t + " hangs, and the other is on it"
		}
	}
	return ""
}

// Plantable reports whether it can be planted on a real load: by hand, or with a
// spoiled training part where these are at hand.
func (c *Candidate) Plantable(spoiled bool) bool {
	return c.Plant != part.PictureOnly && (spoiled || c.Plant != part.SpoiledPart)
}
