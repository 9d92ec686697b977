package lift

import (
	"fmt"
	"math"
	"time"

	"hangtrue/internal/engine/quantity"
)

// Known says how a weight is known.
type Known string

// The ways to know a weight.
const (
	Weighed   Known = "weighed"
	Plate     Known = "plate"
	Estimated Known = "estimated"
)

// Weight is a mass with how it is known.
type Weight struct {
	Mass  float64 // kg
	Known Known   // "" where nobody said
	Band  float64 // kg either way; an estimate must have one
	By    string
	On    time.Time // the day; zero where not entered
}

// Check returns what is wrong with the weight: an estimate without its
// tolerance, a mass that is none.
func (w Weight) Check() []Problem {
	var out []Problem
	if !(w.Mass > 0) || math.IsInf(w.Mass, 0) {
		out = append(out, Problem{"mass", "a load must weigh something", ""})
	}
	if !(w.Band >= 0) || w.Band >= w.Mass && w.Mass > 0 {
		out = append(out, Problem{"give-or-take", "the tolerance must be less than the weight and not negative", ""})
	}
	switch w.Known {
	case Estimated:
		if w.Band == 0 {
			out = append(out, Problem{"give-or-take", "an estimate needs its tolerance", "add give-or-take:, for example 100 kg"})
		}
	case Weighed, Plate, "":
	default:
		out = append(out, Problem{"known", fmt.Sprintf("a weight is not known as %q", string(w.Known)), "weighed, plate or estimated"})
	}
	return out
}

// Highest returns the mass with its tolerance added, kg.
func (w Weight) Highest() float64 { return w.Mass + w.Band }

// Show returns the weight with how it is known: an estimate never without its
// tolerance.
func (w Weight) Show(show quantity.System) string {
	text := show.Mass(w.Mass)
	if w.Band > 0 {
		text += " ± " + show.Mass(w.Band)
	} else if w.Known == Estimated {
		text += " ± unknown"
	}
	switch w.Known {
	case "":
		text += ", how it is known is not entered"
	case Plate:
		text += ", from its plate"
	default:
		text += ", " + string(w.Known)
	}
	if w.By != "" {
		text += " by " + w.By
	}
	if !w.On.IsZero() {
		text += " on " + w.On.Format(time.DateOnly)
	}
	return text
}

// Reading is what one axle or scale shows.
type Reading struct {
	At   Vec     // where it bears, in the load's frame; z counts for [CGHeight] only
	Mass float64 // kg
}

// FromReadings returns mass and CG in plan from the readings of axles or
// scales that carry the load level: M = Σm, x = Σmx/M, y = Σmy/M (moments about
// the origin; plain statics). For axles y is that of the axle's middle. It
// needs two readings or more; with all on one line the CG across it is the
// line's, and the height is unknown in any case.
func FromReadings(list []Reading) (mass float64, cg Vec, err error) {
	if len(list) < 2 {
		return 0, Vec{}, Problem{"readings", "one reading says nothing about the CG", "two axles, or three scales or more"}
	}
	for i, r := range list {
		if !(r.Mass >= 0) {
			return 0, Vec{}, Problem{fmt.Sprintf("readings[%d]", i), "a scale cannot show less than nothing", "mind the tare"}
		}
		mass += r.Mass
		for k := range 2 {
			cg[k] += r.Mass * r.At[k]
		}
	}
	if mass <= 0 {
		return 0, Vec{}, Problem{"readings", "the readings add up to nothing", ""}
	}
	cg[0], cg[1] = cg[0]/mass, cg[1]/mass
	return mass, cg, nil
}

// CGHeight returns how high the CG lies above the line between two supports, m,
// from a level and a tilted reading of one of them: with supports a distance
// apart, the one that is read raised so that the line between them leans by
// tilt,
//
//	z = (level − tilted)·distance / (mass·tan tilt)
//
// (moments about the support that stays; the same equation as in ISO 10392 for
// road vehicles, from memory). The readings are in kg, the tilt in rad. The
// supports must be pivots: wheels free to roll, on the line that is measured.
// Springs blocked, liquids left out or brim-full.
func CGHeight(mass, distance, level, tilted, tilt float64) (float64, error) {
	switch {
	case !(mass > 0) || !(distance > 0):
		return 0, Problem{"readings", "mass and distance of the supports must be above zero", ""}
	case !(level >= 0 && level <= mass) || !(tilted >= 0 && tilted <= mass):
		return 0, Problem{"readings", "a support carries between nothing and the whole mass", ""}
	case !(math.Abs(tilt) >= 3*quantity.Degree && math.Abs(tilt) < 60*quantity.Degree):
		// Below this a scale's last digit swamps the difference: common practice, no source.
		return 0, Problem{"tilt", fmt.Sprintf("a tilt of %.1f deg gives no useful height", tilt/quantity.Degree), "from 3 deg to 60 deg; 10 deg or more is better"}
	}
	return (level - tilted) * distance / (mass * math.Tan(tilt)), nil
}

// Since returns mass and CG after things were added since the weighing (fuel,
// water, snow, wet cargo) or taken off (negative masses). An added thing without
// a place is an error.
func Since(mass float64, cg Vec, added []Item) (float64, Vec, error) {
	sum := Vec{mass * cg[0], mass * cg[1], mass * cg[2]}
	for i, it := range added {
		if it.At == nil {
			return 0, Vec{}, Problem{fmt.Sprintf("since[%d].at", i), fmt.Sprintf("where %s lies is not entered", it.What), "its place in the load's frame"}
		}
		mass += it.Mass
		for k := range sum {
			sum[k] += it.Mass * it.At[k]
		}
	}
	if !(mass > 0) {
		return 0, Vec{}, Problem{"since", "more is taken off than there was", ""}
	}
	return mass, Vec{sum[0] / mass, sum[1] / mass, sum[2] / mass}, nil
}
