package rig_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/rigfile"
)

func readText(t *testing.T, text string) *rig.Rig {
	t.Helper()
	r, problems := rigfile.Read([]byte(text))
	if len(problems) > 0 {
		t.Fatal(problems[0])
	}
	return r
}

func hung(t *testing.T, text string) *rig.Answer {
	t.Helper()
	a, err := rig.Hang(readText(t, text))
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// oneLeg is a box tank under one leg, its empty weight off to the front.
const oneLeg = `format: hangtrue.rig/1
invented: yes
bodies:
  - id: tank
    shape: {box: [2 m, 1 m, 1 m]}
    tare: 300 kg
    cg: [0.2 m, 0 m, 0.5 m]
    holds: {liquid: fresh water, volume: 1 m3, at: 20 degC, hottest: 30 degC, capacity: 2 m3}
    points: {T: [0 m, 0 m, 1.5 m]}
legs:
  - {id: L, to: tank.T, length: 4 m, stretch: 1 % at 20 kN, rated: 30 kN}
`

// TestHang_LiquidRestsWhereTheTankTilts compares with the condition that the
// CG of the whole hangs plumb under the point, solved by halving. With t the
// tangent of the tilt and i the second moment of the surface over the volume, a
// box whose surface leaves out neither floor nor lid has its liquid i·t to the
// low side and i·t²/2 up.
func TestHang_LiquidRestsWhereTheTankTilts(t *testing.T) {
	a := hung(t, oneLeg)
	r := a.Rig.Bodies()[0]
	const tare, e, zt, zp, half = 300.0, 0.2, 0.5, 1.5, 0.25
	water := r.Fill.Mass
	i := 1 * 8.0 / 12 / 1
	// positive where the box must tilt further
	off := func(tan float64) float64 {
		x := tare*e + water*i*tan
		drop := (tare+water)*zp - tare*zt - water*(half+i*tan*tan/2)
		return x - drop*tan
	}
	low, high := 0.0, 1.0
	for range 60 {
		if mid := (low + high) / 2; off(mid) > 0 {
			low = mid
		} else {
			high = mid
		}
	}
	// nose down
	if got, want := a.Bodies[0].Pitch, -math.Atan(low); math.Abs(got-want) > 1e-6 {
		t.Errorf("pitch %.7f rad, want %.7f: equilibrium holds to 1e-6 of the weight", got, want)
	}
	if low*0.5*2 >= 0.5 {
		t.Fatalf("slope %g: the surface reaches the floor and the closed form is none", low)
	}
	frozen := hung(t, strings.Replace(oneLeg, "holds: {liquid: fresh water, volume: 1 m3, at: 20 degC, hottest: 30 degC, capacity: 2 m3}", "contents: {mass: 998.2 kg, at: [0 m, 0 m, 0.25 m]}", 1))
	if a.Bodies[0].Tilt < 1.5*frozen.Bodies[0].Tilt {
		t.Errorf("tilt %.4f rad, %.4f with the liquid frozen: the liquid that runs must tilt it much further", a.Bodies[0].Tilt, frozen.Bodies[0].Tilt)
	}
	var codes []string
	for _, f := range a.Findings {
		codes = append(codes, f.Code)
	}
	for _, want := range []string{"liquid-moves", "liquid-ran", "room-for-expansion"} {
		if !slices.Contains(codes, want) {
			t.Errorf("findings %v, want %s among them", codes, want)
		}
	}
}

// A free surface can make a tank topple that stands with the same liquid frozen.
func TestHang_LiquidThatDoesNotRestIsNoAnswer(t *testing.T) {
	high := strings.NewReplacer("[0 m, 0 m, 1.5 m]", "[0 m, 0 m, 0.8 m]", "[0.2 m, 0 m, 0.5 m]", "[0.02 m, 0 m, 0.5 m]").Replace(oneLeg)
	a := hung(t, high)
	if a.Result == rig.Within {
		t.Errorf("result %s with a metacentre above the point", a.Result)
	}
	frozen := hung(t, strings.Replace(high, "holds: {liquid: fresh water, volume: 1 m3, at: 20 degC, hottest: 30 degC, capacity: 2 m3}", "contents: {mass: 998.2 kg, at: [0 m, 0 m, 0.25 m]}", 1))
	if tilt := frozen.Bodies[0].Tilt; tilt > 0.1 {
		t.Errorf("frozen it tilts %g rad: the case shows nothing", tilt)
	}
	if tilt := a.Bodies[0].Tilt; tilt < 5*frozen.Bodies[0].Tilt {
		t.Errorf("tilt %g rad, frozen %g", tilt, frozen.Bodies[0].Tilt)
	}
}

func TestHang_FillFindingsDecideTheResult(t *testing.T) {
	tests := []struct {
		name, from, to string
		want           rig.Level
		code           string
	}{
		{"over-full", "volume: 1 m3, at: 20 degC, hottest: 30 degC, capacity: 2 m3", "volume: 1.999 m3, at: 5 degC, hottest: 40 degC", rig.Exceeded, "over-full"},
		{"fabric without bounds", "capacity: 2 m3", "collapsible: yes", rig.Unknown, "fill-bounds-missing"},
		{"fabric within bounds", "capacity: 2 m3", "collapsible: yes, fill-bounds: [900 L, 1100 L]", rig.Note, "fabric-shape"},
	}
	for _, tt := range tests {
		text := strings.Replace(oneLeg, tt.from, tt.to, 1)
		if text == oneLeg {
			t.Fatalf("%s: nothing was replaced", tt.name)
		}
		found := false
		for _, f := range hung(t, text).Findings {
			if f.Code == tt.code {
				found = true
				if f.Level != tt.want || f.About != "body tank" {
					t.Errorf("%s: %s about %s, want %s about body tank", tt.name, f.Level, f.About, tt.want)
				}
			}
		}
		if !found {
			t.Errorf("%s: no finding %s", tt.name, tt.code)
		}
	}
}

func TestRead_HoldsNamesWhatIsWrong(t *testing.T) {
	const fill = "holds: {liquid: fresh water, volume: 1 m3, at: 20 degC, hottest: 30 degC, capacity: 2 m3}"
	tests := []struct{ name, to, path, text string }{
		{"above the tank", "holds: {liquid: fresh water, volume: 3 m3, at: 20 degC}", "bodies[0].holds.volume", "more than the tank holds"},
		{"too hot", "holds: {liquid: sea water, volume: 1 m3, at: 50 degC}", "bodies[0].holds.at", "not covered at 50"},
		{"too cold", "holds: {liquid: petrol, volume: 1 m3, at: -60 degF}", "bodies[0].holds.at", "not covered at -51.11"},
		{"unknown", "holds: {liquid: milk, volume: 1 m3, at: 20 degC}", "bodies[0].holds.liquid", "milk"},
		{"gas", "holds: {liquid: {name: gas, density-15: 500 kg/m3}, volume: 1 m3, at: 20 degC}", "bodies[0].holds.liquid.density-15", "outside what API MPMS"},
		{"bounds of a rigid tank", "holds: {liquid: petrol, volume: 1 m3, at: 20 degC, fill-bounds: [1 m3, 2 m3]}", "bodies[0].holds.fill-bounds", "fabric"},
		{"volume and mass", "holds: {liquid: petrol, volume: 1 m3, mass: 5 kg, at: 20 degC}", "bodies[0].holds", "only one of"},
		{"contents too", "contents: {mass: 5 kg}\n    holds: {liquid: petrol, volume: 1 m3, at: 20 degC}", "bodies[0]", "only one of"},
	}
	for _, tt := range tests {
		_, problems := rigfile.Read([]byte(strings.Replace(oneLeg, fill, tt.to, 1)))
		if len(problems) != 1 || problems[0].Path != tt.path || !strings.Contains(problems[0].String(), tt.text) {
			t.Errorf("%s: problems %v, want one at %s that says %q", tt.name, problems, tt.path, tt.text)
		}
	}
}
