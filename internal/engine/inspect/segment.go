package inspect

import (
	"math"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/statics"
)

// segments returns the shortest distance between the segments a0 a1 and b0 b1,
// m, and where on each it is, from 0 to 1. Either may be a point.
//
// Method: the squared distance is a convex quadratic in the two places; the
// free minimum is clamped to the square, one place after the other (Ericson,
// Real-Time Collision Detection, 5.1.9, from memory).
func segments(a0, a1, b0, b1 rig.Vec) (distance, s, t float64) {
	d1, d2, r := statics.Sub(a1, a0), statics.Sub(b1, b0), statics.Sub(a0, b0)
	a, e, f := statics.Dot(d1, d1), statics.Dot(d2, d2), statics.Dot(d2, r)
	const point = 1e-18
	unit := func(x float64) float64 { return math.Max(0, math.Min(1, x)) }
	switch {
	case a < point && e < point:
	case a < point:
		t = unit(f / e)
	default:
		c := statics.Dot(d1, r)
		if e < point {
			s = unit(-c / a)
			break
		}
		b := statics.Dot(d1, d2)
		if denominator := a*e - b*b; denominator > 1e-12*a*e {
			s = unit((b*f - c*e) / denominator)
		}
		t = (b*s + f) / e
		if t < 0 {
			t, s = 0, unit(-c/a)
		} else if t > 1 {
			t, s = 1, unit((b-c)/a)
		}
	}
	p := statics.Add(a0, statics.Scale(s, d1))
	q := statics.Add(b0, statics.Scale(t, d2))
	return statics.Norm(statics.Sub(p, q)), s, t
}
