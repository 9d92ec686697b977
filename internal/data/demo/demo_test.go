package demo

import (
	"bytes"
	"math"
	"slices"
	"strings"
	"testing"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/rigfile"
)

// fewest is how many demo rigs there are at least: fewer means that the
// pattern embedded something else.
const fewest = 10

func hang(t *testing.T, d Rig) *rig.Answer {
	t.Helper()
	r, problems := rigfile.Read(d.Data)
	if r == nil {
		t.Fatalf("%s: %v", d.Name, problems)
	}
	return hung(t, d.Name, r)
}

func hung(t *testing.T, name string, r *rig.Rig) *rig.Answer {
	t.Helper()
	a, err := rig.Hang(r)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return a
}

func all(t *testing.T) []Rig {
	t.Helper()
	rigs := Rigs()
	if len(rigs) < fewest {
		t.Fatalf("%d demo rigs, want at least %d", len(rigs), fewest)
	}
	return rigs
}

func TestRigs_SortedAndTheCallersOwn(t *testing.T) {
	rigs := all(t)
	if !slices.IsSortedFunc(rigs, func(a, b Rig) int { return strings.Compare(a.Name, b.Name) }) {
		t.Error("the rigs are not sorted by name")
	}
	kept := bytes.Clone(rigs[0].Data)
	clear(rigs[0].Data)
	if again := Rigs()[0].Data; !bytes.Equal(again, kept) {
		t.Error("writing to a rig's data changed what the next caller gets")
	}
}

// TestRigs_HangWithinTheirLimits asks of each rig what it is there to show: a
// load that hangs as it should, with every limit of the load path entered.
func TestRigs_HangWithinTheirLimits(t *testing.T) {
	for _, d := range all(t) {
		t.Run(d.Name, func(t *testing.T) {
			a := hang(t, d)
			if a.Result != rig.Within {
				t.Errorf("result %q, want %q: %s", a.Result.Words(), rig.Within.Words(), a.Reason)
			}
			if len(a.Missing) > 0 {
				t.Errorf("no limit is entered for %v", a.Missing)
			}
			if !a.Converged || !a.Stable {
				t.Errorf("converged %v, stable %v; want both", a.Converged, a.Stable)
			}
			for _, f := range a.Findings {
				// Legs that leave neighbouring seats of one pin stay close for a while.
				if f.Code != "outside-procedure" && f.Code != "legs-close" {
					t.Errorf("a finding that no demo rig should have: %s: %s: %s", f.Level, f.About, f.Text)
				}
			}
			l := a.Rig.Limits()
			if l.Pitch == nil || l.Roll == nil {
				t.Error("no band of pitch and roll is entered")
			}
			for _, leg := range a.Legs {
				if leg.Slack {
					t.Errorf("leg %s is slack", leg.ID)
				}
				if leg.Angle > 40*math.Pi/180 {
					t.Errorf("leg %s leans %.1f deg; a demo keeps well inside 45 deg", leg.ID, leg.Angle*180/math.Pi)
				}
			}
			for _, b := range a.Bodies {
				if b.Tilt > 10*math.Pi/180 {
					t.Errorf("body %s hangs %.1f deg from upright; a demo load hangs nearly level", b.ID, b.Tilt*180/math.Pi)
				}
			}
			if kg := a.Rig.Weight() / quantity.StandardGravity; kg < 200 || kg > 3000 {
				t.Errorf("the load weighs %.0f kg, want 200 to 3000 kg", kg)
			}
		})
	}
}

// TestRigs_Balance checks each answer by a sum that does not use the solver's
// own residual: the apexes together carry the weight and nothing sideways.
func TestRigs_Balance(t *testing.T) {
	for _, d := range all(t) {
		a := hang(t, d)
		var sum rig.Vec
		for _, x := range a.Apexes {
			for k := range sum {
				sum[k] += x.Force[k]
			}
		}
		// A converged answer is in balance to 1e-6 of the weight per body and
		// node; here they add up.
		weight := a.Rig.Weight()
		tolerance := 1e-6 * weight * float64(len(a.Bodies)+len(a.Nodes)+1)
		for k, want := range (rig.Vec{0, 0, -weight}) {
			if math.Abs(sum[k]-want) > tolerance {
				t.Errorf("%s: force %d on the aircraft %.6g N, want %.6g N", d.Name, k, sum[k], want)
			}
		}
	}
}

func TestRigs_AreMarkedInvented(t *testing.T) {
	const school = "Kestmoor Lift School"
	for _, d := range all(t) {
		a := hang(t, d)
		s := a.Rig.Spec()
		if !a.Rig.Invented() {
			t.Errorf("%s: invented is not yes", d.Name)
		}
		for what, text := range map[string]string{"title": s.Title, "notes": s.Notes} {
			if !strings.HasPrefix(text, "INVENTED") {
				t.Errorf("%s: the %s does not begin with INVENTED: %q", d.Name, what, text)
			}
		}
		if !strings.Contains(s.Notes, school) {
			t.Errorf("%s: the notes do not name %s", d.Name, school)
		}
		if p := s.Procedure; p != nil && !strings.HasPrefix(p.Publication, "INVENTED") {
			t.Errorf("%s: the procedure %q is not marked INVENTED", d.Name, p.Publication)
		}
		for _, set := range s.Sets {
			if !strings.Contains(set.Source, "invented") {
				t.Errorf("%s: the source %q of set %s is not marked invented", d.Name, set.Source, set.ID)
			}
		}
		for _, l := range s.Legs {
			if l.HitchFactor != nil && !strings.Contains(l.HitchSource, "invented") {
				t.Errorf("%s: the source %q of leg %s's hitch factor is not marked invented", d.Name, l.HitchSource, l.ID)
			}
		}
	}
}

// problem returns the sentence of the notes that says what a rig shows.
func problem(t *testing.T, a *rig.Answer) string {
	t.Helper()
	text := strings.Join(strings.Fields(a.Rig.Spec().Notes), " ")
	_, text, ok := strings.Cut(text, "Problem: ")
	first, _, end := strings.Cut(text, ". ")
	if !ok || !end {
		t.Fatalf("%s: the notes do not say \"Problem: … .\"", a.Rig.Title())
	}
	return first
}

func TestRigs_EachShowsAProblemOfItsOwn(t *testing.T) {
	seen := map[string]string{}
	statuses := map[rig.Status]int{}
	systems := map[quantity.System]int{}
	for _, d := range all(t) {
		a := hang(t, d)
		p := problem(t, a)
		if other := seen[p]; other != "" {
			t.Errorf("%s and %s show the same problem: %s", d.Name, other, p)
		}
		seen[p] = d.Name
		statuses[a.Status]++
		systems[a.Rig.Show()]++
	}
	for _, s := range []rig.Status{rig.NoProcedure, rig.OutsideProcedure, rig.FollowsProcedure} {
		if statuses[s] == 0 {
			t.Errorf("no demo rig has the status %q", s)
		}
	}
	for _, s := range []quantity.System{quantity.Metric, quantity.US} {
		if systems[s] == 0 {
			t.Errorf("no demo rig is in %s units", s)
		}
	}
}
