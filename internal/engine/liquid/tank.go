package liquid

import (
	"fmt"
	"math"
)

// Kind is the form of a tank.
type Kind uint8

// The forms of tanks.
const (
	Box  Kind = iota + 1
	Drum      // a cylinder, lying or standing
)

// Tank is what holds the liquid, in the frame of its body: x forward, y left,
// z up, the origin in the centre of its base.
type Tank struct {
	Kind     Kind
	Size     [3]float64 // of a box along x, y, z, m
	Length   float64    // of a drum along its axis, m
	Diameter float64    // of a drum, m
	Axis     int        // of a drum: 0 x, 1 y, 2 z (standing)
	// Capacity is how much it holds when brim-full, m³. Zero takes the whole
	// outline. The inside is taken as the outline shrunk evenly about its
	// middle to this volume.
	Capacity float64
	// Collapsible is a fabric tank, which takes the form that its fill gives it.
	Collapsible bool
	// Least and Most are the fills between which the maker of a collapsible
	// tank allows it to be lifted, m³; zero where not entered.
	Least, Most float64
}

// Outline returns the volume of the tank's outside, m³.
func (t Tank) Outline() float64 {
	if t.Kind == Drum {
		return math.Pi / 4 * t.Diameter * t.Diameter * t.Length
	}
	return t.Size[0] * t.Size[1] * t.Size[2]
}

// Holds returns how much the tank holds when brim-full, m³.
func (t Tank) Holds() float64 {
	if t.Capacity > 0 {
		return t.Capacity
	}
	return t.Outline()
}

// Middle returns the middle of the tank in its body's frame, m.
func (t Tank) Middle() [3]float64 {
	if t.Kind == Drum {
		if t.Axis == 2 {
			return [3]float64{0, 0, t.Length / 2}
		}
		return [3]float64{0, 0, t.Diameter / 2}
	}
	return [3]float64{0, 0, t.Size[2] / 2}
}

func (t Tank) check() *Problem {
	positive := func(xs ...float64) bool {
		for _, x := range xs {
			if !(x > 0) || math.IsInf(x, 0) {
				return false
			}
		}
		return true
	}
	switch {
	case t.Kind == Box && !positive(t.Size[:]...), t.Kind == Drum && !positive(t.Length, t.Diameter):
		return &Problem{"shape", "the tank has no size", "every side, length or diameter above zero"}
	case t.Kind != Box && t.Kind != Drum:
		return &Problem{"shape", "a liquid needs a tank with a form", "add shape: with a box or a drum"}
	case t.Capacity < 0 || math.IsNaN(t.Capacity):
		return &Problem{"capacity", "the capacity must be above zero", ""}
	case t.Capacity > t.Outline()*(1+1e-9) && !t.Collapsible:
		return &Problem{"capacity", fmt.Sprintf("a capacity of %.4g L is more than the outline of the tank encloses, %.4g L", 1000*t.Capacity, 1000*t.Outline()), "the inside is smaller than the outside"}
	case t.Most < t.Least:
		return &Problem{"fill-bounds", "the maker's highest fill lies below the lowest", "the lowest first"}
	}
	return nil
}

// centroid returns the centre of a volume of liquid at rest in the tank, m, in
// the body's frame. Up is the direction that is up in that frame; its length
// does not matter.
func (t Tank) centroid(volume float64, up [3]float64) [3]float64 {
	length := math.Sqrt(up[0]*up[0] + up[1]*up[1] + up[2]*up[2])
	if !(length > 0) {
		up, length = [3]float64{0, 0, 1}, 1
	}
	for i := range up {
		up[i] /= length
	}
	middle := t.Middle()
	if volume >= t.Holds() || t.Collapsible {
		return middle
	}
	shrink := math.Cbrt(t.Holds() / t.Outline())
	var wet func(level float64) (float64, [3]float64)
	reach := 0.0 // of the tank from its middle along up
	if t.Kind == Drum {
		d := drum{half: shrink * t.Length / 2, radius: shrink * t.Diameter / 2, axis: t.Axis, up: up}
		wet, reach = d.wet, math.Abs(up[t.Axis])*d.half+d.slope()*d.radius
	} else {
		b := box{up: up}
		for i := range b.half {
			b.half[i] = shrink * t.Size[i] / 2
			reach += math.Abs(up[i]) * b.half[i]
		}
		wet = b.wet
	}
	// The volume rises with the level, so halving finds the level; 60 halvings
	// reach the last bit.
	low, high := -reach, reach
	for range 60 {
		level := (low + high) / 2
		if v, _ := wet(level); v < volume {
			low = level
		} else {
			high = level
		}
	}
	v, moment := wet(high)
	if v <= 0 {
		// A drop: it lies where the tank reaches furthest down.
		v, moment = wet(high + 1e-6*reach)
	}
	for i := range middle {
		middle[i] += moment[i] / v
	}
	return middle
}
