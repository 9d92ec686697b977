package rig

import (
	"math"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/statics"
)

// contactStiffness is k of the drum contact, N per metre of overlap.
const contactStiffness = 200e3

// variant is what a solve may do differently from the rig as planned.
type variant struct {
	longer     map[string]float64 // m added to a leg's unstretched length
	runFreely  bool               // chain runs through its points without friction
	gravity    float64            // m/s²; 0: standard gravity
	loads      []statics.Load
	onlyWanted func(leg string) bool // legs to keep; nil: all
	cg         map[int]Vec           // CGs of bodies whose liquid has run to their low side, by body
}

// compiled is a rig as a statics model, with where its parts went.
type compiled struct {
	model    *statics.Model
	bodies   map[string]int
	nodeIDs  []string    // per node
	apexNode []int       // per apex: its node, or −1 for a fixed apex
	pendant  []int       // per apex: the line of its pendant, or −1
	legs     []legInLine // per leg
}

// legInLine says which lines of the model stand for a leg.
type legInLine struct {
	rope  int // −1 where the leg is left out
	runs  []int
	node  int // the grab hook's node, or −1
	from  statics.Anchor
	to    []statics.Anchor
	noRun bool // runs are one running line
}

// compile makes the statics model of a rig whose counts are all known.
func compile(r *Rig, v variant) compiled {
	s := &r.spec
	g := v.gravity
	if g == 0 {
		g = quantity.StandardGravity
	}
	m := &statics.Model{Gravity: g, ContactStiffness: contactStiffness, Loads: v.loads}
	c := compiled{model: m, bodies: map[string]int{}}
	for i := range s.Bodies {
		b := &s.Bodies[i]
		c.bodies[b.ID] = i
		centre, moved := v.cg[i]
		if !moved {
			centre = b.Centre()
		}
		m.Bodies = append(m.Bodies, statics.Body{
			Mass: b.TotalMass(), CG: centre, Gyration: b.gyration(), Ground: b.groundPose(),
		})
		addShape(m, i, b.Shape)
	}
	apex := map[string]statics.Anchor{}
	for i, a := range s.Apexes {
		m.Fixed = append(m.Fixed, a.At)
		fixed := statics.Anchor{Kind: statics.OnFixed, Index: i}
		apex[a.ID] = fixed
		c.apexNode = append(c.apexNode, -1)
		c.pendant = append(c.pendant, -1)
		if a.Pendant == nil {
			continue
		}
		free := c.node(a.ID)
		c.apexNode[i] = free.Index
		c.pendant[i] = c.line(a.Pendant.Length, a.Pendant.Stretch.EA()/a.Pendant.Length, fixed, free)
		apex[a.ID] = free
	}
	for i := range s.Legs {
		c.legs = append(c.legs, c.leg(r, &s.Legs[i], apex, v))
	}
	return c
}

func addShape(m *statics.Model, body int, s Shape) {
	switch s.Kind {
	case BoxShape:
		m.Boxes = append(m.Boxes, statics.Box{Body: body, Centre: s.Middle(), Half: statics.Scale(0.5, s.Size)})
	case DrumShape:
		r := s.Diameter / 2
		var half Vec
		half[s.Axis] = math.Max(0, s.Length/2-r)
		mid := s.Middle()
		m.Capsules = append(m.Capsules, statics.Capsule{Body: body, A: statics.Sub(mid, half), B: statics.Add(mid, half), Radius: r})
	}
}

func (c *compiled) node(id string) statics.Anchor {
	c.nodeIDs = append(c.nodeIDs, id)
	c.model.Nodes++
	return statics.Anchor{Kind: statics.OnNode, Index: c.model.Nodes - 1}
}

func (c *compiled) line(length, stiffness float64, path ...statics.Anchor) int {
	c.model.Lines = append(c.model.Lines, statics.Line{Path: path, Length: length, Stiffness: stiffness})
	return len(c.model.Lines) - 1
}

func (c *compiled) anchor(r *Rig, ref Ref) statics.Anchor {
	i := c.bodies[ref.ID]
	p, _ := r.spec.Bodies[i].PointAt(ref.Point)
	return statics.Anchor{Kind: statics.OnBody, Index: i, Point: p.At}
}

// leg adds the lines of one leg. A leg to one point is one line: the rope in
// series with the two runs of the loop, which share the load. A leg to several
// points ends in a free node, the grab hook, from which the loop goes out and
// comes back.
func (c *compiled) leg(r *Rig, l *Leg, apex map[string]statics.Anchor, v variant) legInLine {
	out := legInLine{rope: -1, node: -1}
	if v.onlyWanted != nil && !v.onlyWanted(l.ID) {
		return out
	}
	if l.From.Point == "" {
		out.from = apex[l.From.ID]
	} else {
		out.from = c.anchor(r, *l.From)
	}
	for _, ref := range l.To {
		out.to = append(out.to, c.anchor(r, ref))
	}
	length, stiffness := l.upper()
	length += v.longer[l.ID]
	if len(l.To) == 1 {
		out.rope = c.line(math.Max(length, 1e-3), stiffness, out.from, out.to[0])
		return out
	}
	grab := c.node(l.ID + ".grab")
	out.node = grab.Index
	out.rope = c.line(math.Max(length, 1e-3), stiffness, out.from, grab)
	loop := append(append([]statics.Anchor{grab}, out.to...), grab)
	ea := l.Chain.Stretch.EA()
	if v.runFreely {
		out.noRun = true
		out.runs = []int{c.line(l.Loop(), ea/l.Loop(), loop...)}
		return out
	}
	for i, run := range c.runLengths(l, out.to) {
		out.runs = append(out.runs, c.line(run, ea/run, loop[i], loop[i+1]))
	}
	return out
}

// upper returns the unstretched length and the stiffness of the leg from its
// upper end to its point, or to its grab hook where it leads to several.
func (l *Leg) upper() (length, stiffness float64) {
	soft := 0.0 // 1/stiffness
	length = l.Fittings
	if l.Rope != nil {
		length += l.Rope.Length
		soft += l.Rope.Length / l.Rope.Stretch.EA()
	}
	if len(l.To) == 1 && l.Chain != nil {
		length += l.Loop() / 2
		soft += l.Loop() / (4 * l.Chain.Stretch.EA())
	}
	return length, 1 / soft
}

// runLengths returns the unstretched length of each run of a loop through
// several points, from the grab hook out and back.
func (c *compiled) runLengths(l *Leg, to []statics.Anchor) []float64 {
	runs := make([]float64, len(to)+1)
	rest := l.Loop()
	for i := 1; i < len(to); i++ {
		a, b := c.groundOf(to[i-1]), c.groundOf(to[i])
		runs[i] = Norm(sub(b, a))
		rest -= runs[i]
	}
	runs[0], runs[len(to)] = rest/2, rest/2
	return runs
}

func (c *compiled) groundOf(a statics.Anchor) Vec {
	return c.model.Bodies[a.Index].Ground.At(a.Point)
}
