package fault_test

import (
	"strings"
	"testing"

	"hangtrue/internal/engine/rig/fault"
)

// Every fault of a table has a name of its own, goes by it, and hangs as its row
// says.
func TestNamed_EveryFaultOnce(t *testing.T) {
	n := 0
	for _, name := range []string{"footbridge-two-hooks", "pipes-under-spreader", "trailer-front-and-rear"} {
		r := demo(t, name)
		table := worked(t, r, fault.Options{Workers: 2, MaxLinks: 2})
		seen := map[string]bool{}
		for i := range table.Rows {
			w := &table.Rows[i]
			id := w.Fault.ID()
			if seen[id] || strings.ContainsAny(id, " /?#&%") {
				t.Errorf("%s: id %q stands twice or needs quoting", name, id)
			}
			seen[id] = true
			f, ok := fault.Named(r, id)
			if !ok || f != w.Fault {
				t.Errorf("%s: %q names %+v, want %+v", name, id, f, w.Fault)
			}
			a, err := f.Hung(r, false)
			if err != nil || a.Result != w.Result {
				t.Errorf("%s: %s hangs as %v (%v), its row says %v", name, w.What, a, err, w.Result)
			}
			n++
		}
	}
	if n < 60 {
		t.Errorf("only %d faults tried", n)
	}
	if _, ok := fault.Named(demo(t, "net-one-ring"), "leg-lost.nobody"); ok {
		t.Error("a fault of a leg that is not there has a rig")
	}
}

// Groups hold each row once, the worst first, and say which links they are.
func TestGroups(t *testing.T) {
	r := demo(t, "crate-off-centre")
	table := worked(t, r, fault.Options{Workers: 2})
	groups := table.Groups()
	rows, several := 0, 0
	words := map[string]bool{}
	for i := range groups {
		g := &groups[i]
		rows += len(g.Rows)
		if words[g.What(r)] {
			t.Errorf("two groups say %q", g.What(r))
		}
		words[g.What(r)] = true
		if len(g.Rows) == 1 {
			if g.What(r) != g.Worst().What {
				t.Errorf("a group of one says %q, its row %q", g.What(r), g.Worst().What)
			}
			continue
		}
		several++
		for _, w := range g.Rows {
			f := w.Fault
			if f.Kind != fault.CountOff || f.Leg != g.Worst().Fault.Leg || (f.Links > 0) != (g.Worst().Fault.Links > 0) || w.Gravest() != g.End {
				t.Errorf("%q holds %q", g.What(r), w.What)
			}
		}
	}
	if rows != len(table.Rows) || several < 4 {
		t.Errorf("%d rows in groups, %d in the table; %d groups of several", rows, len(table.Rows), several)
	}
	legs := table.OfLeg("FL")
	for i, w := range legs {
		if i > 0 && w.Fault.Links <= legs[i-1].Fault.Links {
			t.Errorf("row %d of leg FL is %d links off, after %d", i, w.Fault.Links, legs[i-1].Fault.Links)
		}
	}
	if len(legs) != 20 {
		t.Errorf("%d rows of leg FL, want 20", len(legs))
	}
}

// With loops through several points both ways of taking the chain are there, and
// the row shows the worse of the two.
func TestWork_LoopsBothWays(t *testing.T) {
	table := worked(t, demo(t, "racks-shared-loops"), fault.Options{Workers: 2, MaxLinks: 1})
	both, ran := 0, 0
	for _, w := range append(table.Rows, table.Plan) {
		if w.Held == nil {
			t.Errorf("%s: nothing is said of chain that bites", w.What)
			continue
		}
		if w.Runs == nil {
			continue
		}
		both++
		if w.Ran {
			ran++
		}
		if w.What != "as planned" && w.Moved < w.Runs.Moved-1e-5 || w.Moved < w.Held.Moved-1e-9 {
			t.Errorf("%s: leans %g, held %g, running %g rad", w.What, w.Moved, w.Held.Moved, w.Runs.Moved)
		}
	}
	if both < 3 || ran == 0 {
		t.Errorf("%d rows have both, in %d running is worse", both, ran)
	}
	if r := worked(t, demo(t, "net-one-ring"), fault.Options{}); r.Plan.Held != nil {
		t.Error("a rig without such a loop has numbers for it")
	}
}
