package rig

import "math"

// CountRange returns the lowest and highest count of a leg that its geometry
// allows; both are 0 for a leg without chain. The highest of a loop through
// several points leaves it long enough for them.
func (r *Rig) CountRange(i int) (low, high int) {
	l := &r.spec.Legs[i]
	if l.Chain == nil {
		return 0, 0
	}
	high = l.Chain.Links - 1
	if len(l.To) > 1 {
		c := checker{spec: r.spec}
		mid, span := c.stand(l.To)
		high = min(high, l.Chain.Links-linksNeeded(mid, span, l.Chain.Pitch))
	}
	return 1, high
}

// LowestCount returns the lowest count that practice allows: the school's own,
// or 3 (common practice, no source).
func (r *Rig) LowestCount() int { return r.spec.LowestCount }

// stand returns how far points stand apart on the ground, one after the other
// and from first to last, m.
func (c *checker) stand(to []Ref) (mid, span float64) {
	for i := 1; i < len(to); i++ {
		mid += Norm(sub(c.ground(to[i]), c.ground(to[i-1])))
	}
	return mid, Norm(sub(c.ground(to[len(to)-1]), c.ground(to[0])))
}

// linksNeeded returns the fewest links whose loop is longer than its runs
// between points and the distance from the first point to the last together.
func linksNeeded(mid, span, pitch float64) int {
	need := int(math.Floor((mid+span)/pitch)) + 1
	for float64(need)*pitch-mid <= span {
		need++
	}
	return need
}
