package liquid

import (
	"fmt"

	"hangtrue/internal/engine/quantity"
)

// brim is the share of its capacity from which a tank counts as full: what
// moves in the rest shifts no CG that a person could measure.
const brim = 0.999

// Entry is a fill as entered. It may be wrong: [New] checks it.
type Entry struct {
	Liquid  Liquid
	Tank    Tank
	Volume  *float64 // m³ at temperature At; this or Mass
	Mass    *float64 // kg
	At      float64  // temperature of the liquid when it was filled, K
	Hottest *float64 // the hottest it may get before it is emptied, K; nil: not entered
}

// Fill is a checked fill of a tank. It does not change.
type Fill struct {
	Liquid  Liquid
	Tank    Tank
	Mass    float64  // kg
	Volume  float64  // m³ at temperature At
	At      float64  // K
	Density float64  // kg/m³ at temperature At
	Hottest *float64 // K
	// Band is how far Mass may be off either way, kg, because the density is
	// taken from the product's specification.
	Band float64
}

// New checks an entry and computes mass and volume. It returns every problem it
// finds: a temperature outside the product's range, a fill above what the tank
// holds, a hottest temperature below the present one.
func New(e Entry) (Fill, []*Problem) {
	var problems []*Problem
	refuse := func(p *Problem) { problems = append(problems, p) }
	if p := e.Tank.check(); p != nil {
		refuse(p)
	}
	f := Fill{Liquid: e.Liquid, Tank: e.Tank, At: e.At, Hottest: e.Hottest}
	density, err := e.Liquid.Density(e.At)
	if err != nil {
		refuse(err.(*Problem))
	}
	f.Density = density
	switch {
	case (e.Volume == nil) == (e.Mass == nil):
		refuse(&Problem{"volume", "a fill is entered by its volume or by its mass", "exactly one of volume: and mass:"})
	case e.Volume != nil && !(*e.Volume >= 0), e.Mass != nil && !(*e.Mass >= 0):
		refuse(&Problem{"volume", "a fill cannot be less than nothing", ""})
	case e.Volume != nil:
		f.Volume, f.Mass = *e.Volume, *e.Volume*density
		f.Band = *e.Volume * e.Liquid.Band
	default:
		f.Mass, f.Volume = *e.Mass, *e.Mass/density
	}
	if e.Hottest != nil {
		if _, err := e.Liquid.Density(*e.Hottest); err != nil {
			p := *err.(*Problem)
			p.Key = "hottest"
			refuse(&p)
		}
		if *e.Hottest < e.At {
			refuse(&Problem{"hottest", "the hottest temperature is below the one it was filled at", "the hottest that the liquid may get, filled or in the sun"})
		}
	}
	if len(problems) > 0 {
		return Fill{}, problems
	}
	// A maker's figure for a fabric drum is a bound of its own, see Findings.
	if holds := e.Tank.Holds(); f.Volume > holds*(1+1e-9) && !e.Tank.Collapsible {
		key := "volume"
		if e.Mass != nil {
			key = "mass"
		}
		return Fill{}, []*Problem{{
			key, fmt.Sprintf("a fill of %.4g L is more than the tank holds, %.4g L", 1000*f.Volume, 1000*holds),
			"at most what it holds, less the room for expansion",
		}}
	}
	return f, nil
}

// Part reports whether the liquid has a free surface in a rigid tank, so that
// it moves when the tank tilts.
func (f Fill) Part() bool {
	return !f.Tank.Collapsible && f.Volume > 0 && f.Volume < brim*f.Tank.Holds()
}

// CG returns the centre of gravity of the liquid at rest, m, in the frame of
// the tank's body. Up is the direction that is up in that frame: [0, 0, 1]
// where it stands level. A full tank and a collapsible one have it in the middle.
func (f Fill) CG(up [3]float64) [3]float64 {
	if !f.Part() {
		return f.Tank.Middle()
	}
	return f.Tank.centroid(f.Volume, up)
}

// Expanded returns the volume of the fill at a temperature, m³. The error is
// that of [Liquid.Density].
func (f Fill) Expanded(kelvin float64) (float64, error) {
	density, err := f.Liquid.Density(kelvin)
	if err != nil {
		return 0, err
	}
	return f.Mass / density, nil
}

// Room returns how much of the tank stays empty when the liquid is at its
// hottest, m³; negative where it would overflow. Ok is false where no hottest
// temperature is entered. The tank itself is taken not to widen.
func (f Fill) Room() (room float64, ok bool) {
	if f.Hottest == nil {
		return 0, false
	}
	volume, err := f.Expanded(*f.Hottest)
	if err != nil {
		return 0, false // New has refused this
	}
	return f.Tank.Holds() - volume, true
}

