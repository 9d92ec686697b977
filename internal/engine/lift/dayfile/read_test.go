package dayfile_test

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"hangtrue/internal/data/aircraft"
	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/lift/aircraftfile"
	"hangtrue/internal/engine/lift/dayfile"
	"hangtrue/internal/engine/quantity"
)

const whole = `format: hangtrue.day/1
title: Huts
aircraft: single
begins: 07:30
until: 12:00
start: valley
fuel: 250 kg
fills: [200 kg, 300 kg]
speed: {empty: 90 kt, loaded: 60 kt}
times: {hook-up: 3 min, set-down: 2 min, refuel: 8 min}
places:
  - {id: valley, fuel: yes, elevation: 2000 ft, air: [{qnh: 1013.25 hPa, temperature: 9 degC}]}
  - id: hut
    elevation: 1870 m
    air:
      - {pressure-altitude: 1850 m, temperature: 3 degC}
      - {from: 11:00, qnh: 1016 hPa, temperature: 11 degC}
distances:
  - {between: [valley, hut], distance: 7.4 km}
lifts:
  - id: gas
    from: valley
    loads:
      - id: gas
        mass: 520 kg
        known: weighed
        to: hut
        hook: belly
        rigging: [{what: net, rated: 1000 kg}]
        equipment: [{what: net, mass: 10 kg, home: on hook, swivel: yes, weighted: 8 kg}]
`

func single(t *testing.T) *lift.Aircraft {
	t.Helper()
	for _, f := range aircraft.Files() {
		if f.Name == "single" {
			a, problems := aircraftfile.Read(f.Data)
			if a == nil {
				t.Fatal(problems)
			}
			return a
		}
	}
	t.Fatal("no aircraft single")
	return nil
}

func TestRead_Whole(t *testing.T) {
	f, problems := dayfile.Read([]byte(whole))
	if f == nil {
		t.Fatal(problems[0].Format("whole"))
	}
	if f.Aircraft != "single" || f.Begins != 7.5*quantity.Hour {
		t.Errorf("%+v", f)
	}
	d, problems := f.With(single(t))
	if d == nil {
		t.Fatal(problems[0].Format("whole"))
	}
	if d.Until != 4.5*quantity.Hour || d.Fuel != 250 || len(d.FuelTo) != 2 || d.HookUp != 180 || math.Abs(d.Loaded-60*quantity.Knot) > 1e-12 {
		t.Errorf("%+v", d)
	}
	if d.Distance[0][1] != 7400 || d.Distance[1][0] != 7400 || d.Distance[0][0] != 0 || !d.Places[0].Fuel || d.Places[1].Fuel {
		t.Errorf("places %+v, distances %v", d.Places, d.Distance)
	}
	if h := d.Places[1].Hours; len(h) != 2 || h[0].PressureAltitude != 1850 || h[1].From != 3.5*quantity.Hour || math.Abs(quantity.In(d.Places[0].Hours[0].PressureAltitude, "ft")-2000) > 1e-6 {
		t.Errorf("air %+v, %+v", d.Places[0].Hours, h)
	}
	l := d.Lifts[0].Loads[0]
	if l.To != 1 || l.Hook != "belly" || l.Weight.Known != lift.Weighed || len(l.Rigging) != 1 || l.Equipment[0].Home != lift.OnHook || l.Equipment[0].Weighted != 8 {
		t.Errorf("load %+v", l)
	}
	plan, wrong := lift.PlanDay(d)
	if len(wrong) > 0 || len(plan.Trips) != 1 || len(plan.Hangings[0]) != 2 {
		t.Errorf("plan %+v %v", plan, wrong)
	}
}

func TestRead_NamesWhatIsWrong(t *testing.T) {
	for _, tt := range []struct {
		name, from, to, text string
		line                 int
	}{
		{"no time of day", "begins: 07:30", "begins: 7.30", "is no time of day", 4},
		{"61 minutes", "begins: 07:30", "begins: 07:61", "is no time of day", 4},
		{"ends before it begins", "until: 12:00", "until: 06:00", "ends before it begins", 5},
		{"unknown start", "start: valley", "start: vale", `no place "vale"`, 6},
		{"unknown place of a load", "to: hut", "to: huts", `no place "huts"`, 27},
		{"no distance", "  - {between: [valley, hut], distance: 7.4 km}", "  []", "between valley and hut is not entered", 18},
		{"distance to itself", "[valley, hut]", "[valley, valley]", "to itself", 19},
		{"QNH without elevation", "    elevation: 1870 m\n", "", "gives no pressure altitude", 16},
		{"QNH in the wrong unit", "qnh: 1016 hPa", "qnh: 30 hPa", "", 17},
		{"second air without a time", "{from: 11:00, qnh", "{qnh", "from when on", 17},
		{"estimate without tolerance", "known: weighed", "known: estimated", "an estimate needs its tolerance", 24},
		{"unknown hook", "hook: belly", "hook: nose", `no hook "nose"`, 28},
		{"too much fuel", "fuel: 250 kg", "fuel: 2500 kg", "does not go into the tanks", 7},
	} {
		text := strings.Replace(whole, tt.from, tt.to, 1)
		if text == whole {
			t.Fatalf("%s: nothing was replaced", tt.name)
		}
		f, problems := dayfile.Read([]byte(text))
		if f != nil {
			_, problems = f.With(single(t))
		}
		if len(problems) == 0 || !strings.Contains(problems[0].String(), tt.text) || problems[0].Line != tt.line {
			t.Errorf("%s: %+v, want line %d and %q", tt.name, problems, tt.line, tt.text)
		}
	}
}

func TestSchema_IsJSON(t *testing.T) {
	var top struct{ Properties map[string]any }
	if err := json.Unmarshal(dayfile.Schema(), &top); err != nil || len(top.Properties) != 15 {
		t.Errorf("%d keys (%v), want 15", len(top.Properties), err)
	}
}
