package teach

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"slices"
	"time"
)

// Lane is a place where groups are tested, as a rotation needs it.
type Lane struct {
	ID     string
	Load   string // lanes on one load are versions of it: no group comes to a load twice
	Grader string // the same grader can be at one lane at a time
	Takes  time.Duration
	Reset  time.Duration // to put the load back before the next group
}

// Slot is a group at a lane.
type Slot struct {
	Group, Lane string
	From, To    time.Duration // from the start of the day
}

// Rotation is who goes where and when.
type Rotation struct {
	Slots []Slot        // by time, then by lane
	Ends  time.Duration // of the last slot
	Idle  time.Duration // waiting between slots, over all groups
	// Bound is an end that no rotation can beat: the longest that one group, one
	// grader or one load's lanes need.
	Bound time.Duration
}

// rotations tried, each from another order. Common practice, no source.
const rotationTries = 3000

// Rotate plans a test day: each group comes once to each load, at one of its
// lanes; a lane, a group and a grader do one thing at a time. Of many rotations
// made by a random order of what is still to do, each put as early as it fits
// (list scheduling, Graham 1966), the one that ends first is taken, and of those
// the one with the least waiting. It need not be the best there is; Bound says
// how far from it it can be at most. The same seed gives the same rotation.
func Rotate(groups []string, lanes []Lane, seed Seed) (*Rotation, error) {
	if err := checkRotation(groups, lanes); err != nil {
		return nil, err
	}
	var loads []string
	for _, l := range lanes {
		if !slices.Contains(loads, l.Load) {
			loads = append(loads, l.Load)
		}
	}
	r := seed.source("rotation", 0)
	tries := max(200, min(rotationTries, 2_000_000/max(1, len(groups)*len(loads)*len(groups)*len(loads))))
	var best *Rotation
	bound := rotationBound(groups, lanes, loads)
	for try := range tries {
		x := oneRotation(groups, lanes, loads, r, try)
		if best == nil || x.Ends < best.Ends || x.Ends == best.Ends && x.Idle < best.Idle {
			best = x
		}
		if best.Ends == bound && best.Idle == 0 {
			break
		}
	}
	best.Bound = bound
	return best, nil
}

func checkRotation(groups []string, lanes []Lane) error {
	if len(groups) == 0 || len(lanes) == 0 {
		return fmt.Errorf("teach: a rotation needs a group and a lane")
	}
	seen := map[string]bool{}
	for _, g := range groups {
		if seen["g"+g] {
			return fmt.Errorf("teach: group %q is there twice", g)
		}
		seen["g"+g] = true
	}
	for _, l := range lanes {
		if seen["l"+l.ID] {
			return fmt.Errorf("teach: lane %q is there twice", l.ID)
		}
		seen["l"+l.ID] = true
		if l.Takes <= 0 || l.Reset < 0 {
			return fmt.Errorf("teach: lane %q takes %v and %v to put back", l.ID, l.Takes, l.Reset)
		}
	}
	return nil
}

func rotationBound(groups []string, lanes []Lane, loads []string) time.Duration {
	var each, bound time.Duration
	for _, load := range loads {
		shortest, n := time.Duration(1<<63-1), 0
		var reset time.Duration
		for _, l := range lanes {
			if l.Load == load {
				shortest, reset = min(shortest, l.Takes), max(reset, l.Reset)
				n++
			}
		}
		each += shortest
		turns := time.Duration((len(groups) + n - 1) / n) // at the busiest of its lanes
		least := shortest
		for _, l := range lanes {
			if l.Load == load {
				least = min(least, l.Takes+l.Reset)
			}
		}
		bound = max(bound, turns*shortest)
		if n == 1 {
			bound = max(bound, turns*(shortest+reset)-reset)
		}
	}
	return max(bound, each)
}

// oneRotation puts what is still to do as early as it fits, in an order that
// differs from try to try.
func oneRotation(groups []string, lanes []Lane, loads []string, r *rand.Rand, try int) *Rotation {
	freeGroup := map[string]time.Duration{}
	freeLane := map[string]time.Duration{}
	freeGrader := map[string]time.Duration{}
	type task struct{ group, load int }
	var tasks []task
	for g := range groups {
		for l := range loads {
			tasks = append(tasks, task{g, l})
		}
	}
	if try == 0 {
		// In turn: group g begins at load g, which is the best there is where all
		// lanes take the same time.
		slices.SortStableFunc(tasks, func(a, b task) int {
			n := max(len(loads), len(groups))
			return cmp.Compare(((a.load-a.group)%n+n)%n, ((b.load-b.group)%n+n)%n)
		})
	} else {
		r.Shuffle(len(tasks), func(i, j int) { tasks[i], tasks[j] = tasks[j], tasks[i] })
	}
	x := &Rotation{}
	start := func(t task, l *Lane) time.Duration {
		at := max(freeGroup[groups[t.group]], freeLane[l.ID])
		if l.Grader != "" {
			at = max(at, freeGrader[l.Grader])
		}
		return at
	}
	for len(tasks) > 0 {
		// What can begin first goes first; of those, the earliest in the order.
		best, bestLane := 0, -1
		var bestAt, bestEnd time.Duration
		for i, t := range tasks {
			for k := range lanes {
				l := &lanes[k]
				if l.Load != loads[t.load] {
					continue
				}
				at := start(t, l)
				if end := at + l.Takes; bestLane < 0 || at < bestAt || at == bestAt && i == best && end < bestEnd {
					best, bestLane, bestAt, bestEnd = i, k, at, end
				}
			}
		}
		t, l := tasks[best], &lanes[bestLane]
		tasks = slices.Delete(tasks, best, best+1)
		x.Slots = append(x.Slots, Slot{groups[t.group], l.ID, bestAt, bestEnd})
		freeGroup[groups[t.group]] = bestEnd
		freeLane[l.ID] = bestEnd + l.Reset
		if l.Grader != "" {
			freeGrader[l.Grader] = bestEnd
		}
		x.Ends = max(x.Ends, bestEnd)
	}
	slices.SortFunc(x.Slots, func(a, b Slot) int {
		return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.Lane, b.Lane))
	})
	last := map[string]time.Duration{}
	for _, s := range x.Slots {
		if was, ok := last[s.Group]; ok {
			x.Idle += s.From - was
		} else {
			x.Idle += s.From
		}
		last[s.Group] = s.To
	}
	return x
}
