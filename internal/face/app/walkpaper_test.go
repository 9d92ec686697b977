package app_test

import (
	"bytes"
	"strings"
	"testing"

	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/sheet"
)

// crate is the demo rig of four legs and its survey.
func crate(t *testing.T) (app.Solved, *inspect.Survey) {
	t.Helper()
	for _, d := range demo.Rigs() {
		if d.Name != "crate-off-centre" {
			continue
		}
		s := app.Solve(d.Data)
		c, problems := app.Catalog()
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		v, wrong := inspect.Of(s.Rig, c)
		if len(wrong) > 0 {
			t.Fatal(wrong)
		}
		return s, v
	}
	t.Fatal("there is no crate among the demo rigs")
	return app.Solved{}, nil
}

func TestWalkPapers(t *testing.T) {
	s, v := crate(t)
	q := inspect.Suggest(v)
	if err := app.WalkMap(v, q).Check(); err != nil {
		t.Error(err)
	}
	if err := app.WalkCoverage(v, q).Check(); err != nil {
		t.Error(err)
	}
	stamp := sheet.Stamp{Date: "2026-11-25", File: "crate.yaml", Tool: "test", Version: "not this one"}
	open, err := app.WalkSheet(&s, v, q, stamp, false)
	if err != nil || !bytes.HasPrefix(open, []byte("%PDF-")) {
		t.Fatalf("%.5q, %v", open, err)
	}
	stamp.Version = "nor this"
	if again, _ := app.WalkSheet(&s, v, q, stamp, false); !bytes.Equal(open, again) {
		t.Error("the sheet takes its version from the stamp instead of from the rig's bytes, or differs")
	}
	if blind, _ := app.WalkSheet(&s, v, q, stamp, true); len(blind) < 1000 || bytes.Equal(open, blind) {
		t.Error("the blind sheet is the open one")
	}
}

func TestFound(t *testing.T) {
	s, _ := crate(t)
	for _, c := range []struct {
		name   string
		change app.TraceChanges
		words  string // what is not as planned
		err    string
	}{
		{"nothing", app.TraceChanges{}, "", ""},
		{"as planned, said", app.TraceChanges{Seats: map[string]int{"FL": 1}, Points: map[string][]string{"FL": {"crate.FL"}}}, "", ""},
		{
			"seats traded",
			app.TraceChanges{Seats: map[string]int{"FL": 4, "FR": 1}},
			"leg FL in seat 4 instead of 1; leg FR in seat 1 instead of 4; legs FL and FR crossed", "",
		},
		{"another point", app.TraceChanges{Points: map[string][]string{"FL": {"crate.RL"}}}, "leg FL to crate.RL instead of crate.FL", ""},
		{"over", app.TraceChanges{Over: map[string][]string{"FL": {"FR"}}}, "legs FL and FR wrapped over", ""},
		{"not found", app.TraceChanges{Missing: []string{"FL"}}, "", ""},
		{"no such leg", app.TraceChanges{Seats: map[string]int{"FLL": 1}}, "", `there is no leg "FLL"; did you mean "FL"?`},
		{"no such leg, missing", app.TraceChanges{Missing: []string{"RRR"}}, "", `there is no leg "RRR"`},
		{"no such leg beneath", app.TraceChanges{Over: map[string][]string{"FL": {"FX"}}}, "", `there is no leg "FX"`},
		{"over itself", app.TraceChanges{Over: map[string][]string{"FL": {"FL"}}}, "", "cannot lie over itself"},
		{"no such point", app.TraceChanges{Points: map[string][]string{"FL": {"crat.FL"}}}, "", `did you mean "crate.FL"?`},
		{"seat 0", app.TraceChanges{Seats: map[string]int{"FL": 0}}, "", "seats count from 1"},
		{"seat 99", app.TraceChanges{Seats: map[string]int{"FL": 99}}, "", "to 40 at most"},
	} {
		found, err := app.Found(s.Rig, c.change)
		if c.err != "" {
			if err == nil || !strings.Contains(err.Error(), c.err) {
				t.Errorf("%s: error %v, want one that says %q", c.name, err, c.err)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		tr, d := app.Traced(&s, found)
		if d.Words != c.words {
			t.Errorf("%s: %q, want %q", c.name, d.Words, c.words)
		}
		if want := c.words == "" && len(c.change.Missing) == 0; d.Planned != want {
			t.Errorf("%s: as planned is %v", c.name, d.Planned)
		}
		if len(d.Legs) != 4 || d.Format != "hangtrue.trace/1" || d.Rig != s.Version || !d.Invented {
			t.Errorf("%s: %+v", c.name, d)
		}
		if err := app.TracePicture(s.Rig, tr).Check(); err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}
