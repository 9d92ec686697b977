package rig

import (
	"math"

	"hangtrue/internal/engine/statics"
)

// Result is what an answer says against the limits entered. It is never a
// clearance.
type Result uint8

// The results, from the least to the most severe in their order of precedence.
const (
	Within       Result = iota // within the limits entered, and none is missing
	CannotTell                 // a limit of the load path is not entered, or the answer cannot be trusted
	Over                       // a limit is passed
	DoesNotStand               // a body hangs on nothing, or tips over
)

// String returns the result's word in the solution format.
func (r Result) String() string {
	return [...]string{"within", "cannot-tell", "over", "does-not-stand"}[r]
}

// Words returns the result as a person reads it.
func (r Result) Words() string {
	return [...]string{"within the limits entered", "cannot tell", "over a limit", "does not stand"}[r]
}

// Level says how much a finding weighs.
type Level uint8

// The levels of a finding.
const (
	Note Level = iota
	Unknown
	Exceeded
)

// String returns the level's word in the solution format.
func (l Level) String() string { return [...]string{"note", "cannot-tell", "over"}[l] }

// Finding is something that an answer says about a part of the rig.
type Finding struct {
	Level Level
	Code  string // a stable word for programs
	About string
	Text  string
}

// Check is one limit held against one demand.
type Check struct {
	About  string // leg FL, set A, hook of apex …
	What   string // pull along the leg, weight on the set …
	Demand float64
	Limit  float64
	Force  bool   // both are forces, N; otherwise angles, rad
	Source string // where the limit comes from, where it is not the rig file
	Case   string // which of the cases tried was worst
	// Band is the band, rad, that pitch or roll must keep to, lowest first; nil
	// for any other limit. Limit is then the end of it that is nearer.
	Band *[2]float64
}

// Use returns the demand as a share of the limit; of a band, how far from its
// middle as a share of the way to its end.
func (c Check) Use() float64 {
	if c.Band == nil {
		return c.Demand / c.Limit
	}
	half := (c.Band[1] - c.Band[0]) / 2
	off := math.Abs(c.Demand - c.Band[0] - half)
	if half < 1e-9 { // a band of one angle
		if !c.Passed() {
			return 1
		}
		return math.Inf(1)
	}
	return off / half
}

// Passed reports whether the limit is passed, or the band left. Rounding is no
// passing.
func (c Check) Passed() bool {
	const rounding = 1e-9 // rad
	if c.Band != nil {
		return c.Demand < c.Band[0]-rounding || c.Demand > c.Band[1]+rounding
	}
	return c.Demand > c.Limit*(1+1e-9)
}

// Answer is how one rig hangs, and what that means against its limits.
type Answer struct {
	Rig       *Rig
	Converged bool
	Stable    bool
	Residual  float64 // largest unbalanced force, N, or moment, N·m over 1 m
	Lowest    float64 // lowest stiffness eigenvalue outside the neutral directions, N/m
	Steps     int
	Apexes    []ApexAnswer
	Bodies    []BodyAnswer
	Nodes     []NodeAnswer
	Legs      []LegAnswer
	Sets      []SetAnswer
	Touches   []Contact
	Modes     []Mode
	Checks    []Check // every limit that was held against something
	Missing   []string
	Findings  []Finding
	Result    Result
	Reason    string
	Status    Status
}

// ApexAnswer is where an apex hangs and what it carries.
type ApexAnswer struct {
	ID       string
	Hook     Vec
	Position Vec // equals Hook without a pendant
	Force    Vec // what the rig does to the aircraft, N
	Pendant  float64
}

// BodyAnswer is how a body hangs.
type BodyAnswer struct {
	ID     string
	Origin Vec
	Turn   statics.Quat
	CG     Vec
	Pitch  float64 // rad, positive nose up
	Roll   float64 // rad, positive right side down
	Tilt   float64 // rad, between the body's upright axis and the vertical
	Joined bool    // hangs on an apex at all
}

// Pose returns the body's pose in the hook frame.
func (b *BodyAnswer) Pose() statics.Pose { return statics.Pose{Origin: b.Origin, Turn: b.Turn} }

// NodeAnswer is where a grab hook of a loop through several points hangs.
type NodeAnswer struct {
	ID       string
	Position Vec
}

// LegAnswer is what a leg carries.
type LegAnswer struct {
	ID          string
	Tension     float64 // of the rope, N
	Unstretched float64 // m; of the rope to its grab hook where the loop goes through several points
	Length      float64 // m, likewise
	Angle       float64 // rad from the vertical; of a slack leg, of the straight line between its ends
	Slack       bool
	Runs        []float64 // N, of each run of a loop through several points
	From, To    Vec       // ends of the rope, hook frame
	Path        []Vec     // grab hook, points and grab hook again, for such a loop
	Allowed     float64   // pull that the rating allows in this hitch, N; 0 without one
	Use         float64   // Tension over Allowed; NaN without a rating
	Redundant   bool      // statics alone leaves its tension open
	Worst       float64   // N, the largest tension in all cases judged
	WorstCase   string    // which case that was; "" for the rig as entered
	Counted     float64   // N, its pull when only as many legs as the user's rule counts carry; 0 where no rule is entered
}

// WorstUse returns the leg's worst tension over its rating, NaN without one.
func (l *LegAnswer) WorstUse() float64 {
	if l.Allowed == 0 {
		return math.NaN()
	}
	return l.Worst / l.Allowed
}

// SetAnswer is what a set of legs carries.
type SetAnswer struct {
	ID    string
	Load  float64 // weight that hangs on it, N
	Rated float64 // N; 0 without a rating
}

// Contact is a pair of bodies that press on each other.
type Contact struct {
	A, B  string
	Force float64 // N
}

// Mode is a small motion about the position the load hangs in, the hook held
// still.
type Mode struct {
	Frequency float64 // Hz
	Shape     string
	Names     []string // the parts of the motion, largest first
}

// HighestUse returns the highest worst-case share of rating of any leg and that
// leg's id; ok is false where no leg has a rating.
func (a *Answer) HighestUse() (use float64, id string, ok bool) {
	for i := range a.Legs {
		if u := a.Legs[i].WorstUse(); !math.IsNaN(u) && (!ok || u > use) {
			use, id, ok = u, a.Legs[i].ID, true
		}
	}
	return use, id, ok
}

// Governing returns the check that is nearest to its limit or furthest beyond
// it. Bands of attitude are left out: they have no share.
func (a *Answer) Governing() (Check, bool) {
	best, found := Check{}, false
	for _, c := range a.Checks {
		if c.Band == nil && (!found || c.Use() > best.Use()) {
			best, found = c, true
		}
	}
	return best, found
}
