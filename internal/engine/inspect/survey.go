package inspect

import (
	"fmt"
	"math"
	"slices"

	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/statics"
)

// Survey is everything that a person can look at on one rig, and every
// deficiency that one catalogue knows of it. It is not changed once made.
type Survey struct {
	Rig          *rig.Rig
	Catalog      *part.Catalog
	Parts        []Part
	Deficiencies []Deficiency // part by part, in the catalogue's order
}

// Deficiency is a part in a state that the plan does not call for.
type Deficiency struct {
	Part      *Part
	Attribute *part.Attribute
	State     *part.State
	// Change names what is changed of the rig; deficiencies with the same
	// change hang alike. It is "" without a mechanical meaning on this part.
	Change string

	changed *rig.Rig
	text    string
}

// ID names the deficiency: part/attribute/state.
func (d *Deficiency) ID() string { return d.Part.ID + "/" + d.Attribute.ID + "/" + d.State.ID }

// Text says what a person finds.
func (d *Deficiency) Text() string { return d.text }

// Source returns where the catalogue has it from.
func (d *Deficiency) Source() string { return d.Part.Kind.Origin(d.Attribute, d.State) }

// Of surveys a rig with a catalogue. It returns every problem of the rig's
// named parts, and a survey without those parts.
func Of(r *rig.Rig, c *part.Catalog) (*Survey, []Problem) {
	v := &Survey{Rig: r, Catalog: c}
	var problems []Problem
	v.Parts, problems = listParts(r, c)
	for i := range v.Parts {
		p := &v.Parts[i]
		for k := range p.Kind.Attributes {
			a := &p.Kind.Attributes[k]
			if v.asks(p, a) {
				v.deficiencies(p, a)
			}
		}
	}
	return v, problems
}

// Part returns the part with this id.
func (v *Survey) Part(id string) (*Part, bool) {
	for i := range v.Parts {
		if v.Parts[i].ID == id {
			return &v.Parts[i], true
		}
	}
	return nil, false
}

// asks reports whether an attribute makes sense on a part of this rig.
func (v *Survey) asks(p *Part, a *part.Attribute) bool {
	w := a.When
	if len(v.Rig.Sets()) < w.Sets {
		return false
	}
	var leg *rig.Leg
	if p.On.Leg != "" {
		l, _ := v.Rig.Leg(p.On.Leg)
		leg = &l
	}
	if w.Tail > 0 && (leg == nil || leg.Count == nil || *leg.Count-1 < w.Tail) {
		return false
	}
	if w.Points > 0 && (leg == nil || len(leg.To) < w.Points) {
		return false
	}
	if w.Seats && (leg == nil || leg.Seat == nil) {
		return false
	}
	if w.Swings {
		i := slices.IndexFunc(v.Rig.Apexes(), func(x rig.Apex) bool { return x.ID == p.On.Apex })
		if i < 0 || v.Rig.Apexes()[i].Pendant == nil {
			return false
		}
	}
	return true
}

// deficiencies adds the states of an attribute that are not the good one and
// that a part of this rig can be in.
func (v *Survey) deficiencies(p *Part, a *part.Attribute) {
	for i := range a.States {
		s := &a.States[i]
		if a.Plan == part.PlanSpacer {
			if !v.badSpacer(p, s.ID) {
				continue
			}
		} else if s.ID == a.Good {
			continue
		}
		d := Deficiency{Part: p, Attribute: a, State: s, text: p.Name + ": " + s.Text}
		if s.Meaning != part.NoMeaning {
			m := v.mean(p, s)
			if m.impossible {
				continue
			}
			d.Change, d.changed = m.key, m.rig
			if m.note != "" {
				d.text += " (" + m.note + ")"
			}
		}
		v.Deficiencies = append(v.Deficiencies, d)
	}
}

// badSpacer reports whether a state of the spacer is one that the rules do not
// call for.
func (v *Survey) badSpacer(p *Part, state string) bool {
	need, _ := v.Spacer(p)
	switch need {
	case part.Required:
		return state == part.SpacerOff
	case part.Forbidden:
		return state == part.SpacerOn
	}
	return state == part.SpacerOpen
}

// Spacer says whether a spacer belongs on an apex fitting, by the catalogue's
// rules for it together with the hook or pendant that it hangs on, and where
// that is written.
func (v *Survey) Spacer(fitting *Part) (part.SpacerNeed, string) {
	for i := range v.Parts {
		o := &v.Parts[i]
		if o.On != fitting.On || o == fitting {
			continue
		}
		if need, source := v.Catalog.Spacer(fitting.Kind.ID, o.Kind.ID); source != "" {
			return need, source
		}
	}
	return part.NotStated, ""
}

