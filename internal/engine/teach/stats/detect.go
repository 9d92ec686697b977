package stats

import (
	"fmt"
	"math"
)

// Detection is how well a person tells right from wrong where every station
// asked for a yes or no.
type Detection struct {
	Sensitivity float64 // d′ = z(H) − z(F)
	Bias        float64 // c = −(z(H) + z(F))/2; above 0 is slow to call a fault
	Hits        Share
	False       Share
}

// Detect makes it of counts: hits of faulty stations and false calls of sound
// ones, with the log-linear correction (a half added to each count, one to each
// total; Hautus 1995), so that nothing and everything found have values too. It
// fails where either kind of station was never shown.
func Detect(hits, faulty, falseCalls, sound int) (Detection, error) {
	if faulty <= 0 || sound <= 0 || hits < 0 || hits > faulty || falseCalls < 0 || falseCalls > sound {
		return Detection{}, fmt.Errorf("stats: %d of %d and %d of %d: both kinds of stations have to be shown", hits, faulty, falseCalls, sound)
	}
	h := (float64(hits) + .5) / (float64(faulty) + 1)
	f := (float64(falseCalls) + .5) / (float64(sound) + 1)
	d, c := DPrime(h, f)
	return Detection{d, c, ShareOf(hits, faulty), ShareOf(falseCalls, sound)}, nil
}

// DPrime is d′ and c of a hit rate and a false-call rate, both between 0 and 1.
func DPrime(hit, falseCall float64) (d, c float64) {
	zh, zf := quantile(hit), quantile(falseCall)
	return zh - zf, -(zh + zf) / 2
}

// quantile is the standard normal quantile.
func quantile(p float64) float64 { return math.Sqrt2 * math.Erfinv(2*p-1) }
