package picture

import (
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
	return slices.MinFunc(points, func(a, b rig.Vec) int {
		switch {
		case a[2] < b[2]:
			return -1
		case a[2] > b[2]:
			return 1
		}
		return 0
	})
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
		{lo[0] - edge, lo[1] - edge, z}, {hi[0] + edge, lo[1] - edge, z},
		{hi[0] + edge, hi[1] + edge, z}, {lo[0] - edge, hi[1] + edge, z},
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
	below := all.Y + all.H - b.Y - b.H + 8
	if s.level() {
		below++
	}
	s.dimension(l, f, place, draw.Pt(b.X, b.Y+b.H), draw.Pt(b.X+b.W, b.Y+b.H), below)
	s.dimension(l, f, place, draw.Pt(b.X, b.Y), draw.Pt(b.X, b.Y+b.H), b.X-all.X+8)
	if len(points) == 0 {
		return
	}
	// Points above: those next to one another where there is room for the
	// figures, else the outer ones.
	xs := steps(points, func(p draw.Point) float64 { return p.X }, 11)
	for i := 1; i < len(xs); i++ {
		at := all.Y - 9
		top := min(xs[i-1].top, xs[i].top)
		s.dimension(l, f, place, draw.Pt(xs[i-1].at, top), draw.Pt(xs[i].at, top), -(top - at))
	}
	right := all.X + all.W + 8
	if s.level() {
		// How high the points stand over the ground.
		ys := steps(points, func(p draw.Point) float64 { return p.Y }, 0)
		y := ys[0].at // the highest
		if ground := b.Y + b.H; ground-y > 4 && y-b.Y > 1 {
			s.dimension(l, f, place, draw.Pt(all.X+all.W, y), draw.Pt(all.X+all.W, ground), -(right - all.X - all.W))
		}
		return
	}
	ys := steps(points, func(p draw.Point) float64 { return p.Y }, 11)
	for i := 1; i < len(ys); i++ {
		x := max(ys[i-1].right, ys[i].right)
		s.dimension(l, f, place, draw.Pt(x, ys[i-1].at), draw.Pt(x, ys[i].at), -(right - x))
	}
}

// step is a place along an axis at which points stand.
type step struct{ at, top, right float64 }

// steps groups points that stand at one place along an axis, in order. Where
// two of them are nearer to each other than a figure is wide, only the first
// and the last are kept.
func steps(points []draw.Point, along func(draw.Point) float64, least float64) []step {
	points = slices.Clone(points)
	slices.SortStableFunc(points, func(a, b draw.Point) int {
		switch {
		case along(a) < along(b):
			return -1
		case along(a) > along(b):
			return 1
		}
		return 0
	})
	var out []step
	for _, p := range points {
		if n := len(out); n > 0 && along(p)-out[n-1].at < 0.5 {
			out[n-1].top, out[n-1].right = min(out[n-1].top, p.Y), max(out[n-1].right, p.X)
			continue
		}
		out = append(out, step{along(p), p.Y, p.X})
	}
	for i := 1; i < len(out); i++ {
		if out[i].at-out[i-1].at < least {
			return []step{out[0], out[len(out)-1]}
		}
	}
	return out
}

// dimension draws one dimension line and keeps labels off it.
func (s *scene) dimension(l *draw.List, f *frame, place *draw.Labels, a, b draw.Point, offset float64) {
	n := b.Sub(a).Len()
	if n < 1 {
		return
	}
	text := s.r.Show().Length(n / f.scale)
	l.DimensionLine(a, b, offset, text, look.Dimension)
	d := b.Sub(a).Unit().Perp().Mul(offset)
	p, q := a.Add(d), b.Add(d)
	place.AvoidLine(p, q)
	place.AvoidLine(a, p)
	place.AvoidLine(b, q)
	w, h := look.Dimension.Text.Width(text)/2+0.5, look.Dimension.Text.Size
	mid := p.Lerp(q, 0.5)
	if math.Abs(b.Sub(a).Unit().X) > 0.5 {
		place.Avoid(draw.Rect{X: mid.X - w, Y: mid.Y - h - 0.8, W: 2 * w, H: h + 1})
	} else {
		place.Avoid(draw.Rect{X: mid.X - h - 0.8, Y: mid.Y - w, W: h + 1, H: 2 * w})
	}
}
