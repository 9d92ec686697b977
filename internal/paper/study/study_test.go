package study

import (
	"bytes"
	"context"
	"math"
	"strings"
	"testing"

	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/counts"
	"hangtrue/internal/engine/rig/rigfile"
	"hangtrue/internal/engine/rig/spread"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/svg"
)

func load(t *testing.T, name string) *rig.Rig {
	t.Helper()
	for _, d := range demo.Rigs() {
		if d.Name == name {
			r, problems := rigfile.Read(d.Data)
			if r == nil {
				t.Fatal(problems)
			}
			return r
		}
	}
	t.Fatalf("no demo rig %s", name)
	return nil
}

func written(t *testing.T, p *draw.Picture) string {
	t.Helper()
	if err := p.Check(); err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := svg.Write(&out, p, svg.Options{}); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func TestCountMap_ShowsPlanLimitsAndMark(t *testing.T) {
	r := load(t, "trailer-front-and-rear")
	m, err := counts.Chart(context.Background(), r, counts.Options{Workers: 2})
	if err != nil {
		t.Fatal(err)
	}
	plan := &Cell{m.A.Planned, m.B.Planned}
	text := written(t, CountMap(r, m, plan, []Cell{{m.A.Low + 4, m.B.Low + 20}}, 200, 180))
	for _, want := range []string{"INVENTED", "planned 5 / 33", "computed, not approved", "count of front (FL, FR)", "pitch, deg"} {
		if !strings.Contains(text, want) {
			t.Errorf("the map does not say %q", want)
		}
	}
	again := written(t, CountMap(r, m, plan, []Cell{{m.A.Low + 4, m.B.Low + 20}}, 200, 180))
	if text != again {
		t.Error("the same map gives other bytes")
	}
	// a pair outside the ranges is left out, not drawn beside the map
	if out := written(t, CountMap(r, m, &Cell{900, 900}, nil, 200, 180)); strings.Contains(out, "planned 900") {
		t.Error("a pair outside the map is drawn")
	}
}

// Where the load does not stand the map is hatched and has no contour.
func TestCountMap_NothingStands(t *testing.T) {
	m := &counts.Map{A: counts.Group{Name: "a", Low: 1, High: 3}, B: counts.Group{Name: "b", Low: 1, High: 3}, Points: make([]counts.Point, 9)}
	for i := range m.Points {
		m.Points[i] = counts.Point{Settled: true, Falls: true, Break: 1000}
	}
	text := written(t, CountMap(load(t, "crate-off-centre"), m, nil, nil, 120, 120))
	if strings.Contains(text, "°<") {
		t.Error("there are contours where nothing stands")
	}
}

func TestSpread_SaysItsWordsAndTheLimit(t *testing.T) {
	r := load(t, "crate-off-centre")
	s, err := spread.Run(context.Background(), r, spread.Options{Tolerances: spread.Defaults(), Cases: 300, Seed: 1, NoEffects: true})
	if err != nil {
		t.Fatal(err)
	}
	text := written(t, Spread(r, s, 160, 200))
	for _, want := range []string{"INVENTED", "of 300 tried cases", "as entered", "pitch, deg"} {
		if !strings.Contains(text, want) {
			t.Errorf("the picture does not say %q", want)
		}
	}
	// a result that never varies is said in words
	s.Pitch.Least, s.Pitch.Most = 0, 0
	if text := written(t, Spread(r, s, 160, 200)); !strings.Contains(text, "always 0") {
		t.Error("a constant result is not said")
	}
}

// The picture of a page has no title and says where a pair lies.
func TestBareCountMap_SaysWhereAPairLies(t *testing.T) {
	r := load(t, "trailer-front-and-rear")
	m, err := counts.Chart(context.Background(), r, counts.Options{High: 30, Workers: 2})
	if err != nil {
		t.Fatal(err)
	}
	p, v := BareCountMap(r, m, nil, nil, 116, 112)
	text := written(t, p)
	if strings.Contains(text, "What each pair of counts does") || !strings.Contains(text, "keeps all limits that depend on counts") {
		t.Error("the bare map has a title or no legend")
	}
	low, high := v.Map(draw.Pt(1, 1)), v.Map(draw.Pt(30, 30))
	near := func(a, b draw.Point) bool { return math.Hypot(a.X-b.X, a.Y-b.Y) < 1e-9 } // mm, rounding
	if !near(low, draw.Pt(v.Area.X, v.Area.Y+v.Area.H)) || !near(high, draw.Pt(v.Area.X+v.Area.W, v.Area.Y)) {
		t.Errorf("the lowest pair lies at %v, the highest at %v of %+v", low, high, v.Area)
	}
	if n := Neighbours(m, Cell{1, 30}); len(n) != 4 || n[0] != (Cell{1, 30}) {
		t.Errorf("neighbours in a corner: %v", n)
	}
}

// Bands near the cases are drawn, bands far from them would squeeze them.
func TestSpread_BandsNearTheCases(t *testing.T) {
	r := load(t, "crate-off-centre")
	s, err := spread.Run(context.Background(), r, spread.Options{Tolerances: spread.Defaults(), Cases: 300, Seed: 1, NoEffects: true})
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(written(t, BareSpread(r, s, 116, 150)), ">band<"); n != 4 {
		t.Errorf("%d ends of bands, want 4", n)
	}
	s.Pitch.Least, s.Pitch.Most = 0.99, 1
	if n := strings.Count(written(t, BareSpread(r, s, 116, 150)), ">band<"); n != 2 {
		t.Errorf("%d ends of bands beside far cases, want 2", n)
	}
}
