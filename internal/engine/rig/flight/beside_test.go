package flight_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/flight"
)

func TestBeats_NameWhatIsNear(t *testing.T) {
	modes := []rig.Mode{{Frequency: 0.2, Names: []string{"swing sideways"}}, {Frequency: 4.0, Shape: "bounce", Names: []string{"bounce"}}}
	for _, c := range []struct {
		rpm    float64
		blades int
		near   string
	}{
		{240, 4, "once a turn"},        // 4 Hz
		{240 / 0.86, 4, "once a turn"}, // bounce 14 % under
		{240 / 0.84, 4, ""},            // 16 % under, blades at 19 Hz
		{60, 4, "blade passing"},       // 1 Hz and 4 Hz
		{100, 2, ""},
	} {
		beats, err := flight.Beats(modes, flight.Rotor{Speed: c.rpm * quantity.RevolutionPerMinute, Blades: c.blades})
		if err != nil || len(beats) != 2 {
			t.Fatalf("%g rpm: %v, %d beats", c.rpm, err, len(beats))
		}
		near := ""
		for _, b := range beats {
			if b.Near {
				near += b.Of
			}
		}
		if near != c.near {
			t.Errorf("%.1f rpm, %d blades: near %q, want %q", c.rpm, c.blades, near, c.near)
		}
	}
	if _, err := flight.Beats(modes, flight.Rotor{Speed: 0, Blades: 4}); err == nil {
		t.Error("a rotor that stands still is taken")
	}
}

func TestLimitLoads_AreThoseOfTheRule(t *testing.T) {
	r := demo(t, "crate-off-centre")
	list, err := flight.LimitLoads(r)
	if err != nil || len(list) != 5 {
		t.Fatalf("%v, %d directions", err, len(list))
	}
	rest, err := rig.Hang(r)
	if err != nil {
		t.Fatal(err)
	}
	highest := 0.0
	for _, l := range rest.Legs {
		highest = math.Max(highest, l.Tension)
	}
	for i, l := range list {
		down, aside := 2.5*math.Cos(math.Pi/6), 1.25
		if i == 0 {
			down, aside = 2.5, 0
		}
		// 1e-5: the balance is to 1e-6 of the weight, at 2.5 times it.
		if math.Abs(l.Down/r.Weight()-down) > 1e-5 || math.Abs(l.Aside/r.Weight()-aside) > 1e-5 {
			t.Errorf("%s: %.6f W down, %.6f W aside", l.Direction, l.Down/r.Weight(), l.Aside/r.Weight())
		}
		// A load swung out as a whole pulls on its legs as it hangs, 2.5 times;
		// but for stretch, which is 2.5 times too and moves some of the pull
		// from leg to leg.
		if math.Abs(l.Pull/(2.5*highest)-1) > 0.1 || l.Leg == "" {
			t.Errorf("%s: highest pull %.0f N on %s, at rest %.0f N", l.Direction, l.Pull, l.Leg, highest)
		}
	}
}

func TestCompare_PutsMeasuredBesideComputed(t *testing.T) {
	r := demo(t, "crate-off-centre")
	p := func(x float64) *float64 { return &x }
	s := study(t, r, flight.Conditions{})
	at, err := s.At(50 * quantity.Knot)
	if err != nil {
		t.Fatal(err)
	}
	list, err := flight.Compare(r, flight.Conditions{}, flight.Seen{
		Weight: p(r.Weight() + 500), Airspeed: p(50 * quantity.Knot),
		Pitch: p(at.Bodies[0].Pitch - 1*deg), Roll: p(at.Bodies[0].Roll), Trail: p(at.Trail + 2*deg),
	})
	if err != nil || len(list) != 4 {
		t.Fatalf("%v, %+v", err, list)
	}
	for i, want := range []struct {
		what, words string
		off         float64
	}{
		{"weight", "more than the rig weighs", 500},
		{"pitch", "hung lower at the nose by 1.0 deg", -1 * deg},
		{"roll", "as computed", 0},
		{"trail", "trailed further back by 2.0 deg", 2 * deg},
	} {
		d := list[i]
		if d.What != want.what || !strings.Contains(d.Words, want.words) || math.Abs(d.Off()-want.off) > 1e-6 {
			t.Errorf("%+v, want %+v", d, want)
		}
	}
	if list, err := flight.Compare(r, flight.Conditions{}, flight.Seen{Weight: p(r.Weight())}); err != nil || len(list) != 1 || !strings.Contains(list[0].Words, "agrees") {
		t.Errorf("%v, %+v", err, list)
	}
	if _, err := flight.Compare(r, flight.Conditions{}, flight.Seen{Trail: p(0.1)}); err == nil {
		t.Error("a trail without an airspeed is taken")
	}
	if _, err := flight.Compare(r, flight.Conditions{}, flight.Seen{Weight: p(math.NaN())}); err == nil {
		t.Error("a weight that is no number is taken")
	}
}

func TestFromWords(t *testing.T) {
	show := func(rad float64) string { return fmt.Sprintf("%.0f deg", rad/quantity.Degree) }
	for from, want := range map[float64]string{0: "ahead", 30: "30 deg to the left of ahead", -90: "90 deg to the right of ahead", 180: "behind", -180: "behind", 270: "90 deg to the right of ahead", 0.01: "ahead"} {
		if got := (flight.Conditions{From: from * quantity.Degree}).FromWords(show); got != want {
			t.Errorf("air from %g deg is told as from %q, want %q", from, got, want)
		}
	}
}
