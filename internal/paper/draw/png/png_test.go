package png

import (
	"bytes"
	"image/png"
	"math"
	"testing"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/proof"
)

var black = draw.Paint{Role: "ink"}

// tenPerMM is a resolution of ten pixels to the millimetre.
const tenPerMM = 10 * quantity.Inch * 1000

// inked is the area in mm² that is black.
func inked(t *testing.T, draws func(*draw.List)) float64 {
	t.Helper()
	p := draw.New(40, 40, "", "")
	draws(&p.List)
	img, err := Render(p, tenPerMM)
	if err != nil {
		t.Fatal(err)
	}
	if got := img.Bounds().Dx(); got != 400 {
		t.Fatalf("image is %d pixels wide, want 400", got)
	}
	sum := 0.0
	for i := 0; i < len(img.Pix); i += 4 {
		sum += float64(255-img.Pix[i]) / 255
	}
	return sum / 100
}

func TestRender_InksTheAreaDrawn(t *testing.T) {
	line := draw.Stroke{Paint: black, Width: 2}
	a, b, c := draw.Pt(10, 10), draw.Pt(30, 10), draw.Pt(30, 30)
	with := func(s draw.Stroke, cp draw.Cap, j draw.Join) draw.Stroke { s.Cap, s.Join = cp, j; return s }
	var star []draw.Point
	for i := range 5 {
		star = append(star, draw.Pt(20, 20).Add(draw.Polar(10, -90+144*float64(i))))
	}
	// Pentagram with circumradius R: the outline encloses 1.12257 R², of which
	// the inner pentagon, R' = R/φ², is 2.37764 R'² (elementary geometry).
	pentagon := 2.37764 * 100 / math.Pow((1+math.Sqrt(5))/2, 4)
	for _, s := range []struct {
		name  string
		draws func(*draw.List)
		want  float64
	}{
		{"rectangle off the pixels", func(l *draw.List) {
			l.Rect(draw.Rect{X: 3.333, Y: 4.777, W: 10.1, H: 7.3}, draw.Stroke{}, black)
		}, 10.1 * 7.3},
		{"circle", func(l *draw.List) { l.Circle(draw.Pt(20, 20), 9, draw.Stroke{}, black) }, math.Pi * 81},
		{"turned ellipse", func(l *draw.List) { l.Ellipse(draw.Pt(20, 20), 12, 5, 33, draw.Stroke{}, black) }, math.Pi * 60},
		{"star, nonzero", func(l *draw.List) { l.Polygon(star, draw.Stroke{}, black) }, 112.257},
		{"star, even-odd", func(l *draw.List) {
			p := draw.Path{Fill: black, EvenOdd: true}
			p.Polyline(star, true)
			l.Add(p)
		}, 112.257 - pentagon},
		{"butt line", func(l *draw.List) { l.Line(a, b, line) }, 40},
		{"slanting line", func(l *draw.List) { l.Line(a, c, line) }, 2 * math.Hypot(20, 20)},
		{"square ends", func(l *draw.List) { l.Line(a, b, with(line, draw.CapSquare, 0)) }, 44},
		{"round ends", func(l *draw.List) { l.Line(a, b, with(line, draw.CapRound, 0)) }, 40 + math.Pi},
		{"miter corner", func(l *draw.List) { l.Polyline([]draw.Point{a, b, c}, line) }, 80},
		{"bevel corner", func(l *draw.List) { l.Polyline([]draw.Point{a, b, c}, with(line, 0, draw.JoinBevel)) }, 79.5},
		{"round corner", func(l *draw.List) { l.Polyline([]draw.Point{a, b, c}, with(line, 0, draw.JoinRound)) }, 79 + math.Pi/4},
		{"there and back is not inked twice", func(l *draw.List) { l.Polyline([]draw.Point{a, b, a}, line) }, 40},
		{"frame", func(l *draw.List) { l.Rect(draw.Span(a, c), line, draw.Paint{}) }, 22*22 - 18*18},
		{"ring", func(l *draw.List) { l.Circle(draw.Pt(20, 20), 10, line, draw.Paint{}) }, math.Pi * (121 - 81)},
		{"dashes", func(l *draw.List) { l.Line(a, b, line.WithDash(3, 2)) }, 2 * 12},
		{"odd dashes", func(l *draw.List) { l.Line(a, b, line.WithDash(3)) }, 2 * (3 + 3 + 3 + 2)},
		{"dashes round a corner", func(l *draw.List) { l.Polyline([]draw.Point{a, b, c}, line.WithDash(18, 4, 18, 0)) }, 2 * 36},
		{"clip", func(l *draw.List) {
			g := l.Group("", "")
			g.Clip = &draw.Rect{X: 5, Y: 5, W: 4.25, H: 6}
			g.Rect(draw.Rect{W: 40, H: 40}, draw.Stroke{}, black)
		}, 4.25 * 6},
		{"clip in a clip", func(l *draw.List) {
			g := l.Group("", "")
			g.Clip = &draw.Rect{X: 5, Y: 5, W: 10, H: 10}
			h := g.Group("", "")
			h.Clip = &draw.Rect{X: 10, Y: 10, W: 20, H: 20}
			h.Rect(draw.Rect{W: 40, H: 40}, draw.Stroke{}, black)
		}, 25},
		{"clip in a turned and scaled group", func(l *draw.List) {
			g := l.GroupAt(draw.Transform{Move: draw.Pt(20, 20), Rotate: 30, Scale: 2})
			g.Clip = &draw.Rect{X: -2, Y: -2, W: 4, H: 4}
			g.Circle(draw.Point{}, 9, draw.Stroke{}, black)
		}, 64},
		{"beyond the edge", func(l *draw.List) { l.Rect(draw.Rect{X: -50, Y: -50, W: 60, H: 500}, draw.Stroke{}, black) }, 400},
		{"nothing", func(l *draw.List) { l.Circle(draw.Pt(20, 20), 9, draw.Stroke{Width: 1}, draw.Paint{}) }, 0},
	} {
		got := inked(t, s.draws)
		// 16 scan lines to a pixel and 8 bits to a grey: within 0.3 % and 0.05 mm².
		if math.Abs(got-s.want) > 0.05+0.003*s.want {
			t.Errorf("%s: inked %.3f mm², want %.3f", s.name, got, s.want)
		}
	}
}

