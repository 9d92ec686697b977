package statics

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestSolve_FollowsTheDownhillPath compares where the way down ends with where
// it ends in steps of 1 mm. Steps of 5 and of 2 mm lead to the same answers in
// all of the random sweep, so these stand for the path of steepest descent.
// Three drums gather in one of several ways; which one is decided on the way.
func TestSolve_FollowsTheDownhillPath(t *testing.T) {
	var coarse, out Solution
	var s Solver
	fine := Solver{finer: 50}
	lowest := map[int]int{} // drum that hangs lowest, and how often
	for seed := range uint64(12) {
		r := rand.New(rand.NewPCG(seed, 11))
		m := drums(3)
		for i := range m.Bodies {
			m.Bodies[i].CG = Add(m.Bodies[i].CG, random(r, .005))
		}
		s.Solve(m, nil, &coarse)
		fine.Solve(m, nil, &out)
		if !coarse.Stable || !out.Stable || !out.Converged {
			t.Fatalf("seed %d: stable %v, in fine steps %v", seed, coarse.Stable, out.Stable)
		}
		if out.Steps < 5*coarse.Steps {
			t.Errorf("seed %d: %d steps, in fine ones only %d", seed, coarse.Steps, out.Steps)
		}
		low := 0
		for i := range out.CG {
			if out.CG[i][2] < out.CG[low][2] {
				low = i
			}
		}
		lowest[low]++
		// Both residuals are below 1e-10 of the weight; the softest motion, of
		// 1e-3 of the weight per metre, turns that into 1e-7 m.
		for i := range out.Lines {
			if d := math.Abs(coarse.Lines[i].Tension - out.Lines[i].Tension); d > 1e-6*m.Weight() {
				t.Errorf("seed %d: line %d carries %.3f N, in fine steps %.3f N", seed, i, coarse.Lines[i].Tension, out.Lines[i].Tension)
			}
		}
	}
	if len(lowest) < 2 {
		t.Errorf("the drums always gather in one way: %v", lowest)
	}
}

// A load pushed sideways at its CG may turn freely about the line through the
// hook along the whole force: that costs nothing, and is no fault.
func TestSolve_SidewaysLoadLeavesATurnFree(t *testing.T) {
	m := model(Vec{})
	crate(m, fixedAt(0), .5, 1e6)
	m.Bodies[0].CG = Vec{.1, .05, .5}
	weight := m.Weight()
	m.Loads = []Load{{0, m.Bodies[0].CG, Vec{-.2 * weight, .05 * weight, 0}}}
	out := stand(t, m)
	near(t, "lowest eigenvalue as a part of the weight", out.LowestEigenvalue/weight, 0, 1e-6)
	// It trails along the force.
	near(t, "trail", out.CG[0][0]/out.CG[0][2], .2, 1e-6)
	near(t, "sideways", out.CG[0][1]/out.CG[0][2], -.05, 1e-6)
	heading := math.Atan2(out.Bodies[0].Turn.Matrix()[1][0], out.Bodies[0].Turn.Matrix()[0][0])
	near(t, "heading", heading, 0, .05) // the way down adds a second-order turn

	m.Loads[0].Point = Vec{-.9, .05, .5} // the same force at a fin: it weathercocks
	out = stand(t, m)
	if !(out.LowestEigenvalue > 1e-3*weight) {
		t.Errorf("lowest eigenvalue %g of the weight, pushed off the CG", out.LowestEigenvalue/weight)
	}
}
