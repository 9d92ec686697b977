package statics

import "math"

// mostPoints is the largest number of places that a smooth piece is summed at.
const mostPoints = 10

// rule is a Gauss–Legendre rule on [−1, 1].
type rule struct {
	at, weight [mostPoints]float64
	// least is the smallest half axis of an ellipse with foci ±1, free of
	// singularities of the integrand, for which the rule is exact to rounding.
	least float64
}

// rules[n] has n points.
var rules = gaussLegendre()

// gaussLegendre finds the abscissae as the zeros of the Legendre polynomials by
// Newton's method from the usual first guess, and the weights as 2/((1−x²)P'²);
// source: Abramowitz & Stegun, 25.4.29.
//
// A rule of n points errs by some ρ^(−2n) for an integrand that is analytic in
// the ellipse with foci ±1 and half axes that add up to ρ (Trefethen, "Is Gauss
// quadrature better than Clenshaw–Curtis?", SIAM Review 2008, from memory). The
// Hessian multiplies the analytic part by squares of the place, which costs one
// point. So ρ^(−2(n−1)) = 1e-14 gives ρ, and ½(ρ + 1/ρ) is the larger half axis.
func gaussLegendre() (all [mostPoints + 1]rule) {
	for n := 1; n <= mostPoints; n++ {
		r := &all[n]
		for i := range n {
			x := math.Cos(math.Pi * (float64(i) + 0.75) / (float64(n) + 0.5))
			slope := 0.0
			for range 20 {
				p, before := x, 1.0
				for k := 2; k <= n; k++ {
					p, before = (float64(2*k-1)*x*p-float64(k-1)*before)/float64(k), p
				}
				slope = float64(n) * (x*p - before) / (x*x - 1)
				x -= p / slope
			}
			r.at[i], r.weight[i] = x, 2/((1-x*x)*slope*slope)
		}
		rho := math.Pow(1e14, 1/float64(2*n-2)) // no end to it for n = 1
		r.least = 0.5 * (rho + 1/rho)
	}
	return all
}
