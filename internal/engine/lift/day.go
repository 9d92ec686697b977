package lift

import (
	"fmt"
	"math"
	"strings"

	"hangtrue/internal/engine/rig"
)

// Day is a day's work for one aircraft: loads that wait, where they go, the air
// there hour by hour, distances, speeds and fuel.
type Day struct {
	Aircraft *Aircraft
	Places   []Place
	Distance [][]float64 // m, from place to place by their index
	Start    int         // index of the place where the aircraft stands
	Fuel     float64     // kg at the start
	// FuelTo are the fills that may be chosen when fuel is taken, kg aboard; a
	// lower one lifts more. None: no fuel is taken.
	FuelTo  []float64
	Empty   float64 // m/s over ground, without a load
	Loaded  float64 // m/s, with one
	HookUp  float64 // s for each lift
	SetDown float64 // s for each load set down
	Refuel  float64 // s each time
	Until   float64 // s from the start by which the last load must be down; 0: no end
	Lifts   []Waiting
}

// Place is a place of the day.
type Place struct {
	ID    string
	Fuel  bool   // fuel can be taken here
	Hours []Hour // in the order of their time; the first holds from the start
}

// Hour is the air at a place from a time on.
type Hour struct {
	From             float64 // s from the day's start
	PressureAltitude float64 // m
	Temperature      float64 // K
}

// Waiting is what is to be lifted in one go: one load, or several on several
// hooks, set down in the order of the list.
type Waiting struct {
	ID    string
	From  int // index of the place
	Loads []Load
}

// Load is one load of a lift.
type Load struct {
	ID        string
	Weight    Weight
	To        int // index of the place
	Hook      string
	Rigging   []Limit
	Equipment []Equipment
}

// Way is how a piece of equipment comes home.
type Way string

// The ways.
const (
	Stays   Way = "stays"   // it is left there
	Inside  Way = "inside"  // it comes back in the cabin
	OnHook  Way = "on hook" // it is flown back on the hook, empty
	Unnamed Way = ""        // nobody said
)

// Equipment is a net, line or sling set that goes out with a load.
type Equipment struct {
	What     string
	Mass     float64 // kg, part of the load's weight
	Home     Way
	Swivel   bool    // has a swivel above it on the way home
	Weighted float64 // kg hung beneath it on the way home
}

// Check returns everything that is wrong with the day.
func (d *Day) Check() []Problem {
	var out []Problem
	add := func(path, hint, format string, args ...any) {
		out = append(out, Problem{path, fmt.Sprintf(format, args...), hint})
	}
	place := func(path string, i int) {
		if i < 0 || i >= len(d.Places) {
			add(path, "one of the day's places", "there is no place number %d", i+1)
		}
	}
	if len(d.Distance) != len(d.Places) {
		add("distances", "one from each place to each", "distances from %d of %d places", len(d.Distance), len(d.Places))
	}
	for i, row := range d.Distance {
		if len(row) != len(d.Places) {
			add(fmt.Sprintf("distances[%d]", i), "one from each place to each", "distances to %d of %d places", len(row), len(d.Places))
		}
		for k, x := range row {
			if !(x >= 0) || math.IsInf(x, 0) || i == k && x != 0 {
				add(fmt.Sprintf("distances[%d][%d]", i, k), "zero to itself, otherwise not negative", "a distance of %g m cannot be", x)
			}
		}
	}
	for i, p := range d.Places {
		if len(p.Hours) == 0 {
			add(fmt.Sprintf("places[%d].hours", i), "pressure altitude and temperature at least once", "the air at %s is not entered", p.ID)
		}
		for k := 1; k < len(p.Hours); k++ {
			if p.Hours[k].From <= p.Hours[k-1].From {
				add(fmt.Sprintf("places[%d].hours[%d]", i, k), "the earliest first", "the hours at %s are not in order", p.ID)
			}
		}
	}
	place("start", d.Start)
	for name, x := range map[string]float64{"speed.empty": d.Empty, "speed.loaded": d.Loaded} {
		if !(x > 0) {
			add(name, "over ground", "the aircraft must move")
		}
	}
	for name, x := range map[string]float64{"times.hook-up": d.HookUp, "times.set-down": d.SetDown, "times.refuel": d.Refuel, "until": d.Until, "fuel": d.Fuel} {
		if !(x >= 0) {
			add(name, "", "%s cannot be negative", name)
		}
	}
	for i, x := range append([]float64{d.Fuel}, d.FuelTo...) {
		if x > d.Aircraft.spec.Fuel.Capacity*(1+1e-9) {
			add("fuel", fmt.Sprintf("at most %.0f kg", d.Aircraft.spec.Fuel.Capacity), "fill number %d of %.0f kg does not go into the tanks", i, x)
		}
	}
	if d.Aircraft.spec.Fuel.Reserve == nil {
		add("aircraft.fuel.reserve", "in kg, or as a time", "a day cannot be planned without a fuel reserve")
	}
	ids := map[string]bool{}
	for i, w := range d.Lifts {
		at := fmt.Sprintf("lifts[%d]", i)
		if ids[w.ID] {
			add(at+".id", "give each lift an id of its own", "there are two lifts %q", w.ID)
		}
		ids[w.ID] = true
		place(at+".from", w.From)
		if len(w.Loads) == 0 {
			add(at+".loads", "at least one", "lift %s carries nothing", w.ID)
		}
		for k, l := range w.Loads {
			place(fmt.Sprintf("%s.loads[%d].to", at, k), l.To)
			if _, ok := d.Aircraft.Hook(l.Hook); !ok {
				add(fmt.Sprintf("%s.loads[%d].hook", at, k), "one of the aircraft's hooks", "there is no hook %q", l.Hook)
			}
			for _, p := range l.Weight.Check() {
				p.Path = fmt.Sprintf("%s.loads[%d].%s", at, k, p.Path)
				out = append(out, p)
			}
		}
	}
	return sorted(out)
}

