package inspect

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
)

// Suggest makes a sequence from the rig: first the marks that compare two
// sides, from some steps back; then a lap round the load, body by body and leg
// by leg; then the apex as it lies; then each leg traced from its seat to its
// points. It is a suggestion: a school's own order stands before it.
func Suggest(v *Survey) *Sequence {
	m := &maker{v: v, scene: SceneOf(v.Rig, nil), groups: map[string]*group{}}
	for i := range v.Parts {
		p := &v.Parts[i]
		for k := range p.Kind.Attributes {
			if a := &p.Kind.Attributes[k]; v.asks(p, a) {
				m.place(p, a)
			}
		}
	}
	q := &Sequence{Title: "Made from the rig", Made: true}
	if t := v.Rig.Title(); t != "" {
		q.Title += ": " + t
	}
	for _, g := range m.sorted() {
		q.Checkpoints = append(q.Checkpoints, g.checkpoint(v, len(q.Checkpoints)+1))
	}
	return q
}

// The parts of a made walk, in order.
const (
	comparing = iota
	lap
	apexes
	tracing
)

// group is a checkpoint in the making.
type group struct {
	stage int
	order float64 // within the stage
	title string
	stand Stand
	what  []asked
}

type asked struct {
	p *Part
	a *part.Attribute
}

type maker struct {
	v      *Survey
	scene  *Scene
	groups map[string]*group
	keys   []string
}

func (m *maker) put(key string, stage int, order float64, title string, stand Stand, p *Part, a *part.Attribute) {
	g := m.groups[key]
	if g == nil {
		g = &group{stage: stage, order: order, title: title, stand: stand}
		m.groups[key] = g
		m.keys = append(m.keys, key)
	}
	g.what = append(g.what, asked{p, a})
}

// sorted returns the groups in the order of the walk; those alike keep the
// order of the parts.
func (m *maker) sorted() []*group {
	var out []*group
	for _, key := range m.keys {
		out = append(out, m.groups[key])
	}
	slices.SortStableFunc(out, func(a, b *group) int {
		return cmp.Or(cmp.Compare(a.stage, b.stage), cmp.Compare(a.order, b.order))
	})
	return out
}

// place finds the checkpoint at which one attribute of one part is looked at.
func (m *maker) place(p *Part, a *part.Attribute) {
	on, each := p.On, p.Kind.Each
	switch {
	case each == part.EachRig:
		m.put("area", comparing, -1, "Before the walk: "+p.Kind.Name, StandFarFront, p, a)
	case each == part.EachMirrored, each == part.EachDrumPair && a.From == part.Back:
		m.put("compare "+p.ID, comparing, float64(m.index(p)), "Compare "+p.Name, m.compareFrom(p), p, a)
	case each == part.EachNeighbour:
		first := p.Legs[0]
		m.put("trace "+first, tracing, m.legOrder(first), "Trace leg "+first, StandHere, p, a)
	case on.Apex != "" && (each == part.EachDirect || each == part.Nowhere && a.From == part.Inside):
		m.put("hook "+on.Apex, apexes, float64(m.index(p)), "The hook for "+apexWords(on.Apex), StandAircraft, p, a)
	case on.Apex != "" && isLine(p.Kind):
		m.put("line "+on.Apex, apexes, -0.4, "The line above "+apexWords(on.Apex), StandHere, p, a)
	case on.Apex != "":
		m.put("apex "+on.Apex, apexes, -1, spelling.Capital(apexWords(on.Apex))+" as it lies", StandApex, p, a)
	case on.Set != "":
		m.put("set "+on.Set, apexes, float64(m.index(p)), "Set "+on.Set, StandApex, p, a)
	case on.Leg != "":
		m.leg(p, a)
	case on.Point.ID != "":
		m.foot(p.Legs, p, a)
	case a.From == part.Inside:
		m.put("inside "+p.ID, lap, m.bodyOrder(p)+1e-3, "Inside: "+p.Name, StandHere, p, a)
	case each == part.EachDrumPair:
		m.put("body "+p.Bodies[0], lap, m.bodyOrder(p), "Body "+p.Bodies[0], StandHere, p, a)
	default:
		m.put("body "+on.Body, lap, m.bodyOrder(p), "Body "+on.Body+", all round", StandHere, p, a)
	}
}

