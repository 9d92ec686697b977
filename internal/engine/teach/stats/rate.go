package stats

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"hangtrue/internal/engine/spelling"
)

// WilsonOf is [Wilson]'s 95 % interval for a share p of n answers that tell as
// much as n answers of strangers would; n need not be whole. It is all of 0 to 1
// for n = 0.
func WilsonOf(p, n float64) (low, high float64) {
	if n <= 0 {
		return 0, 1
	}
	middle := p + z95*z95/(2*n)
	half := z95 * math.Sqrt(p*(1-p)/n+z95*z95/(4*n*n))
	scale := 1 + z95*z95/n
	return max(0, (middle-half)/scale), min(1, (middle+half)/scale)
}

// Rate is how many of something came in so many runs.
type Rate struct {
	Count, Runs int
	Low, High   float64 // a run; 95 % score interval (Rao 1948, for counts; from memory)
}

// RateOf makes it. It panics for a count or a number of runs below 0.
func RateOf(count, runs int) Rate {
	if count < 0 || runs < 0 {
		panic(fmt.Sprintf("stats: %d in %d runs", count, runs))
	}
	r := Rate{Count: count, Runs: runs, High: math.Inf(1)}
	if runs == 0 {
		return r
	}
	// (k − nλ)² = z²·nλ solved for λ.
	k, n := float64(count), float64(runs)
	reach := z95 * math.Sqrt(k+z95*z95/4)
	r.Low, r.High = max(0, (k+z95*z95/2-reach)/n), (k+z95*z95/2+reach)/n
	return r
}

// Value is the count for each run; NaN without runs.
func (r Rate) Value() float64 { return float64(r.Count) / float64(r.Runs) }

// Words is the rate as a person reads it.
func (r Rate) Words() string {
	switch {
	case r.Runs == 0:
		return "no runs yet"
	case r.Runs < Few:
		return fmt.Sprintf("%d in %s: too few to say", r.Count, spelling.Count(r.Runs, "run", "runs"))
	}
	return fmt.Sprintf("%d in %d runs, %.2f a run (95 %% interval %.2f to %.2f)", r.Count, r.Runs, r.Value(), r.Low, r.High)
}

// KR20Interval is the 95 % interval of a reliability by KR-20 of so many people
// and items (Feldt 1965, from memory). It panics for fewer than two of either.
func KR20Interval(value float64, people, items int) (low, high float64) {
	if people < 2 || items < 2 {
		panic("stats: a reliability needs two people and two items")
	}
	f := distuv.F{D1: float64(people - 1), D2: float64((people - 1) * (items - 1))}
	return 1 - (1-value)*f.Quantile(.975), 1 - (1-value)*f.Quantile(.025)
}
