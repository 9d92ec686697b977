package chart

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"hangtrue/internal/paper/draw"
)

func TestScale_TicksAtRoundNumbers(t *testing.T) {
	for _, c := range []struct {
		name string
		axis Axis
		data span
		most int
		want string
	}{
		{"from the data", Axis{}, span{3, 97}, 5, "0 20 40 60 80 100"},
		{"with zero", Axis{Zero: true}, span{41, 97}, 5, "0 20 40 60 80 100"},
		{"small", Axis{}, span{0.012, 0.031}, 4, "0.010 0.015 0.020 0.025 0.030 0.035"},
		{"negative", Axis{}, span{-7, 3}, 5, "−8 −6 −4 −2 0 2 4"},
		{"fixed keeps its range", Axis{Min: -0.3, Max: 0.25}, span{}, 4, "−0.2 0.0 0.2"},
		{"one value", Axis{}, span{50, 50}, 4, "45 50 55"},
		{"one value, zero", Axis{}, span{0, 0}, 2, "−0.000000001 0.000000000 0.000000001"},
		{"no data", Axis{}, empty, 5, "0.0 0.2 0.4 0.6 0.8 1.0"},
		{"large", Axis{}, span{0, 1.3e6}, 4, "0 500000 1000000 1500000"},
		{"own ticks", Axis{Ticks: []Tick{{1, "one"}, {2, "two"}}}, span{1, 3}, 5, "one two"},
	} {
		r, ticks := c.axis.scale(c.data, c.most)
		var got []string
		for _, k := range ticks {
			got = append(got, k.Label)
			if k.At < r.lo-1e-9*r.size() || k.At > r.hi+1e-9*r.size() {
				t.Errorf("%s: tick %g outside %v", c.name, k.At, r)
			}
		}
		if s := strings.Join(got, " "); s != c.want {
			t.Errorf("%s: ticks %s, want %s", c.name, s, c.want)
		}
	}
}

func TestStep125(t *testing.T) {
	for _, c := range []struct {
		size float64
		most int
		want float64
	}{
		{10, 10, 1},
		{10, 9, 2},
		{10, 5, 2},
		{10, 4, 5},
		{10, 1, 10},
		{0.3, 3, 0.1},
		{7e-12, 7, 1e-12},
		{3e20, 3, 1e20},
		{0, 5, 1},
		{-1, 5, 1},
		{math.NaN(), 5, 1},
		{math.Inf(1), 5, 1},
		{5, 0, 1},
	} {
		if got := Step125(c.size, c.most); got != c.want {
			t.Errorf("Step125(%g, %d) = %g, want %g", c.size, c.most, got, c.want)
		}
	}
}

func TestContour_OfAConeIsACircle(t *testing.T) {
	var xs, ys []float64
	for i := range 61 {
		xs, ys = append(xs, float64(i)/10), append(ys, float64(i)/10)
	}
	z := make([][]float64, len(ys))
	for i := range z {
		for j := range xs {
			z[i] = append(z[i], math.Hypot(xs[j]-3.02, ys[i]-2.97))
		}
	}
	pts, err := Contour(xs, ys, z, 2)
	if err != nil {
		t.Fatal(err)
	}
	if len(pts) < 100 {
		t.Fatalf("only %d points", len(pts))
	}
	length := 0.0
	for i, p := range pts {
		if !finite(p) {
			t.Fatalf("a circle inside the grid is broken at %d", i)
		}
		// Linear interpolation in a cell of 0.1 errs by at most h²/8r = 0.0006.
		if r := p.Sub(draw.Pt(3.02, 2.97)).Len(); math.Abs(r-2) > 0.0007 {
			t.Errorf("radius %.5f at %v, want 2", r, p)
		}
		if i > 0 {
			length += p.Sub(pts[i-1]).Len()
		}
	}
	if math.Abs(length-4*math.Pi) > 0.01 {
		t.Errorf("length %.4f, want %.4f: closed and run through once", length, 4*math.Pi)
	}
}

