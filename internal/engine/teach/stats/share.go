package stats

import (
	"fmt"
	"math"
)

// z95 is the standard normal quantile of a two-sided 95 % interval.
const z95 = 1.959963984540054

// Few is the number of results below which a share is only shown as a count.
// Common practice, no source.
const Few = 8

// Share is how often something happened, with its 95 % interval.
type Share struct {
	Count, Of int
	Low, High float64 // Wilson's score interval; 0 and 1 where Of is 0
}

// ShareOf counts k of n. It panics where k is not from 0 to n.
func ShareOf(k, n int) Share {
	low, high := Wilson(k, n, z95)
	return Share{k, n, low, high}
}

// Value is the share itself; NaN where nothing was counted.
func (s Share) Value() float64 { return float64(s.Count) / float64(s.Of) }

// Enough reports whether there are enough results to compare the share with
// others.
func (s Share) Enough() bool { return s.Of >= Few }

// Words is the share as a person reads it: small numbers say so.
func (s Share) Words() string {
	switch {
	case s.Of == 0:
		return "no results yet"
	case !s.Enough():
		return fmt.Sprintf("%d of %d: too few to say", s.Count, s.Of)
	}
	return fmt.Sprintf("%d of %d, %.0f %% (95 %% interval %.0f to %.0f %%)", s.Count, s.Of, 100*s.Value(), 100*s.Low, 100*s.High)
}

// Wilson is the score interval for k of n at z standard deviations (Wilson
// 1927). It panics where k is not from 0 to n, and is all of 0 to 1 for n = 0.
func Wilson(k, n int, z float64) (low, high float64) {
	if k < 0 || k > n {
		panic(fmt.Sprintf("stats: %d of %d", k, n))
	}
	if n == 0 {
		return 0, 1
	}
	m, p := float64(n), float64(k)/float64(n)
	middle := p + z*z/(2*m)
	half := z * math.Sqrt(p*(1-p)/m+z*z/(4*m*m))
	scale := 1 + z*z/m
	low, high = (middle-half)/scale, (middle+half)/scale
	if k == 0 {
		low = 0
	}
	if k == n {
		high = 1
	}
	return low, high
}

// Change is the difference of two shares, b − a, with its 95 % interval by the
// hybrid of the two score intervals (Newcombe 1998, method 10).
type Change struct {
	A, B      Share
	Value     float64
	Low, High float64
}

// ChangeOf compares two shares. Its values are NaN where one has no results.
func ChangeOf(a, b Share) Change {
	c := Change{A: a, B: b, Value: b.Value() - a.Value()}
	pa, pb := a.Value(), b.Value()
	c.Low = c.Value - math.Hypot(pb-b.Low, a.High-pa)
	c.High = c.Value + math.Hypot(b.High-pb, pa-a.Low)
	return c
}

// Words says what the change is worth, without reading more into it than it
// has.
func (c Change) Words() string {
	switch {
	case !c.A.Enough() || !c.B.Enough():
		return "too few results to say"
	case c.Low > 0:
		return fmt.Sprintf("found more often, by %.0f to %.0f of a hundred", 100*c.Low, 100*c.High)
	case c.High < 0:
		return fmt.Sprintf("found less often, by %.0f to %.0f of a hundred", -100*c.High, -100*c.Low)
	}
	return fmt.Sprintf("no difference that these numbers show (%.0f less to %.0f more of a hundred)", -100*c.Low, 100*c.High)
}
