package statics

import (
	"math"
	"testing"
)

// Two drums whose axes lie exactly parallel and level: the distance is the same
// all along, and the Hessian must still know that turning one moves its ends.
func TestHessian_ParallelDrumsInContact(t *testing.T) {
	const r = 0.5
	m := &Model{Gravity: 9.80665, Fixed: []Vec{{}}, ContactStiffness: 2e5}
	for k, y := range []float64{0.5, -0.5} {
		m.Bodies = append(m.Bodies, Body{Mass: 1000, CG: Vec{0, 0, 0.5}, Ground: Pose{Vec{0, y, 0}, Identity}})
		m.Capsules = append(m.Capsules, Capsule{k, Vec{-0.3, 0, r}, Vec{0.3, 0, r}, r})
		for _, x := range []float64{0.7, -0.7} {
			m.Lines = append(m.Lines, Line{[]Anchor{{Kind: OnFixed}, {OnBody, k, Vec{x, 0, 0.8}}}, 4, 1e6 / 4})
		}
	}
	var s Solver
	var sol Solution
	s.Solve(m, nil, &sol)
	if !sol.Converged || !sol.Stable || len(s.Touches()) != 1 {
		t.Fatalf("converged %v, stable %v, touching %v", sol.Converged, sol.Stable, s.Touches())
	}
	w := &s.w
	n := w.n
	h, g := make([]float64, n*n), make([]float64, n)
	w.energy(&w.now, g, h)
	const probe = 1e-5
	compared := 0
	for j := range n {
		d := make([]float64, n)
		up, down := make([]float64, n), make([]float64, n)
		var p places
		p.size(len(m.Bodies), m.Nodes)
		d[j] = probe
		p.move(&w.now, d)
		w.energy(&p, up, nil)
		d[j] = -probe
		p.move(&w.now, d)
		w.energy(&p, down, nil)
		for i := range n {
			felt := (up[i] - down[i]) / (2 * probe)
			// second differences of a stiffness of 2e5 N/m over 1e-5 m
			if math.Abs(felt-h[i*n+j]) > 0.5 {
				t.Errorf("stiffness %d, %d: %.2f, felt %.2f", i, j, h[i*n+j], felt)
			}
			compared++
		}
	}
	// yaw against yaw: k·(0.6 m)²/12 for ends that press harder and softer
	if want := -2e5 * 0.36 / 12; math.Abs(h[5*n+11]-want) > 1 {
		t.Errorf("yaw against yaw %.1f N·m, want %.1f", h[5*n+11], want)
	}
	if compared != n*n {
		t.Errorf("%d entries compared", compared)
	}
}
