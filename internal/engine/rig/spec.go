package rig

import (
	"time"

	"hangtrue/internal/engine/liquid"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/statics"
)

// Vec is a position or direction, m.
type Vec = statics.Vec

// Spec is a rig as entered, in SI units. Pointers are nil where nothing was
// entered. It may be wrong: [New] checks it.
type Spec struct {
	Title        string
	Invented     bool // demo data: marked on everything, cannot be signed
	Notes        string
	Show         quantity.System
	Apexes       []Apex // none: one with id "apex" at the origin
	Bodies       []Body
	Legs         []Leg
	Sets         []Set
	Limits       Limits
	LegTolerance *float64 // m; how much longer or shorter a leg may be than entered
	LegsCounted  int      // how many legs of a redundant set the user's rule counts; 0: all
	LowestCount  int      // lowest count that practice allows; 0: 3 (common practice, no source)
	Procedure    *Procedure
	Parts        []ExtraPart
}

// Apex is where legs come together under a hook.
type Apex struct {
	ID        string
	At        Vec      // the hook, in the hook frame
	Pendant   *Pendant // nil: the apex is at At itself
	Rated     *float64 // the apex fitting's rating, N
	HookRated *float64 // the hook's rating for this load, N
}

// Pendant is a single line between the hook and the apex.
type Pendant struct {
	Length  float64 // m
	Stretch Stretch
	Rated   *float64 // N
}

// Stretch says how elastic a line is: Ratio longer under Force.
type Stretch struct {
	Ratio float64 // for example 0.08 for 8 %
	Force float64 // N
}

// EA returns the axial stiffness, N: the force that would double the length
// if stretch went on in proportion.
func (s Stretch) EA() float64 { return s.Force / s.Ratio }

// ShapeKind says what a body looks like.
type ShapeKind uint8

// The kinds of shape.
const (
	NoShape ShapeKind = iota // only a mass with points
	BoxShape
	DrumShape
)

// Shape is a body's outline.
type Shape struct {
	Kind     ShapeKind
	Size     Vec     // of a box along x, y, z, m
	Length   float64 // of a drum along its axis, m
	Diameter float64 // of a drum, m
	Axis     int     // of a drum: 0 x, 1 y, 2 z
}

// Item is one of the things that make up a body.
type Item struct {
	What string
	Mass float64 // kg
	At   Vec     // its CG in the body's frame
}

// Body is one rigid thing that hangs.
type Body struct {
	ID       string
	Shape    Shape
	Mass     float64      // kg; zero where Items say it
	CG       *Vec         // nil: the middle of the shape, or from Items
	Items    []Item       // instead of Mass
	Gyration *Vec         // radii of gyration about the CG along the body's axes; nil: the shape filled evenly
	Points   []Point      // in the order entered
	DragArea *Vec         // drag coefficient times area, m², of the air coming along the body's x, y and z axis; nil: by the shape
	At       Vec          // where its origin stands on the ground
	Heading  float64      // rad
	Known    string       // how the weight is known: weighed, plate, estimated
	KnownBy  string       // who weighed or estimated it
	KnownOn  time.Time    // the day; zero where not entered
	MassBand *float64     // kg either way, where the weight is an estimate
	Fill     *liquid.Fill // what it holds as a liquid, nil: nothing; its mass is that of the item FillItem
	FillItem int          // which of Items is the liquid, at its CG while the body stands level
}

// Point is a place on a body that a leg can be attached to.
type Point struct {
	ID         string
	At         Vec      // in the body's frame
	Rated      *float64 // N
	Pull       *Vec     // direction it is made to be pulled in, body's frame
	PullWithin *float64 // rad; how far from Pull it may be pulled
}

// Ref names a point of a body, or an apex when Point is empty.
type Ref struct {
	ID    string
	Point string
}

// String returns the reference as it is written in a file.
func (r Ref) String() string {
	if r.Point == "" {
		return r.ID
	}
	return r.ID + "." + r.Point
}

// Rope is the upper part of a leg.
type Rope struct {
	Length  float64 // m
	Stretch Stretch
}

// Chain is the lower part of a leg, looped through its points and back to the
// grab hook.
type Chain struct {
	Links   int
	Pitch   float64 // m
	Stretch Stretch
}

// Hitch says how a leg holds its load.
type Hitch uint8

// The kinds of hitch.
const (
	Direct Hitch = iota
	Choke
	Basket
)

// String returns the hitch's name.
func (h Hitch) String() string { return [...]string{"direct", "choke", "basket"}[h] }

// Leg is one sling leg.
type Leg struct {
	ID          string
	From        *Ref // nil where there is one apex
	To          []Ref
	Rope        *Rope
	Chain       *Chain
	Fittings    float64 // m; adds length and does not stretch
	Count       *int    // the link held by the grab hook, from the chain's free end, the last being 1
	Find        bool    // the count is open, to be found
	Group       string  // legs whose counts go together
	Seat        *int    // place on the apex pin, from the left, facing the load's front
	Rated       *float64
	Clevis      *float64 // rating, N
	NoClevis    bool     // the leg has none
	Hitch       Hitch
	HitchFactor *float64
	HitchSource string
}

// Set is what is marked on the plate of a set of legs.
type Set struct {
	ID     string
	Legs   []string
	Rated  *float64 // N, for the whole set
	UpTo   *float64 // rad from the vertical
	Source string
}

// Limits are the rig's own limits.
type Limits struct {
	Pitch    *[2]float64 // rad, lowest and highest
	Roll     *[2]float64
	LegAngle *float64 // rad from the vertical, for legs whose set states none
}

// Procedure is the approved rigging procedure that the rig follows.
type Procedure struct {
	Publication string
	Edition     string
	Change      string
	Paragraph   string
	Aircraft    []string
	Set         string
	Airspeed    string
	Weight      *[2]float64 // N, lowest and highest
	Counts      map[string]int
}

// ExtraPart is a part of the rig that does not follow from its legs and
// points.
type ExtraPart struct {
	ID   string
	Kind string
	On   string // the leg, body, point or apex it belongs to
	At   *Vec   // in the body's frame
}

// Problem is something wrong with a spec. Path says where, in the words of the
// rig file: legs[2].to[0].
type Problem struct {
	Path string
	Text string
	Hint string
}

// Error returns the problem as one line.
func (p Problem) Error() string {
	s := p.Text
	if p.Path != "" {
		s = p.Path + ": " + s
	}
	if p.Hint != "" {
		s += "; " + p.Hint
	}
	return s
}
