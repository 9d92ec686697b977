package audit

import "math"

// settleSamples is into how many pieces an axis is cut while a case is settled.
const settleSamples = 50

// settled is the position of balance near s, by damped Newton steps on the
// forces; ok is false where none is found. Neutral directions stay where they
// are: the damping holds them.
func (s *state) settled(weight float64) (*state, bool) {
	now := s
	size := s.size6()
	f, energy := now.forces(settleSamples)
	damp := 1e-6 * weight
	for range 200 {
		if worst(f) <= 1e-8*weight {
			return now, true
		}
		k := now.stiffness(settleSamples)
		for {
			a := append([]float64{}, k...)
			for i := range size {
				a[i*size+i] += damp
			}
			d, ok := solve(a, f, size)
			if ok && worst(d) < 0.5 && inner(d, f) > 0 {
				next := now.moved(d)
				g, e := next.forces(settleSamples)
				// Near the end the energy no longer shows the way.
				if e < energy || worst(g) < 0.5*worst(f) {
					now, f, energy = next, g, e
					damp = math.Max(1e-6*weight, damp/10)
					break
				}
			}
			damp *= 10
			if damp > 1e12*weight {
				return now, worst(f) <= 1e-6*weight
			}
		}
	}
	return now, worst(f) <= 1e-6*weight
}

func worst(f []float64) float64 {
	w := 0.0
	for _, x := range f {
		w = math.Max(w, math.Abs(x))
	}
	return w
}
