package lift

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
)

// Limit is what a sling, net, bag or pendant of the load may carry.
type Limit struct {
	What   string
	Rated  *float64 // N, of the whole load; nil: not entered
	Source string
	Text   string // how Rated comes about where it is not what is marked on the part
}

// Share is what one of several hooks carries of the load.
type Share struct {
	Hook  string
	Force float64 // N
}

// End is one end of the flight: where and in what air the aircraft hovers, and
// with how much fuel.
type End struct {
	Place            string
	PressureAltitude float64 // m
	Temperature      float64 // K
	Fuel             float64 // kg
	InGround         bool    // hovers in ground effect: the IGE table holds
}

// FuelAfter returns what is left of the fuel after so many seconds, kg; it may
// be less than nothing.
func (a *Aircraft) FuelAfter(fuel, seconds float64) float64 { return fuel - a.spec.Fuel.Burn*seconds }

// Ask is the question whether an aircraft can lift a load.
type Ask struct {
	Aircraft *Aircraft
	Load     Weight
	Hooks    []string // the hooks that it hangs on; several share it
	Shares   []Share  // how several hooks share it; none: only what they may carry together counts
	Rigging  []Limit  // of the load path beneath the hook: sling set, net, bag …
	PickUp   End
	DropOff  End
	// NotJettisoned is a load that cannot be jettisoned: fixed reductions for
	// such loads hold.
	NotJettisoned bool
	Extra         []Item  // aboard today, besides crew and kit
	Home          float64 // s of flight from drop-off to where fuel is
	// Also is what is known of the load besides: that its rig is over a limit,
	// or cannot be told.
	Also []rig.Finding
}

// Allowed is one limit at one end, as the load that it allows.
type Allowed struct {
	End    string // where; "both ends" for a limit of the rigging
	What   string // hover performance, external gross weight, hook belly …
	Load   float64
	Known  bool   // false: cannot tell, and Text says what is missing
	Text   string // how it comes about, in people's units
	Source string
}

// Answer says what the aircraft can carry. It is never a clearance.
type Answer struct {
	Allowed   []Allowed
	Governing int     // index in Allowed of the known limit that allows least; −1 where none is known
	Margin    float64 // kg, what the governing limit allows beyond the load; NaN where none is known
	TakeOff   float64 // kg to take off the load, or out of the aircraft, to go now; 0 where nothing
	Ends      [2]EndAnswer
	Findings  []rig.Finding
	Result    rig.Result
	Reason    string
}

// Order returns the places in Allowed, the limit that allows least first, limits
// that cannot be told last.
func (a *Answer) Order() []int {
	order := make([]int, len(a.Allowed))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, k int) int {
		switch u, v := a.Allowed[i], a.Allowed[k]; {
		case u.Known && v.Known:
			return cmp.Compare(u.Load, v.Load)
		case u.Known:
			return -1
		case v.Known:
			return 1
		}
		return 0
	})
	return order
}

// EndAnswer is what the aircraft weighs at one end.
type EndAnswer struct {
	End       End
	Operating float64 // kg, with fuel and extras, without the load
	Gross     float64 // kg, with the load
	Hover     float64 // kg, from the table, less fixed reductions; NaN where it gives none
	CG        *Vec    // of the aircraft with the load at its hooks; nil where a place or a hook's share is not entered
}

// Check returns what is wrong with the question itself.
func (q Ask) Check() []Problem {
	out := q.Load.Check()
	for i := range out {
		out[i].Path = "load." + out[i].Path
	}
	add := func(path, hint, format string, args ...any) {
		out = append(out, Problem{path, fmt.Sprintf(format, args...), hint})
	}
	if len(q.Hooks) == 0 {
		add("hooks", "one of the aircraft's hooks", "the load hangs on no hook")
	}
	for i, id := range q.Hooks {
		if _, ok := q.Aircraft.Hook(id); !ok {
			add(fmt.Sprintf("hooks[%d]", i), "one of the aircraft's hooks", "there is no hook %q", id)
		}
	}
	for i, x := range q.Shares {
		if !slices.Contains(q.Hooks, x.Hook) || !(x.Force > 0) {
			add(fmt.Sprintf("shares[%d]", i), "a pull above zero on one of the hooks that the load hangs on", "a share of %g N on hook %q cannot be", x.Force, x.Hook)
		}
	}
	capacity := q.Aircraft.spec.Fuel.Capacity
	for name, e := range map[string]End{"pick-up": q.PickUp, "drop-off": q.DropOff} {
		if !(e.Fuel >= 0 && e.Fuel <= capacity*(1+1e-9)) {
			hint := fmt.Sprintf("from 0 kg to %.0f kg", capacity)
			if e.Fuel < 0 {
				hint = "the flight burns more than there is: more fuel, or less distance"
			}
			add(name+".fuel", hint, "%.0f kg of fuel do not go into the tanks", e.Fuel)
		}
	}
	if q.DropOff.Fuel > q.PickUp.Fuel {
		add("drop-off.fuel", "less than at pick-up by what the flight burns", "more fuel at drop-off than at pick-up")
	}
	slices.SortFunc(out, func(a, b Problem) int { return strings.Compare(a.Path, b.Path) })
	return out
}