// leg places what belongs to a leg: what has to be followed along it, with its
// tracing; its upper end with the apex; its lower end on the lap.
func (m *maker) leg(p *Part, a *part.Attribute) {
	id := p.On.Leg
	l, _ := m.v.Rig.Leg(id)
	spot := p.Kind.Place
	switch {
	case a.Plan == part.PlanSeat || spot == part.Upper && a.From != part.Along:
		if l.From.Point != "" {
			m.put("trace "+id, tracing, m.legOrder(id), "Trace leg "+id, StandHere, p, a)
			return
		}
		m.put("upper "+l.From.ID, apexes, -0.5, "Upper ends of the legs of "+apexWords(l.From.ID), StandApex, p, a)
	case a.From == part.Along || spot == part.Rope || spot == part.Middle && l.Chain != nil && a.From != part.Back:
		m.put("trace "+id, tracing, m.legOrder(id), "Trace leg "+id, StandHere, p, a)
	default:
		m.foot([]string{id}, p, a)
	}
}

// foot places what is looked at where a leg meets the load.
func (m *maker) foot(legs []string, p *Part, a *part.Attribute) {
	if len(legs) == 0 {
		m.put("body "+p.Bodies[0], lap, m.bodyOrder(p), "Body "+p.Bodies[0], StandHere, p, a)
		return
	}
	id := legs[0]
	l, _ := m.v.Rig.Leg(id)
	at := footOf(m.v.Rig, &l)
	m.put("foot "+id, lap, m.round(at), "Lower end of leg "+id, StandHere, p, a)
}

// apexWords is what an apex is called: the one that a rig has by default needs
// no name.
func apexWords(id string) string {
	if id == "apex" {
		return "the apex"
	}
	return "apex " + id
}

// round orders places by the walk round the load: from straight ahead over the
// load's left, the rear and the right.
func (m *maker) round(at rig.Vec) float64 {
	low, high := m.scene.Footprint()
	x, y := at[0]-(low[0]+high[0])/2, at[1]-(low[1]+high[1])/2
	if math.Hypot(x, y) < alike {
		return -1 // in the middle: first, from anywhere
	}
	turn := math.Atan2(y, x)
	if turn < -1e-9 {
		turn += 2 * math.Pi
	}
	return math.Round(turn*1e6) / 1e6
}

func (m *maker) bodyOrder(p *Part) float64 {
	return m.round(m.scene.Ground(Place{Body: p.Bodies[0]})) - 1e-3
}

func (m *maker) legOrder(id string) float64 { return float64(m.scene.legs[id]) }

func (m *maker) index(p *Part) int {
	return slices.IndexFunc(m.v.Parts, func(o Part) bool { return o.ID == p.ID })
}

// compareFrom says from which side two things can be seen beside each other.
func (m *maker) compareFrom(p *Part) Stand {
	a, b := m.scene.Ground(p.Place.Of[0]), m.scene.Ground(p.Place.Of[1])
	low, high := m.scene.Footprint()
	if math.Abs(a[1]-b[1]) >= math.Abs(a[0]-b[0]) {
		if (a[0]+b[0])/2 < (low[0]+high[0])/2-alike {
			return StandFarRear
		}
		return StandFarFront
	}
	if (a[1]+b[1])/2 < (low[1]+high[1])/2-alike {
		return StandFarRight
	}
	return StandFarLeft
}

// checkpoint writes the group down with the fewest looks: a part as a whole
// where all of its attributes are looked at here.
func (g *group) checkpoint(v *Survey, number int) Checkpoint {
	c := Checkpoint{ID: fmt.Sprintf("c%02d", number), Title: g.title, Stand: g.stand}
	var parts []*Part
	of := map[*Part][]*part.Attribute{}
	do := map[part.See]bool{}
	for _, x := range g.what {
		if of[x.p] == nil {
			parts = append(parts, x.p)
		}
		of[x.p] = append(of[x.p], x.a)
		for _, s := range x.a.See {
			do[s] = true
		}
	}
	for _, p := range parts {
		all := 0
		for k := range p.Kind.Attributes {
			if v.asks(p, &p.Kind.Attributes[k]) {
				all++
			}
		}
		if len(of[p]) == all {
			c.Looks = append(c.Looks, Look{Part: p.ID})
			continue
		}
		for _, a := range of[p] {
			c.Looks = append(c.Looks, Look{p.ID, a.ID})
		}
	}
	for _, s := range part.Sees {
		if do[s] {
			c.Do = append(c.Do, s)
		}
	}
	return c
}
