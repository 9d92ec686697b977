package counts

import (
	"context"
	"fmt"
	"math"
	"slices"

	"hangtrue/internal/engine/rig"
)

// Options of a search.
type Options struct {
	Each     bool    // every leg with chain on its own
	Low      int     // lowest count tried; 0: the lowest that practice allows for a search, 1 for a map
	High     int     // highest count tried; 0: as the chains allow
	Pair     []Group // for a map: these two groups, from [Choosable]; none: those of [Groups]
	Workers  int     // goroutines to use; 0: one
	Most     int     // how many of the best to return; 0: 10
	Progress func(done, total int)
}

// narrow leaves of each group's counts those that a search tries.
func (o *Options) narrow(r *rig.Rig, groups []Group) error {
	low := o.Low
	if low == 0 {
		low = r.LowestCount()
	}
	for k := range groups {
		g := &groups[k]
		if o.High > 0 && o.High < g.High {
			g.High = o.High
		}
		if o.Low == 0 { // a chain too short for the practice is still searched
			low = min(low, g.High)
		}
		g.Low = max(g.Low, low)
		if g.Low > g.High {
			return fmt.Errorf("counts: no count from %d to %d suits group %s, whose chain allows up to %d", low, g.High, g.Name, g.most)
		}
	}
	return nil
}

// Choice is one set of counts and what it does.
type Choice struct {
	Counts    []int // one for each group
	Point     Point
	Different int // how many different counts there are
	OneOff    int // of the rigs with one group one link off, how many break a limit
	Of        int // how many such rigs there are
}

// Finding is the outcome of a search.
type Finding struct {
	Groups  []Group
	Tried   int
	Stopped bool     // the context ended the search; what it had until then is here
	Whole   bool     // every choice was tried; otherwise the best of its 3ⁿ−1 neighbours was sought
	Best    []Choice // within the limits, best first; empty where there are none
	Within  int      // how many of the choices tried keep the limits
	Plan    *Choice  // the counts of the rig as planned, where there are any
	Nearest *Choice  // where none keeps the limits: the one that breaks them least
}

// Counts returns the counts of a choice by leg.
func (f *Finding) Counts(c Choice) map[string]int {
	out := map[string]int{}
	for k, g := range f.Groups {
		for _, id := range g.IDs {
			out[id] = c.Counts[k]
		}
	}
	return out
}

// search is one search with everything tried so far.
type search struct {
	t      *table
	groups []Group
	known  map[string]Point // by key
}

// Find searches the counts of a rig: all of them for one or two groups; for
// more, downhill from many starts with strides from 16 links down to one, until
// no neighbour (each group one link less, the same, or one more) is better.
// Counts below the lowest that practice allows are not tried. When ctx ends it
// returns the best of what it has tried, with Stopped set.
func Find(ctx context.Context, r *rig.Rig, o Options) (*Finding, error) {
	groups, err := Groups(r, o.Each)
	if err != nil {
		return nil, err
	}
	if err := o.narrow(r, groups); err != nil {
		return nil, err
	}
	t, err := newTable(r, groups, o.Workers)
	if err != nil {
		return nil, err
	}
	s := &search{t: t, groups: groups, known: map[string]Point{}}
	f := &Finding{Groups: groups}
	if len(groups) <= 2 {
		f.Whole = true
		err = s.whole(ctx, o.Progress)
	} else {
		err = s.downhill(ctx, o.Progress)
	}
	if err != nil && ctx.Err() == nil {
		return nil, err
	}
	if f.Stopped = ctx.Err() != nil; f.Stopped {
		f.Whole = false
		if len(s.known) == 0 {
			return f, nil
		}
		// To order what there is takes a few solves more.
		ctx = context.WithoutCancel(ctx)
	}
	return f, s.conclude(ctx, f, o)
}

func key(c []int) string { return fmt.Sprint(c) }

// need solves those of the choices that are not known yet.
func (s *search) need(ctx context.Context, choices [][]int, done func(int)) error {
	var list [][]int
	have := map[string]bool{}
	for _, c := range choices {
		k := key(c)
		if _, known := s.known[k]; !known && !have[k] {
			have[k] = true
			list = append(list, slices.Clone(c))
		}
	}
	points, solved, err := s.t.all(ctx, list, done)
	for i, c := range list {
		if solved[i] {
			s.known[key(c)] = points[i]
		}
	}
	return err
}

