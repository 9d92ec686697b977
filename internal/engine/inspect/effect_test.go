package inspect_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/statics"
)

func hang(t testing.TB, r *rig.Rig) *rig.Answer {
	t.Helper()
	a, err := rig.Hang(r)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func near(a, b [3]float64) float64 { return statics.Norm(statics.Sub(a, b)) }

// corner returns how far a point hangs above the middle of all points of its
// body, m.
func corner(a *rig.Answer, ref rig.Ref) float64 {
	for i, b := range a.Rig.Bodies() {
		if b.ID != ref.ID {
			continue
		}
		pose := a.Bodies[i].Pose()
		mean := 0.0
		for _, p := range b.Points {
			mean += pose.At(p.At)[2] / float64(len(b.Points))
		}
		p, _ := b.PointAt(ref.Point)
		return pose.At(p.At)[2] - mean
	}
	return math.NaN()
}

// A fault in the mechanics shows in its sign before it shows in its size: a
// shorter leg lifts its corner, a lost leg lets it down, a wrong seat moves
// nothing.
func TestEffects_SignsMatchTheMechanics(t *testing.T) {
	// A hair of movement is the solver's rounding: forces balance to 1e-6 of
	// the weight, and the softest rig here gives way by about 1e-4 m per 1 % of it.
	const hair = 1e-6
	tried := map[part.Meaning]int{}
	for _, s := range all(t) {
		v := survey(t, s.rig)
		table, planned, err := v.Effects()
		if err != nil {
			t.Fatal(err)
		}
		if len(table) != len(v.Deficiencies) {
			t.Fatalf("%s: %d effects of %d deficiencies", s.name, len(table), len(v.Deficiencies))
		}
		was := func(ref rig.Ref) float64 { return corner(planned, ref) }
		for i := range table {
			e := &table[i]
			if e.Change == "" {
				if e.Answer != nil || e.Text != e.Hazard {
					t.Errorf("%s: %s has no mechanical meaning and an answer", s.name, e.ID())
				}
				continue
			}
			if e.Answer == nil || e.Text == "" {
				t.Fatalf("%s: %s has a mechanical meaning and no answer", s.name, e.ID())
			}
			tried[e.State.Meaning]++
			leg, isLeg := s.rig.Leg(e.Part.On.Leg)
			switch e.State.Meaning {
			case part.CountOff:
				changed := legOf(t, e.Answer, leg.ID)
				if d := legOf(t, planned, leg.ID).Unstretched - changed.Unstretched; len(leg.To) == 1 && math.Abs(d-float64(e.State.By)*leg.Chain.Pitch/2) > 1e-9 {
					t.Errorf("%s: %s takes %.4f m off the leg", s.name, e.ID(), d)
				}
				if len(leg.To) > 1 || !e.Stands() {
					continue
				}
				moved := (corner(e.Answer, leg.To[0]) - was(leg.To[0])) * float64(e.State.By)
				if both := changed.Slack && legOf(t, planned, leg.ID).Slack; moved < -hair || !both && onlyPointOfItsHeight(s.rig, leg) && moved <= 0 {
					t.Errorf("%s: %s moves its corner by %+.2g m times its links", s.name, e.ID(), moved)
				}
			case part.LegGone:
				if _, still := e.Answer.Rig.Leg(leg.ID); still || !isLeg {
					t.Errorf("%s: %s leaves the leg on", s.name, e.ID())
				}
				if len(leg.To) == 1 && e.Stands() && corner(e.Answer, leg.To[0]) > was(leg.To[0])+hair {
					t.Errorf("%s: %s lifts the corner that it leaves free", s.name, e.ID())
				}
			case part.PointGone:
				single := 0
				for _, l := range s.rig.Legs() {
					if slices.Equal(l.To, []rig.Ref{e.Part.On.Point}) {
						single++
					}
				}
				if len(e.Answer.Legs) > len(planned.Legs)-single {
					t.Errorf("%s: %s leaves %d legs of %d", s.name, e.ID(), len(e.Answer.Legs), len(planned.Legs))
				}
			case part.ApexGone:
				if len(s.rig.Apexes()) == 1 && (e.Stands() || e.Ends[0] != part.LoadLost) {
					t.Errorf("%s: %s: %s, ends in %v", s.name, e.ID(), e.Answer.Result, e.Ends)
				}
			case part.WrongSeat, part.SeatsTraded:
				if e.Turned > 1e-9 || len(e.Slack) > 0 {
					t.Errorf("%s: %s turns the load by %g rad", s.name, e.ID(), e.Turned)
				}
				if !strings.Contains(e.Text, "seat") {
					t.Errorf("%s: %s does not say the seat: %s", s.name, e.ID(), e.Text)
				}
			case part.WrongPoint, part.PointsTraded:
				if !e.Traced.Faulty() {
					t.Errorf("%s: %s: tracing shows nothing", s.name, e.ID())
				}
			}
			weighs(t, s, e)
		}
	}
	for _, m := range []part.Meaning{
		part.CountOff, part.CountsTraded, part.WrongPoint, part.WrongSeat, part.PointsTraded, part.SeatsTraded,
		part.LegGone, part.PointGone, part.ApexGone,
	} {
		if tried[m] < 2 {
			t.Errorf("meaning %s was tried %d times", m, tried[m])
		}
	}
}

// weighs checks that what still hangs still weighs what it weighs.
func weighs(t *testing.T, s sample, e *inspect.Effect) {
	t.Helper()
	pull, weight := 0.0, 0.0
	for _, x := range e.Answer.Apexes {
		pull -= x.Force[2]
	}
	bodies := s.rig.Bodies()
	for i := range e.Answer.Bodies {
		if e.Answer.Bodies[i].Joined {
			weight += bodies[i].TotalMass() * 9.80665
		}
	}
	// The solver balances forces to 1e-6 of the weight, per body.
	if e.Answer.Converged && math.Abs(pull-weight) > 1e-4*s.rig.Weight() {
		t.Errorf("%s: with %s the hooks carry %.1f N of %.1f N", s.name, e.ID(), pull, weight)
	}
}

func legOf(t *testing.T, a *rig.Answer, id string) *rig.LegAnswer {
	t.Helper()
	for i := range a.Legs {
		if a.Legs[i].ID == id {
			return &a.Legs[i]
		}
	}
	t.Fatalf("the answer has no leg %s", id)
	return nil
}

// onlyPointOfItsHeight reports whether the leg's corner has to move: its body
// hangs by legs to one point each, all taut, and is no drum that another leans on.
func onlyPointOfItsHeight(r *rig.Rig, leg rig.Leg) bool {
	if len(r.Bodies()) > 1 {
		return false
	}
	n := 0
	for _, l := range r.Legs() {
		if slices.Equal(l.To, leg.To) {
			n++
		}
	}
	return n == 1
}

func TestEffects_AreOrderedByEndThenNumbers(t *testing.T) {
	for _, s := range ours(t) {
		table, _, err := survey(t, s.rig).Effects()
		if err != nil {
			t.Fatal(err)
		}
		for i := 1; i < len(table); i++ {
			a, b := &table[i-1], &table[i]
			ga, gb := part.Gravity(a.Ends), part.Gravity(b.Ends)
			if ga > gb {
				t.Errorf("%s: %s (%v) stands before %s (%v)", s.name, a.ID(), a.Ends, b.ID(), b.Ends)
			}
			if ga == gb && a.Answer != nil && b.Answer != nil && a.Stands() && !b.Stands() {
				t.Errorf("%s: %s, which stands, is before %s, which does not", s.name, a.ID(), b.ID())
			}
			if ga == gb && a.Answer == nil && b.Answer != nil {
				t.Errorf("%s: %s, not computed, is before %s", s.name, a.ID(), b.ID())
			}
		}
	}
}

func TestEffects_OfALostLegOnACrate(t *testing.T) {
	r := our(t, "crate")
	v := survey(t, r)
	table, _, err := v.Effects()
	if err != nil {
		t.Fatal(err)
	}
	find := func(id string) *inspect.Effect {
		for i := range table {
			if table[i].ID() == id {
				return &table[i]
			}
		}
		t.Fatalf("no effect of %s", id)
		return nil
	}
	// Left and right in each other's counts: the left comes up as much as the
	// plan had the right up.
	traded := find("legs.FL+FR.mirrored-legs/counts/traded")
	planned := hang(t, r)
	if got, was := traded.Roll, planned.Bodies[0].Roll; got >= was {
		t.Errorf("traded counts shorten the right leg and roll it from %.4f to %.4f rad, right side down", was, got)
	}
	lost := find("leg.FL.chain/routing/beside")
	if other := find("leg.FL.keeper/closed/open"); other.Answer != lost.Answer {
		t.Error("two ways to lose one leg were hung apart")
	}
	whole, err := v.Rig.WithoutLeg("FL")
	if err != nil {
		t.Fatal(err)
	}
	if want := hang(t, whole); want.Bodies[0].Pitch != lost.Pitch || want.Bodies[0].Roll != lost.Roll {
		t.Errorf("a lost leg hangs at pitch %g roll %g, without the leg %g %g", lost.Pitch, lost.Roll, want.Bodies[0].Pitch, want.Bodies[0].Roll)
	}
}

// What the computation finds is added to what the catalogue says.
func TestEffects_EndsGainWhatIsComputed(t *testing.T) {
	cases := []struct {
		name, id string
		edit     []string
		want     []part.End
	}{
		{"a wrong count alone", "leg.FL.grab-hook/count/one-more", nil, []part.End{part.Attitude}},
		{
			"a wrong count that takes a leg over its rating", "leg.FL.grab-hook/count/five-more",
			[]string{"stretch: 8 % at 27.8 kN}", "stretch: 0.2 % at 27.8 kN}", "rated: 27.8 kN, clevis: 30 kN}", "rated: 9 kN, clevis: 30 kN}"},
			[]part.End{part.LegLost, part.Attitude},
		},
		{"the apex lost", "apex.apex.apex-fitting/sound/cracked", nil, []part.End{part.LoadLost}},
	}
	for _, c := range cases {
		table, planned, err := survey(t, edited(t, "crate", c.edit...)).Effects()
		if err != nil {
			t.Fatal(err)
		}
		found := false
		for i := range table {
			if e := &table[i]; e.ID() == c.id {
				found = true
				if !slices.Equal(e.Ends, c.want) {
					t.Errorf("%s ends in %v, want %v (planned %s, changed %s)", c.name, e.Ends, c.want, planned.Reason, e.Answer.Reason)
				}
			}
		}
		if !found {
			t.Errorf("%s: no effect of %s", c.name, c.id)
		}
	}
}
