package picture

import (
	"math"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/statics"
	"hangtrue/internal/paper/draw"
)

// View is where the viewer stands: Azimuth is the direction from the load to
// the viewer, in degrees from the load's front towards its left, Elevation is
// how far above the horizon.
type View struct {
	Name      string
	Azimuth   float64
	Elevation float64
}

// The named views. The side view is seen from the load's right, so that its
// front points to the right; the front view by someone who faces the front.
var (
	Side         = View{"side", -90, 0}
	Front        = View{"front", 0, 0}
	Top          = View{"top", -90, 90}
	ThreeQuarter = View{"three-quarter", -55, 20}
)

// Named returns the named view.
func Named(name string) (View, bool) {
	for _, v := range []View{Side, Front, Top, ThreeQuarter} {
		if v.Name == name {
			return v, true
		}
	}
	return View{}, false
}

// camera projects points of the hook frame: right and up are the picture's
// axes, towards points to the viewer.
type camera struct {
	right, up, towards rig.Vec
}

func newCamera(v View) camera {
	a, e := v.Azimuth*quantity.Degree, v.Elevation*quantity.Degree
	sa, ca := math.Sincos(a)
	se, ce := math.Sincos(e)
	c := camera{right: rig.Vec{-sa, ca, 0}, towards: rig.Vec{ce * ca, ce * sa, se}}
	c.up = statics.Cross(c.towards, c.right)
	return c
}

// flat returns where p stands in the picture's plane in metres, y down.
func (c camera) flat(p rig.Vec) draw.Point {
	return draw.Point{X: statics.Dot(p, c.right), Y: -statics.Dot(p, c.up)}
}

// depth is how near p is to the viewer, m.
func (c camera) depth(p rig.Vec) float64 { return statics.Dot(p, c.towards) }

// frame maps metres of the plane onto millimetres of the picture.
type frame struct {
	camera
	scale  float64 // mm per m
	origin draw.Point
}

func (f *frame) at(p rig.Vec) draw.Point {
	q := f.flat(p)
	return draw.Point{X: f.origin.X + f.scale*q.X, Y: f.origin.Y + f.scale*q.Y}
}

// shrink makes the frame smaller about the middle of its box.
func (f *frame) shrink(scale float64, box draw.Rect) {
	c := box.Center()
	k := scale / f.scale
	f.scale = scale
	f.origin = c.Add(f.origin.Sub(c).Mul(k))
}

// fit places all the points in the box, as large as they go, keeping
// proportions, and centred.
func fit(c camera, box draw.Rect, points []rig.Vec) frame {
	lo := draw.Point{X: math.Inf(1), Y: math.Inf(1)}
	hi := draw.Point{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, p := range points {
		q := c.flat(p)
		lo.X, lo.Y = math.Min(lo.X, q.X), math.Min(lo.Y, q.Y)
		hi.X, hi.Y = math.Max(hi.X, q.X), math.Max(hi.Y, q.Y)
	}
	w, h := math.Max(hi.X-lo.X, 0.2), math.Max(hi.Y-lo.Y, 0.2)
	f := frame{camera: c, scale: math.Min(box.W/w, box.H/h)}
	f.origin = draw.Point{
		X: box.X + box.W/2 - f.scale*(lo.X+hi.X)/2,
		Y: box.Y + box.H/2 - f.scale*(lo.Y+hi.Y)/2,
	}
	return f
}
