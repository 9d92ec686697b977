package statics

import "slices"

// contacts adds the energy of every pair of shapes that overlap.
func (w *work) contacts(p *places, g, h []float64) float64 {
	m := w.m
	e := 0.0
	for i := range m.Capsules {
		a := &m.Capsules[i]
		if w.idle[a.Body] {
			continue
		}
		for j := range i {
			if b := &m.Capsules[j]; a.Body != b.Body && !w.idle[b.Body] {
				e += w.rounds(p, a, b, g, h)
			}
		}
		for j := range m.Boxes {
			if b := &m.Boxes[j]; a.Body != b.Body && !w.idle[b.Body] {
				e += w.roundOnBox(p, a, b, g, h)
			}
		}
	}
	return e
}

// axis returns where a capsule's axis begins in the world, and the way from
// there to its end.
func (w *work) axis(p *places, c *Capsule) (from, way Vec) {
	r := &p.rot[c.Body]
	return Add(p.cg[c.Body], r.Mul(Sub(c.A, w.m.Bodies[c.Body].CG))), r.Mul(Sub(c.B, c.A))
}

// rounds is a pair of capsules: each axis against the other, in world axes.
func (w *work) rounds(p *places, a, b *Capsule, g, h []float64) float64 {
	reach := a.Radius + b.Radius
	a0, da := w.axis(p, a)
	b0, db := w.axis(p, b)
	middles := Sub(Add(a0, Scale(0.5, da)), Add(b0, Scale(0.5, db)))
	if Norm(middles) >= 0.5*(Norm(da)+Norm(db))+reach {
		return 0
	}
	e := 0.0
	for range 2 {
		cg := p.cg[b.Body]
		t := target{a: Sub(b0, cg), b: Sub(Add(b0, db), cg)}
		x := press{y0: Sub(a0, cg), dy: da, reach: reach, c: 0.25 * w.m.ContactStiffness, second: h != nil}
		w.sum(&x, &t)
		if x.e > 0 {
			e += x.e
			w.give(p, &x, a.Body, b.Body, g, h)
		}
		a, b, a0, da, b0, db = b, a, b0, db, a0, da
	}
	return e
}

// roundOnBox is a capsule against a box, in the box's axes.
func (w *work) roundOnBox(p *places, a *Capsule, b *Box, g, h []float64) float64 {
	a0, da := w.axis(p, a)
	turn := &p.rot[b.Body]
	t := target{box: true, a: Sub(b.Centre, w.m.Bodies[b.Body].CG), b: b.Half}
	x := press{
		y0: turn.TMul(Sub(a0, p.cg[b.Body])), dy: turn.TMul(da),
		reach: a.Radius, c: 0.5 * w.m.ContactStiffness, second: h != nil,
	}
	if Norm(Sub(Add(x.y0, Scale(0.5, x.dy)), t.a)) >= Norm(t.b)+0.5*Norm(da)+x.reach {
		return 0
	}
	w.sum(&x, &t)
	if x.e > 0 {
		x.rotate(turn)
		w.give(p, &x, a.Body, b.Body, g, h)
	}
	return x.e
}

// sum integrates c·p² along x's axis. The axis is cut where the distance
// changes its formula or p vanishes, so that each piece is smooth.
func (w *work) sum(x *press, t *target) {
	list := t.cuts(append(w.cuts[:0], 0, 1), x.y0, x.dy, x.reach)
	w.cuts = list
	slices.Sort(list)
	var last, next piece
	var n Vec
	for k := 1; k < len(list); k++ {
		from, to := list[k-1], list[k]
		if to-from <= 1e-14 {
			continue
		}
		t.piece(&next, x.y0, x.dy, 0.5*(from+to))
		next.from, next.to = from, to
		if next.distance(0.5*(from+to), &n) < x.reach {
			x.add(&next)
			if t.box && x.second {
				x.ridge(&last, &next)
			}
		}
		if t.box {
			last = next
		}
	}
}

// give adds what x holds, in world axes, to the gradient and the Hessian: body
// i has the axis, body o the target, x being seen from o's CG.
func (w *work) give(p *places, x *press, i, o int, g, h []float64) {
	apart := Sub(p.cg[i], p.cg[o])
	at1, at2 := 6*i, 6*o
	// The point moves by v₁ + θ₁×arm − v₂ − θ₂×ρ as seen from o, ρ = apart + arm.
	turn2 := Vec{x.s[2][1] - x.s[1][2], x.s[0][2] - x.s[2][0], x.s[1][0] - x.s[0][1]} // Σ ρ×f
	turn1 := Sub(turn2, Cross(apart, x.f))
	for k := range 3 {
		g[at1+k] += x.f[k]
		g[at1+3+k] += turn1[k]
		g[at2+k] -= x.f[k]
		g[at2+3+k] -= turn2[k]
	}
	if h == nil {
		return
	}
	x.finish()
	// M is the Hessian by v and θ of a motion v + θ×ρ. That of the point is
	// one with v = v₁ − v₂ + apart×θ₁ and θ = θ₁ − θ₂; A takes v₁ and θ₁ to it.
	//
	// ma = M·A and aa = Aᵀ·M·A, A = [1 P; 0 1], P·θ = apart×θ.
	m := &x.m
	ma := *m
	for r := range 6 {
		c := Cross(Vec{m[r][0], m[r][1], m[r][2]}, apart)
		ma[r][3] += c[0]
		ma[r][4] += c[1]
		ma[r][5] += c[2]
	}
	aa := ma
	for c := range 6 {
		v := Cross(Vec{ma[0][c], ma[1][c], ma[2][c]}, apart)
		aa[3][c] += v[0]
		aa[4][c] += v[1]
		aa[5][c] += v[2]
	}
	// second order of the point's own motion: ½θ₁×(θ₁×arm), ½θ₂×(θ₂×ρ) and
	// −θ₂×(v₁ + θ₁×arm − v₂). s1 = Σ f armᵀ.
	s1 := x.s
	for r := range 3 {
		for c := range 3 {
			s1[r][c] -= x.f[r] * apart[c]
		}
	}
	trace1, trace2 := s1[0][0]+s1[1][1]+s1[2][2], x.s[0][0]+x.s[1][1]+x.s[2][2]
	mm := *m
	for r := range 3 {
		for c := range 3 {
			aa[3+r][3+c] += 0.5 * (s1[r][c] + s1[c][r])
			mm[3+r][3+c] += 0.5 * (x.s[r][c] + x.s[c][r])
			// rows of body 2, columns of body 1
			ma[3+r][3+c] += s1[c][r]
		}
		aa[3+r][3+r] -= trace1
		mm[3+r][3+r] -= trace2
		ma[3+r][3+r] -= trace1
	}
	f := x.f
	cross := Mat{{0, -f[2], f[1]}, {f[2], 0, -f[0]}, {-f[1], f[0], 0}}
	for r := range 3 {
		for c := range 3 {
			ma[3+r][c] -= cross[r][c]
			mm[3+r][c] -= cross[r][c]
		}
	}
	n := w.n
	for r := range 6 {
		row1, row2 := h[(at1+r)*n+at1:], h[(at2+r)*n+at2:]
		for c := range r + 1 {
			row1[c] += aa[r][c]
			row2[c] += mm[r][c]
		}
	}
	for r := range 6 {
		for c := range 6 {
			if at2 > at1 {
				h[(at2+r)*n+at1+c] -= ma[r][c]
			} else {
				h[(at1+c)*n+at2+r] -= ma[r][c]
			}
		}
	}
}
