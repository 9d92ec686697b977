package stats

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// Item is what a Rasch model says of one item.
type Item struct {
	Index      int
	Estimated  bool    // false: the answers do not tie it to the others; Why says how
	Why        string  // always found, never found, or not linked
	Difficulty float64 // logits; the mean of all that are estimated is 0
	SE         float64
	Infit      float64 // mean squares about 1; NaN where nobody informative was asked
	Outfit     float64
	Asked      int // people whose answers to it count
}

// Rasch is a fit of the Rasch model by conditional maximum likelihood
// (Andersen 1972): the chance to find an item is 1/(1 + exp(b − θ)). Nothing is
// supposed of how abilities are spread, and answers may be missing.
type Rasch struct {
	Items []Item
	// People is the fit of each row of the table.
	People []Fit
	// LogLikelihood is the conditional one at the estimate.
	LogLikelihood float64
	Steps         int
	group         []group
}

// Fit is how far a person's answers stray from the model, as mean squares about
// 1; NaN of a person whose answers do not count.
type Fit struct{ Infit, Outfit float64 }

// group is people who were asked the same items.
type group struct {
	items  []int   // positions among those estimated
	scores []int   // people by their number found
	right  []int   // people who found each of items
	rows   [][]int // indexes of the rows, by score
}

// few people give no difficulties at all.
const fewestForRasch = 20

// FitRasch estimates the difficulties. Items that everybody or nobody found, and
// those that no chain of answers ties to the rest, are left out and say so: for
// them no estimate exists (Fischer 1981). It fails where fewer than two items
// remain, or fewer than 20 people (common practice, no source).
func FitRasch(t *Table) (*Rasch, error) {
	f := &Rasch{Items: make([]Item, t.Items)}
	for i := range f.Items {
		f.Items[i] = Item{Index: i, Infit: math.NaN(), Outfit: math.NaN(), Difficulty: math.NaN(), SE: math.NaN()}
	}
	keep := linked(t, f.Items)
	if len(keep) < 2 {
		return nil, fmt.Errorf("stats: the answers tie fewer than two items together; more results are needed")
	}
	people := f.groups(t, keep)
	if people < fewestForRasch {
		return nil, fmt.Errorf("stats: %d people whose answers count are too few for difficulties; at least %d are needed", people, fewestForRasch)
	}
	b, err := f.newton(t, keep)
	if err != nil {
		return nil, err
	}
	f.fit(t, keep, b)
	return f, nil
}

// linked finds the items whose difficulties exist: the largest set in which
// from each item to each other one leads a chain of people who found the one
// and not the other. Taking items out changes nobody's answers to the rest, so
// once is enough.
func linked(t *Table, items []Item) []int {
	n := t.Items
	beats := make([]bool, n*n) // beats[i*n+j]: somebody found i and not j
	seen := make([]bool, n*n)
	found, missed := make([]int, n), make([]int, n)
	var ones, zeros []int
	for _, row := range t.Rows {
		ones, zeros = ones[:0], zeros[:0]
		for i, x := range row {
			switch x {
			case 1:
				ones = append(ones, i)
				found[i]++
			case 0:
				zeros = append(zeros, i)
				missed[i]++
			}
		}
		for _, i := range ones {
			for _, j := range zeros {
				beats[i*n+j] = true
			}
		}
	}
	reach := func(from int, forward bool) []bool {
		clear(seen[:n])
		out := make([]bool, n)
		out[from] = true
		queue := []int{from}
		for len(queue) > 0 {
			i := queue[0]
			queue = queue[1:]
			for j := range n {
				edge := beats[i*n+j]
				if !forward {
					edge = beats[j*n+i]
				}
				if edge && !out[j] {
					out[j] = true
					queue = append(queue, j)
				}
			}
		}
		return out
	}
	var best []int
	done := make([]bool, n)
	for i := range n {
		if done[i] {
			continue
		}
		ahead, back := reach(i, true), reach(i, false)
		var set []int
		for j := range n {
			if ahead[j] && back[j] {
				set = append(set, j)
				done[j] = true
			}
		}
		if len(set) > len(best) {
			best = set
		}
	}
	for i := range items {
		items[i].Estimated = len(best) > 1 && slices.Contains(best, i)
		switch {
		case items[i].Estimated:
		case found[i]+missed[i] == 0:
			items[i].Why = "nobody was asked"
		case missed[i] == 0:
			items[i].Why = "everybody found it"
		case found[i] == 0:
			items[i].Why = "nobody found it"
		default:
			items[i].Why = "its answers are not linked to those of the others"
		}
	}
	return best
}

