package quantity_test

import (
	"math"
	"strings"
	"testing"

	"hangtrue/internal/engine/quantity"
)

func TestSystem_WritesForPeople(t *testing.T) {
	m, us := quantity.Metric, quantity.US
	tests := []struct{ got, want string }{
		{m.Length(3.6576), "3.66 m"},
		{m.Length(0.0254), "0.025 m"},
		{m.Length(-0.00001), "0.000 m"},
		{us.Length(3.6576), "12.00 ft"},
		{us.Length(-1e-9), "0.00 ft"},
		{m.Size(0.02794), "27.9 mm"},
		{us.Size(0.02794), "1.10 in"},
		{m.Distance(18520), "18.5 km"},
		{us.Distance(18520), "10.0 nmi"},
		{m.Mass(2100), "2100 kg"},
		{m.Mass(99.94), "99.9 kg"},
		{m.Mass(99.96), "100 kg"},
		{m.Mass(7.25), "7.2 kg"},
		{us.Mass(0.45359237 * 6250), "6250 lb"},
		{m.Force(20594), "20.59 kN"},
		{us.Force(4.4482216152605 * 6250), "6250 lbf"},
		{m.Force(-0.4), "0.00 kN"},
		{m.Volume(0.2), "200 L"},
		{us.Volume(0.003785411784 * 55), "55.0 USgal"},
		{m.Speed(10), "10.0 m/s"},
		{us.Speed(1852.0 / 36), "100 kt"},
		{m.Airspeed(1852.0 / 36), "100 kt"},
		{m.Temperature(288.15), "15.0 degC"},
		{us.Temperature(288.15), "59 degF"},
		{m.Pressure(101325), "1013.2 hPa"},
		{us.Pressure(101325), "29.92 inHg"},
		{m.Angle(math.Pi / 4), "45.0 deg"},
		{m.Density(1.225), "1.2 kg/m3"},
		{m.MassFlow(0.05), "180 kg/h"},
		{m.VolumeFlow(1e-4), "360 L/h"},
		{m.Area(1), "1.00 m2"},
		{us.Area(1), "10.8 ft2"},
		{m.Duration(5), "5.0 s"},
		{m.Duration(1200), "20 min"},
		{m.Duration(9000), "2.5 h"},
		{m.RotationRate(2 * math.Pi * 5), "300 rpm"},
		{m.Percent(0.8125), "81.2 %"},
		{m.Force(math.NaN()), quantity.NoValue},
		{us.Mass(math.Inf(1)), quantity.NoValue},
	}
	for _, tt := range tests {
		if tt.got != tt.want {
			t.Errorf("got %q, want %q", tt.got, tt.want)
		}
	}
}

func TestSystem_WhatIsShownCanBeReadBack(t *testing.T) {
	shown := 0
	for _, system := range []quantity.System{quantity.Metric, quantity.US} {
		for _, kind := range quantity.Kinds() {
			for _, value := range []float64{0, math.Copysign(0, -1), 1e-12, -1e-12, 0.5, -0.04, 3, 99.95, 12345.678} {
				if kind == quantity.Temperature {
					value += 273.15
				}
				text := system.Show(value, kind)
				if strings.HasPrefix(text, "-0 ") || strings.HasPrefix(text, "-0.0 ") || strings.HasPrefix(text, "-0.00") && !strings.ContainsAny(text, "123456789") {
					t.Errorf("%s %v is shown as %q", kind, value, text)
				}
				if _, err := quantity.Parse(text, kind); err != nil {
					t.Errorf("%s %v is shown as %q: %v", kind, value, text, err)
				}
				shown++
			}
		}
	}
	if shown != 2*15*9 {
		t.Errorf("showed %d values, want %d", shown, 2*15*9)
	}
}

func TestCount_TellsTheSystemOfAFile(t *testing.T) {
	for _, tt := range []struct {
		units []string
		want  quantity.System
	}{
		{nil, quantity.Metric},
		{[]string{"ft", "lb", "kN"}, quantity.US},
		{[]string{"m", "lb", "kN"}, quantity.Metric},
		{[]string{"deg", "%", "kt"}, quantity.Metric},
		{[]string{"ft", "m"}, quantity.Metric},
	} {
		if got := quantity.Count(tt.units); got != tt.want {
			t.Errorf("%v: got %s, want %s", tt.units, got, tt.want)
		}
	}
}

func TestUnits_AreUSOrMetricOrNeither(t *testing.T) {
	tests := map[string][2]bool{ // US, metric
		"ft": {true, false}, "in": {true, false}, "lb": {true, false}, "lbf": {true, false}, "USgal": {true, false},
		"degF": {true, false}, "inHg": {true, false}, "ft2": {true, false},
		"m": {false, true}, "kN": {false, true}, "degC": {false, true}, "hPa": {false, true}, "L": {false, true},
		"%": {}, "deg": {}, "kt": {}, "nmi": {}, "h": {}, "rpm": {}, "furlong": {},
	}
	for unit, want := range tests {
		if got := [2]bool{quantity.IsUS(unit), quantity.IsMetric(unit)}; got != want {
			t.Errorf("%s: US, metric = %v, want %v", unit, got, want)
		}
	}
}
