package statics

import "math"

// factor splits h + shift·1 into l·D·lᵀ, n × n with rows first, l having ones
// on its diagonal, and reports whether that matrix is safely positive definite.
// Of h it reads the lower triangle. The diagonal of l is left holding D⁻¹.
//
// Each column is taken off the rest at once, and rows that it has no part in
// are passed over: bodies that have nothing to do with each other cost nothing
// together.
func factor(h, l, column []float64, n int, shift float64) bool {
	for i := range n {
		copy(l[i*n:i*n+i+1], h[i*n:i*n+i+1])
		l[i*n+i] += shift
	}
	for j := range n {
		d := l[j*n+j]
		if !(d > 1e-15*math.Abs(h[j*n+j]+shift)) {
			return false
		}
		d = 1 / d
		l[j*n+j] = d
		for i := j + 1; i < n; i++ {
			c := l[i*n+j]
			column[i] = c
			if c == 0 {
				continue
			}
			f := c * d
			l[i*n+j] = f
			row := l[i*n+j+1 : i*n+i+1]
			above := column[j+1 : i+1]
			for k := range row {
				row[k] -= f * above[k]
			}
		}
	}
	return true
}

// backsolve turns x from b into the solution of l·D·lᵀ·x = b.
func backsolve(l, x []float64, n int) {
	for i := 1; i < n; i++ {
		s := x[i]
		for k, f := range l[i*n : i*n+i] {
			s -= f * x[k]
		}
		x[i] = s
	}
	for i := range n {
		x[i] *= l[i*n+i]
	}
	for i := n - 1; i > 0; i-- {
		s := x[i]
		for k, f := range l[i*n : i*n+i] {
			x[k] -= f * s
		}
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

// eigenvalues finds the eigenvalues of the symmetric n × n matrix a, which it
// destroys, and leaves them in d in no order: Householder reflections make the
// matrix tridiagonal, QL steps with implicit shifts make that diagonal
// (Wilkinson and Reinsch, Handbook for Automatic Computation II, 1971, from
// memory). It reports whether the steps came to an end. e is working memory.
func eigenvalues(a, d, e []float64, n int) bool {
	tridiagonal(a, d, e, n)
	for l := range n {
		for step := 0; ; step++ {
			m := l
			for m < n-1 && math.Abs(e[m]) > 0x1p-53*(math.Abs(d[m])+math.Abs(d[m+1])) {
				m++
			}
			if m == l {
				break
			}
			if step == 50 {
				return false
			}
			ql(d, e, l, m)
		}
	}
	return true
}

// tridiagonal leaves the diagonal of a matrix similar to a in d, and what is
// beside it in e[0] to e[n−2]. It works upwards from the last row.
func tridiagonal(a, d, e []float64, n int) {
	for i := n - 1; i > 0; i-- {
		row := a[i*n : i*n+i]
		rest := 0.0
		for _, x := range row[:i-1] {
			rest += x * x
		}
		last := row[i-1]
		d[i] = a[i*n+i]
		if rest == 0 {
			e[i-1] = last
			continue
		}
		// The reflection 1 − v vᵀ/f takes the row to (0 … 0, side).
		side := math.Sqrt(rest + last*last)
		if last > 0 {
			side = -side
		}
		e[i-1] = side
		row[i-1] = last - side
		f := side*side - last*side
		// p = A·v/f in e[:i−1] and d[i−1], A being what is left of a.
		p := d[:i]
		for j := range i {
			p[j] = 0
		}
		for j := range i {
			s := a[j*n+j] * row[j]
			for k, x := range a[j*n : j*n+j] {
				s += x * row[k]
				p[k] += x * row[j]
			}
			p[j] += s
		}
		half := 0.0
		for j := range i {
			p[j] /= f
			half += p[j] * row[j]
		}
		half /= 2 * f
		for j := range i {
			p[j] -= half * row[j]
		}
		for j := range i {
			x, y := row[j], p[j]
			out := a[j*n : j*n+j+1]
			for k := range out {
				out[k] -= x*p[k] + y*row[k]
			}
		}
	}
	d[0] = a[0]
}

// ql does one step on rows l to m.
func ql(d, e []float64, l, m int) {
	g := (d[l+1] - d[l]) / (2 * e[l])
	r := math.Sqrt(g*g + 1)
	g = d[m] - d[l] + e[l]/(g+math.Copysign(r, g))
	s, c, p := 1.0, 1.0, 0.0
	for i := m - 1; i >= l; i-- {
		f, b := s*e[i], c*e[i]
		r = math.Sqrt(f*f + g*g)
		if i+1 < m {
			e[i+1] = r
		}
		if r == 0 {
			d[i+1] -= p
			return
		}
		s, c = f/r, g/r
		g = d[i+1] - p
		r = (d[i]-g)*s + 2*c*b
		p = s * r
		d[i+1] = g + p
		g = c*r - b
	}
	d[l] -= p
	e[l] = g
	if m < len(e) {
		e[m] = 0
	}
}
