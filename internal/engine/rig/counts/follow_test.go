package counts

import (
	"context"
	"math"
	"testing"

	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/rigfile"
)

// Going on from the neighbour leads where the rig itself hangs: on every demo
// rig with two groups, pairs all over the map agree with the full answer of the
// rig with those counts.
func TestChart_AgreesWithHang(t *testing.T) {
	maps, pairs := 0, 0
	for _, d := range demo.Rigs() {
		r, _ := rigfile.Read(d.Data)
		m, err := Chart(context.Background(), r, Options{Workers: 2, High: 60})
		if err != nil {
			continue // no chain, or not two groups
		}
		maps++
		for b := m.B.Low; b <= m.B.High; b += 13 {
			for a := m.A.Low; a <= m.A.High; a += 11 {
				counts := map[string]int{}
				for _, id := range m.A.IDs {
					counts[id] = a
				}
				for _, id := range m.B.IDs {
					counts[id] = b
				}
				hung, err := r.WithCounts(counts)
				if err != nil {
					t.Fatal(err)
				}
				want, err := rig.Hang(hung)
				if err != nil {
					t.Fatal(err)
				}
				pairs++
				got := m.At(a, b)
				falls := want.Result == rig.DoesNotStand
				if got.Falls != falls {
					t.Errorf("%s %d/%d: falls %v, hang says %v", d.Name, a, b, got.Falls, falls)
					continue
				}
				if use, _, ok := want.HighestUse(); ok && !falls && math.Abs(use-got.LegUse) > 1e-3 {
					t.Errorf("%s %d/%d: highest leg use %.4f, hang says %.4f", d.Name, a, b, got.LegUse, use)
				}
				if p := want.Bodies[0].Pitch; len(want.Bodies) == 1 && math.Abs(p-got.Pitch) > 1e-4 {
					t.Errorf("%s %d/%d: pitch %.5f rad, hang says %.5f", d.Name, a, b, got.Pitch, p)
				}
			}
		}
	}
	if maps < 3 || pairs < 100 {
		t.Fatalf("%d maps, %d pairs", maps, pairs)
	}
	t.Logf("%d maps, %d pairs", maps, pairs)
}
