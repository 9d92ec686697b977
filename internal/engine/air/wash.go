package air

import (
	"fmt"
	"math"
)

// Rotors are the lifting rotors of an aircraft, all alike. Each is taken to
// carry its share alone: that tandem or meshing rotors overlap is left out,
// which makes their wash come out low.
type Rotors struct {
	Count    int
	Diameter float64 // m
}

// Area returns the area of all discs together, m².
func (r Rotors) Area() float64 { return float64(r.Count) * math.Pi / 4 * r.Diameter * r.Diameter }

// Wash is what the rotors do to the air in a hover out of ground effect.
type Wash struct {
	Rotors  Rotors
	Thrust  float64 // N, of all rotors together
	Density float64 // kg/m³
	Induced float64 // m/s, the speed through the discs
	Far     float64 // m/s, the speed of the wake when it has narrowed: twice that
	Loading float64 // Pa, thrust over disc area
}

// Hover returns the wash of rotors that carry a mass in a hover: momentum
// theory, v = √(T/(2ρA)) through the discs and 2v in the far wake (W. J. M.
// Rankine and W. Froude; in any text on rotors). The push on fuselage and load
// is left out, which takes a few per cent more thrust. The error is a
// [*Problem].
func Hover(r Rotors, thrust, density float64) (Wash, error) {
	if r.Count < 1 || !(r.Diameter > 0) {
		return Wash{}, &Problem{"rotors", "the aircraft has no rotors entered", "number and diameter of its lifting rotors"}
	}
	if !(thrust > 0) || !(density > 0) {
		return Wash{}, &Problem{"thrust", "a hover needs a weight and air", "both above zero"}
	}
	v := math.Sqrt(thrust / (2 * density * r.Area()))
	return Wash{r, thrust, density, v, 2 * v, thrust / r.Area()}, nil
}

// Beneath returns the wake's speed on the axis of a rotor at a distance
// beneath its disc, m/s: v·(1 + z/√(R² + z²)), the axial speed of a straight
// vortex tube (in texts on rotors; from memory). It rises from the induced
// speed in the disc to twice that far below. It takes no ground: near the
// ground the wake turns outwards and slows before it gets there.
func (w Wash) Beneath(z float64) float64 {
	r := w.Rotors.Diameter / 2
	z = math.Max(0, z)
	return w.Induced * HookFactor(z, r)
}

// HookFactor is how much faster the wake is at a distance beneath the disc of
// a rotor of this radius than in the disc: from 1 to 2.
func HookFactor(z, radius float64) float64 { return 1 + z/math.Hypot(z, radius) }

// The constants of Ring.
const (
	// ringFrom is the distance from the axis, in rotor radii, at which the wake
	// has turned into a sheet along the ground, and up to which its full speed
	// is taken: common practice, no source.
	ringFrom = 1.5
	// ringDecay is the power of distance with which the highest speed in a
	// radial wall jet falls: M. Poreh, Y. G. Tsuei and J. E. Cermak, J. Appl.
	// Mech. 34 (1967) 457, measured 1.12; from memory.
	ringDecay = 1.12
	// ringTo is how far out the ring is drawn, in rotor radii. Measurements
	// on aircraft reach about as far.
	ringTo = 12
)

// RingLimits is what belongs beside every number of [Ring].
const RingLimits = "mean speed over flat ground in still air from one rotor or from rotors taken one by one, without gusts, " +
	"wind, slope or obstacles; gusts are well above it, between two rotors it is stronger, and with wind it is stronger downwind. " +
	"Method: full wake speed out to 1.5 rotor radii (common practice, no source), from there falling with distance to the power 1.12 as a " +
	"radial wall jet does (Poreh, Tsuei and Cermak 1967, from memory)"

// Ring returns the highest mean wind speed near the ground at a distance from
// the axis of the nearest rotor, m/s, for an aircraft that hovers low: with its
// rotor within about three radii of the ground. A higher hover gives less. It
// answers from the axis out to 12 radii; the error is a [*Problem]. Print
// [RingLimits] beside the number.
func (w Wash) Ring(distance float64) (float64, error) {
	r := w.Rotors.Diameter / 2
	if !(distance >= 0 && distance <= ringTo*r*(1+1e-9)) {
		return 0, &Problem{"distance", fmt.Sprintf("at %.0f m the method says nothing", distance), fmt.Sprintf("from 0 m to %.0f m, twelve rotor radii", ringTo*r)}
	}
	if distance <= ringFrom*r {
		return w.Far, nil
	}
	return w.Far * math.Pow(ringFrom*r/distance, ringDecay), nil
}

// RingAt returns the distance from the axis beyond which the ring's speed is
// lower than this, m; ok is false where that is nowhere reached within the
// method's range. A speed above the wake's own gives zero.
func (w Wash) RingAt(speed float64) (distance float64, ok bool) {
	r := w.Rotors.Diameter / 2
	if speed > w.Far {
		return 0, true
	}
	if !(speed > 0) {
		return 0, false
	}
	distance = ringFrom * r * math.Pow(w.Far/speed, 1/ringDecay)
	return distance, distance <= ringTo*r*(1+1e-9)
}
