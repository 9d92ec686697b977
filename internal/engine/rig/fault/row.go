package fault

import (
	"math"

	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
)

// Row is what one fault does, as plain values.
type Row struct {
	Fault  Fault
	What   string
	Ends   []part.End // what it may end in, gravest first; none where nothing here shows any
	Why    []string   // for each of Ends, what shows it
	Counts []Count    // of every leg with a chain
	Body   string     // the body furthest from how it hangs as planned
	Pitch  float64    // of that body, rad, positive nose up
	Roll   float64    // likewise, positive right side down
	Moved  float64    // rad, by which its upright axis leans from where it is as planned
	Rated  bool       // some leg has a rating, so that Use means something
	Use    float64    // highest share of rating of a leg in the worst case
	Leg    string     // which leg that is
	Slack  []string   // legs that carry nothing
	Cross  []Crossing // legs that lie across each other and do not as planned
	Result rig.Result
	Reason string
	Share  []HookShare // where there are several hooks
	Ran    bool        // some of pitch and roll, use and slack legs are those of chain that runs freely through its points, which is worse here
	Held   *Numbers    // with chain that bites where it turns; nil without a loop through several points
	Runs   *Numbers    // with chain that runs freely; nil without such a loop, and where it settles nowhere so
	Note   string      // what the numbers leave out
}

// Numbers are how a rig hangs in one way of taking its loops.
type Numbers struct {
	Body  string
	Pitch float64 // rad, positive nose up
	Roll  float64 // rad, positive right side down
	Moved float64 // rad
	Rated bool
	Use   float64
	Leg   string
	Slack []string
}

func (w *Row) kept() *Numbers {
	return &Numbers{w.Body, w.Pitch, w.Roll, w.Moved, w.Rated, w.Use, w.Leg, w.Slack}
}

// Count is where a leg's chain is held.
type Count struct {
	Leg   string
	Count int
}

// HookShare is what one of several hooks carries.
type HookShare struct {
	Hook  string  // the apex
	Force float64 // N
	Share float64 // of the sum over all hooks
}

// Gravest returns the gravest of the row's ends; "" for none.
func (w *Row) Gravest() part.End {
	if len(w.Ends) == 0 {
		return ""
	}
	return w.Ends[0]
}

// Shares returns what each hook carries; nothing for a rig with one hook.
func Shares(a *rig.Answer) []HookShare {
	if len(a.Apexes) < 2 {
		return nil
	}
	var out []HookShare
	sum := 0.0
	for i := range a.Apexes {
		f := rig.Norm(a.Apexes[i].Force)
		out = append(out, HookShare{Hook: a.Apexes[i].ID, Force: f})
		sum += f
	}
	for i := range out {
		if sum > 0 {
			out[i].Share = out[i].Force / sum
		}
	}
	return out
}

// leans is by how much a changed lean from the plan is told as an end of its
// own where the rig states no band of attitude: our choice.
const leans = 5 * quantity.Degree

// lean returns the angle between the upright axes of a body in two answers. A
// turn about the vertical is no lean.
func lean(a, b *rig.BodyAnswer) float64 {
	up := rig.Vec{0, 0, 1}
	// In the body's own frame the vertical moves; that is what a turn of the
	// whole about the vertical leaves alone.
	at := func(x *rig.BodyAnswer) rig.Vec {
		m := x.Turn.Matrix()
		return m.TMul(up)
	}
	return rig.AngleBetween(at(a), at(b))
}

// numbers fills in the row's pitch, roll, use and slack legs from an answer.
func (w *Row) numbers(a, plan *rig.Answer) {
	const same = 1e-6 // rad: beneath it, rounding
	w.Moved = -1
	for i := range a.Bodies {
		b := &a.Bodies[i]
		by := lean(b, &plan.Bodies[i])
		// With nothing moved, the body that leans most.
		if by > w.Moved+same || math.Abs(by-w.Moved) <= same && b.Tilt > tiltOf(a, w.Body)+same {
			w.Moved, w.Body, w.Pitch, w.Roll = by, b.ID, b.Pitch, b.Roll
		}
	}
	w.Use, w.Leg, w.Rated = a.HighestUse()
	w.Slack = nil
	for i := range a.Legs {
		if a.Legs[i].Slack {
			w.Slack = append(w.Slack, a.Legs[i].ID)
		}
	}
}

func tiltOf(a *rig.Answer, body string) float64 {
	for i := range a.Bodies {
		if a.Bodies[i].ID == body {
			return a.Bodies[i].Tilt
		}
	}
	return 0
}

func countsOf(r *rig.Rig) []Count {
	var out []Count
	for _, l := range r.Legs() {
		if l.Chain != nil && l.Count != nil {
			out = append(out, Count{l.ID, *l.Count})
		}
	}
	return out
}
