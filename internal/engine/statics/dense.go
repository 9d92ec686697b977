package statics

import "math"

// cholesky factors h + shift·1 into l·lᵀ, both n × n with rows first, and
// reports whether that matrix is safely positive definite.
func cholesky(h, l []float64, n int, shift float64) bool {
	for j := range n {
		row := l[j*n : j*n+j]
		d := h[j*n+j] + shift
		scale := math.Abs(d)
		for _, x := range row {
			d -= x * x
		}
		if !(d > 1e-15*scale) {
			return false
		}
		d = math.Sqrt(d)
		l[j*n+j] = d
		for i := j + 1; i < n; i++ {
			s := h[i*n+j]
			other := l[i*n : i*n+j]
			for k, x := range row {
				s -= x * other[k]
			}
			l[i*n+j] = s / d
		}
	}
	return true
}

// backsolve turns x from b into the solution of l·lᵀ·x = b.
func backsolve(l, x []float64, n int) {
	for i := range n {
		s := x[i]
		for k := range i {
			s -= l[i*n+k] * x[k]
		}
		x[i] = s / l[i*n+i]
	}
	for i := n - 1; i >= 0; i-- {
		s := x[i]
		for k := i + 1; k < n; k++ {
			s -= l[k*n+i] * x[k]
		}
		x[i] = s / l[i*n+i]
	}
}

// eigen finds the eigenvalues of the symmetric n × n matrix a by cyclic Jacobi
// rotations; on return they stand on a's diagonal, and the columns of v are
// the eigenvectors (unless v is nil).
func eigen(a, v []float64, n int) {
	if v != nil {
		clear(v)
		for i := range n {
			v[i*n+i] = 1
		}
	}
	for range 60 {
		off, all := 0.0, 0.0
		for i := range n {
			for j := range n {
				x := a[i*n+j] * a[i*n+j]
				all += x
				if i != j {
					off += x
				}
			}
		}
		if off <= 1e-30*all {
			return
		}
		for p := range n {
			for q := p + 1; q < n; q++ {
				jacobi(a, v, n, p, q)
			}
		}
	}
}

// jacobi does one rotation that makes a[p][q] vanish.
func jacobi(a, v []float64, n, p, q int) {
	apq := a[p*n+q]
	if math.Abs(apq) <= 1e-18*math.Sqrt(math.Abs(a[p*n+p]*a[q*n+q])) || apq == 0 {
		return
	}
	theta := (a[q*n+q] - a[p*n+p]) / (2 * apq)
	t := 1 / (math.Abs(theta) + math.Hypot(theta, 1))
	if theta < 0 {
		t = -t
	}
	c := 1 / math.Hypot(t, 1)
	s := t * c
	for k := range n {
		x, y := a[k*n+p], a[k*n+q]
		a[k*n+p], a[k*n+q] = c*x-s*y, s*x+c*y
	}
	for k := range n {
		x, y := a[p*n+k], a[q*n+k]
		a[p*n+k], a[q*n+k] = c*x-s*y, s*x+c*y
	}
	if v != nil {
		for k := range n {
			x, y := v[k*n+p], v[k*n+q]
			v[k*n+p], v[k*n+q] = c*x-s*y, s*x+c*y
		}
	}
}
