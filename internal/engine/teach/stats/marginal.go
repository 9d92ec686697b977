package stats

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"
)

// Marginal is a Rasch model fitted by marginal maximum likelihood for abilities
// that are spread normally about 0 with variance 1 (Bock and Lieberman 1970;
// Thissen 1982): the chance to find an item is 1/(1 + exp(−a(θ − b))).
type Marginal struct {
	Discrimination float64 // a; its inverse is the spread of abilities in logits
	Difficulties   []float64
	SE             []float64 // of Difficulties
	SEofA          float64   // 0 where a is held
	LogLikelihood  float64
}

// nodes of the quadrature over abilities.
const nodes = 41

// FitMarginal estimates the difficulties with one discrimination for all items,
// held at 1 or estimated. It fails where an item was found by everybody or
// nobody, or the answers fix nothing.
func FitMarginal(t *Table, held bool) (*Marginal, error) {
	for i := range t.Items {
		if s := t.Found(i); s.Count == 0 || s.Count == s.Of {
			return nil, fmt.Errorf("stats: item %d was found by %d of %d, so its difficulty has no estimate", i+1, s.Count, s.Of)
		}
	}
	m := marginalOf(t)
	n := t.Items
	x := make([]float64, n, n+1)
	for i := range x {
		p := t.Found(i).Value()
		x[i] = -math.Log(p / (1 - p))
	}
	if !held {
		x = append(x, 0) // the logarithm of a, which stays above 0
	}
	problem := optimize.Problem{
		Func: func(x []float64) float64 { return m.cost(x, nil) },
		Grad: func(g, x []float64) { m.cost(x, g) },
	}
	out, err := optimize.Minimize(problem, x, &optimize.Settings{GradientThreshold: 1e-7 * float64(max(1, m.people)), MajorIterations: 500}, &optimize.BFGS{})
	if out == nil || err != nil && out.Status == optimize.Failure && m.slope(out.X) > 1e-4*float64(m.people) {
		return nil, fmt.Errorf("stats: the marginal fit did not settle: %v", err)
	}
	best := out.X
	m.polish(best)
	f := &Marginal{Discrimination: 1, Difficulties: append([]float64(nil), best[:n]...), LogLikelihood: -m.cost(best, nil)}
	if !held {
		f.Discrimination = math.Exp(best[n])
	}
	inverse, ok := m.covariance(best)
	if !ok {
		return nil, fmt.Errorf("stats: these answers fix no difficulties")
	}
	for i := range n {
		f.SE = append(f.SE, math.Sqrt(inverse.At(i, i)))
	}
	if !held {
		f.SEofA = f.Discrimination * math.Sqrt(inverse.At(n, n))
	}
	return f, nil
}

// marginal is the answers by pattern.
type marginal struct {
	items    int
	people   int
	patterns [][]int8
	counts   []float64
	theta    []float64
	weight   []float64 // logarithms
}

func marginalOf(t *Table) *marginal {
	m := &marginal{items: t.Items, people: len(t.Rows)}
	at := map[string]int{}
	key := make([]byte, t.Items)
	for _, row := range t.Rows {
		for i, x := range row {
			key[i] = byte(x + 1)
		}
		k, ok := at[string(key)]
		if !ok {
			k = len(m.patterns)
			at[string(key)] = k
			m.patterns, m.counts = append(m.patterns, row), append(m.counts, 0)
		}
		m.counts[k]++
	}
	x, w := make([]float64, nodes), make([]float64, nodes)
	quad.Hermite{}.FixedLocations(x, w, math.Inf(-1), math.Inf(1))
	for q := range x {
		// Hermite's rule is for exp(−x²); the normal density is that of θ = √2·x.
		m.theta = append(m.theta, math.Sqrt2*x[q])
		m.weight = append(m.weight, math.Log(w[q])-math.Log(math.Pi)/2)
	}
	return m
}

// cost is the negative log-likelihood at the difficulties and, where there is
// one more number, the logarithm of a; the gradient is written to g unless nil.
func (m *marginal) cost(x, g []float64) float64 {
	a := 1.0
	free := len(x) > m.items
	if free {
		a = math.Exp(x[m.items])
	}
	clear(g)
	yes, no := make([]float64, nodes*m.items), make([]float64, nodes*m.items)
	chance := make([]float64, nodes*m.items)
	for q, theta := range m.theta {
		for i := range m.items {
			e := a * (theta - x[i])
			k := q*m.items + i
			yes[k], no[k] = -softplus(-e), -softplus(e)
			chance[k] = 1 / (1 + math.Exp(-e))
		}
	}
	total := 0.0
	post := make([]float64, nodes)
	for k, row := range m.patterns {
		most := math.Inf(-1)
		for q := range m.theta {
			l := m.weight[q]
			for i, v := range row {
				switch v {
				case 1:
					l += yes[q*m.items+i]
				case 0:
					l += no[q*m.items+i]
				}
			}
			post[q] = l
			most = max(most, l)
		}
		sum := 0.0
		for q := range post {
			post[q] = math.Exp(post[q] - most)
			sum += post[q]
		}
		total -= m.counts[k] * (most + math.Log(sum))
		if g == nil {
			continue
		}
		for q, theta := range m.theta {
			w := m.counts[k] * post[q] / sum
			for i, v := range row {
				if v == Missing {
					continue
				}
				e := w * (float64(v) - chance[q*m.items+i])
				g[i] += a * e
				if free {
					g[m.items] -= a * (theta - x[i]) * e
				}
			}
		}
	}
	return total
}

func softplus(x float64) float64 {
	if x > 0 {
		return x + math.Log1p(math.Exp(-x))
	}
	return math.Log1p(math.Exp(x))
}

func (m *marginal) slope(x []float64) float64 {
	g := make([]float64, len(x))
	m.cost(x, g)
	largest := 0.0
	for _, v := range g {
		largest = max(largest, math.Abs(v))
	}
	return largest
}

// curve is the second derivatives by central differences of the gradient.
func (m *marginal) curve(x []float64) *mat.SymDense {
	n := len(x)
	up, down, y := make([]float64, n), make([]float64, n), append([]float64(nil), x...)
	h := mat.NewDense(n, n, nil)
	const step = 1e-4
	for i := range n {
		y[i] = x[i] + step
		m.cost(y, up)
		y[i] = x[i] - step
		m.cost(y, down)
		y[i] = x[i]
		for j := range n {
			h.Set(i, j, (up[j]-down[j])/(2*step))
		}
	}
	s := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			s.SetSym(i, j, (h.At(i, j)+h.At(j, i))/2)
		}
	}
	return s
}

// polish takes Newton's last steps, which a search by gradients leaves out.
func (m *marginal) polish(x []float64) {
	g := make([]float64, len(x))
	var chol mat.Cholesky
	for range 4 {
		before := m.cost(x, g)
		if !chol.Factorize(m.curve(x)) {
			return
		}
		step := mat.NewVecDense(len(x), nil)
		if err := chol.SolveVecTo(step, mat.NewVecDense(len(x), g)); err != nil {
			return // ill-conditioned: what there is stays
		}
		next := make([]float64, len(x))
		for i := range x {
			next[i] = x[i] - step.AtVec(i)
		}
		if m.cost(next, nil) > before {
			return
		}
		copy(x, next)
	}
}

func (m *marginal) covariance(x []float64) (*mat.SymDense, bool) {
	var chol mat.Cholesky
	if !chol.Factorize(m.curve(x)) {
		return nil, false
	}
	var inverse mat.SymDense
	return &inverse, chol.InverseTo(&inverse) == nil
}
