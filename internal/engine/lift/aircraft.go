package lift

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"hangtrue/internal/engine/air"
	"hangtrue/internal/engine/quantity"
)

// Vec is a place in the aircraft's frame, m.
type Vec = [3]float64

// Problem is something wrong with what was entered. Path says where, in the
// words of the file: hover.oge.gross[2][1].
type Problem struct {
	Path string
	Text string
	Hint string
}

// Error returns the problem as one line.
func (p Problem) Error() string {
	s := p.Text
	if p.Path != "" {
		s = p.Path + ": " + s
	}
	if p.Hint != "" {
		s += "; " + p.Hint
	}
	return s
}

// Source names where the figures were copied from.
type Source struct {
	Publication string
	Edition     string
	Change      string
}

// String returns the source as one line; "" where none is entered.
func (s Source) String() string {
	text := s.Publication
	for _, more := range []string{s.Edition, s.Change} {
		if more != "" {
			text += ", " + more
		}
	}
	return text
}

// Item is something aboard.
type Item struct {
	What string
	Mass float64 // kg
	At   *Vec    // nil: its place is not entered
}

// Fuel is what the aircraft burns.
type Fuel struct {
	Capacity float64  // kg
	Burn     float64  // kg/s, in a hover and in flight alike
	Reserve  *float64 // kg that must be left on landing; nil: not entered
	At       *Vec     // CG of the fuel
}

// Hook is a cargo hook.
type Hook struct {
	ID      string
	At      *Vec     // where it pulls
	Rated   *float64 // N
	Section *float64 // m, thickness of its load beam: a ring must be wider inside
	Inside  *float64 // m, clear opening: a ring's stock must be thinner
}

// Together is what several hooks may carry at the same time, N.
type Together struct {
	Hooks []string
	Rated float64
}

// Rotors are the lifting rotors, all alike.
type Rotors struct {
	Count    int
	Diameter float64  // m
	Rate     *float64 // rad/s
	Blades   int      // of each; 0: not entered
}

// SpacerRule says whether an apex fitting takes its spacer on a hook.
type SpacerRule struct {
	Apex     string // id of the kind of apex fitting
	Hook     string
	Required bool // otherwise it is forbidden
	Source   string
}

// Airspeed is a limit of airspeed with an external load.
type Airspeed struct {
	What   string
	Limit  float64 // m/s
	Source string
}

// Reduction is a fixed amount by which the hover weight from the table is to be
// lowered.
type Reduction struct {
	What          string
	Mass          float64 // kg
	NotJettisoned bool    // only for a load that cannot be jettisoned
}

// Spec is an aircraft as entered, in SI units. Pointers are nil where nothing
// was entered. It may be wrong: [New] checks it.
type Spec struct {
	Title      string
	Invented   bool // marked INVENTED on everything
	Notes      string
	Source     Source
	Show       quantity.System
	Empty      Item // the aircraft as it is weighed
	Crew       []Item
	Kit        []Item
	Fuel       Fuel
	Gross      *float64 // kg, highest without an external load
	External   *float64 // kg, highest with one
	Balance    *[2]float64
	Hooks      []Hook
	Together   []Together
	OGE, IGE   *Table // hover out of and in ground effect
	Rotors     *Rotors
	Spacers    []SpacerRule
	Airspeeds  []Airspeed
	Reductions []Reduction
}

// Aircraft is a valid aircraft. What its methods return must not be changed.
type Aircraft struct{ spec Spec }

// Spec returns what the aircraft was made of.
func (a *Aircraft) Spec() Spec { return a.spec }

// Operating returns the operating weight: empty, crew and kit, without fuel, kg.
func (a *Aircraft) Operating() float64 {
	m := a.spec.Empty.Mass
	for _, it := range slices.Concat(a.spec.Crew, a.spec.Kit) {
		m += it.Mass
	}
	return m
}

// Hook returns the hook with this id.
func (a *Aircraft) Hook(id string) (Hook, bool) {
	for _, h := range a.spec.Hooks {
		if h.ID == id {
			return h, true
		}
	}
	return Hook{}, false
}

// Wash returns the wash of the rotors at this gross mass in this air; an error
// where no rotors are entered.
func (a *Aircraft) Wash(gross, density float64) (air.Wash, error) {
	r := air.Rotors{}
	if a.spec.Rotors != nil {
		r = air.Rotors{Count: a.spec.Rotors.Count, Diameter: a.spec.Rotors.Diameter}
	}
	return air.Hover(r, gross*quantity.StandardGravity, density)
}

