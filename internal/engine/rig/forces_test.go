package rig_test

import (
	"errors"
	"math"
	"testing"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
)

// onePoint is 100 kg on a leg of 5 m that hardly stretches.
func onePoint(t *testing.T, change func(*rig.Spec)) *rig.Rig {
	t.Helper()
	s := rig.Spec{
		Bodies: []rig.Body{{ID: "load", Mass: 100, CG: &rig.Vec{}, Points: []rig.Point{{ID: "P"}}}},
		Legs:   []rig.Leg{{ID: "A", To: []rig.Ref{{ID: "load", Point: "P"}}, Rope: &rig.Rope{Length: 5, Stretch: rig.Stretch{Ratio: 1e-6, Force: 1000}}}},
	}
	if change != nil {
		change(&s)
	}
	r, problems := rig.New(s)
	if r == nil {
		t.Fatal(problems)
	}
	return r
}

// A weight of 980.665 N pushed aside by three quarters of it hangs on the
// hypotenuse of a 3-4-5 triangle, and twice the gravity halves the slope.
func TestHangWith_PushesAside(t *testing.T) {
	r := onePoint(t, nil)
	weight := 100 * quantity.StandardGravity
	push := []rig.Load{{Body: "load", Force: rig.Vec{-0.75 * weight, 0, 0}}}
	for _, c := range []struct {
		factor, tension, slope float64
	}{{1, 1.25, 0.75}, {2, math.Hypot(2, 0.75), 0.375}} {
		a, err := rig.HangWith(r, rig.Forces{Gravity: c.factor * quantity.StandardGravity, Loads: push})
		if err != nil {
			t.Fatal(err)
		}
		// 1e-6 of the weight is what a balance is asked for.
		if got := a.Legs[0].Tension / weight; math.Abs(got-c.tension) > 2e-6 {
			t.Errorf("factor %g: tension %.8f W, want %.8f W", c.factor, got, c.tension)
		}
		at := a.Bodies[0].CG
		if got := at[0] / at[2]; math.Abs(got-c.slope) > 2e-6 {
			t.Errorf("factor %g: load at %v, slope %.8f, want %.8f", c.factor, at, got, c.slope)
		}
		if a.Legs[0].Angle > 1e-5 {
			t.Errorf("factor %g: the leg lies along the pull, and is %g rad from it", c.factor, a.Legs[0].Angle)
		}
	}
}

func TestHangWith_RefusesForcesThatCannotBe(t *testing.T) {
	r := onePoint(t, nil)
	for name, f := range map[string]rig.Forces{
		"a body that is not there": {Loads: []rig.Load{{Body: "crate"}}},
		"a force without end":      {Loads: []rig.Load{{Body: "load", Force: rig.Vec{math.Inf(1), 0, 0}}}},
		"gravity upwards":          {Gravity: -1},
	} {
		if a, err := rig.HangWith(r, f); err == nil || a != nil {
			t.Errorf("%s: %v, %v", name, a, err)
		}
	}
	open := onePoint(t, func(s *rig.Spec) {
		s.Legs[0].Chain = &rig.Chain{Links: 50, Pitch: 0.03, Stretch: rig.Stretch{Ratio: 0.01, Force: 1000}}
		s.Legs[0].Find = true
	})
	var counts *rig.OpenCounts
	if _, err := rig.HangWith(open, rig.Forces{}); !errors.As(err, &counts) {
		t.Errorf("open counts: %v", err)
	}
}

func TestHangWith_UnjudgedHoldsNothingAgainstALimit(t *testing.T) {
	rated := 1.0
	r := onePoint(t, func(s *rig.Spec) { s.Legs[0].Rated = &rated })
	a, err := rig.HangWith(r, rig.Forces{Unjudged: true})
	if err != nil || len(a.Checks)+len(a.Findings) > 0 || a.Result != rig.CannotTell {
		t.Errorf("%v, checks %v, findings %v, %v", err, a.Checks, a.Findings, a.Result)
	}
	judged, err := rig.HangWith(r, rig.Forces{From: a})
	if err != nil || judged.Result != rig.Over || math.Abs(judged.Legs[0].Tension-a.Legs[0].Tension) > 1e-6*r.Weight() {
		t.Errorf("%v, %v, pull %g N and %g N before", err, judged.Result, judged.Legs[0].Tension, a.Legs[0].Tension)
	}
}
