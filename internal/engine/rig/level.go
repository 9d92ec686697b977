package rig

import (
	"hangtrue/internal/engine/liquid"
	"hangtrue/internal/engine/statics"
)

const (
	// restWithin is how little a liquid's CG may still move for it to count as
	// at rest, m. It is what a person could not see on the smallest tank.
	restWithin = 1e-4
	// restGoal is where the iteration stops sooner, m: far enough below
	// restWithin that what slow convergence leaves over does not show.
	restGoal = 1e-7
	// mostTilts is how often the liquid may run before it counts as restless.
	mostTilts = 80
)

// UpIn returns the direction that is up in the frame of a body turned by q.
func UpIn(q statics.Quat) Vec { return Vec(q.Matrix()[2]) }

// CentreTilted returns the body's CG in its own frame, m, with the liquid in it
// at rest while this direction of the body's frame is up.
func (b *Body) CentreTilted(up Vec) Vec {
	centre := b.Centre()
	if b.Fill == nil || !b.Fill.Part() {
		return centre
	}
	it := b.Items[b.FillItem]
	return statics.Add(centre, statics.Scale(it.Mass/b.TotalMass(), statics.Sub(Vec(b.Fill.CG(up)), it.At)))
}

// level lets the liquid of part-filled rigid tanks run to where it rests: the
// rig hangs, its tanks tilt, their CGs move, and so on until none moves any
// more. It leaves the last solution in sol and the CGs in the model and in v,
// so that every later solve of this answer has them. It reports false where the
// liquid does not come to rest.
//
// Where loads push the rig aside the liquid is still taken to be level: they
// stand for the air's, which moves no liquid.
func (c *compiled) level(r *Rig, v *variant, solver *statics.Solver, sol *statics.Solution) bool {
	var free []int
	for i := range r.spec.Bodies {
		if f := r.spec.Bodies[i].Fill; f != nil && f.Part() {
			free = append(free, i)
		}
	}
	if len(free) == 0 {
		return true
	}
	v.cg = map[int]Vec{}
	moved := 0.0
	for range mostTilts {
		if !sol.Converged {
			return false
		}
		moved = 0
		for _, i := range free {
			now := r.spec.Bodies[i].CentreTilted(UpIn(sol.Bodies[i].Turn))
			moved = max(moved, Norm(sub(now, c.model.Bodies[i].CG)))
			c.model.Bodies[i].CG, v.cg[i] = now, now
		}
		if moved < restGoal {
			break
		}
		start := sol.State.Clone()
		solver.Solve(c.model, &start, sol)
	}
	return moved < restWithin && sol.Converged
}

// fills says what there is to say about the liquids that the bodies hold.
func (j *judge) fills() {
	show := j.r.Show()
	for i := range j.r.spec.Bodies {
		b := &j.r.spec.Bodies[i]
		if b.Fill == nil {
			continue
		}
		about := "body " + b.ID
		for _, f := range b.Fill.Findings(show) {
			level := [...]Level{liquid.Note: Note, liquid.Unknown: Unknown, liquid.Exceeded: Exceeded}[f.Level]
			j.find(level, f.Code, about, "%s", f.Text)
		}
		if !b.Fill.Part() {
			continue
		}
		if !j.still {
			j.find(Unknown, "liquid-does-not-rest", about, "the liquid finds no place to rest: as the tank tilts it runs on to the low side")
			continue
		}
		if by := Norm(sub(j.c.model.Bodies[i].CG, b.Centre())); by >= restWithin {
			j.find(Note, "liquid-ran", about, "the tilt lets the liquid run to the low side, which moves the body's CG by %s; swings and stability are computed with the liquid held there", show.Size(by))
		}
	}
}
