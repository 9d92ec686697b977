package inspect

import (
	"fmt"
	"math"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/statics"
)

// laneWidth is how far from the load's outline a person stands, m: an arm's
// length from what is looked at.
const laneWidth = 0.8

// backOff is how much further a person stands who compares two sides, m.
const backOff = 3.0

// Stand is where a person stands at a checkpoint.
type Stand string

// The places to stand. All are on the ground beside the load, or at the parked
// aircraft; none is under a hanging load or between load and aircraft.
const (
	StandHere       Stand = "here" // beside the load, nearest to what is looked at
	StandFront      Stand = "front"
	StandFrontLeft  Stand = "front-left"
	StandLeft       Stand = "left"
	StandRearLeft   Stand = "rear-left"
	StandRear       Stand = "rear"
	StandRearRight  Stand = "rear-right"
	StandRight      Stand = "right"
	StandFrontRight Stand = "front-right"
	StandFarFront   Stand = "far-front" // some steps back, with the whole load in view
	StandFarRear    Stand = "far-rear"
	StandFarLeft    Stand = "far-left"
	StandFarRight   Stand = "far-right"
	StandApex       Stand = "apex" // beside the load, nearest to the apex as it lies
	StandAircraft   Stand = "aircraft"
)

// Stands lists the places to stand.
var Stands = []Stand{
	StandHere, StandFront, StandFrontLeft, StandLeft, StandRearLeft, StandRear, StandRearRight, StandRight, StandFrontRight,
	StandFarFront, StandFarRear, StandFarLeft, StandFarRight, StandApex, StandAircraft,
}

// sides says which way each place lies: ahead, to the left, and how far back.
var sides = map[Stand][3]float64{
	StandFront: {1, 0, 0}, StandFrontLeft: {1, 1, 0}, StandLeft: {0, 1, 0}, StandRearLeft: {-1, 1, 0},
	StandRear: {-1, 0, 0}, StandRearRight: {-1, -1, 0}, StandRight: {0, -1, 0}, StandFrontRight: {1, -1, 0},
	StandFarFront: {1, 0, backOff}, StandFarRear: {-1, 0, backOff}, StandFarLeft: {0, 1, backOff}, StandFarRight: {0, -1, backOff},
}

// Words returns the place as a person reads it; left is the load's left.
func (s Stand) Words() string {
	return map[Stand]string{
		StandHere: "beside it", StandFront: "at the load's front", StandFrontLeft: "at the load's front left",
		StandLeft: "at the load's left", StandRearLeft: "at the load's rear left", StandRear: "at the load's rear",
		StandRearRight: "at the load's rear right", StandRight: "at the load's right", StandFrontRight: "at the load's front right",
		StandFarFront: "some steps before the load's front", StandFarRear: "some steps behind the load's rear",
		StandFarLeft: "some steps off the load's left", StandFarRight: "some steps off the load's right",
		StandApex: "beside the load, at the apex as it lies", StandAircraft: "at the parked aircraft, rotors stopped",
	}[s]
}

