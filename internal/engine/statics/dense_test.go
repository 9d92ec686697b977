package statics

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// symmetric returns a random symmetric matrix with some rows cut off from the
// others, and its size.
func symmetric(r *rand.Rand) ([]float64, int) {
	n := 1 + r.IntN(24)
	a := make([]float64, n*n)
	for i := range n {
		for j := range i + 1 {
			if i%3 != 0 || i == j {
				a[i*n+j] = math.Pow(10, 6*r.Float64()) * (2*r.Float64() - 1)
				a[j*n+i] = a[i*n+j]
			}
		}
	}
	return a, n
}

func TestEigenvalues_AreThoseOfGonum(t *testing.T) {
	for seed := range uint64(200) {
		a, n := symmetric(rand.New(rand.NewPCG(seed, 21)))
		if seed == 0 {
			clear(a) // all of them nought
		}
		var theirs mat.EigenSym
		if !theirs.Factorize(mat.NewSymDense(n, slices.Clone(a)), false) {
			t.Fatal("gonum finds no eigenvalues")
		}
		want := theirs.Values(nil)
		size := math.Max(math.Abs(want[0]), math.Abs(want[n-1]))
		got := make([]float64, n)
		if !eigenvalues(slices.Clone(a), got, make([]float64, n), n) {
			t.Fatalf("seed %d: no end of steps", seed)
		}
		slices.Sort(got)
		v := make([]float64, n*n)
		eigen(a, v, n)
		jacobi := make([]float64, n)
		for i := range n {
			jacobi[i] = a[i*n+i]
		}
		slices.Sort(jacobi)
		// Backward stable methods: a few units of rounding of the largest.
		for i := range n {
			if math.Abs(got[i]-want[i]) > 1e-13*size || math.Abs(jacobi[i]-want[i]) > 1e-13*size {
				t.Errorf("seed %d, n %d: eigenvalue %d is %.15g by QL, %.15g by Jacobi, %.15g by gonum", seed, n, i, got[i], jacobi[i], want[i])
			}
		}
	}
}

func TestFactor_SolvesAndKnowsIndefinite(t *testing.T) {
	definite, indefinite := 0, 0
	for seed := range uint64(200) {
		r := rand.New(rand.NewPCG(seed, 22))
		a, n := symmetric(r)
		shift := math.Pow(10, 8*r.Float64())
		full := mat.NewSymDense(n, slices.Clone(a))
		for i := range n {
			full.SetSym(i, i, full.At(i, i)+shift)
		}
		var theirs mat.Cholesky
		want := theirs.Factorize(full)
		l := make([]float64, n*n)
		for i := range n { // only the lower triangle may be read
			for j := i + 1; j < n; j++ {
				a[i*n+j] = math.NaN()
			}
		}
		if got := factor(a, l, make([]float64, n), n, shift); got != want {
			t.Errorf("seed %d: positive definite %v, gonum says %v", seed, got, want)
		}
		if !want {
			indefinite++
			continue
		}
		definite++
		b, x := mat.NewVecDense(n, nil), make([]float64, n)
		for i := range x {
			x[i] = 2*r.Float64() - 1
			b.SetVec(i, x[i])
		}
		backsolve(l, x, n)
		var back mat.VecDense
		back.MulVec(full, mat.NewVecDense(n, x))
		back.SubVec(&back, b)
		// the residual of a backward stable method
		if worst := mat.Norm(&back, math.Inf(1)); worst > 1e-13*mat.Norm(full, math.Inf(1))*mat.Norm(mat.NewVecDense(n, x), math.Inf(1)) {
			t.Errorf("seed %d: residual %g", seed, worst)
		}
	}
	if definite < 50 || indefinite < 50 {
		t.Errorf("%d definite and %d indefinite matrices, want 50 of each", definite, indefinite)
	}
}

// The positive abscissae of the ten-point rule and their weights in Abramowitz
// & Stegun, Handbook of Mathematical Functions, table 25.4; from memory.
func TestGaussLegendre_IsThePublishedRule(t *testing.T) {
	published := [][2]float64{
		{0.148874338981631, 0.295524224714753},
		{0.433395394129247, 0.269266719309996},
		{0.679409568299024, 0.219086362515982},
		{0.865063366688985, 0.149451349150581},
		{0.973906528517172, 0.066671344308688},
	}
	for _, want := range published {
		found := false
		for i := range 10 {
			r := &rules[10]
			found = found || math.Abs(r.at[i]-want[0]) < 1e-15*2 && math.Abs(r.weight[i]-want[1]) < 1e-15*2
		}
		if !found {
			t.Errorf("no place %.15f with weight %.15f", want[0], want[1])
		}
	}
	// A rule of n points is exact for polynomials up to 2n−1.
	for n := 1; n <= mostPoints; n++ {
		for power := range 2 * n {
			sum := 0.0
			for i := range n {
				sum += rules[n].weight[i] * math.Pow(rules[n].at[i], float64(power))
			}
			want := 0.0
			if power%2 == 0 {
				want = 2 / float64(power+1)
			}
			if math.Abs(sum-want) > 1e-14 {
				t.Errorf("%d points: the integral of x^%d is %.15f, want %.15f", n, power, sum, want)
			}
		}
	}
}
