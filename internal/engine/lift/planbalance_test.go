package lift_test

import (
	"math"
	"strings"
	"testing"

	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
)

// Two loads on two hooks: with the rear one down the front one pulls the CG
// forward. Where that is out of limits the other order is the user's to enter;
// this one is left over and says why.
func TestPlanDay_HoldsTheCGAfterEachSetDown(t *testing.T) {
	rated := 20000.0
	net := []lift.Limit{{What: "net", Rated: &rated}}
	plan := func(limits [2]float64) *lift.Plan {
		s := shipped(t, "twin").Spec()
		s.Balance = &limits
		a, problems := lift.New(s)
		if a == nil {
			t.Fatal(problems)
		}
		air := []lift.Hour{{Temperature: quantity.SI(10, "degC")}}
		weighed := func(kg float64) lift.Weight { return lift.Weight{Mass: kg, Known: lift.Weighed} }
		d := &lift.Day{
			Aircraft: a, Places: []lift.Place{{ID: "valley", Fuel: true, Hours: air}, {ID: "hut", Hours: air}},
			Distance: [][]float64{{0, 5000}, {5000, 0}}, Fuel: 600, Empty: 45, Loaded: 30, HookUp: 180, SetDown: 120, Refuel: 300,
			Lifts: []lift.Waiting{{ID: "both", Loads: []lift.Load{
				{ID: "first", Weight: weighed(900), To: 1, Hook: "rear", Rigging: net},
				{ID: "second", Weight: weighed(900), To: 1, Hook: "front", Rigging: net},
			}}},
		}
		p, problems := lift.PlanDay(d)
		if p == nil {
			t.Fatal(problems)
		}
		return p
	}
	within := plan([2]float64{-0.3, 0.45})
	if len(within.Trips) != 1 || len(within.Hangings) != 1 || len(within.Hangings[0]) != 3 {
		t.Fatalf("%+v", within)
	}
	all, one, none := within.Hangings[0][0], within.Hangings[0][1], within.Hangings[0][2]
	if !(one.CG[0] > all.CG[0] && one.CG[0] > none.CG[0]) || one.After != "first" || math.Abs(one.Loads["front"]-900*quantity.StandardGravity) > 1e-6 || len(none.Loads) != 0 {
		t.Errorf("with both %+v, with the front one %+v, empty %+v", all, one, none)
	}
	// Between the two: the first hover keeps it, the second does not.
	out := plan([2]float64{-0.3, (all.CG[0] + one.CG[0]) / 2})
	if len(out.Trips) != 0 || len(out.Left) != 1 || out.Left[0].Result != rig.Over || !strings.Contains(out.Left[0].Why, "hut: the aircraft's CG with the load lies at") {
		t.Errorf("%+v", out)
	}
}
