package rig_test

import (
	"math"
	"strings"
	"testing"

	"hangtrue/internal/engine/rig"
)

// A band is a check of its own: passed outside it and not on its ends, with the
// share of the way from its middle to the end.
func TestCheck_Band(t *testing.T) {
	band := &[2]float64{-0.1, 0.02}
	for _, c := range []struct {
		demand, use float64
		passed      bool
	}{
		{-0.1, 1, false},
		{0.02, 1, false},
		{-0.04, 0, false},
		{0.05, 1.5, true},
		{-0.13, 1.5, true},
		{0.02 + 1e-12, 1, false},
	} {
		x := rig.Check{Demand: c.demand, Band: band}
		if x.Passed() != c.passed || math.Abs(x.Use()-c.use) > 1e-9 {
			t.Errorf("%g in %v: passed %v, use %g", c.demand, *band, x.Passed(), x.Use())
		}
	}
	level := rig.Check{Demand: 0.01, Band: &[2]float64{0, 0}}
	if !level.Passed() || !math.IsInf(level.Use(), 1) {
		t.Errorf("a band of one angle: passed %v, use %g", level.Passed(), level.Use())
	}
	level.Demand = 0
	if level.Passed() || level.Use() != 1 {
		t.Errorf("at a band of one angle: passed %v, use %g", level.Passed(), level.Use())
	}
}

// Every band entered is held against every body with a shape, and does not
// govern the reason of a result.
func TestHang_BandsAreAmongTheChecks(t *testing.T) {
	r := onePoint(t, func(s *rig.Spec) {
		rated := 1e6
		s.Legs[0].Rated = &rated
		s.Limits.Pitch, s.Limits.Roll = &[2]float64{-1, 1}, &[2]float64{0.5, 1}
	})
	a, err := rig.Hang(r)
	if err != nil {
		t.Fatal(err)
	}
	bands := 0
	for _, c := range a.Checks {
		if c.Band == nil {
			continue
		}
		bands++
		if c.What == "roll" && (!c.Passed() || c.Limit != 0.5) || c.What == "pitch" && c.Passed() {
			t.Errorf("%+v", c)
		}
	}
	if g, ok := a.Governing(); bands != 2 || !ok || g.Band != nil || a.Result != rig.Over {
		t.Errorf("%d bands, governing %+v, %v", bands, g, a.Result)
	}
}

// What is out of its band by less than the text shows is still said to be out.
func TestHang_OutOfItsBandByAHair(t *testing.T) {
	const short = 0.02 * math.Pi / 180
	r := onePoint(t, func(s *rig.Spec) { s.Limits.Roll = &[2]float64{short, 1} })
	a, err := rig.Hang(r)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range a.Findings {
		if strings.Contains(f.Text, "below the band") {
			if !strings.Contains(f.Text, "less than 0.1 deg below") {
				t.Errorf("%q", f.Text)
			}
			return
		}
	}
	t.Errorf("no finding about the band in %+v", a.Findings)
}
