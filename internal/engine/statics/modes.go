package statics

import (
	"cmp"
	"math"
	"slices"
)

// Mode is one small motion about an equilibrium with the fixed points held.
type Mode struct {
	Frequency float64   // Hz; never negative
	Shape     []float64 // displacement of every coordinate, largest 1
	// Energy is, per coordinate of the bodies, its share of the kinetic energy,
	// with rotations about each body's own axes; the shares add up to 1.
	Energy []float64
}

// Modes returns the small motions about the position that the last call of
// Solve found, slowest first, without those that have no stiffness (a group
// turning about the vertical, a body that hangs on nothing). Nodes and bodies
// with no radius of gyration follow without inertia. Linear theory: stiffness
// K at the equilibrium and mass M give K·φ = ω²·M·φ; coordinates without mass
// are taken out by static condensation, K' = K_mm − K_m0·K_00⁺·K_0m.
func (s *Solver) Modes() []Mode {
	w := &s.w
	n := w.n
	nb := 6 * len(w.m.Bodies)
	k := make([]float64, n*n)
	w.energy(&w.now, w.gNext, k)
	// Coordinates are turned so that each body's rotations are about its own
	// axes, where the mass matrix is diagonal.
	turn := make([]float64, n*n)
	for i := range n {
		turn[i*n+i] = 1
	}
	mass := make([]float64, n)
	for b, body := range w.m.Bodies {
		if w.idle[b] {
			continue
		}
		r := w.now.rot[b]
		for i := range 3 {
			mass[6*b+i] = body.Mass
			mass[6*b+3+i] = body.Mass * body.Gyration[i] * body.Gyration[i]
			for j := range 3 {
				turn[(6*b+3+i)*n+6*b+3+j] = r[i][j]
			}
		}
	}
	k = congruent(k, turn, n)
	var heavy, light []int
	for i, m := range mass {
		if m > 1e-9*w.weight {
			heavy = append(heavy, i)
		} else if i >= nb || !w.idle[i/6] {
			light = append(light, i)
		}
	}
	h := len(heavy)
	follow := condense(k, n, heavy, light) // how light coordinates follow heavy ones
	a, vec := make([]float64, h*h), make([]float64, h*h)
	for i, p := range heavy {
		for j, q := range heavy {
			x := k[p*n+q]
			for l, o := range light {
				x += k[p*n+o] * follow[l*h+j]
			}
			a[i*h+j] = x / math.Sqrt(mass[p]*mass[q])
		}
	}
	for i := range h {
		for j := range i {
			mean := 0.5 * (a[i*h+j] + a[j*h+i])
			a[i*h+j], a[j*h+i] = mean, mean
		}
	}
	eigen(a, vec, h)
	// Below this a motion has no stiffness worth the name: 1/1000 of that of
	// a pendulum as long as the rig.
	least := 0.0
	for i := range w.m.Bodies {
		if !w.idle[i] {
			least = math.Max(least, math.Abs(w.now.cg[i][2]-w.height))
		}
	}
	least = 1e-6 * w.m.Gravity / math.Max(least, 0.1)
	var modes []Mode
	for e := range h {
		w2 := a[e*h+e]
		if w2 <= least {
			continue
		}
		x := make([]float64, n) // in turned coordinates
		energy := make([]float64, nb)
		for i, p := range heavy {
			x[p] = vec[i*h+e] / math.Sqrt(mass[p])
			energy[p] = vec[i*h+e] * vec[i*h+e]
		}
		for l, o := range light {
			for j := range heavy {
				x[o] += follow[l*h+j] * x[heavy[j]]
			}
		}
		modes = append(modes, Mode{math.Sqrt(w2) / (2 * math.Pi), world(x, turn, n), energy})
	}
	slices.SortStableFunc(modes, func(x, y Mode) int { return cmp.Compare(x.Frequency, y.Frequency) })
	return modes
}

// congruent returns tᵀ·k·t.
func congruent(k, t []float64, n int) []float64 {
	kt, out := make([]float64, n*n), make([]float64, n*n)
	for i := range n {
		for j := range n {
			for l := range n {
				kt[i*n+j] += k[i*n+l] * t[l*n+j]
			}
		}
	}
	for i := range n {
		for j := range n {
			for l := range n {
				out[i*n+j] += t[l*n+i] * kt[l*n+j]
			}
		}
	}
	return out
}

// condense returns −K_00⁺·K_0m, one row per light coordinate and one column per
// heavy one; directions of the light coordinates without stiffness do not
// follow.
func condense(k []float64, n int, heavy, light []int) []float64 {
	h, c := len(heavy), len(light)
	a, v := make([]float64, c*c), make([]float64, c*c)
	for i, p := range light {
		for j, q := range light {
			a[i*c+j] = k[p*n+q]
		}
	}
	eigen(a, v, c)
	largest := 0.0
	for i := range c {
		largest = math.Max(largest, math.Abs(a[i*c+i]))
	}
	out := make([]float64, c*h)
	for e := range c {
		if math.Abs(a[e*c+e]) <= 1e-10*largest {
			continue
		}
		for j, q := range heavy {
			x := 0.0
			for i, p := range light {
				x += v[i*c+e] * k[p*n+q]
			}
			for i := range c {
				out[i*h+j] -= v[i*c+e] * x / a[e*c+e]
			}
		}
	}
	return out
}

// world turns a shape back into the model's coordinates and scales its largest
// component to 1.
func world(x, t []float64, n int) []float64 {
	out := make([]float64, n)
	largest := 0.0
	for i := range n {
		for j := range n {
			out[i] += t[i*n+j] * x[j]
		}
		largest = math.Max(largest, math.Abs(out[i]))
	}
	for i := range out {
		out[i] /= largest
	}
	return out
}
