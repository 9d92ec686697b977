package rig

import (
	"fmt"
	"slices"
)

// The With methods of this file make the rig as it would be with one thing
// different from the plan, so that it can be hung like any other. They return
// an error where the rig has no such thing, or where what is left is no valid
// rig, and never change the rig they are called on.

// WithLegTo returns the rig with a leg led to other points, in this order.
func (r *Rig) WithLegTo(leg string, to ...Ref) (*Rig, error) {
	return r.changed(leg, func(s *Spec, l *Leg) { l.To = slices.Clone(to) })
}

// WithSeat returns the rig with a leg in another seat of its apex pin. Seats
// decide whether legs cross and change no tension.
func (r *Rig) WithSeat(leg string, seat int) (*Rig, error) {
	return r.changed(leg, func(s *Spec, l *Leg) { l.Seat = &seat })
}

// WithPointsSwapped returns the rig with two legs led to each other's points.
func (r *Rig) WithPointsSwapped(a, b string) (*Rig, error) {
	other := r.leg(b)
	if other < 0 {
		return nil, noLeg(b)
	}
	return r.changed(a, func(s *Spec, l *Leg) { l.To, s.Legs[other].To = s.Legs[other].To, l.To })
}

// WithSeatsSwapped returns the rig with two legs in each other's seats.
func (r *Rig) WithSeatsSwapped(a, b string) (*Rig, error) {
	other := r.leg(b)
	if other < 0 {
		return nil, noLeg(b)
	}
	return r.changed(a, func(s *Spec, l *Leg) { l.Seat, s.Legs[other].Seat = s.Legs[other].Seat, l.Seat })
}

// WithoutLeg returns the rig with a leg gone, from its set too.
func (r *Rig) WithoutLeg(leg string) (*Rig, error) {
	if r.leg(leg) < 0 {
		return nil, noLeg(leg)
	}
	s := clone(r.spec)
	s.drop(func(l *Leg) bool { return l.ID == leg })
	return remade(s)
}

// WithoutPoint returns the rig with an attachment point torn out: a leg that
// held only that point is gone, a loop through several points goes on through
// the others, and whatever hung from it hangs no more.
func (r *Rig) WithoutPoint(ref Ref) (*Rig, error) {
	held := false
	s := clone(r.spec)
	for i := range s.Legs {
		l := &s.Legs[i]
		n := len(l.To)
		l.To = slices.DeleteFunc(l.To, func(to Ref) bool { return to == ref })
		held = held || len(l.To) < n || *l.From == ref
	}
	if !held {
		return nil, fmt.Errorf("rig: no leg holds point %q", ref)
	}
	s.drop(func(l *Leg) bool { return len(l.To) == 0 || *l.From == ref })
	return remade(s)
}

// WithoutApex returns the rig with nothing left in one of its apexes, as when
// its fitting opens or its hook lets go: every leg from it is gone.
func (r *Rig) WithoutApex(id string) (*Rig, error) {
	if !slices.ContainsFunc(r.spec.Apexes, func(a Apex) bool { return a.ID == id }) {
		return nil, fmt.Errorf("rig: there is no apex %q", id)
	}
	s := clone(r.spec)
	s.drop(func(l *Leg) bool { return l.From.Point == "" && l.From.ID == id })
	return remade(s)
}

func (r *Rig) leg(id string) int {
	return slices.IndexFunc(r.spec.Legs, func(l Leg) bool { return l.ID == id })
}

func noLeg(id string) error { return fmt.Errorf("rig: there is no leg %q", id) }

func (r *Rig) changed(leg string, change func(*Spec, *Leg)) (*Rig, error) {
	i := r.leg(leg)
	if i < 0 {
		return nil, noLeg(leg)
	}
	s := clone(r.spec)
	change(&s, &s.Legs[i])
	return remade(s)
}

// drop takes legs out, and out of everything that names them.
func (s *Spec) drop(gone func(*Leg) bool) {
	left := map[string]bool{}
	s.Legs = slices.DeleteFunc(s.Legs, func(l Leg) bool {
		left[l.ID] = !gone(&l)
		return !left[l.ID]
	})
	for i := range s.Sets {
		s.Sets[i].Legs = slices.DeleteFunc(s.Sets[i].Legs, func(id string) bool { return !left[id] })
	}
	s.Sets = slices.DeleteFunc(s.Sets, func(set Set) bool { return len(set.Legs) == 0 })
	if s.Procedure != nil {
		for id := range s.Procedure.Counts {
			if !left[id] {
				delete(s.Procedure.Counts, id)
			}
		}
	}
}

func remade(s Spec) (*Rig, error) {
	out, problems := New(s)
	if len(problems) > 0 {
		return nil, problems[0]
	}
	return out, nil
}
