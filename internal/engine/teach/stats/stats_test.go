package stats

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.7g, want %.7g within %g", what, got, want, tolerance)
	}
}

// lsat6 is section 6 of the Law School Admission Test as printed by Bock and
// Lieberman (1970): how many of 1,000 people gave each pattern of five answers.
func lsat6(t *testing.T) *Table {
	t.Helper()
	counts := []int{3, 6, 2, 11, 1, 1, 3, 4, 1, 8, 0, 16, 0, 3, 2, 15, 10, 29, 14, 81, 3, 28, 15, 80, 16, 56, 21, 173, 11, 61, 28, 298}
	var rows [][]int8
	for pattern, n := range counts {
		for range n {
			row := make([]int8, 5)
			for i := range row {
				row[i] = int8(pattern >> (4 - i) & 1)
			}
			rows = append(rows, row)
		}
	}
	table, err := NewTable(5, rows)
	if err != nil || len(rows) != 1000 {
		t.Fatalf("%d people, %v", len(rows), err)
	}
	return table
}

// Bock and Lieberman (1970), data seen; the shares and coefficients derived by
// hand from them.
func TestLSAT6_Classical(t *testing.T) {
	table := lsat6(t)
	for i, want := range []float64{.924, .709, .553, .763, .870} {
		near(t, "found", table.Found(i).Value(), want, 1e-12)
	}
	kr, people, ok := table.KR20()
	near(t, "KR-20", kr, .294997, 6e-7)
	if !ok || people != 1000 {
		t.Errorf("%d people, %v", people, ok)
	}
	for i, want := range []float64{.1128, .1532, .1728, .1444, .1216} {
		r, _, ok := table.PointBiserial(i)
		near(t, "point-biserial", r, want, 6e-5)
		if !ok {
			t.Error("no point-biserial")
		}
	}
}

// Difficulties and log-likelihoods of the R package ltm for the same data, seen.
func TestLSAT6_Marginal(t *testing.T) {
	table := lsat6(t)
	for _, c := range []struct {
		held       bool
		a          float64
		b          []float64
		likelihood float64
	}{
		{true, 1, []float64{-2.871971, -1.063029, -.257611, -1.388059, -2.218778}, -2473.054},
		{false, .755135, []float64{-3.615267, -1.322421, -.317631, -1.730090, -2.780172}, -2466.938},
	} {
		f, err := FitMarginal(table, c.held)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "a", f.Discrimination, c.a, 5e-5)
		// ltm integrates over 21 points and stops at its own tolerance: four
		// digits are asked for.
		for i, want := range c.b {
			near(t, "difficulty", f.Difficulties[i], want, 2e-4)
			if !(f.SE[i] > .05 && f.SE[i] < .4) {
				t.Errorf("standard error %g", f.SE[i])
			}
		}
		near(t, "log-likelihood", f.LogLikelihood, c.likelihood, 6e-4)
	}
}

// Conditional estimates for the same data, centred (derived).
func TestLSAT6_Conditional(t *testing.T) {
	f, err := FitRasch(lsat6(t))
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{-1.2561, .4749, 1.2360, .1684, -.6232} {
		near(t, "difficulty", f.Items[i].Difficulty, want, 6e-5)
		if x := f.Items[i]; !x.Estimated || x.Asked != 1000-3-298 || !(x.Infit > .8 && x.Infit < 1.2) {
			t.Errorf("item %d: %+v", i+1, x)
		}
	}
}

// East Carolina University's notes on KR-20, seen: ten people, ten items.
func TestKR20_Example(t *testing.T) {
	var rows [][]int8
	for word := range strings.FieldsSeq("1111110110 1011011101 1111011001 0010001000 0000010010 1110111111 1101110111 1111111101 0101111101 1101101110") {
		row := make([]int8, len(word))
		for i := range word {
			row[i] = int8(word[i] - '0')
		}
		rows = append(rows, row)
	}
	table, err := NewTable(10, rows)
	if err != nil {
		t.Fatal(err)
	}
	kr, _, ok := table.KR20()
	near(t, "KR-20", kr, .696347, 6e-7)
	if !ok {
		t.Error("no value")
	}
}

// Macmillan and Creelman's kind of worked examples, as in tables of z.
func TestDPrime(t *testing.T) {
	d, _ := DPrime(.70, .40)
	near(t, "d′", d, .78, 5e-3)
	d, c := DPrime(.80, .10)
	near(t, "d′", d, 2.1232, 6e-5)
	near(t, "c", c, .2200, 6e-5)
	x, err := Detect(40, 40, 0, 40)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "d′ of all and none", x.Sensitivity, 4.5019, 6e-5)
	if _, err := Detect(0, 0, 1, 2); err == nil {
		t.Error("no faulty station, and a value")
	}
}

