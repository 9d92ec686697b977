package flight

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"hangtrue/internal/engine/rig"
)

// Caution stands above everything that a study shows.
const Caution = "A study, not a plan: aerodynamic instability is not predicted, and the airspeed published for the load governs. No speed from here belongs on a load brief."

// Study is one rig in one kind of air.
type Study struct {
	r       *rig.Rig
	c       Conditions
	gravity float64 // m/s², times the load factor
	areas   []rig.Vec
	single  bool // it hangs from one hook
	apex    int  // which, if so
	rest    *rig.Answer
}

// New prepares a study by hanging the rig at rest. It fails where counts are
// still to be found, and where density, load factor or direction is not a
// finite number above zero (the direction: not finite).
func New(r *rig.Rig, c Conditions) (*Study, error) {
	c = c.filled()
	if !(c.Density > 0 && c.LoadFactor > 0) || math.IsInf(c.Density+c.LoadFactor, 0) || math.IsNaN(c.From) || math.IsInf(c.From, 0) {
		return nil, fmt.Errorf("flight: density %g kg/m³, load factor %g, air from %g rad: want density and load factor above zero and all of them finite", c.Density, c.LoadFactor, c.From)
	}
	s := &Study{r: r, c: c, gravity: c.gravity()}
	bodies := r.Bodies()
	for i := range bodies {
		a, _ := Areas(&bodies[i])
		s.areas = append(s.areas, a)
	}
	used := map[string]bool{}
	for _, l := range r.Legs() {
		if l.From.Point == "" {
			used[l.From.ID] = true
		}
	}
	for i, a := range r.Apexes() {
		if used[a.ID] && len(used) == 1 {
			s.single, s.apex = true, i
		}
	}
	rest, err := rig.HangWith(r, rig.Forces{Gravity: s.gravity})
	if err != nil {
		return nil, err
	}
	s.rest = rest
	return s, nil
}

// Conditions returns what the study is made under, with what was left open
// filled in.
func (s *Study) Conditions() Conditions { return s.c }

// Rest returns how the rig hangs in still air under the study's load factor.
func (s *Study) Rest() *rig.Answer { return s.rest }

// BodyDrag is the drag that a body is studied with.
type BodyDrag struct {
	Body   string
	Areas  rig.Vec // drag areas for air along its x, y and z axis, m²
	Source string
}

// Drags returns the drag areas of every body and where they come from.
func (s *Study) Drags() []BodyDrag {
	var out []BodyDrag
	bodies := s.r.Bodies()
	for i := range bodies {
		a, source := Areas(&bodies[i])
		out = append(out, BodyDrag{bodies[i].ID, a, source})
	}
	return out
}

// Notes says what the study leaves out for this rig, in sentences.
func (s *Study) Notes() []string {
	notes := []string{Caution}
	var soft []string
	bodies := s.r.Bodies()
	for i := range bodies {
		if bodies[i].Shape.Kind == rig.NoShape {
			soft = append(soft, bodies[i].ID)
		}
	}
	if len(soft) > 0 {
		notes = append(notes, fmt.Sprintf("Without a shape, and so a mass on its ring with only the drag entered: %s. The shape that a net, bag or other soft load takes in the air is not predicted.", strings.Join(soft, ", ")))
	}
	if s.single {
		notes = append(notes, "Under one hook the load is taken to keep its heading. Whether it turns, and how fast, is not predicted; the moment that would turn it is given.")
	}
	if s.c.LoadFactor != 1 {
		notes = append(notes, fmt.Sprintf("With a load factor of %.3g. Ratings are working ratings: whatever the rule-maker put into them for flight is counted twice here.", s.c.LoadFactor))
	}
	if len(bodies) > 1 {
		notes = append(notes, "Each body meets the air as if the others were not there.")
	}
	return notes
}

// without leaves out of modes the turning of the whole load about the vertical,
// which the study holds.
func (s *Study) without(modes []rig.Mode) []rig.Mode {
	if !s.single || len(modes) <= len(s.rest.Modes) {
		return modes
	}
	i := slices.IndexFunc(modes, func(m rig.Mode) bool { return m.Shape == "twist" })
	if i < 0 {
		return modes
	}
	return slices.Delete(slices.Clone(modes), i, i+1)
}
