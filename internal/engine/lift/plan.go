package lift

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
)

const gravity = quantity.StandardGravity

// mostTried is how many trips a plan tries before it settles for the best day
// found: a few seconds' worth.
const mostTried = 400_000

// Plan is a day as planned. Most lifts come first; among those days the one
// that is done soonest.
type Plan struct {
	Trips    []Trip
	Hangings [][]Hanging // for each trip the aircraft with all its loads, and after each set-down
	Left     []LeftOver
	Finished float64 // s from the start, when the last load is down
	// Proved is true where every other order was ruled out. Otherwise the search
	// stopped at its bound and a better day may exist.
	Proved    bool
	Equipment []EquipmentHome
	Findings  []rig.Finding
}

// LeftOver is a lift that the plan leaves out, and why.
type LeftOver struct {
	Lift   string
	Result rig.Result // over: it cannot be lifted so; cannot tell: something is missing; within: only time or fuel of this day ran out
	Why    string
}

// EquipmentHome is a piece of equipment and how it comes back.
type EquipmentHome struct {
	Lift, Load string
	Equipment  Equipment
	Place      string // where it goes
}

// PlanDay plans a day: which lift when, fuel taken to which fill and when.
// Every hover of it keeps within every limit entered; a lift for which
// something is missing is left over and says so. It returns problems instead
// where the day itself is wrong.
func PlanDay(d *Day) (*Plan, []Problem) { return planDay(d, mostTried) }

func planDay(d *Day, most int) (*Plan, []Problem) {
	if problems := d.Check(); len(problems) > 0 {
		return nil, problems
	}
	s := search{d: d, fills: append([]float64{noFuel}, d.FuelTo...), left: most, best: day{finished: math.Inf(1)}}
	s.done = make([]bool, len(d.Lifts))
	s.from(now{d.Start, 0, d.Fuel}, day{})
	p := &Plan{Proved: s.left > 0, Finished: s.best.finished}
	at := now{d.Start, 0, d.Fuel}
	flown := make([]bool, len(d.Lifts))
	for _, step := range s.best.steps {
		trip := Trip{Lift: d.Lifts[step.lift].ID}
		next, r := d.fly(at, &d.Lifts[step.lift], step.fill, &trip)
		if r != nil {
			panic("lift: a planned trip cannot be flown: " + r.why)
		}
		at, flown[step.lift] = next, true
		p.Trips = append(p.Trips, trip)
		p.Hangings = append(p.Hangings, d.hangings(&d.Lifts[step.lift], trip))
	}
	if len(p.Trips) == 0 {
		p.Finished = 0
	}
	for i := range d.Lifts {
		if flown[i] {
			p.equipment(d, &d.Lifts[i])
			continue
		}
		p.Left = append(p.Left, d.leftOver(&d.Lifts[i], s.fills))
	}
	return p, nil
}

// hangings returns the aircraft over a trip: with all loads as the hook-up
// ends, and after each set-down.
func (d *Day) hangings(w *Waiting, t Trip) []Hanging {
	var fuel []float64
	for _, s := range t.Stages {
		if s.What == hookUp || s.What == setDown {
			fuel = append(fuel, s.FuelEnd)
		}
	}
	out, err := d.Aircraft.SetDowns(hungOf(w.Loads), fuel)
	if err != nil {
		panic("lift: a planned trip has other stages than its loads: " + err.Error())
	}
	return out
}

type step struct {
	lift int
	fill float64
}

type day struct {
	steps    []step
	finished float64
}

type search struct {
	d     *Day
	fills []float64
	done  []bool
	best  day
	left  int
}