// Planned says in words what the good state of an attribute is on a part.
func (v *Survey) Planned(p *Part, a *part.Attribute) string {
	good, _ := a.State(a.Good)
	leg, isLeg := v.Rig.Leg(p.On.Leg)
	switch a.Plan {
	case part.PlanSpacer:
		switch need, source := v.Spacer(p); need {
		case part.Required:
			return "a spacer is required: " + source
		case part.Forbidden:
			return "no spacer is allowed: " + source
		}
		return "nobody has stated whether a spacer belongs here"
	case part.PlanCount:
		if isLeg && leg.Count != nil {
			return fmt.Sprintf("link %d from the free end", *leg.Count)
		}
		return "the count is still to be found"
	case part.PlanPoint:
		if isLeg {
			return "to " + refs(leg.To)
		}
	case part.PlanSeat:
		if isLeg && leg.Seat != nil {
			return fmt.Sprintf("seat %d from the load's left", *leg.Seat)
		}
	case part.PlanMatched:
		if len(p.Legs) == 2 {
			a, _ := v.Rig.Leg(p.Legs[0])
			b, _ := v.Rig.Leg(p.Legs[1])
			if a.Count != nil && b.Count != nil {
				return fmt.Sprintf("leg %s at %d, leg %s at %d", a.ID, *a.Count, b.ID, *b.Count)
			}
		}
	}
	if good == nil {
		return ""
	}
	return good.Text
}

// PutBack says how a person sees that a deficiency planted for training is
// undone: in the catalogue's words for that very state, and where it has none, as
// [Survey.Planned] says the good one.
func (v *Survey) PutBack(d *Deficiency) string {
	text, planned := d.State.PutBack, v.Planned(d.Part, d.Attribute)
	switch _, isLeg := v.Rig.Leg(d.Part.On.Leg); {
	case text != "":
	case d.Attribute.Plan == part.PlanCount && isLeg:
		text = planned + " is in the hook, counted"
	case d.Attribute.Plan == part.PlanPoint && isLeg:
		text = "it leads " + planned + ", traced by hand"
	case d.Attribute.Plan == part.PlanSeat && isLeg:
		text = "it sits in " + planned
	case d.Attribute.Plan == part.PlanMatched:
		text = planned + ", both counted"
	default:
		text = planned
		if d.Attribute.Plan == part.PlanSpacer {
			if need, _ := v.Spacer(d.Part); need == part.Required || need == part.Forbidden {
				on, _ := d.Attribute.State(map[part.SpacerNeed]string{part.Required: part.SpacerOn, part.Forbidden: part.SpacerOff}[need])
				text = on.Text + "; " + planned
			}
		}
	}
	if d.State.Plant == part.SpoiledPart {
		return "the spoiled training part is off and the sound one on: " + text
	}
	return text
}

func refs(list []rig.Ref) string {
	s := ""
	for i, r := range list {
		switch {
		case i == 0:
		case i == len(list)-1:
			s += " and "
		default:
			s += ", "
		}
		s += r.String()
	}
	return s
}

// meant is a state's mechanical meaning on one part of the rig.
type meant struct {
	key        string
	note       string
	rig        *rig.Rig
	impossible bool // this rig cannot have it
}

// mean applies a state's meaning to the rig. A part that a rig file names may
// sit where the meaning has nothing to act on: then there is none.
func (v *Survey) mean(p *Part, s *part.State) meant {
	done := func(key, note string, r *rig.Rig, err error) meant {
		if err != nil {
			return meant{impossible: true}
		}
		return meant{key: key, note: note, rig: r}
	}
	leg, isLeg := v.Rig.Leg(p.On.Leg)
	switch s.Meaning {
	case part.CountOff:
		if !isLeg {
			return meant{}
		}
		if leg.Count == nil {
			return meant{impossible: true}
		}
		n := *leg.Count + s.By
		r, err := v.Rig.WithCounts(map[string]int{leg.ID: n})
		return done(fmt.Sprintf("leg %s at count %d", leg.ID, n), fmt.Sprintf("link %d instead of %d", n, *leg.Count), r, err)
	case part.LegGone:
		if !isLeg {
			return meant{}
		}
		r, err := v.Rig.WithoutLeg(leg.ID)
		return done("without leg "+leg.ID, "", r, err)
	case part.WrongPoint:
		if !isLeg {
			return meant{}
		}
		to, ok := v.otherPoint(&leg)
		if !ok {
			return meant{impossible: true}
		}
		r, err := v.Rig.WithLegTo(leg.ID, to...)
		return done("leg "+leg.ID+" to "+refs(to), refs(to)+" instead of "+refs(leg.To), r, err)
	case part.WrongSeat:
		if !isLeg {
			return meant{}
		}
		other, ok := v.nextSeat(&leg)
		if !ok {
			return meant{impossible: true}
		}
		r, err := v.Rig.WithSeatsSwapped(leg.ID, other.ID)
		return done("seats of "+leg.ID+" and "+other.ID+" traded", fmt.Sprintf("seat %d instead of %d", *other.Seat, *leg.Seat), r, err)
	case part.PointGone:
		if p.On.Point.ID == "" {
			return meant{}
		}
		r, err := v.Rig.WithoutPoint(p.On.Point)
		return done("without point "+p.On.Point.String(), "", r, err)
	case part.ApexGone:
		if p.On.Apex == "" {
			return meant{}
		}
		r, err := v.Rig.WithoutApex(p.On.Apex)
		return done("without apex "+p.On.Apex, "", r, err)
	case part.BodyGone:
		return v.bodyGone(p, done)
	}
	if len(p.Legs) != 2 {
		return meant{}
	}
	return v.traded(p, s, done)
}

