package audit_test

import (
	"strings"
	"testing"

	"hangtrue/internal/engine/audit"
)

// tanks are four tanks of every kind hung off their middle, so that each tilts:
// a lying drum part-filled, a box part-filled, a standing drum, and one of
// fabric.
const tanks = `format: hangtrue.rig/1
leg-tolerance: 5 mm
bodies:
  - id: lying
    shape: {drum: {length: 1.6 m, diameter: 0.9 m}}
    holds: {liquid: diesel, volume: 500 L, at: 8 degC, hottest: 40 degC, capacity: 950 L}
    tare: 90 kg
    points: {F: [0.9 m, 0.1 m, 0.95 m], R: [-0.6 m, 0.1 m, 0.95 m], L: [0.1 m, 0.5 m, 0.9 m]}
legs:
  - {id: F, to: lying.F, length: 3 m, stretch: 1 % at 20 kN, rated: 20 kN}
  - {id: R, to: lying.R, length: 3 m, stretch: 1 % at 20 kN, rated: 20 kN}
  - {id: L, to: lying.L, length: 3.05 m, stretch: 1 % at 20 kN, rated: 20 kN}
`

func TestRun_AgreesOnLiquidsAsTheyHang(t *testing.T) {
	box := strings.Replace(tanks, "drum: {length: 1.6 m, diameter: 0.9 m}", "box: [1.6 m, 0.9 m, 0.9 m]", 1)
	for _, c := range []struct{ name, from, to, of string }{
		{"lying drum", "title", "title", tanks},
		{"lying across", "diameter: 0.9 m}", "diameter: 0.9 m, axis: y}", tanks},
		{"standing drum", "diameter: 0.9 m}", "diameter: 0.9 m, axis: z}", tanks},
		{"box", "title", "title", box},
		{"box nearly empty", "volume: 500 L", "volume: 20 L", box},
		{"box to the brim", "volume: 500 L", "volume: 949.9 L", box},
		{"drum nearly full", "volume: 500 L", "volume: 940 L", tanks},
		{"over-full when hot", "volume: 500 L", "volume: 945 L", tanks},
		{"by mass", "volume: 500 L", "mass: 430 kg", tanks},
		{"fresh water", "liquid: diesel", "liquid: fresh water", tanks},
		{"sea water", "liquid: diesel", "liquid: {name: brine, salinity: 20}", tanks},
		{"by density", "liquid: diesel", "liquid: {name: x, density-15: 779 kg/m3}", tanks},
		{"petrol", "liquid: diesel", "liquid: petrol", tanks},
		{"fuel oil by gravity", "liquid: diesel", "liquid: {name: x, api: 22}", tanks},
		{"outline as capacity", ", capacity: 950 L", "", tanks},
		{"fabric", "capacity: 950 L", "collapsible: yes, fill-bounds: [300 L, 900 L]", box},
		{"fabric without bounds", "capacity: 950 L", "collapsible: yes", box},
		{"fabric under-filled", "capacity: 950 L", "collapsible: yes, fill-bounds: [600 L, 900 L]", box},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := strings.Replace(c.of, c.from, c.to, 1)
			if text == c.of && c.from != "title" {
				t.Fatal("nothing was replaced")
			}
			report, err := audit.Run([]byte(text), solved(t, []byte(text)))
			if err != nil {
				t.Fatal(err)
			}
			for _, d := range report.Disagreements {
				t.Error(d)
			}
			if report.Compared < 40 {
				t.Errorf("only %d numbers were compared", report.Compared)
			}
		})
	}
}

// Another volume, temperature or liquid than the solution was made with shows
// in the masses; a tank that shifts its liquid another way in the balance.
func TestRun_SeesAnotherFill(t *testing.T) {
	good := solved(t, []byte(tanks))
	for _, c := range []struct{ name, from, to, about string }{
		{"volume", "volume: 500 L", "volume: 501 L", "mass_kg"},
		{"temperature", "at: 8 degC", "at: 9 degC", "mass_kg"},
		{"liquid", "liquid: diesel", "liquid: jet fuel", "mass_kg"},
		{"capacity", "capacity: 950 L", "capacity: 960 L", "cg_m"},
		{"over-full", "hottest: 40 degC, capacity: 950 L", "hottest: 40 degC, capacity: 505 L", "result"},
	} {
		text := strings.Replace(tanks, c.from, c.to, 1)
		if text == tanks {
			t.Fatalf("%s: nothing was replaced", c.name)
		}
		report, err := audit.Run([]byte(text), good)
		if err != nil {
			t.Fatal(err)
		}
		seen := false
		for _, d := range report.Disagreements {
			seen = seen || strings.Contains(d.About, c.about)
		}
		if !seen {
			t.Errorf("%s: %v, want a disagreement about %s", c.name, report.Disagreements, c.about)
		}
	}
}
