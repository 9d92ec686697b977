package spread

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"
	"sync/atomic"

	"hangtrue/internal/engine/rig"
)

// Options of a spread.
type Options struct {
	Tolerances Tolerances
	Cases      int // 0: 10,000; at least 100
	Seed       uint64
	Workers    int                   // goroutines; 0: one
	Progress   func(done, total int) // of the cases
	Further    func(done, total int) // of the solves for the effects, after them
	NoEffects  bool                  // leave out which input matters most
}

// Spread is the outcome.
type Spread struct {
	Tolerances Tolerances
	Seed       uint64
	Cases      int // cases solved; fewer than asked for when it was stopped
	Asked      int
	Stopped    bool
	Over       int          // cases in which a limit is passed: a pull, a leg angle, a band
	Fallen     int          // of them, cases in which a body tips over
	Unsettled  int          // cases that the computation did not settle; counted in none of the figures below
	LegsRated  bool         // a leg is rated
	Use        Distribution // highest share of rating of a leg; of any limit where no leg is rated
	Pitch      Distribution // rad
	Roll       Distribution // rad
	Slack      int          // cases with a slack leg
	Worst      []Case       // the cases with the highest such share, highest first
	Effects    []Effect     // most important for the highest share first; empty when left out or stopped
	EffectRuns int          // solves that the effects took
}

// UseWords names what [Spread.Use] is a share of.
func (s *Spread) UseWords() string {
	if s.LegsRated {
		return "most used leg"
	}
	return "highest share of any limit"
}

// Distribution of one result over the cases.
type Distribution struct {
	Planned float64 // in the rig as entered
	Least   float64
	Most    float64
	Mean    float64
	At      [5]float64 // at 1, 5, 50, 95 and 99 of 100 cases, in order of size
	Bins    []int      // counts in equal steps from Least to Most
}

// Quantiles are the shares of cases that Distribution.At stands at.
var Quantiles = [5]float64{0.01, 0.05, 0.5, 0.95, 0.99}

// Case is one case tried.
type Case struct {
	Index int
	Use   float64
	About string // which limit
	Pitch float64
	Roll  float64
}

// Effect is how much a group of inputs matters: total effects, shares of
// variance.
type Effect struct {
	Name             string
	Use, Pitch, Roll float64
}

// Run solves the spread of a rig. When ctx ends it returns what it has, with
// Stopped set.
func Run(ctx context.Context, r *rig.Rig, o Options) (*Spread, error) {
	if open := r.Open(); len(open) > 0 {
		return nil, &rig.OpenCounts{Legs: open}
	}
	if w := o.Tolerances.Wrong(); w != "" {
		return nil, errors.New("spread: " + w)
	}
	if o.Cases == 0 {
		o.Cases = 10000
	}
	if o.Cases < 100 || o.Cases > 1000000 {
		return nil, fmt.Errorf("spread: %d cases; from 100 to 1,000,000 make sense", o.Cases)
	}
	s := &sampler{r: r, list: inputs(r, o.Tolerances)}
	if len(s.list) == 0 {
		return nil, errors.New("spread: every tolerance is zero, so nothing varies")
	}
	for range max(1, o.Workers) {
		trial, err := rig.NewTrial(r)
		if err != nil {
			return nil, err
		}
		s.trials = append(s.trials, trial)
		s.changes = append(s.changes, s.blank())
	}
	out := &Spread{Tolerances: o.Tolerances, Seed: o.Seed, Asked: o.Cases, LegsRated: r.LegsRated()}
	cases := s.cases(ctx, o)
	out.summarize(cases, s.planned())
	out.Stopped = ctx.Err() != nil
	if out.Stopped || o.NoEffects {
		return out, nil
	}
	if err := out.effects(ctx, s, o); err != nil {
		out.Stopped = true
	}
	return out, nil
}

// sampler solves cases on several goroutines.
type sampler struct {
	r       *rig.Rig
	list    []input
	trials  []*rig.Trial
	changes []rig.Change
}

func (s *sampler) blank() rig.Change {
	return rig.Change{
		Counts: make([]int, len(s.r.Legs())), Longer: make([]float64, len(s.r.Legs())), Soft: make([]float64, len(s.r.Legs())),
		Mass: make([]float64, len(s.r.Bodies())), CG: make([]rig.Vec, len(s.r.Bodies())), Point: make([]rig.Vec, len(s.r.PointRefs())),
	}
}

// try solves the rig at a point of the unit cube. Cases of legs longer and
// shorter are left out: here every leg's length varies by itself.
func (s *sampler) try(worker int, x []float64) *rig.Trialled {
	c := &s.changes[worker]
	for i, in := range s.list {
		in.apply(c, 2*x[i]-1)
	}
	c.Nominal = true
	return s.trials[worker].Try(*c)
}

func (s *sampler) planned() result {
	c := s.blank()
	c.Nominal = true
	return resultOf(s.trials[0].Try(c))
}

// each calls f for every number below n on all workers, in batches, until ctx
// ends.
func (s *sampler) each(ctx context.Context, n int, f func(worker, i int)) error {
	const batch = 64
	var next int
	var lock sync.Mutex
	var wait sync.WaitGroup
	for worker := range s.trials {
		wait.Go(func() {
			for ctx.Err() == nil {
				lock.Lock()
				from := next
				next = min(n, next+batch)
				to := next
				lock.Unlock()
				if from == to {
					return
				}
				for i := from; i < to; i++ {
					f(worker, i)
				}
			}
		})
	}
	wait.Wait()
	return ctx.Err()
}

