package inspect

import (
	"cmp"
	"math"
	"slices"

	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/statics"
)

// besideGap is how far apart two drums may stand on the ground and still be a
// pair, m: a hand's breadth, since they are rolled together by hand.
const besideGap = 0.15

// alike is how far two legs' points may be off each other's mirror image and
// still be a left and a right one, m: more than a tape's error, less than the
// spacing of two lift points.
const alike = 0.1

// sideBySide reports whether two bodies are drums that lie or stand next to
// each other on the ground.
func sideBySide(a, b *rig.Body) bool {
	if a.Shape.Kind != rig.DrumShape || b.Shape.Kind != rig.DrumShape {
		return false
	}
	a0, a1 := a.Shape.CapsuleAxis()
	b0, b1 := b.Shape.CapsuleAxis()
	pa, pb := standing(a), standing(b)
	gap, _, _ := statics.SegmentDistance(pa.At(a0), pa.At(a1), pb.At(b0), pb.At(b1))
	return gap-a.Shape.Diameter/2-b.Shape.Diameter/2 < besideGap
}

// standing returns how a body stands on the ground.
func standing(b *rig.Body) statics.Pose {
	return statics.Pose{Origin: b.At, Turn: statics.Turn(rig.Vec{0, 0, b.Heading})}
}

// footOf returns the middle of a leg's points on the ground.
func footOf(r *rig.Rig, l *rig.Leg) rig.Vec {
	var sum rig.Vec
	for _, ref := range l.To {
		sum = statics.Add(sum, groundOf(r, ref))
	}
	return statics.Scale(1/float64(len(l.To)), sum)
}

func groundOf(r *rig.Rig, ref rig.Ref) rig.Vec {
	bodies := r.Bodies()
	for i := range bodies {
		if b := &bodies[i]; b.ID == ref.ID {
			p, _ := b.PointAt(ref.Point)
			return standing(b).At(p.At)
		}
	}
	return rig.Vec{}
}

// relations lists the pairs of legs that are the mirror of each other, and
// those that lie side by side round an apex.
func (l *lister) relations() {
	legs := l.r.Legs()
	foot := make([]rig.Vec, len(legs))
	low, high := math.Inf(1), math.Inf(-1)
	for i := range legs {
		foot[i] = footOf(l.r, &legs[i])
		low, high = math.Min(low, foot[i][1]), math.Max(high, foot[i][1])
	}
	keel := (low + high) / 2 // the line that left and right are left and right of
	paired := map[int]bool{}
	for i := range legs {
		for k := i + 1; k < len(legs); k++ {
			if paired[i] || paired[k] || legs[i].Chain == nil || legs[k].Chain == nil || *legs[i].From != *legs[k].From {
				continue
			}
			a, b := foot[i], foot[k]
			mirrored := math.Abs(a[0]-b[0]) < alike && math.Abs(a[2]-b[2]) < alike && math.Abs(a[1]+b[1]-2*keel) < alike
			if mirrored && math.Abs(a[1]-b[1]) > alike {
				paired[i], paired[k] = true, true
				l.pair(part.EachMirrored, legs[i].ID, legs[k].ID, ", left and right")
			}
		}
	}
	var froms []rig.Ref
	for i := range legs {
		if !slices.Contains(froms, *legs[i].From) {
			froms = append(froms, *legs[i].From)
		}
	}
	for _, from := range froms {
		l.neighbours(from, legs, foot)
	}
}

// neighbours lists the pairs of legs from one place that lie side by side,
// going round it.
func (l *lister) neighbours(from rig.Ref, legs []rig.Leg, foot []rig.Vec) {
	var round []int
	var middle rig.Vec
	for i := range legs {
		if *legs[i].From == from {
			round = append(round, i)
			middle = statics.Add(middle, foot[i])
		}
	}
	if len(round) < 2 {
		return
	}
	middle = statics.Scale(1/float64(len(round)), middle)
	bearing := func(i int) float64 {
		d := statics.Sub(foot[i], middle)
		// Rounded, so that two legs to one place keep the order of the file.
		return math.Round(math.Atan2(d[1], d[0])*1e6) / 1e6
	}
	slices.SortStableFunc(round, func(a, b int) int { return cmp.Compare(bearing(a), bearing(b)) })
	for k, i := range round {
		if len(round) == 2 && k == 1 {
			break
		}
		l.pair(part.EachNeighbour, legs[i].ID, legs[round[(k+1)%len(round)]].ID, "")
	}
}

// pair lists a relation of two legs. They stand in the order of their ids, so
// that the relation keeps its own when the file's order changes.
func (l *lister) pair(each part.Each, a, b, how string) {
	if b < a {
		a, b = b, a
	}
	l.add(each, Part{ID: "legs." + a + "+" + b, Legs: []string{a, b}}, "legs "+a+" and "+b+how)
}
