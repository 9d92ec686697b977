package study

import (
	"fmt"
	"math"
	"strings"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/counts"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/chart"
	"hangtrue/internal/paper/draw/look"
)

// Cell is a pair of counts, of the groups across and up.
type Cell struct{ A, B int }

// CountMap draws every pair of counts of two groups as [DrawCountMap] does,
// with a title. Size in mm.
func CountMap(r *rig.Rig, m *counts.Map, plan *Cell, found []Cell, width, height float64) *draw.Picture {
	p, _ := countMap(r, m, plan, found, width, height, true)
	return p
}

// BareCountMap is [CountMap] without its title, for a page that has one, with
// the view that says where on the picture a pair of counts lies.
func BareCountMap(r *rig.Rig, m *counts.Map, plan *Cell, found []Cell, width, height float64) (*draw.Picture, chart.View) {
	return countMap(r, m, plan, found, width, height, false)
}

func countMap(r *rig.Rig, m *counts.Map, plan *Cell, found []Cell, width, height float64, titled bool) (*draw.Picture, chart.View) {
	p := draw.New(width, height, "Count map of "+r.Title(), describe(m, plan))
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	frame := p.Frame()
	if titled {
		frame = frame.Inset(look.Wide)
		y := frame.Y
		if r.Invented() {
			p.Text(draw.Pt(frame.X+frame.W, y), invented, look.Strong.At(draw.End, draw.CapTop))
			y += look.Strong.LineHeight()
		}
		y += p.TextBox(draw.Pt(frame.X, y), frame.W, "What each pair of counts does: "+title(r), look.Head.At(draw.Start, draw.CapTop)) + look.Unit
		frame.H -= y - frame.Y
		frame.Y = y
	} else {
		frame = frame.Inset(look.Unit)
	}
	return p, DrawCountMap(&p.List, m, plan, found, frame)
}

// DrawCountMap draws every pair of counts of two groups into a frame: lines of
// equal pitch and of equal highest share of rating, the area in which all
// limits are kept shaded, the pairs at which the load does not stand hatched,
// the planned pair with its neighbours ringed, and found pairs marked. It
// returns the view that says where a pair lies.
func DrawCountMap(l *draw.List, m *counts.Map, plan *Cell, found []Cell, frame draw.Rect) chart.View {
	y := frame.Y + legend(l, m, frame)
	frame.H -= y - frame.Y
	frame.Y = y
	plot := chart.Plot{X: countAxis(m.A), Y: countAxis(m.B)}
	pitch, use := grids(m)
	xs, ys := scale(m.A), scale(m.B)
	if len(xs) > 1 && len(ys) > 1 {
		angles := levels(pitch, 10)
		for _, level := range angles {
			add(&plot, xs, ys, pitch, level, "pitch, deg (positive nose up)", chart.Figure(level, spacing(angles))+"°", look.Series(1))
		}
		shares, name := useLevels(use), "highest share of a leg's rating, worst case"
		rated := m.Points[0].Rated
		if !rated {
			shares, name = levels(use, 6), "highest pull along a leg, % of the weight, worst case"
		}
		for _, level := range shares {
			stroke := look.Series(0)
			if rated && level == 100 {
				stroke = look.Limit
			}
			add(&plot, xs, ys, use, level, name, chart.Figure(level, spacing(shares))+" %", stroke)
		}
	}
	nameOnce(&plot)
	var over draw.List
	view := plot.Draw(&over, frame)
	shade(l, m, view)
	l.Add(over.Items...)
	marks(l, view, m, plan, found)
	return view
}

const invented = "INVENTED"

// title is the rig's title without the mark, which stands beside it.
func title(r *rig.Rig) string {
	t := r.Title()
	if rest, ok := strings.CutPrefix(t, invented); ok && r.Invented() {
		if rest = strings.TrimLeft(rest, " -–—:,."); rest != "" {
			t = rest
		}
	}
	return t
}

// legend says what the areas mean, in one row, and returns its height; the lines
// are named by the plot's own.
func legend(l *draw.List, m *counts.Map, frame draw.Rect) float64 {
	row := look.Body.LineHeight()
	x, y := frame.X, frame.Y
	entry := func(words string, fill func(draw.Rect)) {
		w := 9 + 1.2 + look.Body.Width(words)
		if x > frame.X && x+w > frame.X+frame.W {
			x, y = frame.X, y+row
		}
		box := draw.Rect{X: x, Y: y + 0.15*row, W: 9, H: 0.7 * row}
		fill(box)
		l.Rect(box, look.Detail, draw.Paint{})
		l.Text(draw.Pt(x+10.2, y+row/2), words, look.Body.At(draw.Start, draw.CapMiddle))
		x += w + 5
	}
	entry("keeps all limits that depend on counts", func(r draw.Rect) { l.Rect(r, draw.Stroke{}, look.Wash) })
	for i := range m.Points {
		if p := &m.Points[i]; !p.Settled || p.Falls {
			entry("does not stand", func(r draw.Rect) { l.Hatch(2, 45, look.HatchLine, r.Corners()) })
			break
		}
	}
	return y + row - frame.Y
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

// grids returns pitch in degrees and the load of the legs in percent, as
// [counts.Point.Load] has it;
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
			ps, us = append(ps, pt.Pitch/quantity.Degree), append(us, 100*pt.Load())
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
			l.Circle(at, 0.7, look.Detail, look.Paper)
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

// Neighbours lists a pair and those one link off in either group, the pair
// itself first, as far as the map has them.
func Neighbours(m *counts.Map, of Cell) []Cell {
	var out []Cell
	for _, by := range [][2]int{{0, 0}, {-1, 0}, {1, 0}, {0, -1}, {0, 1}, {-1, -1}, {-1, 1}, {1, -1}, {1, 1}} {
		c := Cell{of.A + by[0], of.B + by[1]}
		if c.A >= m.A.Low && c.A <= m.A.High && c.B >= m.B.Low && c.B <= m.B.High {
			out = append(out, c)
		}
	}
	return out
}