// groups sorts people by what they were asked of the items kept; those who found
// all of it or nothing say nothing about difficulties. It returns how many do.
func (f *Rasch) groups(t *Table, keep []int) int {
	byItems := map[string]int{}
	people := 0
	key := make([]byte, len(keep))
	for r, row := range t.Rows {
		k, n := 0, 0
		for p, i := range keep {
			key[p] = '0'
			if row[i] != Missing {
				key[p] = '1'
				n++
				k += int(row[i])
			}
		}
		if n < 2 || k == 0 || k == n {
			continue
		}
		at, ok := byItems[string(key)]
		if !ok {
			at = len(f.group)
			byItems[string(key)] = at
			g := group{}
			for p := range keep {
				if key[p] == '1' {
					g.items = append(g.items, p)
				}
			}
			g.scores, g.right, g.rows = make([]int, n+1), make([]int, n), make([][]int, n+1)
			f.group = append(f.group, g)
		}
		g := &f.group[at]
		g.scores[k]++
		g.rows[k] = append(g.rows[k], r)
		for q, p := range g.items {
			g.right[q] += int(row[keep[p]])
			f.Items[keep[p]].Asked++
		}
		people++
	}
	return people
}

// newton climbs the conditional likelihood, which is concave.
func (f *Rasch) newton(t *Table, keep []int) ([]float64, error) {
	n := len(keep)
	b := make([]float64, n)
	gradient := make([]float64, n)
	curve := mat.NewSymDense(n, nil)
	var chol mat.Cholesky
	step, g := mat.NewVecDense(n, nil), mat.NewVecDense(n, nil)
	value := f.climb(b, gradient, curve)
	const most = 100
	for f.Steps = 1; f.Steps <= most; f.Steps++ {
		// The sum of the difficulties is free, so its direction is held.
		ridge(curve, 1)
		if !chol.Factorize(curve) {
			return nil, fmt.Errorf("stats: the difficulties cannot be told apart from these answers")
		}
		copy(g.RawVector().Data, gradient)
		if err := chol.SolveVecTo(step, g); err != nil {
			return nil, fmt.Errorf("stats: %w", err)
		}
		largest := 0.0
		for _, x := range step.RawVector().Data {
			largest = max(largest, math.Abs(x))
		}
		next := make([]float64, n)
		for share := 1.0; ; share /= 2 {
			for i := range b {
				next[i] = b[i] + share*step.AtVec(i)
			}
			centre(next)
			if v := f.climb(next, gradient, curve); v >= value-1e-12*math.Abs(value) || share < 1e-6 {
				value = v
				break
			}
		}
		copy(b, next)
		if largest < 1e-10 {
			break
		}
	}
	if f.Steps > most {
		return nil, fmt.Errorf("stats: the difficulties did not settle in %d steps", most)
	}
	f.LogLikelihood = value
	ridge(curve, 1)
	if !chol.Factorize(curve) {
		return nil, fmt.Errorf("stats: the difficulties cannot be told apart from these answers")
	}
	var inverse mat.SymDense
	if err := chol.InverseTo(&inverse); err != nil {
		return nil, fmt.Errorf("stats: %w", err)
	}
	for p, i := range keep {
		// The held direction put 1/n² of variance into each; the estimates are
		// centred and have none there.
		f.Items[i].Difficulty = b[p]
		f.Items[i].SE = math.Sqrt(max(0, inverse.At(p, p)-1/float64(n*n)))
	}
	return b, nil
}

func ridge(m *mat.SymDense, x float64) {
	n := m.SymmetricDim()
	for i := range n {
		for j := i; j < n; j++ {
			m.SetSym(i, j, m.At(i, j)+x)
		}
	}
}

func centre(b []float64) {
	sum := 0.0
	for _, x := range b {
		sum += x
	}
	for i := range b {
		b[i] -= sum / float64(len(b))
	}
}

