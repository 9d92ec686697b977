package inspect_test

import (
	"slices"
	"testing"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/rig"
)

// fourLegs is what is found when the crate is rigged as planned: seats 1 to 4
// from the load's left to FL, RL, RR, FR.
func fourLegs(change func(map[string]*inspect.Found)) []inspect.Found {
	seats := map[string]int{"FL": 1, "RL": 2, "RR": 3, "FR": 4}
	by := map[string]*inspect.Found{}
	order := []string{"FL", "FR", "RL", "RR"}
	for _, id := range order {
		by[id] = &inspect.Found{Leg: id, Seat: seats[id], To: []rig.Ref{{ID: "crate", Point: id}}}
	}
	change(by)
	var out []inspect.Found
	for _, id := range order {
		if by[id] != nil {
			out = append(out, *by[id])
		}
	}
	return out
}

func TestTrace_TellsFaultsApart(t *testing.T) {
	type legs = map[string]*inspect.Found
	swapSeats := func(by legs, a, b string) { by[a].Seat, by[b].Seat = by[b].Seat, by[a].Seat }
	swapPoints := func(by legs, a, b string) { by[a].To, by[b].To = by[b].To, by[a].To }
	cases := []struct {
		name   string
		change func(legs)
		words  string
		pairs  []inspect.Pair
		twist  bool
	}{
		{"as planned", func(legs) {}, "", nil, false},
		{
			"outer and inner on one side traded: wrong seats, nothing crosses", func(by legs) { swapSeats(by, "FL", "RL") },
			"leg FL in seat 2 instead of 1; leg RL in seat 1 instead of 2", nil, false,
		},
		{
			"front legs in each other's seats cross", func(by legs) { swapSeats(by, "FL", "FR") },
			"leg FL in seat 4 instead of 1; leg FR in seat 1 instead of 4; legs FL and FR crossed",
			[]inspect.Pair{{A: "FL", B: "FR", Knot: inspect.Crossed}},
			false,
		},
		{
			"rear legs at each other's points cross", func(by legs) { swapPoints(by, "RL", "RR") },
			"leg RL to crate.RR instead of crate.RL; leg RR to crate.RL instead of crate.RR; legs RL and RR crossed",
			[]inspect.Pair{{A: "RL", B: "RR", Knot: inspect.Crossed}},
			false,
		},
		{
			"both traded: wrong seats and points, nothing crosses", func(by legs) { swapSeats(by, "FL", "FR"); swapPoints(by, "FL", "FR") },
			"leg FL in seat 4 instead of 1; leg FL to crate.FR instead of crate.FL; leg FR in seat 1 instead of 4; leg FR to crate.FL instead of crate.FR", nil, false,
		},
		{
			"one leg at another's point: wrong point", func(by legs) { by["FL"].To = []rig.Ref{{ID: "crate", Point: "RL"}} },
			"leg FL to crate.RL instead of crate.FL", nil, false,
		},
		{
			"right at both ends and over its neighbour: wrapped over", func(by legs) { by["FL"].Over = []string{"FR"} },
			"legs FL and FR wrapped over",
			[]inspect.Pair{{A: "FL", B: "FR", Knot: inspect.WrappedOver}},
			false,
		},
		{
			"over its neighbour where they cross is crossed", func(by legs) { swapSeats(by, "FL", "FR"); by["FL"].Over = []string{"FR"} },
			"leg FL in seat 4 instead of 1; leg FR in seat 1 instead of 4; legs FL and FR crossed",
			[]inspect.Pair{{A: "FL", B: "FR", Knot: inspect.Crossed}},
			false,
		},
		{
			"the whole fitting turned: twisted", func(by legs) { swapSeats(by, "FL", "FR"); swapSeats(by, "RL", "RR") },
			"apex apex is turned half round, all its legs twisted", nil, true,
		},
		{"a leg not found says nothing", func(by legs) { delete(by, "FL") }, "", nil, false},
	}
	r := our(t, "crate")
	for _, c := range cases {
		got := inspect.Trace(r, fourLegs(c.change))
		if got.Words() != c.words {
			t.Errorf("%s: %q, want %q", c.name, got.Words(), c.words)
		}
		if !slices.Equal(got.Pairs, c.pairs) {
			t.Errorf("%s: pairs %v, want %v", c.name, got.Pairs, c.pairs)
		}
		if (len(got.Twisted) > 0) != c.twist {
			t.Errorf("%s: twisted %v, want %v", c.name, got.Twisted, c.twist)
		}
	}
	planned := inspect.Trace(r, inspect.AsRigged(r))
	var order []string
	for _, s := range planned.BySeat("apex") {
		order = append(order, s.Leg)
	}
	if !slices.Equal(order, []string{"FL", "RL", "RR", "FR"}) {
		t.Errorf("from the load's left the pin holds %v", order)
	}
}

func TestTrace_CrossedAsPlanned(t *testing.T) {
	r := edited(t, "crate", "count: 12, seat: 1", "count: 12, seat: 4", "count: 10, seat: 4", "count: 10, seat: 1")
	got := inspect.Trace(r, inspect.AsRigged(r))
	if want := []inspect.Pair{{A: "FL", B: "FR", Knot: inspect.CrossedAsPlanned}}; !slices.Equal(got.Pairs, want) {
		t.Errorf("pairs %v, want %v", got.Pairs, want)
	}
	if got.Faulty() {
		t.Errorf("what is as planned is named: %s", got.Words())
	}
}

// The publicly known pattern: outer legs 1 and 2 to the front, inner legs 3
// and 4 to the rear, 1 and 3 on the left (field manuals of the FM 10-450-3
// class). Seats from the left are then 1, 3, 4, 2, and nothing crosses.
func TestTrace_TheFieldManualsPatternDoesNotCross(t *testing.T) {
	got := inspect.Trace(our(t, "crate"), fourLegs(func(map[string]*inspect.Found) {}))
	if len(got.Pairs) > 0 || got.Faulty() {
		t.Errorf("pairs %v, %s", got.Pairs, got.Words())
	}
}
