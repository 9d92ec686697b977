package draw

import (
	"math"
	"slices"
)

// Hatch fills the closed polygon with parallel lines, clipped to it by the
// even-odd rule: lines spacing mm apart at the angle deg (0 is level, positive
// clockwise on the page). The lines of two polygons with the same spacing and
// angle run on into one another. A spacing that is not positive draws nothing.
// Several outlines make one area with holes.
func (l *List) Hatch(spacing, deg float64, s Stroke, outlines ...[]Point) {
	p := Path{Stroke: s}
	for _, seg := range hatchLines(outlines, spacing, deg) {
		p.MoveTo(seg[0])
		p.LineTo(seg[1])
	}
	if len(p.Segs) > 0 {
		l.Add(p)
	}
}

// most lines drawn for one area; a spacing so fine that it asks for more would
// be a solid fill.
const mostHatch = 5000

func hatchLines(outlines [][]Point, spacing, deg float64) [][2]Point {
	if !(spacing > 0) {
		return nil
	}
	along := Polar(1, deg)
	across := along.Perp()
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, o := range outlines {
		for _, p := range o {
			v := p.Dot(across)
			lo, hi = min(lo, v), max(hi, v)
		}
	}
	if !(hi > lo) || (hi-lo)/spacing > mostHatch {
		return nil
	}
	var out [][2]Point
	// Lines stand at half steps, so that an upright or level edge at a whole
	// step does not fall on one.
	for k := math.Floor(lo/spacing) - 1; (k+0.5)*spacing < hi; k++ {
		v := (k + 0.5) * spacing
		var us []float64
		for _, o := range outlines {
			for i, a := range o {
				b := o[(i+1)%len(o)]
				va, vb := a.Dot(across), b.Dot(across)
				if (va <= v) == (vb <= v) {
					continue
				}
				us = append(us, a.Lerp(b, (v-va)/(vb-va)).Dot(along))
			}
		}
		slices.Sort(us)
		for i := 0; i+1 < len(us); i += 2 {
			if us[i+1] > us[i] {
				base := across.Mul(v)
				out = append(out, [2]Point{base.Add(along.Mul(us[i])), base.Add(along.Mul(us[i+1]))})
			}
		}
	}
	return out
}