// from tries every lift that is not done, with and without taking fuel first,
// soonest finished first, and goes on from there. Days that cannot come out
// better than the best are cut off.
func (s *search) from(at now, so day) {
	if better(so, s.best) {
		s.best = day{slices.Clone(so.steps), so.finished}
	}
	waiting := len(s.done) - len(so.steps)
	if waiting == 0 || len(so.steps)+waiting < len(s.best.steps) ||
		len(so.steps)+waiting == len(s.best.steps) && at.time >= s.best.finished {
		return
	}
	type way struct {
		step
		then now
	}
	var ways []way
	for i := range s.done {
		if s.done[i] {
			continue
		}
		for _, fill := range s.fills {
			if s.left <= 0 {
				return
			}
			s.left--
			if then, r := s.d.fly(at, &s.d.Lifts[i], fill, nil); r == nil {
				ways = append(ways, way{step{i, fill}, then})
			}
		}
	}
	slices.SortStableFunc(ways, func(a, b way) int { return cmp.Compare(a.then.time, b.then.time) })
	for _, w := range ways {
		s.done[w.lift] = true
		s.from(w.then, day{append(so.steps[:len(so.steps):len(so.steps)], w.step), w.then.time})
		s.done[w.lift] = false
	}
}

func better(a, b day) bool {
	if len(a.steps) != len(b.steps) {
		return len(a.steps) > len(b.steps)
	}
	return a.finished < b.finished
}

// leftOver says why a lift is left out: tried first thing in the day, with
// every fill.
func (d *Day) leftOver(w *Waiting, fills []float64) LeftOver {
	out := LeftOver{Lift: w.ID, Result: rig.Over}
	for i, fill := range fills {
		_, r := d.fly(now{d.Start, 0, d.Fuel}, w, fill, nil)
		switch {
		case r == nil:
			out.Result, out.Why = rig.Within, "it could be lifted by itself; it finds no place in this day's time, fuel and air"
			return out
		case i == 0 || r.result == rig.CannotTell && out.Result == rig.Over:
			out.Result, out.Why = r.result, r.why
		}
	}
	return out
}

// equipment lists what goes out with a lift and how it comes home.
func (p *Plan) equipment(d *Day, w *Waiting) {
	show := d.Aircraft.spec.Show
	for _, l := range w.Loads {
		for _, e := range l.Equipment {
			p.Equipment = append(p.Equipment, EquipmentHome{w.ID, l.ID, e, d.Places[l.To].ID})
			about := fmt.Sprintf("%s of load %s", e.What, l.ID)
			find := func(level rig.Level, code, text string) {
				p.Findings = append(p.Findings, rig.Finding{Level: level, Code: code, About: about, Text: text})
			}
			switch {
			case e.Home == Unnamed:
				find(rig.Unknown, "way-home-missing", "how it comes home from "+d.Places[l.To].ID+" is not entered")
			case e.Home == OnHook && (!e.Swivel || e.Weighted <= 0):
				find(rig.Unknown, "flown-back-light", "flown back empty on the hook it needs a swivel above it and a weight beneath it, or it flies up into the rotors; enter swivel: and weighted: (common practice, no source)")
			case e.Home == OnHook:
				find(rig.Note, "flown-back", "flown back on the hook with a swivel and "+show.Mass(e.Weighted)+" beneath it")
			}
		}
	}
}

// Rows returns the plan's timeline as a table with a heading, for a file of
// comma-separated values. Times are minutes from the start.
func (p *Plan) Rows(show quantity.System) [][]string {
	rows := [][]string{{"lift", "what", "load", "from", "to", "begin min", "end min", "fuel at end", "to spare", "governs"}}
	minutes := func(s float64) string { return fmt.Sprintf("%.1f", s/quantity.Minute) }
	for _, t := range p.Trips {
		for _, s := range t.Stages {
			spare := ""
			if !math.IsNaN(s.Margin) {
				spare = show.Mass(s.Margin)
			}
			rows = append(rows, []string{t.Lift, s.What, s.Load, s.From, s.To, minutes(s.Begin), minutes(s.End), show.Mass(s.FuelEnd), spare, s.Governs})
		}
	}
	return rows
}

func sorted(problems []Problem) []Problem {
	slices.SortFunc(problems, func(a, b Problem) int { return cmp.Or(cmp.Compare(a.Path, b.Path), cmp.Compare(a.Text, b.Text)) })
	return problems
}
