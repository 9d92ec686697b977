package statics

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Drums that lie nearly parallel need few points; with the few that are taken
// gradient and Hessian must be those of the most there are.
func TestContacts_FewPointsAreEnough(t *testing.T) {
	few, all := 0, 0
	saved := rules
	defer func() { rules = saved }()
	for seed := range uint64(200) {
		r := rand.New(rand.NewPCG(seed, 31))
		tilt := math.Pow(10, -6*r.Float64())
		m := &Model{Gravity: 9.80665, Fixed: []Vec{{}}, ContactStiffness: 2e5}
		m.Lines = []Line{{[]Anchor{{Kind: OnFixed}, {OnBody, 0, Vec{}}, {OnBody, 1, Vec{}}}, 1e3, 1}}
		var s State
		for i := range 2 {
			m.Bodies = append(m.Bodies, Body{Mass: 1, CG: random(r, .3), Ground: Pose{Turn: Identity}})
			half := .1 + .6*r.Float64()
			m.Capsules = append(m.Capsules, Capsule{i, Vec{-half, 0, 0}, Vec{half, 0, 0}, .6})
			s.Bodies = append(s.Bodies, Pose{Vec{.2 * r.Float64(), (1 + .15*r.Float64()) * float64(i), .1 * r.Float64()}, Turn(random(r, tilt))})
		}
		var w work
		w.prepare(m)
		w.now.load(m, &s)
		n := w.n
		g, h, gAll, hAll := make([]float64, n), make([]float64, n*n), make([]float64, n), make([]float64, n*n)
		e := w.energy(&w.now, g, h)
		for i := range mostPoints {
			rules[i].least = math.Inf(1)
		}
		eAll := w.energy(&w.now, gAll, hAll)
		rules = saved
		if e != eAll {
			few++
		}
		all++
		compare := func(what string, a, b []float64) {
			size, off := 0.0, 0.0
			for i := range a {
				size, off = math.Max(size, math.Abs(b[i])), math.Max(off, math.Abs(a[i]-b[i]))
			}
			// 1e-14 and rounding, some hundred times as much for the constants before it
			if off > 1e-12*size {
				t.Errorf("seed %d, tilt %.1g: %s off by %.2g of its largest", seed, tilt, what, off/size)
			}
		}
		compare("energy", []float64{e}, []float64{eAll})
		compare("gradient", g, gAll)
		compare("Hessian", h, hAll)
	}
	if few < all/2 {
		t.Errorf("fewer points were taken in %d of %d cases", few, all)
	}
}
