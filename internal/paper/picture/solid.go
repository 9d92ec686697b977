package picture

import (
	"cmp"
	"math"
	"slices"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/statics"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// around is the number of corners a drum's circle is drawn with.
const around = 48

// solid is one body in its pose.
type solid struct {
	body *rig.Body
	pose statics.Pose
	rot  statics.Mat

	loose bool // joined to no hook
}

func newSolid(b *rig.Body, p statics.Pose) solid {
	return solid{body: b, pose: p, rot: p.Turn.Matrix()}
}

func (s *solid) at(p rig.Vec) rig.Vec { return statics.Add(s.pose.Origin, s.rot.Mul(p)) }

// cg is the body's CG in the hook frame, with a liquid in it as it lies in this
// attitude.
func (s *solid) cg() rig.Vec { return s.at(s.body.CentreTilted(rig.UpIn(s.pose.Turn))) }

// outline returns points in the hook frame that bound the body.
func (s *solid) outline() []rig.Vec {
	var out []rig.Vec
	switch s.body.Shape.Kind {
	case rig.BoxShape:
		for _, f := range s.faces() {
			out = append(out, f.corners...)
		}
	case rig.DrumShape:
		out = append(s.ring(-1), s.ring(1)...)
	default:
		out = append(out, s.cg())
		for _, p := range s.body.Points {
			out = append(out, s.at(p.At))
		}
	}
	return out
}

type face struct {
	corners []rig.Vec
	normal  rig.Vec
	front   bool // the face towards the body's front
}

// faces returns the six faces of a box.
func (s *solid) faces() []face {
	h := statics.Scale(0.5, s.body.Shape.Size)
	mid := s.body.Shape.Middle()
	var out []face
	for axis := range 3 {
		for _, side := range []float64{-1, 1} {
			var f face
			var n rig.Vec
			n[axis] = side
			f.normal = s.rot.Mul(n)
			f.front = axis == 0 && side > 0
			a, b := (axis+1)%3, (axis+2)%3
			for _, k := range [][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
				p := mid
				p[axis] += side * h[axis]
				p[a] += k[0] * h[a]
				p[b] += k[1] * h[b]
				f.corners = append(f.corners, s.at(p))
			}
			out = append(out, f)
		}
	}
	return out
}

// ring returns the circle at one end of a drum.
func (s *solid) ring(side float64) []rig.Vec {
	sh := s.body.Shape
	r := sh.Diameter / 2
	a, b := (sh.Axis+1)%3, (sh.Axis+2)%3
	out := make([]rig.Vec, around)
	for i := range out {
		sn, cs := math.Sincos(2 * math.Pi * float64(i) / around)
		p := sh.Middle()
		p[sh.Axis] += side * sh.Length / 2
		p[a] += r * cs
		p[b] += r * sn
		out[i] = s.at(p)
	}
	return out
}

// hides reports whether the body stands between the point and the viewer.
func (s *solid) hides(p, towards rig.Vec) bool {
	// the ray in the body's frame, from a little in front of the point
	o := s.rot.TMul(statics.Sub(statics.Add(p, statics.Scale(2e-3, towards)), s.pose.Origin))
	o = statics.Sub(o, s.body.Shape.Middle())
	d := s.rot.TMul(towards)
	half := statics.Scale(0.5, s.body.Shape.Extent())
	lo, hi := 0.0, math.Inf(1)
	slab := func(k int) bool {
		if math.Abs(d[k]) < 1e-12 {
			return math.Abs(o[k]) < half[k]
		}
		a, b := (-half[k]-o[k])/d[k], (half[k]-o[k])/d[k]
		lo, hi = math.Max(lo, math.Min(a, b)), math.Min(hi, math.Max(a, b))
		return lo < hi
	}
	switch s.body.Shape.Kind {
	case rig.BoxShape:
		return slab(0) && slab(1) && slab(2) && hi-lo > 2e-3
	case rig.DrumShape:
		axis := s.body.Shape.Axis
		if !slab(axis) {
			return false
		}
		a, b := (axis+1)%3, (axis+2)%3
		r := s.body.Shape.Diameter / 2
		qa := d[a]*d[a] + d[b]*d[b]
		qb := o[a]*d[a] + o[b]*d[b]
		qc := o[a]*o[a] + o[b]*o[b] - r*r
		if qa < 1e-12 {
			return qc < 0
		}
		disc := qb*qb - qa*qc
		if disc <= 0 {
			return false
		}
		root := math.Sqrt(disc)
		lo, hi = math.Max(lo, (-qb-root)/qa), math.Min(hi, (-qb+root)/qa)
		return hi-lo > 2e-3
	}
	return false
}

// hull is the body's outline as seen.
func (s *solid) hull(f *frame) []draw.Point { return convexHull(f.all(s.outline())) }

// edges lists the outlines that the body is drawn with.
func (s *solid) edges(f *frame) [][]draw.Point {
	var out [][]draw.Point
	switch s.body.Shape.Kind {
	case rig.BoxShape:
		for _, fc := range s.faces() {
			if statics.Dot(fc.normal, f.towards) >= 1e-6 {
				out = append(out, f.all(fc.corners))
			}
		}
	case rig.DrumShape:
		out = append(out, s.hull(f))
		if end := s.end(f); end != nil {
			out = append(out, f.all(end))
		}
	default:
		if h := s.hull(f); len(h) > 1 {
			out = append(out, h)
		}
	}
	return out
}

// end is the end of a drum that is seen, nil if neither is.
func (s *solid) end(f *frame) []rig.Vec {
	var axis rig.Vec
	axis[s.body.Shape.Axis] = 1
	switch along := statics.Dot(s.rot.Mul(axis), f.towards); {
	case along > 1e-3:
		return s.ring(1)
	case along < -1e-3:
		return s.ring(-1)
	}
	return nil
}

// clearOf is a place a little outside the body beside a point on its outline: a
// lug stands out, so that a point in a face is seen from along the face.
func (s *solid) clearOf(p rig.Vec) rig.Vec {
	half := statics.Scale(0.5, s.body.Shape.Extent())
	mid := s.body.Shape.Middle()
	for k := range p {
		if out := p[k] - mid[k]; math.Abs(math.Abs(out)-half[k]) < 0.02*half[k] {
			p[k] += math.Copysign(math.Max(0.01, 0.02*half[k]), out)
		}
	}
	return p
}

// drawSolids draws bodies from far to near.
func drawSolids(l *draw.List, f *frame, solids []solid) {
	order := make([]int, len(solids))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(f.nearness(&solids[a]), f.nearness(&solids[b]))
	})
	for _, i := range order {
		drawSolid(l, f, &solids[i])
	}
}

