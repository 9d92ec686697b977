package lift

import (
	"math"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
)

func TestWeight_AnEstimateNeverShowsWithoutItsTolerance(t *testing.T) {
	day := time.Date(2026, 5, 3, 0, 0, 0, 0, time.UTC)
	for _, tt := range []struct {
		w    Weight
		want string
	}{
		{Weight{Mass: 900, Known: Estimated, Band: 80, By: "M. Egger"}, "900 kg ± 80.0 kg, estimated by M. Egger"},
		{Weight{Mass: 900, Known: Estimated}, "900 kg ± unknown, estimated"},
		{Weight{Mass: 900, Known: Weighed, On: day}, "900 kg, weighed on 2026-05-03"},
		{Weight{Mass: 900, Known: Plate}, "900 kg, from its plate"},
		{Weight{Mass: 900}, "900 kg, how it is known is not entered"},
	} {
		if got := tt.w.Show(quantity.Metric); got != tt.want {
			t.Errorf("got %q, want %q", got, tt.want)
		}
	}
	if len((Weight{Mass: 900, Known: Estimated}).Check()) != 1 || len((Weight{Mass: 900, Known: "guessed"}).Check()) != 1 {
		t.Error("an estimate without tolerance, or a guess, is let through")
	}
}

// A body of 1,000 kg with its CG at (1.2, 0.1, 0.7) on supports worked out by hand.
func TestCG_FromReadingsAndTilt(t *testing.T) {
	mass, cg, err := FromReadings([]Reading{{Vec{0, 0.1, 0}, 600}, {Vec{3, 0.1, 0}, 400}})
	if err != nil || mass != 1000 || math.Abs(cg[0]-1.2) > 1e-12 || math.Abs(cg[1]-0.1) > 1e-12 {
		t.Errorf("axles: %g kg at %v (%v)", mass, cg, err)
	}
	mass, cg, err = FromReadings([]Reading{{Vec{1, 1}, 300}, {Vec{1, -1}, 100}, {Vec{-1, 1}, 300}, {Vec{-1, -1}, 100}})
	if err != nil || mass != 800 || math.Abs(cg[0]) > 1e-12 || math.Abs(cg[1]-0.5) > 1e-12 {
		t.Errorf("four scales: %g kg at %v (%v)", mass, cg, err)
	}
	// The front support raised: the CG's arm about the rear one is
	// x·cos t − z·sin t, the support's 3·cos t.
	const z = 0.7
	tilt := 12 * quantity.Degree
	tilted := 1000 * (1.2*math.Cos(tilt) - z*math.Sin(tilt)) / (3 * math.Cos(tilt))
	if got, err := CGHeight(1000, 3, 400, tilted, tilt); err != nil || math.Abs(got-z) > 1e-12 {
		t.Errorf("height %g m (%v), want %g", got, err, z)
	}
	for _, wrong := range []error{
		second(CGHeight(1000, 3, 400, 390, 1*quantity.Degree)),
		second(CGHeight(1000, 3, 1400, 390, tilt)),
		second(CGHeight(0, 3, 0, 0, tilt)),
		third(FromReadings([]Reading{{Vec{}, 5}})),
		third(Since(100, Vec{}, []Item{{What: "snow", Mass: 5}})),
		third(Since(100, Vec{}, []Item{{What: "fuel", Mass: -100, At: &Vec{}}})),
	} {
		if wrong == nil || !strings.Contains(wrong.Error(), " ") {
			t.Errorf("let through: %v", wrong)
		}
	}
	mass, cg, err = Since(1000, Vec{1.2, 0.1, 0.7}, []Item{{"fuel", 100, &Vec{0.1, 0.1, 0.7}}, {"snow", 100, &Vec{1.2, 0.1, 1.9}}})
	if want := (Vec{(1200 + 10 + 120) / 1200.0, 0.1, (700 + 70 + 190) / 1200.0}); err != nil || mass != 1200 || math.Abs(cg[0]-want[0])+math.Abs(cg[1]-want[1])+math.Abs(cg[2]-want[2]) > 1e-12 {
		t.Errorf("since: %g kg at %v (%v), want %v", mass, cg, err, want)
	}
}

func second[T any](_ T, err error) error { return err }

func third[T, U any](_ T, _ U, err error) error { return err }

