package counts

import (
	"context"
	"slices"
	"sync"

	"hangtrue/internal/engine/rig"
)

// Point is what one choice of counts does.
type Point struct {
	Settled bool
	Falls   bool
	Pitch   float64 // rad, of the body that is worst in its band
	Roll    float64 // rad
	Rated   bool    // a leg of the rig is rated
	LegUse  float64 // highest share of rating of a leg, in the worst case judged; 0 where no leg is rated
	LegPull float64 // largest pull along a leg in the worst case judged, as a share of the whole weight
	Use     float64 // highest share of any limit of force, in the worst case judged
	About   string  // which limit that is
	Slack   int
	Break   float64 // how far limits are broken; 0 where all are kept: see [rig.Trialled.Violation]
}

// Within reports whether every limit that depends on counts is kept.
func (p *Point) Within() bool { return p.Break == 0 }

// Load is what choices are ordered by and what the map shows: the share of its
// rating of the most used leg; where no leg is rated, the largest pull along a
// leg as a share of the weight.
func (p *Point) Load() float64 {
	if p.Rated {
		return p.LegUse
	}
	return p.LegPull
}

// LoadWords names what [Point.Load] is of a rig.
func LoadWords(r *rig.Rig) string {
	if r.LegsRated() {
		return "most used leg"
	}
	return "most pulled leg, of the weight"
}

func (t *table) point(x *rig.Trialled) Point {
	p := Point{
		Settled: x.Settled, Falls: x.Falls, Pitch: x.Pitch, Roll: x.Roll, Rated: t.rated, LegUse: x.LegUse,
		Use: x.Use, About: x.About, Slack: x.Slack, Break: x.Violation(),
	}
	if x.Settled && t.weight > 0 {
		p.LegPull = slices.Max(x.Worst) / t.weight
	}
	return p
}

// table solves choices of counts on several cores, each choice once.
type table struct {
	r      *rig.Rig
	groups []Group
	trials []*rig.Trial
	rated  bool    // a leg is rated
	weight float64 // N, of the rig
	ground bool    // several bodies may come to rest in several ways: each choice from the ground
}

// newTable makes a table with a trial for each of the workers, at least one.
func newTable(r *rig.Rig, groups []Group, workers int) (*table, error) {
	t := &table{r: r, groups: groups, rated: r.LegsRated(), weight: r.Weight(), ground: len(r.Bodies()) > 1}
	for range max(1, workers) {
		trial, err := rig.NewTrial(r)
		if err != nil {
			return nil, err
		}
		t.trials = append(t.trials, trial)
	}
	return t, nil
}

// all solves every choice in the list; the result at each place belongs to the
// choice at that place and does not depend on the number of workers. Done is
// called now and then with how many are solved. It stops early when ctx ends;
// solved says which it has.
func (t *table) all(ctx context.Context, choices [][]int, done func(n int)) (points []Point, solved []bool, err error) {
	points, solved = make([]Point, len(choices)), make([]bool, len(choices))
	const batch = 32
	var next, count int
	var lock sync.Mutex
	var wait sync.WaitGroup
	for _, trial := range t.trials {
		wait.Go(func() {
			counts := make([]int, len(t.r.Legs()))
			for ctx.Err() == nil {
				lock.Lock()
				from := next
				next = min(next+batch, len(choices))
				to := next
				lock.Unlock()
				if from == to {
					return
				}
				for i := from; i < to; i++ {
					for k, g := range t.groups {
						for _, leg := range g.Legs {
							counts[leg] = choices[i][k]
						}
					}
					// Within a batch a choice near the one before goes on from it. Batches
					// begin at fixed places, so who works on which changes nothing. A single
					// body on its legs comes to rest in one way only, as far as tried.
					follow := i > from && near(choices[i], choices[i-1])
					points[i], solved[i] = t.point(trial.Try(rig.Change{Counts: counts, Follow: follow, Ground: t.ground})), true
				}
				lock.Lock()
				count += to - from
				if done != nil {
					done(count)
				}
				lock.Unlock()
			}
		})
	}
	wait.Wait()
	return points, solved, ctx.Err()
}

// near reports whether two choices differ by at most two links in every group.
func near(a, b []int) bool {
	for k := range a {
		if d := a[k] - b[k]; d < -2 || d > 2 {
			return false
		}
	}
	return true
}
