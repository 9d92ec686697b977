package flown

import (
	"math"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/flight"
)

// What is compared, in order.
const (
	Weight      = "weight"
	HoverPitch  = "pitch in the hover"
	HoverRoll   = "roll in the hover"
	FlightPitch = "pitch in flight"
	FlightRoll  = "roll in flight"
	Trail       = "trail"
)

// Whats lists them.
var Whats = []string{Weight, HoverPitch, HoverRoll, FlightPitch, FlightRoll, Trail}

// Compared is one measured number beside the computed one, N or rad.
type Compared struct {
	What               string // one of Whats
	Computed, Measured float64
	Words              string
}

// Off is measured less computed: of a weight as a share of the computed one,
// otherwise rad.
func (c Compared) Off() float64 {
	if c.What == Weight {
		return (c.Measured - c.Computed) / c.Computed
	}
	return c.Measured - c.Computed
}

// Compare puts what was seen of a lift beside what the rig gives: at rest, and
// in the air of the standard atmosphere at sea level at the airspeed flown. It
// fails like [flight.Compare].
func Compare(r *rig.Rig, l Lift) ([]Compared, error) {
	var out []Compared
	for _, part := range []struct {
		seen  flight.Seen
		names map[string]string
	}{
		{flight.Seen{Weight: si(l.Weighed), Pitch: si(l.Hover.Pitch), Roll: si(l.Hover.Roll)}, map[string]string{"weight": Weight, "pitch": HoverPitch, "roll": HoverRoll}},
		{flight.Seen{Pitch: si(l.Flight.Pitch), Roll: si(l.Flight.Roll), Trail: si(l.Trail), Airspeed: si(l.Airspeed)}, map[string]string{"pitch": FlightPitch, "roll": FlightRoll, "trail": Trail}},
	} {
		list, err := flight.Compare(r, flight.Conditions{}, part.seen)
		if err != nil {
			return nil, err
		}
		for _, d := range list {
			out = append(out, Compared{part.names[d.What], d.Computed, d.Measured, d.Words})
		}
	}
	return out, nil
}

func si(q *quantity.Quantity) *float64 {
	if q == nil {
		return nil
	}
	return &q.Value
}

// Agreement is how far measured and computed have agreed in one thing.
type Agreement struct {
	What   string
	Cases  int
	Mean   float64 // of [Compared.Off]
	Spread float64 // standard deviation of the differences about their mean; 0 with fewer than two
	Most   float64 // largest difference either way
}

// Few is how many cases say little: a mean of so few may come from chance, or
// from one load cell.
const Few = 10

// Words says how much to make of the number of cases.
func (a Agreement) Words() string {
	switch {
	case a.Cases == 1:
		return "one case: it says nothing of the next"
	case a.Cases < Few:
		return "few cases: they say little"
	}
	return ""
}

// Agree sums up comparisons, in the order of [Whats]; what was never measured
// is left out.
func Agree(all []Compared) []Agreement {
	var out []Agreement
	for _, what := range Whats {
		a := Agreement{What: what}
		for _, c := range all {
			if c.What == what {
				a.Cases++
				a.Mean += c.Off()
				a.Most = math.Max(a.Most, math.Abs(c.Off()))
			}
		}
		if a.Cases == 0 {
			continue
		}
		a.Mean /= float64(a.Cases)
		sum := 0.0
		for _, c := range all {
			if c.What == what {
				sum += (c.Off() - a.Mean) * (c.Off() - a.Mean)
			}
		}
		if a.Cases > 1 {
			a.Spread = math.Sqrt(sum / float64(a.Cases-1))
		}
		out = append(out, a)
	}
	return out
}
