package rig

import (
	"fmt"
	"math"
)

func (c *checker) legs() {
	s := &c.spec
	if len(s.Legs) > MaxLegs {
		c.add("legs", "", "%d legs; at most %d are taken", len(s.Legs), MaxLegs)
	}
	c.unique("leg", "legs", len(s.Legs), func(i int) string { return s.Legs[i].ID })
	for i := range s.Legs {
		c.leg(fmt.Sprintf("legs[%d]", i), &s.Legs[i])
	}
}

func (c *checker) leg(at string, l *Leg) {
	if l.From == nil {
		if len(c.spec.Apexes) > 1 {
			c.add(at, "add from: with one of them", "leg %q does not say which of the %d apexes it hangs from", l.ID, len(c.spec.Apexes))
		} else {
			l.From = &Ref{ID: c.spec.Apexes[0].ID}
		}
	} else {
		c.from(at+".from", l)
	}
	if len(l.To) == 0 {
		c.add(at, "add to: body.point", "leg %q leads nowhere", l.ID)
	}
	pointsFound := true
	for k, ref := range l.To {
		path := at + ".to"
		if len(l.To) > 1 {
			path = fmt.Sprintf("%s.to[%d]", at, k)
		}
		if !c.point(path, l, ref) {
			pointsFound = false
			continue
		}
		if l.From != nil && l.From.Point != "" && l.From.ID == ref.ID {
			c.add(path, "", "leg %q leads from body %q to the same body", l.ID, ref.ID)
		}
	}
	c.rating(at+".rated", "the leg's rating", l.Rated)
	c.rating(at+".clevis", "the clevis's rating", l.Clevis)
	if l.HitchFactor != nil {
		c.positive(at+".hitch", "the hitch's factor", *l.HitchFactor)
	}
	if l.Fittings < 0 || !c.finite(at+".fittings", "the fittings' length", l.Fittings) {
		c.add(at+".fittings", "", "the fittings' length cannot be negative")
	}
	if l.Seat != nil && *l.Seat < 1 {
		c.add(at+".seat", "", "seats are counted from 1, from the left, facing the load's front")
	}
	if l.Rope == nil && l.Chain == nil {
		c.add(at, "add length: and stretch:, or rope: and chain:", "leg %q has neither a length nor a rope", l.ID)
		return
	}
	if l.Rope != nil {
		c.positive(at+".rope.length", "the rope's length", l.Rope.Length)
		c.stretch(at+".rope.stretch", l.Rope.Stretch)
	}
	if l.Chain == nil {
		c.noChain(at, l)
		return
	}
	if c.chain(at, l) && pointsFound && len(l.To) > 1 {
		c.loop(at, l)
	}
}

func (c *checker) noChain(at string, l *Leg) {
	if len(l.To) > 1 {
		c.add(at+".to", "add chain:, or give each point a leg of its own",
			"leg %q leads to %d points, which takes a chain that goes through them", l.ID, len(l.To))
	}
	if l.Count != nil || l.Find {
		c.add(at+".count", "add chain:, or leave out count:", "leg %q has a count and no chain", l.ID)
	}
}

func (c *checker) from(path string, l *Leg) {
	ref := *l.From
	if ref.Point != "" {
		c.point(path, l, ref)
		return
	}
	var ids []string
	for _, a := range c.spec.Apexes {
		if a.ID == ref.ID {
			return
		}
		ids = append(ids, a.ID)
	}
	for _, b := range c.spec.Bodies {
		if b.ID == ref.ID {
			c.add(path, fmt.Sprintf("write %s.point with one of its points", b.ID), "leg %q leads from body %q without saying from which point", l.ID, b.ID)
			return
		}
	}
	c.add(path, nearest(ref.ID, ids), "leg %q hangs from %q, and there is no such apex", l.ID, ref.ID)
}

// point reports whether ref names a point of a body.
func (c *checker) point(path string, l *Leg, ref Ref) bool {
	var ids []string
	for _, b := range c.spec.Bodies {
		ids = append(ids, b.ID)
		if b.ID != ref.ID {
			continue
		}
		var points []string
		for _, p := range b.Points {
			if p.ID == ref.Point {
				return true
			}
			points = append(points, p.ID)
		}
		if ref.Point == "" {
			c.add(path, nearest("", points), "leg %q leads to body %q without saying to which point", l.ID, ref.ID)
			return false
		}
		hint := "body " + b.ID + " has no points"
		if len(points) > 0 {
			hint = nearest(ref.Point, points)
		}
		c.add(path, hint, "leg %q leads to point %q, which body %q does not have", l.ID, ref.Point, b.ID)
		return false
	}
	c.add(path, nearest(ref.ID, ids), "leg %q leads to %q, and there is no body %q", l.ID, ref.String(), ref.ID)
	return false
}

// chain reports whether the chain and its count make sense.
func (c *checker) chain(at string, l *Leg) bool {
	ch := l.Chain
	before := len(c.problems)
	if ch.Links < 2 {
		c.add(at+".chain.links", "", "a chain needs at least 2 links")
	}
	c.positive(at+".chain.pitch", "the chain's pitch", ch.Pitch)
	c.stretch(at+".chain.stretch", ch.Stretch)
	if len(c.problems) > before {
		return false
	}
	switch {
	case l.Count == nil && !l.Find:
		c.add(at, fmt.Sprintf("add count: 1 to %d, the link held by the grab hook", ch.Links-1), "leg %q has a chain and no count", l.ID)
		return false
	case l.Count != nil && (*l.Count < 1 || *l.Count > ch.Links-1):
		c.add(at+".count", fmt.Sprintf("1 to %d, counted from the free end", ch.Links-1),
			"count %d of leg %q is beyond its chain of %d links", *l.Count, l.ID, ch.Links)
		return false
	case len(l.To) > 1 && l.Rope == nil:
		c.add(at, "add rope:", "leg %q leads to %d points and has no rope above its grab hook", l.ID, len(l.To))
		return false
	}
	return true
}

