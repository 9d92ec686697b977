package statics

import (
	"math"
	"slices"
)

// gauss holds the abscissae and weights of the ten-point Gauss–Legendre rule on
// [−1, 1], positive half; source: Abramowitz & Stegun, table 25.4.
var gauss = [5][2]float64{
	{0.148874338981631, 0.295524224714753},
	{0.433395394129247, 0.269266719309996},
	{0.679409568299024, 0.219086362515982},
	{0.865063366688985, 0.149451349150581},
	{0.973906528517172, 0.066671344308688},
}

// target is the shape that a round body's axis is held against: a segment or a
// box, in the frame of the body it belongs to with the CG as origin.
type target struct {
	box  bool
	a, b Vec // ends of the segment; or centre and half sizes of the box
}

// distance returns the signed distance of y to the target, its gradient and
// its Hessian there. It is negative inside a box and never inside a segment.
func (t *target) distance(y Vec, hess *Mat) (float64, Vec) {
	if t.box {
		return t.boxDistance(y, hess)
	}
	e := Sub(t.b, t.a)
	ee := Dot(e, e)
	s := 0.0
	if ee > 0 {
		s = Dot(Sub(y, t.a), e) / ee
	}
	inside := s > 0 && s < 1
	s = math.Max(0, math.Min(1, s))
	n, d := unit(Sub(y, Add(t.a, Scale(s, e))))
	if hess != nil {
		*hess = Mat{}
		if d > 1e-9 {
			for i := range 3 {
				for j := range 3 {
					hess[i][j] = -n[i] * n[j] / d
					if inside {
						hess[i][j] -= e[i] * e[j] / (ee * d)
					}
				}
				hess[i][i] += 1 / d
			}
		}
	}
	return d, n
}

func (t *target) boxDistance(y Vec, hess *Mat) (float64, Vec) {
	if hess != nil {
		*hess = Mat{}
	}
	var out Vec // how far beyond each pair of faces, signed outwards
	var sign Vec
	worst, face := math.Inf(-1), 0
	outside := 0
	for i := range 3 {
		sign[i] = 1
		if y[i] < t.a[i] {
			sign[i] = -1
		}
		out[i] = sign[i]*(y[i]-t.a[i]) - t.b[i]
		if out[i] > worst {
			worst, face = out[i], i
		}
		if out[i] > 0 {
			outside++
		}
	}
	if outside == 0 {
		var n Vec
		n[face] = sign[face]
		return worst, n
	}
	var v Vec
	for i := range 3 {
		if out[i] > 0 {
			v[i] = sign[i] * out[i]
		}
	}
	n, d := unit(v)
	if hess != nil && outside > 1 && d > 1e-9 {
		for i := range 3 {
			for j := range 3 {
				hess[i][j] = -n[i] * n[j] / d
			}
			if out[i] > 0 {
				hess[i][i] += 1 / d
			}
		}
	}
	return d, n
}

// cuts appends to list the places s in (0, 1) where the distance from the
// target to the point y0 + s·dy changes its formula or crosses reach.
func (t *target) cuts(list []float64, y0, dy Vec, reach float64) []float64 {
	if t.box {
		return t.boxCuts(list, y0, dy, reach)
	}
	e := Sub(t.b, t.a)
	if ee := Dot(e, e); ee > 0 {
		if c := Dot(dy, e); math.Abs(c) > 1e-12*ee {
			c0 := Dot(Sub(y0, t.a), e)
			list = append(list, -c0/c, (ee-c0)/c)
		}
		// Between the ends the distance is that to the whole line.
		off := func(v Vec) Vec { return Sub(v, Scale(Dot(v, e)/ee, e)) }
		list = roots(list, off(Sub(y0, t.a)), off(dy), reach)
	}
	list = roots(list, Sub(y0, t.a), dy, reach)
	return roots(list, Sub(y0, t.b), dy, reach)
}

