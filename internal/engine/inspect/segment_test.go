package inspect

import (
	"math"
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/statics"
)

// The closed form against a search over both segments, which cannot be below
// it and comes within half a step's way of it.
func TestSegments_AgainstASearch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		vec := func(name string) rig.Vec {
			x := rapid.SliceOfN(rapid.Float64Range(-3, 3), 3, 3).Draw(t, name)
			return rig.Vec{x[0], x[1], x[2]}
		}
		a0, a1, b0, b1 := vec("a0"), vec("a1"), vec("b0"), vec("b1")
		switch rapid.IntRange(0, 3).Draw(t, "case") {
		case 1:
			b1 = statics.Add(b0, statics.Sub(a1, a0)) // parallel
		case 2:
			b1 = b0 // a point
		}
		got, s, u := segments(a0, a1, b0, b1)
		if s < 0 || s > 1 || u < 0 || u > 1 {
			t.Fatalf("places %g and %g are not on the segments", s, u)
		}
		const steps = 60
		best := math.Inf(1)
		for i := 0; i <= steps; i++ {
			for k := 0; k <= steps; k++ {
				p, q := mix(a0, a1, float64(i)/steps), mix(b0, b1, float64(k)/steps)
				best = math.Min(best, statics.Norm(statics.Sub(p, q)))
			}
		}
		reach := (statics.Norm(statics.Sub(a1, a0)) + statics.Norm(statics.Sub(b1, b0))) / steps
		if got > best+1e-9 || got < best-reach {
			t.Fatalf("distance %g, a search finds %g (within %g)", got, best, reach)
		}
	})
}

// Whether two legs cross does not depend on which is named first, nor on which
// side is called left.
func TestCrosses_IsTheSameFromEitherSide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.SliceOfN(rapid.Float64Range(-2, 2), 4, 4).Draw(t, "feet")
		a, b := [2]float64{x[0], x[1]}, [2]float64{x[2], x[3]}
		sa, sb := rapid.IntRange(1, 4).Draw(t, "seat a"), rapid.IntRange(1, 4).Draw(t, "seat b")
		got := crosses(sa, sb, a, b)
		if crosses(sb, sa, b, a) != got {
			t.Fatal("naming the other first changes it")
		}
		if crosses(5-sa, 5-sb, [2]float64{a[0], -a[1]}, [2]float64{b[0], -b[1]}) != got {
			t.Fatal("the mirror image differs")
		}
		if crosses(sa, sb, [2]float64{-a[0], a[1]}, [2]float64{-b[0], b[1]}) != got {
			t.Fatal("leading back instead of forward differs")
		}
	})
}

// The two-pointer way against regular expressions, for patterns and texts of
// few letters, where stars have most to go wrong.
func TestFits_AgainstRegularExpressions(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pattern := rapid.StringMatching(`[ab.*]{0,8}`).Draw(t, "pattern")
		text := rapid.StringMatching(`[ab.]{0,10}`).Draw(t, "text")
		want := regexp.MustCompile("^" + strings.ReplaceAll(regexp.QuoteMeta(pattern), `\*`, ".*") + "$").MatchString(text)
		if got := fits(pattern, text); got != want {
			t.Fatalf("%q fits %q: %v, want %v", text, pattern, got, want)
		}
	})
}
