package fault

import (
	"cmp"
	"context"
	"math"
	"slices"
	"sync"

	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/rig"
)

// Table is what each single fault does to a rig.
type Table struct {
	Plan    Row   // as planned, to compare with
	Rows    []Row // gravest first
	Omitted []Omitted
	Tried   int // faults worked out, of Listed
	Listed  int
}

// Omitted is a fault that the rig cannot have, with the reason.
type Omitted struct {
	Fault Fault
	What  string
	Why   string
}

// Options say how much is tried.
type Options struct {
	MaxLinks int                   // links off either way; 0: [MaxLinks]
	Workers  int                   // solved at the same time; below 1: one
	Progress func(done, total int) // called after each fault, from one goroutine at a time; may be nil
}

// Work makes every single fault of [List] on the rig, hangs it, and lists the
// rows by what they may end in, then by result, then by the highest share of
// rating, then by how far the load leans from the plan. The order does not
// depend on how many workers there are.
//
// It fails where counts are still to be found. Where ctx is done it returns
// what it has by then, with the context's error.
func Work(ctx context.Context, r *rig.Rig, o Options) (*Table, error) {
	plan, err := rig.HangWithin(ctx, r)
	if err != nil {
		return nil, err
	}
	if o.MaxLinks == 0 {
		o.MaxLinks = MaxLinks
	}
	w := worker{r: r, plan: plan, ran: runFreely(r), crossings: Crossings(plan), show: r.Show().Angle}
	t := &Table{Plan: w.planned()}
	w.slack = t.Plan.Slack
	list := List(r, o.MaxLinks)
	rows := make([]*Row, len(list))
	omitted := make([]*Omitted, len(list))
	var lock sync.Mutex
	next := 0
	var all sync.WaitGroup
	for range max(1, o.Workers) {
		all.Go(func() {
			for ctx.Err() == nil {
				lock.Lock()
				i := next
				next++
				lock.Unlock()
				if i >= len(list) {
					return
				}
				row, left := w.row(ctx, list[i])
				if row == nil && ctx.Err() != nil {
					return // it did not get its time: neither tried nor left out
				}
				lock.Lock()
				rows[i], omitted[i] = row, left
				t.Tried++
				if o.Progress != nil {
					o.Progress(t.Tried, len(list))
				}
				lock.Unlock()
			}
		})
	}
	all.Wait()
	t.Listed = len(list)
	for i := range list {
		if rows[i] != nil {
			t.Rows = append(t.Rows, *rows[i])
		}
		if omitted[i] != nil {
			t.Omitted = append(t.Omitted, *omitted[i])
		}
	}
	slices.SortStableFunc(t.Rows, order)
	return t, ctx.Err()
}

// order compares two rows. Numbers that differ by rounding only are equal, so
// that left and right of a rig that is the same on both sides keep the order of
// its file.
func order(x, y Row) int {
	rounded := func(v float64) float64 { return math.Round(v * 1e6) }
	return cmp.Or(
		cmp.Compare(part.Gravity(x.Ends), part.Gravity(y.Ends)),
		cmp.Compare(y.Result, x.Result),
		cmp.Compare(rounded(y.Use), rounded(x.Use)),
		cmp.Compare(rounded(y.Moved), rounded(x.Moved)),
	)
}

// worker makes rows. It is not changed while it does.
type worker struct {
	r         *rig.Rig
	plan      *rig.Answer
	ran       *rig.Answer // as planned with chain that runs freely, where there is any; nil where it settles nowhere
	crossings []Crossing
	slack     []string
	show      func(rad float64) string
}

func (w *worker) planned() Row {
	row := Row{What: "as planned", Counts: countsOf(w.r), Result: w.plan.Result, Reason: w.plan.Reason, Share: Shares(w.plan)}
	row.numbers(w.plan, w.plan)
	if loops(w.r) {
		row.Held = row.kept()
		if w.ran != nil {
			other := Row{}
			other.numbers(w.ran, w.ran)
			row.Runs = other.kept()
		}
	}
	return row
}

func (w *worker) row(ctx context.Context, f Fault) (*Row, *Omitted) {
	leave := func(err error) (*Row, *Omitted) { return nil, &Omitted{f, f.What(w.r), err.Error()} }
	changed, err := f.On(w.r)
	if err != nil {
		return leave(err)
	}
	a, err := rig.HangWithin(ctx, changed)
	if err != nil {
		return leave(err)
	}
	row := &Row{
		Fault: f, What: f.What(w.r), Counts: countsOf(changed),
		Result: a.Result, Reason: a.Reason, Share: Shares(a), Cross: newCrossings(Crossings(a), w.crossings),
	}
	row.numbers(a, w.plan)
	find := finder{row: row, why: map[part.End]string{}, show: w.show}
	find.fallen(a, w.plan)
	find.limits(a, w.plan)
	find.strays(a, w.plan)
	find.fouls(row.Slack, w.slack, row.Cross)
	find.done(f)
	w.running(changed, row, &find)
	find.store()
	switch {
	case f.LetsGo():
		row.Note = Shock
	case f.Kind == PointsTraded && !w.seated(f):
		row.Note = "no seats entered for both: whether the legs cross cannot be told"
	case f.Kind == SeatsTraded:
		row.Note = "seats change no pull and no attitude in this model; only whether legs cross is told"
	}
	return row, nil
}

// seated reports whether both legs have a seat entered.
func (w *worker) seated(f Fault) bool {
	a, _ := w.r.Leg(f.Leg)
	b, _ := w.r.Leg(f.Other)
	return a.Seat != nil && b.Seat != nil
}

// loops reports whether a leg's chain goes through several points.
func loops(r *rig.Rig) bool {
	return slices.ContainsFunc(r.Legs(), func(l rig.Leg) bool { return len(l.To) > 1 })
}

// runFreely hangs a rig with chain that runs freely through its points. It
// returns nil for a rig without a loop through several points, and where the
// computation finds no position.
func runFreely(r *rig.Rig) *rig.Answer {
	if !loops(r) {
		return nil
	}
	a, err := rig.HangWith(r, rig.Forces{RunFreely: true})
	if err != nil || !a.Converged || !a.Stable {
		// The judged answer says so already.
		return nil
	}
	return a
}

// running hangs the rig once more with chain that runs freely through its
// points, where it has loops through several, and takes the worse numbers. How
// far a body leans is counted from the plan with chain that runs as well.
func (w *worker) running(changed *rig.Rig, row *Row, find *finder) {
	if !loops(changed) {
		return
	}
	row.Held = row.kept()
	a := runFreely(changed)
	if a == nil || w.ran == nil {
		return
	}
	other := Row{}
	other.numbers(a, w.ran)
	row.Runs = other.kept()
	find.fallen(a, w.ran)
	find.fouls(other.Slack, w.slack, nil)
	if other.Rated && other.Use > 1 {
		find.add(part.LegLost, "leg %s over its limit, if its chain runs", other.Leg)
	}
	if other.Moved > row.Moved+1e-6 {
		row.Ran = true
		row.Body, row.Pitch, row.Roll, row.Moved = other.Body, other.Pitch, other.Roll, other.Moved
	}
	if other.Rated && other.Use > row.Use*(1+1e-6) {
		row.Ran = true
		row.Use, row.Leg, row.Rated = other.Use, other.Leg, true
	}
	for _, id := range other.Slack {
		if !slices.Contains(row.Slack, id) {
			row.Ran = true
			row.Slack = append(row.Slack[:len(row.Slack):len(row.Slack)], id)
		}
	}
}
