package draw

import (
	"math"

	"hangtrue/internal/engine/quantity"
)

// Point is a place, or a difference of places, in mm; y runs down.
type Point struct{ X, Y float64 }

// Pt is a short way to write a point.
func Pt(x, y float64) Point { return Point{x, y} }

// Polar is the vector of length r at the angle deg (degrees, clockwise on the page).
func Polar(r, deg float64) Point {
	s, c := math.Sincos(radians(deg))
	return Point{r * c, r * s}
}

// Add is p + q.
func (p Point) Add(q Point) Point { return Point{p.X + q.X, p.Y + q.Y} }

// Sub is p − q.
func (p Point) Sub(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

// Mul is p times k.
func (p Point) Mul(k float64) Point { return Point{p.X * k, p.Y * k} }

// Len is the length of p in mm.
func (p Point) Len() float64 { return math.Hypot(p.X, p.Y) }

// Unit is p scaled to length 1, or the zero point if p has no length.
func (p Point) Unit() Point {
	n := p.Len()
	if n == 0 {
		return Point{}
	}
	return p.Mul(1 / n)
}

// Perp is p turned a quarter, from x towards y.
func (p Point) Perp() Point { return Point{-p.Y, p.X} }

// Dot is the scalar product.
func (p Point) Dot(q Point) float64 { return p.X*q.X + p.Y*q.Y }

// Cross is the z component of p × q; positive where q lies clockwise of p on the page.
func (p Point) Cross(q Point) float64 { return p.X*q.Y - p.Y*q.X }

// Lerp is the point at share t of the way from p to q.
func (p Point) Lerp(q Point, t float64) Point { return p.Add(q.Sub(p).Mul(t)) }

// Angle is the direction of p in degrees, in (−180, 180].
func (p Point) Angle() float64 { return math.Atan2(p.Y, p.X) / quantity.Degree }

func radians(deg float64) float64 { return deg * quantity.Degree }

// Rect is an upright rectangle: its top left corner and its size in mm.
type Rect struct{ X, Y, W, H float64 }

// Span is the upright rectangle with a and b as opposite corners, in any order.
func Span(a, b Point) Rect {
	return Rect{min(a.X, b.X), min(a.Y, b.Y), math.Abs(a.X - b.X), math.Abs(a.Y - b.Y)}
}

// Min is the top left corner.
func (r Rect) Min() Point { return Point{r.X, r.Y} }

// Max is the bottom right corner.
func (r Rect) Max() Point { return Point{r.X + r.W, r.Y + r.H} }

// Center is the middle of the rectangle.
func (r Rect) Center() Point { return Point{r.X + r.W/2, r.Y + r.H/2} }

// Inset is the rectangle made smaller by d on every side (larger if d is negative).
func (r Rect) Inset(d float64) Rect { return Rect{r.X + d, r.Y + d, r.W - 2*d, r.H - 2*d} }

// Corners are the four corners, clockwise from the top left.
func (r Rect) Corners() []Point {
	return []Point{{r.X, r.Y}, {r.X + r.W, r.Y}, {r.X + r.W, r.Y + r.H}, {r.X, r.Y + r.H}}
}

// Contains reports whether p lies in the rectangle or on its edge.
func (r Rect) Contains(p Point) bool {
	return p.X >= r.X && p.X <= r.X+r.W && p.Y >= r.Y && p.Y <= r.Y+r.H
}

// Overlaps reports whether the two share area; touching edges do not count.
func (r Rect) Overlaps(q Rect) bool {
	return r.X < q.X+q.W && q.X < r.X+r.W && r.Y < q.Y+q.H && q.Y < r.Y+r.H
}

// Holds reports whether q lies wholly inside r.
func (r Rect) Holds(q Rect) bool { return r.Contains(q.Min()) && r.Contains(q.Max()) }

// Union is the smallest rectangle around both.
func (r Rect) Union(q Rect) Rect {
	x0, y0 := min(r.X, q.X), min(r.Y, q.Y)
	return Rect{x0, y0, max(r.X+r.W, q.X+q.W) - x0, max(r.Y+r.H, q.Y+q.H) - y0}
}

// Around is the smallest upright rectangle around the points; the zero Rect for none.
func Around(pts ...Point) Rect {
	if len(pts) == 0 {
		return Rect{}
	}
	r := Rect{X: pts[0].X, Y: pts[0].Y}
	for _, p := range pts[1:] {
		r = r.Union(Rect{X: p.X, Y: p.Y})
	}
	return r
}

// Transform places a group: p ↦ Move + Scale·(p turned by Rotate). The scale is
// the same in x and y, so that circles stay circles and text stays upright in
// its own frame. The zero Transform changes nothing.
type Transform struct {
	Move   Point
	Scale  float64 // 0 means 1; otherwise positive
	Rotate float64 // degrees, clockwise on the page
}

// Factor is the scale in use: 1 where Scale is 0.
func (t Transform) Factor() float64 {
	if t.Scale == 0 {
		return 1
	}
	return t.Scale
}

// Apply takes a point of the group to the frame around it.
func (t Transform) Apply(p Point) Point {
	if t.Rotate != 0 {
		s, c := math.Sincos(radians(t.Rotate))
		p = Point{p.X*c - p.Y*s, p.X*s + p.Y*c}
	}
	return p.Mul(t.Factor()).Add(t.Move)
}

// Then is the transform that first applies t and then outer.
func (t Transform) Then(outer Transform) Transform {
	return Transform{
		Move:   outer.Apply(t.Move),
		Scale:  t.Factor() * outer.Factor(),
		Rotate: t.Rotate + outer.Rotate,
	}
}
