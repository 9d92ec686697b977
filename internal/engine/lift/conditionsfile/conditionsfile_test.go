package conditionsfile_test

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"hangtrue/internal/engine/lift/conditionsfile"
	"hangtrue/internal/engine/quantity"
)

const whole = `format: hangtrue.conditions/1
pick-up: {place: valley, elevation: 1000 ft, qnh: 1013.25 hPa, temperature: 14 degC, fuel: 700 kg}
drop-off:
  place: hut
  pressure-altitude: 1800 m
  temperature: 8 degC
  in-ground-effect: yes
flight: 7 min
home: 6 min
hooks: {apex: belly}
fitting: {kind: apex-large, inside: 60 mm, stock: 25 mm}
jettisonable: no
aboard: [{what: water, mass: 30 kg}]
rigging: [{what: net, rated: 2000 kg}, {what: line}]
`

func TestRead_Whole(t *testing.T) {
	c, problems := conditionsfile.Read([]byte(whole))
	if c == nil {
		t.Fatal(problems[0].Format("whole"))
	}
	if h := quantity.In(c.PickUp.PressureAltitude, "ft"); math.Abs(h-1000) > 1e-6 || c.PickUp.Place != "valley" || c.PickUp.Fuel != 700 || c.PickUp.InGround {
		t.Errorf("pick-up %+v", c.PickUp)
	}
	if c.DropOff.PressureAltitude != 1800 || !c.DropOff.InGround || c.Flight == nil || *c.Flight != 420 || c.Home != 360 {
		t.Errorf("drop-off %+v, flight %v, home %g", c.DropOff, c.Flight, c.Home)
	}
	if c.Hooks["apex"] != "belly" || c.Fitting.Kind != "apex-large" || *c.Fitting.Inside != 0.06 || !c.NotJettisoned || len(c.Extra) != 1 {
		t.Errorf("%+v", c)
	}
	if len(c.Rigging) != 2 || c.Rigging[0].Rated == nil || c.Rigging[1].Rated != nil {
		t.Errorf("rigging %+v", c.Rigging)
	}
}

func TestRead_NamesWhatIsWrong(t *testing.T) {
	for _, tt := range []struct {
		name, from, to, text string
		line                 int
	}{
		{"QNH in the wrong unit", "qnh: 1013.25 hPa", "qnh: 29.92 hPa", "", 2},
		{"QNH without its unit", "qnh: 1013.25 hPa", "qnh: 1013.25", "needs a unit", 2},
		{"elevation without QNH", ", qnh: 1013.25 hPa", "", "without a QNH", 2},
		{"no fuel at drop-off", "flight: 7 min\n", "", "the fuel at drop-off is not known", 3},
		{"fuel twice", "  temperature: 8 degC", "  temperature: 8 degC\n  fuel: 600 kg", "the flight there too", 9},
		{"two altitudes", "pressure-altitude: 1800 m", "pressure-altitude: 1800 m\n  elevation: 1800 m", "only one of", 3},
		{"unknown key", "home:", "hme:", "did you mean home", 9},
	} {
		text := strings.Replace(whole, tt.from, tt.to, 1)
		if text == whole {
			t.Fatalf("%s: nothing was replaced", tt.name)
		}
		_, problems := conditionsfile.Read([]byte(text))
		if len(problems) == 0 || !strings.Contains(problems[0].String(), tt.text) || problems[0].Line != tt.line {
			t.Errorf("%s: %+v, want line %d and %q", tt.name, problems, tt.line, tt.text)
		}
	}
}

func TestSchema_IsJSON(t *testing.T) {
	var top struct{ Properties map[string]any }
	if err := json.Unmarshal(conditionsfile.Schema(), &top); err != nil || len(top.Properties) != 12 {
		t.Errorf("%d keys (%v), want 12", len(top.Properties), err)
	}
}
