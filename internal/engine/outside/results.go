package outside

import (
	"fmt"
	"strings"
	"sync"

	"hangtrue/internal/engine/teach/stats"
)

// lsat6Counts is how many of 1,000 people gave each pattern of five answers in
// section 6 of the Law School Admission Test, from 00000 to 11111 in binary, as
// printed by Bock and Lieberman (1970).
var lsat6Counts = []int{3, 6, 2, 11, 1, 1, 3, 4, 1, 8, 0, 16, 0, 3, 2, 15, 10, 29, 14, 81, 3, 28, 15, 80, 16, 56, 21, 173, 11, 61, 28, 298}

// lsat6 is those answers.
var lsat6 = sync.OnceValues(func() (*stats.Table, error) {
	var rows [][]int8
	for pattern, n := range lsat6Counts {
		for range n {
			row := make([]int8, 5)
			for i := range row {
				row[i] = int8(pattern >> (4 - i) & 1)
			}
			rows = append(rows, row)
		}
	}
	return stats.NewTable(5, rows)
})

// resultChecks are what package stats says of tests, drills and graders.
func resultChecks() []Check {
	var list []Check
	add := func(id, topic, what, source, flag string, want, tolerance float64, why string, got func() (float64, error)) {
		list = append(list, Check{ID: "results/" + id, Topic: topic, What: what, Source: source, Flag: flag, Want: want, Tolerance: tolerance, Why: why, Got: got})
	}
	const (
		six   = "LSAT-6, 1,000 people, 5 items"
		bock  = "Bock and Lieberman, Psychometrika 35 (1970), the counts of patterns"
		digit = "half of the last digit given"
	)
	of := func(number func(*stats.Table) float64) func() (float64, error) {
		return func() (float64, error) {
			t, err := lsat6()
			if err != nil {
				return 0, err
			}
			return number(t), nil
		}
	}
	for i, want := range []float64{.924, .709, .553, .763, .870} {
		add(fmt.Sprintf("lsat-6/found/%d", i+1), six, fmt.Sprintf("share found of item %d", i+1), bock, Seen, want, 1e-12, "exact", of(func(t *stats.Table) float64 { return t.Found(i).Value() }))
	}
	add("lsat-6/kr-20", six, "KR-20", bock+"; Kuder and Richardson (1937), formula 20, worked out", Derived, .294997, 6e-7, digit, of(func(t *stats.Table) float64 {
		kr, _, _ := t.KR20()
		return kr
	}))
	for i, want := range []float64{.1128, .1532, .1728, .1444, .1216} {
		add(fmt.Sprintf("lsat-6/point-biserial/%d", i+1), six, fmt.Sprintf("corrected point-biserial of item %d", i+1), bock+"; worked out", Derived, want, 6e-5, digit, of(func(t *stats.Table) float64 {
			r, _, _ := t.PointBiserial(i)
			return r
		}))
	}
	const (
		ltm     = "documentation of the R package ltm, rasch() on the same data"
		fourth  = "four digits: ltm integrates over 21 points and stops at its own tolerance"
		decimal = "half of the last digit given, and ltm's own tolerance"
	)
	for _, c := range []struct {
		id, words     string
		held          bool
		a, likelihood float64
		b             []float64
	}{
		{"marginal-one", "marginal Rasch model, discrimination held at 1", true, 1, -2473.054, []float64{-2.871971, -1.063029, -.257611, -1.388059, -2.218778}},
		{"marginal", "marginal Rasch model, one discrimination", false, .755135, -2466.938, []float64{-3.615267, -1.322421, -.317631, -1.730090, -2.780172}},
	} {
		fit := sync.OnceValues(func() (*stats.Marginal, error) {
			t, err := lsat6()
			if err != nil {
				return nil, err
			}
			return stats.FitMarginal(t, c.held)
		})
		from := func(number func(*stats.Marginal) float64) func() (float64, error) {
			return func() (float64, error) {
				f, err := fit()
				if err != nil {
					return 0, err
				}
				return number(f), nil
			}
		}
		topic := six + ", " + c.words
		if !c.held {
			add("lsat-6/"+c.id+"/a", topic, "discrimination", ltm, Seen, c.a, 5e-5, fourth, from(func(f *stats.Marginal) float64 { return f.Discrimination }))
		}
		for i, want := range c.b {
			add(fmt.Sprintf("lsat-6/%s/%d", c.id, i+1), topic, fmt.Sprintf("difficulty of item %d", i+1), ltm, Seen, want, 2e-4, fourth, from(func(f *stats.Marginal) float64 { return f.Difficulties[i] }))
		}
		add("lsat-6/"+c.id+"/likelihood", topic, "log-likelihood", ltm, Seen, c.likelihood, 6e-4, decimal, from(func(f *stats.Marginal) float64 { return f.LogLikelihood }))
	}
	conditional := sync.OnceValues(func() (*stats.Rasch, error) {
		t, err := lsat6()
		if err != nil {
			return nil, err
		}
		return stats.FitRasch(t)
	})
	for i, want := range []float64{-1.2561, .4749, 1.2360, .1684, -.6232} {
		add(fmt.Sprintf("lsat-6/conditional/%d", i+1), six+", conditional Rasch model", fmt.Sprintf("difficulty of item %d, the mean being 0", i+1), bock+"; Andersen (1972), worked out apart", Derived, want, 6e-5, digit, func() (float64, error) {
			f, err := conditional()
			if err != nil {
				return 0, err
			}
			return f.Items[i].Difficulty, nil
		})
	}
	add("kr-20/ten", "ten people, ten items", "KR-20", "East Carolina University, notes on KR-20, the table of answers", Seen, .696347, 6e-7, digit, func() (float64, error) {
		var rows [][]int8
		for word := range strings.FieldsSeq("1111110110 1011011101 1111011001 0010001000 0000010010 1110111111 1101110111 1111111101 0101111101 1101101110") {
			row := make([]int8, len(word))
			for i := range word {
				row[i] = int8(word[i] - '0')
			}
			rows = append(rows, row)
		}
		t, err := stats.NewTable(10, rows)
		if err != nil {
			return 0, err
		}
		kr, _, _ := t.KR20()
		return kr, nil
	})
	list = append(list, detections()...)
	return append(list, intervals()...)
}