// traded applies the meanings of two legs that have what is each other's.
func (v *Survey) traded(p *Part, s *part.State, done func(string, string, *rig.Rig, error) meant) meant {
	a, _ := v.Rig.Leg(p.Legs[0])
	b, _ := v.Rig.Leg(p.Legs[1])
	switch s.Meaning {
	case part.CountsTraded:
		if a.Count == nil || b.Count == nil || *a.Count == *b.Count {
			return meant{impossible: true}
		}
		r, err := v.Rig.WithCounts(map[string]int{a.ID: *b.Count, b.ID: *a.Count})
		return done("counts of "+a.ID+" and "+b.ID+" traded", fmt.Sprintf("leg %s at %d, leg %s at %d", a.ID, *b.Count, b.ID, *a.Count), r, err)
	case part.PointsTraded:
		if slices.Equal(a.To, b.To) {
			return meant{impossible: true}
		}
		r, err := v.Rig.WithPointsSwapped(a.ID, b.ID)
		return done("points of "+a.ID+" and "+b.ID+" traded", "", r, err)
	case part.SeatsTraded:
		if a.Seat == nil || b.Seat == nil || *a.Seat == *b.Seat {
			return meant{impossible: true}
		}
		r, err := v.Rig.WithSeatsSwapped(a.ID, b.ID)
		return done("seats of "+a.ID+" and "+b.ID+" traded", "", r, err)
	}
	return meant{}
}

func (v *Survey) bodyGone(p *Part, done func(string, string, *rig.Rig, error) meant) meant {
	if p.On.Body == "" {
		return meant{}
	}
	r := v.Rig
	var err error
	for _, leg := range v.Rig.Legs() {
		for _, to := range leg.To {
			if to.ID != p.On.Body {
				continue
			}
			if _, still := r.Leg(leg.ID); still {
				if r, err = r.WithoutLeg(leg.ID); err != nil {
					return done("", "", nil, err)
				}
			}
		}
	}
	return done("without body "+p.On.Body, "", r, nil)
}

// otherPoint returns the leg's points with its first led to the nearest point
// of the same body that the leg does not hold.
func (v *Survey) otherPoint(l *rig.Leg) ([]rig.Ref, bool) {
	first := l.To[0]
	best, nearest := math.Inf(1), rig.Ref{}
	for _, b := range v.Rig.Bodies() {
		if b.ID != first.ID {
			continue
		}
		own, _ := b.PointAt(first.Point)
		for _, pt := range b.Points {
			ref := rig.Ref{ID: b.ID, Point: pt.ID}
			if slices.Contains(l.To, ref) {
				continue
			}
			if d := statics.Norm(statics.Sub(pt.At, own.At)); d > 1e-9 && d < best-1e-9 {
				best, nearest = d, ref
			}
		}
	}
	if math.IsInf(best, 1) {
		return nil, false
	}
	to := slices.Clone(l.To)
	to[0] = nearest
	return to, true
}

// nextSeat returns the leg in the seat next to this leg's, on the same apex.
func (v *Survey) nextSeat(l *rig.Leg) (rig.Leg, bool) {
	best, out := math.MaxInt, rig.Leg{}
	for _, o := range v.Rig.Legs() {
		if l.Seat == nil || o.Seat == nil || o.ID == l.ID || *o.From != *l.From {
			continue
		}
		if d := max(*o.Seat-*l.Seat, *l.Seat-*o.Seat); d > 0 && d < best {
			best, out = d, o
		}
	}
	return out, best < math.MaxInt
}
