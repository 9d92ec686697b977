package audit

import "math"

// eigen returns the eigenvalues of the symmetric n by n matrix a, and its
// eigenvectors in the columns of v, by cyclic Jacobi rotations (Golub & Van
// Loan, Matrix Computations, section 8.5). It works on a copy.
func eigen(a []float64, n int) (values, v []float64) {
	a = append([]float64{}, a...)
	v = make([]float64, n*n)
	for i := range n {
		v[i*n+i] = 1
	}
	for range 60 {
		off, all := 0.0, 0.0
		for i := range n {
			for j := range n {
				all += a[i*n+j] * a[i*n+j]
				if i != j {
					off += a[i*n+j] * a[i*n+j]
				}
			}
		}
		if off <= 1e-30*all {
			break
		}
		for p := range n {
			for q := p + 1; q < n; q++ {
				rotate(a, v, n, p, q)
			}
		}
	}
	for i := range n {
		values = append(values, a[i*n+i])
	}
	return values, v
}

func rotate(a, v []float64, n, p, q int) {
	if a[p*n+q] == 0 {
		return
	}
	tau := (a[q*n+q] - a[p*n+p]) / (2 * a[p*n+q])
	t := math.Copysign(1/(math.Abs(tau)+math.Sqrt(1+tau*tau)), tau)
	c := 1 / math.Sqrt(1+t*t)
	s := c * t
	for k := range n {
		x, y := a[k*n+p], a[k*n+q]
		a[k*n+p], a[k*n+q] = c*x-s*y, s*x+c*y
	}
	for k := range n {
		x, y := a[p*n+k], a[q*n+k]
		a[p*n+k], a[q*n+k] = c*x-s*y, s*x+c*y
	}
	for k := range n {
		x, y := v[k*n+p], v[k*n+q]
		v[k*n+p], v[k*n+q] = c*x-s*y, s*x+c*y
	}
}

// solve solves a·x = b by Gaussian elimination with partial pivoting. It works
// on copies; ok is false where a is singular.
func solve(a, b []float64, n int) (x []float64, ok bool) {
	a, x = append([]float64{}, a...), append([]float64{}, b...)
	for k := range n {
		p := k
		for i := k + 1; i < n; i++ {
			if math.Abs(a[i*n+k]) > math.Abs(a[p*n+k]) {
				p = i
			}
		}
		if a[p*n+k] == 0 {
			return nil, false
		}
		for j := range n {
			a[p*n+j], a[k*n+j] = a[k*n+j], a[p*n+j]
		}
		x[p], x[k] = x[k], x[p]
		for i := k + 1; i < n; i++ {
			f := a[i*n+k] / a[k*n+k]
			if f == 0 {
				continue
			}
			for j := k; j < n; j++ {
				a[i*n+j] -= f * a[k*n+j]
			}
			x[i] -= f * x[k]
		}
	}
	for i := n - 1; i >= 0; i-- {
		for j := i + 1; j < n; j++ {
			x[i] -= a[i*n+j] * x[j]
		}
		x[i] /= a[i*n+i]
	}
	return x, true
}
