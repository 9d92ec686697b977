package statics

import (
	"fmt"
	"math"
)

// AnchorKind says what an [Anchor] is attached to.
type AnchorKind uint8

// The kinds of anchor.
const (
	OnFixed AnchorKind = iota // a fixed point of the model
	OnNode                    // a free node
	OnBody                    // a point of a body
)

// Anchor is a place where a line is attached.
type Anchor struct {
	Kind  AnchorKind
	Index int // of the fixed point, node or body
	Point Vec // in the body's frame, m; used when Kind is OnBody
}

// Line is an elastic thread through two or more anchors, able to pull only.
type Line struct {
	Path      []Anchor
	Length    float64 // unstretched, m; > 0
	Stiffness float64 // tension per metre of stretch, N/m; > 0
}

// Body is a heavy rigid body.
type Body struct {
	Mass     float64 // kg; > 0
	CG       Vec     // centre of gravity in the body's frame, m
	Gyration Vec     // radii of gyration about the CG along the body's axes, m; zero where not known; only modes need it
	Ground   Pose    // where the body's origin stands on the ground
}

// Pose is where a body's origin is in the world, and how the body is turned.
type Pose struct {
	Origin Vec
	Turn   Quat
}

// At returns the world position of a point given in the body's frame.
func (p Pose) At(point Vec) Vec { return Add(p.Origin, p.Turn.Rotate(point)) }

// Capsule is the contact shape of a round body: all points within Radius of
// the segment from A to B, which may be one point.
type Capsule struct {
	Body   int
	A, B   Vec // in the body's frame, m
	Radius float64
}

// Box is the contact shape of a square body, its sides along the body's axes.
// Boxes press on capsules; two boxes do not press on each other.
type Box struct {
	Body   int
	Centre Vec // in the body's frame, m
	Half   Vec // half its sizes, m
}

// Load is a force of constant size and direction in the world, on a point of a
// body.
type Load struct {
	Body  int
	Point Vec // in the body's frame, m
	Force Vec // in the world, N
}

// Model is everything that decides how the bodies hang. It is not changed by
// solving.
type Model struct {
	Gravity  float64 // m/s², downwards
	Bodies   []Body
	Nodes    int // number of free nodes
	Fixed    []Vec
	Lines    []Line
	Capsules []Capsule
	Boxes    []Box
	Loads    []Load
	// ContactStiffness is k in newtons per metre of overlap: a pair of
	// capsules stores ¼·k·(∫p² along one axis + ∫p² along the other), a
	// capsule and a box ½·k·∫p² along the capsule's axis, the axis running
	// from 0 to 1 and p being the overlap at a place on it.
	ContactStiffness float64
}

// Weight returns the total weight of the bodies, N.
func (m *Model) Weight() float64 {
	w := 0.0
	for i := range m.Bodies {
		w += m.Bodies[i].Mass * m.Gravity
	}
	return w
}

// Check reports the first thing that makes the model meaningless: an index out
// of range, a mass, length or stiffness that is not positive and finite, a
// place or force that is not finite, a line with fewer than two anchors.
func (m *Model) Check() error {
	positive := func(x float64) bool { return x > 0 && !math.IsInf(x, 1) }
	if len(m.Bodies) == 0 {
		return fmt.Errorf("statics: no body")
	}
	if len(m.Fixed) == 0 {
		return fmt.Errorf("statics: no fixed point")
	}
	if !positive(m.Gravity) {
		return fmt.Errorf("statics: gravity %g is not positive", m.Gravity)
	}
	for i, b := range m.Bodies {
		if !positive(b.Mass) {
			return fmt.Errorf("statics: mass %g of body %d is not positive", b.Mass, i)
		}
		if !finite(b.CG) || !finite(b.Ground.Origin) {
			return fmt.Errorf("statics: body %d has a position that is not finite", i)
		}
		if q := b.Ground.Turn; !positive(math.Hypot(math.Hypot(q[0], q[1]), math.Hypot(q[2], q[3]))) {
			return fmt.Errorf("statics: body %d stands turned by %v, which is no rotation", i, q)
		}
	}
	for i, f := range m.Fixed {
		if !finite(f) {
			return fmt.Errorf("statics: fixed point %d is at a position that is not finite", i)
		}
	}
	for i, l := range m.Lines {
		if len(l.Path) < 2 {
			return fmt.Errorf("statics: line %d has fewer than two anchors", i)
		}
		if !positive(l.Length) || !positive(l.Stiffness) {
			return fmt.Errorf("statics: line %d has length %g and stiffness %g; both must be positive", i, l.Length, l.Stiffness)
		}
		for _, a := range l.Path {
			n := map[AnchorKind]int{OnFixed: len(m.Fixed), OnNode: m.Nodes, OnBody: len(m.Bodies)}[a.Kind]
			if a.Index < 0 || a.Index >= n {
				return fmt.Errorf("statics: line %d is anchored to something that is not there", i)
			}
			if !finite(a.Point) {
				return fmt.Errorf("statics: line %d is anchored to a point that is not finite", i)
			}
		}
	}
	for i, l := range m.Loads {
		if l.Body < 0 || l.Body >= len(m.Bodies) {
			return fmt.Errorf("statics: load %d is on a body that is not there", i)
		}
		if !finite(l.Point) || !finite(l.Force) {
			return fmt.Errorf("statics: load %d is not finite", i)
		}
	}
	if len(m.Capsules) > 0 && !positive(m.ContactStiffness) {
		return fmt.Errorf("statics: contact stiffness %g is not positive", m.ContactStiffness)
	}
	for _, c := range m.Capsules {
		if c.Body < 0 || c.Body >= len(m.Bodies) || !positive(c.Radius) || !finite(c.A) || !finite(c.B) {
			return fmt.Errorf("statics: a capsule of body %d is malformed", c.Body)
		}
	}
	for _, b := range m.Boxes {
		if b.Body < 0 || b.Body >= len(m.Bodies) || !finite(b.Centre) || !finite(b.Half) {
			return fmt.Errorf("statics: a box of body %d is malformed", b.Body)
		}
	}
	return nil
}

func finite(v Vec) bool {
	for _, x := range v {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}

// State is a position of every body and node.
type State struct {
	Bodies []Pose
	Nodes  []Vec
}

// Clone returns a copy that shares nothing with s.
func (s *State) Clone() State {
	return State{append([]Pose(nil), s.Bodies...), append([]Vec(nil), s.Nodes...)}
}
