package fault_test

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"testing"

	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/fault"
	"hangtrue/internal/engine/rig/rigfile"
)

func demo(t *testing.T, name string) *rig.Rig {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "..", "data", "demo", "rigs", name+".yaml"))
	if err != nil {
		t.Fatal(err)
	}
	r, problems := rigfile.Read(data)
	if r == nil {
		t.Fatalf("%s: %v", name, problems)
	}
	return r
}

func worked(t *testing.T, r *rig.Rig, o fault.Options) *fault.Table {
	t.Helper()
	table, err := fault.Work(context.Background(), r, o)
	if err != nil {
		t.Fatal(err)
	}
	return table
}

func row(t *testing.T, table *fault.Table, f fault.Fault) *fault.Row {
	t.Helper()
	for i := range table.Rows {
		if table.Rows[i].Fault == f {
			return &table.Rows[i]
		}
	}
	t.Fatalf("no row for %+v", f)
	return nil
}

// On one body with legs at its corners the signs are mechanics: a chain held
// at a higher link has a smaller loop, so its leg is shorter and its corner
// comes up. Nose up is positive pitch, right side down positive roll.
func TestWork_SignsAreThoseOfMechanics(t *testing.T) {
	table := worked(t, demo(t, "crate-off-centre"), fault.Options{Workers: 2, MaxLinks: 4})
	n := 0
	for _, leg := range []struct {
		id          string
		front, left float64 // +1 front, left; −1 rear, right
	}{{"FL", 1, 1}, {"FR", 1, -1}, {"RL", -1, 1}, {"RR", -1, -1}} {
		for _, by := range []int{-4, -2, 2, 4} {
			w := row(t, table, fault.Fault{Kind: fault.CountOff, Leg: leg.id, Links: by})
			pitch, roll := w.Pitch-table.Plan.Pitch, w.Roll-table.Plan.Roll
			up := math.Copysign(1, float64(by))
			if pitch*up*leg.front <= 0 || roll*up*leg.left <= 0 {
				t.Errorf("%s: pitch changes by %.3g, roll by %.3g rad; a shorter leg lifts its corner", w.What, pitch, roll)
			}
			n++
		}
	}
	for _, leg := range []struct {
		id          string
		front, left float64
	}{{"FL", 1, 1}, {"FR", 1, -1}, {"RL", -1, 1}, {"RR", -1, -1}} {
		w := row(t, table, fault.Fault{Kind: fault.LegLost, Leg: leg.id})
		if (w.Pitch-table.Plan.Pitch)*leg.front > 1e-9 || (w.Roll-table.Plan.Roll)*leg.left > 1e-9 {
			t.Errorf("%s: pitch %.3g, roll %.3g rad; the corner that lost its leg cannot come up", w.What, w.Pitch, w.Roll)
		}
		if w.Gravest() != part.LegLost || w.Note != fault.Shock {
			t.Errorf("%s: gravest end %q, note %q", w.What, w.Gravest(), w.Note)
		}
		n++
	}
	if n != 20 {
		t.Fatalf("%d faults compared, want 20", n)
	}
}

