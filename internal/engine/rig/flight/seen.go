package flight

import (
	"fmt"
	"math"

	"hangtrue/internal/engine/rig"
)

// Seen is what was measured of a rig as it was weighed and flown. Pointers are
// nil where nothing was.
type Seen struct {
	Weight   *float64 // what the load cell showed at rest, N
	Pitch    *float64 // of the first body, rad, positive nose up; at Airspeed, or at rest without one
	Roll     *float64 // likewise, positive right side down
	Trail    *float64 // rad; only with Airspeed
	Airspeed *float64 // flown when pitch, roll and trail were seen, m/s
}

// Difference is one measured number beside the computed one.
type Difference struct {
	What     string // "weight", "pitch", "roll", "trail"
	Computed float64
	Measured float64
	Words    string
}

// Off returns measured less computed.
func (d Difference) Off() float64 { return d.Measured - d.Computed }

// Compare puts what was measured beside what the rig gives in this air. It
// keeps nothing. It fails where counts are still to be found, where a trail was
// seen without an airspeed, or where a number is not finite.
func Compare(r *rig.Rig, c Conditions, seen Seen) ([]Difference, error) {
	for _, x := range []*float64{seen.Weight, seen.Pitch, seen.Roll, seen.Trail, seen.Airspeed} {
		if x != nil && (math.IsNaN(*x) || math.IsInf(*x, 0)) {
			return nil, fmt.Errorf("flight: what was seen holds a number that is not finite")
		}
	}
	if seen.Trail != nil && seen.Airspeed == nil {
		return nil, fmt.Errorf("flight: a trail without the airspeed flown compares with nothing; enter the airspeed too")
	}
	show := r.Show()
	var out []Difference
	if w := seen.Weight; w != nil {
		d := Difference{What: "weight", Computed: r.Weight(), Measured: *w}
		d.Words = "the load cell agrees with the rig"
		if off := d.Off(); show.Force(math.Abs(off)) != show.Force(0) {
			d.Words = fmt.Sprintf("the load cell showed %s %s than the rig weighs (%s of it)", show.Force(math.Abs(off)), moreOrLess(off), show.Percent(math.Abs(off)/d.Computed))
			if off > 0 {
				d.Words += "; legs, hooks and chain weigh nothing here unless they are entered as items"
			}
		}
		out = append(out, d)
	}
	if seen.Pitch == nil && seen.Roll == nil && seen.Trail == nil {
		return out, nil
	}
	s, err := New(r, c)
	if err != nil {
		return nil, err
	}
	speed, when := 0.0, "at rest"
	if seen.Airspeed != nil {
		speed = *seen.Airspeed
		when = "at " + show.Airspeed(speed)
	}
	p, err := s.At(speed)
	if err != nil {
		return nil, err
	}
	add := func(what string, computed float64, measured *float64, more, less string) {
		if measured == nil {
			return
		}
		d := Difference{What: what, Computed: computed, Measured: *measured}
		if off := d.Off(); show.Angle(math.Abs(off)) == show.Angle(0) {
			d.Words = fmt.Sprintf("%s %s was as computed", what, when)
		} else {
			word := more
			if off < 0 {
				word = less
			}
			d.Words = fmt.Sprintf("%s it %s by %s than computed", when, word, show.Angle(math.Abs(off)))
		}
		out = append(out, d)
	}
	add("pitch", p.Bodies[0].Pitch, seen.Pitch, "hung higher at the nose", "hung lower at the nose")
	add("roll", p.Bodies[0].Roll, seen.Roll, "hung lower at the right", "hung higher at the right")
	add("trail", p.Trail, seen.Trail, "trailed further back", "trailed less far back")
	return out, nil
}

func moreOrLess(x float64) string {
	if x < 0 {
		return "less"
	}
	return "more"
}