func TestContour_SaddleAndRim(t *testing.T) {
	// x·y about the middle: four corners alternate, the middle decides.
	xs := []float64{0, 1}
	z := [][]float64{{1, -1}, {-1, 1}}
	for _, level := range []float64{-0.5, 0.5} {
		pts, err := Contour(xs, xs, z, level)
		if err != nil {
			t.Fatal(err)
		}
		breaks := 0
		for _, p := range pts {
			if !finite(p) {
				breaks++
			}
		}
		if len(pts) != 5 || breaks != 1 {
			t.Errorf("level %g: %v, want two lines of two points", level, pts)
			continue
		}
		// Where the middle, 0, lies above the level the two high corners, (0, 0)
		// and (1, 1), belong together, and each line cuts off a low one.
		mid := pts[0].Lerp(pts[1], 0.5)
		if low := math.Abs(mid.X-mid.Y) > 0.5; low != (level < 0) {
			t.Errorf("level %g: a line passes %v", level, mid)
		}
	}
	if pts, err := Contour(xs, xs, [][]float64{{1, math.NaN()}, {-1, 1}}, 0); err != nil || len(pts) != 0 {
		t.Errorf("a cell without a value gives %v, %v", pts, err)
	}
	for name, f := range map[string]func() ([]draw.Point, error){
		"one column":   func() ([]draw.Point, error) { return Contour(xs[:1], xs, z, 0) },
		"missing row":  func() ([]draw.Point, error) { return Contour(xs, xs, z[:1], 0) },
		"short row":    func() ([]draw.Point, error) { return Contour(xs, xs, [][]float64{{1}, {1, 2}}, 0) },
		"scale repeat": func() ([]draw.Point, error) { return Contour([]float64{1, 1}, xs, z, 0) },
	} {
		if _, err := f(); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

// TestDraw_TakesAnything: whatever the data, the drawing is one that back-ends take.
func TestDraw_TakesAnything(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	sets := [][]draw.Point{
		nil,
		{{X: 1, Y: 1}},
		{{X: nan, Y: 1}, {X: inf, Y: -inf}},
		{{X: 0, Y: 0}, {X: nan}, {X: 1e300, Y: -1e300}},
		{{X: 5, Y: 1e-300}, {X: 5, Y: 2e-300}},
		{{X: 1e15, Y: 1}, {X: 1e15 + 1, Y: 2}},
	}
	drawn := 0
	for _, pts := range sets {
		for k := Line; k <= Marks; k++ {
			for _, frame := range []draw.Rect{{W: 90, H: 60}, {W: 1, H: 1}} {
				p := draw.New(100, 100, "", "")
				Plot{
					Title: "t", X: Axis{Label: "x"}, Y: Axis{Label: "y"},
					Series: []Series{{Name: "s", Kind: k, Points: pts, Inline: "i"}},
					Notes:  []Note{{At: draw.Pt(nan, 0), Text: "n"}, {At: draw.Pt(1, 1), Text: "m"}},
					Limits: []Limit{{At: 1, Label: "l", Beyond: Above}, {OnX: true, At: 2, Beyond: Below}},
				}.Draw(&p.List, frame)
				if err := p.Check(); err != nil {
					t.Errorf("%v kind %d in %v: %v", pts, k, frame, err)
				}
				drawn++
			}
		}
	}
	if drawn != 6*4*2 {
		t.Errorf("%d plots drawn", drawn)
	}
}

func TestDraw_MapsValues(t *testing.T) {
	var l draw.List
	v := Plot{X: Axis{Min: 10, Max: 20}, Y: Axis{Min: -1, Max: 1}}.Draw(&l, draw.Rect{X: 5, Y: 5, W: 80, H: 50})
	if got := v.Map(draw.Pt(10, -1)); got != (draw.Point{X: v.Area.X, Y: v.Area.Y + v.Area.H}) {
		t.Errorf("least values lie at %v, want the bottom left of %v", got, v.Area)
	}
	if got := v.Map(draw.Pt(15, 0)).Sub(v.Area.Center()).Len(); got > 1e-9 {
		t.Errorf("middle values lie %g mm off the middle", got)
	}
	if b := l.Bounds(); b.X < 5-1e-9 || b.Y < 5-1e-9 || b.X+b.W > 85+1e-9 || b.Y+b.H > 55+1e-9 {
		t.Errorf("drawn out to %v, beyond the frame", b)
	}
}

func TestDraw_SeriesDifferWithoutColour(t *testing.T) {
	seen := map[string]bool{}
	for i := range 6 {
		s := Series{}
		seen[fmt.Sprint(s.stroke(i).Dash)] = true
	}
	if len(seen) != 6 {
		t.Errorf("six series have %d dashes", len(seen))
	}
}
