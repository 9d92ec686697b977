package rig

import (
	"fmt"
	"math"
	"strings"

	"hangtrue/internal/engine/spelling"
)

// Sizes beyond which a rig is refused: far above any load that flies, low
// enough that an answer comes at once.
const (
	MaxBodies = 24
	MaxLegs   = 96
)

// New checks a spec and makes the rig of it. It returns every problem it
// finds, not only the first, and no rig when there is any.
func New(spec Spec) (*Rig, []Problem) {
	c := checker{spec: clone(spec)}
	c.defaults()
	c.apexes()
	c.bodies()
	c.legs()
	c.sets()
	c.limits()
	c.procedure()
	if len(c.problems) > 0 {
		return nil, c.problems
	}
	return &Rig{spec: c.spec}, nil
}

type checker struct {
	spec     Spec
	problems []Problem
}

func (c *checker) add(path, hint, format string, args ...any) {
	c.problems = append(c.problems, Problem{path, fmt.Sprintf(format, args...), hint})
}

func (c *checker) defaults() {
	if len(c.spec.Apexes) == 0 {
		c.spec.Apexes = []Apex{{ID: "apex"}}
	}
	if c.spec.LowestCount == 0 {
		c.spec.LowestCount = 3
	}
}

// unique reports ids used twice among things of one kind.
func (c *checker) unique(kind, list string, n int, id func(int) string) {
	first := map[string]int{}
	for i := range n {
		if j, seen := first[id(i)]; seen {
			c.add(fmt.Sprintf("%s[%d].id", list, i), "give each "+kind+" an id of its own",
				"%s %q is already the id of %s number %d", kind, id(i), kind, j+1)
			continue
		}
		first[id(i)] = i
	}
}

func (c *checker) finite(path, what string, xs ...float64) bool {
	for _, x := range xs {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			c.add(path, "", "%s is not a finite number", what)
			return false
		}
	}
	return true
}

func (c *checker) positive(path, what string, x float64) bool {
	if !c.finite(path, what, x) {
		return false
	}
	if x <= 0 {
		c.add(path, "", "%s must be more than zero", what)
		return false
	}
	return true
}

func (c *checker) rating(path, what string, x *float64) {
	if x != nil {
		c.positive(path, what, *x)
	}
}

func (c *checker) stretch(path string, s Stretch) {
	if !(s.Ratio > 0 && s.Force > 0 && !math.IsInf(s.EA(), 0) && s.EA() > 0) {
		c.add(path, "for example 8 % at 27.8 kN", "stretch must be more than zero at a force of more than zero")
	}
}

func (c *checker) apexes() {
	s := &c.spec
	c.unique("apex", "apex", len(s.Apexes), func(i int) string { return s.Apexes[i].ID })
	for i, a := range s.Apexes {
		at := fmt.Sprintf("apex[%d]", i)
		c.finite(at+".at", "the apex's position", a.At[:]...)
		c.rating(at+".rated", "the apex fitting's rating", a.Rated)
		c.rating(at+".hook", "the hook's rating", a.HookRated)
		if p := a.Pendant; p != nil {
			c.positive(at+".pendant.length", "the pendant's length", p.Length)
			c.stretch(at+".pendant.stretch", p.Stretch)
			c.rating(at+".pendant.rated", "the pendant's rating", p.Rated)
		}
	}
}

func (c *checker) bodies() {
	s := &c.spec
	if len(s.Bodies) == 0 {
		c.add("bodies", "", "a rig needs at least one body")
	}
	if len(s.Bodies) > MaxBodies {
		c.add("bodies", "", "%d bodies; at most %d are taken", len(s.Bodies), MaxBodies)
	}
	c.unique("body", "bodies", len(s.Bodies), func(i int) string { return s.Bodies[i].ID })
	for i := range s.Bodies {
		c.body(fmt.Sprintf("bodies[%d]", i), &s.Bodies[i])
	}
}

func (c *checker) body(at string, b *Body) {
	c.finite(at+".at", "the body's position", append(b.At[:], b.Heading)...)
	switch b.Shape.Kind {
	case BoxShape:
		for _, x := range b.Shape.Size {
			if !c.positive(at+".shape", "each side of the box", x) {
				break
			}
		}
	case DrumShape:
		c.positive(at+".shape", "the drum's length", b.Shape.Length)
		c.positive(at+".shape", "the drum's diameter", b.Shape.Diameter)
	}
	c.weight(at, b)
	if b.CG != nil {
		c.finite(at+".cg", "the CG", b.CG[:]...)
	}
	if b.Gyration != nil {
		for _, x := range b.Gyration {
			if !c.positive(at+".gyration", "each radius of gyration", x) {
				break
			}
		}
	}
	if b.DragArea != nil {
		for _, x := range b.DragArea {
			if !c.finite(at+".drag", "each drag area", x) {
				break
			}
			if x < 0 {
				c.add(at+".drag", "", "a drag area cannot be negative")
				break
			}
		}
	}
	c.unique("point", at+".points", len(b.Points), func(i int) string { return b.Points[i].ID })
	for _, p := range b.Points {
		path := at + ".points." + p.ID
		c.finite(path, "the point's position", p.At[:]...)
		c.rating(path+".rated", "the lift point's rating", p.Rated)
		if p.Pull != nil && Norm(*p.Pull) == 0 {
			c.add(path+".pull", "for example [0, 0, 1] for straight up", "the direction of pull has no length")
		}
	}
}

// Norm returns the length of v.
func Norm(v Vec) float64 { return math.Sqrt(v[0]*v[0] + v[1]*v[1] + v[2]*v[2]) }

func (c *checker) weight(at string, b *Body) {
	if len(b.Items) > 0 {
		sum := 0.0
		for k, it := range b.Items {
			c.finite(fmt.Sprintf("%s.items[%d].at", at, k), "the item's position", it.At[:]...)
			if c.finite(fmt.Sprintf("%s.items[%d].mass", at, k), "the item's mass", it.Mass) && it.Mass < 0 {
				c.add(fmt.Sprintf("%s.items[%d].mass", at, k), "", "a mass cannot be negative")
			}
			sum += it.Mass
		}
		if sum <= 0 {
			c.add(at+".items", "", "the items of body %q weigh nothing together", b.ID)
		}
		if b.CG != nil {
			c.add(at+".cg", "leave out cg:", "the CG of body %q follows from its items", b.ID)
		}
		return
	}
	if b.Mass < 0 {
		c.add(at+".mass", "", "the mass of body %q is negative; a mass must be more than zero", b.ID)
	} else {
		c.positive(at+".mass", fmt.Sprintf("the mass of body %q", b.ID), b.Mass)
	}
	if b.CG == nil && b.Shape.Kind == NoShape {
		c.add(at, "add cg: [x, y, z] from the centre of the body's base",
			"body %q has no shape, so its CG must be entered", b.ID)
	}
}

// nearest returns a hint that names the candidate closest to word, or lists
// them all.
func nearest(word string, candidates []string) string {
	if len(candidates) == 0 {
		return ""
	}
	if near := spelling.Nearest(word, candidates); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	return "known are: " + strings.Join(candidates, ", ")
}
