package lifting_test

import (
	"math"
	"strings"
	"testing"

	"hangtrue/internal/data/aircraft"
	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/lift/aircraftfile"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/lifting"
)

func shipped(t *testing.T, name string) *lift.Aircraft {
	t.Helper()
	for _, f := range aircraft.Files() {
		if f.Name == name {
			a, problems := aircraftfile.Read(f.Data)
			if a == nil {
				t.Fatal(problems)
			}
			return a
		}
	}
	t.Fatalf("no aircraft %s", name)
	return nil
}

// words collects every text of a picture.
func words(l *draw.List) string {
	var b strings.Builder
	for _, it := range l.Items {
		switch x := it.(type) {
		case draw.Text:
			b.WriteString(x.S + "\n")
		case *draw.Group:
			b.WriteString(words(&x.List))
		}
	}
	return b.String()
}

func wants(t *testing.T, p *draw.Picture, want ...string) {
	t.Helper()
	if err := p.Check(); err != nil {
		t.Fatal(err)
	}
	all := strings.ReplaceAll(words(&p.List), "\n", " ")
	for _, w := range want {
		if !strings.Contains(all, w) {
			t.Errorf("%s does not say %q", p.Title, w)
		}
	}
}

func TestHover_MarksSlipsWithTheirLine(t *testing.T) {
	s := shipped(t, "tandem").Spec() // its table has a hole
	tables := []lifting.HoverTable{{Title: "Out of ground effect", Table: s.OGE, Slips: []lifting.Slip{{Row: 2, Column: 1, Line: 23}, {Row: 2, Column: 1, Line: 23}, {Row: 4, Column: 5, Line: 25}}}}
	wants(t, lifting.Hover(s, strings.Repeat("ab", 32), tables), "INVENTED", "line 23", "12000 ft", "version abababababab", "Not a clearance to lift", "2 figures are ringed")
}

func carried(t *testing.T, name string, mass float64) lifting.CarrySheet {
	t.Helper()
	a := shipped(t, name)
	s := a.Spec()
	hook := s.Hooks[0].ID
	end := func(h, c, fuel float64) lift.End {
		return lift.End{Place: "hut", PressureAltitude: h, Temperature: quantity.SI(c, "degC"), Fuel: fuel}
	}
	q := lift.Ask{Aircraft: a, Load: lift.Weight{Mass: mass, Known: lift.Estimated, Band: 100}, Hooks: []string{hook}, PickUp: end(600, 15, 300), DropOff: end(1800, 8, 250), Rigging: []lift.Limit{{What: "net"}}}
	answer, problems := lift.Carry(q)
	if answer == nil {
		t.Fatal(problems)
	}
	return lifting.CarrySheet{Title: "Crate", Aircraft: s.Title, Invented: true, Status: rig.NoProcedure.String(), Show: s.Show, Load: q.Load, Answer: answer, Edges: lift.Edges(q, 3)}
}

func TestCarry_StatusStandsFirstAndWhatIsMissingIsNamed(t *testing.T) {
	for _, name := range []string{"single", "twin", "tandem"} {
		for _, mass := range []float64{500, 9000} {
			s := carried(t, name, mass)
			p := lifting.Carry(s)
			wants(t, p, "NO APPROVED PROCEDURE ENTERED", "INVENTED", "net, both ends: cannot tell", "± ", "(governs)", "Not a clearance to lift", "drop-off hut")
			unit := map[quantity.System]string{quantity.Metric: " kg", quantity.US: " lb"}[s.Show]
			if all := words(&p.List); !strings.Contains(all, unit) || strings.Index(all, "NO APPROVED PROCEDURE") > strings.Index(all, unit) {
				t.Errorf("%s: a number stands above the status", name)
			}
			wants(t, lifting.Reach(s.Show, s.Edges, 120, 100), "nothing is extrapolated")
		}
	}
}

func TestReach_WithoutATableSaysSo(t *testing.T) {
	var edges [2]lift.Edge
	for i := range edges {
		edges[i].Err = lift.Problem{Text: "none"}
	}
	wants(t, lifting.Reach(quantity.Metric, edges, 120, 100), "cannot tell, no hover table is entered")
}

func TestWash_PrintsTheMethodsLimits(t *testing.T) {
	a := shipped(t, "twin")
	w, err := a.Wash(7000, 1)
	if err != nil {
		t.Fatal(err)
	}
	s := lifting.WashSheet{Aircraft: "twin", Invented: true, Gross: 7000, Hook: 4, Wash: w}
	wants(t, lifting.Wash(s), "INVENTED", "gusts are well above it", "common practice, no source", "Not a clearance to lift", "11.40 m: ")
}

func TestDay_ShowsWhatIsLeftOver(t *testing.T) {
	plan := &lift.Plan{
		Trips:    []lift.Trip{{Lift: "gas", Stages: []lift.Stage{{What: "hook up", Begin: 0, End: 240, FuelEnd: 500, Margin: 100}, {What: "carry", To: "hut", Begin: 240, End: 900, FuelEnd: 420, Margin: math.NaN()}}}},
		Left:     []lift.LeftOver{{Lift: "generator", Result: rig.Over, Why: "too heavy"}},
		Finished: 900,
	}
	s := lifting.DaySheet{Title: "Huts", Aircraft: "single", Invented: true, Begins: 7.5 * quantity.Hour, Plan: plan, Fuel: 530, Reserve: 100, Findings: []rig.Finding{{Level: rig.Unknown, About: "net", Text: "its way home is not entered"}}}
	wants(t, lifting.Day(s), "INVENTED", "Left over: generator, over a limit: too heavy", "07:30", "down at 07:45", "carry to hut", "reserve", "Cannot tell: net", "a better day may exist", "Not a clearance to lift")
	// A long day keeps to the sheet, and one without a lift draws.
	for range 60 {
		plan.Trips = append(plan.Trips, plan.Trips[0])
	}
	p := lifting.Day(s)
	wants(t, p, "more lifts, in the table")
	if b := p.Bounds(); b.Y+b.H > p.Height+0.01 {
		t.Errorf("it reaches %g mm down a sheet of %g", b.Y+b.H, p.Height)
	}
	s.Plan = &lift.Plan{Proved: true}
	wants(t, lifting.Day(s), "No lift is planned.")
}

func TestFigures_CountsWhatHasNoRoom(t *testing.T) {
	s := lifting.FiguresSheet{
		Title: "Weighing of a crate", Invented: true, Result: "cannot tell", Reason: "the height is not known", Version: "0123456789abcdef",
		Groups: []lifting.FigureGroup{{Title: "Mass and CG", Rows: []lifting.Figure{{What: "Mass", Value: "1987 kg ± 30.0 kg", Note: "estimated"}}}},
		Notes:  []string{"Not every scale has a tolerance entered."},
	}
	wants(t, lifting.Figures(s), "INVENTED", "Cannot tell", "The height is not known.", "Mass and CG", "1987 kg ± 30.0 kg", "estimated", "Not every scale", "version 0123456789ab", rig.Caution[:20])
	long := lifting.FigureGroup{Title: "Readings"}
	for range 200 {
		long.Rows = append(long.Rows, lifting.Figure{What: "axle", Value: "1 kg"})
	}
	s.Groups = append(s.Groups, long)
	wants(t, lifting.Figures(s), "for want of room", "Not every scale")
}
