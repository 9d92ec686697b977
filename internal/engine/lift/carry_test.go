package lift

import (
	"math"
	"slices"
	"strings"
	"testing"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
)

func of[T any](x T) *T { return &x }

func degC(t float64) float64 { return quantity.SI(t, "degC") }

// small is an aircraft with round numbers: 1,200 kg operating, 2,000 kg at sea
// level and freezing, 100 kg less for each 1,000 m and 10 K.
func small() Spec {
	t := &Table{Altitudes: []float64{0, 1000, 2000, 3000}, Temperatures: []float64{degC(0), degC(10), degC(20), degC(30)}, Source: "test"}
	for i := range t.Altitudes {
		var row []float64
		for k := range t.Temperatures {
			row = append(row, 2000-100*float64(i)-100*float64(k))
		}
		t.Gross = append(t.Gross, row)
	}
	return Spec{
		Title: "test", Invented: true,
		Empty: Item{What: "empty", Mass: 1100}, Crew: []Item{{What: "pilot", Mass: 90}}, Kit: []Item{{What: "mirror", Mass: 10}},
		Fuel:  Fuel{Capacity: 400, Burn: 0.1, Reserve: of(60.0)},
		Gross: of(1900.0), External: of(1950.0),
		Hooks:    []Hook{{ID: "belly", Rated: of(700 * gravity)}, {ID: "rear", Rated: of(400 * gravity)}},
		Together: []Together{{[]string{"rear", "belly"}, 900 * gravity}},
		OGE:      t,
	}
}

func made(t *testing.T, s Spec) *Aircraft {
	t.Helper()
	a, problems := New(s)
	if len(problems) > 0 {
		t.Fatal(problems[0])
	}
	return a
}

func TestTable_InterpolatesAndNeverExtrapolates(t *testing.T) {
	table := small().OGE
	n := 0
	// The table is a plane, so interpolation must give the plane back.
	for h := 0.0; h <= 3000; h += 125 {
		for c := 0.0; c <= 30; c += 2.5 {
			got, err := table.At(h, degC(c))
			if want := 2000 - h/10 - c*10; err != nil || math.Abs(got-want) > 1e-9 {
				t.Errorf("at %g m and %g degC: %g kg (%v), want %g", h, c, got, err, want)
			}
			n++
		}
	}
	if n != 25*13 {
		t.Errorf("tried %d places", n)
	}
	for _, c := range []struct{ h, c float64 }{{-1, 10}, {3001, 10}, {1000, -1}, {1000, 31}, {math.NaN(), 10}} {
		if m, err := table.At(c.h, degC(c.c)); err == nil {
			t.Errorf("at %g m and %g degC: %g kg outside the table", c.h, c.c, m)
		}
	}
	table.Gross[3][3] = math.NaN()
	if _, err := table.At(2500, degC(25)); err == nil || !strings.Contains(err.Error(), "no figure") {
		t.Errorf("beside a hole: %v", err)
	}
	if m, err := table.At(2000, degC(25)); err != nil || m != 1550 {
		t.Errorf("on the edge of the square with the hole: %g kg (%v), want 1550", m, err)
	}
	// A square that twists: bilinear between corners 0 0 0 4 is 4·f·g.
	twist := &Table{Altitudes: []float64{0, 1}, Temperatures: []float64{0, 1}, Gross: [][]float64{{0, 0}, {0, 4}}}
	if m, _ := twist.At(0.5, 0.25); m != 0.5 {
		t.Errorf("twisted square: %g, want 0.5", m)
	}
}

