package lift_test

import (
	"math"
	"strings"
	"testing"

	"hangtrue/internal/data/aircraft"
	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/lift/aircraftfile"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/rigfile"
)

func shipped(t *testing.T, name string) *lift.Aircraft {
	t.Helper()
	for _, f := range aircraft.Files() {
		if f.Name == name {
			a, problems := aircraftfile.Read(f.Data)
			if a == nil {
				t.Fatal(problems)
			}
			return a
		}
	}
	t.Fatalf("no aircraft %s", name)
	return nil
}

func hung(t *testing.T, name string) *rig.Answer {
	t.Helper()
	for _, r := range demo.Rigs() {
		if r.Name == name {
			return hang(t, string(r.Data))
		}
	}
	t.Fatalf("no rig %s", name)
	return nil
}

func hang(t *testing.T, text string) *rig.Answer {
	t.Helper()
	r, problems := rigfile.Read([]byte(text))
	if r == nil {
		t.Fatal(problems)
	}
	a, err := rig.Hang(r)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func size(mm float64) *float64 { x := mm / 1000; return &x }

func sea(fuel float64) lift.End {
	return lift.End{PressureAltitude: 0, Temperature: quantity.SI(15, "degC"), Fuel: fuel}
}

func conditions() *lift.Conditions {
	flight := 600.0
	return &lift.Conditions{
		PickUp: sea(500), DropOff: sea(0), Flight: &flight,
		Fitting: lift.Fitting{Kind: "apex-large", Ring: lift.Ring{Inside: size(60), Stock: size(25)}},
	}
}

// Two apexes on hooks of their own names share the bridge: the shares are what
// the hanging of the rig says, and each hook is held against its own.
func TestAsk_TwoHooksShareTheLoad(t *testing.T) {
	a, bridge := shipped(t, "twin"), hung(t, "footbridge-two-hooks")
	q, problems := conditions().Ask(a, bridge)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	sum := 0.0
	for i, s := range q.Shares {
		if want := rig.Norm(bridge.Apexes[i].Force); s.Hook != bridge.Apexes[i].ID || math.Abs(s.Force-want) > 1e-9 {
			t.Errorf("share %+v, want %g N on %s", s, want, bridge.Apexes[i].ID)
		}
		sum += s.Force
	}
	// The legs of a hook pull a little aside, so the shares add up to a hair more
	// than the weight.
	if w := bridge.Rig.Weight(); len(q.Shares) != 2 || sum < w || sum > 1.05*w {
		t.Errorf("shares %v add up to %g N of %g", q.Shares, sum, bridge.Rig.Weight())
	}
	if q.Load.Mass != 1700 || q.Load.Known != lift.Weighed || q.DropOff.Fuel != 500-80 {
		t.Errorf("load %+v, fuel at drop-off %g kg", q.Load, q.DropOff.Fuel)
	}
	answer, problems := lift.Carry(q)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	seen := map[string]float64{}
	for _, l := range answer.Allowed {
		seen[l.What] = l.Load
	}
	for i, hook := range []string{"front", "rear"} {
		h, _ := a.Hook(hook)
		if want := 1700 * *h.Rated / q.Shares[i].Force; math.Abs(seen["hook "+hook+", its share"]-want) > 1e-6 {
			t.Errorf("hook %s allows %g kg, want %g", hook, seen["hook "+hook+", its share"], want)
		}
	}
	if seen["hooks front and rear together"] == 0 || answer.Ends[0].CG == nil {
		t.Errorf("limits %v, CG %v", seen, answer.Ends[0].CG)
	}
}

const plain = `format: hangtrue.rig/1
bodies:
  - {id: b, shape: {box: [1 m, 1 m, 1 m]}, mass: 500 kg, known: estimated, give-or-take: 40 kg, points: {p: {at: [0.5 m, 0 m, 1 m], rated: 9 kN}, q: {at: [-0.5 m, 0 m, 1 m], rated: 9 kN}}}
  - {id: lid, mass: 20 kg, known: weighed, cg: [0 m, 0 m, 0 m], points: {r: [0 m, 0 m, 0.1 m]}, at: [0 m, 0 m, 1 m]}
apex: [{rated: 20 kN}]
legs:
  - {id: P, to: b.p, length: 3 m, stretch: 1 % at 20 kN, rated: 8 kN, clevis: none}
  - {id: Q, to: b.q, length: 3 m, stretch: 1 % at 20 kN, rated: 8 kN, clevis: none}
  - {id: R, to: lid.r, length: 2 m, stretch: 1 % at 20 kN, rated: 8 kN, clevis: none}
`

func TestWeightOf_IsKnownAsItsLeastKnownPart(t *testing.T) {
	w, parts := lift.WeightOf(hang(t, plain).Rig)
	if w.Mass != 520 || w.Band != 40 || w.Known != lift.Estimated || len(parts) != 2 || parts[1].Weight.Known != lift.Weighed {
		t.Errorf("%+v of %+v", w, parts)
	}
	if got := w.Show(quantity.Metric); got != "520 kg ± 40.0 kg, estimated" {
		t.Errorf("shown as %q", got)
	}
	who := strings.NewReplacer("known: estimated", "known: estimated, known-by: M. Haller, known-on: 2026-05-04", "known: weighed", "known: weighed, known-by: M. Haller, known-on: 2026-05-05").Replace(plain)
	w, _ = lift.WeightOf(hang(t, who).Rig)
	if got := w.Show(quantity.Metric); got != "520 kg ± 40.0 kg, estimated by M. Haller" {
		t.Errorf("shown as %q, want one person and no day, for they differ", got)
	}
}

// The hook's rating is the aircraft's: a rig file without one is judged all the
// same, and what else is missing is named.
func TestAsk_OnlyTheHookMayBeMissingInTheRig(t *testing.T) {
	a := shipped(t, "single")
	lidRated := strings.Replace(plain, "r: [0 m, 0 m, 0.1 m]", "r: {at: [0 m, 0 m, 0.1 m], rated: 9 kN}", 1)
	for _, tt := range []struct {
		name, text string
		findings   int
	}{{"hook only", lidRated, 0}, {"lift point too", plain, 1}} {
		c := conditions()
		c.PickUp.Fuel = 200
		q, problems := c.Ask(a, hang(t, tt.text))
		if len(problems) > 0 || len(q.Also) != tt.findings {
			t.Errorf("%s: findings %+v, problems %v", tt.name, q.Also, problems)
		}
	}
}

func TestAsk_NamesWhatIsWrong(t *testing.T) {
	bridge := hung(t, "footbridge-two-hooks")
	single := hung(t, "crate-off-centre")
	for _, tt := range []struct {
		name   string
		air    string
		rig    *rig.Answer
		change func(*lift.Conditions)
		want   string
	}{
		{"no hook for an apex", "single", bridge, func(*lift.Conditions) {}, "which hook apex front hangs on is not entered"},
		{"two hooks and no word", "twin", single, func(*lift.Conditions) {}, "hangs on is not entered"},
		{"no such apex", "single", single, func(c *lift.Conditions) { c.Hooks = map[string]string{"nose": "belly"} }, `no apex "nose"`},
		{"no such hook", "single", single, func(c *lift.Conditions) { c.Hooks = map[string]string{"": "tail"} }, `no hook "tail"`},
		{"burns more than there is", "single", single, func(c *lift.Conditions) { c.PickUp.Fuel = 10 }, "burns more than there is"},
	} {
		c := conditions()
		c.PickUp.Fuel = 200
		tt.change(c)
		_, problems := c.Ask(shipped(t, tt.air), tt.rig)
		text := ""
		for _, p := range problems {
			text += p.Error() + "\n"
		}
		if !strings.Contains(text, tt.want) {
			t.Errorf("%s: %q, want %q", tt.name, text, tt.want)
		}
	}
}

func TestFits_CannotTellWithoutSizes(t *testing.T) {
	a, crate := shipped(t, "single"), hung(t, "crate-off-centre")
	c := conditions()
	f := c.Fits(a, crate.Rig)
	if len(f) != 1 || f[0].Fit != rig.Within || f[0].Spacer != "required" || f[0].Source != "INVENTED" {
		t.Errorf("%+v", f)
	}
	c.Fitting = lift.Fitting{Ring: lift.Ring{Inside: size(20)}}
	if f = c.Fits(a, crate.Rig); f[0].Fit != rig.Over || f[0].Spacer != "" {
		t.Errorf("a ring narrower than the load beam: %+v", f)
	}
	c.Fitting = lift.Fitting{Kind: "apex-odd"}
	if f = c.Fits(a, crate.Rig); f[0].Fit != rig.CannotTell || f[0].Spacer != "not stated" {
		t.Errorf("nothing entered: %+v", f)
	}
}

// The edges are where the hover table gives just the mass: asked there, it does.
func TestEdges_LieOnTheTable(t *testing.T) {
	a := shipped(t, "single")
	q := lift.Ask{Aircraft: a, Load: lift.Weight{Mass: 500, Band: 20, Known: lift.Estimated}, Hooks: []string{"belly"}, PickUp: lift.End{PressureAltitude: 2000, Temperature: quantity.SI(5, "degC"), Fuel: 250}, DropOff: lift.End{PressureAltitude: 2200, Temperature: quantity.SI(0, "degC"), Fuel: 200}}
	for i, e := range lift.Edges(q, 4) {
		end := []lift.End{q.PickUp, q.DropOff}[i]
		want := a.Operating() + 520 + end.Fuel
		m, err := a.Spec().OGE.At(end.PressureAltitude, e.Hottest)
		n, err2 := a.Spec().OGE.At(e.Highest, end.Temperature)
		if err != nil || err2 != nil || e.Hot != lift.Crossing || e.High != lift.Crossing || math.Abs(m-want) > 1e-6 || math.Abs(n-want) > 1e-6 {
			t.Errorf("end %d: %g kg at its altitude, %g at its temperature, want %g (%v, %v)", i, m, n, want, err, err2)
		}
		if len(e.Line) != 6*4+1 {
			t.Errorf("%d points on the line", len(e.Line))
		}
	}
}

// A CG out of its limits is over a limit, for one load and among several.
func TestCarry_HoldsTheAircraftsCG(t *testing.T) {
	s := shipped(t, "single").Spec()
	s.Balance = &[2]float64{-0.02, 0.01}
	a, problems := lift.New(s)
	if a == nil {
		t.Fatal(problems)
	}
	q := lift.Ask{Aircraft: a, Load: lift.Weight{Mass: 300, Known: lift.Weighed}, Hooks: []string{"belly"}, PickUp: sea(200), DropOff: sea(150)}
	answer, problems := lift.Carry(q)
	if len(problems) > 0 || answer.Result != rig.Over || !strings.Contains(answer.Reason, "CG with the load lies at") {
		t.Errorf("%v %s: %s", problems, answer.Result, answer.Reason)
	}
}
