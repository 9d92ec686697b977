package inspect

import (
	"fmt"
	"slices"
	"strings"

	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
)

// Owner is the thing of a rig that a part belongs to. At most one is set; none
// is the rig as a whole, or several things ([Part.Legs], [Part.Bodies]).
type Owner struct {
	Leg   string
	Body  string
	Point rig.Ref
	Apex  string
	Set   string
}

// Part is one part of a rig, or a relation between several.
type Part struct {
	// ID is stable as long as the rig's ids are: leg.FL.chain.
	ID     string
	Kind   *part.Kind
	Name   string // chain of leg FL
	On     Owner
	Legs   []string // the legs it belongs to or relates
	Bodies []string // the bodies it belongs to or relates
	Named  bool     // the rig file names it
	Place  Place
}

// Problem is something that a rig file says of its parts and that cannot be.
// Path is in the words of the rig file: parts[2].kind.
type Problem struct {
	Path string
	Text string
	Hint string
}

// Error returns the problem as one line.
func (p Problem) Error() string {
	s := p.Path + ": " + p.Text
	if p.Hint != "" {
		s += "; " + p.Hint
	}
	return s
}

// lister collects the parts of a rig.
type lister struct {
	r        *rig.Rig
	c        *part.Catalog
	parts    []Part
	problems []Problem
}

// parts lists the rig's parts: those that follow from it, thing by thing, and
// then those that its file names.
func listParts(r *rig.Rig, c *part.Catalog) ([]Part, []Problem) {
	l := &lister{r: r, c: c}
	l.add(part.EachRig, Part{ID: "rig"}, "")
	l.bodies()
	l.points()
	l.legs()
	l.relations()
	l.sets()
	l.apexes()
	l.named()
	return l.parts, l.problems
}

// add lists a part of every kind that is found on each such thing. The part
// handed in has the thing's own id, and what the thing is called.
func (l *lister) add(each part.Each, p Part, thing string) {
	for i := range l.c.Kinds {
		k := &l.c.Kinds[i]
		if k.Each != each {
			continue
		}
		q := p
		q.ID, q.Kind, q.Name = p.ID+"."+k.ID, k, called(k, thing)
		q.Place = l.spot(&q, k.Place)
		l.parts = append(l.parts, q)
	}
}

// called is what a part is called: chain of leg FL, load crate.
func called(k *part.Kind, thing string) string {
	switch {
	case k.Each.Relation():
		return thing
	case thing == "" || thing == apexWords("apex"):
		return k.Name
	case k.Each == part.EachBody || k.Each == part.EachSpreader || k.Each == part.EachPoint:
		return k.Name + " " + thing
	}
	return k.Name + " of " + thing
}

func (l *lister) bodies() {
	hung := map[string]bool{}
	for _, leg := range l.r.Legs() {
		if leg.From.Point != "" {
			hung[leg.From.ID] = true
		}
	}
	bodies := l.r.Bodies()
	for i := range bodies {
		b := &bodies[i]
		p := Part{ID: "body." + b.ID, On: Owner{Body: b.ID}, Bodies: []string{b.ID}}
		l.add(part.EachBody, p, b.ID)
		if b.Shape.Kind == rig.DrumShape {
			l.add(part.EachDrum, p, b.ID)
		}
		if hung[b.ID] {
			l.add(part.EachSpreader, p, b.ID)
		}
	}
	for i := range bodies {
		for k := i + 1; k < len(bodies); k++ {
			a, b := &bodies[i], &bodies[k]
			if sideBySide(a, b) {
				if b.ID < a.ID {
					a, b = b, a // as in pair
				}
				l.add(part.EachDrumPair, Part{ID: "bodies." + a.ID + "+" + b.ID, Bodies: []string{a.ID, b.ID}},
					"drums "+a.ID+" and "+b.ID)
			}
		}
	}
}

// points lists the attachment points that a leg holds; others are part of
// their body.
func (l *lister) points() {
	holds := map[rig.Ref][]string{}
	for _, leg := range l.r.Legs() {
		for _, to := range leg.To {
			holds[to] = append(holds[to], leg.ID)
		}
		if leg.From.Point != "" {
			holds[*leg.From] = append(holds[*leg.From], leg.ID)
		}
	}
	for _, b := range l.r.Bodies() {
		for _, pt := range b.Points {
			ref := rig.Ref{ID: b.ID, Point: pt.ID}
			if legs := holds[ref]; len(legs) > 0 {
				l.add(part.EachPoint, Part{ID: "point." + ref.String(), On: Owner{Point: ref}, Legs: legs, Bodies: []string{b.ID}}, ref.String())
			}
		}
	}
}

func (l *lister) legs() {
	for _, leg := range l.r.Legs() {
		p := Part{ID: "leg." + leg.ID, On: Owner{Leg: leg.ID}, Legs: []string{leg.ID}}
		thing := "leg " + leg.ID
		l.add(part.EachLeg, p, thing)
		if leg.Chain == nil {
			l.add(part.EachPlain, p, thing)
		} else {
			l.add(part.EachChained, p, thing)
		}
		if leg.Hitch == rig.Direct && !leg.NoClevis {
			l.add(part.EachClevis, p, thing)
		}
		switch leg.Hitch {
		case rig.Choke:
			l.add(part.EachChoke, p, thing)
		case rig.Basket:
			l.add(part.EachBasket, p, thing)
		}
	}
}

