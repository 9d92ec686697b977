package statics

import (
	"math"
	"testing"
)

// fourLegs is the elastic set of the handbook: one hook, lugs at (±2, ±1.5) m
// in plan and 0.8 m above the CG's plane, legs 4.8 m, W 20,000 N.
func fourLegs(ea float64, cg Vec, lengths [4]float64) *Model {
	m := &Model{Gravity: 9.80665, Fixed: []Vec{{}}, ContactStiffness: 2e5}
	m.Bodies = []Body{{Mass: 20000 / 9.80665, CG: Vec{cg[0], cg[1], 0}, Ground: Pose{Turn: Identity}}}
	k := 0
	for _, x := range []float64{2, -2} {
		for _, y := range []float64{1.5, -1.5} {
			m.Lines = append(m.Lines, Line{[]Anchor{{Kind: OnFixed}, {OnBody, 0, Vec{x, y, 0.8}}}, lengths[k], ea / lengths[k]})
			k++
		}
	}
	return m
}

func TestFourElasticLegs(t *testing.T) {
	even := [4]float64{4.8, 4.8, 4.8, 4.8}
	for _, c := range []struct {
		name string
		ea   float64
		cg   Vec
		l    [4]float64
		want [4]float64
	}{
		{"centred", 1e6, Vec{}, even, [4]float64{5844.55, 5844.55, 5844.55, 5844.55}},
		{"off", 1e6, Vec{.3, .2, 0}, even, [4]float64{7209.40, 5913.52, 5745.20, 4447.43}},
		{"off stiff", 1e9, Vec{.3, .2, 0}, even, [4]float64{7226.02, 5922.78, 5759.87, 4456.63}},
		{"short", 1e6, Vec{}, [4]float64{4.78, 4.8, 4.8, 4.8}, [4]float64{6896.15, 4794.55, 4803.49, 6892.93}},
		{"short stiff", 2e7, Vec{}, [4]float64{4.78, 4.8, 4.8, 4.8}, [4]float64{11711.06, 0, 0, 11730.57}},
		{"long", 1e6, Vec{}, [4]float64{4.85, 4.8, 4.8, 4.8}, [4]float64{3196.81, 8469.33, 8447.11, 3242.83}},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := fourLegs(c.ea, c.cg, c.l)
			var s Solver
			var out Solution
			s.Solve(m, nil, &out)
			t.Logf("steps %d nudges %d residual %g eig %g", out.Steps, out.Nudges, out.Residual, out.LowestEigenvalue)
			if !out.Converged || !out.Stable {
				t.Fatalf("converged %v stable %v", out.Converged, out.Stable)
			}
			for i := range c.want {
				if math.Abs(out.Lines[i].Tension-c.want[i]) > 0.006 {
					t.Errorf("leg %d: %.3f N, want %.2f N", i, out.Lines[i].Tension, c.want[i])
				}
			}
		})
	}
}
