package stats

import "math"

// Ability is a person's ability in logits with its standard error, for the
// number found among items of known difficulties: Warm's weighted likelihood
// (1989), which has a value for nothing and everything found too. It panics
// where found is not from 0 to the number of items, or there is none.
func Ability(difficulties []float64, found int) (theta, se float64) {
	if len(difficulties) == 0 || found < 0 || found > len(difficulties) {
		panic("stats: no ability for so many of so many")
	}
	// r − Σp + J/(2I) falls with θ from above 0 to below.
	slope := func(theta float64) (value, information float64) {
		var sum, j float64
		for _, b := range difficulties {
			p := 1 / (1 + math.Exp(b-theta))
			q := 1 - p
			sum += p
			information += p * q
			j += p * q * (q - p)
		}
		return float64(found) - sum + j/(2*information), information
	}
	low, high := -1.0, 1.0
	for v, _ := slope(low); v < 0 && low > -30; v, _ = slope(low) {
		low *= 2
	}
	for v, _ := slope(high); v > 0 && high < 30; v, _ = slope(high) {
		high *= 2
	}
	for range 80 {
		middle := (low + high) / 2
		if v, _ := slope(middle); v > 0 {
			low = middle
		} else {
			high = middle
		}
	}
	theta = (low + high) / 2
	_, information := slope(theta)
	return theta, 1 / math.Sqrt(information)
}
