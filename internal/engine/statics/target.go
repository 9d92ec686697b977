package statics

import "math"

// target is the shape that a round body's axis is held against: a segment or a
// box, seen from the CG of the body it belongs to. The distance to it is
// negative inside a box and never inside a segment.
type target struct {
	box  bool
	a, b Vec // ends of the segment; or centre and half sizes of the box
}

// piece fills p with the formula of the distance that holds about y0 + s·dy.
func (t *target) piece(p *piece, y0, dy Vec, s float64) {
	*p = piece{}
	if t.box {
		t.boxPiece(p, y0, dy, Add(y0, Scale(s, dy)))
		return
	}
	p.curved = true
	p.q0, p.q1 = Sub(y0, t.a), dy
	e := Sub(t.b, t.a)
	ee, c := Dot(e, e), Dot(p.q0, e)+s*Dot(dy, e)
	switch {
	case c <= 0:
	case c >= ee:
		p.q0 = Sub(y0, t.b)
	default:
		// Between the ends the distance is that to the whole line.
		p.q0, p.q1 = off(p.q0, e, ee), off(dy, e, ee)
		p.hasFlat, p.flat = true, Scale(1/math.Sqrt(ee), e)
	}
}

// off returns the part of v at right angles to e, whose square is ee.
func off(v, e Vec, ee float64) Vec { return Sub(v, Scale(Dot(v, e)/ee, e)) }

func (t *target) boxPiece(p *piece, y0, dy, y Vec) {
	var out, sign Vec // how far beyond each pair of faces, signed outwards
	face, level, outside := 0, 0, 0
	for i := range 3 {
		sign[i] = 1
		if y[i] < t.a[i] {
			sign[i] = -1
		}
		out[i] = sign[i]*(y[i]-t.a[i]) - t.b[i]
		if out[i] > out[face] {
			face = i
		}
		if out[i] > 0 {
			outside++
		} else {
			level = i
		}
	}
	if outside < 2 {
		p.d0, p.d1 = sign[face]*(y0[face]-t.a[face])-t.b[face], sign[face]*dy[face]
		p.normal[face] = sign[face]
		return
	}
	p.curved, p.hasFlat = true, outside == 2
	for i := range 3 {
		if out[i] > 0 {
			p.q0[i], p.q1[i] = y0[i]-t.a[i]-sign[i]*t.b[i], dy[i]
		}
	}
	if p.hasFlat {
		p.flat[level] = 1
	}
}

// cuts appends to list the places s in (0, 1) where the distance from the
// target to the point y0 + s·dy changes its formula or crosses reach.
func (t *target) cuts(list []float64, y0, dy Vec, reach float64) []float64 {
	if t.box {
		return t.boxCuts(list, y0, dy, reach)
	}
	e := Sub(t.b, t.a)
	r := Sub(y0, t.a)
	if ee := Dot(e, e); ee > 0 {
		if c := Dot(dy, e); math.Abs(c) > 1e-12*ee {
			c0 := Dot(r, e)
			list = cut(list, -c0/c)
			list = cut(list, (ee-c0)/c)
		}
		list = roots(list, off(r, e, ee), off(dy, e, ee), reach)
	}
	list = roots(list, r, dy, reach)
	return roots(list, Sub(y0, t.b), dy, reach)
}

// cut appends s if it lies in (0, 1).
func cut(list []float64, s float64) []float64 {
	if s > 0 && s < 1 {
		list = append(list, s)
	}
	return list
}

func (t *target) boxCuts(list []float64, y0, dy Vec, reach float64) []float64 {
	r := Sub(y0, t.a)
	for i := range 3 {
		if dy[i] != 0 {
			for _, f := range [...]float64{0, t.b[i], -t.b[i], t.b[i] + reach, -t.b[i] - reach} {
				list = cut(list, (f-r[i])/dy[i])
			}
		}
		for j := range i {
			for _, s := range [...]float64{1, -1} {
				// inside, where two faces are equally near
				if c := s*dy[i] - dy[j]; c != 0 {
					list = cut(list, (t.b[i]-t.b[j]-(s*r[i]-r[j]))/c)
					list = cut(list, (t.b[j]-t.b[i]-(s*r[i]-r[j]))/c)
				}
				if c := s*dy[i] + dy[j]; c != 0 {
					list = cut(list, (t.b[i]-t.b[j]-(s*r[i]+r[j]))/c)
					list = cut(list, (t.b[j]-t.b[i]-(s*r[i]+r[j]))/c)
				}
			}
		}
	}
	// reach from edges and corners
	for cx := -1.0; cx <= 1; cx++ {
		for cy := -1.0; cy <= 1; cy++ {
			for cz := -1.0; cz <= 1; cz++ {
				q0, q1 := r, dy
				free := 0
				for i, c := range [...]float64{cx, cy, cz} {
					if c == 0 {
						q0[i], q1[i] = 0, 0
						free++
						continue
					}
					q0[i] -= c * t.b[i]
				}
				if free < 2 {
					list = roots(list, q0, q1, reach)
				}
			}
		}
	}
	return list
}

// roots appends the s at which |a + s·b| = r.
func roots(list []float64, a, b Vec, r float64) []float64 {
	bb, ab := Dot(b, b), Dot(a, b)
	if bb < 1e-18 {
		return list
	}
	disc := ab*ab - bb*(Dot(a, a)-r*r)
	if disc <= 0 {
		return list
	}
	root := math.Sqrt(disc)
	return cut(cut(list, (-ab-root)/bb), (-ab+root)/bb)
}