// air returns the air at a place at a time.
func (d *Day) air(place int, at float64) Hour {
	hours := d.Places[place].Hours
	now := hours[0]
	for _, h := range hours {
		if h.From <= at {
			now = h
		}
	}
	return now
}

// now is where the aircraft is, when, and with how much fuel.
type now struct {
	place int
	time  float64
	fuel  float64
}

// Stage is one piece of the day's timeline.
type Stage struct {
	What     string // fly, refuel, hook up, carry, set down
	Lift     string // "" between lifts
	Load     string
	From, To string
	Begin    float64 // s from the start
	End      float64
	FuelEnd  float64 // kg
	Margin   float64 // kg to spare beneath the limit that allows least, for hook up and set down; NaN otherwise
	Governs  string
}

// Trip is one lift flown.
type Trip struct {
	Lift   string
	Stages []Stage
}

// refused is why a lift cannot be flown from where the aircraft is.
type refused struct {
	result rig.Result
	why    string
}

// What the two hovers of a lift are called.
const (
	hookUp  = "hook up"
	setDown = "set down"
)

// noFuel stands for a trip without taking fuel first.
const noFuel = -1

// fly flies one lift: fuel first where a fill is given, then to its pick-up, up
// with everything, and each load to its place. Every hover is held against all
// limits with the fuel and the air of its time, and every landing must find the
// reserve left, the last with the way to fuel on top. Nobody waits for cooler air.
func (d *Day) fly(from now, w *Waiting, fillTo float64, record *Trip) (now, *refused) {
	f := flight{d: d, now: from, w: w, record: record}
	reserve := *d.Aircraft.spec.Fuel.Reserve
	if fillTo != noFuel {
		station, ok := d.station(f.now.place, w.From)
		if !ok {
			return from, &refused{rig.Over, "there is no place with fuel"}
		}
		f.move("fly", station, d.Empty)
		if f.now.fuel < reserve-1e-9 {
			return from, &refused{rig.Over, "the reserve is broken into on the way to fuel"}
		}
		if fillTo <= f.now.fuel {
			return from, &refused{rig.Over, "there is already as much fuel aboard"}
		}
		f.now.fuel = fillTo
		f.now.time += d.Refuel
		f.note("refuel", d.Refuel, nil, "")
	}
	f.move("fly", w.From, d.Empty)
	if f.now.fuel < reserve-1e-9 {
		return from, &refused{rig.Over, "the reserve is broken into before pick-up"}
	}
	if r := f.hover(hookUp, 0, d.HookUp); r != nil {
		return from, r
	}
	for k := range w.Loads {
		f.move("carry", w.Loads[k].To, d.Loaded)
		if r := f.hover(setDown, k, d.SetDown); r != nil {
			return from, r
		}
	}
	if home, ok := d.station(f.now.place, f.now.place); ok {
		left := d.Aircraft.FuelAfter(f.now.fuel, d.Distance[f.now.place][home]/d.Empty)
		if left < reserve-1e-9 {
			return from, &refused{rig.Over, fmt.Sprintf("%.0f kg of fuel would be left on reaching fuel again, and the reserve is %.0f kg", math.Max(0, left), reserve)}
		}
	} else if f.now.fuel < reserve-1e-9 {
		return from, &refused{rig.Over, "the reserve is broken into"}
	}
	if d.Until > 0 && f.now.time > d.Until+1e-9 {
		return from, &refused{rig.Over, "it would be down too late"}
	}
	return f.now, nil
}

// station returns the place with fuel that lies best on the way between two
// places.
func (d *Day) station(from, to int) (int, bool) {
	best, found := 0, false
	way := func(i int) float64 { return d.Distance[from][i] + d.Distance[i][to] }
	for i, p := range d.Places {
		if p.Fuel && (!found || way(i) < way(best)) {
			best, found = i, true
		}
	}
	return best, found
}

