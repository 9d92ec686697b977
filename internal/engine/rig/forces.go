package rig

import (
	"context"
	"fmt"

	"hangtrue/internal/engine/statics"
)

// Load is a steady force on a body: it keeps its size and its direction in the
// hook frame however the body moves.
type Load struct {
	Body  string
	At    Vec // in the body's frame, m
	Force Vec // in the hook frame, N
}

// Forces are what a rig hangs under besides its weight at rest, and from where
// its position is sought. The zero value is a rig at rest.
type Forces struct {
	Gravity   float64 // m/s²; 0: standard gravity. With a load factor n, n times that
	Loads     []Load
	From      *Answer // go downhill from how this one hangs; nil: from the ground
	RunFreely bool    // chain runs through its points without friction; such an answer is not judged
	Unjudged  bool    // leave the limits out: where it hangs, its pulls and its modes, and no result
}

// HangWithin is [Hang] that gives up once the context ends; it then fails with
// the context's error. The answer of one that does not give up is the same.
func HangWithin(ctx context.Context, r *Rig) (*Answer, error) { return hang(ctx, r, Forces{}) }

// HangWith is [Hang] under extra forces. With loads that push the rig aside,
// the angles of legs are counted from the line of all forces together instead
// of the vertical: a leg that trails with its load is no flatter for it. An
// answer that is not judged has no checks, findings or result worth reading.
//
// It fails with [*OpenCounts], or where a load is on a body that the rig does
// not have, or a number is not finite.
func HangWith(r *Rig, f Forces) (*Answer, error) { return hang(context.Background(), r, f) }

func hang(ctx context.Context, r *Rig, f Forces) (*Answer, error) {
	if open := r.Open(); len(open) > 0 {
		return nil, &OpenCounts{open}
	}
	v, err := r.variant(f)
	if err != nil {
		return nil, err
	}
	ended := func() bool { return ctx.Err() != nil }
	solver := statics.Solver{Stop: ended}
	var sol statics.Solution
	c := compile(r, v)
	if err := c.model.Check(); err != nil {
		if f.Gravity != 0 || len(f.Loads) > 0 {
			return nil, fmt.Errorf("rig: forces that cannot be: %w", err)
		}
		// New has checked all of this.
		panic("rig: a valid rig made an invalid model: " + err.Error())
	}
	solver.Solve(c.model, c.stateOf(f.From), &sol)
	still := c.level(r, &v, &solver, &sol)
	if ended() {
		return nil, ctx.Err()
	}
	a := c.read(r, &sol)
	c.leanLegs(a)
	for _, t := range solver.Touches() {
		a.Touches = append(a.Touches, Contact{r.spec.Bodies[t.A].ID, r.spec.Bodies[t.B].ID, t.Force})
	}
	redundant := solver.Redundant()
	for i := range a.Legs {
		if k := c.legs[i].rope; k >= 0 {
			a.Legs[i].Redundant = redundant[k]
		}
	}
	a.Modes = nameModes(r, solver.Modes())
	if f.Unjudged || f.RunFreely {
		a.Result, a.Reason = CannotTell, "not held against any limit"
		return a, nil
	}
	j := judge{a: a, r: r, c: &c, v: v, solver: &solver, base: sol.State.Clone(), still: still}
	j.all()
	if ended() {
		return nil, ctx.Err()
	}
	return a, nil
}

// variant turns forces into the terms of a compiled rig.
func (r *Rig) variant(f Forces) (variant, error) {
	v := variant{gravity: f.Gravity, runFreely: f.RunFreely}
	index := map[string]int{}
	for i := range r.spec.Bodies {
		index[r.spec.Bodies[i].ID] = i
	}
	for _, l := range f.Loads {
		i, ok := index[l.Body]
		if !ok {
			return v, fmt.Errorf("rig: there is no body %q to put a load on", l.Body)
		}
		v.loads = append(v.loads, statics.Load{Body: i, Point: l.At, Force: l.Force})
	}
	return v, nil
}

// stateOf returns the position that an answer describes, or nil where the
// answer is of a rig with other bodies or nodes.
func (c *compiled) stateOf(a *Answer) *statics.State {
	if a == nil || len(a.Bodies) != len(c.model.Bodies) {
		return nil
	}
	at := map[string]Vec{}
	for i := range a.Apexes {
		at[a.Apexes[i].ID] = a.Apexes[i].Position
	}
	for _, n := range a.Nodes {
		at[n.ID] = n.Position
	}
	s := &statics.State{}
	for i := range a.Bodies {
		s.Bodies = append(s.Bodies, a.Bodies[i].Pose())
	}
	for _, id := range c.nodeIDs {
		p, ok := at[id]
		if !ok {
			return nil
		}
		s.Nodes = append(s.Nodes, p)
	}
	return s
}

// leanLegs counts the legs' angles from the line of all forces together, where
// loads push the rig aside.
func (c *compiled) leanLegs(a *Answer) {
	if len(c.model.Loads) == 0 {
		return
	}
	down := Vec{0, 0, -c.model.Weight()}
	for _, l := range c.model.Loads {
		down = statics.Add(down, l.Force)
	}
	for i := range a.Legs {
		x := &a.Legs[i]
		if c.legs[i].rope >= 0 {
			x.Angle = AngleBetween(statics.Sub(x.To, x.From), down)
		}
	}
}
