package inspect

import (
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

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
