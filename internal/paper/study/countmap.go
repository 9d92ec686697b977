package study

import (
	"fmt"
	"math"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/counts"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/chart"
	"hangtrue/internal/paper/draw/look"
)

// Cell is a pair of counts, of the groups across and up.
type Cell struct{ A, B int }

// CountMap draws every pair of counts of two groups: lines of equal pitch and
// of equal highest share of rating, the area in which all limits are kept
// shaded, the pairs at which the load does not stand hatched, the planned pair
// with its neighbours ringed, and found pairs marked. Size in mm.
func CountMap(r *rig.Rig, m *counts.Map, plan *Cell, found []Cell, width, height float64) *draw.Picture {
	p := draw.New(width, height, "Count map of "+r.Title(), describe(m, plan))
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	frame := p.Frame().Inset(look.Wide)
	if r.Invented() {
		p.Text(draw.Pt(frame.X+frame.W, frame.Y), "INVENTED", look.Strong.At(draw.End, draw.CapTop))
	}
	frame.Y += 5
	frame.H -= 5
	plot := chart.Plot{
		Title: "What each pair of counts does: " + r.Title(),
		X:     countAxis(m.A),
		Y:     countAxis(m.B),
	}
	pitch, use := grids(m)
	xs, ys := scale(m.A), scale(m.B)
	if len(xs) > 1 && len(ys) > 1 {
		for _, level := range levels(pitch, 8) {
			add(&plot, xs, ys, pitch, level, "pitch, deg (positive nose up)", chart.Figure(level, spacing(levels(pitch, 8)))+"°", look.Series(1))
		}
		shares := useLevels(use)
		for _, level := range shares {
			stroke := look.Series(0)
			name := "highest share of a leg's rating, worst case"
			if level == 100 {
				stroke = look.Limit
			}
			add(&plot, xs, ys, use, level, name, chart.Figure(level, spacing(shares))+" %", stroke)
		}
	}
	nameOnce(&plot)
	var over draw.List
	view := plot.Draw(&over, frame)
	shade(&p.List, m, view)
	p.Add(over.Items...)
	marks(&p.List, view, m, plan, found)
	return p
}

func countAxis(g counts.Group) chart.Axis {
	return chart.Axis{Label: fmt.Sprintf("count of %s (%s)", g.Name, join(g.IDs)), Min: float64(g.Low), Max: float64(max(g.High, g.Low+1))}
}

func join(ids []string) string {
	s := ""
	for i, id := range ids {
		if i > 0 {
			s += ", "
		}
		s += id
	}
	return s
}

func scale(g counts.Group) []float64 {
	var out []float64
	for n := g.Low; n <= g.High; n++ {
		out = append(out, float64(n))
	}
	return out
}

// grids returns pitch in degrees and the highest share of a leg's rating in percent;
// pairs that do not stand are no numbers.
func grids(m *counts.Map) (pitch, use [][]float64) {
	for b := m.B.Low; b <= m.B.High; b++ {
		var ps, us []float64
		for a := m.A.Low; a <= m.A.High; a++ {
			pt := m.At(a, b)
			if !pt.Settled || pt.Falls {
				ps, us = append(ps, math.NaN()), append(us, math.NaN())
				continue
			}
			ps, us = append(ps, pt.Pitch/quantity.Degree), append(us, 100*pt.LegUse)
		}
		pitch, use = append(pitch, ps), append(use, us)
	}
	return pitch, use
}

// levels picks round levels over the range of the values, about n of them.
func levels(z [][]float64, n int) []float64 {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, row := range z {
		for _, v := range row {
			if !math.IsNaN(v) {
				lo, hi = math.Min(lo, v), math.Max(hi, v)
			}
		}
	}
	if !(hi > lo) {
		return nil
	}
	step := chart.Step125(hi-lo, n)
	var out []float64
	for k := math.Ceil(lo / step); k*step <= hi; k++ {
		out = append(out, k*step)
	}
	return out
}

// useLevels picks round shares over the range, and always the rating itself.
func useLevels(z [][]float64) []float64 {
	out := levels(z, 6)
	for _, l := range out {
		if l == 100 {
			return out
		}
	}
	return append(out, 100)
}

