package flown

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/rigfile"
)

const hash = "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef"

const whole = `format: hangtrue.flown/1
lifts:
  - date: 2026-11-20
    who: 'A. Gruber'
    version: ` + hash + `
    weighed: 1450 kg
    hover: {pitch: -2 deg, roll: 0.5 deg}
    flight: {airspeed: 45 kt, pitch: -3 deg, trail: 6 deg}
    remarks: 'gusty: it wasn''t steady #1'
  - date: 2026-11-21
    who: 'B'
    version: ` + hash + `
    weighed: 3200 lb
`

func TestRead_AndWriteGiveEachOtherBack(t *testing.T) {
	lifts, problems := Read([]byte(whole))
	if len(problems) > 0 || len(lifts) != 2 {
		t.Fatal(problems, len(lifts))
	}
	l := lifts[0]
	// 1450 kg of 9.80665 m/s²
	if math.Abs(l.Weighed.Value-14219.6425) > 1e-9 || l.Hover.Roll.Unit != "deg" || l.Flight.Roll != nil || l.Remarks != "gusty: it wasn't steady #1" {
		t.Errorf("%+v", l)
	}
	if got := string(Write(lifts)); got != whole {
		t.Errorf("written as\n%s", got)
	}
	none, problems := Read(Write(nil))
	if len(none) != 0 || len(problems) != 0 {
		t.Errorf("no lifts: %v, %v", none, problems)
	}
	odd := []Lift{{Date: l.Date, Who: "- {x: 'y'} # \\ é", Version: hash, Weighed: l.Weighed, Remarks: "null"}}
	if back, problems := Read(Write(odd)); len(problems) > 0 || !reflect.DeepEqual(back, odd) {
		t.Errorf("%v, %+v", problems, back)
	}
}

func TestRead_Refuses(t *testing.T) {
	for _, c := range []struct{ from, to, line, want string }{
		{"1450 kg", "1450", "6", "unit"},
		{"flown/1", "flown/2", "1", "hangtrue.flown/1"},
		{"who: 'A. Gruber'", "who: ''", "4", "empty"},
		{"version: " + hash, "version: abc", "3", "64 hexadecimal digits"},
		{"airspeed: 45 kt, ", "", "8", "airspeed"},
		{"    weighed: 3200 lb\n", "", "10", "nothing was weighed"},
		{"2026-11-20", "20.11.2026", "3", "date"},
		{"remarks", "remark", "9", "remark"},
	} {
		_, problems := Read([]byte(strings.Replace(whole, c.from, c.to, 1)))
		found := false
		var all []string
		for _, p := range problems {
			text := p.Format("f")
			all = append(all, text)
			found = found || strings.HasPrefix(text, "f:"+c.line+":") && strings.Contains(text, c.want)
		}
		if !found {
			t.Errorf("%s to %s: %q, want line %s with %q", c.from, c.to, all, c.line, c.want)
		}
	}
}

func TestCompare_BesideTheRig(t *testing.T) {
	var r *rig.Rig
	for _, d := range demo.Rigs() {
		if d.Name == "crate-off-centre" {
			r, _ = rigfile.Read(d.Data)
		}
	}
	a, err := rig.Hang(r)
	if err != nil {
		t.Fatal(err)
	}
	lifts, _ := Read([]byte(whole))
	got, err := Compare(r, lifts[0])
	if err != nil || len(got) != 5 {
		t.Fatalf("%v, %+v", err, got)
	}
	if got[0].What != Weight || math.Abs(got[0].Off()-(lifts[0].Weighed.Value/r.Weight()-1)) > 1e-12 {
		t.Errorf("%+v", got[0])
	}
	// Hung again without judging it, it settles to the same residual, not the same digits.
	if got[1].What != HoverPitch || math.Abs(got[1].Computed-a.Bodies[0].Pitch) > 1e-5 {
		t.Errorf("%+v, hung at %g", got[1], a.Bodies[0].Pitch)
	}
	if got[3].What != FlightPitch || got[4].What != Trail || !(got[4].Computed > 0) {
		t.Errorf("%+v", got[3:])
	}
}

// Mean 1, differences −1, 0, 1 about it: the sample standard deviation is 1.
func TestAgree(t *testing.T) {
	var all []Compared
	for _, off := range []float64{0, 1, 2} {
		all = append(all, Compared{What: Trail, Computed: 5, Measured: 5 + off})
	}
	all = append(all, Compared{What: Weight, Computed: 200, Measured: 190})
	got := Agree(all)
	want := []Agreement{{Weight, 1, -0.05, 0, 0.05}, {Trail, 3, 1, 1, 2}}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("%+v", got)
	}
	if got[0].Words() == "" || got[1].Words() == "" || (Agreement{Cases: Few}).Words() != "" {
		t.Error("small numbers do not say so, or large ones do")
	}
}
