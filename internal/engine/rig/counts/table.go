package counts

import (
	"context"
	"sync"

	"hangtrue/internal/engine/rig"
)

// Point is what one choice of counts does.
type Point struct {
	Settled bool
	Falls   bool
	Pitch   float64 // rad, of the body that is worst in its band
	Roll    float64 // rad
	LegUse  float64 // highest share of rating of a leg, in the worst case judged; the highest share of any limit where no leg is rated
	Use     float64 // highest share of any limit of force, in the worst case judged
	About   string  // which limit that is
	Slack   int
	Break   float64 // how far limits are broken; 0 where all are kept: see [rig.Trialled.Violation]
}

// Within reports whether every limit that depends on counts is kept.
func (p *Point) Within() bool { return p.Break == 0 }

func pointOf(t *rig.Trialled) Point {
	p := Point{
		Settled: t.Settled, Falls: t.Falls, Pitch: t.Pitch, Roll: t.Roll, LegUse: t.LegUse,
		Use: t.Use, About: t.About, Slack: t.Slack, Break: t.Violation(),
	}
	if p.LegUse == 0 {
		p.LegUse = p.Use
	}
	return p
}

// table solves choices of counts on several cores, each choice once.
type table struct {
	r      *rig.Rig
	groups []Group
	trials []*rig.Trial
	ground bool // several bodies may come to rest in several ways: each choice from the ground
}

// newTable makes a table with a trial for each of the workers, at least one.
func newTable(r *rig.Rig, groups []Group, workers int) (*table, error) {
	t := &table{r: r, groups: groups, ground: len(r.Bodies()) > 1}
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
					points[i], solved[i] = pointOf(trial.Try(rig.Change{Counts: counts, Follow: follow, Ground: t.ground})), true
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
