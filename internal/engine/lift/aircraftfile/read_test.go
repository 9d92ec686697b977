package aircraftfile_test

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"hangtrue/internal/data/aircraft"
	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/lift/aircraftfile"
	"hangtrue/internal/engine/quantity"
)

const whole = `format: hangtrue.aircraft/1
title: Test
source: {publication: flight manual, edition: "3", change: "2"}
empty: {mass: 1000 kg, at: [0.1 m, 0 m, 1 m]}
crew: [{what: pilot, mass: 90 kg}]
kit: [{what: mirror, mass: 10 kg}]
fuel: {capacity: 500 L, density: 800 kg/m3, burn: 180 L/h, reserve: 30 min}
limits: {gross: 1900 kg, external-gross: 2000 kg, cg: [-10 cm, 20 cm]}
hooks:
  - {id: belly, rated: 700 kg, section: 20 mm, inside: 45 mm}
  - {id: rear}
hooks-together: [{hooks: [belly, rear], rated: 900 kg}]
hover:
  oge:
    altitudes: [0 ft, 5000 ft]
    temperatures: [0 degC, 30 degC]
    gross: [[2000 kg, 1900 kg], [1800 kg, none]]
    source: figure 5-3
rotors: {count: 1, diameter: 10 m, speed: 390 rpm, blades: 3}
spacers: [{apex: small, hook: belly, spacer: forbidden}]
airspeeds: [{what: any, limit: 80 kt}]
reductions: [{what: fixed, mass: 50 kg, for: loads that cannot be jettisoned}]
`

func TestRead_Whole(t *testing.T) {
	a, problems := aircraftfile.Read([]byte(whole))
	if len(problems) > 0 {
		t.Fatal(problems[0].Format("whole"))
	}
	s := a.Spec()
	if got := s.Fuel; math.Abs(got.Capacity-400) > 1e-9 || math.Abs(got.Burn-0.04) > 1e-12 || got.Reserve == nil || math.Abs(*got.Reserve-72) > 1e-9 {
		t.Errorf("fuel %+v, want 400 kg, 0.04 kg/s and half an hour of it", got)
	}
	if a.Operating() != 1100 || *s.Gross != 1900 || *s.External != 2000 || *s.Balance != [2]float64{-0.1, 0.2} {
		t.Errorf("weights: operating %g, %+v", a.Operating(), s)
	}
	if h, _ := a.Hook("belly"); math.Abs(*h.Rated-700*quantity.StandardGravity) > 1e-9 || *h.Section != 0.02 || *h.Inside != 0.045 {
		t.Errorf("hook %+v", h)
	}
	if s.OGE.Source != "figure 5-3" || s.OGE.Gross[1][0] != 1800 || !math.IsNaN(s.OGE.Gross[1][1]) || s.IGE != nil {
		t.Errorf("table %+v", s.OGE)
	}
	if s.Source.String() != "flight manual, 3, 2" || s.Rotors.Diameter != 10 || !s.Reductions[0].NotJettisoned || a.Spacer("small", "belly") != "forbidden" || len(s.Airspeeds) != 1 || len(s.Together) != 1 {
		t.Errorf("%+v", s)
	}
}

func TestRead_NamesWhatIsWrong(t *testing.T) {
	for _, tt := range []struct{ name, from, to, path, text string }{
		{"no source", "source: {publication: flight manual, edition: \"3\", change: \"2\"}\n", "", "", "where its figures come from"},
		{"litres without density", "density: 800 kg/m3, burn: 180 L/h", "burn: 100 kg/h", "fuel.capacity", "without a density"},
		{"reserve of all", "reserve: 30 min", "reserve: 3 h", "fuel.reserve", "all that the tanks hold"},
		{"hook unknown", "hooks: [belly, rear]", "hooks: [belly, nose]", "hooks-together[0].hooks[1]", "no hook"},
		{"row too short", "[1800 kg, none]", "[1800 kg]", "hover.oge.gross[1]", "2 entries"},
		{"mass without unit", "2000 kg, 1900 kg]", "2000, 1900 kg]", "hover.oge.gross[0][0]", "needs a unit"},
		{"altitudes fall", "[0 ft, 5000 ft]", "[5000 ft, 0 ft]", "hover.oge.altitudes[1]", "do not rise"},
		{"unknown key", "blades: 3", "blade: 3", "rotors.blade", "did you mean blades"},
		{"limit below the empty weight", "gross: 1900 kg", "gross: 900 kg", "limits.gross", "no more than the operating weight"},
	} {
		text := strings.Replace(whole, tt.from, tt.to, 1)
		if text == whole {
			t.Fatalf("%s: nothing was replaced", tt.name)
		}
		_, problems := aircraftfile.Read([]byte(text))
		if len(problems) == 0 || problems[0].Path != tt.path || tt.name != "row too short" && !strings.Contains(problems[0].String(), tt.text) {
			t.Errorf("%s: problems %+v, want one at %s that says %q", tt.name, problems, tt.path, tt.text)
		}
		for _, p := range problems {
			if p.Line < 1 || p.Line > strings.Count(whole, "\n") {
				t.Errorf("%s: line %d", tt.name, p.Line)
			}
		}
	}
}

func TestSchema_IsJSON(t *testing.T) {
	var top struct {
		Properties map[string]any
	}
	if err := json.Unmarshal(aircraftfile.Schema(), &top); err != nil || len(top.Properties) != 18 {
		t.Errorf("%d keys (%v), want 18", len(top.Properties), err)
	}
}

func TestShippedAircraft_AreInventedAndClean(t *testing.T) {
	files := aircraft.Files()
	if len(files) != 3 {
		t.Fatalf("%d aircraft, want 3", len(files))
	}
	for _, f := range files {
		a, problems := aircraftfile.Read(f.Data)
		if len(problems) > 0 {
			t.Errorf("%s", problems[0].Format(f.Name))
			continue
		}
		s := a.Spec()
		if !s.Invented || s.Rotors == nil || s.OGE == nil || s.External == nil || s.Fuel.Reserve == nil {
			t.Errorf("%s: not marked invented, or something that the demo needs is missing", f.Name)
		}
		for _, table := range []*lift.Table{s.OGE, s.IGE} {
			if table == nil {
				continue
			}
			for _, slip := range table.Slips(f.Name, s.Show) {
				if slip.Code != "table-has-holes" || f.Name != "tandem" {
					t.Errorf("%s: %s", f.Name, slip.Text)
				}
			}
		}
		// In ground effect an aircraft lifts no less than out of it.
		if s.IGE != nil {
			for i, row := range s.OGE.Gross {
				for k, m := range row {
					if s.IGE.Gross[i][k] < m {
						t.Errorf("%s: %g kg in ground effect, %g out of it", f.Name, s.IGE.Gross[i][k], m)
					}
				}
			}
		}
		// Each lifts something useful in the mountains with half its fuel.
		m, err := s.OGE.At(quantity.SI(6000, "ft"), quantity.SI(15, "degC"))
		if useful := m - a.Operating() - s.Fuel.Capacity/2; err != nil || useful < 0.15*a.Operating() {
			t.Errorf("%s: carries %g kg at 6000 ft (%v)", f.Name, useful, err)
		}
	}
}