// Carry answers whether the aircraft can carry the load, against every limit
// entered. It returns problems instead where the question itself is wrong.
func Carry(q Ask) (*Answer, []Problem) {
	if problems := q.Check(); len(problems) > 0 {
		return nil, problems
	}
	c := carrier{q: q, show: q.Aircraft.spec.Show, a: &Answer{Governing: -1, Margin: math.NaN(), Findings: slices.Clone(q.Also)}}
	for i, e := range []End{q.PickUp, q.DropOff} {
		c.end(i, e)
	}
	c.slips()
	c.hooks()
	for _, l := range q.Rigging {
		if l.Text != "" && l.Rated != nil {
			c.allow(bothEnds, l.What, *l.Rated/quantity.StandardGravity, l.Source, "%s", l.Text)
			continue
		}
		c.rated(l.What, l.Rated, l.Source)
	}
	c.balance()
	c.reserve()
	c.conclude()
	return c.a, nil
}

type carrier struct {
	q    Ask
	show quantity.System
	a    *Answer
}

func (c *carrier) allow(end, what string, load float64, source, format string, args ...any) {
	c.a.Allowed = append(c.a.Allowed, Allowed{end, what, load, true, fmt.Sprintf(format, args...), source})
}

func (c *carrier) unknown(end, what, format string, args ...any) {
	c.a.Allowed = append(c.a.Allowed, Allowed{End: end, What: what, Load: math.NaN(), Text: fmt.Sprintf(format, args...)})
}

func (c *carrier) find(level rig.Level, code, about, format string, args ...any) {
	c.a.Findings = append(c.a.Findings, rig.Finding{Level: level, Code: code, About: about, Text: fmt.Sprintf(format, args...)})
}

// slips says of each hover table that is used that figures of it look like
// typing slips: the answer is no better than the table.
func (c *carrier) slips() {
	said := map[*Table]bool{}
	for _, e := range []End{c.q.PickUp, c.q.DropOff} {
		table, what := c.q.Aircraft.hover(e)
		if table == nil || said[table] {
			continue
		}
		said[table] = true
		var first string
		n := 0
		for _, x := range table.Slips(what, c.show) {
			if x.Row < 0 {
				continue // a hole, which the answer names where it matters
			}
			if n++; n == 1 {
				first = x.Text
			}
		}
		switch {
		case n == 1:
			c.find(rig.Note, "table-may-have-slips", what, "a figure of its table may be a typing slip: %s", first)
		case n > 1:
			c.find(rig.Note, "table-may-have-slips", what, "%d figures of its table may be typing slips; the first: %s", n, first)
		}
	}
}

// hover returns the hover table that holds at an end, nil where none is entered,
// and what it is called.
func (a *Aircraft) hover(e End) (*Table, string) {
	if e.InGround {
		return a.spec.IGE, "hover in ground effect"
	}
	return a.spec.OGE, "hover out of ground effect"
}

// operating returns the aircraft's mass without its load, kg.
func (q *Ask) operating(fuel float64) float64 {
	m := q.Aircraft.Operating() + fuel
	for _, it := range q.Extra {
		m += it.Mass
	}
	return m
}

// reduction returns the fixed reductions that hold, kg.
func (q *Ask) reduction() float64 {
	m := 0.0
	for _, r := range q.Aircraft.spec.Reductions {
		if !r.NotJettisoned || q.NotJettisoned {
			m += r.Mass
		}
	}
	return m
}

