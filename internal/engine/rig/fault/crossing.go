package fault

import (
	"fmt"

	"hangtrue/internal/engine/rig"
)

// seatStep is how far apart neighbouring seats of an apex pin are taken to lie,
// m: our choice. It only has to be small beside the load; it enters into no
// pull or attitude.
const seatStep = 0.05

// Crossing is a pair of legs of one apex that lie across each other.
type Crossing struct{ A, B string }

// String names both legs.
func (c Crossing) String() string { return fmt.Sprintf("legs %s and %s cross", c.A, c.B) }

// Crossings finds the legs that lie across each other as the rig hangs, seen
// from above: from their seats on the apex pin, which runs from the load's left
// to its right, to the points that they lead to. Legs without a seat entered,
// or of different apexes, are not compared. A leg through several points
// counts by the middle of them.
func Crossings(a *rig.Answer) []Crossing {
	legs := a.Rig.Legs()
	type line struct {
		from rig.Ref
		seat int
		end  [2]float64 // from the apex
	}
	middle := pinMiddles(legs)
	lines := make([]*line, len(legs))
	for i := range legs {
		l := &legs[i]
		if l.Seat == nil || l.From.Point != "" {
			continue
		}
		apex := a.Legs[i].From
		x := &line{from: *l.From, seat: *l.Seat}
		for _, ref := range l.To {
			at := pointAt(a, ref)
			for k := range 2 {
				x.end[k] += (at[k] - apex[k]) / float64(len(l.To))
			}
		}
		lines[i] = x
	}
	var out []Crossing
	for i := range lines {
		for k := i + 1; k < len(lines); k++ {
			p, q := lines[i], lines[k]
			if p == nil || q == nil || p.from != q.from || p.seat == q.seat {
				continue
			}
			// y runs to the left, and seats are counted from the left.
			on := func(seat int) [2]float64 { return [2]float64{0, seatStep * (middle[p.from] - float64(seat))} }
			if cross(on(p.seat), p.end, on(q.seat), q.end) {
				out = append(out, Crossing{legs[i].ID, legs[k].ID})
			}
		}
	}
	return out
}

// pinMiddles returns, for each apex, the place between its first and its last
// seat that a leg sits in.
func pinMiddles(legs []rig.Leg) map[rig.Ref]float64 {
	first, last := map[rig.Ref]int{}, map[rig.Ref]int{}
	for i := range legs {
		l := &legs[i]
		if l.Seat == nil {
			continue
		}
		if n, ok := first[*l.From]; !ok || *l.Seat < n {
			first[*l.From] = *l.Seat
		}
		last[*l.From] = max(last[*l.From], *l.Seat)
	}
	out := map[rig.Ref]float64{}
	for ref := range first {
		out[ref] = float64(first[ref]+last[ref]) / 2
	}
	return out
}

func pointAt(a *rig.Answer, ref rig.Ref) rig.Vec {
	bodies := a.Rig.Bodies()
	for i := range bodies {
		if bodies[i].ID == ref.ID {
			p, _ := bodies[i].PointAt(ref.Point)
			return a.Bodies[i].Pose().At(p.At)
		}
	}
	return rig.Vec{}
}

// cross reports whether the pieces a–b and c–d have a point in common that is
// an end of neither.
func cross(a, b, c, d [2]float64) bool {
	side := func(p, q, r [2]float64) float64 {
		return (q[0]-p[0])*(r[1]-p[1]) - (q[1]-p[1])*(r[0]-p[0])
	}
	const least = 1e-9
	s1, s2 := side(a, b, c), side(a, b, d)
	s3, s4 := side(c, d, a), side(c, d, b)
	return s1*s2 < -least*least && s3*s4 < -least*least
}

// newCrossings lists the crossings of now that are not in plan.
func newCrossings(now, plan []Crossing) []Crossing {
	was := map[Crossing]bool{}
	for _, c := range plan {
		was[c] = true
	}
	var out []Crossing
	for _, c := range now {
		if !was[c] {
			out = append(out, c)
		}
	}
	return out
}
