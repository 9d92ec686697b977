package rig

import (
	"math"

	"hangtrue/internal/engine/statics"
)

// leastOverlap is how deep two boxes must stand in each other to be named, m:
// below it, it is rounding and stretch of boxes entered side by side.
const leastOverlap = 0.5e-3

type overlap struct {
	a, b  string
	depth float64 // m, the shortest way out
}

// overlappingBoxes finds the boxes that stand in each other, by the separating
// axis theorem: two boxes are apart exactly when some axis out of their face
// normals and the products of their edges shows a gap between their shadows.
func (a *Answer) overlappingBoxes() []overlap {
	var out []overlap
	bodies := a.Rig.spec.Bodies
	for i := range bodies {
		for k := range i {
			if bodies[i].Shape.Kind != BoxShape || bodies[k].Shape.Kind != BoxShape {
				continue
			}
			if d := boxDepth(bodies[k].Shape, a.Bodies[k].Pose(), bodies[i].Shape, a.Bodies[i].Pose()); d > leastOverlap {
				out = append(out, overlap{bodies[k].ID, bodies[i].ID, d})
			}
		}
	}
	return out
}

// boxDepth returns how deep box a stands in box b, negative where they are
// apart, m.
func boxDepth(a Shape, pa statics.Pose, b Shape, pb statics.Pose) float64 {
	ma, mb := pa.Turn.Matrix(), pb.Turn.Matrix()
	column := func(m statics.Mat, k int) Vec { return Vec{m[0][k], m[1][k], m[2][k]} }
	apart := statics.Sub(pb.At(b.Middle()), pa.At(a.Middle()))
	depth := math.Inf(1)
	try := func(axis Vec) {
		n := Norm(axis)
		if n < 1e-9 {
			return
		}
		axis = statics.Scale(1/n, axis)
		reach := 0.0
		for k := range 3 {
			reach += a.Size[k]/2*math.Abs(statics.Dot(column(ma, k), axis)) + b.Size[k]/2*math.Abs(statics.Dot(column(mb, k), axis))
		}
		depth = math.Min(depth, reach-math.Abs(statics.Dot(apart, axis)))
	}
	for i := range 3 {
		try(column(ma, i))
		try(column(mb, i))
		for k := range 3 {
			try(statics.Cross(column(ma, i), column(mb, k)))
		}
	}
	return depth
}