// end holds the load against what the aircraft can hover with and may weigh at
// one end.
func (c *carrier) end(i int, e End) {
	s, show := &c.q.Aircraft.spec, c.show
	operating := c.q.operating(e.Fuel)
	ans := EndAnswer{End: e, Operating: operating, Gross: operating + c.q.Load.Mass, Hover: math.NaN()}
	name := []string{"pick-up", "drop-off"}[i]
	if e.Place != "" {
		name += " " + e.Place
	}
	table, what := c.q.Aircraft.hover(e)
	if table == nil {
		c.unknown(name, what, "no hover table is entered")
	} else if m, err := table.At(e.PressureAltitude, e.Temperature); err != nil {
		c.unknown(name, what, "%s", err)
	} else {
		less := c.q.reduction()
		ans.Hover = m - less
		text := fmt.Sprintf("%s from the table at %s and %s", show.Mass(m), altitude(show, e.PressureAltitude), show.Temperature(e.Temperature))
		if less > 0 {
			text += ", less fixed reductions of " + show.Mass(less)
		}
		c.allow(name, what, m-less-operating, table.Source, "%s, less %s of aircraft and fuel", text, show.Mass(operating))
	}
	if s.External == nil {
		c.unknown(name, "external gross weight", "no gross weight limit with an external load is entered")
	} else {
		c.allow(name, "external gross weight", *s.External-operating, s.Source.String(), "limit %s, less %s of aircraft and fuel", show.Mass(*s.External), show.Mass(operating))
	}
	// The aircraft must not weigh too much without its load either.
	if s.Gross != nil && operating > *s.Gross*(1+1e-9) {
		c.find(rig.Exceeded, "gross-weight", name, "without the load it weighs %s, more than the %s allowed", show.Mass(operating), show.Mass(*s.Gross))
	}
	c.a.Ends[i] = ans
}

const bothEnds = "both ends"

func (c *carrier) rated(what string, rated *float64, source string) {
	if rated == nil {
		c.unknown(bothEnds, what, "no rating is entered")
		return
	}
	load := *rated / quantity.StandardGravity
	c.allow(bothEnds, what, load, source, "rated %s", c.show.Mass(load))
}

// hooks holds the load against the hooks. How several hooks share a load is for
// the hanging of the rig to say: with the shares each is held against its own
// rating, as if its share stayed the same as the load grows. What they may carry
// together counts in any case, and without that figure the answer is cannot
// tell.
func (c *carrier) hooks() {
	s := &c.q.Aircraft.spec
	if len(c.q.Hooks) == 1 {
		h, _ := c.q.Aircraft.Hook(c.q.Hooks[0])
		c.rated("hook "+h.ID, h.Rated, s.Source.String())
		return
	}
	for _, x := range c.q.Shares {
		h, _ := c.q.Aircraft.Hook(x.Hook)
		what := "hook " + h.ID + ", its share"
		if h.Rated == nil {
			c.unknown(bothEnds, what, "no rating is entered")
			continue
		}
		share := x.Force / (c.q.Load.Mass * quantity.StandardGravity)
		c.allow(bothEnds, what, *h.Rated/quantity.StandardGravity/share, s.Source.String(), "rated %s, and it carries %s of the load", c.show.Mass(*h.Rated/quantity.StandardGravity), c.show.Percent(share))
	}
	what := "hooks " + strings.Join(c.q.Hooks, " and ") + " together"
	if r := s.together(c.q.Hooks); r != nil {
		c.rated(what, &r.Rated, s.Source.String())
		return
	}
	c.unknown(bothEnds, what, "what these hooks may carry together is not entered")
}

// together returns the rule for exactly these hooks.
func (s *Spec) together(hooks []string) *Together {
	for i := range s.Together {
		t := &s.Together[i]
		if len(t.Hooks) == len(hooks) && !slices.ContainsFunc(hooks, func(id string) bool { return !slices.Contains(t.Hooks, id) }) {
			return t
		}
	}
	return nil
}

// balance holds the aircraft's CG with its load against the limits entered, at
// both ends.
func (c *carrier) balance() {
	var hung []Hung
	switch {
	case len(c.q.Hooks) == 1:
		hung = []Hung{{"load", c.q.Hooks[0], c.q.Load.Mass}}
	case len(c.q.Shares) == 0:
		return
	}
	for _, x := range c.q.Shares {
		hung = append(hung, Hung{"load", x.Hook, x.Force / quantity.StandardGravity})
	}
	limits, show := c.q.Aircraft.spec.Balance, c.show
	for i := range c.a.Ends {
		e := &c.a.Ends[i]
		h := c.q.Aircraft.hanging(hung, c.q.Extra, e.End.Fuel)
		e.CG = h.CG
		if limits == nil || h.CG == nil {
			continue // the flight manual may give other limits; named where they are printed
		}
		if x := h.CG[0]; x < limits[0]-1e-9 || x > limits[1]+1e-9 {
			c.find(rig.Exceeded, "aircraft-cg", []string{"pick-up", "drop-off"}[i], "the aircraft's CG with the load lies at %s, and %s to %s are allowed", show.Length(x), show.Length(limits[0]), show.Length(limits[1]))
		}
	}
}

