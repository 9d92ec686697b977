package study

import (
	"bytes"
	"context"
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
