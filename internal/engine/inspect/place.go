package inspect

import (
	"math"
	"slices"

	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/statics"
)

// Place says where a part is, in terms of what it moves with. One of Body, Leg,
// Apex is set, or several places are, or none: then it is the whole rig.
type Place struct {
	Body  string
	At    rig.Vec // in the body's frame
	Leg   string
	Along float64 // from 0 at the leg's upper end to 1 at its lower end
	Apex  string
	Hook  bool    // at the hook above the apex, or along its pendant
	Of    []Place // a relation is where the things it relates are, in the middle
}

// spot returns where a part sits.
func (l *lister) spot(p *Part, at part.Spot) Place {
	switch on := p.On; {
	case on.Leg != "":
		leg, _ := l.r.Leg(on.Leg)
		return Place{Leg: on.Leg, Along: along(&leg, at)}
	case on.Point.ID != "":
		for _, b := range l.r.Bodies() {
			if pt, ok := b.PointAt(on.Point.Point); ok && b.ID == on.Point.ID {
				return Place{Body: b.ID, At: pt.At}
			}
		}
	case on.Body != "":
		for _, b := range l.r.Bodies() {
			if b.ID == on.Body {
				return Place{Body: b.ID, At: onBody(&b, at)}
			}
		}
	case on.Apex != "":
		return Place{Apex: on.Apex, Hook: p.Kind.Each == part.EachDirect || isLine(p.Kind)}
	case len(p.Bodies) > 1:
		var out Place
		for _, id := range p.Bodies {
			for _, b := range l.r.Bodies() {
				if b.ID == id {
					out.Of = append(out.Of, Place{Body: id, At: onBody(&b, at)})
				}
			}
		}
		return out
	case len(p.Legs) > 0:
		where := part.Middle
		if p.Kind.Each == part.EachMirrored {
			where = part.GrabHook
		}
		if on.Set != "" {
			where = part.Upper
		}
		var out Place
		for _, id := range p.Legs {
			leg, _ := l.r.Leg(id)
			out.Of = append(out.Of, Place{Leg: id, Along: along(&leg, where)})
		}
		return out
	}
	return Place{}
}

// isLine reports whether a kind on an apex is a line from it up to the hook: a
// pendant, or what is to be walked along.
func isLine(k *part.Kind) bool {
	return k.Each == part.EachPendant || k.Each == part.Nowhere &&
		slices.ContainsFunc(k.Attributes, func(a part.Attribute) bool { return a.From == part.Along })
}

// along returns how far down a leg a spot is, as a share of its length.
func along(l *rig.Leg, at part.Spot) float64 {
	rope := l.Fittings
	if l.Rope != nil {
		rope += l.Rope.Length
	}
	hook := 1.0
	if l.Chain != nil {
		if length := rope + l.Loop()/2; length > 0 {
			hook = rope / length
		}
	}
	switch at {
	case part.Upper:
		return 0
	case part.Rope:
		return hook / 2
	case part.GrabHook:
		return hook
	case part.ChainRun:
		return (1 + hook) / 2
	case part.Lower:
		return 1
	}
	return 0.5
}

// onBody returns a spot on a body in its frame: the middle of its top, or of
// an end of its long way. Without a shape it is the middle of its points.
func onBody(b *rig.Body, at part.Spot) rig.Vec {
	if b.Shape.Kind == rig.NoShape {
		if len(b.Points) == 0 {
			return b.Centre()
		}
		var sum rig.Vec
		for _, p := range b.Points {
			sum = statics.Add(sum, p.At)
		}
		return statics.Scale(1/float64(len(b.Points)), sum)
	}
	mid, size, axis := b.Shape.Middle(), b.Shape.Extent(), 0
	if b.Shape.Kind == rig.DrumShape {
		axis = b.Shape.Axis
	}
	switch at {
	case part.FrontEnd:
		mid[axis] += size[axis] / 2
	case part.RearEnd:
		mid[axis] -= size[axis] / 2
	default:
		mid[2] = size[2]
	}
	return mid
}

// Scene knows where the parts of a rig are on the ground and, with an answer,
// as it hangs.
type Scene struct {
	r      *rig.Rig
	a      *rig.Answer
	bodies map[string]int
	legs   map[string]int
	lies   map[string]rig.Vec // where each apex fitting lies on the ground
}

// SceneOf makes a scene; the answer may be nil, for the ground alone.
func SceneOf(r *rig.Rig, a *rig.Answer) *Scene {
	s := &Scene{r: r, a: a, bodies: map[string]int{}, legs: map[string]int{}, lies: map[string]rig.Vec{}}
	for i, b := range r.Bodies() {
		s.bodies[b.ID] = i
	}
	for i, l := range r.Legs() {
		s.legs[l.ID] = i
	}
	for _, ap := range r.Apexes() {
		s.lies[ap.ID] = s.lie(ap.ID)
	}
	return s
}