// whole tries every choice of one or two groups.
func (s *search) whole(ctx context.Context, progress func(done, total int)) error {
	var list [][]int
	c := make([]int, len(s.groups))
	var fill func(k int)
	fill = func(k int) {
		if k == len(s.groups) {
			list = append(list, slices.Clone(c))
			return
		}
		for n := s.groups[k].Low; n <= s.groups[k].High; n++ {
			c[k] = n
			fill(k + 1)
		}
	}
	fill(0)
	return s.need(ctx, list, func(n int) {
		if progress != nil {
			progress(n, len(list))
		}
	})
}

// downhill goes from several starts to choices that no neighbour betters.
func (s *search) downhill(ctx context.Context, progress func(done, total int)) error {
	starts := s.starts()
	for i, at := range starts {
		for stride := 16; stride >= 1; {
			better, err := s.bestNear(ctx, at, stride)
			if err != nil {
				return err
			}
			if slices.Equal(better, at) {
				stride /= 2
				continue
			}
			at = better
		}
		if progress != nil {
			progress(i+1, len(starts))
		}
	}
	return nil
}

// starts spreads starting choices over the chain: the plan, equal counts, and
// each group once short against the others.
func (s *search) starts() [][]int {
	var out [][]int
	add := func(f func(g *Group, k int) float64) {
		c := make([]int, len(s.groups))
		for k := range s.groups {
			g := &s.groups[k]
			c[k] = g.Low + int(math.Round(f(g, k)*float64(g.High-g.Low)))
		}
		out = append(out, c)
	}
	plan := make([]int, len(s.groups))
	for k, g := range s.groups {
		plan[k] = min(max(g.Planned, g.Low), g.High)
	}
	out = append(out, plan)
	for _, x := range []float64{0, 0.3, 0.6, 0.9} {
		add(func(*Group, int) float64 { return x })
	}
	for j := range s.groups {
		add(func(_ *Group, k int) float64 {
			if k == j {
				return 0.5
			}
			return 0.1
		})
	}
	return out
}

// bestNear returns the best of a choice and its neighbours at a stride.
func (s *search) bestNear(ctx context.Context, at []int, stride int) ([]int, error) {
	near := s.neighbours(at, stride)
	if err := s.need(ctx, append(near, at), nil); err != nil {
		return nil, err
	}
	best := at
	for _, c := range near {
		better, err := s.better(ctx, c, best)
		if err != nil {
			return nil, err
		}
		if better {
			best = c
		}
	}
	return best, nil
}

// neighbours lists the choices with each group one stride down, the same or one
// up, other than the choice itself; with more than four groups only those where
// one or two groups move.
func (s *search) neighbours(at []int, stride int) [][]int {
	var out [][]int
	c := slices.Clone(at)
	most := len(at)
	if most > 4 {
		most = 2
	}
	var fill func(k, moved int)
	fill = func(k, moved int) {
		if k == len(at) {
			if moved > 0 {
				out = append(out, slices.Clone(c))
			}
			return
		}
		c[k] = at[k]
		fill(k+1, moved)
		for _, by := range []int{-stride, stride} {
			if n := at[k] + by; moved < most && n >= s.groups[k].Low && n <= s.groups[k].High {
				c[k] = n
				fill(k+1, moved+1)
				c[k] = at[k]
			}
		}
	}
	fill(0, 0)
	return out
}

// step is the coarseness at which shares of rating are told apart.
const step = 0.01

// better reports whether choice a comes before choice b in the order of the
// package.
func (s *search) better(ctx context.Context, a, b []int) (bool, error) {
	pa, pb := s.known[key(a)], s.known[key(b)]
	if ba, bb := math.Round(pa.Break*1e6), math.Round(pb.Break*1e6); ba != bb {
		return ba < bb, nil
	}
	if ua, ub := math.Ceil(pa.Load()/step-1e-9), math.Ceil(pb.Load()/step-1e-9); ua != ub {
		return ua < ub, nil
	}
	if da, db := different(a), different(b); da != db {
		return da < db, nil
	}
	oa, _, err := s.oneOff(ctx, a)
	if err != nil {
		return false, err
	}
	ob, _, err := s.oneOff(ctx, b)
	if err != nil {
		return false, err
	}
	if oa != ob {
		return oa < ob, nil
	}
	if la, lb := fine(pa), fine(pb); la != lb {
		return la < lb, nil
	}
	return slices.Compare(a, b) < 0, nil
}