// spacing is the smallest distance between neighbouring levels.
func spacing(levels []float64) float64 {
	least := 100.0
	for i := 1; i < len(levels); i++ {
		least = math.Min(least, levels[i]-levels[i-1])
	}
	return least
}

func add(p *chart.Plot, xs, ys []float64, z [][]float64, level float64, name, inline string, stroke draw.Stroke) {
	points, err := chart.Contour(xs, ys, z, level)
	if err != nil || len(points) == 0 {
		return // the grid is made to fit, so nothing crosses this level
	}
	p.Series = append(p.Series, chart.Series{Name: name, Points: points, Stroke: stroke, Inline: inline})
}

// nameOnce leaves each name to the first series that has it, so that the
// legend lists it once.
func nameOnce(p *chart.Plot) {
	seen := map[string]bool{}
	for i := range p.Series {
		if n := p.Series[i].Name; seen[n] {
			p.Series[i].Name = ""
		} else {
			seen[n] = true
		}
	}
}

// shade fills the pairs that keep all limits and hatches those that do not
// stand, row by row.
func shade(l *draw.List, m *counts.Map, v chart.View) {
	run := func(want func(*counts.Point) bool, draw1 func(draw.Rect)) {
		for b := m.B.Low; b <= m.B.High; b++ {
			start := 0
			for a := m.A.Low; a <= m.A.High+1; a++ {
				in := a <= m.A.High && want(m.At(a, b))
				if in && start == 0 {
					start = a
				}
				if !in && start != 0 {
					p := v.Map(draw.Pt(max(float64(start)-0.5, float64(m.A.Low)), min(float64(b)+0.5, float64(m.B.High))))
					q := v.Map(draw.Pt(min(float64(a)-0.5, float64(m.A.High)), max(float64(b)-0.5, float64(m.B.Low))))
					draw1(draw.Span(p, q))
					start = 0
				}
			}
		}
	}
	run(func(p *counts.Point) bool { return p.Within() }, func(r draw.Rect) { l.Rect(r.Inset(-0.03), draw.Stroke{}, look.Wash) })
	run(func(p *counts.Point) bool { return !p.Settled || p.Falls }, func(r draw.Rect) {
		l.Hatch(2, 45, look.HatchLine, r.Corners())
	})
}

func marks(l *draw.List, v chart.View, m *counts.Map, plan *Cell, found []Cell) {
	inside := func(c Cell) bool { return c.A >= m.A.Low && c.A <= m.A.High && c.B >= m.B.Low && c.B <= m.B.High }
	for i, c := range found {
		if inside(c) {
			at := v.Map(draw.Pt(float64(c.A), float64(c.B)))
			l.Circle(at, 0.9, look.Detail, look.Paper)
			if i == 0 {
				l.Text(at.Add(draw.Pt(2, 2.4)), fmt.Sprintf("best found %d / %d: computed, not approved", c.A, c.B), look.OnDrawing)
			}
		}
	}
	if plan == nil || !inside(*plan) {
		return
	}
	at := v.Map(draw.Pt(float64(plan.A), float64(plan.B)))
	a := v.Map(draw.Pt(float64(plan.A)-1.5, float64(plan.B)-1.5))
	b := v.Map(draw.Pt(float64(plan.A)+1.5, float64(plan.B)+1.5))
	l.Rect(draw.Span(a, b), look.Detail, draw.Paint{})
	l.Circle(at, 1.3, look.Outline, look.Ink)
	l.Text(at.Add(draw.Pt(2.4, -1.6)), fmt.Sprintf("planned %d / %d", plan.A, plan.B), look.OnDrawing.AsBold())
}

func describe(m *counts.Map, plan *Cell) string {
	within := 0
	for i := range m.Points {
		if m.Points[i].Within() {
			within++
		}
	}
	text := fmt.Sprintf("%d of %d pairs of counts keep the limits that were judged.", within, len(m.Points))
	if plan != nil {
		text += fmt.Sprintf(" Planned: %d and %d.", plan.A, plan.B)
	}
	return text
}
