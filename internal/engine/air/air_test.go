package air_test

import (
	"errors"
	"math"
	"testing"

	"hangtrue/internal/engine/air"
	"hangtrue/internal/engine/quantity"
)

func ft(x float64) float64 { return quantity.SI(x, "ft") }

func standard(t *testing.T, h float64) air.State {
	t.Helper()
	s, err := air.Standard(h)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestAltitudeOf_UndoesStandard(t *testing.T) {
	n := 0
	for h := -2000.0; h <= 20000; h += 500 {
		s := standard(t, h)
		// powers and logarithms of numbers near one lose a few digits over 20 km
		if got := air.AltitudeOf(s.Pressure); math.Abs(got-h) > 1e-7 {
			t.Errorf("%g m reads %.9f m", h, got)
		}
		if got := s.DensityAltitude(); math.Abs(got-h) > 1e-7 {
			t.Errorf("%g m has a density altitude of %.9f m", h, got)
		}
		n++
	}
	if n != 45 {
		t.Errorf("tried %d altitudes, want 45", n)
	}
}

func TestStandard_IsHydrostatic(t *testing.T) {
	for _, h := range []float64{0, 3000, 10900, 10999, 11001, 15000} {
		const step = 0.5
		a, b := standard(t, h-step), standard(t, h+step)
		// dp/dh = −ρg; the central difference is off by less than 1e-9 of it
		if got, want := (b.Pressure-a.Pressure)/(2*step), -standard(t, h).Density*quantity.StandardGravity; math.Abs(got-want) > 1e-6*math.Abs(want) {
			t.Errorf("at %g m the pressure falls by %g Pa/m, want %g", h, got, want)
		}
	}
}

func TestAt_HumidityMakesAirLighter(t *testing.T) {
	last := 0.0
	for i, humidity := range []float64{0, 0.3, 0.6, 1} {
		s, err := air.At(ft(6000), quantity.SI(30, "degC"), humidity)
		if err != nil {
			t.Fatal(err)
		}
		if h := s.DensityAltitude(); i > 0 && h <= last {
			t.Errorf("at %g the density altitude is %g m, no higher than when drier", humidity, h)
		}
		last = s.DensityAltitude()
	}
	dry, _ := air.At(ft(6000), quantity.SI(30, "degC"), 0)
	// Saturated at 30 degC, vapour is 5.3 % of the air at 812 hPa and 37.8 % lighter: about 2 % less density, 200 m.
	if d := last - dry.DensityAltitude(); d < 150 || d > 250 {
		t.Errorf("saturated air is %g m higher than dry air, want about 200 m", d)
	}
}

func TestHumidityFromDewPoint(t *testing.T) {
	for _, c := range []struct{ t, dew, want, tol float64 }{
		{20, 20, 1, 1e-12},
		// WMO tables give 23.37 and 12.27 hPa at 20 and 10 degC, from memory: 52.5 %
		{20, 10, 0.525, 0.001},
	} {
		got, err := air.HumidityFromDewPoint(quantity.SI(c.t, "degC"), quantity.SI(c.dew, "degC"))
		if err != nil || math.Abs(got-c.want) > c.tol {
			t.Errorf("%g and %g degC: %g (%v), want %g", c.t, c.dew, got, err, c.want)
		}
	}
}

// A rule of thumb takes the standard temperature at the elevation of the field;
// it belongs at the pressure altitude.
func TestDensityAltitude_StandardTemperatureIsThatOfThePressureAltitude(t *testing.T) {
	pa, err := air.PressureAltitude(ft(5000), quantity.SI(29.45, "inHg"))
	if err != nil {
		t.Fatal(err)
	}
	if got := quantity.In(pa, "ft"); math.Abs(got-5438.6) > 0.05 {
		t.Errorf("pressure altitude %.2f ft, want 5438.6 (printed to a tenth)", got)
	}
	at := func(temperature float64) float64 {
		s, err := air.At(pa, temperature, 0)
		if err != nil {
			t.Fatal(err)
		}
		return s.DensityAltitude()
	}
	if got := at(standard(t, pa).Temperature); math.Abs(got-pa) > 1e-6 {
		t.Errorf("at the standard temperature of its pressure altitude the density altitude is %g m, want %g", got, pa)
	}
	if got := at(standard(t, ft(5000)).Temperature); math.Abs(got-pa) < 10 {
		t.Errorf("at the standard temperature of the field the density altitude is %g m: no different", got)
	}
}

func TestRing_FallsFromTheWakesSpeed(t *testing.T) {
	w, err := air.Hover(air.Rotors{Count: 1, Diameter: 12}, 30e3, 1.1)
	if err != nil {
		t.Fatal(err)
	}
	last := math.Inf(1)
	n := 0
	for d := 0.0; d <= 72; d += 3 {
		v, err := w.Ring(d)
		if err != nil {
			t.Fatal(err)
		}
		if v > last || v > w.Far {
			t.Errorf("%g m/s at %g m, %g nearer in", v, d, last)
		}
		if v < w.Far {
			if back, ok := w.RingAt(v); !ok || math.Abs(back-d) > 1e-9*d {
				t.Errorf("%g m/s is reached at %g m (%v), want %g", v, back, ok, d)
			}
		}
		last = v
		n++
	}
	if n != 25 {
		t.Errorf("tried %d distances", n)
	}
	if _, ok := w.RingAt(0.1); ok {
		t.Error("the ring answers beyond its range")
	}
	if got := w.Beneath(0); got != w.Induced {
		t.Errorf("%g m/s in the disc, want %g", got, w.Induced)
	}
	// 20 radii down the tube is within 0.07 % of its far speed.
	if got := w.Beneath(120); math.Abs(got-w.Far) > 1e-3*w.Far {
		t.Errorf("%g m/s far below, want %g", got, w.Far)
	}
}

// The power that the rotor gives the air is that of the wake's motion: T·v, and
// half the mass flow times the square of the far speed.
func TestHover_EnergyOfTheWake(t *testing.T) {
	for _, r := range []air.Rotors{{1, 11}, {2, 18.3}} {
		w, err := air.Hover(r, 55e3, 0.96)
		if err != nil {
			t.Fatal(err)
		}
		flow := w.Density * r.Area() * w.Induced
		if got, want := w.Thrust*w.Induced, flow*w.Far*w.Far/2; math.Abs(got-want) > 1e-9*want {
			t.Errorf("%+v: %g W given, %g W in the wake", r, got, want)
		}
		if got := flow * w.Far; math.Abs(got-w.Thrust) > 1e-9*w.Thrust {
			t.Errorf("%+v: momentum %g N, thrust %g N", r, got, w.Thrust)
		}
	}
}

func TestAir_RefusesWhatCannotBe(t *testing.T) {
	second := func(_ any, err error) error { return err }
	pa := func(h, q float64) error { _, err := air.PressureAltitude(h, q); return err }
	for _, c := range []struct {
		name string
		err  error
		want string
	}{
		{"too high", second(air.Standard(20001)), "altitude"},
		{"not a number", second(air.Standard(math.NaN())), "altitude"},
		{"hPa taken for inHg", pa(0, quantity.SI(1013, "inHg")), "qnh"},
		{"inHg taken for hPa", pa(0, quantity.SI(29.92, "hPa")), "qnh"},
		{"under the sea", pa(-3000, 101325), "elevation"},
		{"degF taken for degC", second(air.At(0, quantity.SI(95, "degC"), 0)), "temperature"},
		{"percent taken for a ratio", second(air.At(0, 288, 50)), "humidity"},
		{"dew point above", second(air.HumidityFromDewPoint(280, 281)), "dew-point"},
		{"no rotor", second(air.Hover(air.Rotors{}, 1, 1)), "rotors"},
		{"no weight", second(air.Hover(air.Rotors{Count: 1, Diameter: 10}, 0, 1)), "thrust"},
	} {
		var p *air.Problem
		if !errors.As(c.err, &p) || p.Key != c.want || p.Hint == "" {
			t.Errorf("%s: got %v, want a problem with %s and a hint", c.name, c.err, c.want)
		}
	}
}