// flight is a trip being flown.
type flight struct {
	d      *Day
	w      *Waiting
	now    now
	record *Trip // nil: nobody wants the timeline
}

func (f *flight) move(what string, to int, speed float64) {
	if to == f.now.place {
		return
	}
	took := f.d.Distance[f.now.place][to] / speed
	from := f.now.place
	f.now = now{to, f.now.time + took, f.d.Aircraft.FuelAfter(f.now.fuel, took)}
	if f.record != nil {
		s := f.stage(what, took)
		s.From, s.To = f.d.Places[from].ID, f.d.Places[to].ID
		f.record.Stages = append(f.record.Stages, s)
	}
}

func (f *flight) stage(what string, took float64) Stage {
	at := f.d.Places[f.now.place].ID
	return Stage{What: what, Lift: f.w.ID, From: at, To: at, Begin: f.now.time - took, End: f.now.time, FuelEnd: f.now.fuel, Margin: math.NaN()}
}

func (f *flight) note(what string, took float64, a *Answer, load string) {
	if f.record == nil {
		return
	}
	s := f.stage(what, took)
	s.Load = load
	if a != nil && a.Governing >= 0 {
		s.Margin, s.Governs = a.Margin, a.Allowed[a.Governing].What
	}
	f.record.Stages = append(f.record.Stages, s)
}

// hover holds all loads from number first on, which hang, against the limits
// here and now, and then spends the time.
func (f *flight) hover(what string, first int, took float64) *refused {
	loads := f.w.Loads[first:]
	h := f.d.air(f.now.place, f.now.time)
	e := End{Place: f.d.Places[f.now.place].ID, PressureAltitude: h.PressureAltitude, Temperature: h.Temperature, Fuel: f.now.fuel}
	ask := Ask{Aircraft: f.d.Aircraft, PickUp: e, DropOff: e, Load: Weight{Known: loads[0].Weight.Known}}
	var names []string
	for _, l := range loads {
		ask.Load.Mass += l.Weight.Mass
		ask.Load.Band += l.Weight.Band
		names = append(names, l.ID)
	}
	ask.Hooks, ask.Rigging = hooksOf(loads), nil
	if len(loads) == 1 {
		ask.Rigging = loads[0].Rigging
	}
	a, problems := Carry(ask)
	if len(problems) > 0 {
		return &refused{rig.Over, problems[0].Error()}
	}
	if a.Result != rig.Within {
		// Both ends of the question are this one hover.
		reason := a.Reason
		for _, end := range []string{"pick-up " + e.Place, "pick-up", "drop-off " + e.Place, "drop-off", bothEnds} {
			reason = strings.TrimPrefix(reason, end+": ")
		}
		return &refused{a.Result, e.Place + ": " + reason}
	}
	if len(f.w.Loads) > 1 {
		for _, l := range loads {
			if r := f.alone(l); r != nil {
				return r
			}
		}
		if r := f.balanced(loads); r != nil {
			return r
		}
	}
	f.now.time += took
	f.now.fuel = f.d.Aircraft.FuelAfter(f.now.fuel, took)
	label := names[0]
	if what == hookUp {
		label = strings.Join(names, ", ")
	}
	f.note(what, took, a, label)
	return nil
}

// alone holds one of several loads against its own hook and rigging.
func (f *flight) alone(l Load) *refused {
	hook, _ := f.d.Aircraft.Hook(l.Hook)
	for _, limit := range append([]Limit{{What: "hook " + l.Hook, Rated: hook.Rated}}, l.Rigging...) {
		switch {
		case limit.Rated == nil:
			return &refused{rig.CannotTell, fmt.Sprintf("load %s: %s: no rating is entered", l.ID, limit.What)}
		case l.Weight.Highest()*gravity > *limit.Rated*(1+1e-9):
			return &refused{rig.Over, fmt.Sprintf("load %s: it weighs more than %s allows", l.ID, limit.What)}
		}
	}
	return nil
}

// balanced holds the aircraft's CG with several loads against its limits. Where
// the limits or a place are not entered the plan says so with the lift.
func (f *flight) balanced(loads []Load) *refused {
	if f.d.Aircraft.spec.Balance == nil {
		return nil
	}
	for _, x := range f.d.Aircraft.hanging(hungOf(loads), nil, f.now.fuel).Findings {
		if x.Level == rig.Exceeded && x.About == aboutCG {
			return &refused{rig.Over, fmt.Sprintf("%s: the aircraft's CG %s", f.d.Places[f.now.place].ID, x.Text)}
		}
	}
	return nil
}

func hungOf(loads []Load) []Hung {
	var out []Hung
	for _, l := range loads {
		out = append(out, Hung{l.ID, l.Hook, l.Weight.Mass})
	}
	return out
}

func hooksOf(loads []Load) []string {
	var ids []string
	seen := map[string]bool{}
	for _, l := range loads {
		if !seen[l.Hook] {
			seen[l.Hook] = true
			ids = append(ids, l.Hook)
		}
	}
	return ids
}
