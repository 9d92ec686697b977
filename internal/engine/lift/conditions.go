package lift

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
)

// Conditions are what a flight with a load is asked with: air and fuel at both
// ends, which hook each apex hangs on, and what of the load path the rig does
// not know.
type Conditions struct {
	Title    string
	Invented bool
	PickUp   End
	DropOff  End
	Flight   *float64 // s from pick-up to drop-off: the fuel at drop-off follows from the burn; nil: it is entered
	Home     float64  // s of flight from drop-off to where fuel is
	// Hooks are by apex of the rig; "" is the only one. An apex that is left out
	// hangs on the hook of its own name, or on the only one.
	Hooks   map[string]string
	Fitting Fitting
	// NotJettisoned is a load that cannot be jettisoned.
	NotJettisoned bool
	Extra         []Item  // aboard today, besides crew and kit
	Rigging       []Limit // beneath the hook, besides what the rig names: net, bag
}

// Fitting is what goes into the hook.
type Fitting struct {
	Kind string // of the apex fitting, as the aircraft's spacer rules name it; "" where not entered
	Ring
}

// HookOf returns the hook that an apex hangs on; ok is false where that is not
// entered and does not follow.
func (c *Conditions) HookOf(a *Aircraft, r *rig.Rig, apex string) (hook string, ok bool) {
	if id, entered := c.Hooks[apex]; entered {
		return id, true
	}
	if id, entered := c.Hooks[""]; entered && len(r.Apexes()) == 1 {
		return id, true
	}
	if _, same := a.Hook(apex); same {
		return apex, true
	}
	if len(r.Apexes()) == 1 && len(a.spec.Hooks) == 1 {
		return a.spec.Hooks[0].ID, true
	}
	return "", false
}

// Ask makes the question whether this aircraft can carry a rig as it hangs.
// What the rig's own limits say is part of the answer; only the rating of the
// hook is the aircraft's, so that it need not be in the rig file too.
func (c *Conditions) Ask(a *Aircraft, hung *rig.Answer) (Ask, []Problem) {
	q := Ask{
		Aircraft: a, PickUp: c.PickUp, DropOff: c.DropOff, NotJettisoned: c.NotJettisoned, Extra: c.Extra, Home: c.Home,
		Rigging: append(RiggingOf(hung), c.Rigging...), Also: standing(hung),
	}
	if c.Flight != nil {
		q.DropOff.Fuel = a.FuelAfter(q.PickUp.Fuel, *c.Flight)
	}
	var problems []Problem
	for _, apex := range slices.Sorted(maps.Keys(c.Hooks)) {
		if apex != "" && !slices.ContainsFunc(hung.Rig.Apexes(), func(x rig.Apex) bool { return x.ID == apex }) {
			problems = append(problems, Problem{"hooks." + apex, fmt.Sprintf("the rig has no apex %q", apex), "one of " + strings.Join(apexIDs(hung.Rig), ", ")})
		}
	}
	pulls := map[string]Vec{}
	for i := range hung.Apexes {
		apex := &hung.Apexes[i]
		id, ok := c.HookOf(a, hung.Rig, apex.ID)
		if !ok {
			problems = append(problems, Problem{"hooks", fmt.Sprintf("which hook apex %s hangs on is not entered", apex.ID), "one of the aircraft's hooks: " + strings.Join(hookIDs(a), ", ")})
			continue
		}
		if !slices.Contains(q.Hooks, id) {
			q.Hooks = append(q.Hooks, id)
		}
		sum := pulls[id]
		for k := range sum {
			sum[k] += apex.Force[k]
		}
		pulls[id] = sum
	}
	if len(problems) > 0 {
		return q, problems
	}
	if len(q.Hooks) > 1 {
		for _, id := range q.Hooks {
			// A hook on which nothing pulls has no share.
			if force := rig.Norm(pulls[id]); force > 0 {
				q.Shares = append(q.Shares, Share{id, force})
			}
		}
	}
	q.Load, _ = WeightOf(hung.Rig)
	for _, f := range c.Fits(a, hung.Rig) {
		switch f.Fit {
		case rig.Over:
			q.Also = append(q.Also, rig.Finding{Level: rig.Exceeded, Code: "does-not-fit", About: "hook " + f.Hook, Text: f.Text})
		case rig.CannotTell:
			q.Also = append(q.Also, rig.Finding{Level: rig.Unknown, Code: "fit-unknown", About: "hook " + f.Hook, Text: "whether the apex fitting fits it cannot be told: " + f.Text})
		}
	}
	return q, q.Check()
}

func apexIDs(r *rig.Rig) []string {
	var out []string
	for _, x := range r.Apexes() {
		out = append(out, x.ID)
	}
	return out
}

