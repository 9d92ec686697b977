package spread

import (
	"fmt"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
)

// Tolerances say how far each input may be off, either way.
type Tolerances struct {
	Mass    float64 // of a body, as a share of its mass
	CG      float64 // of a body's CG along each axis, as a share of its shape's size there; 50 mm where it has no shape
	Length  float64 // of a leg, m; negative: the rig's leg tolerance
	Stretch float64 // of a leg's stretch, as a share
	Point   float64 // of a lift point along each axis, m
	Count   int     // of a leg's count, links
	// Own says that Mass was entered, so that it holds for bodies too of which
	// the rig gives a give-or-take.
	Own bool
}

// Defaults are used where the user enters nothing.
func Defaults() Tolerances {
	return Tolerances{Mass: 0.05, CG: 0.05, Length: -1, Stretch: 0.2, Point: 0.01, Count: 0}
}

// Reasons says, for each input, what the default is and why. All of them are
// our own choices: common practice, no source.
func Reasons() []string {
	return []string{
		"mass ± 5 %: what a load put together from plates and lists is commonly off; a weighed load is nearer, and where a body says give-or-take that is used (common practice, no source)",
		"CG ± 5 % of the load's size along each axis: about how well it is found by lifting one end or by adding up parts (common practice, no source)",
		"leg length ± the rig's leg tolerance, half a link where none is entered (common practice, no source)",
		"stretch ± 20 %: fibre slings stretch differently new and used, dry and wet (common practice, no source)",
		"lift points ± 10 mm: a tape measure's reading on a real load (common practice, no source)",
		"counts exact: a miscount is a fault and has a table of its own",
	}
}

// InWords says in the rig's units how far each input may be off.
func InWords(r *rig.Rig, t Tolerances) []string {
	show := r.Show()
	mass := "mass ± " + show.Percent(t.Mass)
	for _, b := range r.Bodies() {
		if b.MassBand != nil && !t.Own {
			mass += fmt.Sprintf(", body %s ± %s", b.ID, show.Mass(*b.MassBand))
		}
	}
	length := "leg length ± " + show.Size(t.Length)
	if t.Length < 0 {
		length = "leg length ± the rig's leg tolerance"
		if legs := r.Legs(); len(legs) > 0 {
			least, _ := r.Tolerance(legs[0].ID)
			most := least
			for _, l := range legs {
				x, _ := r.Tolerance(l.ID)
				least, most = min(least, x), max(most, x)
			}
			length += " (" + show.Size(least)
			if most > least {
				length += " to " + show.Size(most)
			}
			length += ")"
		}
	}
	count := "counts exact"
	if t.Count == 1 {
		count = "counts ± 1 link"
	} else if t.Count > 1 {
		count = fmt.Sprintf("counts ± %d links", t.Count)
	}
	return []string{
		mass, "CG ± " + show.Percent(t.CG) + " of the load's size along each axis", length, "stretch ± " + show.Percent(t.Stretch),
		"lift points ± " + show.Size(t.Point) + " along each axis", count,
	}
}

// Wrong says what is the matter with tolerances that make no sense, or "".
func (t Tolerances) Wrong() string {
	switch {
	case t.Mass < 0 || t.Mass >= 1:
		return "the tolerance of mass must be from 0 to less than 100 %"
	case t.CG < 0 || t.CG > 1:
		return "the tolerance of the CG must be from 0 to 100 % of the load's size"
	case t.Length > 1:
		return "the tolerance of leg length must be at most " + quantity.Metric.Length(1)
	case t.Stretch < 0 || t.Stretch >= 1:
		return "the tolerance of stretch must be from 0 to less than 100 %"
	case t.Point < 0 || t.Point > 1:
		return "the tolerance of lift points must be from 0 to " + quantity.Metric.Length(1)
	case t.Count < 0 || t.Count > 20:
		return "the tolerance of counts must be from 0 to 20 links"
	}
	return ""
}

// input is one coordinate of the spread.
type input struct {
	group int
	apply func(c *rig.Change, u float64) // u from −1 to 1
}

// Names of the groups of inputs, in order.
var Names = []string{"mass", "CG fore and aft", "CG sideways", "CG up and down", "leg lengths", "stretch", "lift points", "counts"}

// inputs lists the coordinates that vary.
func inputs(r *rig.Rig, t Tolerances) []input {
	var list []input
	add := func(group int, apply func(c *rig.Change, u float64)) {
		list = append(list, input{group, apply})
	}
	for i := range r.Bodies() {
		b := &r.Bodies()[i]
		mass := t.Mass
		if b.MassBand != nil && !t.Own {
			mass = *b.MassBand / b.TotalMass()
		}
		if mass > 0 {
			add(0, func(c *rig.Change, u float64) { c.Mass[i] = 1 + mass*u })
		}
		size := b.Shape.Extent()
		for k := range 3 {
			off := t.CG * size[k]
			if b.Shape.Kind == rig.NoShape && t.CG > 0 {
				off = 0.05
			}
			if off > 0 {
				add(1+k, func(c *rig.Change, u float64) { c.CG[i][k] = off * u })
			}
		}
	}
	for i := range r.Legs() {
		l := &r.Legs()[i]
		length := t.Length
		if length < 0 {
			length, _ = r.Tolerance(l.ID)
		}
		if length > 0 {
			add(4, func(c *rig.Change, u float64) { c.Longer[i] = length * u })
		}
		if t.Stretch > 0 {
			add(5, func(c *rig.Change, u float64) { c.Soft[i] = 1 + t.Stretch*u })
		}
	}
	for i := range r.PointRefs() {
		for k := range 3 {
			if t.Point > 0 {
				add(6, func(c *rig.Change, u float64) { c.Point[i][k] = t.Point * u })
			}
		}
	}
	for i := range r.Legs() {
		l := &r.Legs()[i]
		if l.Chain == nil || l.Count == nil || t.Count == 0 {
			continue
		}
		low, high := r.CountRange(i)
		add(7, func(c *rig.Change, u float64) {
			n := *l.Count + whole(u, t.Count)
			c.Counts[i] = max(low, min(high, n))
		})
	}
	return list
}

// whole turns u from −1 to 1 into a whole number from −n to n, each as likely.
func whole(u float64, n int) int {
	k := int((u + 1) / 2 * float64(2*n+1))
	return min(k, 2*n) - n
}