// loop checks that a chain is long enough for its points.
func (c *checker) loop(at string, l *Leg) {
	if l.Count == nil {
		return
	}
	ok := true
	for i := 1; i < len(l.To); i++ {
		if Norm(sub(c.ground(l.To[i]), c.ground(l.To[i-1]))) < 1e-9 {
			c.add(fmt.Sprintf("%s.to[%d]", at, i), "", "points %s and %s of leg %q stand at the same place on the ground", l.To[i-1], l.To[i], l.ID)
			ok = false
		}
	}
	if !ok {
		return
	}
	mid, span := c.stand(l.To)
	links := l.Chain.Links - *l.Count
	if float64(links)*l.Chain.Pitch-mid > span {
		return
	}
	need := linksNeeded(mid, span, l.Chain.Pitch)
	hint := fmt.Sprintf("it needs %d links in the loop: a count of at most %d", need, l.Chain.Links-need)
	if need > l.Chain.Links-1 {
		hint = fmt.Sprintf("it needs %d links in the loop, a chain of at least %d links", need, need+1)
	}
	c.add(at+".count", hint,
		"the loop of leg %q has %d links and is too short for its points, which stand %.3f m apart one after the other and %.3f m from first to last",
		l.ID, links, mid, span)
}

// ground returns where a point that is known to exist stands on the ground.
func (c *checker) ground(ref Ref) Vec {
	for i := range c.spec.Bodies {
		b := &c.spec.Bodies[i]
		if b.ID != ref.ID {
			continue
		}
		for _, p := range b.Points {
			if p.ID == ref.Point {
				return b.groundPose().At(p.At)
			}
		}
	}
	return Vec{}
}

func sub(a, b Vec) Vec { return Vec{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }

func (c *checker) sets() {
	s := &c.spec
	c.unique("set", "sets", len(s.Sets), func(i int) string { return s.Sets[i].ID })
	var ids []string
	legs := map[string]bool{}
	for _, l := range s.Legs {
		ids = append(ids, l.ID)
		legs[l.ID] = true
	}
	owner := map[string]string{}
	for i, set := range s.Sets {
		at := fmt.Sprintf("sets[%d]", i)
		c.rating(at+".rated", "the set's rating", set.Rated)
		c.angle(at+".up-to", set.UpTo)
		if len(set.Legs) == 0 {
			c.add(at, "add legs: with the ids of its legs", "set %q has no legs", set.ID)
		}
		for k, id := range set.Legs {
			path := fmt.Sprintf("%s.legs[%d]", at, k)
			if !legs[id] {
				c.add(path, nearest(id, ids), "set %q names leg %q, and there is no such leg", set.ID, id)
			} else if o, taken := owner[id]; taken {
				c.add(path, "a leg belongs to one set", "leg %q is already in set %q", id, o)
			}
			owner[id] = set.ID
		}
	}
}

func (c *checker) angle(path string, a *float64) {
	if a != nil && !(*a > 0 && *a <= math.Pi/2) {
		c.add(path, "more than 0 deg and at most 90 deg, from the vertical", "an angle of %.4g deg is no limit for a leg", *a*180/math.Pi)
	}
}

func (c *checker) limits() {
	s := &c.spec
	band := func(path, what string, b *[2]float64) {
		if b != nil && b[0] > b[1] {
			c.add(path, "lowest first", "the %s band runs from %.4g deg down to %.4g deg", what, b[0]*180/math.Pi, b[1]*180/math.Pi)
		}
	}
	band("limits.pitch", "pitch", s.Limits.Pitch)
	band("limits.roll", "roll", s.Limits.Roll)
	c.angle("limits.leg-angle", s.Limits.LegAngle)
	if s.LegTolerance != nil {
		if c.finite("leg-tolerance", "the leg tolerance", *s.LegTolerance) && *s.LegTolerance < 0 {
			c.add("leg-tolerance", "", "a tolerance cannot be negative")
		}
	}
}

func (c *checker) procedure() {
	p := c.spec.Procedure
	if p == nil {
		return
	}
	if p.Publication == "" {
		c.add("procedure", "add publication:", "a procedure without a publication cannot be followed")
	}
	if p.Weight != nil && p.Weight[0] > p.Weight[1] {
		c.add("procedure.covers.weight", "lowest first", "the weight range runs downwards")
	}
	var ids []string
	legs := map[string]*Leg{}
	for i := range c.spec.Legs {
		l := &c.spec.Legs[i]
		ids = append(ids, l.ID)
		legs[l.ID] = l
	}
	for _, id := range sortedKeys(p.Counts) {
		if l := legs[id]; l == nil {
			c.add("procedure.counts."+id, nearest(id, ids), "the procedure gives a count for leg %q, and there is no such leg", id)
		} else if l.Chain == nil {
			c.add("procedure.counts."+id, "", "the procedure gives a count for leg %q, which has no chain", id)
		}
	}
}
