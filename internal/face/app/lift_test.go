package app_test

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/liquid"
	"hangtrue/internal/engine/procedure"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/face/app"
)

func demoRig(t *testing.T, name string) *app.Solved {
	t.Helper()
	for _, r := range demo.Rigs() {
		if r.Name == name {
			s := app.Solve(r.Data)
			if s.Answer == nil {
				t.Fatalf("%s: %v", name, s.Problems)
			}
			return &s
		}
	}
	t.Fatalf("no rig %s", name)
	return nil
}

func shippedAircraft(t *testing.T, name string) *app.Aircraft {
	t.Helper()
	data, ok := app.Shipped(name)
	if !ok {
		t.Fatalf("no aircraft %s", name)
	}
	a := app.ReadAircraft(data)
	if a.Aircraft == nil {
		t.Fatal(a.Problems)
	}
	return &a
}

// asMap encodes a document and reads it back: what a program gets.
func asMap(t *testing.T, d any) map[string]any {
	t.Helper()
	out, err := json.Marshal(d)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(string(out), `{"format":"hangtrue.`) {
		t.Errorf("it does not name its format first: %.60s", out)
	}
	var m map[string]any
	if err := json.Unmarshal(out, &m); err != nil {
		t.Fatal(err)
	}
	if m["caution"] == "" || m["caution"] == nil {
		t.Error("it carries no caution")
	}
	return m
}

func TestCarry_SaysWhatGoverns(t *testing.T) {
	inside, stock := 0.06, 0.025
	end := func(h, fuel float64) lift.End {
		return lift.End{PressureAltitude: h, Temperature: quantity.SI(10, "degC"), Fuel: fuel}
	}
	for _, tt := range []struct {
		altitude float64
		exit     int
		result   string
	}{{1800, app.ExitWithin, "within"}, {4200, app.ExitOver, "over"}, {5000, app.ExitCannotTell, "cannot-tell"}} {
		c := &lift.Conditions{PickUp: end(600, 600), DropOff: end(tt.altitude, 550), Fitting: lift.Fitting{Ring: lift.Ring{Inside: &inside, Stock: &stock}}}
		x := app.Carry(demoRig(t, "footbridge-two-hooks"), shippedAircraft(t, "twin"), c)
		if x.Answer == nil {
			t.Fatal(x.Problems)
		}
		d := asMap(t, x.Document())
		if x.Exit() != tt.exit || d["result"] != tt.result || d["invented"] != true || d["status"] == "" {
			t.Errorf("at %g m: exit %d, result %v, want %d, %s: %v", tt.altitude, x.Exit(), d["result"], tt.exit, tt.result, d["reason"])
		}
		if hooks := d["hooks"].([]any); len(hooks) != 2 || hooks[0].(map[string]any)["force_n"] == nil {
			t.Errorf("hooks %v", d["hooks"])
		}
		if p := x.Picture(); p.Check() != nil {
			t.Errorf("at %g m the picture cannot be drawn: %v", tt.altitude, p.Check())
		}
	}
}

func TestFill_JudgesTheRoomOfATankOnly(t *testing.T) {
	diesel, err := liquid.OfDensity("diesel", 835)
	if err != nil {
		t.Fatal(err)
	}
	volume, mass, hottest := 0.9, 735.0, quantity.SI(40, "degC")
	named, err := liquid.Named("diesel")
	if err != nil {
		t.Fatal(err)
	}
	drum := func(capacity float64) liquid.Tank {
		return liquid.Tank{Kind: liquid.Drum, Length: 1.5, Diameter: 0.9, Capacity: capacity}
	}
	at := quantity.SI(5, "degC")
	for _, tt := range []struct {
		name  string
		entry liquid.Entry
		tank  bool
		exit  int
	}{
		{"no tank", liquid.Entry{Liquid: diesel, Volume: &volume, At: at}, false, app.ExitWithin},
		{"room", liquid.Entry{Liquid: diesel, Volume: &volume, At: at, Hottest: &hottest, Tank: drum(0.94)}, true, app.ExitWithin},
		{"over-full", liquid.Entry{Liquid: diesel, Volume: &volume, At: at, Hottest: &hottest, Tank: drum(0.91)}, true, app.ExitOver},
		{"no hottest", liquid.Entry{Liquid: diesel, Volume: &volume, At: at, Tank: drum(0.94)}, true, app.ExitCannotTell},
		{"by mass, its density not entered", liquid.Entry{Liquid: named, Mass: &mass, At: at, Hottest: &hottest, Tank: drum(0.91)}, true, app.ExitCannotTell},
	} {
		x, problems := app.Fill(tt.entry, tt.tank, quantity.Metric)
		if x == nil {
			t.Fatalf("%s: %v", tt.name, problems)
		}
		if d := asMap(t, x.Document()); x.Exit() != tt.exit || (d["holds_m3"] != nil) != tt.tank {
			t.Errorf("%s: exit %d (%s), want %d", tt.name, x.Exit(), x.Reason, tt.exit)
		}
	}
}

