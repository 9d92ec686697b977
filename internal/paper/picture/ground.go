package picture

import (
	"cmp"
	"math"
	"slices"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// ground draws the ground that bodies stand on: a line in level views, a patch
// in slanting ones, nothing seen from above. A body that no leg joins to a hook
// stands on a ground of its own.
func (s *scene) ground(l *draw.List, f *frame, area draw.Rect) {
	switch {
	case s.o.View.Elevation >= 80:
	case s.o.Ground && s.level():
		y := f.at(lowest(s.load())).Y
		groundLine(l, area.X+6, area.X+area.W-6, y)
	case s.o.Ground:
		s.patch(l, f)
	case s.level():
		for i := range s.solids {
			if sd := &s.solids[i]; sd.loose {
				b := draw.Around(f.all(sd.outline())...)
				groundLine(l, b.X-3, b.X+b.W+3, b.Y+b.H)
			}
		}
	}
}

func lowest(points []rig.Vec) rig.Vec {
	return slices.MinFunc(points, func(a, b rig.Vec) int { return cmp.Compare(a[2], b[2]) })
}

func groundLine(l *draw.List, x0, x1, y float64) {
	l.Line(draw.Pt(x0, y), draw.Pt(x1, y), look.Ground)
	for x := x0 + 2.5; x < x1; x += 4 {
		l.Line(draw.Pt(x, y), draw.Pt(x-2, y+2), look.HatchLine)
	}
}

// patch draws the piece of ground around the load as it is seen from above at
// a slant.
func (s *scene) patch(l *draw.List, f *frame) {
	points := s.load()
	lo, hi := points[0], points[0]
	for _, p := range points {
		for k := range 3 {
			lo[k], hi[k] = math.Min(lo[k], p[k]), math.Max(hi[k], p[k])
		}
	}
	edge := 5 / f.scale
	z := lo[2]
	l.Polygon(f.all([]rig.Vec{
		{lo[0] - edge, lo[1] - edge, z},
		{hi[0] + edge, lo[1] - edge, z},
		{hi[0] + edge, hi[1] + edge, z},
		{lo[0] - edge, hi[1] + edge, z},
	}), look.GridLine, look.Shade)
}

// measured reports whether the view gets dimension lines: on the ground, along
// one of the named directions, with room.
func (s *scene) measured(area draw.Rect) bool {
	if !s.o.Ground || s.o.Small || area.W < 70 || area.H < 55 {
		return false
	}
	return s.o.View == Side || s.o.View == Front || s.o.View == Top
}

// dimensions draws the load's size and how far its points stand apart and how
// high: what a rigger measures before hooking up.
func (s *scene) dimensions(l *draw.List, f *frame, area draw.Rect, place *draw.Labels) {
	if !s.measured(area) {
		return
	}
	var corners []draw.Point
	var points []draw.Point
	for i := range s.solids {
		sd := &s.solids[i]
		corners = append(corners, f.all(sd.outline())...)
		for _, p := range sd.body.Points {
			points = append(points, f.at(sd.at(p.At)))
		}
	}
	b := draw.Around(corners...)
	all := draw.Around(append(slices.Clone(corners), points...)...)
	m := measure{s: s, l: l, f: f, place: place}
	below := all.Y + all.H + 8
	if s.level() {
		below++ // past the hatch of the ground
	}
	m.across(draw.Pt(b.X, b.Y+b.H), draw.Pt(b.X+b.W, b.Y+b.H), below)
	left := all.X - 8
	if s.level() {
		// How high the highest point stands over the ground, where that is not
		// the height of the load.
		if len(points) > 0 {
			top := slices.MinFunc(points, func(p, q draw.Point) int { return cmp.Compare(p.Y, q.Y) })
			if ground := b.Y + b.H; ground-top.Y > 4 && math.Abs(top.Y-b.Y) > 1 {
				m.up(draw.Pt(top.X, ground), top, all.X+all.W+8)
			}
		}
	} else {
		fore, aft := halves(points)
		m.chainUp(fore, all.X+all.W+8)
		if !alike(fore, aft) && m.chainUp(aft, left) {
			left -= 6
		}
	}
	m.up(draw.Pt(b.X, b.Y+b.H), draw.Pt(b.X, b.Y), left)
	m.chainAcross(points, all.Y-9)
}

// halves parts points into those nearer to the right and those nearer to the
// left.
func halves(points []draw.Point) (right, left []draw.Point) {
	mid := draw.Around(points...).Center().X
	for _, p := range points {
		if p.X >= mid {
			right = append(right, p)
		} else {
			left = append(left, p)
		}
	}
	return right, left
}

// alike reports whether both lists have points at the same heights.
func alike(a, b []draw.Point) bool {
	height := func(p draw.Point) float64 { return p.Y }
	return slices.EqualFunc(steps(a, height, 0), steps(b, height, 0), func(p, q draw.Point) bool { return math.Abs(p.Y-q.Y) < 0.5 })
}

// measure draws dimension lines and keeps labels off them.
type measure struct {
	s     *scene
	l     *draw.List
	f     *frame
	place *draw.Labels
}

// figureRoom is how far apart two points must stand for a figure between them.
const figureRoom = 13.5

// chainAcross measures between points next to one another from left to right,
// or the outer two where there is no room for the figures.
func (m *measure) chainAcross(points []draw.Point, y float64) {
	list := steps(points, func(p draw.Point) float64 { return p.X }, figureRoom)
	for i := 1; i < len(list); i++ {
		m.across(list[i-1], list[i], y)
	}
}

// chainUp does the same from the bottom up, and reports whether there was
// anything to measure.
func (m *measure) chainUp(points []draw.Point, x float64) bool {
	list := steps(points, func(p draw.Point) float64 { return p.Y }, figureRoom)
	for i := 1; i < len(list); i++ {
		m.up(list[i], list[i-1], x)
	}
	return len(list) > 1
}

// across measures level from a to b with the dimension line at a height.
func (m *measure) across(a, b draw.Point, y float64) {
	m.line(a, b, draw.Pt(a.X, y), draw.Pt(b.X, y))
}

// up measures upright from a to b with the dimension line at a place.
func (m *measure) up(a, b draw.Point, x float64) {
	m.line(a, b, draw.Pt(x, a.Y), draw.Pt(x, b.Y))
}

// line measures between a and b along the dimension line from p to q.
func (m *measure) line(a, b, p, q draw.Point) {
	n := q.Sub(p).Len()
	if n < 1 {
		return
	}
	st := look.Dimension
	for _, e := range [][2]draw.Point{{a, p}, {b, q}} {
		if d := e[1].Sub(e[0]); d.Len() > st.Gap {
			m.l.Line(e[0].Add(d.Unit().Mul(st.Gap)), e[1].Add(d.Unit().Mul(st.Overrun)), st.Extension)
			m.place.AvoidLine(e[0].Add(d.Unit().Mul(st.Gap)), e[1])
		}
	}
	text := m.s.r.Show().Length(n / m.f.scale)
	m.l.DimensionLine(p, q, 0, text, st)
	m.place.AvoidLine(p, q)
	w, h := st.Text.Width(text)/2+0.5, st.Text.Size
	mid := p.Lerp(q, 0.5)
	if n < 2*w {
		// The figure stands beyond q.
		mid = q.Add(q.Sub(p).Unit().Mul(w + 1))
	}
	if p.Y == q.Y {
		m.place.Avoid(draw.Rect{X: mid.X - w, Y: mid.Y - h - 0.8, W: 2 * w, H: h + 1})
	} else {
		m.place.Avoid(draw.Rect{X: mid.X - h - 0.8, Y: mid.Y - w, W: h + 1, H: 2 * w})
	}
}

// steps lists one point for each place along an axis, in order. Where two are
// nearer to each other than least mm, only the first and the last are kept.
func steps(points []draw.Point, along func(draw.Point) float64, least float64) []draw.Point {
	points = slices.Clone(points)
	slices.SortStableFunc(points, func(a, b draw.Point) int { return cmp.Compare(along(a), along(b)) })
	var out []draw.Point
	for _, p := range points {
		if n := len(out); n > 0 && along(p)-along(out[n-1]) < 0.5 {
			continue
		}
		out = append(out, p)
	}
	for i := 1; i < len(out); i++ {
		if along(out[i])-along(out[i-1]) < least {
			return []draw.Point{out[0], out[len(out)-1]}
		}
	}
	return out
}