func hookIDs(a *Aircraft) []string {
	var out []string
	for _, h := range a.spec.Hooks {
		out = append(out, h.ID)
	}
	return out
}

// standing is what the rig's own result says, as findings.
func standing(hung *rig.Answer) []rig.Finding {
	switch hung.Result {
	case rig.Over, rig.DoesNotStand:
		return []rig.Finding{{Level: rig.Exceeded, Code: "rig-" + hung.Result.String(), About: "the rig as it hangs", Text: hung.Result.Words() + ": " + hung.Reason}}
	case rig.CannotTell:
		var open []string
		for _, f := range hung.Findings {
			if f.Level == rig.Unknown && !(f.Code == "limit-missing" && strings.HasPrefix(f.About, "hook")) {
				open = append(open, f.Text)
			}
		}
		switch len(open) {
		case 0: // only the hook's rating, which is the aircraft's
			return nil
		case 1:
			return []rig.Finding{{Level: rig.Unknown, Code: "rig-cannot-tell", About: "the rig as it hangs", Text: open[0]}}
		}
		return []rig.Finding{{Level: rig.Unknown, Code: "rig-cannot-tell", About: "the rig as it hangs", Text: fmt.Sprintf("%s (and %d more)", open[0], len(open)-1)}}
	}
	return nil
}

// Fit is how an apex fitting and the hook that it hangs on go together.
type Fit struct {
	Apex, Hook string
	Kind       string // of the apex fitting; "" where not entered
	Spacer     string // required, forbidden, not stated; "" where the kind is not entered
	Source     string // of the spacer rule
	Fit        rig.Result
	Text       string
}

// Fits holds the apex fitting against each hook that the rig hangs on.
func (c *Conditions) Fits(a *Aircraft, r *rig.Rig) []Fit {
	var out []Fit
	for _, apex := range r.Apexes() {
		id, _ := c.HookOf(a, r, apex.ID)
		h, ok := a.Hook(id)
		if !ok {
			continue
		}
		f := Fit{Apex: apex.ID, Hook: id, Kind: c.Fitting.Kind}
		f.Fit, f.Text = h.Fit(c.Fitting.Ring, a.spec.Show)
		if f.Kind != "" {
			f.Spacer = a.Spacer(f.Kind, id)
			for _, rule := range a.spec.Spacers {
				if rule.Apex == f.Kind && rule.Hook == id {
					f.Source = rule.Source
				}
			}
		}
		out = append(out, f)
	}
	return out
}

// Edge is how hot it may be at one end's altitude, and how high at its
// temperature, for the load still to be hovered with.
type Edge struct {
	End     End
	Gross   float64 // kg that has to be hovered with: aircraft, fuel, load with its tolerance, reductions
	Hottest float64 // K, at this end's pressure altitude
	Hot     HighestState
	Highest float64 // m, at this end's temperature
	High    HighestState
	Line    []Highest // over all temperatures of the table
	Err     error     // no table is entered
}

// Edges returns both ends' edges: steps is how finely the line is drawn between
// two temperatures of the table.
func Edges(q Ask, steps int) [2]Edge {
	var out [2]Edge
	for i, e := range []End{q.PickUp, q.DropOff} {
		x := Edge{End: e, Gross: q.operating(e.Fuel) + q.Load.Highest() + q.reduction()}
		x.Line, x.Err = Reach(q, e, steps)
		if x.Err == nil {
			table := q.Aircraft.spec.OGE
			if e.InGround {
				table = q.Aircraft.spec.IGE
			}
			x.Hottest, x.Hot = table.Hottest(x.Gross, e.PressureAltitude)
			h := table.highest(x.Gross, e.Temperature)
			x.Highest, x.High = h.Altitude, h.State
		}
		out[i] = x
	}
	return out
}

// Words says an edge as a person reads it.
func (e *Edge) Words(show quantity.System) (hottest, highest string) {
	at := func(state HighestState, value, never string) string {
		switch state {
		case Crossing:
			return "up to " + value
		case Beyond:
			return "to the edge of the table, " + value
		case Never:
			return never
		}
		return "cannot tell: the table has no figure on the way"
	}
	if e.Err != nil {
		return "cannot tell: no hover table is entered", "cannot tell: no hover table is entered"
	}
	return at(e.Hot, show.Temperature(e.Hottest), "not at any temperature of the table"), at(e.High, altitude(show, e.Highest), "not at any altitude of the table")
}

// Altitude writes a pressure altitude as people read it off an altimeter: in
// whole ft, with the metres before it where metres are shown.
func Altitude(show quantity.System, m float64) string { return altitude(show, m) }
