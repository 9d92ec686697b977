package stats

import (
	"fmt"
	"math"
)

// Agreement is how far two graders agree beyond chance.
type Agreement struct {
	Kappa     float64 // Cohen 1960; NaN where chance alone would agree wholly
	SE        float64 // large-sample standard error (Fleiss, Cohen and Everitt 1969)
	Observed  float64 // share of cases that both put in one class
	Expected  float64 // share by chance, from how often each uses each class
	N         int
	Low, High float64 // 95 % interval of Kappa, cut at −1 and 1
}

// Agree makes it of a square table of counts: rows the first grader's class,
// columns the second's. It fails for a table that is not square, has fewer than
// two classes or is empty.
func Agree(counts [][]int) (Agreement, error) {
	k := len(counts)
	total := 0
	for _, row := range counts {
		if len(row) != k {
			return Agreement{}, fmt.Errorf("stats: agreement needs as many rows as columns")
		}
		for _, x := range row {
			if x < 0 {
				return Agreement{}, fmt.Errorf("stats: agreement of %d cases", x)
			}
			total += x
		}
	}
	if k < 2 || total == 0 {
		return Agreement{}, fmt.Errorf("stats: agreement needs two classes and a case")
	}
	n := float64(total)
	rows, columns := make([]float64, k), make([]float64, k)
	a := Agreement{N: total}
	for i := range k {
		for j := range k {
			p := float64(counts[i][j]) / n
			rows[i] += p
			columns[j] += p
			if i == j {
				a.Observed += p
			}
		}
	}
	for i := range k {
		a.Expected += rows[i] * columns[i]
	}
	if a.Expected == 1 {
		a.Kappa, a.SE, a.Low, a.High = math.NaN(), math.NaN(), -1, 1
		return a, nil
	}
	e := 1 - a.Expected
	a.Kappa = (a.Observed - a.Expected) / e
	// The variance for a kappa that is not 0.
	sum := 0.0
	for i := range k {
		for j := range k {
			p := float64(counts[i][j]) / n
			if i == j {
				q := e - (rows[i]+columns[i])*(1-a.Observed)
				sum += p * q * q
			} else {
				q := (1 - a.Observed) * (columns[i] + rows[j])
				sum += p * q * q
			}
		}
	}
	q := a.Observed*a.Expected - 2*a.Expected + a.Observed
	a.SE = math.Sqrt(max(0, sum-q*q)/n) / (e * e)
	a.Low, a.High = max(-1, a.Kappa-z95*a.SE), min(1, a.Kappa+z95*a.SE)
	return a, nil
}
