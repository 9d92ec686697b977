package hangs_test

import (
	"math"
	"testing"

	"hangtrue/internal/engine/statics/hangs"
)

func TestAll_AnswersAreAsPublished(t *testing.T) {
	seen := map[string]bool{}
	values := 0
	for _, p := range hangs.All() {
		t.Run(p.ID, func(t *testing.T) {
			if seen[p.ID] {
				t.Error("there are two of this name")
			}
			seen[p.ID] = true
			if p.Topic == "" || p.Formula == "" || p.Source == "" || p.Flag == "" || len(p.Values) == 0 {
				t.Error("topic, formula, source, flag or values are missing")
			}
			h, err := p.Solve()
			if err != nil {
				t.Fatal(err)
			}
			for _, v := range p.Values {
				values++
				if v.Why == "" {
					t.Errorf("%s: no reason for the tolerance", v.What)
				}
				got := v.Of(h)
				if !(math.Abs(got-v.Want) <= v.Tolerance) {
					t.Errorf("%s is %.9g %s, want %.9g ± %.2g", v.What, got, v.Unit, v.Want, v.Tolerance)
				}
			}
		})
	}
	if want := [2]int{83, 139}; [2]int{len(seen), values} != want {
		t.Errorf("%d problems with %d values, want %v", len(seen), values, want)
	}
}