// result is what one case gave.
type result struct {
	done, settled, falls, over bool
	use, pitch, roll           float64
	about                      string
	slack                      bool
}

func resultOf(t *rig.Trialled) result {
	use := t.LegUse
	if use == 0 {
		use = t.Use
	}
	return result{
		done: true, settled: t.Settled, falls: t.Falls, over: t.Violation() > 0,
		use: use, pitch: t.Pitch, roll: t.Roll, about: t.About, slack: t.Slack > 0,
	}
}

func (s *sampler) cases(ctx context.Context, o Options) []result {
	h := newHalton(len(s.list), o.Seed)
	out := make([]result, o.Cases)
	var lock sync.Mutex
	done := 0
	points := make([][]float64, len(s.trials))
	for w := range points {
		points[w] = make([]float64, len(s.list))
	}
	// What was solved before a stop is kept, so the error says nothing new.
	_ = s.each(ctx, o.Cases, func(worker, i int) {
		h.at(i+1, points[worker])
		out[i] = resultOf(s.try(worker, points[worker]))
		if o.Progress != nil && i%256 == 0 {
			lock.Lock()
			done = max(done, i)
			o.Progress(done, o.Cases)
			lock.Unlock()
		}
	})
	return out
}

func (s *Spread) summarize(cases []result, planned result) {
	var use, pitch, roll []float64
	for i, c := range cases {
		if !c.done {
			continue
		}
		s.Cases++
		if !c.settled {
			s.Unsettled++
			continue
		}
		if c.over {
			s.Over++
		}
		if c.falls {
			s.Fallen++
		}
		if c.slack {
			s.Slack++
		}
		use, pitch, roll = append(use, c.use), append(pitch, c.pitch), append(roll, c.roll)
		s.Worst = append(s.Worst, Case{i, c.use, c.about, c.pitch, c.roll})
	}
	slices.SortStableFunc(s.Worst, func(a, b Case) int {
		switch {
		case a.Use > b.Use:
			return -1
		case a.Use < b.Use:
			return 1
		}
		return a.Index - b.Index
	})
	s.Worst = slices.Clone(s.Worst[:min(5, len(s.Worst))])
	s.Use, s.Pitch, s.Roll = distribution(use, planned.use), distribution(pitch, planned.pitch), distribution(roll, planned.roll)
}

func distribution(x []float64, planned float64) Distribution {
	d := Distribution{Planned: planned}
	if len(x) == 0 {
		return d
	}
	for _, v := range x {
		d.Mean += v / float64(len(x))
	}
	slices.Sort(x)
	d.Least, d.Most = x[0], x[len(x)-1]
	for i, q := range Quantiles {
		d.At[i] = x[int(math.Round(q*float64(len(x)-1)))]
	}
	d.Bins = make([]int, 24)
	for _, v := range x {
		k := 0
		if d.Most > d.Least {
			k = min(len(d.Bins)-1, int((v-d.Least)/(d.Most-d.Least)*float64(len(d.Bins))))
		}
		d.Bins[k]++
	}
	return d
}

// effects works out which inputs matter.
func (s *Spread) effects(ctx context.Context, sm *sampler, o Options) error {
	var groups [][]int
	var names []string
	for g, name := range Names {
		var list []int
		for d, in := range sm.list {
			if in.group == g {
				list = append(list, d)
			}
		}
		if len(list) > 0 {
			groups, names = append(groups, list), append(names, name)
		}
	}
	n := max(256, o.Cases/(len(groups)+2))
	s.EffectRuns = n * (len(groups) + 2)
	var done atomic.Int64
	effects, err := totalEffects(ctx, len(sm.list), groups, n, 3, o.Seed+1, sm.each, func(worker int, x, out []float64) {
		t := sm.try(worker, x)
		if k := done.Add(1); o.Further != nil && k%256 == 0 {
			o.Further(int(k), s.EffectRuns)
		}
		x0 := resultOf(t)
		out[0], out[1], out[2] = x0.use, x0.pitch, x0.roll
	})
	if err != nil {
		return err
	}
	for g, name := range names {
		s.Effects = append(s.Effects, Effect{name, effects[g][0], effects[g][1], effects[g][2]})
	}
	slices.SortStableFunc(s.Effects, func(a, b Effect) int {
		switch {
		case a.Use > b.Use:
			return -1
		case a.Use < b.Use:
			return 1
		}
		return 0
	})
	return nil
}

// Words is the outcome in one sentence for riggers.
func (s *Spread) Words() string {
	text := fmt.Sprintf("over a limit in %d of %d tried cases, for the tolerances entered", s.Over, s.Cases)
	if s.Fallen > 0 {
		text += fmt.Sprintf("; in %d of them a body tips over", s.Fallen)
	}
	if s.Unsettled > 0 {
		text += fmt.Sprintf("; %d cases did not settle", s.Unsettled)
	}
	if s.Stopped && s.Cases < s.Asked {
		text += fmt.Sprintf(" (stopped before the %d asked for)", s.Asked)
	}
	return text
}