// Newcombe, Statistics in Medicine 17 (1998), table I and the examples of the
// companion paper on differences, from memory.
func TestWilson_Newcombe(t *testing.T) {
	for _, x := range []struct {
		k, n      int
		low, high float64
	}{{81, 263, .2553, .3662}, {15, 148, .0624, .1605}, {0, 20, 0, .1611}, {1, 29, .0061, .1718}} {
		low, high := Wilson(x.k, x.n, z95)
		near(t, "low", low, x.low, 6e-5)
		near(t, "high", high, x.high, 6e-5)
	}
	// 56/70 against 48/80: method 10 gives 0.0524 to 0.3339.
	c := ChangeOf(ShareOf(48, 80), ShareOf(56, 70))
	near(t, "low", c.Low, .0524, 6e-5)
	near(t, "high", c.High, .3339, 6e-5)
	if low, high := Wilson(0, 0, z95); low != 0 || high != 1 {
		t.Errorf("of nothing: %g to %g", low, high)
	}
}

// Cohen, Educational and Psychological Measurement 20 (1960): 200 cases, three
// classes, from memory: agreement .70, by chance .41, κ .492.
func TestKappa_Cohen(t *testing.T) {
	a, err := Agree([][]int{{88, 14, 18}, {10, 40, 10}, {2, 6, 12}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "observed", a.Observed, .70, 1e-12)
	near(t, "expected", a.Expected, .41, 1e-12)
	near(t, "κ", a.Kappa, .492, 5e-4)
	if !(a.SE > 0.04 && a.SE < 0.06) {
		t.Errorf("standard error %g", a.SE)
	}
	for _, bad := range [][][]int{nil, {{1}}, {{1, 2}}, {{0, 0}, {0, 0}}, {{-1, 2}, {3, 4}}} {
		if _, err := Agree(bad); err == nil {
			t.Errorf("%v was taken", bad)
		}
	}
}

// The standard error holds what it says: over simulated pairs of graders the
// interval has the true κ about 95 times in a hundred.
func TestKappa_IntervalCovers(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 7))
	// Truth by design: both say yes with chance .5; the second repeats the first
	// with chance .6 beyond chance, so κ = .6.
	const kappa, runs, cases = .6, 600, 120
	in := 0
	for range runs {
		counts := [][]int{{0, 0}, {0, 0}}
		for range cases {
			a := r.IntN(2)
			b := a
			if r.Float64() > kappa {
				b = r.IntN(2)
			}
			counts[a][b]++
		}
		x, err := Agree(counts)
		if err != nil {
			t.Fatal(err)
		}
		if x.Low <= kappa && kappa <= x.High {
			in++
		}
	}
	// 600 runs: three standard errors about 0.95 are ±0.027; the interval is
	// known to be a little short at this size.
	if share := float64(in) / runs; share < .91 || share > .98 {
		t.Errorf("%.3f of the intervals have it", share)
	}
}

