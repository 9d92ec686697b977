package app_test

import (
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"math"
	"slices"
	"testing"
	"time"

	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/fault"
	"hangtrue/internal/face/app"
)

// whatIf is the table of a demo rig.
func whatIf(t *testing.T, name string, data []byte) (*app.Solved, *app.Faults, *app.WhatIf) {
	t.Helper()
	s := app.Solve(data)
	if s.Answer == nil {
		t.Fatalf("%s: no answer", name)
	}
	f, err := app.RunFaults(context.Background(), &s, fault.Options{Workers: 2})
	if err != nil {
		t.Fatal(err)
	}
	c, problems := app.Catalog()
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	v, _ := inspect.Of(s.Rig, c)
	w, err := app.RunWhatIf(context.Background(), f, v, time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC))
	if err != nil {
		t.Fatal(err)
	}
	return &s, f, w
}

// The table of every demo rig has every count ten links either way, agrees with
// the one-fault table and with the rig hung alone, and is small.
func TestWhatIf_EveryDemoRig(t *testing.T) {
	rigs, largest := 0, 0
	for _, d := range demo.Rigs() {
		if d.Name == "racks-shared-loops" {
			continue // takes seconds to hang so often, and has nothing that the drums have not
		}
		rigs++
		s, f, w := whatIf(t, d.Name, d.Data)
		legs := s.Rig.Legs()
		there := map[string]*app.WhatIfRow{}
		for i := range w.Rows {
			r := &w.Rows[i]
			if there[r.ID] != nil || r.ID == "" {
				t.Errorf("%s: row %q stands twice or has no name", d.Name, r.ID)
			}
			there[r.ID] = r
			if len(r.Pull) != len(legs) || len(r.Lines) != len(legs) || len(r.Pitch) != len(w.Bodies) || len(r.Turn) != len(w.Bodies) {
				t.Errorf("%s: %s: lists of other lengths", d.Name, r.ID)
			}
		}
		for i := range legs {
			if legs[i].Chain == nil {
				continue
			}
			for by := -10; by <= 10; by++ {
				n := *legs[i].Count + by
				id := fault.Fault{Kind: fault.CountOff, Leg: legs[i].ID, Links: by}.ID()
				out := slices.ContainsFunc(w.Omitted, func(o app.WhatIfOmitted) bool { return o.ID == id })
				want := by != 0 && n >= 1 && n <= legs[i].Chain.Links-1
				if got := there[id] != nil || out; got != want {
					t.Errorf("%s: %s is there %v, want %v", d.Name, id, got, want)
				}
			}
		}
		for i := range f.Table.Rows {
			x := &f.Table.Rows[i]
			if r := there[x.Fault.ID()]; r == nil || r.Result != x.Result.String() || w.Texts[r.Reason] != x.Reason {
				t.Errorf("%s: %s is told otherwise than in the one-fault table", d.Name, x.What)
			}
		}
		data, err := json.Marshal(w)
		if err != nil {
			t.Fatal(err)
		}
		var packed bytes.Buffer
		z := gzip.NewWriter(&packed)
		z.Write(data)
		z.Close()
		largest = max(largest, packed.Len())
		t.Logf("%s: %d rows, %d deficiencies, %d bytes, %d packed", d.Name, len(w.Rows), len(w.Deficiencies), len(data), packed.Len())
		if packed.Len() > 200<<10 {
			t.Errorf("%s: %d bytes packed; a tablet is to get it in a moment", d.Name, packed.Len())
		}
	}
	if rigs < 10 || largest == 0 {
		t.Errorf("only %d rigs", rigs)
	}
}

// A row's numbers are those of the rig hung with that count by itself.
func TestWhatIf_RowIsTheRigHung(t *testing.T) {
	i := slices.IndexFunc(demo.Rigs(), func(r demo.Rig) bool { return r.Name == "crate-off-centre" })
	if i < 0 {
		t.Fatal("no such rig")
	}
	s, _, w := whatIf(t, "crate-off-centre", demo.Rigs()[i].Data)
	leg := s.Rig.Legs()[0]
	n := 0
	for _, r := range w.Rows {
		if r.Leg != leg.ID {
			continue
		}
		n++
		changed, err := s.Rig.WithCounts(map[string]int{leg.ID: *leg.Count + r.By})
		if err != nil {
			t.Fatal(err)
		}
		a, err := rig.Hang(changed)
		if err != nil {
			t.Fatal(err)
		}
		if r.Words != a.Result.Words() {
			t.Errorf("%+d: %s, want %s", r.By, r.Words, a.Result.Words())
		}
		// Half of the last digit that is kept.
		if got, want := *r.Pitch[0], a.Bodies[0].Pitch/quantity.Degree; math.Abs(got-want) > 0.0051 {
			t.Errorf("%+d: pitch %g, want %g", r.By, got, want)
		}
		for k := range a.Legs {
			if got, want := *r.Pull[k], a.Legs[k].Tension; math.Abs(got-want) > 0.51 {
				t.Errorf("%+d: leg %s pulls %g N, want %g", r.By, a.Legs[k].ID, got, want)
			}
			for axis, want := range a.Legs[k].To {
				if got := r.Lines[k][1][axis]; math.Abs(got-want) > 0.00051 {
					t.Errorf("%+d: leg %s ends %g m, want %g", r.By, a.Legs[k].ID, got, want)
				}
			}
		}
	}
	if n < 10 {
		t.Errorf("only %d counts of leg %s", n, leg.ID)
	}
	if w.WithoutCounts().Legs[0].Count != nil || w.Legs[0].Count == nil {
		t.Error("who counts blind is told the count, or nobody is")
	}
	found := 0
	for id, d := range w.Deficiencies {
		if d.Row != "" {
			found++
		}
		if w.Texts[d.Text] == "" {
			t.Errorf("%s does nothing", id)
		}
	}
	if found < 20 {
		t.Errorf("only %d deficiencies have a row", found)
	}
}
