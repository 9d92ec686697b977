package closeup

import (
	"math"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/paper/draw"
)

// frame takes a place on the part, in its real mm, to a place on the paper. It
// turns, scales evenly, moves and may exchange left and right.
type frame struct{ a, b, c, d, e, f float64 }

func (m frame) apply(p draw.Point) draw.Point {
	return draw.Pt(m.a*p.X+m.c*p.Y+m.e, m.b*p.X+m.d*p.Y+m.f)
}

// then is the frame that first applies n and then m.
func (m frame) then(n frame) frame {
	o := m.apply(draw.Pt(n.e, n.f))
	return frame{
		m.a*n.a + m.c*n.b, m.b*n.a + m.d*n.b,
		m.a*n.c + m.c*n.d, m.b*n.c + m.d*n.d,
		o.X, o.Y,
	}
}

// factor is how many paper mm a real mm has.
func (m frame) factor() float64 { return math.Sqrt(math.Abs(m.a*m.d - m.b*m.c)) }

// angle is by how many degrees the frame turns its x axis, clockwise on the page.
func (m frame) angle() float64 { return draw.Pt(m.a, m.b).Angle() }

func (m frame) path(p draw.Path) draw.Path {
	segs := make([]draw.Seg, len(p.Segs))
	for i, s := range p.Segs {
		for k := range s.P {
			s.P[k] = m.apply(s.P[k])
		}
		segs[i] = s
	}
	p.Segs = segs
	return p
}

func moved(x, y float64) frame { return frame{1, 0, 0, 1, x, y} }

func scaled(k float64) frame { return frame{k, 0, 0, k, 0, 0} }

func turned(deg float64) frame {
	s, c := math.Sincos(deg * quantity.Degree)
	return frame{c, s, -s, c, 0, 0}
}

var mirrored = frame{-1, 0, 0, 1, 0, 0}