// lie returns where an apex fitting lies before the lift: on top of what its
// legs lead to, in the middle of their points.
func (s *Scene) lie(apex string) rig.Vec {
	var sum rig.Vec
	n, top := 0, math.Inf(-1)
	for _, id := range legsFrom(s.r, apex) {
		l := s.r.Legs()[s.legs[id]]
		for _, ref := range l.To {
			at := groundOf(s.r, ref)
			sum = statics.Add(sum, at)
			n++
			b := s.r.Bodies()[s.bodies[ref.ID]]
			top = math.Max(top, math.Max(at[2], b.At[2]+b.Shape.Extent()[2]))
		}
	}
	if n == 0 {
		return rig.Vec{}
	}
	at := statics.Scale(1/float64(n), sum)
	at[2] = top
	return at
}

// Apex returns where an apex fitting lies on the ground.
func (s *Scene) Apex(id string) rig.Vec { return s.lies[id] }

// Ground returns where a place is before the lift, in the ground frame, m. A
// leg is drawn straight from its apex, as that lies, to the middle of its
// points; a pendant lies beside the load, to its left.
func (s *Scene) Ground(p Place) rig.Vec {
	switch {
	case len(p.Of) > 0:
		return middle(p.Of, s.Ground)
	case p.Body != "":
		b := s.r.Bodies()[s.bodies[p.Body]]
		return standing(&b).At(p.At)
	case p.Leg != "":
		l := s.r.Legs()[s.legs[p.Leg]]
		from := s.lies[l.From.ID]
		if l.From.Point != "" {
			from = groundOf(s.r, *l.From)
		}
		return mix(from, footOf(s.r, &l), p.Along)
	case p.Apex != "" && p.Hook:
		_, high := s.Footprint()
		at := s.lies[p.Apex]
		return rig.Vec{at[0], high[1] + 2*laneWidth, 0}
	case p.Apex != "":
		return s.lies[p.Apex]
	}
	low, high := s.Footprint()
	return rig.Vec{(low[0] + high[0]) / 2, (low[1] + high[1]) / 2, 0}
}

// Hung returns where a place is in the answer, in the hook frame, m; ok is
// false for a scene without an answer.
func (s *Scene) Hung(p Place) (at rig.Vec, ok bool) {
	if s.a == nil {
		return rig.Vec{}, false
	}
	return s.hung(p), true
}

func (s *Scene) hung(p Place) rig.Vec {
	switch {
	case len(p.Of) > 0:
		return middle(p.Of, s.hung)
	case p.Body != "":
		pose := s.a.Bodies[s.bodies[p.Body]].Pose()
		return pose.At(p.At)
	case p.Leg != "":
		return s.onLeg(p)
	case p.Apex != "":
		for _, a := range s.a.Apexes {
			if a.ID != p.Apex {
				continue
			}
			if p.Hook {
				return mix(a.Hook, a.Position, 0.5)
			}
			return a.Position
		}
	}
	var sum rig.Vec
	for _, b := range s.a.Bodies {
		sum = statics.Add(sum, b.CG)
	}
	return statics.Scale(1/float64(len(s.a.Bodies)), sum)
}

// onLeg returns a place along a hanging leg. A leg to one point is a line; one
// to several goes to its grab hook and from there to the middle of its points.
func (s *Scene) onLeg(p Place) rig.Vec {
	i := s.legs[p.Leg]
	x := &s.a.Legs[i]
	if len(x.Path) < 3 {
		return mix(x.From, x.To, p.Along)
	}
	l := s.r.Legs()[i]
	hook := along(&l, part.GrabHook)
	if p.Along <= hook && hook > 0 {
		return mix(x.From, x.To, p.Along/hook)
	}
	var sum rig.Vec
	points := x.Path[1 : len(x.Path)-1]
	for _, at := range points {
		sum = statics.Add(sum, at)
	}
	return mix(x.To, statics.Scale(1/float64(len(points)), sum), (p.Along-hook)/(1-hook))
}

func middle(of []Place, at func(Place) rig.Vec) rig.Vec {
	var sum rig.Vec
	for _, p := range of {
		sum = statics.Add(sum, at(p))
	}
	return statics.Scale(1/float64(len(of)), sum)
}

func mix(a, b rig.Vec, f float64) rig.Vec {
	return statics.Add(statics.Scale(1-f, a), statics.Scale(f, b))
}
