package picture

import (
	"math"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// hookHigh is how far the sign of a hook reaches above the pin that the legs
// hang on, mm. Hooks and apex fittings are signs of one size, not to scale.
const hookHigh = 11.5

type hook struct {
	id       string
	at, apex rig.Vec
	cut      float64 // full length of a pendant that is drawn shorter, m; 0 if it is not
}

// hook draws the apex fitting, the pendant and the hook: a shackle whose pin
// the legs hang on, and above it, or above the pendant, a hook.
func (s *scene) hook(l *draw.List, f *frame, h *hook) {
	g := l.Group("", "hook of "+h.id)
	apex, top := f.at(h.apex), f.at(h.at)
	scale := s.signs
	if s.above() {
		g.Circle(top, 1.7*scale, look.Outline, look.Metal)
		g.Circle(top, 0.5*scale, look.Outline, look.Paper)
		return
	}
	up := top.Sub(apex)
	if up.Len() < 3*scale || math.Abs(up.X) > up.Len()/2 {
		shackle(g.GroupAt(draw.Transform{Move: apex, Scale: scale}))
		hookSign(g.GroupAt(draw.Transform{Move: top, Scale: scale}))
		if up.Len() > 0.5 {
			g.Line(apex, top, draw.Stroke{Paint: look.Ink, Width: look.Heavy * scale})
		}
		return
	}
	// The pendant runs from the bow of the shackle to the bowl of the hook.
	from := apex.Add(up.Unit().Mul(bow * scale))
	to := top.Add(draw.Pt(0, -bow*scale))
	g.Line(from, to, draw.Stroke{Paint: look.Ink, Width: look.Bold * scale, Cap: draw.CapRound})
	if h.cut > 0 {
		cutMark(g, from.Lerp(to, 0.6), up.Unit(), scale)
	}
	g.Circle(to, 1.1*scale, draw.Stroke{Paint: look.Ink, Width: look.Regular * scale}, look.Paper)
	shackle(g.GroupAt(draw.Transform{Move: apex, Scale: scale, Rotate: up.Angle() + 90}))
	hookSign(g.GroupAt(draw.Transform{Move: top, Scale: scale}))
}

// cutMark takes a piece out of a line between two slanting strokes.
func cutMark(g *draw.Group, c, up draw.Point, scale float64) {
	across := up.Perp().Mul(2.2 * scale)
	slant := up.Mul(0.7 * scale)
	lower, upper := c.Sub(up.Mul(0.8*scale)), c.Add(up.Mul(0.8*scale))
	g.Polygon([]draw.Point{
		lower.Sub(across).Sub(slant), lower.Add(across).Add(slant),
		upper.Add(across).Add(slant), upper.Sub(across).Sub(slant),
	}, draw.Stroke{}, look.Paper)
	for _, e := range []draw.Point{lower, upper} {
		g.Line(e.Sub(across).Sub(slant), e.Add(across).Add(slant), draw.Stroke{Paint: look.Ink, Width: look.Light * scale})
	}
}

// bow is how high the shackle's bow stands over its pin, mm.
const bow = 3.9

// bar draws a round bar along a path: metal between two edges.
func bar(g *draw.Group, p draw.Path, width float64) {
	for _, edge := range []draw.Stroke{
		{Paint: look.Ink, Width: width + 2*look.Light, Cap: draw.CapRound, Join: draw.JoinRound},
		{Paint: look.Metal, Width: width, Cap: draw.CapRound, Join: draw.JoinRound},
	} {
		p.Stroke = edge
		g.Add(p)
	}
}

// shackle draws the apex fitting with its pin at the origin.
func shackle(g *draw.Group) {
	var p draw.Path
	p.MoveTo(draw.Pt(-1.6, 0))
	p.LineTo(draw.Pt(-1.6, -2.3))
	p.ArcTo(draw.Pt(0, -2.3), 1.6, 1.6, 0, 180, 360)
	p.LineTo(draw.Pt(1.6, 0))
	bar(g, p, 0.5)
	g.RoundRect(draw.Rect{X: -2.5, Y: -0.5, W: 5, H: 1}, 0.3, draw.Stroke{Paint: look.Ink, Width: look.Light}, look.Metal)
}

// hookSign draws a hook whose load hangs bow above the origin.
func hookSign(g *draw.Group) {
	c := draw.Pt(0, -5.2)
	var p draw.Path
	p.ArcTo(c, 1.9, 1.9, 0, 200, 10)
	p.CubicTo(draw.Pt(1.75, -6.6), draw.Pt(0.1, -7.2), draw.Pt(0, -9))
	bar(g, p, 0.75)
	g.Line(draw.Pt(-1.75, -6), draw.Pt(0.3, -7.9), draw.Stroke{Paint: look.Ink, Width: look.Light, Cap: draw.CapRound})
	g.RoundRect(draw.Rect{X: -1.3, Y: -hookHigh + 0.4, W: 2.6, H: 2.1}, 0.4, draw.Stroke{Paint: look.Ink, Width: look.Light}, look.Metal)
}
