package rig

import (
	"fmt"
	"math"

	"hangtrue/internal/engine/statics"
)

const (
	// leastGap is how close two legs may come, m.
	leastGap = 0.05
	// ignoredEnd is how much of a leg is left out at its ends, m: there it is
	// a fitting, and legs come together on purpose.
	ignoredEnd = 0.3
	// grazing is how deep a leg may seem to go into its load before that is
	// named, m: below it, it lies along a face.
	grazing = 5e-3
)

// piece is a straight piece of a hanging leg with its ends left out.
type piece struct {
	leg  string
	a, b Vec
}

// LegPaths finds legs that go through the load that they carry, and legs that
// come too close to each other, in the answer. Both are read off straight
// lines: a leg that would bend round an edge is shown going through it.
func (a *Answer) LegPaths() []Finding {
	var out []Finding
	legs := a.Rig.Legs()
	var all []piece
	for i := range a.Legs {
		x := &a.Legs[i]
		if x.Slack {
			continue
		}
		pieces := piecesOf(x)
		all = append(all, pieces...)
		seen := map[string]bool{}
		for _, to := range legs[i].To {
			if !seen[to.ID] {
				seen[to.ID] = true
				out = append(out, through(a, x.ID, to.ID, pieces)...)
			}
		}
	}
	type pair struct{ a, b string }
	closest := map[pair]float64{}
	var order []pair
	for i := range all {
		for k := i + 1; k < len(all); k++ {
			p, q := all[i], all[k]
			if p.leg == q.leg {
				continue
			}
			gap, _, _ := statics.SegmentDistance(p.a, p.b, q.a, q.b)
			if gap >= leastGap {
				continue
			}
			key := pair{p.leg, q.leg}
			if was, ok := closest[key]; !ok {
				closest[key] = gap
				order = append(order, key)
			} else {
				closest[key] = math.Min(was, gap)
			}
		}
	}
	show := a.Rig.Show()
	for _, p := range order {
		out = append(out, Finding{
			Level: Note, Code: "legs-close", About: fmt.Sprintf("legs %s and %s", p.a, p.b),
			Text: fmt.Sprintf("they come within %s of each other (closer than %s, the first %s at each end left out): they may rub", show.Size(closest[p]), show.Size(leastGap), show.Size(ignoredEnd)),
		})
	}
	return out
}

// piecesOf cuts a leg into straight pieces and leaves out what is near its
// ends and attachment points. The grab hook of a loop is no attachment.
func piecesOf(x *LegAnswer) []piece {
	var out []piece
	add := func(a, b Vec, atA, atB float64) {
		d := statics.Sub(b, a)
		n := statics.Norm(d)
		if n <= atA+atB {
			return
		}
		out = append(out, piece{x.ID, statics.Add(a, statics.Scale(atA/n, d)), statics.Add(b, statics.Scale(-atB/n, d))})
	}
	if len(x.Path) < 3 {
		add(x.From, x.To, ignoredEnd, ignoredEnd)
		return out
	}
	add(x.From, x.To, ignoredEnd, 0)
	last := len(x.Path) - 2
	for k := 0; k <= last; k++ {
		atA, atB := ignoredEnd, ignoredEnd
		if k == 0 {
			atA = 0
		}
		if k == last {
			atB = 0
		}
		add(x.Path[k], x.Path[k+1], atA, atB)
	}
	return out
}

// through finds pieces of a leg that go through a body.
func through(a *Answer, leg, body string, pieces []piece) []Finding {
	bodies := a.Rig.Bodies()
	for i := range bodies {
		b := &bodies[i]
		if b.ID != body || b.Shape.Kind == NoShape {
			continue
		}
		what, longest := "box", 0.0
		for _, p := range pieces {
			pose := a.Bodies[i].Pose()
			from, to := local(pose, p.a), local(pose, p.b)
			inside := 0.0
			if b.Shape.Kind == BoxShape {
				inside = inBox(b.Shape, from, to)
			} else {
				what = "drum"
				inside = inDrum(b.Shape, from, to)
			}
			longest = math.Max(longest, inside)
		}
		if longest > 0 {
			return []Finding{{
				Level: Note, Code: "leg-through-load", About: "leg " + leg,
				Text: fmt.Sprintf("it runs through the %s entered for body %s for %s: where the load is solid there it bears on an edge and pulls otherwise than shown", what, body, a.Rig.Show().Size(longest)),
			}}
		}
	}
	return nil
}

// local turns a place in the hook frame into a body's frame.
func local(pose statics.Pose, at Vec) Vec {
	m := pose.Turn.Matrix()
	return m.TMul(statics.Sub(at, pose.Origin))
}

// inBox returns how long a segment runs inside a box that is smaller by
// [grazing] on every side, m.
func inBox(s Shape, a, b Vec) float64 {
	in, out := 0.0, 1.0
	d := statics.Sub(b, a)
	mid := s.Middle()
	for k := range 3 {
		half := s.Size[k]/2 - grazing
		if half <= 0 {
			return 0
		}
		low, high := mid[k]-half-a[k], mid[k]+half-a[k]
		if math.Abs(d[k]) < 1e-12 {
			if low > 0 || high < 0 {
				return 0
			}
			continue
		}
		t0, t1 := low/d[k], high/d[k]
		in, out = math.Max(in, math.Min(t0, t1)), math.Min(out, math.Max(t0, t1))
	}
	return math.Max(0, out-in) * statics.Norm(d)
}

// inDrum returns how long a segment runs inside a drum, as a capsule, m; zero
// where it only grazes it. It is the chord at the deepest place, across the
// drum, and at most the segment.
func inDrum(s Shape, a, b Vec) float64 {
	c, d := s.CapsuleAxis()
	gap, _, _ := statics.SegmentDistance(a, b, c, d)
	r := s.Diameter / 2
	if gap >= r-grazing {
		return 0
	}
	return math.Min(2*math.Sqrt(r*r-gap*gap), statics.Norm(statics.Sub(b, a)))
}

// CapsuleAxis returns the ends of a drum's axis as a capsule has them: shortened
// by its radius at each end, in the body's frame, m.
func (s Shape) CapsuleAxis() (Vec, Vec) {
	var half Vec
	half[s.Axis] = math.Max(0, s.Length/2-s.Diameter/2)
	mid := s.Middle()
	return statics.Sub(mid, half), statics.Add(mid, half)
}
