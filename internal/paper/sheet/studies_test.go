package sheet_test

import (
	"context"
	"strings"
	"testing"

	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/rig/counts"
	"hangtrue/internal/engine/rig/spread"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/sheet"
	"hangtrue/internal/paper/study"
)

// Each sheet of a study stays within the margins, has its status larger than
// anything else and says what every sheet says.
func TestStudies_OnePageWithTheHeadOfTheRigsSheet(t *testing.T) {
	n := 0
	for _, d := range demo.Rigs() {
		if d.Name != "trailer-front-and-rear" && d.Name != "crate-off-centre" {
			continue
		}
		a := hang(t, d.Name, string(d.Data))
		m, err := counts.Chart(context.Background(), a.Rig, counts.Options{High: 40, Workers: 2})
		if err != nil {
			t.Fatal(err)
		}
		var plan *study.Cell
		if m.A.Planned > 0 && m.B.Planned > 0 {
			plan = &study.Cell{A: m.A.Planned, B: m.B.Planned}
		}
		x, err := spread.Run(context.Background(), a.Rig, spread.Options{Tolerances: spread.Defaults(), Cases: 500, Seed: 1, Workers: 2})
		if err != nil {
			t.Fatal(err)
		}
		for what, c := range map[string]struct {
			p    *draw.Picture
			says []string
		}{
			"count map": {sheet.CountMap(a, m, plan, []study.Cell{{A: 4, B: 20}}, stamp), []string{"Count map", "computed, not approved", "count of front (FL, FR)"}},
			"spread":    {sheet.Spread(a, x, stamp), []string{"of 500 tried cases, for the tolerances entered", "Seed 1: the same seed gives the same cases", "Jansen", "mass ± 5.0 %"}},
		} {
			n++
			if err := c.p.Check(); err != nil {
				t.Errorf("%s, %s: %v", d.Name, what, err)
			}
			list := texts(c.p.Items, draw.Transform{})
			all := joined(list)
			for _, want := range append(c.says, "INVENTED", strings.ToUpper(a.Status.String()), stamp.Version, "After any change it is void", "Not a clearance to lift") {
				if !strings.Contains(all, want) {
					t.Errorf("%s, %s: does not say %q", d.Name, what, want)
				}
			}
			status, page := 0.0, draw.Rect{X: 11, Y: 11, W: 188, H: 275}
			for _, w := range list {
				if w.s == strings.ToUpper(a.Status.String()) {
					status = w.size
				}
				if w.box.X < page.X || w.box.Y < page.Y || w.box.X+w.box.W > page.X+page.W || w.box.Y+w.box.H > page.Y+page.H {
					t.Errorf("%s, %s: %q leaves the page: %+v", d.Name, what, w.s, w.box)
				}
			}
			for _, w := range list {
				if strings.ContainsAny(w.s, "0123456789") && w.size >= status {
					t.Errorf("%s, %s: %q is as large as the status", d.Name, what, w.s)
				}
			}
		}
		if plan != nil {
			if all := joined(texts(sheet.CountMap(a, m, plan, nil, stamp).Items, draw.Transform{})); !strings.Contains(all, "planned: kept") || strings.Contains(all, "not approved") {
				t.Errorf("%s: the planned pair is not listed, or counts are said to be found", d.Name)
			}
		}
	}
	if n != 4 {
		t.Fatalf("%d sheets", n)
	}
}
