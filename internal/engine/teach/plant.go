package teach

import (
	"cmp"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"hangtrue/internal/engine/part"
)

// Seed makes a planting again. It stays secret until the grade is in.
type Seed [16]byte

// source is a stream of random numbers of its own for each purpose.
func (s Seed) source(purpose string, number int) *rand.Rand {
	h := sha256.New()
	h.Write(s[:])
	h.Write([]byte(purpose))
	var n [8]byte
	binary.BigEndian.PutUint64(n[:], uint64(number))
	h.Write(n[:])
	return rand.New(rand.NewChaCha8([32]byte(h.Sum(nil))))
}

// Some chooses n of so many, by their places from 0 and in their order: those that
// always belong to it, and of the rest those that the seed puts first. All are
// chosen where n is 0 or there are no more. One seed gives one choice, and a
// smaller one lies within a larger one, so that two walks of one version of a lane
// tell no more than one does.
func (s Seed) Some(n, of int, always func(i int) bool) []int {
	kept := make([]bool, of)
	left := n
	for i := range kept {
		if kept[i] = n <= 0 || n >= of || always(i); kept[i] {
			left--
		}
	}
	for _, i := range s.source("pictures", 0).Perm(of) {
		if left > 0 && !kept[i] {
			kept[i] = true
			left--
		}
	}
	var out []int
	for i, k := range kept {
		if k {
			out = append(out, i)
		}
	}
	return out
}

// Ask is what is wanted of a planting.
type Ask struct {
	Candidates []Candidate
	Count      int      // deficiencies in each version
	Versions   int      // how many, 0 is 1
	Real       bool     // on a real load: only what can be made by hand or with a spoiled training part
	Spoiled    bool     // spoiled training parts are at hand
	Recent     []string // ids used for this or a neighbouring group, which are left out
	// Band is the mean difficulty wanted, logits; nil asks for none. Where enough
	// difficulties are known, only those are chosen from; otherwise it is held for
	// those that are known.
	Band *[2]float64
	Seed Seed
}

// Planting is what was chosen.
type Planting struct {
	Versions []Version
	// Spread is the largest difference of the versions' mean difficulties,
	// logits; NaN where a version has none known.
	Spread float64
	// Shared is the largest number of deficiencies that two versions share.
	Shared int
	// Kinds is the largest difference between two versions in how many
	// different kinds of parts they touch.
	Kinds int
	Notes []string // what could not be had, in words
}

// Version is one choice, in the order of the walk.
type Version struct {
	Planted []Candidate
	// Difficulty is the mean of those known, logits; NaN where none is.
	Difficulty float64
	Unknown    int // how many have no known difficulty

	at []int // in the pool
}

// Words says how hard the version is expected to be.
func (v *Version) Words() string {
	switch {
	case math.IsNaN(v.Difficulty):
		return "expected difficulty: unknown"
	case v.Unknown == 0:
		return fmt.Sprintf("expected difficulty: %+.2f logits", v.Difficulty)
	}
	return fmt.Sprintf("expected difficulty: %+.2f logits, from %d of %d", v.Difficulty, len(v.Planted)-v.Unknown, len(v.Planted))
}

// most restarts of the search for one version, and how many good ones are
// compared for versions that are to be equal.
const (
	mostTries = 400
	compared  = 16
)

// Plant chooses deficiencies that can be set together, lie on different parts,
// are spread over kinds and stations, do not give each other away, are not
// among the recent ones and have the difficulty asked for. The same Ask gives
// the same planting. It fails, saying what stands in the way, where no choice
// keeps what must be kept; what should be kept and could not is in the notes.
func Plant(a Ask) (*Planting, error) {
	list, notes, err := a.pool()
	if err != nil {
		return nil, err
	}
	pool := newShelf(list)
	versions := max(1, a.Versions)
	p := &Planting{Notes: notes}
	for n := range versions {
		v, words, err := a.version(pool, n, p.Versions)
		if err != nil {
			return nil, err
		}
		for _, w := range words {
			if !slices.Contains(p.Notes, w) {
				p.Notes = append(p.Notes, w)
			}
		}
		for _, i := range v.at {
			pool.used[i]++
		}
		p.Versions = append(p.Versions, v)
	}
	p.compare()
	return p, nil
}

