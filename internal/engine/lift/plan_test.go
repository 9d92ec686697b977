package lift

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"hangtrue/internal/engine/rig"
)

// line is a day with places on a straight line, 6 km apart, the first with
// fuel; the aircraft flies 30 m/s with a load and 60 m/s without.
func line(t *testing.T, places int) *Day {
	d := &Day{Aircraft: made(t, small()), Fuel: 200, FuelTo: []float64{200, 300}, Empty: 60, Loaded: 30, HookUp: 120, SetDown: 60, Refuel: 300}
	for i := range places {
		d.Places = append(d.Places, Place{ID: string(rune('A' + i)), Fuel: i == 0, Hours: []Hour{{0, 500 * float64(i), degC(10)}}})
		var row []float64
		for k := range places {
			row = append(row, 6000*math.Abs(float64(i-k)))
		}
		d.Distance = append(d.Distance, row)
	}
	return d
}

func one(id string, from, to int, mass float64) Waiting {
	return Waiting{ID: id, From: from, Loads: []Load{{ID: id, To: to, Hook: "belly", Weight: Weight{Mass: mass, Known: Weighed}, Rigging: []Limit{{What: "net", Rated: of(500 * gravity)}}}}}
}

func planned(t *testing.T, d *Day) *Plan {
	t.Helper()
	p, problems := PlanDay(d)
	if len(problems) > 0 {
		t.Fatal(problems[0])
	}
	return p
}

func TestPlanDay_TimelineByHand(t *testing.T) {
	d := line(t, 2)
	d.Lifts = []Waiting{one("crate", 0, 1, 300)}
	p := planned(t, d)
	if len(p.Trips) != 1 || len(p.Left) != 0 || !p.Proved {
		t.Fatalf("%+v", p)
	}
	// 120 s hook-up, 200 s with the load, 60 s set-down; 0.1 kg/s
	want := []struct {
		what       string
		begin, end float64
		fuel       float64
		margin     float64
	}{
		// 2000 − 0 − 100 − 1200 − 200 = 500, which the net allows too; less 300
		{"hook up", 0, 120, 188, 200},
		{"carry", 120, 320, 168, math.NaN()},
		// 2000 − 50 − 100 − 1200 − 168 = 482
		{"set down", 320, 380, 162, 182},
	}
	stages := p.Trips[0].Stages
	if len(stages) != len(want) {
		t.Fatalf("%d stages, want %d", len(stages), len(want))
	}
	for i, w := range want {
		s := stages[i]
		if s.What != w.what || math.Abs(s.Begin-w.begin)+math.Abs(s.End-w.end)+math.Abs(s.FuelEnd-w.fuel) > 1e-9 ||
			math.IsNaN(s.Margin) != math.IsNaN(w.margin) || math.Abs(s.Margin-w.margin) > 1e-9 {
			t.Errorf("stage %d: %+v, want %+v", i, s, w)
		}
	}
	if rows := p.Rows(0); len(rows) != 4 || rows[3][1] != "set down" || rows[3][6] != "6.3" {
		t.Errorf("rows %v", rows)
	}
}

// The heavy load goes only before the fuel taken for the far one makes the
// aircraft too heavy, or in the cool of the morning.
func TestPlanDay_OrderMatters(t *testing.T) {
	d := line(t, 3)
	d.Lifts = []Waiting{one("light", 0, 1, 200), one("heavy", 0, 1, 440)}
	d.Fuel, d.FuelTo = 250, nil
	d.Places[1].Hours = []Hour{{0, 500, degC(0)}, {500, 500, degC(15)}}
	p := planned(t, d)
	if len(p.Trips) != 2 || p.Trips[0].Lift != "heavy" {
		t.Errorf("trips %+v; the heavy load goes only while it is cool", p.Trips)
	}
}

func TestPlanDay_LeavesOverAndSaysWhy(t *testing.T) {
	d := line(t, 2)
	unrated := one("unrated", 0, 1, 100)
	unrated.Loads[0].Rigging[0].Rated = nil
	d.Lifts = []Waiting{one("goes", 0, 1, 100), one("huge", 0, 1, 600), unrated}
	d.Lifts[0].Loads[0].Equipment = []Equipment{{What: "net", Mass: 20, Home: OnHook}, {What: "bag", Home: Inside}}
	p := planned(t, d)
	if len(p.Trips) != 1 || len(p.Left) != 2 {
		t.Fatalf("%d trips and %d left", len(p.Trips), len(p.Left))
	}
	for i, w := range []LeftOver{{"huge", rig.Over, "too much"}, {"unrated", rig.CannotTell, "no rating"}} {
		if g := p.Left[i]; g.Lift != w.Lift || g.Result != w.Result || !strings.Contains(g.Why, w.Why) {
			t.Errorf("left over %+v, want %+v", g, w)
		}
	}
	if len(p.Equipment) != 2 || len(p.Findings) != 1 || p.Findings[0].Code != "flown-back-light" {
		t.Errorf("equipment %+v, findings %+v", p.Equipment, p.Findings)
	}
}

