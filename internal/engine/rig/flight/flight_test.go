package flight_test

import (
	"context"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/flight"
	"hangtrue/internal/engine/rig/rigfile"
)

const deg = quantity.Degree

func read(t *testing.T, text string) *rig.Rig {
	t.Helper()
	r, problems := rigfile.Read([]byte("format: hangtrue.rig/1\n" + text))
	if r == nil {
		t.Fatal(problems)
	}
	return r
}

func demo(t *testing.T, name string) *rig.Rig {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "..", "data", "demo", "rigs", name+".yaml"))
	if err != nil {
		t.Fatal(err)
	}
	r, problems := rigfile.Read(data)
	if r == nil {
		t.Fatalf("%s: %v", name, problems)
	}
	return r
}

func study(t *testing.T, r *rig.Rig, c flight.Conditions) *flight.Study {
	t.Helper()
	s, err := flight.New(r, c)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// box is a load of 1 t, 2 m long, 1 m wide and high, on four legs from one
// hook, its CG at the place given.
func box(cg string) string {
	return `
bodies:
  - id: box
    shape: {box: [2 m, 1 m, 1 m]}
    mass: 1000 kg
    cg: ` + cg + `
    points: {FL: [1 m, 0.5 m, 1 m], FR: [1 m, -0.5 m, 1 m], RL: [-1 m, 0.5 m, 1 m], RR: [-1 m, -0.5 m, 1 m]}
legs:
  - {id: FL, to: box.FL, length: 4 m, stretch: 0.1 % at 20 kN, rated: 20 kN}
  - {id: FR, to: box.FR, length: 4 m, stretch: 0.1 % at 20 kN, rated: 20 kN}
  - {id: RL, to: box.RL, length: 4 m, stretch: 0.1 % at 20 kN, rated: 20 kN}
  - {id: RR, to: box.RR, length: 4 m, stretch: 0.1 % at 20 kN, rated: 20 kN}
`
}

// All of it together must balance: the pull on the hook is weight and drag.
func TestAt_PullOnTheHookIsWeightAndDrag(t *testing.T) {
	for _, name := range []string{"crate-off-centre", "pipes-under-spreader", "footbridge-two-hooks", "drums-side-by-side"} {
		r := demo(t, name)
		for _, c := range []flight.Conditions{{}, {LoadFactor: 1.5, Density: 1}, {From: 90 * deg}} {
			s := study(t, r, c)
			c = s.Conditions()
			p, err := s.At(40 * quantity.Knot)
			if err != nil {
				t.Fatal(err)
			}
			var pull rig.Vec
			for _, h := range p.Hooks {
				for k := range pull {
					pull[k] += h.Force[k]
				}
			}
			sin, cos := math.Sincos(c.From)
			want := rig.Vec{-p.Drag * cos, -p.Drag * sin, -r.Weight() * c.LoadFactor}
			// 1e-6 of the weight is what a balance is asked for.
			if d := rig.Norm(rig.Vec{pull[0] - want[0], pull[1] - want[1], pull[2] - want[2]}); d > 2e-6*r.Weight()*c.LoadFactor || !p.Agrees {
				t.Errorf("%s, %+v: pull %v N, weight and drag %v N; drag and attitude agree: %v", name, c, pull, want, p.Agrees)
			}
			sum := 0.0
			for _, b := range p.Bodies {
				sum += b.Drag
				if got := c.Pressure(p.Speed) * b.Area; math.Abs(got-b.Drag) > 1e-6*b.Drag {
					t.Errorf("%s: body %s, drag %g N, pressure times area %g N", name, b.ID, b.Drag, got)
				}
			}
			if math.Abs(sum-p.Drag) > 1e-9*p.Drag {
				t.Errorf("%s: bodies %g N, all %g N", name, sum, p.Drag)
			}
			if want := math.Atan2(p.Drag, r.Weight()*c.LoadFactor); math.Abs(p.Trail-want) > 1e-5 {
				t.Errorf("%s: trail %g rad, atan of drag over weight %g", name, p.Trail, want)
			}
		}
	}
}

// With the CG in the middle of the shape a load trails as one stiff piece: it
// pitches nose down by its trail, and what was a mirror stays one.
func TestAt_TrailingLoadPitchesNoseDown(t *testing.T) {
	s := study(t, read(t, box("[0 m, 0 m, 0.5 m]")), flight.Conditions{})
	last := 0.0
	for _, kt := range []float64{20, 40, 60, 80} {
		p, err := s.At(kt * quantity.Knot)
		if err != nil {
			t.Fatal(err)
		}
		b := p.Bodies[0]
		// The legs' stretch alone keeps pitch and trail apart: 0.1 % of 4 m
		// over 2 m.
		if math.Abs(b.Pitch+p.Trail) > 0.05*deg || math.Abs(b.Roll) > 1e-6 || math.Abs(p.Turning) > 1e-3 {
			t.Errorf("%g kt: pitch %.4f, roll %.6f, trail %.4f deg, turning %g N·m", kt, b.Pitch/deg, b.Roll/deg, p.Trail/deg, p.Turning)
		}
		if p.Trail <= last {
			t.Errorf("%g kt: trail %.4f deg is no more than at the speed before", kt, p.Trail/deg)
		}
		last = p.Trail
	}
}

// A load whose drag acts ahead of its CG would not keep its heading; it is held
// all the same, whichever way the CG lies.
func TestAt_KeepsTheHeadingAndNamesWhatWouldTurnIt(t *testing.T) {
	for _, c := range []struct {
		cg      string
		ahead   float64 // sign
		turning float64 // sign
	}{
		{"[0.3 m, 0 m, 0.5 m]", -1, 0},
		{"[-0.3 m, 0 m, 0.5 m]", 1, 0},
		// The middle lies right of a CG that is left of it; drag right of the
		// hook turns the nose to the right, from y towards x.
		{"[0.3 m, 0.1 m, 0.5 m]", -1, -1},
	} {
		s := study(t, read(t, box(c.cg)), flight.Conditions{})
		p, err := s.At(60 * quantity.Knot)
		if err != nil {
			t.Fatal(err)
		}
		m := p.Answer.Bodies[0].Turn.Matrix()
		if yaw := math.Atan2(m[1][0], m[0][0]); math.Abs(yaw) > 1e-4 || !p.Agrees || !p.Answer.Stable {
			t.Errorf("CG %s: turned by %g deg, agrees %v, stable %v", c.cg, yaw/deg, p.Agrees, p.Answer.Stable)
		}
		if p.Ahead*c.ahead <= 0.1 || p.Turning*c.turning < 0 || (c.turning == 0) != (math.Abs(p.Turning) < 1e-3) {
			t.Errorf("CG %s: drag acts %g m ahead, turns with %g N·m", c.cg, p.Ahead, p.Turning)
		}
	}
}

// Going on from the speed before gives what going on from rest gives.
func TestSweep_IsThatOfItsPoints(t *testing.T) {
	s := study(t, demo(t, "crate-off-centre"), flight.Conditions{})
	calls := 0
	sweep, err := s.Sweep(context.Background(), flight.Span{
		Fastest: 100 * quantity.Knot, Steps: 10, Trail: 10 * deg,
		Progress: func(done, total int) { calls++ },
	})
	if err != nil || len(sweep.Points) != 11 || calls != 11 || len(sweep.Firsts) != 5 {
		t.Fatalf("%v: %d points, %d calls, %d firsts", err, len(sweep.Points), calls, len(sweep.Firsts))
	}
	for _, p := range sweep.Points {
		alone, err := s.At(p.Speed)
		if err != nil {
			t.Fatal(err)
		}
		// Two ways to the same place, each to 1e-8 of the weight.
		if math.Abs(alone.Trail-p.Trail) > 1e-6 || math.Abs(alone.Bodies[0].Pitch-p.Bodies[0].Pitch) > 1e-6 || math.Abs(alone.Use-p.Use) > 1e-5 {
			t.Errorf("%.1f m/s: trail %g and %g, pitch %g and %g, use %g and %g", p.Speed, p.Trail, alone.Trail, p.Bodies[0].Pitch, alone.Bodies[0].Pitch, p.Use, alone.Use)
		}
		if len(p.Modes) != len(s.Rest().Modes) {
			t.Errorf("%.1f m/s: %d modes, %d at rest", p.Speed, len(p.Modes), len(s.Rest().Modes))
		}
	}
}

// What comes first is looked for between the points of the sweep, so the steps
// of the sweep may not show in it.
func TestSweep_FindsTheFirstSpeedToATenthOfAKnot(t *testing.T) {
	text := box("[0 m, 0 m, 0.5 m]") + "limits: {pitch: [-6 deg, 0.001 deg]}\n"
	s := study(t, read(t, text), flight.Conditions{})
	var found [2]map[string]flight.First
	for i, steps := range []int{3, 8} {
		sweep, err := s.Sweep(context.Background(), flight.Span{Fastest: 120 * quantity.Knot, Steps: steps, Trail: 8 * deg})
		if err != nil {
			t.Fatal(err)
		}
		found[i] = map[string]flight.First{}
		for _, f := range sweep.Firsts {
			found[i][f.Kind] = f
		}
	}
	for _, kind := range []string{flight.FirstOutside, flight.FirstTrail} {
		a, b := found[0][kind], found[1][kind]
		if !a.Found || !b.Found || math.Abs(a.Speed-b.Speed) > 0.1*quantity.Knot || a.Rest {
			t.Errorf("%s: %+v and %+v", kind, a, b)
		}
		p, err := s.At(a.Speed)
		if err != nil {
			t.Fatal(err)
		}
		before, err := s.At(a.Speed - 0.1*quantity.Knot)
		if err != nil {
			t.Fatal(err)
		}
		if kind == flight.FirstTrail && !(p.Trail >= 8*deg && before.Trail < 8*deg) {
			t.Errorf("trail %.4f deg there and %.4f deg a tenth of a knot before; looked for 8", p.Trail/deg, before.Trail/deg)
		}
		if kind == flight.FirstOutside && (len(p.Outside) == 0 || len(before.Outside) != 0) {
			t.Errorf("bands left there: %v, a tenth of a knot before: %v", p.Outside, before.Outside)
		}
	}
	if f := found[0][flight.FirstSlack]; f.Found || f.What == "" {
		t.Errorf("slack: %+v", f)
	}
}

// Two equal legs from two hooks keep a tall box level. The rear one goes slack
// when the line of weight and drag through the box's middle passes outside the
// front one: tan of the trail = half the distance of the legs over the height
// of the points above the middle.
func TestSweep_FindsTheLegThatGoesSlack(t *testing.T) {
	r := read(t, `
apex:
  - {id: front, at: [0.3 m, 0 m, 0 m]}
  - {id: rear, at: [-0.3 m, 0 m, 0 m]}
bodies:
  - id: box
    shape: {box: [0.6 m, 0.6 m, 3 m]}
    mass: 300 kg
    drag: [2 m2, 2 m2, 1 m2]
    points: {F: [0.3 m, 0 m, 3 m], R: [-0.3 m, 0 m, 3 m]}
legs:
  - {id: F, from: front, to: box.F, length: 4 m, stretch: 0.001 % at 20 kN}
  - {id: R, from: rear, to: box.R, length: 4 m, stretch: 0.001 % at 20 kN}
`)
	s := study(t, r, flight.Conditions{})
	sweep, err := s.Sweep(context.Background(), flight.Span{Fastest: 60 * quantity.Knot, Steps: 6})
	if err != nil {
		t.Fatal(err)
	}
	f := sweep.Firsts[0]
	want := math.Sqrt(r.Weight() * (0.3 / 1.5) / (0.5 * flight.SeaLevel * 2))
	if f.Kind != flight.FirstSlack || !f.Found || f.Rest || f.What != "R" || f.Speed < want-0.01 || f.Speed > want+0.1*quantity.Knot {
		t.Errorf("%+v, want leg R at %.4f m/s", f, want)
	}
}

func TestSweep_RestCountsAsFirst(t *testing.T) {
	text := strings.ReplaceAll(box("[0 m, 0 m, 0.5 m]"), "rated: 20 kN", "rated: 1 kN")
	sweep, err := study(t, read(t, text), flight.Conditions{}).Sweep(context.Background(), flight.Span{Fastest: 20, Steps: 2})
	if err != nil {
		t.Fatal(err)
	}
	f := sweep.Firsts[1]
	if f.Kind != flight.FirstOver || !f.Rest || f.Speed != 0 || !strings.Contains(f.What, "leg FL") {
		t.Errorf("%+v", f)
	}
}

func TestSweep_Stops(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	sweep, err := study(t, demo(t, "crate-off-centre"), flight.Conditions{}).Sweep(ctx, flight.Span{Fastest: 50, Steps: 10, Progress: func(done, _ int) {
		if done == 3 {
			stop()
		}
	}})
	if !errors.Is(err, context.Canceled) || len(sweep.Points) != 3 {
		t.Errorf("%v, %d points", err, len(sweep.Points))
	}
}

// A body without shape is a mass on its ring with only the drag entered.
func TestNotes_SayWhatIsNotPredicted(t *testing.T) {
	soft := "bodies:\n  - {id: net, mass: 500 kg, cg: [0 m, 0 m, 0 m], points: {R: [0 m, 0 m, 0 m]}}\nlegs:\n  - {id: A, to: net.R, length: 5 m, stretch: 1 % at 20 kN}\n"
	s := study(t, read(t, soft), flight.Conditions{LoadFactor: 2})
	notes := strings.Join(s.Notes(), " ")
	for _, want := range []string{"instability is not predicted", "airspeed published for the load governs", "belongs on a load brief", "on its ring", "net", "counted twice", "keep its heading"} {
		if !strings.Contains(notes, want) {
			t.Errorf("nothing about %q in %q", want, notes)
		}
	}
	p, err := s.At(50)
	if err != nil {
		t.Fatal(err)
	}
	if p.Drag != 0 || math.Abs(p.Trail) > 1e-9 || math.Abs(p.Hooks[0].Force[2]+2*500*quantity.StandardGravity) > 0.1 {
		t.Errorf("drag %g N, trail %g rad, hook %v N", p.Drag, p.Trail, p.Hooks[0].Force)
	}
}

func TestNew_RefusesWhatIsNoAir(t *testing.T) {
	r := demo(t, "crate-off-centre")
	for _, c := range []flight.Conditions{{Density: -1}, {LoadFactor: -1}, {From: math.NaN()}, {Density: math.Inf(1)}, {Density: math.NaN()}} {
		if _, err := flight.New(r, c); err == nil {
			t.Errorf("%+v is taken", c)
		}
	}
	s := study(t, r, flight.Conditions{})
	for _, v := range []float64{-1, math.NaN(), math.Inf(1)} {
		if _, err := s.At(v); err == nil {
			t.Errorf("airspeed %g is taken", v)
		}
		if _, err := s.Sweep(context.Background(), flight.Span{Fastest: v, Steps: 2}); err == nil {
			t.Errorf("sweep to %g is taken", v)
		}
	}
}

func TestAreas_FollowThePublishedTables(t *testing.T) {
	// Table values, and where a body's areas come from.
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"end-on, l/d 1", flight.EndOn(1), .91},
		{"end-on, l/d 2", flight.EndOn(2), .85},
		{"end-on, l/d 1.5", flight.EndOn(1.5), .88},
		{"end-on, l/d 9", flight.EndOn(9), .85},
		{"across, l/d 1", flight.Across(1), .63},
		{"across, l/d 2", flight.Across(2), .68},
		{"across, l/d 5", flight.Across(5), .74},
		{"across, l/d 10", flight.Across(10), .97},
		{"across, l/d 0.3", flight.Across(.3), .63},
		{"plate", flight.FaceOn(0), 1.17},
		{"cube", flight.FaceOn(1), 1.05},
		{"deep box", flight.FaceOn(4), 1.05},
	} {
		if math.Abs(c.got-c.want) > 1e-12 {
			t.Errorf("%s: %g, want %g", c.what, c.got, c.want)
		}
	}
	drum := rig.Body{Shape: rig.Shape{Kind: rig.DrumShape, Length: 2, Diameter: 1, Axis: 1}}
	got, _ := flight.Areas(&drum)
	if want := (rig.Vec{2 * .68, math.Pi / 4 * .85, 2 * .68}); rig.Norm(rig.Vec{got[0] - want[0], got[1] - want[1], got[2] - want[2]}) > 1e-12 {
		t.Errorf("drum: %v, want %v", got, want)
	}
	entered := rig.Body{DragArea: &rig.Vec{1, 2, 3}}
	if got, source := flight.Areas(&entered); got != (rig.Vec{1, 2, 3}) || source != "as entered" {
		t.Errorf("entered: %v, %q", got, source)
	}
	// A cube edge-on: our method gives 1.05·a², 7 % under the 0.80·√2·a² of
	// Hoerner (from memory). The gap is stated in the docs; it may not grow.
	half := math.Sqrt2 / 2
	ours, published := flight.Area(rig.Vec{1.05, 1.05, 1.05}, rig.Vec{half, half, 0}), 0.80*math.Sqrt2
	if gap := ours/published - 1; math.Abs(gap+0.072) > 0.001 {
		t.Errorf("cube edge-on: %g of the published drag area over", gap)
	}
}

func TestDragIsReadFromTheRigFile(t *testing.T) {
	text := strings.Replace(box("[0 m, 0 m, 0.5 m]"), "    mass:", "    drag: [1 m2, 20 ft2, 0 m2]\n    mass:", 1)
	got := study(t, read(t, text), flight.Conditions{}).Drags()[0]
	if math.Abs(got.Areas[0]-1) > 1e-12 || math.Abs(got.Areas[1]-20*quantity.SquareFoot) > 1e-12 || got.Areas[2] != 0 || got.Source != "as entered" {
		t.Errorf("%+v", got)
	}
	if r, problems := rigfile.Read([]byte("format: hangtrue.rig/1\n" + strings.Replace(text, "1 m2", "-1 m2", 1))); r != nil || len(problems) == 0 {
		t.Error("a negative drag area is taken")
	}
}
