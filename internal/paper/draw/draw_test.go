package draw

import (
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"pgregory.net/rapid"
)

var ink = Paint{Role: "ink"}

func TestTransform_ThenIsOneAfterTheOther(t *testing.T) {
	inner := Transform{Move: Pt(3, -4), Scale: 2, Rotate: 35}
	outer := Transform{Move: Pt(-1, 7), Scale: 0.3, Rotate: -80}
	both := inner.Then(outer)
	for _, p := range []Point{{}, {1, 0}, {-3, 5.5}} {
		got, want := both.Apply(p), outer.Apply(inner.Apply(p))
		if got.Sub(want).Len() > 1e-12 { // rounding of a few products near 10
			t.Errorf("%v: got %v, want %v", p, got, want)
		}
	}
	if got := (Transform{Rotate: 90}).Apply(Pt(1, 0)); got.Sub(Pt(0, 1)).Len() > 1e-15 {
		t.Errorf("a quarter turn takes x to %v, want y (down, clockwise on the page)", got)
	}
}

func TestEllipse_StaysOnTheCircle(t *testing.T) {
	var p Path
	p.Ellipse(Pt(10, 20), 5, 5, 17)
	pts := p.Flatten(1e-4)[0].Pts
	if len(pts) < 100 {
		t.Fatalf("only %d points", len(pts))
	}
	for _, q := range pts {
		// 0.03 % of the radius, see ArcTo.
		if r := q.Sub(Pt(10, 20)).Len(); math.Abs(r-5) > 5*0.0003 {
			t.Errorf("radius %.5f mm at %v, want 5", r, q)
		}
	}
	a, b := p.Segs[0].P[0], p.Segs[len(p.Segs)-2].P[2]
	if a.Sub(b).Len() > 1e-12 {
		t.Errorf("ends at %v, began at %v", b, a)
	}
}

func TestArc_GoesTheWayItIsAsked(t *testing.T) {
	var p Path
	p.ArcTo(Point{}, 2, 2, 0, 0, 90)
	mid := p.Flatten(1e-3)[0].Pts
	m := mid[len(mid)/2]
	if m.X < 0 || m.Y < 0 {
		t.Errorf("arc from 0 to 90 degrees passes %v, want the quarter right and below", m)
	}
}

func TestFontMeasures(t *testing.T) {
	f := Sans.data().font
	var buf sfnt.Buffer
	m, err := f.Metrics(&buf, Sans.data().units, font.HintingNone)
	if err != nil {
		t.Fatal(err)
	}
	em := float64(Sans.data().units)
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"cap height", CapHeight, math.Abs(float64(m.CapHeight)) / em}, // measured down from the base line
		{"ascent", Ascent, float64(m.Ascent) / em},
		{"descent", Descent, float64(m.Descent) / em},
	} {
		if math.Abs(c.got-c.want) > 0.0006 { // the constants have three decimals
			t.Errorf("%s: got %g em, font says %g", c.name, c.got, c.want)
		}
	}
}

func TestOutline_EndsWithinItsWidth(t *testing.T) {
	for _, s := range []string{"H", "Hangtrue 12 kN", "θ ≤ 45°, √3", "äöü"} {
		for f := range faceCount {
			w := f.Width(s, 10)
			b := Path{Segs: f.Outline(s, 10)}.Bounds()
			// Side bearings of these glyphs are below 0.2 em.
			if b.X < -2 || b.X+b.W > w+2 || w-b.W > 4 {
				t.Errorf("face %d %q: outline from %.2f to %.2f mm, width %.2f", f, s, b.X, b.X+b.W, w)
			}
			if b.Y > -5 {
				t.Errorf("face %d %q: outline does not stand above the base line: top %.2f", f, s, b.Y)
			}
		}
	}
}

func TestClean(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"plain", "plain"},
		{"θ ≤ √3 F₁ m² °", "θ ≤ √3 F₁ m² °"},
		{"a\nb\tc", "a b c"},
		{"\x00\x1b[31m", "▯▯[31m"},
		{"🚁 lift", "▯ lift"},
		{"a\u200db\u202ec\ufeffd\u00ade", "abcde"},
		{"x\ufe0f", "x"},
		{"bad\xffbyte", "bad▯byte"},
		{"漢", "▯"},
		{"😀𝔸", "▯▯"}, // the font has glyphs for both, but beyond the basic plane
		{"25\u00a0kN", "25\u00a0kN"},
		{"\u2028", " "},
		{"\ue000\uffff", "▯▯"},
	} {
		if got := Clean(c.in); got != c.want {
			t.Errorf("Clean(%q) = %q, want %q", c.in, got, c.want)
		}
	}
	for f := range faceCount {
		if !f.Has(Replacement) {
			t.Errorf("face %d has no glyph for the replacement", f)
		}
	}
}