// New checks a spec and makes an aircraft of it. It returns every problem it
// finds, and no aircraft when there is any.
func New(s Spec) (*Aircraft, []Problem) {
	c := checker{}
	c.positive("empty.mass", "the empty weight", s.Empty.Mass)
	for list, items := range map[string][]Item{"crew": s.Crew, "kit": s.Kit} {
		for i, it := range items {
			c.notNegative(fmt.Sprintf("%s[%d].mass", list, i), "the mass", it.Mass)
		}
	}
	c.positive("fuel.capacity", "the fuel capacity", s.Fuel.Capacity)
	c.positive("fuel.burn", "the burn", s.Fuel.Burn)
	if r := s.Fuel.Reserve; r != nil && c.notNegative("fuel.reserve", "the reserve", *r) && *r >= s.Fuel.Capacity {
		c.add("fuel.reserve", "in kg or as a time at the burn entered", "a reserve of %.0f kg is all that the tanks hold, %.0f kg", *r, s.Fuel.Capacity)
	}
	c.hooks(&s)
	operating := (&Aircraft{s}).Operating()
	for path, limit := range map[string]*float64{"limits.gross": s.Gross, "limits.external-gross": s.External} {
		if limit != nil && c.positive(path, "the gross weight limit", *limit) && *limit <= operating {
			c.add(path, "the highest weight of aircraft and load together", "a gross weight limit of %.0f kg is no more than the operating weight of %.0f kg", *limit, operating)
		}
	}
	if b := s.Balance; b != nil && !(b[0] < b[1]) {
		c.add("limits.cg", "the rear limit first: x counts forward", "the lower limit of the CG is not below the upper")
	}
	for path, table := range map[string]*Table{"hover.oge": s.OGE, "hover.ige": s.IGE} {
		if table != nil {
			c.problems = append(c.problems, table.check(path)...)
		}
	}
	if r := s.Rotors; r != nil {
		if r.Count < 1 {
			c.add("rotors.count", "1 or more", "no lifting rotor")
		}
		c.positive("rotors.diameter", "the rotor's diameter", r.Diameter)
	}
	slices.SortFunc(c.problems, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.Path, b.Path), cmp.Compare(a.Text, b.Text))
	})
	if len(c.problems) > 0 {
		return nil, c.problems
	}
	return &Aircraft{s}, nil
}

type checker struct{ problems []Problem }

func (c *checker) add(path, hint, format string, args ...any) {
	c.problems = append(c.problems, Problem{path, fmt.Sprintf(format, args...), hint})
}

func (c *checker) positive(path, what string, x float64) bool {
	if !(x > 0) || math.IsInf(x, 0) {
		c.add(path, "", "%s must be more than zero", what)
		return false
	}
	return true
}

func (c *checker) notNegative(path, what string, x float64) bool {
	if !(x >= 0) || math.IsInf(x, 0) {
		c.add(path, "", "%s cannot be negative", what)
		return false
	}
	return true
}

func (c *checker) hooks(s *Spec) {
	if len(s.Hooks) == 0 {
		c.add("hooks", "at least one", "an aircraft that carries external loads has a hook")
	}
	known := map[string]bool{}
	for i, h := range s.Hooks {
		if known[h.ID] {
			c.add(fmt.Sprintf("hooks[%d].id", i), "give each hook an id of its own", "there are two hooks %q", h.ID)
		}
		known[h.ID] = true
		if h.Rated != nil {
			c.positive(fmt.Sprintf("hooks[%d].rated", i), "the hook's rating", *h.Rated)
		}
	}
	has := func(path, id string) {
		if !known[id] {
			c.add(path, "one of the hooks entered", "there is no hook %q", id)
		}
	}
	for i, t := range s.Together {
		at := fmt.Sprintf("hooks-together[%d]", i)
		c.positive(at+".rated", "the rating of hooks together", t.Rated)
		for k, id := range t.Hooks {
			has(fmt.Sprintf("%s.hooks[%d]", at, k), id)
		}
	}
	for i, r := range s.Spacers {
		has(fmt.Sprintf("spacers[%d].hook", i), r.Hook)
		for k := range i {
			if s.Spacers[k].Apex == r.Apex && s.Spacers[k].Hook == r.Hook {
				c.add(fmt.Sprintf("spacers[%d]", i), "one rule for each pair", "there are two rules for %s on hook %s", r.Apex, r.Hook)
			}
		}
	}
}