func TestRender_MiterTurnsToBevelWhereSharp(t *testing.T) {
	sharp := func(half float64) float64 {
		s, c := math.Sincos(half * quantity.Degree)
		foot := draw.Pt(20, 30)
		arm := 20.0
		return inked(t, func(l *draw.List) {
			l.Polyline([]draw.Point{foot.Add(draw.Pt(-arm*s, -arm*c)), foot, foot.Add(draw.Pt(arm*s, -arm*c))}, draw.Stroke{Paint: black, Width: 2})
		})
	}
	// 1/sin of half the angle is the miter's length over the width: the limit 4
	// lies at 14.48° for half the angle. On the sharper side the tip, about
	// 2·1·tan(75.5°)/2 = 3.9 mm², is missing.
	if more, less := sharp(14.6), sharp(14.3); more-less < 2 {
		t.Errorf("area falls from %.2f to %.2f mm² across the limit, want a tip of about 4 less", more, less)
	}
}

func TestRender_SameTwice(t *testing.T) {
	a, err := Render(proof.Sheet(), 100)
	if err != nil {
		t.Fatal(err)
	}
	b, err := Render(proof.Sheet(), 100)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(a.Pix, b.Pix) {
		t.Error("two renderings differ")
	}
}

func TestRender_Refuses(t *testing.T) {
	p := draw.New(10, 10, "", "")
	for _, dpi := range []float64{0, -1, math.NaN(), 1e9, math.Inf(1)} {
		if _, err := Render(p, dpi); err == nil {
			t.Errorf("%g dpi is taken", dpi)
		}
	}
	if err := Encode(new(bytes.Buffer), draw.New(0, 1, "", ""), 100); err == nil {
		t.Error("an empty size is taken")
	}
}

func TestEncode_KnowsItsSize(t *testing.T) {
	var buf bytes.Buffer
	if err := Encode(&buf, draw.New(25.4, 10, "", ""), 300); err != nil {
		t.Fatal(err)
	}
	// 300 dpi is 11811 (0x2e23) pixels per metre.
	want := []byte("pHYs\x00\x00\x2e\x23\x00\x00\x2e\x23\x01")
	if !bytes.Contains(buf.Bytes(), want) {
		t.Error("no resolution in the file")
	}
	img, err := png.Decode(&buf)
	if err != nil {
		t.Fatal(err)
	}
	if got := img.Bounds().Dx(); got != 300 {
		t.Errorf("an inch at 300 dpi is %d pixels wide", got)
	}
}