// pool is what may be planted at all.
func (a *Ask) pool() ([]Candidate, []string, error) {
	if a.Count < 1 {
		return nil, nil, fmt.Errorf("teach: %d deficiencies to plant; at least 1", a.Count)
	}
	var pool []Candidate
	picture, spoiled, recent := 0, 0, 0
	for _, c := range a.Candidates {
		switch {
		case a.Real && c.Plant == part.PictureOnly:
			picture++
		case a.Real && c.Plant == part.SpoiledPart && !a.Spoiled:
			spoiled++
		case slices.Contains(a.Recent, c.ID):
			recent++
		default:
			pool = append(pool, c)
		}
	}
	parts := map[string]bool{}
	for _, c := range pool {
		parts[c.Part] = true
	}
	if len(parts) < a.Count {
		return nil, nil, fmt.Errorf("teach: %d deficiencies are asked for and only %d parts have one that may be planted (left out: %d only in pictures, %d that need a spoiled training part, %d used lately)",
			a.Count, len(parts), picture, spoiled, recent)
	}
	var notes []string
	known := 0
	for _, c := range pool {
		if c.Difficulty != nil {
			known++
		}
	}
	switch {
	case known == 0:
		notes = append(notes, "difficulty: unknown, there are no results yet; chosen to be balanced by kind")
	case known < len(pool):
		notes = append(notes, fmt.Sprintf("difficulty: known for %d of %d that may be planted", known, len(pool)))
	}
	return pool, notes, nil
}

// version searches one version, the most even with those before it.
func (a *Ask) version(pool *shelf, number int, before []Version) (Version, []string, error) {
	r := a.Seed.source("version", number)
	perKind := (a.Count + pool.numKinds - 1) / pool.numKinds
	perStation := (a.Count + pool.numStations - 1) / pool.numStations
	passes := []bool{false}
	if a.Band != nil && pool.knownParts() >= a.Count {
		passes = []bool{true, false}
	}
	drawn := false
	for _, onlyKnown := range passes {
		if !onlyKnown && drawn {
			break // there are choices of known difficulty, and none is in the band
		}
		var best *Version
		bestCost := math.Inf(1)
		for slack := 0; slack <= a.Count; slack++ {
			enough, good := compared, 0
			if len(before) == 0 {
				enough = 1 // there is nothing to be equal to
			}
			for try := 0; try < mostTries && good < enough; try++ {
				chance := 1.0
				if try >= mostTries/2 {
					chance = 40 // what is best spread is not in the band: let chance weigh more
				}
				v, ok := a.draw(r, pool, perKind+slack, perStation+slack, onlyKnown, chance)
				drawn = drawn || ok
				if !ok || !a.inBand(&v) {
					continue
				}
				good++
				if cost := a.cost(&v, pool, before); cost < bestCost {
					bestCost, best = cost, &v
				}
			}
			if best != nil {
				var notes []string
				if slack > 0 {
					notes = append(notes, fmt.Sprintf("spread: up to %d of one kind and %d at one station, since fewer could not be had", perKind+slack, perStation+slack))
				}
				if a.Band != nil && best.Unknown > 0 {
					notes = append(notes, "the band of difficulty is held for those whose difficulty is known")
				}
				return *best, notes, nil
			}
		}
	}
	why := "no choice was found in which none gives another away"
	if a.Band != nil {
		why = fmt.Sprintf("no choice was found whose mean difficulty is from %g to %g logits", a.Band[0], a.Band[1])
	}
	return Version{}, nil, fmt.Errorf("teach: %d deficiencies: %s", a.Count, why)
}

