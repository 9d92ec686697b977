package inspect_test

import (
	"math"
	"testing"

	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/rig"
)

// What changes nothing by itself and may end in a lost leg hangs, once it has, as
// the rig without that leg.
func TestEnded_IsTheRigWithoutWhatIsLost(t *testing.T) {
	tried := map[part.End]int{}
	for _, s := range all(t) {
		v := survey(t, s.rig)
		planned := hang(t, s.rig)
		legs := map[string]*rig.Answer{}
		for i := range v.Deficiencies {
			d := &v.Deficiencies[i]
			if d.Change == "" && tried[d.State.Ends[0]] > 40 {
				continue // enough of this kind
			}
			e, err := v.Ended(t.Context(), planned, d)
			if err != nil {
				t.Fatal(err)
			}
			if e == nil {
				continue
			}
			if d.Change != "" {
				t.Errorf("%s: %s has a meaning of its own", s.name, d.ID())
			}
			end := e.Ends[0]
			tried[end]++
			if e.Answer == nil || e.Text == "" || len(e.Ends) != 1 {
				t.Errorf("%s: %s says nothing", s.name, d.ID())
			}
			if end != part.LegLost {
				continue
			}
			leg := d.Part.On.Leg
			if legs[leg] == nil {
				without, err := s.rig.WithoutLeg(leg)
				if err != nil {
					t.Fatal(err)
				}
				legs[leg] = hang(t, without)
			}
			// One solver on one rig: the same to the last digit.
			if want := legs[leg]; want.Result != e.Answer.Result || math.Abs(want.Bodies[0].Pitch-e.Answer.Bodies[0].Pitch) > 1e-12 {
				t.Errorf("%s: %s hangs otherwise than without leg %s", s.name, d.ID(), leg)
			}
		}
	}
	for _, end := range []part.End{part.LegLost, part.LoadLost} {
		if tried[end] < 10 {
			t.Errorf("%d end in %s", tried[end], end.Words())
		}
	}
}