func TestFit(t *testing.T) {
	hook := Hook{Section: of(0.022), Inside: of(0.048)}
	for _, tt := range []struct {
		name string
		hook Hook
		ring Ring
		want rig.Result
	}{
		{"fits", hook, Ring{of(0.05), of(0.02)}, rig.Within},
		{"too narrow", hook, Ring{of(0.02), of(0.02)}, rig.Over},
		{"too thick", hook, Ring{of(0.05), of(0.05)}, rig.Over},
		{"ring not measured", hook, Ring{Inside: of(0.05)}, rig.CannotTell},
		{"hook not measured", Hook{}, Ring{of(0.05), of(0.02)}, rig.CannotTell},
		{"too narrow, hook's opening not measured", Hook{Section: of(0.022)}, Ring{of(0.02), of(0.02)}, rig.Over},
	} {
		if got, text := tt.hook.Fit(tt.ring, quantity.Metric); got != tt.want || text == "" {
			t.Errorf("%s: %s (%s), want %s", tt.name, got, text, tt.want)
		}
	}
}

func TestSpacer(t *testing.T) {
	s := small()
	s.Spacers = []SpacerRule{{Apex: "a", Hook: "belly", Required: true}, {Apex: "b", Hook: "belly"}}
	a := made(t, s)
	for apex, want := range map[string]string{"a": "required", "b": "forbidden", "c": "not stated"} {
		if got := a.Spacer(apex, "belly"); got != want {
			t.Errorf("%s: %s, want %s", apex, got, want)
		}
	}
	if got := a.Spacer("a", "rear"); got != "not stated" {
		t.Errorf("another hook: %s", got)
	}
}

func TestSetDowns_ByHand(t *testing.T) {
	s := small()
	s.Empty.At, s.Crew[0].At, s.Kit[0].At = &Vec{}, &Vec{2}, &Vec{}
	s.Fuel.At = &Vec{}
	s.Hooks[0].At, s.Hooks[1].At = &Vec{1}, &Vec{-1}
	s.Balance = &[2]float64{-0.1, 0.3}
	states, err := made(t, s).SetDowns([]Hung{{"crate", "belly", 200}, {"drum", "rear", 300}}, []float64{200, 150, 100})
	if err != nil || len(states) != 3 {
		t.Fatalf("%d states, %v", len(states), err)
	}
	for i, want := range []struct {
		after    string
		gross, x float64
		rear     float64
		codes    int
	}{
		{"", 1900, (180 + 200 - 300) / 1900.0, 300 * gravity, 0},
		{"crate", 1650, (180 - 300) / 1650.0, 300 * gravity, 0},
		{"drum", 1300, 180 / 1300.0, 0, 0},
	} {
		got := states[i]
		if got.After != want.after || got.Gross != want.gross || got.CG == nil || math.Abs(got.CG[0]-want.x) > 1e-12 || math.Abs(got.Loads["rear"]-want.rear) > 1e-9 || len(got.Findings) != want.codes {
			t.Errorf("state %d: %+v, CG %v; want %+v", i, got, got.CG, want)
		}
	}
	s.Balance = &[2]float64{-0.05, 0.3}
	s.Together = nil
	states, err = made(t, s).SetDowns([]Hung{{"crate", "belly", 750}, {"drum", "rear", 300}}, []float64{200, 150, 100})
	if err != nil {
		t.Fatal(err)
	}
	var texts []string
	for _, x := range states {
		for _, f := range x.Findings {
			texts = append(texts, x.After+"/"+f.About+"/"+f.Level.String())
		}
	}
	if got, want := strings.Join(texts, " "), "/hook belly/over /hooks belly and rear/cannot-tell /gross weight/over crate/aircraft's CG/over"; got != want {
		t.Errorf("findings %s\nwant     %s", got, want)
	}
}

func TestClassOf(t *testing.T) {
	for _, tt := range []struct {
		people, fixed, jettisonable, drags bool
		want                               LoadClass
		ok                                 bool
	}{
		{false, true, false, false, ClassA, true},
		{false, false, true, false, ClassB, true},
		{false, false, true, true, ClassC, true},
		{true, false, true, false, ClassD, true},
		{false, false, false, false, "", false},
	} {
		if got, ok := ClassOf(tt.people, tt.fixed, tt.jettisonable, tt.drags); got != tt.want || ok != tt.ok {
			t.Errorf("%+v: got %q %v", tt, got, ok)
		}
	}
}
