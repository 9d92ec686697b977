package statics

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The closed form against a search over both segments, which cannot be below
// it and comes within half a step's way of it.
func TestSegmentDistance_AgainstASearch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		vec := func(name string) Vec {
			x := rapid.SliceOfN(rapid.Float64Range(-3, 3), 3, 3).Draw(t, name)
			return Vec{x[0], x[1], x[2]}
		}
		a0, a1, b0, b1 := vec("a0"), vec("a1"), vec("b0"), vec("b1")
		switch rapid.IntRange(0, 3).Draw(t, "case") {
		case 1:
			b1 = Add(b0, Sub(a1, a0)) // parallel
		case 2:
			b1 = b0 // a point
		}
		got, s, u := SegmentDistance(a0, a1, b0, b1)
		if s < 0 || s > 1 || u < 0 || u > 1 {
			t.Fatalf("places %g and %g are not on the segments", s, u)
		}
		const steps = 60
		best := math.Inf(1)
		for i := 0; i <= steps; i++ {
			for k := 0; k <= steps; k++ {
				p, q := along(a0, a1, float64(i)/steps), along(b0, b1, float64(k)/steps)
				best = math.Min(best, Norm(Sub(p, q)))
			}
		}
		reach := (Norm(Sub(a1, a0)) + Norm(Sub(b1, b0))) / steps
		if got > best+1e-9 || got < best-reach {
			t.Fatalf("distance %g, a search finds %g (within %g)", got, best, reach)
		}
	})
}

func along(a, b Vec, f float64) Vec { return Add(a, Scale(f, Sub(b, a))) }