// detections are d′ and c, and the agreement of two graders.
func detections() []Check {
	var list []Check
	add := func(id, topic, what, source, flag string, want, tolerance float64, got func() (float64, error)) {
		list = append(list, Check{ID: "results/" + id, Topic: topic, What: what, Source: source, Flag: flag, Want: want, Tolerance: tolerance, Why: "half of the last digit given", Got: got})
	}
	const normal = "tables of the normal quantile: d′ = z(H) − z(F), c = −(z(H) + z(F))/2"
	d := func(h, f float64) func() (float64, error) {
		return func() (float64, error) { d, _ := stats.DPrime(h, f); return d, nil }
	}
	add("d-prime/1", "70 % hits, 40 % false calls", "d′", normal, Derived, .78, 5e-3, d(.70, .40))
	add("d-prime/2", "80 % hits, 10 % false calls", "d′", normal, Derived, 2.1232, 6e-5, d(.80, .10))
	add("d-prime/3", "80 % hits, 10 % false calls", "c", normal, Derived, .2200, 6e-5, func() (float64, error) { _, c := stats.DPrime(.80, .10); return c, nil })
	add("d-prime/4", "all of 40 called, none of 40 falsely", "d′, log-linear", "Hautus (1995): z(40.5/41) − z(0.5/41)", Derived, 4.5019, 6e-5, func() (float64, error) {
		x, err := stats.Detect(40, 40, 0, 40)
		return x.Sensitivity, err
	})
	agree := func(number func(stats.Agreement) float64) func() (float64, error) {
		return func() (float64, error) {
			a, err := stats.Agree([][]int{{88, 14, 18}, {10, 40, 10}, {2, 6, 12}})
			return number(a), err
		}
	}
	const cohen = "Cohen, Educational and Psychological Measurement 20 (1960), the worked example"
	add("kappa/observed", "200 cases, three classes", "agreement", cohen, Memory, .70, 5e-3, agree(func(a stats.Agreement) float64 { return a.Observed }))
	add("kappa/expected", "200 cases, three classes", "agreement by chance", cohen, Memory, .41, 5e-3, agree(func(a stats.Agreement) float64 { return a.Expected }))
	add("kappa/value", "200 cases, three classes", "κ", cohen, Memory, .492, 5e-4, agree(func(a stats.Agreement) float64 { return a.Kappa }))
	return list
}

// intervals are those of shares, of their difference, and of counts.
func intervals() []Check {
	var list []Check
	add := func(id, topic, what, source, flag string, want, tolerance float64, got float64) {
		list = append(list, Check{
			ID: "results/" + id, Topic: topic, What: what, Source: source, Flag: flag, Want: want, Tolerance: tolerance, Why: "half of the last digit given",
			Got: func() (float64, error) { return got, nil },
		})
	}
	const newcombe = "Newcombe, Statistics in Medicine 17 (1998), score interval"
	for _, x := range []struct {
		k, n      int
		low, high float64
	}{{81, 263, .2553, .3662}, {15, 148, .0624, .1605}, {0, 20, 0, .1611}, {1, 29, .0061, .1718}} {
		s := stats.ShareOf(x.k, x.n)
		topic := fmt.Sprintf("%d of %d", x.k, x.n)
		add(fmt.Sprintf("wilson/%d-%d/low", x.k, x.n), topic, "lower end, 95 %", newcombe, Memory, x.low, 6e-5, s.Low)
		add(fmt.Sprintf("wilson/%d-%d/high", x.k, x.n), topic, "upper end, 95 %", newcombe, Memory, x.high, 6e-5, s.High)
	}
	c := stats.ChangeOf(stats.ShareOf(48, 80), stats.ShareOf(56, 70))
	const method10 = "Newcombe, Statistics in Medicine 17 (1998), method 10"
	add("newcombe/low", "56 of 70 against 48 of 80", "lower end of the difference, 95 %", method10, Memory, .0524, 6e-5, c.Low)
	add("newcombe/high", "56 of 70 against 48 of 80", "upper end of the difference, 95 %", method10, Memory, .3339, 6e-5, c.High)
	r := stats.RateOf(10, 1)
	const rao = "(k − λ)² = z²·λ solved for λ, worked out"
	add("rate/low", "10 counts", "lower end, 95 %", rao, Derived, 5.4320, 6e-5, r.Low)
	add("rate/high", "10 counts", "upper end, 95 %", rao, Derived, 18.4095, 6e-5, r.High)
	low, high := stats.KR20Interval(.7, 41, 26)
	const feldt = "Feldt (1965): 1 − (1 − r)·F of 40 and 1,000 degrees of freedom, quantiles of F worked out apart"
	add("kr-20/low", "KR-20 of 0.7, 41 people, 26 items", "lower end, 95 %", feldt, Derived, .55020, 6e-6, low)
	add("kr-20/high", "KR-20 of 0.7, 41 people, 26 items", "upper end, 95 %", feldt, Derived, .81798, 6e-6, high)
	return list
}