// draw takes one deficiency after another at random, from stations and kinds
// that have had fewest, and those that earlier versions do not have; chance
// weighs its own part against these.
func (a *Ask) draw(r *rand.Rand, pool *shelf, perKind, perStation int, onlyKnown bool, chance float64) (Version, bool) {
	order := r.Perm(len(pool.list))
	blocked := make([]bool, len(pool.list))
	for i := range blocked {
		blocked[i] = onlyKnown && pool.list[i].Difficulty == nil
	}
	kinds, stations := make([]int, pool.numKinds), make([]int, pool.numStations)
	var picked []int
	for len(picked) < a.Count {
		best, bestCost := -1, math.Inf(1)
		for rank, i := range order {
			kind, station := kinds[pool.kinds[i]], stations[pool.station[i]]
			if blocked[i] || kind >= perKind || station >= perStation {
				continue
			}
			cost := 10*float64(kind) + 4*float64(station) + 6*float64(pool.used[i]) + chance*float64(rank)/float64(len(order))
			if cost < bestCost {
				best, bestCost = i, cost
			}
		}
		if best < 0 {
			return Version{}, false
		}
		for i := range blocked {
			blocked[i] = blocked[i] || pool.conflict(best, i)
		}
		kinds[pool.kinds[best]]++
		stations[pool.station[best]]++
		picked = append(picked, best)
	}
	slices.SortFunc(picked, func(i, j int) int {
		x, y := &pool.list[i], &pool.list[j]
		return cmp.Or(x.Station-y.Station, cmp.Compare(x.ID, y.ID))
	})
	var planted []Candidate
	for _, i := range picked {
		planted = append(planted, pool.list[i])
	}
	v := VersionOf(planted)
	v.at = picked
	return v, true
}

// VersionOf is a version of what was chosen, with how hard that is.
func VersionOf(planted []Candidate) Version {
	v := Version{Planted: planted, Difficulty: math.NaN()}
	sum := 0.0
	for _, c := range planted {
		if c.Difficulty == nil {
			v.Unknown++
		} else {
			sum += *c.Difficulty
		}
	}
	if known := len(planted) - v.Unknown; known > 0 {
		v.Difficulty = sum / float64(known)
	}
	return v
}

func (a *Ask) inBand(v *Version) bool {
	return a.Band == nil || math.IsNaN(v.Difficulty) || v.Difficulty >= a.Band[0] && v.Difficulty <= a.Band[1]
}

// cost is how far a version is from the first one, and how much it repeats.
func (a *Ask) cost(v *Version, pool *shelf, before []Version) float64 {
	cost := 0.0
	for _, i := range v.at {
		cost += float64(pool.used[i])
	}
	if len(before) == 0 {
		return cost
	}
	first := &before[0]
	if d := v.Difficulty - first.Difficulty; !math.IsNaN(d) {
		cost += 4 * math.Abs(d)
	}
	return cost + 2*math.Abs(float64(v.kinds()-first.kinds())) + .5*math.Abs(float64(v.Unknown-first.Unknown))
}

func (v *Version) kinds() int {
	seen := map[string]bool{}
	for _, c := range v.Planted {
		seen[c.Kind] = true
	}
	return len(seen)
}

func (p *Planting) compare() {
	low, high := math.Inf(1), math.Inf(-1)
	fewest, most := math.MaxInt, 0
	for i := range p.Versions {
		v := &p.Versions[i]
		if math.IsNaN(v.Difficulty) {
			low, high = math.NaN(), math.NaN()
		}
		low, high = math.Min(low, v.Difficulty), math.Max(high, v.Difficulty)
		fewest, most = min(fewest, v.kinds()), max(most, v.kinds())
		for j := range i {
			shared := 0
			for _, c := range v.Planted {
				if slices.ContainsFunc(p.Versions[j].Planted, func(o Candidate) bool { return o.ID == c.ID }) {
					shared++
				}
			}
			p.Shared = max(p.Shared, shared)
		}
	}
	p.Spread, p.Kinds = high-low, most-fewest
}

// Words says how equal the versions are.
func (p *Planting) Words() string {
	if len(p.Versions) < 2 {
		return "one version"
	}
	difficulty := "whether they are equally hard is unknown until there are results"
	if !math.IsNaN(p.Spread) {
		difficulty = fmt.Sprintf("their mean difficulties differ by at most %.2f logits", p.Spread)
	}
	return fmt.Sprintf("%d versions: %s; two of them share at most %d deficiencies, and the numbers of kinds differ by at most %d", len(p.Versions), difficulty, p.Shared, p.Kinds)
}
