package likeness_test

import (
	"fmt"
	"strings"
	"testing"

	"hangtrue/internal/data/catalog"
	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/rig/rigfile"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/likeness"
)

// TestOf_ShowsNoOtherPlan: what a close-up says of a plan is this rig's, or
// there is no close-up.
func TestOf_ShowsNoOtherPlan(t *testing.T) {
	drawn, withheld, counts := 0, 0, 0
	for _, d := range demo.Rigs() {
		r, problems := rigfile.Read(d.Data)
		if r == nil {
			t.Fatalf("%s: %v", d.Name, problems)
		}
		v, wrong := inspect.Of(r, catalog.Shipped())
		if len(wrong) > 0 {
			t.Fatalf("%s: %v", d.Name, wrong)
		}
		find := likeness.NewFinder(v)
		seen := map[string]bool{}
		for i := range v.Deficiencies {
			x := &v.Deficiencies[i]
			l := find.Of(x.Part, x.Attribute, x.State)
			if l == nil {
				withheld++
				continue
			}
			key := l.ID() + x.Part.On.Leg
			if seen[key] {
				continue
			}
			seen[key] = true
			drawn++
			if n, ok := l.Params["planned-count"]; ok {
				counts++
				if leg, known := r.Leg(x.Part.On.Leg); !known || leg.Count == nil || fmt.Sprint(*leg.Count) != n {
					t.Errorf("%s, %s: the drawing counts %s links, and the plan has another number", d.Name, x.ID(), n)
				}
				continue
			}
			if says := planWords(l.Picture(true).Items); says != "" && l.Params["left"] == "" {
				t.Errorf("%s, %s: the drawing says %q, which is not of this rig", d.Name, x.ID(), says)
			}
		}
	}
	if drawn < 300 || withheld < 300 || counts < 10 {
		t.Errorf("%d drawn, %d withheld, %d with a count: too few to say anything", drawn, withheld, counts)
	}
}

func planWords(items []draw.Item) string {
	for _, it := range items {
		switch x := it.(type) {
		case draw.Text:
			if strings.HasPrefix(x.S, "plan") {
				return x.S
			}
		case *draw.Group:
			if s := planWords(x.Items); s != "" {
				return s
			}
		}
	}
	return ""
}