func FuzzClean(f *testing.F) {
	for _, s := range []string{"", "abc", "🚁\x00\xff\u202e", "θ₁ ≤ 2\u00a0", "<&\"'>"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for face := range faceCount {
			got := face.Clean(s)
			if face.Clean(got) != got {
				t.Fatalf("cleaning %q twice differs from once", s)
			}
			for _, r := range got {
				if !face.Has(r) {
					t.Fatalf("%q keeps %q, which face %d cannot print", s, r, face)
				}
			}
			if !utf8.ValidString(got) || face.Width(s, 1) != face.Width(got, 1) {
				t.Fatalf("%q: cleaned %q is not valid or measures otherwise", s, got)
			}
		}
	})
}

func TestOneLine(t *testing.T) {
	st := TextStyle{Size: 3}
	for _, c := range []struct {
		text  string
		width float64
		want  string
	}{
		{"", 10, ""},
		{"a leg", 100, "a leg"},
		{"a\nleg\tand  more", 100, "a leg and  more"},
		{"a leg of chain", st.Width("a leg o…"), "a leg o…"},
		{"a leg of chain", st.Width("a leg …"), "a leg…"},
		{"a leg", 0, "…"},
	} {
		if got := OneLine(c.text, c.width, st); got != c.want {
			t.Errorf("%q on %.1f mm is %q, want %q", c.text, c.width, got, c.want)
		}
	}
}

func TestWrap(t *testing.T) {
	st := TextStyle{Size: 3, Paint: ink}
	if got := Wrap("", 10, st); got != nil {
		t.Errorf("empty text gives %q", got)
	}
	if got := Wrap("a\n\nb", 10, st); len(got) != 3 || got[1] != "" {
		t.Errorf("blank line is lost: %q", got)
	}
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringMatching(`[a-zä ]{0,80}`).Draw(t, "s")
		width := rapid.Float64Range(4, 60).Draw(t, "width") // the widest letter here is 3 mm
		lines := Wrap(s, width, st)
		for _, l := range lines {
			if w := st.Width(l); w > width+1e-9 {
				t.Fatalf("line %q is %g mm, more than %g", l, w, width)
			}
		}
		strip := func(s string) string { return strings.ReplaceAll(s, " ", "") }
		if strip(strings.Join(lines, "")) != strip(s) {
			t.Fatalf("%q lost letters: %q", s, lines)
		}
		var l List
		if got, want := l.TextBox(Point{}, width, s, st), TextHeight(s, width, st); got != want {
			t.Fatalf("height drawn %g, foretold %g", got, want)
		}
	})
}

func TestTextOrigin(t *testing.T) {
	st := TextStyle{Size: 4, Paint: ink}
	w := st.Width("abc")
	for _, c := range []struct {
		a    Anchor
		v    VAnchor
		deg  float64
		want Point
	}{
		{Start, Baseline, 0, Pt(10, 10)},
		{Middle, Baseline, 0, Pt(10-w/2, 10)},
		{End, CapTop, 0, Pt(10-w, 10+4*CapHeight)},
		{End, Baseline, 90, Pt(10, 10-w)},
		{Start, CapMiddle, 90, Pt(10-2*CapHeight, 10)},
	} {
		got := Text{TextStyle: st.At(c.a, c.v), S: "abc", At: Pt(10, 10), Rotate: c.deg}.Origin()
		if got.Sub(c.want).Len() > 1e-9 {
			t.Errorf("%+v: got %v", c, got)
		}
	}
}

func TestDimensionLine_ReadsFromBelowOrFromTheRight(t *testing.T) {
	for _, c := range []struct {
		dir Point
		deg float64
	}{
		{Pt(1, 0), 0},
		{Pt(-1, 0), 0},
		{Pt(0, 1), -90},
		{Pt(0, -1), -90},
		{Pt(1, 1), 45},
		{Pt(-1, 1), -45},
	} {
		deg, up := readable(c.dir.Unit())
		if math.Abs(deg-c.deg) > 1e-9 {
			t.Errorf("%v: figure turned by %g°, want %g°", c.dir, deg, c.deg)
		}
		if want := Polar(1, deg-90); up.Sub(want).Len() > 1e-9 {
			t.Errorf("%v: letters stand towards %v, want %v", c.dir, up, want)
		}
	}
}