// Footprint returns the corners of the rectangle, along the ground frame's
// axes, that holds all bodies as they stand, m. The load's front is ahead.
func (s *Scene) Footprint() (low, high [2]float64) {
	low, high = [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	take := func(at rig.Vec) {
		for k := range 2 {
			low[k], high[k] = math.Min(low[k], at[k]), math.Max(high[k], at[k])
		}
	}
	for _, b := range s.r.Bodies() {
		pose := standing(&b)
		for _, p := range b.Points {
			take(pose.At(p.At))
		}
		size := b.Shape.Extent()
		for _, x := range []float64{-1, 1} {
			for _, y := range []float64{-1, 1} {
				take(pose.At(rig.Vec{x * size[0] / 2, y * size[1] / 2, 0}))
			}
		}
	}
	return low, high
}

// Where returns where on the ground a person stands, m; near is what is looked
// at. The aircraft stands far off to the left.
func (s *Scene) Where(stand Stand, near rig.Vec) [2]float64 {
	low, high := s.Footprint()
	for k := range 2 {
		low[k] -= laneWidth
		high[k] += laneWidth
	}
	if d, ok := sides[stand]; ok {
		var at [2]float64
		for k := range 2 {
			switch d[k] {
			case 1:
				at[k] = high[k] + d[2]
			case -1:
				at[k] = low[k] - d[2]
			default:
				at[k] = (low[k] + high[k]) / 2
			}
		}
		return at
	}
	if stand == StandAircraft {
		return [2]float64{(low[0] + high[0]) / 2, high[1] + 4*backOff}
	}
	return ontoLane(low, high, [2]float64{near[0], near[1]})
}

// ontoLane returns the place on the lane round the load that is nearest to at.
func ontoLane(low, high, at [2]float64) [2]float64 {
	best, out := math.Inf(1), at
	for k := range 2 {
		for _, edge := range []float64{high[k], low[k]} {
			p := at
			p[k] = edge
			p[1-k] = math.Max(low[1-k], math.Min(high[1-k], at[1-k]))
			if d := math.Hypot(p[0]-at[0], p[1]-at[1]); d < best-1e-9 {
				best, out = d, p
			}
		}
	}
	return out
}

// Station is a numbered place of the walk.
type Station struct {
	Number      int        // from 1
	At          [2]float64 // on the ground, m
	Text        string
	Checkpoints []int // indices of the sequence's checkpoints, which follow one another
}

// Stations numbers the places of a sequence in the order of the walk.
// Checkpoints that follow one another at one place share its number; a place
// come back to has a new one.
func (v *Survey) Stations(q *Sequence) []Station {
	scene := SceneOf(v.Rig, nil)
	var out []Station
	for i := range q.Checkpoints {
		c := &q.Checkpoints[i]
		at := scene.Where(c.Stand, v.middle(scene, c))
		if c.At != nil {
			at = *c.At
		}
		if n := len(out); n > 0 && math.Hypot(at[0]-out[n-1].At[0], at[1]-out[n-1].At[1]) < 0.5 {
			out[n-1].Checkpoints = append(out[n-1].Checkpoints, i)
			continue
		}
		text := c.Stand.Words()
		if c.At != nil {
			text = fmt.Sprintf("at %.1f m ahead, %.1f m left", at[0], at[1])
		} else if c.Stand == StandHere {
			text = scene.words(at)
		}
		out = append(out, Station{len(out) + 1, at, text, []int{i}})
	}
	return out
}

// middle returns the middle of what a checkpoint looks at, on the ground.
func (v *Survey) middle(scene *Scene, c *Checkpoint) rig.Vec {
	var sum rig.Vec
	n := 0.0
	for i := range v.Parts {
		p := &v.Parts[i]
		if !c.looksAt(p) {
			continue
		}
		at := scene.Ground(p.Place)
		if leg, ok := v.Rig.Leg(p.On.Leg); ok && c.Stand == StandApex && leg.From.Point == "" {
			at = scene.Apex(leg.From.ID) // at the apex, whatever else belongs to the leg
		}
		sum = statics.Add(sum, at)
		n++
	}
	if n == 0 {
		return rig.Vec{}
	}
	return statics.Scale(1/n, sum)
}

// words says on which side of the load a place is.
func (s *Scene) words(at [2]float64) string {
	low, high := s.Footprint()
	third := func(k int) int {
		f := (at[k] - low[k]) / math.Max(high[k]-low[k], 1e-9)
		switch {
		case f > 2.0/3:
			return 1
		case f < 1.0/3:
			return -1
		}
		return 0
	}
	for stand, d := range sides {
		if d[2] == 0 && int(d[0]) == third(0) && int(d[1]) == third(1) {
			return stand.Words()
		}
	}
	return "beside the load"
}