func (l *lister) sets() {
	for _, s := range l.r.Sets() {
		l.add(part.EachSet, Part{ID: "set." + s.ID, On: Owner{Set: s.ID}, Legs: slices.Clone(s.Legs)}, "set "+s.ID)
	}
}

func (l *lister) apexes() {
	for _, a := range l.r.Apexes() {
		legs := legsFrom(l.r, a.ID)
		p := Part{ID: "apex." + a.ID, On: Owner{Apex: a.ID}, Legs: legs}
		thing := apexWords(a.ID)
		if len(legs) > 1 {
			l.add(part.EachFan, p, "all legs of "+thing)
		}
		l.add(part.EachApex, p, thing)
		if a.Pendant == nil {
			l.add(part.EachDirect, p, thing)
		} else {
			l.add(part.EachPendant, p, thing)
		}
	}
}

func legsFrom(r *rig.Rig, apex string) []string {
	var out []string
	for _, leg := range r.Legs() {
		if leg.From.Point == "" && leg.From.ID == apex {
			out = append(out, leg.ID)
		}
	}
	return out
}

// named lists the parts that the rig file names, and takes out those whose
// place they take.
func (l *lister) named() {
	first := map[string]int{}
	for i, x := range l.r.Spec().Parts {
		at := fmt.Sprintf("parts[%d]", i)
		if j, twice := first[x.ID]; twice {
			l.problems = append(l.problems, Problem{at + ".id", fmt.Sprintf("part %q is already the id of part number %d", x.ID, j+1), "give each part an id of its own"})
			continue
		}
		first[x.ID] = i
		k, ok := l.c.Kind(x.Kind)
		if !ok {
			hint := "the catalogue has no such kind"
			if near := l.c.Nearest(x.Kind); near != "" {
				hint = "did you mean " + near + "?"
			}
			l.problems = append(l.problems, Problem{at + ".kind", fmt.Sprintf("there is no kind %q", x.Kind), hint})
			continue
		}
		on, thing, ok := l.owner(x.On)
		if !ok {
			hint := "the legs, bodies, points and apexes of the rig are known"
			if near := spelling.Nearest(x.On, l.things()); near != "" {
				hint = "did you mean " + near + "?"
			}
			l.problems = append(l.problems, Problem{at + ".on", fmt.Sprintf("part %q is on %q, and the rig has no such thing", x.ID, x.On), hint})
			continue
		}
		p := Part{ID: "part." + x.ID, Kind: k, Name: k.Name + " " + x.ID + " on " + thing, On: on, Named: true}
		l.relate(&p)
		p.Place = l.spot(&p, k.Place)
		if x.At != nil {
			if p.Place.Body == "" {
				l.problems = append(l.problems, Problem{at + ".at", fmt.Sprintf("part %q is on %s, which has no frame to say a place in", x.ID, thing), "leave out at:, or put the part on a body"})
				continue
			}
			p.Place.At = *x.At
		}
		l.parts = slices.DeleteFunc(l.parts, func(o Part) bool {
			return !o.Named && o.On == on && slices.Contains(k.InsteadOf, o.Kind.ID)
		})
		l.parts = append(l.parts, p)
	}
}

// owner finds what a rig file means by a name. Legs come before bodies and
// these before apexes and sets, where one id stands for several.
func (l *lister) owner(on string) (Owner, string, bool) {
	if id, point, ok := strings.Cut(on, "."); ok {
		for _, b := range l.r.Bodies() {
			if b.ID == id {
				if _, ok := b.PointAt(point); ok {
					return Owner{Point: rig.Ref{ID: id, Point: point}}, "point " + on, true
				}
			}
		}
		return Owner{}, "", false
	}
	if _, ok := l.r.Leg(on); ok {
		return Owner{Leg: on}, "leg " + on, true
	}
	for _, b := range l.r.Bodies() {
		if b.ID == on {
			return Owner{Body: on}, on, true
		}
	}
	for _, a := range l.r.Apexes() {
		if a.ID == on {
			return Owner{Apex: on}, apexWords(on), true
		}
	}
	for _, s := range l.r.Sets() {
		if s.ID == on {
			return Owner{Set: on}, "set " + on, true
		}
	}
	return Owner{}, "", false
}

func (l *lister) things() []string {
	var out []string
	for _, leg := range l.r.Legs() {
		out = append(out, leg.ID)
	}
	for _, b := range l.r.Bodies() {
		out = append(out, b.ID)
		for _, p := range b.Points {
			out = append(out, b.ID+"."+p.ID)
		}
	}
	for _, a := range l.r.Apexes() {
		out = append(out, a.ID)
	}
	return out
}

// relate fills in the legs and bodies of a named part.
func (l *lister) relate(p *Part) {
	switch on := p.On; {
	case on.Leg != "":
		p.Legs = []string{on.Leg}
	case on.Body != "":
		p.Bodies = []string{on.Body}
	case on.Point.ID != "":
		p.Bodies = []string{on.Point.ID}
		for _, leg := range l.r.Legs() {
			if slices.Contains(leg.To, on.Point) || *leg.From == on.Point {
				p.Legs = append(p.Legs, leg.ID)
			}
		}
	case on.Apex != "":
		p.Legs = legsFrom(l.r, on.Apex)
	}
}