func TestSlips(t *testing.T) {
	codes := func(change func(*Table)) []string {
		table := small().OGE
		change(table)
		var out []string
		for _, f := range table.Slips("hover", quantity.Metric) {
			if !slices.Contains(out, f.Code) {
				out = append(out, f.Code)
			}
		}
		slices.Sort(out)
		return out
	}
	for _, tt := range []struct {
		name   string
		change func(*Table)
		want   []string
	}{
		{"as it is", func(*Table) {}, nil},
		{"flat, as at a weight limit", func(x *Table) { x.Gross[0][1] = 2000; x.Gross[1][0] = 2000 }, nil},
		{"digits changed about", func(x *Table) { x.Gross[2][1] = 1070 }, []string{"figure-stands-out", "rises-with-altitude", "rises-with-temperature"}},
		{"row typed twice too high", func(x *Table) { x.Gross[3][0] = 1810 }, []string{"rises-with-altitude"}},
		{"hole", func(x *Table) { x.Gross[0][0] = math.NaN() }, []string{"table-has-holes"}},
	} {
		if got := codes(tt.change); !slices.Equal(got, tt.want) {
			t.Errorf("%s: %v, want %v", tt.name, got, tt.want)
		}
	}
}

func ask(t *testing.T) Ask {
	return Ask{
		Aircraft: made(t, small()), Load: Weight{Mass: 300, Known: Weighed}, Hooks: []string{"belly"},
		Rigging: []Limit{{What: "net", Rated: of(500 * gravity)}},
		PickUp:  End{PressureAltitude: 500, Temperature: degC(10), Fuel: 200}, DropOff: End{PressureAltitude: 1500, Temperature: degC(5), Fuel: 150},
	}
}

func carried(t *testing.T, q Ask) *Answer {
	t.Helper()
	a, problems := Carry(q)
	if len(problems) > 0 {
		t.Fatal(problems[0])
	}
	return a
}

func TestCarry_ByHand(t *testing.T) {
	a := carried(t, ask(t))
	// pick-up: table 2000 − 50 − 100 = 1850, less 1200 and 200 of fuel: 450
	// drop-off: 2000 − 150 − 50 = 1800, less 1350: 450
	want := []struct {
		end, what string
		load      float64
	}{
		{"pick-up", "hover out of ground effect", 450},
		{"pick-up", "external gross weight", 550},
		{"drop-off", "hover out of ground effect", 450},
		{"drop-off", "external gross weight", 600},
		{"both ends", "hook belly", 700},
		{"both ends", "net", 500},
	}
	if len(a.Allowed) != len(want) {
		t.Fatalf("%d limits, want %d", len(a.Allowed), len(want))
	}
	for i, w := range want {
		if g := a.Allowed[i]; g.End != w.end || g.What != w.what || !g.Known || math.Abs(g.Load-w.load) > 1e-9 {
			t.Errorf("limit %d: %s %s %g kg, want %s %s %g", i, g.End, g.What, g.Load, w.end, w.what, w.load)
		}
	}
	if a.Result != rig.Within || math.Abs(a.Margin-150) > 1e-9 || a.TakeOff != 0 {
		t.Errorf("%s, margin %g, take off %g: want within, 150, 0", a.Result, a.Margin, a.TakeOff)
	}
}

