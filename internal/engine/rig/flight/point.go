package flight

import (
	"fmt"
	"math"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/statics"
)

// Point is the rig at one steady airspeed.
type Point struct {
	Speed   float64 // m/s
	Drag    float64 // of all bodies, N
	Trail   float64 // rad from the vertical, of the line of the pull on the aircraft, downwind
	Turning float64 // moment that would turn the load about the vertical through its single hook, N·m, positive from x towards y
	Ahead   float64 // under a single hook: how far the drag acts ahead of the line from the apex through the common CG, m. Above zero, a load free to turn would not keep its heading
	Agrees  bool    // attitude and drag agree with each other
	Bodies  []BodyPoint
	Legs    []LegPoint
	Hooks   []HookPoint
	Rated   bool    // some leg has a rating, so that Use means something
	Use     float64 // highest share of rating of a leg in the worst case
	Leg     string
	Slack   []string
	Over    []string   // limits of pull and angle that are passed
	Outside []string   // bands of pitch and roll that are left
	Modes   []rig.Mode // about this position under steady forces, without the turning that the study holds; none where they would show how hard it holds
	Result  rig.Result
	Reason  string
	Answer  *rig.Answer `json:"-"` // to draw it from
}

// BodyPoint is a body at an airspeed.
type BodyPoint struct {
	ID    string
	Pitch float64 // rad
	Roll  float64
	Area  float64 // drag area in this attitude, m²
	Drag  float64 // N
}

// LegPoint is a leg at an airspeed.
type LegPoint struct {
	ID      string
	Tension float64 // N
	Worst   float64 // N, in the worst of the cases judged
	Rated   bool
	Use     float64 // Worst over its rating
	Slack   bool
}

// HookPoint is what a hook carries.
type HookPoint struct {
	ID    string
	Force rig.Vec // what the rig does to the aircraft, N
}

// rounds is how often drag and attitude are tried for each other before the
// study says that they do not agree.
const rounds = 40

// tooHard is how hard a heading may be held before the modes feel it: beyond, a
// point has none. A load whose CG hangs 4 m beneath its apex then pitches by
// about a hundredth faster.
const tooHard = 0.11

// agreed is how little force, over the weight, and moment, over the weight and
// 1 m, may differ between drag and attitude that agree: what it moves is far
// beneath anything shown.
const agreed = 1e-8

// astray is how far a load that is held may turn in one round, rad, before it is
// held harder.
const astray = 0.02

// At hangs the rig at an airspeed, m/s, going on from how it hangs at rest.
func (s *Study) At(speed float64) (*Point, error) { return s.at(speed, s.rest) }

func (s *Study) at(speed float64, from *rig.Answer) (*Point, error) {
	if !(speed >= 0) || math.IsInf(speed, 0) {
		return nil, fmt.Errorf("flight: airspeed %g m/s is not zero or above", speed)
	}
	q := s.c.Pressure(speed)
	hold := holding
	start := from
	d := s.dragAt(from, q, hold)
	if d.total == 0 {
		return s.point(speed, s.rest, d, true, hold), nil
	}
	agrees := false
	step, last := 1.0, math.Inf(1)
	for range rounds {
		a, err := rig.HangWith(s.r, rig.Forces{Gravity: s.gravity, Loads: d.loads, From: from, Unjudged: true})
		if err != nil {
			return nil, err
		}
		if off, ok := s.turned(a, poses(a)); s.single && ok && math.Abs(off) > astray && hold < 10 {
			// A rig of several joints may turn though its whole would not:
			// hold it harder, and begin again.
			hold *= 10
			from, d = start, s.dragAt(start, q, hold)
			step, last = 1, math.Inf(1)
			continue
		}
		next := s.dragAt(a, q, hold)
		from = a
		off := s.apart(&d, &next)
		if off < agreed {
			agrees = true
			break
		}
		if off > 0.9*last {
			step = math.Max(0.1, step/2) // it swings to and fro: go half the way
		}
		last = off
		d = mixed(d, next, step)
	}
	a, err := rig.HangWith(s.r, rig.Forces{Gravity: s.gravity, Loads: d.loads, From: from})
	if err != nil {
		return nil, err
	}
	return s.point(speed, a, d, agrees, hold), nil
}

// apart is how far two estimates of the drag differ: forces over the weight,
// and their places over 1 m times that.
func (s *Study) apart(a, b *drags) float64 {
	if len(a.loads) != len(b.loads) {
		return math.Inf(1)
	}
	weight, off := 0.0, 0.0
	bodies := s.r.Bodies()
	for i := range bodies {
		weight += bodies[i].TotalMass() * s.gravity
	}
	for i := range a.loads {
		x, y := &a.loads[i], &b.loads[i]
		force := rig.Norm(x.Force)
		off = math.Max(off, rig.Norm(statics.Sub(x.Force, y.Force))/weight)
		off = math.Max(off, force*rig.Norm(statics.Sub(x.At, y.At))/weight)
	}
	return off
}

// mixed goes part of the way from one estimate to the next.
func mixed(from, to drags, part float64) drags {
	if part >= 1 || len(from.loads) != len(to.loads) {
		return to
	}
	loads := make([]rig.Load, len(to.loads))
	for i := range loads {
		x, y := from.loads[i], to.loads[i]
		loads[i] = rig.Load{
			Body:  y.Body,
			At:    statics.Add(x.At, statics.Scale(part, statics.Sub(y.At, x.At))),
			Force: statics.Add(x.Force, statics.Scale(part, statics.Sub(y.Force, x.Force))),
		}
	}
	to.loads = loads
	return to
}

// point reads an answer into a point.
func (s *Study) point(speed float64, a *rig.Answer, d drags, agrees bool, hold float64) *Point {
	p := &Point{
		Speed: speed, Drag: d.total, Turning: d.turning, Ahead: d.ahead, Agrees: agrees,
		Modes: s.without(a.Modes), Result: a.Result, Reason: a.Reason, Answer: a,
	}
	if hold > tooHard {
		p.Modes = nil
	}
	for i := range a.Bodies {
		b := &a.Bodies[i]
		p.Bodies = append(p.Bodies, BodyPoint{b.ID, b.Pitch, b.Roll, d.area[i], d.force[i]})
	}
	for i := range a.Legs {
		l := &a.Legs[i]
		x := LegPoint{ID: l.ID, Tension: l.Tension, Worst: l.Worst, Slack: l.Slack}
		if u := l.WorstUse(); !math.IsNaN(u) {
			x.Rated, x.Use = true, u
		}
		if l.Slack {
			p.Slack = append(p.Slack, l.ID)
		}
		p.Legs = append(p.Legs, x)
	}
	var pull rig.Vec
	for i := range a.Apexes {
		p.Hooks = append(p.Hooks, HookPoint{a.Apexes[i].ID, a.Apexes[i].Force})
		pull = statics.Add(pull, a.Apexes[i].Force)
	}
	if rig.Norm(pull) > 0 {
		p.Trail = math.Atan2(statics.Dot(pull, s.c.wind()), -pull[2])
	}
	p.Use, p.Leg, p.Rated = a.HighestUse()
	for _, c := range a.Checks {
		if c.Passed() && c.Band == nil { // bands are told below, in words
			p.Over = append(p.Over, c.About+": "+c.What)
		}
	}
	for _, f := range a.Findings {
		if f.Code == "pitch-outside" || f.Code == "roll-outside" {
			p.Outside = append(p.Outside, f.About+": "+f.Text)
		}
	}
	return p
}
