package liquid_test

import (
	"errors"
	"math"
	"testing"

	"hangtrue/internal/engine/liquid"
	"hangtrue/internal/engine/quantity"
)

func degC(t float64) float64 { return quantity.SI(t, "degC") }

func named(t *testing.T, name string) liquid.Liquid {
	t.Helper()
	l, err := liquid.Named(name)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func density(t *testing.T, l liquid.Liquid, kelvin float64) float64 {
	t.Helper()
	d, err := l.Density(kelvin)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestDensity_PetroleumIsWhatItWasEnteredAsAt15(t *testing.T) {
	n := 0
	for d := 612.0; d < 1163; d += 0.25 {
		l, err := liquid.OfDensity("", d)
		if err != nil {
			t.Fatalf("%g kg/m3: %v", d, err)
		}
		// Where two groups meet the two answers differ by up to a millionth; elsewhere only rounding is left.
		if got := density(t, l, degC(15)); math.Abs(got-d) > 2e-6*d {
			t.Errorf("%g kg/m3 at 15 degC reads %.6f", d, got)
		}
		n++
	}
	if n != 2204 {
		t.Errorf("tried %d densities, want 2204", n)
	}
}

func TestDensity_FallsWithTemperature(t *testing.T) {
	for _, name := range liquid.Names() {
		l := named(t, name)
		low, high := l.Range()
		start := math.Max(low, degC(4.5)) // water is densest near 4 degC
		last := math.Inf(1)
		steps := 0
		for k := start; k <= high; k += (high - start) / 50 {
			d := density(t, l, k)
			if d >= last {
				t.Errorf("%s: %g kg/m3 at %g K is no less than before", name, d, k)
			}
			last = d
			steps++
		}
		if steps < 50 {
			t.Errorf("%s: %d steps", name, steps)
		}
	}
}

func TestOfAPI_IsTheSameLiquidAsItsDensity(t *testing.T) {
	l, err := liquid.OfAPI("jet fuel", 45)
	if err != nil {
		t.Fatal(err)
	}
	same, err := liquid.OfDensity("jet fuel", l.Density15)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []float64{-40, 0, 38, 90} {
		// both go back to one density at 60 degF by an iteration that stops at 1e-12
		if a, b := density(t, l, degC(c)), density(t, same, degC(c)); math.Abs(a-b) > 1e-8 {
			t.Errorf("at %g degC: %g and %g kg/m3", c, a, b)
		}
	}
}

func TestNamed_HasTheBandOfItsSpecification(t *testing.T) {
	l := named(t, "jet fuel")
	if l.Density15 != 807.5 || l.Band != 32.5 {
		t.Errorf("jet fuel is %g ± %g kg/m3, want the middle of 775 to 840", l.Density15, l.Band)
	}
	if w := named(t, "fresh water"); w.Band != 0 {
		t.Errorf("fresh water has a band of %g", w.Band)
	}
}

func TestDensity_RefusesWhatIsNotCovered(t *testing.T) {
	key := func(err error) string {
		var p *liquid.Problem
		if !errors.As(err, &p) || p.Text == "" || p.Hint == "" {
			return "no problem with text and hint"
		}
		return p.Key
	}
	at := func(l liquid.Liquid, c float64) error { _, err := l.Density(degC(c)); return err }
	of := func(_ liquid.Liquid, err error) error { return err }
	for _, c := range []struct {
		name string
		err  error
		want string
	}{
		{"ice", at(named(t, "fresh water"), -1), "at"},
		{"steam", at(named(t, "fresh water"), 101), "at"},
		{"hot sea", at(named(t, "sea water"), 41), "at"},
		{"hot petrol", at(named(t, "petrol"), 151), "at"},
		{"not a number", at(named(t, "diesel"), math.NaN()), "at"},
		{"unknown", of(liquid.Named("milk")), "liquid"},
		{"too light", of(liquid.OfDensity("", 500)), "density-15"},
		{"too heavy", of(liquid.OfDensity("", 1300)), "density-15"},
		{"gravity", of(liquid.OfAPI("", 120)), "api"},
		{"brine", of(liquid.SeaWater(60)), "salinity"},
	} {
		if got := key(c.err); got != c.want {
			t.Errorf("%s: got a problem with %q, want %q", c.name, got, c.want)
		}
	}
	for _, c := range []float64{0, 100} {
		if err := at(named(t, "fresh water"), c); err != nil {
			t.Errorf("fresh water at %g degC: %v", c, err)
		}
	}
}
