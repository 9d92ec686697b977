package rig

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/statics"
)

// Rig is a valid rig. It is never changed; what its methods return must not be
// changed either.
type Rig struct {
	spec Spec
}

// Spec returns a copy of what the rig was made of, with its defaults filled
// in.
func (r *Rig) Spec() Spec { return clone(r.spec) }

// Title returns the rig's title.
func (r *Rig) Title() string { return r.spec.Title }

// Invented reports whether the rig is demo data.
func (r *Rig) Invented() bool { return r.spec.Invented }

// Show returns the system of units that output is given in.
func (r *Rig) Show() quantity.System { return r.spec.Show }

// Apexes returns the rig's apexes, at least one.
func (r *Rig) Apexes() []Apex { return r.spec.Apexes }

// Bodies returns the rig's bodies, at least one.
func (r *Rig) Bodies() []Body { return r.spec.Bodies }

// Legs returns the rig's legs.
func (r *Rig) Legs() []Leg { return r.spec.Legs }

// Sets returns the rig's sets.
func (r *Rig) Sets() []Set { return r.spec.Sets }

// Limits returns the rig's own limits.
func (r *Rig) Limits() Limits { return r.spec.Limits }

// Procedure returns the procedure the rig follows, or nil.
func (r *Rig) Procedure() *Procedure { return r.spec.Procedure }

// Leg returns the leg with this id.
func (r *Rig) Leg(id string) (Leg, bool) {
	for _, l := range r.spec.Legs {
		if l.ID == id {
			return l, true
		}
	}
	return Leg{}, false
}

// LegsRated reports whether a pull is allowed along any leg, as its rating and
// hitch say.
func (r *Rig) LegsRated() bool {
	for i := range r.spec.Legs {
		if _, ok := r.spec.Legs[i].Allowed(); ok {
			return true
		}
	}
	return false
}

// Open returns the ids of the legs whose counts are still to be found.
func (r *Rig) Open() []string {
	var ids []string
	for _, l := range r.spec.Legs {
		if l.Chain != nil && l.Count == nil {
			ids = append(ids, l.ID)
		}
	}
	return ids
}

// WithCounts returns the rig with other counts for the legs named.
func (r *Rig) WithCounts(counts map[string]int) (*Rig, error) {
	s := clone(r.spec)
	for _, id := range sortedKeys(counts) {
		i := slices.IndexFunc(s.Legs, func(l Leg) bool { return l.ID == id })
		if i < 0 {
			return nil, fmt.Errorf("rig: there is no leg %q", id)
		}
		n := counts[id]
		s.Legs[i].Count = &n
		s.Legs[i].Find = false
	}
	out, problems := New(s)
	if len(problems) > 0 {
		return nil, problems[0]
	}
	return out, nil
}

// Weight returns the weight of everything that hangs, N.
func (r *Rig) Weight() float64 {
	w := 0.0
	for i := range r.spec.Bodies {
		w += r.spec.Bodies[i].TotalMass() * quantity.StandardGravity
	}
	return w
}

// TotalMass returns the body's mass, kg.
func (b *Body) TotalMass() float64 {
	if len(b.Items) == 0 {
		return b.Mass
	}
	m := 0.0
	for _, it := range b.Items {
		m += it.Mass
	}
	return m
}

// Centre returns the body's CG in its own frame, m.
func (b *Body) Centre() Vec {
	if len(b.Items) > 0 {
		var sum Vec
		mass := 0.0
		for _, it := range b.Items {
			mass += it.Mass
			for k := range sum {
				sum[k] += it.Mass * it.At[k]
			}
		}
		return statics.Scale(1/mass, sum)
	}
	if b.CG != nil {
		return *b.CG
	}
	return b.Shape.Middle()
}

// Middle returns the middle of the shape in the body's frame, m.
func (s Shape) Middle() Vec { return Vec{0, 0, s.Extent()[2] / 2} }

// Extent returns the shape's size along the body's axes, m.
func (s Shape) Extent() Vec {
	switch s.Kind {
	case BoxShape:
		return s.Size
	case DrumShape:
		e := Vec{s.Diameter, s.Diameter, s.Diameter}
		e[s.Axis] = s.Length
		return e
	}
	return Vec{}
}