// simulate lets people of a normal spread of abilities answer items of known
// difficulties; each is asked what asked says.
func simulate(r *rand.Rand, people int, b []float64, spread float64, asked func(person, item int) bool) *Table {
	t := &Table{Items: len(b)}
	for p := range people {
		theta := spread * r.NormFloat64()
		row := make([]int8, len(b))
		for i := range b {
			row[i] = Missing
			if asked(p, i) {
				row[i] = 0
				if r.Float64() < 1/(1+math.Exp(b[i]-theta)) {
					row[i] = 1
				}
			}
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// Difficulties known beforehand come back within their stated error: 95 % of
// the intervals have them, also where each person saw only one of three
// versions that share items.
func TestFitRasch_RecoversWhatWasSimulated(t *testing.T) {
	b := []float64{-1.8, -1.2, -.7, -.3, 0, .3, .6, 1, 1.5, .6}
	centre(b)
	for name, asked := range map[string]func(p, i int) bool{
		"everything": func(int, int) bool { return true },
		"versions":   func(p, i int) bool { return i%3 != p%3 },
	} {
		r := rand.New(rand.NewPCG(3, 5))
		in, n := 0, 0
		for range 60 {
			f, err := FitRasch(simulate(r, 300, b, 1.1, asked))
			if err != nil {
				t.Fatal(name, err)
			}
			for i, x := range f.Items {
				n++
				if math.Abs(x.Difficulty-b[i]) <= z95*x.SE {
					in++
				}
			}
		}
		// 600 intervals, within a fit not independent: about ±0.035.
		if share := float64(in) / float64(n); share < .915 || share > .985 {
			t.Errorf("%s: %.3f of %d intervals have the difficulty", name, share, n)
		}
	}
}

func TestAbility_RecoversWhatWasSimulated(t *testing.T) {
	b := make([]float64, 24)
	for i := range b {
		b[i] = -2.3 + .2*float64(i)
	}
	r := rand.New(rand.NewPCG(11, 2))
	for _, theta := range []float64{-1, 0, 1.5} {
		in, sum := 0, 0.0
		const runs = 800
		for range runs {
			found := 0
			for _, x := range b {
				if r.Float64() < 1/(1+math.Exp(x-theta)) {
					found++
				}
			}
			got, se := Ability(b, found)
			sum += got
			if math.Abs(got-theta) <= z95*se {
				in++
			}
		}
		// 800 runs: ±0.023 about 0.95, and the number found is whole.
		if share := float64(in) / runs; share < .92 || share > .985 {
			t.Errorf("θ %g: %.3f of the intervals have it", theta, share)
		}
		near(t, "mean ability", sum/runs, theta, .06) // standard error 0.5/√800, twice, and what bias is left
	}
	if low, _ := Ability(b, 0); !(low < -3 && low > -8) {
		t.Errorf("nothing found: %g", low)
	}
}

func TestFitRasch_SaysWhatCannotBeEstimated(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	table := simulate(r, 200, []float64{-1, 0, 1, 0, 0, 0}, 1, func(_, i int) bool { return i < 5 })
	for _, row := range table.Rows {
		row[3], row[4] = 1, 0
	}
	f, err := FitRasch(table)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []string{"", "", "", "everybody found it", "nobody found it", "nobody was asked"} {
		if x := f.Items[i]; x.Why != want || x.Estimated != (want == "") || x.Estimated == math.IsNaN(x.Difficulty) {
			t.Errorf("item %d: %+v", i+1, x)
		}
	}
	// Two halves that nobody links.
	apart := simulate(r, 200, []float64{0, 0, 0, 0, 0}, 1, func(p, i int) bool { return (p%2 == 0) == (i < 3) })
	if f, err = FitRasch(apart); err != nil {
		t.Fatal(err)
	}
	if f.Items[4].Why != "its answers are not linked to those of the others" || !f.Items[0].Estimated {
		t.Errorf("%+v", f.Items)
	}
	if _, err := FitRasch(&Table{Items: 3, Rows: table.Rows[:0]}); err == nil {
		t.Error("a fit of nothing")
	}
	if _, err := NewTable(2, [][]int8{{1}}); err == nil {
		t.Error("a short row was taken")
	}
	if _, err := NewTable(1, [][]int8{{2}}); err == nil {
		t.Error("an answer 2 was taken")
	}
}

// Order of people and of items changes nothing; who found all or nothing says
// nothing.
func TestFitRasch_Invariance(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	table := simulate(r, 150, []float64{-1, -.5, 0, .5, 1}, 1, func(int, int) bool { return true })
	a, err := FitRasch(table)
	if err != nil {
		t.Fatal(err)
	}
	turned := &Table{Items: 5}
	for i := range table.Rows {
		row := table.Rows[len(table.Rows)-1-i]
		turned.Rows = append(turned.Rows, []int8{row[4], row[3], row[2], row[1], row[0]})
	}
	turned.Rows = append(turned.Rows, []int8{1, 1, 1, 1, 1}, []int8{0, 0, 0, 0, 0})
	b, err := FitRasch(turned)
	if err != nil {
		t.Fatal(err)
	}
	for i := range 5 {
		near(t, "difficulty", b.Items[4-i].Difficulty, a.Items[i].Difficulty, 1e-8)
		near(t, "standard error", b.Items[4-i].SE, a.Items[i].SE, 1e-8)
	}
}

// The marginal gradient against differences of the value.
func TestMarginal_Gradient(t *testing.T) {
	m := marginalOf(lsat6(t))
	x := []float64{-2, -1, .3, -1.2, -2.5, .2}
	g := make([]float64, len(x))
	m.cost(x, g)
	for i := range x {
		const h = 1e-5
		y := append([]float64(nil), x...)
		y[i] += h
		up := m.cost(y, nil)
		y[i] -= 2 * h
		near(t, "gradient", g[i], (up-m.cost(y, nil))/(2*h), 1e-4*(1+math.Abs(g[i])))
	}
}

func BenchmarkFitRasch_TenYears(b *testing.B) {
	r := rand.New(rand.NewPCG(9, 9))
	difficulties := make([]float64, 120)
	for i := range difficulties {
		difficulties[i] = 1.2 * r.NormFloat64()
	}
	// 20,000 runs of ten items each: 200,000 results, in 60 versions.
	table := simulate(r, 20_000, difficulties, 1, func(p, i int) bool { return (i+7*(p%60))%12 == 0 })
	b.ReportAllocs()
	for b.Loop() {
		if _, err := FitRasch(table); err != nil {
			b.Fatal(err)
		}
	}
}