func TestCarry_Results(t *testing.T) {
	remake := func(q *Ask, change func(*Spec)) {
		s := small()
		change(&s)
		q.Aircraft = made(t, s)
	}
	for _, tt := range []struct {
		name    string
		change  func(*Ask)
		want    rig.Result
		code    string
		takeOff float64
		says    string
	}{
		{"at the limit", func(q *Ask) { q.Load.Mass = 450 }, rig.Within, "", 0, "0.0 kg to spare"},
		{"too heavy", func(q *Ask) { q.Load.Mass = 480 }, rig.Over, "limit-passed", 30, "30.0 kg too much"},
		{"perhaps too heavy", func(q *Ask) { q.Load = Weight{Mass: 430, Known: Estimated, Band: 40} }, rig.CannotTell, "within-its-tolerance", 0, "may be over"},
		{"hotter than the table", func(q *Ask) { q.PickUp.Temperature = degC(31) }, rig.CannotTell, "limit-missing", 0, "outside the hover table"},
		{"no table in ground effect", func(q *Ask) { q.DropOff.InGround = true }, rig.CannotTell, "limit-missing", 0, "no hover table"},
		{"net not rated", func(q *Ask) { q.Rigging[0].Rated = nil }, rig.CannotTell, "limit-missing", 0, "net"},
		{"too heavy, and a limit missing", func(q *Ask) { q.Load.Mass = 600; q.Rigging[0].Rated = nil }, rig.Over, "limit-passed", 150, "too much"},
		{"hook not rated", func(q *Ask) { remake(q, func(s *Spec) { s.Hooks[0].Rated = nil }) }, rig.CannotTell, "limit-missing", 0, "hook belly"},
		{"no external limit", func(q *Ask) { remake(q, func(s *Spec) { s.External = nil }) }, rig.CannotTell, "limit-missing", 0, "external load is entered"},
		{"no reserve left", func(q *Ask) { q.DropOff.Fuel = 59 }, rig.Over, "no-reserve", 0, "59.0 kg of fuel are left"},
		{"no reserve on the way home", func(q *Ask) { q.Home = 1000 }, rig.Over, "no-reserve", 0, "after the flight home"},
		{"no reserve entered", func(q *Ask) { remake(q, func(s *Spec) { s.Fuel.Reserve = nil }) }, rig.CannotTell, "reserve-missing", 0, "no fuel reserve"},
		{"two hooks", func(q *Ask) { q.Hooks = []string{"belly", "rear"} }, rig.Within, "", 0, ""},
		{"two hooks, not rated together", func(q *Ask) {
			remake(q, func(s *Spec) { s.Together = nil })
			q.Hooks = []string{"belly", "rear"}
		}, rig.CannotTell, "limit-missing", 0, "together"},
		{"passengers", func(q *Ask) { q.Extra = []Item{{What: "two guests", Mass: 160}} }, rig.Over, "limit-passed", 10, "10.0 kg too much"},
		{"reduction for what cannot be jettisoned", func(q *Ask) {
			remake(q, func(s *Spec) { s.Reductions = []Reduction{{"fixed", 200, true}} })
			q.NotJettisoned = true
		}, rig.Over, "limit-passed", 50, "50.0 kg too much"},
		{"the same, jettisonable", func(q *Ask) { remake(q, func(s *Spec) { s.Reductions = []Reduction{{"fixed", 200, true}} }) }, rig.Within, "", 0, ""},
		{"heavy without its load", func(q *Ask) {
			remake(q, func(s *Spec) { s.Gross = of(1390.0) })
		}, rig.Over, "gross-weight", 0, "without the load"},
	} {
		q := ask(t)
		tt.change(&q)
		a := carried(t, q)
		if a.Result != tt.want || math.Abs(a.TakeOff-tt.takeOff) > 1e-9 || !strings.Contains(a.Reason, tt.says) {
			t.Errorf("%s: %s, take off %g, %q; want %s, %g, with %q", tt.name, a.Result, a.TakeOff, a.Reason, tt.want, tt.takeOff, tt.says)
		}
		if tt.code != "" && !slices.ContainsFunc(a.Findings, func(f rig.Finding) bool { return f.Code == tt.code }) {
			t.Errorf("%s: no finding %s in %v", tt.name, tt.code, a.Findings)
		}
	}
}

// The load that is taken off at the word of the answer must then be within.
// A hover table with what may be a typing slip is named in every answer that
// rests on it, once.
func TestCarry_NamesASlipOfItsTable(t *testing.T) {
	q := ask(t)
	s := small()
	last := len(s.OGE.Gross) - 1
	s.OGE.Gross[last][0] = s.OGE.Gross[last-1][0] + 1
	for _, x := range []struct {
		of   *Aircraft
		want int
	}{{q.Aircraft, 0}, {made(t, s), 1}} {
		q.Aircraft = x.of
		n := 0
		for _, f := range carried(t, q).Findings {
			if f.Code == "table-may-have-slips" {
				n++
			}
		}
		if n != x.want {
			t.Errorf("%d findings about slips, want %d", n, x.want)
		}
	}
	a := carried(t, q)
	for i, order := 1, a.Order(); i < len(order); i++ {
		before, after := a.Allowed[order[i-1]], a.Allowed[order[i]]
		if !before.Known && after.Known || before.Known && after.Known && before.Load > after.Load {
			t.Errorf("%+v stands before %+v", before, after)
		}
	}
}