func TestWork_ListsEverySingleFaultOnce(t *testing.T) {
	r := demo(t, "footbridge-two-hooks")
	table := worked(t, r, fault.Options{Workers: 2, MaxLinks: 2})
	kinds := map[fault.Kind]int{}
	seen := map[fault.Fault]bool{}
	for _, w := range table.Rows {
		kinds[w.Fault.Kind]++
		if seen[w.Fault] {
			t.Errorf("%s is listed twice", w.What)
		}
		seen[w.Fault] = true
		if len(w.Ends) != len(w.Why) || w.What == "" || w.Reason == "" {
			t.Errorf("%s: ends %v, reasons %v, result because %q", w.What, w.Ends, w.Why, w.Reason)
		}
	}
	// 4 legs: 2 links either way, each lost, each point lost, 6 pairs of points;
	// 2 hooks; seats are traded on one hook only.
	want := map[fault.Kind]int{
		fault.CountOff: 16, fault.LegLost: 4, fault.PointLost: 4, fault.HookLost: 2, fault.PointsTraded: 6, fault.SeatsTraded: 2,
	}
	if !reflect.DeepEqual(kinds, want) || len(table.Omitted) != 0 || table.Tried != 34 || table.Listed != 34 {
		t.Errorf("kinds %v, want %v; omitted %v; tried %d of %d", kinds, want, table.Omitted, table.Tried, table.Listed)
	}
	for i := 1; i < len(table.Rows); i++ {
		if part.Gravity(table.Rows[i-1].Ends) > part.Gravity(table.Rows[i].Ends) {
			t.Errorf("%q comes before the graver %q", table.Rows[i-1].What, table.Rows[i].What)
		}
	}
	for _, w := range table.Rows[:2] {
		if w.Fault.Kind != fault.HookLost || w.Gravest() != part.LoadLost || w.Result != rig.DoesNotStand {
			t.Errorf("gravest is %q (%s, %s), want the two hooks", w.What, w.Gravest(), w.Result)
		}
		for _, s := range w.Share {
			if want := map[bool]float64{true: 0, false: 1}[s.Hook == w.Fault.Hook]; math.Abs(s.Share-want) > 1e-9 {
				t.Errorf("%s: hook %s carries %.3g of the load, want %g", w.What, s.Hook, s.Share, want)
			}
		}
	}
	if _, err := json.Marshal(table); err != nil {
		t.Errorf("a table is plain values: %v", err)
	}
}

// A fault that a rig cannot have is named, not dropped in silence; a count
// beyond the ends of the chain is no fault at all.
func TestWork_NamesWhatItLeavesOut(t *testing.T) {
	table := worked(t, demo(t, "pipes-under-spreader"), fault.Options{})
	if len(table.Omitted) == 0 {
		t.Fatal("two legs of a spreader cannot trade points with those beneath it, and nothing is omitted")
	}
	for _, o := range table.Omitted {
		if o.Why == "" || o.What == "" || o.Fault.Kind != fault.PointsTraded {
			t.Errorf("omitted %+v", o)
		}
	}
	r := demo(t, "trailer-front-and-rear")
	for _, f := range fault.List(r, 10) {
		if l, _ := r.Leg(f.Leg); f.Kind == fault.CountOff && *l.Count+f.Links < 1 {
			t.Errorf("%s: there is no such link", f.What(r))
		}
	}
}

func TestWork_OrderDoesNotDependOnWorkers(t *testing.T) {
	r := demo(t, "crate-off-centre")
	one := worked(t, r, fault.Options{MaxLinks: 3})
	calls := 0
	three := worked(t, r, fault.Options{MaxLinks: 3, Workers: 3, Progress: func(done, total int) {
		calls++
		if done != calls || total != one.Listed {
			t.Errorf("progress %d of %d at call %d of %d", done, total, calls, one.Listed)
		}
	}})
	if calls != one.Listed {
		t.Errorf("progress called %d times for %d faults", calls, one.Listed)
	}
	if !reflect.DeepEqual(one, three) {
		t.Error("the table differs with three workers")
	}
}

func TestWork_StopsAndSaysWhatItHas(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	table, err := fault.Work(ctx, demo(t, "crate-off-centre"), fault.Options{Progress: func(done, _ int) {
		if done == 5 {
			stop()
		}
	}})
	if !errors.Is(err, context.Canceled) || len(table.Rows) != 5 || table.Tried != 5 || table.Listed <= 5 {
		t.Errorf("stopped after 5: %v, %d rows, tried %d of %d", err, len(table.Rows), table.Tried, table.Listed)
	}
}