// fine is a choice's load in steps far above what is left of it by the solver's
// residual, so that equal loads are equal on every machine.
func fine(p Point) float64 { return math.Round(p.Load() * 1e5) }

func different(c []int) int {
	s := slices.Sorted(slices.Values(c))
	return len(slices.Compact(s))
}

// oneOff counts, of the rigs with one group one link off, those that break a
// limit.
func (s *search) oneOff(ctx context.Context, c []int) (broken, of int, err error) {
	var list [][]int
	for k := range c {
		for _, by := range []int{-1, 1} {
			if n := c[k] + by; n >= 1 && n <= s.groups[k].most {
				o := slices.Clone(c)
				o[k] = n
				list = append(list, o)
			}
		}
	}
	if err := s.need(ctx, list, nil); err != nil {
		return 0, 0, err
	}
	for _, o := range list {
		if p := s.known[key(o)]; !p.Within() {
			broken++
		}
	}
	return broken, len(list), nil
}

// conclude sorts what is known and fills in the finding.
func (s *search) conclude(ctx context.Context, f *Finding, o Options) error {
	most := o.Most
	if most == 0 {
		most = 10
	}
	f.Tried = len(s.known)
	var list [][]int
	for k, p := range s.known {
		c := parse(k)
		if !wanted(c, s.groups) {
			continue // tried only as one link off
		}
		if p.Within() {
			f.Within++
		}
		list = append(list, c)
	}
	// A first, cheap order leaves few to compare in full.
	slices.SortFunc(list, func(a, b []int) int {
		pa, pb := s.known[key(a)], s.known[key(b)]
		switch {
		case pa.Break != pb.Break && math.Round(pa.Break*1e6) != math.Round(pb.Break*1e6):
			return less(pa.Break < pb.Break)
		case fine(pa) != fine(pb):
			return less(fine(pa) < fine(pb))
		}
		return slices.Compare(a, b)
	})
	list = list[:min(len(list), s.worthComparing(list, most))]
	var failed error
	slices.SortFunc(list, func(a, b []int) int {
		x, err := s.better(ctx, a, b)
		if err != nil {
			failed = err
		}
		if slices.Equal(a, b) {
			return 0
		}
		return less(x)
	})
	if failed != nil {
		return failed
	}
	for i, c := range list {
		choice, err := s.choice(ctx, c)
		if err != nil {
			return err
		}
		if !choice.Point.Within() {
			if i == 0 {
				f.Nearest = &choice
			}
			break
		}
		if f.Best = append(f.Best, choice); len(f.Best) == most {
			break
		}
	}
	return s.plan(ctx, f)
}

func less(b bool) int {
	if b {
		return -1
	}
	return 1
}

// worthComparing returns how many of the cheaply ordered choices can be among
// the best: those in the same step of share as the last wanted one.
func (s *search) worthComparing(list [][]int, most int) int {
	if len(list) <= most {
		return len(list)
	}
	last := s.known[key(list[most-1])]
	n := most
	for n < len(list) && n < 2000 {
		p := s.known[key(list[n])]
		if p.Within() != last.Within() || math.Ceil(p.Load()/step-1e-9) > math.Ceil(last.Load()/step-1e-9) {
			break
		}
		n++
	}
	return n
}

// wanted reports whether the counts are among those that were to be tried.
func wanted(c []int, groups []Group) bool {
	for k, n := range c {
		if n < groups[k].Low || n > groups[k].High {
			return false
		}
	}
	return true
}

func (s *search) choice(ctx context.Context, c []int) (Choice, error) {
	broken, of, err := s.oneOff(ctx, c)
	return Choice{Counts: c, Point: s.known[key(c)], Different: different(c), OneOff: broken, Of: of}, err
}

// plan adds what the counts of the rig as planned do.
func (s *search) plan(ctx context.Context, f *Finding) error {
	c := make([]int, len(s.groups))
	for k, g := range s.groups {
		if g.Planned == 0 {
			return nil
		}
		c[k] = g.Planned
	}
	if err := s.need(ctx, [][]int{c}, nil); err != nil {
		return err
	}
	choice, err := s.choice(ctx, c)
	f.Plan = &choice
	return err
}

func parse(k string) []int {
	var out []int
	n, in := 0, false
	for _, r := range k {
		if r >= '0' && r <= '9' {
			n, in = 10*n+int(r-'0'), true
			continue
		}
		if in {
			out = append(out, n)
			n, in = 0, false
		}
	}
	return out
}