// gyration returns the radii of gyration about the CG along the body's axes,
// m: as entered, or of the shape filled evenly.
func (b *Body) gyration() Vec {
	if b.Gyration != nil {
		return *b.Gyration
	}
	switch s := b.Shape; s.Kind {
	case BoxShape:
		x, y, z := s.Size[0], s.Size[1], s.Size[2]
		return Vec{math.Sqrt((y*y + z*z) / 12), math.Sqrt((x*x + z*z) / 12), math.Sqrt((x*x + y*y) / 12)}
	case DrumShape:
		r := s.Diameter / 2
		across := math.Sqrt(r*r/4 + s.Length*s.Length/12)
		g := Vec{across, across, across}
		g[s.Axis] = r / math.Sqrt2
		return g
	}
	return Vec{}
}

// groundPose returns how the body stands on the ground.
func (b *Body) groundPose() statics.Pose {
	return statics.Pose{Origin: b.At, Turn: statics.Turn(Vec{0, 0, b.Heading})}
}

// PointAt returns the position of a point in the body's frame.
func (b *Body) PointAt(id string) (Point, bool) {
	for _, p := range b.Points {
		if p.ID == id {
			return p, true
		}
	}
	return Point{}, false
}

// Loop returns how much chain the leg has in its loop, m; zero without chain
// or count.
func (l *Leg) Loop() float64 {
	if l.Chain == nil || l.Count == nil {
		return 0
	}
	return float64(l.Chain.Links-*l.Count) * l.Chain.Pitch
}

// Factor returns what the leg's rating is multiplied by for its hitch, and
// where that comes from.
func (l *Leg) Factor() (float64, string) {
	switch {
	case l.HitchFactor != nil && l.HitchSource != "":
		return *l.HitchFactor, l.HitchSource
	case l.HitchFactor != nil:
		return *l.HitchFactor, "as entered, no source given"
	case l.Hitch == Choke:
		return 0.8, "EN 1492-1 mode factor for a choked hitch, from memory"
	case l.Hitch == Basket:
		return 1, "no credit taken for the second part of a basket"
	}
	return 1, ""
}

// Allowed returns the pull that the leg's rating allows in its hitch, N.
func (l *Leg) Allowed() (float64, bool) {
	if l.Rated == nil {
		return 0, false
	}
	f, _ := l.Factor()
	return *l.Rated * f, true
}

func sortedKeys[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }

// clone copies a spec so deeply that the copy can be changed.
func clone(s Spec) Spec {
	s.Apexes = slices.Clone(s.Apexes)
	s.Bodies = slices.Clone(s.Bodies)
	for i := range s.Bodies {
		s.Bodies[i].Items = slices.Clone(s.Bodies[i].Items)
		s.Bodies[i].Points = slices.Clone(s.Bodies[i].Points)
	}
	s.Legs = slices.Clone(s.Legs)
	for i := range s.Legs {
		s.Legs[i].To = slices.Clone(s.Legs[i].To)
		s.Legs[i].From = copied(s.Legs[i].From)
		s.Legs[i].Count = copied(s.Legs[i].Count)
		s.Legs[i].Rope = copied(s.Legs[i].Rope)
		s.Legs[i].Chain = copied(s.Legs[i].Chain)
	}
	s.Sets = slices.Clone(s.Sets)
	for i := range s.Sets {
		s.Sets[i].Legs = slices.Clone(s.Sets[i].Legs)
	}
	s.Parts = slices.Clone(s.Parts)
	if s.Procedure != nil {
		s.Procedure = copied(s.Procedure)
		s.Procedure.Counts = maps.Clone(s.Procedure.Counts)
	}
	return s
}

func copied[T any](p *T) *T {
	if p == nil {
		return nil
	}
	v := *p
	return &v
}

// OnGround returns where a point of the body stands on the ground.
func (b *Body) OnGround(point Vec) Vec { return b.groundPose().At(point) }
