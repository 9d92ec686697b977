package audit_test

import (
	"strings"
	"testing"

	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/audit"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/rigfile"
	"hangtrue/internal/engine/rig/solution"
)

// counted has what the demo rigs lack: legs counted by a rule, a heading, a
// leg that is slack, a rating in a hitch, a point made to be pulled one way, a
// body that hangs on nothing, limits that are passed.
const counted = `format: hangtrue.rig/1
legs-counted: 2
leg-tolerance: 5 mm
apex:
  - {at: [1 m, 2 m, 3 m], hook: 30 kN, rated: 5 kN}
bodies:
  - id: crate
    shape: {box: [2.4 m, 1.6 m, 1.2 m]}
    mass: 900 kg
    heading: 30 deg
    cg: [0.2 m, 0.1 m, 0.5 m]
    points:
      FL: {at: [1.2 m, 0.8 m, 1.2 m], rated: 4 kN, pull: [-0.5, -0.2, 1], within: 20 deg}
      FR: [1.2 m, -0.8 m, 1.2 m]
      RL: [-1.2 m, 0.8 m, 1.2 m]
      RR: [-1.2 m, -0.8 m, 1.2 m]
  - id: left-behind
    shape: {drum: {length: 1 m, diameter: 0.8 m, axis: z}}
    at: [5 m, 0 m, 0 m]
    mass: 100 kg
legs:
  - {id: FL, to: crate.FL, length: 4 m, stretch: 1 % at 20 kN, rated: 10 kN, hitch: choke}
  - {id: FR, to: crate.FR, length: 4 m, stretch: 1 % at 20 kN, rated: 10 kN, clevis: 3 kN}
  - {id: RL, to: crate.RL, length: 4 m, stretch: 1 % at 20 kN, rated: 10 kN}
  - {id: RR, to: crate.RR, length: 4 m, stretch: 1 % at 20 kN}
  - {id: spare, to: crate.RR, length: 6 m, stretch: 1 % at 20 kN}
sets:
  - {id: S, legs: [FL, FR], rated: 1000 kg, up-to: 30 deg}
  - {id: T, legs: [RL, RR]}
limits: {pitch: [-1 deg, 1 deg], roll: [-10 deg, 10 deg]}
procedure: {publication: INVENTED, covers: {weight: [100 kg, 5000 kg]}}
`

// solved hangs a rig file and publishes the solution.
func solved(t *testing.T, data []byte) []byte {
	t.Helper()
	r, problems := rigfile.Read(data)
	if len(problems) > 0 {
		t.Fatalf("the rig has problems: %v", problems)
	}
	a, err := rig.Hang(r)
	if err != nil {
		t.Fatal(err)
	}
	out, err := solution.Of(a).Encode()
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// rigs are all that is audited here: the demo rigs and the one above.
func rigs() []demo.Rig {
	return append(demo.Rigs(), demo.Rig{Name: "counted", Data: []byte(counted)})
}

func TestRun_AgreesWithTheSolver(t *testing.T) {
	n := 0
	for _, r := range rigs() {
		n++
		t.Run(r.Name, func(t *testing.T) {
			report, err := audit.Run(r.Data, solved(t, r.Data))
			if err != nil {
				t.Fatal(err)
			}
			for _, d := range report.Disagreements {
				t.Error(d)
			}
			if len(report.NotCompared) > 0 {
				t.Errorf("numbers that nothing is held against: %v", report.NotCompared)
			}
			if report.Compared < 40 {
				t.Errorf("only %d numbers were compared", report.Compared)
			}
			if report.Weight <= 0 || report.Allowed < 1e-6*report.Weight {
				t.Errorf("weight %g N, allowed %g N", report.Weight, report.Allowed)
			}
		})
	}
	if n < 11 {
		t.Errorf("only %d rigs were audited", n)
	}
}

func TestRun_RefusesWhatItCannotRead(t *testing.T) {
	data := []byte(counted)
	good := string(solved(t, data))
	for _, c := range []struct{ name, rig, solution, want string }{
		{"a rig that is no rig", "hello", good, "rig file: it is not YAML with keys"},
		{"another rig format", strings.Replace(counted, "rig/1", "rig/2", 1), good, "rig file: its format is hangtrue.rig/2"},
		{"a rig without bodies", "format: hangtrue.rig/1\n", good, "rig file: it has no bodies"},
		{"a leg to nowhere", strings.Replace(counted, "to: crate.FL", "to: crate.XX", 1), good, "leg FL leads to crate.XX"},
		{"a count to be found", strings.Replace(counted, "length: 6 m, stretch: 1 % at 20 kN", "chain: {links: 9, pitch: 3 cm, stretch: 1 % at 20 kN}, count: find", 1), good, "count of leg spare"},
		{"an unknown liquid", strings.Replace(counted, "mass: 100 kg", "holds: {liquid: milk, volume: 100 L, at: 20 degC}", 1), good, "knows no liquid milk"},
		{"no JSON", counted, "{", "solution: it is not JSON"},
		{"more after the end", counted, good + "{}", "solution: there is more after its end"},
		{"another solution format", counted, strings.Replace(good, "solution/1", "solution/9", 1), "solution: its format is hangtrue.solution/9"},
		{"a key missing", counted, strings.Replace(good, `"tension_n"`, `"tension"`, 1), "tension_n is not a number"},
		{"another body", counted, strings.Replace(good, `"id": "crate"`, `"id": "box"`, 1), `body number 1 is "box"`},
		{"a leg less", strings.Replace(counted, "  - {id: spare", "#", 1), good, "it is not of this rig"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := audit.Run([]byte(c.rig), []byte(c.solution))
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got error %v, want one with %q", err, c.want)
			}
		})
	}
}

func TestRun_NamesTheOtherVersionOfARig(t *testing.T) {
	data := []byte(counted)
	out := strings.Replace(string(solved(t, data)), `"format"`, `"rig_sha256": "00", "format"`, 1)
	report, err := audit.Run(data, []byte(out))
	if err != nil {
		t.Fatal(err)
	}
	if len(report.Disagreements) != 1 || report.Disagreements[0].About != "rig_sha256" {
		t.Errorf("got %v, want one about rig_sha256", report.Disagreements)
	}
}
