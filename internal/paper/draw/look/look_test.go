package look

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"hangtrue/internal/paper/draw"
)

// luminance and contrast follow W3C, "Web Content Accessibility Guidelines 2.2",
// definitions of relative luminance and contrast ratio.
func luminance(c draw.Color) float64 {
	lin := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*lin(c.R) + 0.7152*lin(c.G) + 0.0722*lin(c.B)
}

func contrast(a, b draw.Color) float64 {
	la, lb := luminance(a), luminance(b)
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

func TestContrast(t *testing.T) {
	if got := contrast(draw.Color{}, draw.Color{R: 255, G: 255, B: 255}); math.Abs(got-21) > 1e-9 {
		t.Fatalf("black on white is %g, want 21", got)
	}
	paperDark, _ := Dark("paper")
	// WCAG 2.2: 4.5 for text (1.4.3), 3 for graphics (1.4.11).
	words := []draw.Paint{Ink, Faint, Note, Accent, Over}
	lines := []draw.Paint{LegLow, LegMid, LegHigh, LegSlack, Series1, Series2, Series3, Series4, Series5, Series6}
	n := 0
	for _, set := range []struct {
		paints []draw.Paint
		least  float64
	}{{words, 4.5}, {lines, 3}} {
		for _, p := range set.paints {
			d, ok := Dark(p.Role)
			if !ok {
				t.Fatalf("role %s has no dark colour", p.Role)
			}
			if got := contrast(p.Color, Paper.Color); got < set.least {
				t.Errorf("%s on paper: contrast %.2f, want %g", p.Role, got, set.least)
			}
			if got := contrast(d, paperDark); got < set.least {
				t.Errorf("%s on dark: contrast %.2f, want %g", p.Role, got, set.least)
			}
			n++
		}
	}
	// Words also stand on bodies and washes.
	for _, ground := range []draw.Paint{Load, LoadB, Shade, Wash, OverFog} {
		if got := contrast(Ink.Color, ground.Color); got < 4.5 {
			t.Errorf("ink on %s: contrast %.2f", ground.Role, got)
		}
		n++
	}
	if n != 20 {
		t.Errorf("%d paints looked at", n)
	}
}

func TestPaints_EveryRoleOnceAndInTheDark(t *testing.T) {
	var roles []string
	for _, p := range Paints() {
		if slices.Contains(roles, p.Role) || !p.Visible() {
			t.Errorf("role %q is there twice or empty", p.Role)
		}
		roles = append(roles, p.Role)
		if _, ok := Dark(p.Role); !ok {
			t.Errorf("role %s has no dark colour", p.Role)
		}
	}
	if len(roles) != len(dark) {
		t.Errorf("%d roles, %d dark colours", len(roles), len(dark))
	}
	css := DarkCSS(".dark")
	if got := strings.Count(css, "\n"); got != 2*len(roles) {
		t.Errorf("%d rules for %d roles", got, len(roles))
	}
	if !strings.Contains(css, ".dark svg .stroke-ink{stroke:#e8e8e4}\n") {
		t.Errorf("no rule for ink in %s", css)
	}
}

// TestNothingIsGreen holds the rule that no colour stands for good: no hue in
// the greens with a saturation that the eye would call a colour.
func TestNothingIsGreen(t *testing.T) {
	green := func(c draw.Color) bool {
		g := int(c.G)
		return g > int(c.R)+12 && g > int(c.B)+12
	}
	if !green(draw.Color{G: 158, B: 115}) {
		t.Fatal("Okabe–Ito bluish green does not count as green")
	}
	for _, p := range Paints() {
		if d, _ := Dark(p.Role); green(p.Color) || green(d) {
			t.Errorf("%s is green: %v, dark %v", p.Role, p.Color, d)
		}
	}
}

// TestBands_ReadWithoutColour: any two bands differ by a third in width or in
// whether and how they are dashed.
func TestBands_ReadWithoutColour(t *testing.T) {
	pairs := 0
	for i, a := range Bands() {
		for _, b := range Bands()[:i] {
			pairs++
			sa, sb := a.Leg(), b.Leg()
			wide := max(sa.Width, sb.Width) / min(sa.Width, sb.Width)
			if wide < 1.33 && fmt.Sprint(sa.Dash) == fmt.Sprint(sb.Dash) {
				t.Errorf("%q and %q look alike in grey: %v %v", a.Words(), b.Words(), sa, sb)
			}
		}
	}
	if pairs != 15 {
		t.Errorf("%d pairs compared", pairs)
	}
	for i := range 6 {
		for k := range i {
			if fmt.Sprint(Series(i).Dash) == fmt.Sprint(Series(k).Dash) {
				t.Errorf("series %d and %d have the same dash", i, k)
			}
		}
	}
}

func TestBandOf(t *testing.T) {
	for _, c := range []struct {
		share float64
		slack bool
		want  Band
	}{
		{0, true, BandSlack},
		{0, false, BandLow},
		{0.5, false, BandLow},
		{0.501, false, BandMid},
		{0.8, false, BandMid},
		{0.81, false, BandHigh},
		{1, false, BandHigh},
		{1.0001, false, BandOver},
		{-1, false, BandUnknown},
		{math.NaN(), false, BandUnknown},
		{math.Inf(1), false, BandOver},
	} {
		if got := BandOf(c.share, c.slack); got != c.want {
			t.Errorf("BandOf(%g, %v) = %q, want %q", c.share, c.slack, got.Words(), c.want.Words())
		}
	}
}