func TestCarry_TakingOffIsEnough(t *testing.T) {
	n := 0
	for mass := 200.0; mass <= 900; mass += 50 {
		q := ask(t)
		q.Load.Mass = mass
		q.Load.Mass -= carried(t, q).TakeOff
		if a := carried(t, q); a.Result != rig.Within {
			t.Errorf("%g kg, less what was to be taken off: %s", mass, a.Reason)
		}
		n++
	}
	if n != 15 {
		t.Errorf("tried %d", n)
	}
}

func TestCarry_RefusesAWrongQuestion(t *testing.T) {
	q := ask(t)
	q.Hooks = []string{"nose"}
	q.Load = Weight{Mass: 100, Known: Estimated}
	q.PickUp.Fuel, q.DropOff.Fuel = 500, -10
	_, problems := Carry(q)
	var paths []string
	for _, p := range problems {
		paths = append(paths, p.Path)
		if p.Hint == "" {
			t.Errorf("%s: no hint", p.Path)
		}
	}
	if want := []string{"drop-off.fuel", "hooks[0]", "load.give-or-take", "pick-up.fuel"}; !slices.Equal(paths, want) {
		t.Errorf("problems at %v, want %v", paths, want)
	}
}

func TestReach_LiesWhereTheLoadJustGoes(t *testing.T) {
	q := ask(t)
	q.Load.Mass = 350
	line, err := Reach(q, q.PickUp, 4)
	if err != nil || len(line) != 13 {
		t.Fatalf("%d points, %v; want 13", len(line), err)
	}
	states := map[HighestState]int{}
	for _, p := range line {
		states[p.State]++
		// 1200 + 200 + 350 = 1750 = 2000 − h/10 − 10·c
		if want := 10 * (250 - 10*(p.Temperature-degC(0))); p.State == Crossing && math.Abs(p.Altitude-want) > 1e-6 {
			t.Errorf("at %g K up to %g m, want %g", p.Temperature, p.Altitude, want)
		}
	}
	if states[Crossing] != 11 || states[Never] != 2 {
		t.Errorf("states %v, want 11 crossings and 2 nevers", states)
	}
	q.Load.Mass = 100
	if line, _ = Reach(q, q.PickUp, 1); line[0].State != Beyond || line[0].Altitude != 3000 {
		t.Errorf("a light load: %+v, want beyond the table", line[0])
	}
	if k, state := small().OGE.Hottest(1750, 500); state != Crossing || math.Abs(k-degC(20)) > 1e-9 {
		t.Errorf("hottest at 500 m: %g K, state %d, want 20 degC", k, state)
	}
}

func TestNew_RefusesWhatCannotBe(t *testing.T) {
	s := small()
	s.Empty.Mass = 0
	s.Fuel.Reserve = of(500.0)
	s.External = of(90.0)
	s.Balance = &[2]float64{0.2, -0.2}
	s.Hooks[1].ID = "belly"
	s.OGE.Altitudes[1] = 0
	s.OGE.Gross[2] = s.OGE.Gross[2][:3]
	s.OGE.Gross[0][0] = -5
	_, problems := New(s)
	var paths []string
	for _, p := range problems {
		paths = append(paths, p.Path)
	}
	want := []string{"empty.mass", "fuel.reserve", "hooks-together[0].hooks[0]", "hooks[1].id", "hover.oge.altitudes[1]", "hover.oge.gross[0][0]", "hover.oge.gross[2]", "limits.cg", "limits.external-gross"}
	if !slices.Equal(paths, want) {
		t.Errorf("problems at %v, want %v", paths, want)
	}
}

func TestLoadForm_TheWorseEndGoverns(t *testing.T) {
	departure := LoadForm(4000, 100, 3950, 2800, 1000)
	destination := LoadForm(3600, 100, 3950, 2700, 1000)
	if departure.Selected != 3900 || departure.Allowable != 1100 || !departure.WithinEntered {
		t.Errorf("departure %+v", departure)
	}
	if got := Worse(departure, destination); got.Allowable != 800 || got.WithinEntered {
		t.Errorf("governing %+v, want 800 kg and over", got)
	}
}