func TestLookAtAir_WashGoesWithTheAir(t *testing.T) {
	elevation, qnh := quantity.SI(5883, "ft"), quantity.SI(30.10, "inHg")
	x, err := app.LookAtAir(app.AirAsked{Elevation: &elevation, QNH: &qnh, Temperature: quantity.SI(70, "degF")})
	if err != nil {
		t.Fatal(err)
	}
	if da := quantity.In(x.DensityAltitude, "ft"); math.Abs(da-7709.5) > 0.2 {
		t.Errorf("density altitude %g ft", da)
	}
	if err := x.AddWash(shippedAircraft(t, "single").Aircraft, 2000, 5); err != nil {
		t.Fatal(err)
	}
	for i := 1; i < len(x.Wash.Rings); i++ {
		if x.Wash.Rings[i].Speed > x.Wash.Rings[i-1].Speed {
			t.Errorf("the wind rises with distance: %v", x.Wash.Rings)
		}
	}
	d := asMap(t, x.Document())
	if w := d["wash"].(map[string]any); !strings.Contains(w["method_and_limits"].(string), "gusts are well above it") || w["invented"] != true {
		t.Errorf("wash %v", d["wash"])
	}
	if err := x.Picture(quantity.US).Check(); err != nil {
		t.Error(err)
	}
}

const dayText = `format: hangtrue.day/1
aircraft: single
begins: 07:30
start: valley
fuel: 250 kg
speed: {empty: 90 kt, loaded: 60 kt}
times: {hook-up: 3 min, set-down: 2 min, refuel: 8 min}
places:
  - {id: valley, fuel: yes, elevation: 640 m, air: [{qnh: 1018 hPa, temperature: 9 degC}]}
  - {id: hut, elevation: 1400 m, air: [{qnh: 1018 hPa, temperature: 3 degC}]}
distances: [{between: [valley, hut], distance: 7.4 km}]
lifts:
  - {id: gas, from: valley, loads: [{id: gas, mass: 400 kg, known: weighed, to: hut, hook: belly, rigging: [{what: net, rated: 1000 kg}]}]}
  - {id: safe, from: valley, loads: [{id: safe, mass: 1400 kg, known: weighed, to: hut, hook: belly, rigging: [{what: net, rated: 2000 kg}]}]}
`

func TestDay_PlansWritesAndDraws(t *testing.T) {
	d := app.ReadDay([]byte(dayText))
	if len(d.Problems) > 0 {
		t.Fatal(d.Problems)
	}
	d.PlanWith(shippedAircraft(t, "single"))
	if d.Plan == nil {
		t.Fatal(d.Problems)
	}
	if d.Exit() != app.ExitOver || len(d.Plan.Trips) != 1 || len(d.Plan.Left) != 1 {
		t.Errorf("exit %d, plan %+v", d.Exit(), d.Plan)
	}
	m := asMap(t, d.Document())
	if trips := m["trips"].([]any); len(trips) != 1 || m["invented"] != true {
		t.Errorf("%v", m)
	}
	out, err := d.CSV()
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(strings.NewReader(string(out))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	// A heading, hook up, carry, set down, and what is left over.
	if len(rows) != 5 || rows[1][5] != "07:30" || rows[4][1] != "left over" || !strings.HasPrefix(rows[4][10], "INVENTED") {
		t.Errorf("%q", rows)
	}
	if err := d.Picture().Check(); err != nil {
		t.Error(err)
	}
}

func TestHoldProcedures_CountsStandings(t *testing.T) {
	register := []byte("format: hangtrue.procedures/1\npublications:\n  - {title: Book, edition: \"2\"}\n  - {title: Book, edition: \"1\", superseded: yes}\n")
	rigText := "format: hangtrue.rig/1\nbodies: [{id: b, mass: 100 kg, cg: [0 m, 0 m, 0 m], points: {p: [0 m, 0 m, 1 m]}}]\nlegs: [{id: P, to: b.p, length: 3 m, stretch: 1 % at 20 kN}]\n"
	x := app.HoldProcedures(register, []app.NamedFile{
		{Name: "old", Data: []byte(rigText + "procedure: {publication: Book, edition: \"1\"}\n")},
		{Name: "none", Data: []byte(rigText)},
		{Name: "broken", Data: []byte("format: hangtrue.rig/1\n")},
	})
	if x.Count(procedure.ForReview) != 1 || x.Count(procedure.NotCited) != 1 || len(x.Unread) != 1 || x.Exit() != app.ExitBadInput {
		t.Errorf("%+v", x)
	}
	d := asMap(t, x.Document())
	if books := d["publications"].([]any); len(books) != 2 || books[1].(map[string]any)["cited_by"].([]any)[0] != "old" {
		t.Errorf("%v", d["publications"])
	}
	if f := app.FormatOf([]byte("# a comment\nformat: hangtrue.day/1\n")); f != "hangtrue.day/1" {
		t.Errorf("format %q", f)
	}
}