func TestHatch_FillsTheArea(t *testing.T) {
	hexagon := make([]Point, 6)
	for i := range hexagon {
		hexagon[i] = Pt(20, 20).Add(Polar(10, 60*float64(i)))
	}
	hole := Rect{X: 17, Y: 17, W: 6, H: 6}.Corners()
	area := 3*math.Sqrt(3)/2*100 - 36
	for _, deg := range []float64{0, 30, 45, -45, 90} {
		const spacing = 0.25
		lines := hatchLines([][]Point{hexagon, hole}, spacing, deg)
		sum := 0.0
		for _, l := range lines {
			sum += l[1].Sub(l[0]).Len()
			if (Rect{X: 17, Y: 17, W: 6, H: 6}).Inset(1e-9).Contains(l[0].Lerp(l[1], 0.5)) {
				t.Errorf("%g°: line %v lies in the hole", deg, l)
			}
		}
		// Length times spacing is the area by the midpoint rule; it errs by at
		// most a spacing at each end of the 20 mm across.
		if math.Abs(sum*spacing-area) > 0.02*area {
			t.Errorf("%g°: %d lines cover %.1f mm², want %.1f", deg, len(lines), sum*spacing, area)
		}
	}
	if got := hatchLines([][]Point{Rect{X: 3, Y: 7, W: 10, H: 10}.Corners()}, 1, 0); len(got) != 10 {
		t.Errorf("a square of 10 mm has %d lines a millimetre apart, want 10", len(got))
	}
	if got := hatchLines([][]Point{hexagon}, 0, 0); got != nil {
		t.Errorf("no spacing gives %d lines", len(got))
	}
}

func TestCheck(t *testing.T) {
	loop := &Group{}
	loop.Add(loop)
	for _, c := range []struct {
		name string
		item Item
		want string
	}{
		{"not a number", Path{Segs: []Seg{{P: [3]Point{{X: math.NaN()}}}}}, "finite"},
		{"too far", Text{At: Pt(0, 2e6), S: "x"}, "finite"},
		{"no move", Path{Segs: []Seg{{Op: OpLine}}}, "move"},
		{"negative width", Path{Stroke: Stroke{Width: -1}}, "width"},
		{"negative dash", Path{Stroke: Stroke{Dash: []float64{1, -1}}}, "dash"},
		{"dash of nothing", Path{Stroke: Stroke{Dash: []float64{0, 0}}}, "dash"},
		{"role with a space", Path{Fill: Paint{Role: "a b"}}, "role"},
		{"negative text", Text{TextStyle: TextStyle{Size: -2}}, "size"},
		{"negative scale", &Group{Transform: Transform{Scale: -1}}, "scale"},
		{"in a group", &Group{List: List{Items: []Item{Text{Rotate: math.Inf(1)}}}}, "finite"},
		{"holds itself", loop, "nested"},
		{"nil group", (*Group)(nil), "nil"},
		{"nil item", nil, "nil"},
	} {
		p := New(10, 10, "", "")
		p.Add(c.item)
		err := p.Check()
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got error %v, want one about %q", c.name, err, c.want)
		}
	}
	for _, size := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if New(size, 10, "", "").Check() == nil {
			t.Errorf("a width of %g mm is taken", size)
		}
	}
	if err := New(10, 10, "", "").Check(); err != nil {
		t.Errorf("an empty picture is refused: %v", err)
	}
}

func TestBounds(t *testing.T) {
	var l List
	l.Line(Pt(5, 5), Pt(8, 9), Stroke{Paint: ink, Width: 1})
	g := l.GroupAt(Transform{Move: Pt(10, 0), Scale: 2})
	g.Clip = &Rect{W: 3, H: 4}
	g.Line(Pt(-100, -100), Pt(100, 100), Stroke{Paint: ink, Width: 1})
	if got, want := l.Bounds(), (Rect{5, 0, 11, 9}); got != want {
		t.Errorf("got %v, want %v", got, want)
	}
}
