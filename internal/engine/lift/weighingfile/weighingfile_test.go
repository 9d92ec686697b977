package weighingfile_test

import (
	"math"
	"strings"
	"testing"

	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/lift/weighingfile"
)

// The front carries 600 of 1000 kg over 3 m, so the CG lies 0.3 m ahead of the
// middle; tilted by 45 degrees it shows 100 kg less: (600 − 500)·3/(1000·1) =
// 0.3 m above the pivots, which stand at 0.4 m.
const whole = `format: hangtrue.weighing/1
title: Trailer
by: the weighbridge
on: 2026-05-04
readings:
  - {id: front, at: [1.5 m, 0 m, 0.4 m], shows: 600 kg, give-or-take: 5 kg}
  - {id: rear, at: [-1.5 m, 0 m, 0.4 m], shows: 400 kg, give-or-take: 5 kg}
tilted: {raised: [front], shows: 500 kg, give-or-take: 5 kg, by: 45 deg}
since:
  - {what: snow, mass: 100 kg, known: estimated, give-or-take: 50 kg, at: [0.3 m, 0 m, 1.8 m]}
`

func TestRead_WorksOutMassAndCG(t *testing.T) {
	w, problems := weighingfile.Read([]byte(whole))
	if len(problems) > 0 {
		t.Fatal(problems[0].Format("whole"))
	}
	if w.Shown.Mass != 1000 || w.Shown.Band != 10 || w.Weight.Known != lift.Estimated {
		t.Errorf("scales %+v, with snow %+v", w.Shown, w.Weight)
	}
	// 5 + 5 kg of the scales and 50 kg of the snow, all on one side.
	if math.Abs(w.Weight.Mass-1100) > 1e-9 || math.Abs(w.Weight.Band-60) > 1e-9 {
		t.Errorf("weighs %g ± %g kg, want 1100 ± 60", w.Weight.Mass, w.Weight.Band)
	}
	want := lift.Vec{0.3, 0, (1000*0.7 + 100*1.8) / 1100}
	for k := range want {
		if math.Abs(w.CG[k]-want[k]) > 1e-9 {
			t.Errorf("CG %v, want %v", w.CG, want)
		}
	}
	// Of x: each scale moves it by |x − CG|/M per kg; the snow lies at the CG.
	if by := 5 * (1.2 + 1.8) / 1100; math.Abs(w.Band[0]-by) > 1e-5 {
		t.Errorf("x is uncertain by %g, want %g", w.Band[0], by)
	}
	if !(w.Band[2] > 0.05) || !w.Tolerant || !w.Across || !w.ByTilt {
		t.Errorf("%+v", w)
	}
}

func TestRead_RiseIsAnAngle(t *testing.T) {
	text := strings.Replace(whole, "by: 45 deg", "rise: 2.12132034 m", 1)
	w, problems := weighingfile.Read([]byte(text))
	if len(problems) > 0 {
		t.Fatal(problems[0].Format("rise"))
	}
	if want := (1000*0.7 + 100*1.8) / 1100; math.Abs(w.CG[2]-want) > 1e-6 {
		t.Errorf("height %g, want %g", w.CG[2], want)
	}
}

func TestRead_WithoutTiltKnowsNoHeight(t *testing.T) {
	text := strings.Replace(whole, "tilted: {raised: [front], shows: 500 kg, give-or-take: 5 kg, by: 45 deg}\n", "", 1)
	w, problems := weighingfile.Read([]byte(text))
	if len(problems) > 0 || !math.IsNaN(w.CG[2]) || math.Abs(w.CG[0]-0.3) > 1e-9 {
		t.Errorf("%+v %v", w, problems)
	}
}

func TestRead_NamesWhatIsWrong(t *testing.T) {
	for _, tt := range []struct {
		name, from, to, text string
		line                 int
	}{
		{"estimate without tolerance", "known: estimated, give-or-take: 50 kg", "known: estimated", "an estimate needs its tolerance", 10},
		{"no such reading", "raised: [front]", "raised: [middle]", `no reading "middle"`, 8},
		{"all raised", "raised: [front]", "raised: [front, rear]", "all supports are raised", 8},
		{"too little tilt", "by: 45 deg", "by: 1 deg", "gives no useful height", 8},
		{"pivots at two heights", "-1.5 m, 0 m, 0.4 m", "-1.5 m, 0 m, 0.5 m", "at one height", 8},
		{"one reading twice", "id: rear", "id: front", "two readings", 7},
		{"tolerance above the reading", "give-or-take: 5 kg}\n  - {id: rear", "give-or-take: 5 t}\n  - {id: rear", "less than what the scale shows", 6},
		{"rise too high", "by: 45 deg", "rise: 4 m", "no less than the supports stand apart", 8},
		{"more taken off than there was", "mass: 100 kg, known", "mass: -2000 kg, known", "more is taken off", 9},
	} {
		text := strings.Replace(whole, tt.from, tt.to, 1)
		if text == whole {
			t.Fatalf("%s: nothing was replaced", tt.name)
		}
		_, problems := weighingfile.Read([]byte(text))
		if len(problems) == 0 || !strings.Contains(problems[0].String(), tt.text) || problems[0].Line != tt.line {
			t.Errorf("%s: %+v, want line %d and %q", tt.name, problems, tt.line, tt.text)
		}
	}
}