func (c *carrier) reserve() {
	s := &c.q.Aircraft.spec
	left := c.q.Aircraft.FuelAfter(c.q.DropOff.Fuel, c.q.Home)
	where := "at drop-off"
	if c.q.Home > 0 {
		where = "after the flight home"
	}
	switch {
	case s.Fuel.Reserve == nil:
		c.find(rig.Unknown, "reserve-missing", "fuel", "no fuel reserve is entered")
	case left < *s.Fuel.Reserve*(1-1e-9):
		c.find(rig.Exceeded, "no-reserve", "fuel", "%s %s of fuel are left, and the reserve is %s", where, c.show.Mass(math.Max(0, left)), c.show.Mass(*s.Fuel.Reserve))
	}
}

func (c *carrier) conclude() {
	a, load, show := c.a, c.q.Load, c.show
	for i, x := range a.Allowed {
		if x.Known && (a.Governing < 0 || x.Load < a.Allowed[a.Governing].Load) {
			a.Governing = i
		}
		if !x.Known {
			c.find(rig.Unknown, "limit-missing", x.End, "%s: %s", x.What, x.Text)
		}
	}
	if a.Governing >= 0 {
		g := a.Allowed[a.Governing]
		a.Margin = g.Load - load.Mass
		switch hair := 1e-9 * load.Mass; {
		case a.Margin < -hair:
			a.TakeOff = -a.Margin
			c.find(rig.Exceeded, "limit-passed", g.End, "%s allows %s and the load weighs %s: %s too much", g.What, show.Mass(math.Max(0, g.Load)), show.Mass(load.Mass), show.Mass(a.TakeOff))
		case load.Highest() > g.Load+hair:
			c.find(rig.Unknown, "within-its-tolerance", g.End, "%s allows %s; the load weighs %s, so it may be over", g.What, show.Mass(g.Load), load.Show(show))
		}
	}
	level := rig.Note
	for _, f := range a.Findings {
		level = max(level, f.Level)
	}
	a.Result = [...]rig.Result{rig.Note: rig.Within, rig.Unknown: rig.CannotTell, rig.Exceeded: rig.Over}[level]
	// What the governing limit says comes first.
	slices.SortStableFunc(a.Findings, func(x, y rig.Finding) int { return order(x) - order(y) })
	var reasons []string
	for _, f := range a.Findings {
		if f.Level == level && level > rig.Note {
			reasons = append(reasons, f.About+": "+f.Text)
		}
	}
	switch len(reasons) {
	case 0:
		g := a.Allowed[a.Governing]
		a.Reason = fmt.Sprintf("%s at %s governs, with %s to spare", g.What, g.End, show.Mass(a.Margin))
	case 1:
		a.Reason = reasons[0]
	default:
		a.Reason = fmt.Sprintf("%s (and %d more)", reasons[0], len(reasons)-1)
	}
}

// order puts the gravest findings first, among them that of the limit that
// governs.
func order(f rig.Finding) int {
	n := 2 * int(rig.Exceeded-f.Level)
	if f.Code == "limit-passed" || f.Code == "within-its-tolerance" {
		return n
	}
	return n + 1
}

// Reach returns how high and hot this load still goes by the hover table, for
// a picture of temperature against altitude: for each temperature the highest
// pressure altitude, at the fuel of one end. The error says what is missing.
// Only hover performance is asked; weights and ratings do not change with the
// air.
func Reach(q Ask, e End, steps int) ([]Highest, error) {
	table := q.Aircraft.spec.OGE
	if e.InGround {
		table = q.Aircraft.spec.IGE
	}
	if table == nil {
		return nil, Problem{"hover", "no hover table is entered", "copy it from the aircraft's own flight manual"}
	}
	return table.Highest(q.operating(e.Fuel)+q.Load.Highest()+q.reduction(), steps), nil
}
