package picture

import (
	"math"
	"testing"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/statics"
	"hangtrue/internal/paper/draw"
)

// TestNamedViews projects the three axes by hand: on the page x runs right and
// y runs down, so that what points up has a negative y.
func TestNamedViews(t *testing.T) {
	// Exact but for the rounding of sine and cosine of right angles.
	const tol = 1e-12
	for _, c := range []struct {
		view            View
		front, left, up draw.Point
		towards         rig.Vec
	}{
		// from the load's right: its front points right, its left away
		{Side, draw.Pt(1, 0), draw.Pt(0, 0), draw.Pt(0, -1), rig.Vec{0, -1, 0}},
		// facing the front: the load's left is at the viewer's right
		{Front, draw.Pt(0, 0), draw.Pt(1, 0), draw.Pt(0, -1), rig.Vec{1, 0, 0}},
		// from above, as one looks down over the side view
		{Top, draw.Pt(1, 0), draw.Pt(0, -1), draw.Pt(0, 0), rig.Vec{0, 0, 1}},
		// from the right and ahead, 20 deg up: cos 55 = 0.5736, sin 55 = 0.8192, sin 20 = 0.3420, cos 20 = 0.9397
		{
			ThreeQuarter, draw.Pt(math.Sin(55*math.Pi/180), math.Cos(55*math.Pi/180)*math.Sin(20*math.Pi/180)),
			draw.Pt(math.Cos(55*math.Pi/180), -math.Sin(55*math.Pi/180)*math.Sin(20*math.Pi/180)), draw.Pt(0, -math.Cos(20*math.Pi/180)),
			rig.Vec{math.Cos(20*math.Pi/180) * math.Cos(55*math.Pi/180), -math.Cos(20*math.Pi/180) * math.Sin(55*math.Pi/180), math.Sin(20 * math.Pi / 180)},
		},
	} {
		cam := newCamera(c.view)
		for _, axis := range []struct {
			name string
			v    rig.Vec
			want draw.Point
		}{{"front", rig.Vec{1, 0, 0}, c.front}, {"left", rig.Vec{0, 1, 0}, c.left}, {"up", rig.Vec{0, 0, 1}, c.up}} {
			if got := cam.flat(axis.v); got.Sub(axis.want).Len() > tol {
				t.Errorf("%s view: %s is drawn towards %v, want %v", c.view.Name, axis.name, got, axis.want)
			}
		}
		for k := range 3 {
			if math.Abs(cam.towards[k]-c.towards[k]) > tol {
				t.Errorf("%s view: towards the viewer is %v, want %v", c.view.Name, cam.towards, c.towards)
				break
			}
		}
		if got, ok := Named(c.view.Name); !ok || got != c.view {
			t.Errorf("%q names %v", c.view.Name, got)
		}
	}
	if _, ok := Named("below"); ok {
		t.Error("there is a view named below")
	}
}

// TestFit puts the corners of what is drawn on the edges of the box that it is
// the first to fill.
func TestFit(t *testing.T) {
	box := draw.Rect{X: 10, Y: 20, W: 100, H: 50}
	// 4 m wide and 1 m high: 100 mm / 4 m is less than 50 mm / 1 m
	f := fit(newCamera(Side), box, []rig.Vec{{-1, 5, 0}, {3, -5, 1}})
	if math.Abs(f.scale-25) > 1e-9 {
		t.Errorf("scale %g mm/m, want 25", f.scale)
	}
	if got := f.at(rig.Vec{-1, 0, 1}); got.Sub(draw.Pt(10, 32.5)).Len() > 1e-9 {
		t.Errorf("top left at %v, want 10, 32.5", got)
	}
	f.shrink(5, box)
	if got := f.at(rig.Vec{1, 0, 0.5}); got.Sub(box.Center()).Len() > 1e-9 || math.Abs(f.scale-5) > 1e-9 {
		t.Errorf("after shrinking the middle is at %v, scale %g", got, f.scale)
	}
}

