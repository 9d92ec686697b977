package flight

import (
	"math"

	"hangtrue/internal/engine/rig"
)

// Published drag coefficients. Those of the Aeronautical Engineer's Data Book
// were seen in print, those of the cube (Hoerner, Fluid-Dynamic Drag) are from
// memory. All are for smooth bodies far from others at the Reynolds numbers of
// the tables; a large drum in fast air may have less.
const (
	plateAcross  = 1.17 // square plate across the flow: Aeronautical Engineer's Data Book
	cubeFaceOn   = 1.05 // Hoerner, from memory
	cubeEdgeOn   = 0.80 // on its projected area: Hoerner, from memory; only to compare with
	longCylinder = 1.20 // across the flow, of infinite length: Aeronautical Engineer's Data Book
)

// level is a published coefficient at a proportion.
type level struct{ at, cd float64 }

// The cylinders of the Aeronautical Engineer's Data Book by length over
// diameter. The flat end of endOn, a disc, takes the plate's value: our reading.
var (
	endOn  = []level{{0, plateAcross}, {1, 0.91}, {2, 0.85}}
	across = []level{{1, 0.63}, {2, 0.68}, {5, 0.74}}
	faceOn = []level{{0, plateAcross}, {1, cubeFaceOn}}
)

// between reads a table in straight lines and holds its ends.
func between(table []level, at float64) float64 {
	if at <= table[0].at {
		return table[0].cd
	}
	for i := 1; i < len(table); i++ {
		a, b := table[i-1], table[i]
		if at <= b.at {
			return a.cd + (b.cd-a.cd)*(at-a.at)/(b.at-a.at)
		}
	}
	return table[len(table)-1].cd
}

// EndOn returns the drag coefficient of a cylinder with the air along its axis,
// on the area of its end, for its length over its diameter.
func EndOn(slenderness float64) float64 { return between(endOn, slenderness) }

// Across returns the drag coefficient of a cylinder with the air across its
// axis, on its length times its diameter. Beyond the last finite length
// published it goes in a straight line over diameter by length to that of
// infinite length.
func Across(slenderness float64) float64 {
	last := across[len(across)-1]
	if slenderness <= last.at {
		return between(across, slenderness)
	}
	return longCylinder + (last.cd-longCylinder)*last.at/slenderness
}

// FaceOn returns the drag coefficient of a box with the air square on a face,
// for its depth behind the face over the square root of the face's area: from a
// plate to a cube in a straight line. A box deeper than a cube is taken as one,
// which is on the high side (our choice).
func FaceOn(depth float64) float64 { return between(faceOn, depth) }

// Areas returns a body's drag areas, coefficient times area, m², for air along
// its x, y and z axis, and where they come from.
func Areas(b *rig.Body) (rig.Vec, string) {
	if b.DragArea != nil {
		return *b.DragArea, "as entered"
	}
	switch s := b.Shape; s.Kind {
	case rig.BoxShape:
		var out rig.Vec
		for k := range out {
			face := s.Size[(k+1)%3] * s.Size[(k+2)%3]
			out[k] = face * FaceOn(s.Size[k]/math.Sqrt(face))
		}
		return out, "a box: cube face-on 1.05 (Hoerner, from memory), plate 1.17 (Aeronautical Engineer's Data Book), in between by its depth"
	case rig.DrumShape:
		l := s.Length / s.Diameter
		side := s.Length * s.Diameter * Across(l)
		out := rig.Vec{side, side, side}
		out[s.Axis] = math.Pi / 4 * s.Diameter * s.Diameter * EndOn(l)
		return out, "a cylinder by its length over diameter (Aeronautical Engineer's Data Book)"
	}
	return rig.Vec{}, "no shape and no drag entered: none"
}

// Area returns the drag area of a body met by air in direction u, a unit vector
// in the body's axes, from its drag areas along them.
func Area(along, u rig.Vec) float64 {
	sum := 0.0
	for k := range along {
		sum += u[k] * u[k] * along[k]
	}
	return sum
}