func (f *frame) nearness(s *solid) float64 { return f.depth(s.at(s.body.Shape.Middle())) }

func drawSolid(l *draw.List, f *frame, s *solid) {
	g := l.Group("", "body "+s.body.ID)
	switch s.body.Shape.Kind {
	case rig.BoxShape:
		for _, fc := range s.faces() {
			if statics.Dot(fc.normal, f.towards) < 1e-6 {
				continue
			}
			fill := look.Load
			if math.Abs(fc.normal[2]) < 0.5 && f.towards[2] > 0.05 || fc.normal[2] < -0.5 {
				fill = look.LoadB
			}
			g.Polygon(f.all(fc.corners), look.Outline, fill)
		}
	case rig.DrumShape:
		g.Polygon(s.hull(f), look.Outline, look.LoadB)
		if end := s.end(f); end != nil {
			g.Polygon(f.all(end), look.Outline, look.Load)
		}
	default:
		// A body without a shape is drawn as the hull of its points and CG, or
		// as a bar where they lie in a line.
		hull := convexHull(f.all(s.outline()))
		if area(hull) > 4 {
			g.Polygon(hull, look.Hidden, look.Shade)
		} else if len(hull) > 1 {
			g.Polyline(hull, draw.Stroke{Paint: look.Metal, Width: look.Extra, Cap: draw.CapRound})
		}
	}
	s.arms(g, f)
}

// arms draws what holds a point that stands off its body: a bar from the
// nearest place on the body's outline. The file does not say what it is.
func (s *solid) arms(g *draw.Group, f *frame) {
	for _, arm := range s.armLines(f) {
		g.Line(arm[0], arm[1], draw.Stroke{Paint: look.Metal, Width: look.Extra, Cap: draw.CapRound})
		g.Line(arm[0], arm[1], look.Detail)
	}
}

// armLines lists the arms that are seen.
func (s *solid) armLines(f *frame) [][2]draw.Point {
	if s.body.Shape.Kind == rig.NoShape {
		return nil
	}
	var out [][2]draw.Point
	half := statics.Scale(0.5, s.body.Shape.Extent())
	mid := s.body.Shape.Middle()
	for _, p := range s.body.Points {
		near := p.At
		for k := range near {
			near[k] = math.Max(mid[k]-half[k], math.Min(mid[k]+half[k], near[k]))
		}
		a, b := s.at(near), s.at(p.At)
		if statics.Norm(statics.Sub(a, b)) < 0.01 || s.hides(b, f.towards) {
			continue
		}
		out = append(out, [2]draw.Point{f.at(a), f.at(b)})
	}
	return out
}

// area is the area of a closed outline, mm².
func area(p []draw.Point) float64 {
	sum := 0.0
	for i, q := range p {
		sum += p[(i+len(p)-1)%len(p)].Cross(q)
	}
	return math.Abs(sum) / 2
}

// inside reports whether a point lies within a convex outline.
func inside(p draw.Point, hull []draw.Point) bool {
	if len(hull) < 3 {
		return false
	}
	sign := 0.0
	for i, q := range hull {
		c := hull[(i+1)%len(hull)].Sub(q).Cross(p.Sub(q))
		if c*sign < 0 {
			return false
		}
		if c != 0 {
			sign = c
		}
	}
	return true
}

func (f *frame) all(points []rig.Vec) []draw.Point {
	out := make([]draw.Point, len(points))
	for i, p := range points {
		out[i] = f.at(p)
	}
	return out
}

// convexHull returns the corners of the smallest convex outline of the points,
// by Andrew's monotone chain.
func convexHull(p []draw.Point) []draw.Point {
	p = slices.Clone(p)
	slices.SortFunc(p, func(a, b draw.Point) int {
		return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y))
	})
	p = slices.Compact(p)
	if len(p) < 3 {
		return p
	}
	half := func(list []draw.Point) []draw.Point {
		var h []draw.Point
		for _, q := range list {
			for len(h) > 1 && h[len(h)-1].Sub(h[len(h)-2]).Cross(q.Sub(h[len(h)-1])) <= 0 {
				h = h[:len(h)-1]
			}
			h = append(h, q)
		}
		return h[:len(h)-1]
	}
	lower := half(p)
	slices.Reverse(p)
	return append(lower, half(p)...)
}