func TestPlanDay_SeveralLoadsOnOneAircraft(t *testing.T) {
	d := line(t, 3)
	d.FuelTo = nil
	pair := Waiting{ID: "pair", From: 0, Loads: []Load{
		{ID: "near", To: 1, Hook: "belly", Weight: Weight{Mass: 200, Known: Weighed}},
		{ID: "far", To: 2, Hook: "rear", Weight: Weight{Mass: 150, Known: Weighed}},
	}}
	d.Lifts = []Waiting{pair}
	p := planned(t, d)
	if len(p.Trips) != 1 || p.Finished != 120+200+60+200+60 {
		t.Errorf("trips %+v, left %+v, finished %g", p.Trips, p.Left, p.Finished)
	}
	d.Lifts[0].Loads[1].Weight.Mass = 450 // above the rear hook's 400 kg
	d.Lifts[0].Loads[0].Weight.Mass = 20
	if p := planned(t, d); len(p.Left) != 1 || !strings.Contains(p.Left[0].Why, "hook rear") {
		t.Errorf("left %+v, want the rear hook to be too weak", p.Left)
	}
}

// bruteForce flies every order of every choice of lifts with every choice of
// fuel and keeps the best day.
func bruteForce(d *Day) (count int, finished float64) {
	finished = math.Inf(1)
	fills := append([]float64{noFuel}, d.FuelTo...)
	var try func(at now, left []int, done int)
	try = func(at now, left []int, done int) {
		if done > count || done == count && at.time < finished {
			count, finished = done, at.time
		}
		for i, l := range left {
			rest := slices.Delete(slices.Clone(left), i, i+1)
			for _, fill := range fills {
				if then, r := d.fly(at, &d.Lifts[l], fill, nil); r == nil {
					try(then, rest, done+1)
				}
			}
		}
	}
	var all []int
	for i := range d.Lifts {
		all = append(all, i)
	}
	try(now{d.Start, 0, d.Fuel}, all, 0)
	return count, finished
}

func TestPlanDay_AgreesWithBruteForceOnSmallDays(t *testing.T) {
	const seed = 6
	r := rand.New(rand.NewPCG(seed, 1))
	some, full, fuelled := 0, 0, 0
	for n := range 60 {
		d := line(t, 4)
		for i := range d.Places {
			d.Places[i].Hours = append(d.Places[i].Hours, Hour{1500, 500 * float64(i), degC(10 + 10*r.Float64())})
		}
		d.Fuel = 120 + 100*r.Float64()
		for i := range 4 {
			from := r.IntN(4)
			d.Lifts = append(d.Lifts, one(fmt.Sprint("l", i), from, (from+1+r.IntN(3))%4, 150+300*r.Float64()))
		}
		if n%3 == 0 {
			d.Until = 3000
		}
		p := planned(t, d)
		count, finished := bruteForce(d)
		if len(p.Trips) != count || count > 0 && p.Finished != finished {
			t.Errorf("seed %d, day %d: %d lifts by %g s, brute force %d by %g", seed, n, len(p.Trips), p.Finished, count, finished)
		}
		if !p.Proved || len(p.Trips)+len(p.Left) != len(d.Lifts) {
			t.Errorf("day %d: proved %v, %d trips and %d left", n, p.Proved, len(p.Trips), len(p.Left))
		}
		if count > 0 && count < 4 {
			some++
		}
		if count == 4 {
			full++
		}
		for _, trip := range p.Trips {
			if slices.ContainsFunc(trip.Stages, func(s Stage) bool { return s.What == "refuel" }) {
				fuelled++
			}
		}
	}
	// The days must be of every kind, or the comparison shows little.
	if some < 10 || full < 5 || fuelled < 10 {
		t.Errorf("%d days with some lifts, %d with all, %d trips with fuel taken", some, full, fuelled)
	}
}

func TestPlanDay_SaysWhenItStoppedSearching(t *testing.T) {
	d := line(t, 3)
	for i := range 5 {
		d.Lifts = append(d.Lifts, one(fmt.Sprint("l", i), 0, 1+i%2, 200))
	}
	p, _ := planDay(d, 20)
	if p.Proved || len(p.Trips) == 0 {
		t.Errorf("proved %v after 20 tries with %d trips", p.Proved, len(p.Trips))
	}
}

func TestDay_RefusesWhatCannotBe(t *testing.T) {
	d := line(t, 2)
	d.Distance[0][1] = -1
	d.Places[1].Hours = nil
	d.Empty = 0
	d.FuelTo = []float64{500}
	d.Lifts = []Waiting{one("a", 0, 7, 100), one("a", 0, 1, 100)}
	d.Lifts[1].Loads[0].Hook = "nose"
	_, problems := PlanDay(d)
	var paths []string
	for _, p := range problems {
		paths = append(paths, p.Path)
	}
	want := []string{"distances[0][1]", "fuel", "lifts[0].loads[0].to", "lifts[1].id", "lifts[1].loads[0].hook", "places[1].hours", "speed.empty"}
	if !slices.Equal(paths, want) {
		t.Errorf("problems at %v, want %v", paths, want)
	}
}
