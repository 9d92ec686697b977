package statics

import "math"

// SegmentDistance returns the shortest distance between the segments a0 a1 and b0 b1,
// m, and where on each it is, from 0 to 1. Either may be a point.
//
// Method: the squared distance is a convex quadratic in the two places; the
// free minimum is clamped to the square, one place after the other (Ericson,
// Real-Time Collision Detection, 5.1.9, from memory).
func SegmentDistance(a0, a1, b0, b1 Vec) (distance, s, t float64) {
	d1, d2, r := Sub(a1, a0), Sub(b1, b0), Sub(a0, b0)
	a, e, f := Dot(d1, d1), Dot(d2, d2), Dot(d2, r)
	const point = 1e-18
	unit := func(x float64) float64 { return math.Max(0, math.Min(1, x)) }
	switch {
	case a < point && e < point:
	case a < point:
		t = unit(f / e)
	default:
		c := Dot(d1, r)
		if e < point {
			s = unit(-c / a)
			break
		}
		b := Dot(d1, d2)
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
	p := Add(a0, Scale(s, d1))
	q := Add(b0, Scale(t, d2))
	return Norm(Sub(p, q)), s, t
}