// climb is the conditional log-likelihood at b with its gradient and the
// negative of its second derivatives.
func (f *Rasch) climb(b, gradient []float64, curve *mat.SymDense) float64 {
	clear(gradient)
	curve.Zero()
	value := 0.0
	for _, g := range f.group {
		k := len(g.items)
		p := make([]float64, k)
		mean := 0.0
		for _, i := range g.items {
			mean += b[i] / float64(k)
		}
		for q, i := range g.items {
			// The score is given, so a common shift changes nothing; about the
			// group's mean no term runs away.
			p[q] = 1 / (1 + math.Exp(b[i]-mean))
			value += float64(g.right[q])*math.Log(p[q]) + float64(sumOf(g.scores)-g.right[q])*math.Log1p(-p[q])
		}
		all := scoreChances(p, -1, -1)
		for r := 1; r < k; r++ {
			if g.scores[r] > 0 {
				value -= float64(g.scores[r]) * math.Log(all[r])
			}
		}
		chance := make([][]float64, k) // of finding item q at score r
		for q, i := range g.items {
			less := scoreChances(p, q, -1)
			chance[q] = make([]float64, k+1)
			gradient[i] -= float64(g.right[q])
			for r := 1; r < k; r++ {
				chance[q][r] = p[q] * less[r-1] / all[r]
				gradient[i] += float64(g.scores[r]) * chance[q][r]
			}
		}
		for q, i := range g.items {
			for s := q; s < k; s++ {
				j := g.items[s]
				sum := 0.0
				if s == q {
					for r := 1; r < k; r++ {
						sum += float64(g.scores[r]) * chance[q][r] * (1 - chance[q][r])
					}
				} else {
					less := scoreChances(p, q, s)
					for r := 1; r < k; r++ {
						if g.scores[r] == 0 {
							continue
						}
						both := 0.0
						if r >= 2 {
							both = p[q] * p[s] * less[r-2] / all[r]
						}
						sum += float64(g.scores[r]) * (both - chance[q][r]*chance[s][r])
					}
				}
				curve.SetSym(i, j, curve.At(i, j)+sum)
			}
		}
	}
	return value
}

func sumOf(list []int) int {
	sum := 0
	for _, x := range list {
		sum += x
	}
	return sum
}

// scoreChances are the chances of each number found among items with chances p,
// but for the items at a and b (−1: none).
func scoreChances(p []float64, a, b int) []float64 {
	out := make([]float64, len(p)+1)
	out[0] = 1
	n := 0
	for i, x := range p {
		if i == a || i == b {
			continue
		}
		n++
		for r := n; r > 0; r-- {
			out[r] = out[r]*(1-x) + out[r-1]*x
		}
		out[0] *= 1 - x
	}
	return out
}

// fit computes how far answers stray from the model, item by item. What is
// expected of a person is the chance given the number found, which needs no
// estimate of the person's ability and so is not biased by one (Christensen and
// Kreiner 2013, from memory).
func (f *Rasch) fit(t *Table, keep []int, b []float64) {
	items, people := make([]stray, len(keep)), make([]stray, len(t.Rows))
	for _, g := range f.group {
		chance := make([]float64, len(g.items))
		for q, p := range g.items {
			chance[q] = 1 / (1 + math.Exp(b[p]))
		}
		all := scoreChances(chance, -1, -1)
		for q, p := range g.items {
			less := scoreChances(chance, q, -1)
			for k, rows := range g.rows {
				if len(rows) == 0 {
					continue
				}
				expected := chance[q] * less[k-1] / all[k]
				for _, r := range rows {
					e := float64(t.Rows[r][keep[p]]) - expected
					items[p].add(e, expected*(1-expected))
					people[r].add(e, expected*(1-expected))
				}
			}
		}
	}
	for p, i := range keep {
		f.Items[i].Infit, f.Items[i].Outfit = items[p].squares()
	}
	f.People = make([]Fit, len(people))
	for r := range people {
		f.People[r].Infit, f.People[r].Outfit = people[r].squares()
	}
}

// stray sums what strays: squares of what was not expected, against their
// variance.
type stray struct{ sum, information, standard, count float64 }

func (s *stray) add(e, variance float64) {
	s.sum += e * e
	s.information += variance
	s.standard += e * e / variance
	s.count++
}

func (s *stray) squares() (infit, outfit float64) {
	if s.count == 0 {
		return math.NaN(), math.NaN()
	}
	return s.sum / s.information, s.standard / s.count
}