func TestNiceBelow(t *testing.T) {
	for _, c := range []struct{ x, want float64 }{{1, 1}, {1.9, 1}, {2, 2}, {4.9, 2}, {7, 5}, {0.06, 0.05}, {340, 200}} {
		if got := niceBelow(c.x); math.Abs(got-c.want) > 1e-12*c.want {
			t.Errorf("niceBelow(%g) = %g, want %g", c.x, got, c.want)
		}
	}
}

func TestConvexHull(t *testing.T) {
	hull := convexHull([]draw.Point{{X: 0, Y: 0}, {X: 2, Y: 0}, {X: 1, Y: 1}, {X: 2, Y: 2}, {X: 0, Y: 2}, {X: 1, Y: 0}})
	if len(hull) != 4 || area(hull) != 4 {
		t.Errorf("hull %v with area %g, want a square of 4", hull, area(hull))
	}
	if !inside(draw.Pt(1, 1), hull) || inside(draw.Pt(2.1, 1), hull) || inside(draw.Pt(1, 1), hull[:2]) {
		t.Error("inside and outside are mixed up")
	}
}

func TestSteps(t *testing.T) {
	x := func(p draw.Point) float64 { return p.X }
	points := []draw.Point{{X: 30, Y: 1}, {X: 0, Y: 2}, {X: 0.2, Y: 3}, {X: 12, Y: 4}}
	if got := steps(points, x, 5); len(got) != 3 || got[0].X != 0 || got[1].X != 12 || got[2].X != 30 {
		t.Errorf("with room: %v", got)
	}
	if got := steps(points, x, 15); len(got) != 2 || got[0].X != 0 || got[1].X != 30 {
		t.Errorf("without room: %v", got)
	}
}

// TestHides looks at a box of 2 m by 2 m by 2 m and a drum standing on its end.
func TestHides(t *testing.T) {
	box := newSolid(&rig.Body{Shape: rig.Shape{Kind: rig.BoxShape, Size: rig.Vec{2, 2, 2}}}, statics.Pose{Turn: statics.Turn(rig.Vec{})})
	drum := newSolid(&rig.Body{Shape: rig.Shape{Kind: rig.DrumShape, Length: 2, Diameter: 2, Axis: 2}}, statics.Pose{Turn: statics.Turn(rig.Vec{})})
	side := newCamera(Side).towards
	for _, c := range []struct {
		name      string
		p         rig.Vec
		box, drum bool
	}{
		{"behind the middle", rig.Vec{0, 3, 1}, true, true},
		{"in front", rig.Vec{0, -3, 1}, false, false},
		{"behind, near the edge", rig.Vec{0.9, 3, 1}, true, true},
		{"behind, past the edge", rig.Vec{1.1, 3, 1}, false, false},
		{"above", rig.Vec{0, 3, 2.1}, false, false},
		{"at a corner of the box, outside the drum", rig.Vec{0.9, -0.9, 1}, true, false},
	} {
		if got := box.hides(c.p, side); got != c.box {
			t.Errorf("%s: the box hides it: %v", c.name, got)
		}
		if got := drum.hides(c.p, side); got != c.drum {
			t.Errorf("%s: the drum hides it: %v", c.name, got)
		}
	}
}

// TestBundle: legs that look like one line share a label, others do not.
func TestBundle(t *testing.T) {
	line := func(x0, y0, x1, y1 float64) bundle {
		return bundle{a: draw.Pt(x0, y0), b: draw.Pt(x1, y1), end: draw.Pt(x1, y1)}
	}
	base := line(0, 0, 30, 100)
	for _, c := range []struct {
		name string
		o    bundle
		want bool
	}{
		{"the same", base, true},
		{"a little longer", line(0, 0, 31.5, 105), true},
		{"beside it", line(0, 0, 33, 100), false},
		{"half as long", line(0, 0, 15, 50), false},
		{"from elsewhere", line(5, 0, 35, 100), false},
		{"the other way", line(0, 0, -30, -100), false},
	} {
		if got := base.together(c.o); got != c.want {
			t.Errorf("%s: together is %v", c.name, got)
		}
		if base.together(c.o) != c.o.together(base) {
			t.Errorf("%s: the order matters", c.name)
		}
	}
}