// A loop through a point of each of two racks: the chain bites, or it runs.
func TestWork_TakesTheWorseOfLockedAndRunningChain(t *testing.T) {
	r := demo(t, "racks-shared-loops")
	f := fault.Fault{Kind: fault.CountOff, Leg: "L", Links: 1}
	changed, err := f.On(r)
	if err != nil {
		t.Fatal(err)
	}
	locked, err := rig.Hang(changed)
	if err != nil {
		t.Fatal(err)
	}
	running, err := rig.HangWith(changed, rig.Forces{RunFreely: true})
	if err != nil {
		t.Fatal(err)
	}
	a, _, _ := locked.HighestUse()
	b, _, _ := running.HighestUse()
	w := row(t, worked(t, r, fault.Options{MaxLinks: 1, Workers: 2}), f)
	if math.Abs(w.Use-math.Max(a, b)) > 1e-9 || w.Ran != (b > a*(1+1e-6)) {
		t.Errorf("use %.6f (ran %v); locked %.6f, running %.6f", w.Use, w.Ran, a, b)
	}
}

func TestOverPitch_SharesTheWholeLoad(t *testing.T) {
	r := demo(t, "footbridge-two-hooks")
	lowest, highest, steps := fault.UsualPitch()
	list, err := fault.OverPitch(context.Background(), r, lowest, highest, steps)
	if err != nil || len(list) != steps+1 {
		t.Fatalf("%d pitches, %v", len(list), err)
	}
	level := list[steps/2]
	plan := worked(t, r, fault.Options{MaxLinks: 1}).Plan
	if math.Abs(level.Aircraft) > 1e-12 || math.Abs(level.Pitch-plan.Pitch) > 1e-9 {
		t.Errorf("level: aircraft %g rad, load %g rad, planned %g", level.Aircraft, level.Pitch, plan.Pitch)
	}
	for i, x := range list {
		sum := 0.0
		for _, s := range x.Share {
			sum += s.Share
		}
		if math.Abs(sum-1) > 1e-12 || len(x.Share) != 2 {
			t.Errorf("aircraft at %.3f rad: shares %v", x.Aircraft, x.Share)
		}
		// The load follows the hooks: nose up with the aircraft's.
		if i > 0 && x.Pitch <= list[i-1].Pitch {
			t.Errorf("aircraft at %.3f rad: load at %.4f, at the pitch before %.4f", x.Aircraft, x.Pitch, list[i-1].Pitch)
		}
	}
	if _, err := fault.OverPitch(context.Background(), demo(t, "crate-off-centre"), lowest, highest, steps); !errors.Is(err, fault.ErrOneHook) {
		t.Errorf("one hook: %v", err)
	}
	if _, err := fault.OverPitch(context.Background(), r, 1, 0, 3); err == nil {
		t.Error("pitch that runs backwards is taken")
	}
}

func TestCrossings_GoBySeatsAndPoints(t *testing.T) {
	r := demo(t, "trailer-front-and-rear")
	for _, c := range []struct {
		a, b string
		want []fault.Crossing
	}{
		{"", "", nil},
		{"FL", "FR", []fault.Crossing{{A: "FL", B: "FR"}}},
		{"RL", "RR", []fault.Crossing{{A: "RL", B: "RR"}}},
		// One goes forward and one aft: they part at once and never meet.
		{"FL", "RL", nil},
	} {
		changed := r
		if c.a != "" {
			var err error
			if changed, err = r.WithSeatsSwapped(c.a, c.b); err != nil {
				t.Fatal(err)
			}
		}
		a, err := rig.Hang(changed)
		if err != nil {
			t.Fatal(err)
		}
		if got := fault.Crossings(a); !slices.Equal(got, c.want) {
			t.Errorf("%s and %s in each other's seats: %v, want %v", c.a, c.b, got, c.want)
		}
	}
}

// A table whose time is over before it began says so and has no answer.
func TestWork_EndsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	table, err := fault.Work(ctx, demo(t, "crate-off-centre"), fault.Options{})
	if !errors.Is(err, context.Canceled) || table != nil {
		t.Errorf("%v, %v", table, err)
	}
}