func (t *target) boxCuts(list []float64, y0, dy Vec, reach float64) []float64 {
	r := Sub(y0, t.a)
	for i := range 3 {
		if dy[i] != 0 {
			for _, f := range [...]float64{0, t.b[i], -t.b[i], t.b[i] + reach, -t.b[i] - reach} {
				list = append(list, (f-r[i])/dy[i])
			}
		}
		for j := range i {
			for _, s := range [...]float64{1, -1} {
				// inside, where two faces are equally near
				if c := s*dy[i] - dy[j]; c != 0 {
					list = append(list, (t.b[i]-t.b[j]-(s*r[i]-r[j]))/c, (t.b[j]-t.b[i]-(s*r[i]-r[j]))/c)
				}
				if c := s*dy[i] + dy[j]; c != 0 {
					list = append(list, (t.b[i]-t.b[j]-(s*r[i]+r[j]))/c, (t.b[j]-t.b[i]-(s*r[i]+r[j]))/c)
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
	return append(list, (-ab-root)/bb, (-ab+root)/bb)
}

// contacts adds the energy of every pair of shapes that overlap.
func (w *work) contacts(p *places, g, h []float64) float64 {
	m := w.m
	e := 0.0
	for i := range m.Capsules {
		a := &m.Capsules[i]
		for j := range m.Capsules {
			b := &m.Capsules[j]
			if i != j && a.Body != b.Body && !w.idle[a.Body] && !w.idle[b.Body] {
				cg := m.Bodies[b.Body].CG
				t := target{a: Sub(b.A, cg), b: Sub(b.B, cg)}
				e += w.press(p, a, b.Body, &t, a.Radius+b.Radius, 0.25*m.ContactStiffness, g, h)
			}
		}
		for j := range m.Boxes {
			b := &m.Boxes[j]
			if a.Body != b.Body && !w.idle[a.Body] && !w.idle[b.Body] {
				t := target{box: true, a: Sub(b.Centre, m.Bodies[b.Body].CG), b: b.Half}
				e += w.press(p, a, b.Body, &t, a.Radius, 0.5*m.ContactStiffness, g, h)
			}
		}
	}
	return e
}

// span returns the middle and half length of a capsule's axis against another
// body's target, for a first rough look at whether they can touch.
func (t *target) radius() (Vec, float64) {
	if t.box {
		return t.a, Norm(t.b)
	}
	return Scale(0.5, Add(t.a, t.b)), 0.5 * Norm(Sub(t.b, t.a))
}

// press integrates c·∫p² along a's axis, p = max(0, reach − distance to the
// target on body o), with gradient and Hessian. The axis is cut where the
// distance changes its formula or p vanishes, so that each piece is smooth.
func (w *work) press(p *places, a *Capsule, o int, t *target, reach, c float64, g, h []float64) float64 {
	i := a.Body
	cg := w.m.Bodies[i].CG
	ra, rb := p.rot[i].Mul(Sub(a.A, cg)), p.rot[i].Mul(Sub(a.B, cg))
	apart := Sub(p.cg[i], p.cg[o])
	// the axis in the frame of the other body
	y0 := p.rot[o].TMul(Add(apart, ra))
	dy := p.rot[o].TMul(Sub(rb, ra))
	mid, r := t.radius()
	if Norm(Sub(Add(y0, Scale(0.5, dy)), mid)) > r+0.5*Norm(dy)+reach {
		return 0
	}
	if Dot(dy, dy) == 0 {
		return w.pressAt(p, i, o, t, ra, apart, reach, c, g, h)
	}
	list := append(w.cuts[:0], 0, 1)
	list = t.cuts(list, y0, dy, reach)
	w.cuts = list
	slices.Sort(list)
	e := 0.0
	for k := 1; k < len(list); k++ {
		from, to := list[k-1], list[k]
		if !(from >= 0 && to <= 1 && to-from > 1e-14) {
			continue
		}
		half, middle := 0.5*(to-from), 0.5*(to+from)
		if d, _ := t.distance(Add(y0, Scale(middle, dy)), nil); d >= reach {
			continue
		}
		for _, q := range gauss {
			for _, s := range [...]float64{middle - half*q[0], middle + half*q[0]} {
				arm := Add(Scale(1-s, ra), Scale(s, rb))
				e += w.pressAt(p, i, o, t, arm, apart, reach, c*half*q[1], g, h)
			}
		}
	}
	return e
}

// pressAt adds c·p² for one point of body i, arm away from its CG, against the
// target on body o.
func (w *work) pressAt(p *places, i, o int, t *target, arm, apart Vec, reach, c float64, g, h []float64) float64 {
	rho := Add(apart, arm) // the point seen from o's CG, world axes
	var bend Mat
	var at *Mat
	if h != nil {
		at = &bend
	}
	d, ny := t.distance(p.rot[o].TMul(rho), at)
	over := reach - d
	if over <= 0 {
		return 0
	}
	n := p.rot[o].Mul(ny)
	f := -2 * c * over // derivative of the energy by d
	// derivative of d by the coordinates of i and o: the point moves by
	// v₁ + θ₁×arm − v₂ − θ₂×ρ as seen from o.
	t1, t2 := Cross(arm, n), Cross(rho, n)
	at1, at2 := 6*i, 6*o
	for k := range 3 {
		g[at1+k] += f * n[k]
		g[at1+3+k] += f * t1[k]
		g[at2+k] -= f * n[k]
		g[at2+3+k] -= f * t2[k]
	}
	if h == nil {
		return c * over * over
	}
	// world Hessian of the energy by the point's place
	var s Mat
	for r := range 3 {
		for q := range 3 {
			x := 0.0
			for k := range 3 {
				for l := range 3 {
					x += p.rot[o][r][k] * bend[k][l] * p.rot[o][q][l]
				}
			}
			s[r][q] = f*x + 2*c*n[r]*n[q]
		}
	}
	ga := grip{off: at1, body: true, arm: arm}
	gb := grip{off: at2, body: true, arm: rho}
	w.pair(h, &ga, &gb, &s)
	fn := Scale(f, n)
	// second order of the point's own motion: ½θ₁×(θ₁×arm), ½θ₂×(θ₂×ρ) and
	// −θ₂×(v₁ + θ₁×arm − v₂).
	w.arc(h, at1+3, fn, arm)
	w.arc(h, at2+3, fn, rho)
	w.turned(h, at1, at2, arm, fn)
	return c * over * over
}

// turned adds the second derivative of −f·(θ₂×(v₁ + θ₁×arm − v₂)).
func (w *work) turned(h []float64, at1, at2 int, arm, f Vec) {
	// f·(θ₂×x) = θ₂·(x×f); for x the unit vectors this gives the block.
	add := func(row, col int, x float64) {
		h[row*w.n+col] += x
		h[col*w.n+row] += x
	}
	for j := range 3 {
		var e Vec
		e[j] = 1
		v := Cross(e, f)
		r := Cross(Cross(e, arm), f)
		for k := range 3 {
			add(at2+3+k, at1+j, -v[k])
			add(at2+3+k, at2+j, v[k])
			add(at2+3+k, at1+3+j, -r[k])
		}
	}
}