// Fullest returns the largest volume at the temperature of filling that still
// fits at the hottest temperature, m³; ok is false where none is entered.
func (f Fill) Fullest() (volume float64, ok bool) {
	if f.Hottest == nil {
		return 0, false
	}
	hot, err := f.Liquid.Density(*f.Hottest)
	if err != nil {
		return 0, false
	}
	return f.Tank.Holds() * hot / f.Density, true
}

// Level says how much a finding weighs.
type Level uint8

// The levels of a finding.
const (
	Note Level = iota
	Unknown
	Exceeded
)

// Finding is something that a fill has to say.
type Finding struct {
	Level Level
	Code  string // a stable word for programs
	Text  string
}

// Findings returns what there is to say about the fill, in units of this
// system.
func (f Fill) Findings(show quantity.System) []Finding {
	var out []Finding
	find := func(level Level, code, format string, args ...any) {
		out = append(out, Finding{level, code, fmt.Sprintf(format, args...)})
	}
	t := f.Tank
	if t.Collapsible {
		f.fabric(show, find)
	} else {
		if t.Capacity == 0 {
			find(Note, "capacity-from-outline", "what the tank holds is taken from its outline, %s: enter capacity: from its plate", show.Volume(t.Outline()))
		}
		switch room, ok := f.Room(); {
		case f.Volume == 0:
		case !ok:
			find(Note, "hottest-not-entered", "no hottest temperature is entered, so the room for expansion is not checked")
		case room < 0:
			most, _ := f.Fullest()
			find(Exceeded, "over-full", "over-full: at %s the liquid takes %s and the tank holds %s; fill at most %s at %s",
				show.Temperature(*f.Hottest), show.Volume(t.Holds()-room), show.Volume(t.Holds()), show.Volume(most), show.Temperature(f.At))
		default:
			find(Note, "room-for-expansion", "%s (%s of what the tank holds) stays empty at %s", show.Volume(room), show.Percent(room/t.Holds()), show.Temperature(*f.Hottest))
		}
	}
	if text := f.Moves(show); text != "" {
		find(Note, "liquid-moves", "%s", text)
	}
	if f.Band > 0 {
		find(Note, "density-from-specification", "weighs %s give or take %s, for its density is not entered: %s",
			show.Mass(f.Mass), show.Mass(f.Band), f.Liquid.Source)
	}
	if within, low, high := f.Liquid.Specified(); !within {
		find(Note, "density-outside-specification", "the density entered, %s at 15 degC, is outside what %s has: %s to %s",
			show.Density(f.Liquid.Density15), f.Liquid.Name, show.Density(low), show.Density(high))
	}
	for _, kelvin := range []*float64{&f.At, f.Hottest} {
		if kelvin != nil && f.Liquid.Flash > 0 && *kelvin >= f.Liquid.Flash {
			find(Note, "above-flash-point", "at %s it is at or above the lowest flash point of %s, %s", show.Temperature(*kelvin), f.Liquid.Name, show.Temperature(f.Liquid.Flash))
			break
		}
	}
	return out
}

// fabric holds a collapsible tank against its maker's bounds.
func (f Fill) fabric(show quantity.System, find func(Level, string, string, ...any)) {
	t := f.Tank
	switch {
	case f.Volume == 0:
	case t.Most == 0:
		find(Unknown, "fill-bounds-missing", "a fabric tank flattens and sags when it is not full: enter its maker's fill bounds, fill-bounds: [least, most]")
	case f.Volume < t.Least*(1-1e-9):
		find(Exceeded, "under-filled", "filled with %s; its maker allows it to be lifted with no less than %s", show.Volume(f.Volume), show.Volume(t.Least))
	case f.Volume > t.Most*(1+1e-9):
		find(Exceeded, "over-filled", "filled with %s; its maker allows it to be lifted with no more than %s", show.Volume(f.Volume), show.Volume(t.Most))
	default:
		find(Note, "fabric-shape", "within its maker's fill bounds; its CG is taken in the middle of the shape entered, though fabric sags")
	}
	if f.Hottest == nil || t.Most == 0 {
		return
	}
	if hot, err := f.Expanded(*f.Hottest); err == nil && hot > t.Most*(1+1e-9) && f.Volume <= t.Most*(1+1e-9) {
		find(Exceeded, "over-full", "over-full: at %s the liquid takes %s and its maker allows %s", show.Temperature(*f.Hottest), show.Volume(hot), show.Volume(t.Most))
	}
}

// Moves returns the warning that belongs to a part-filled rigid tank; "" for
// any other fill.
func (f Fill) Moves(show quantity.System) string {
	if !f.Part() {
		return ""
	}
	return fmt.Sprintf("part-filled, %s of %s (%s): the liquid moves; its CG is where it comes to rest, and it surges when the load is picked up, swings or slows",
		show.Volume(f.Volume), show.Volume(f.Tank.Holds()), show.Percent(f.Volume/f.Tank.Holds()))
}
