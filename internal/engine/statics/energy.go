package statics

// energy returns the potential energy of p in joules, counted from the
// reference height, fills g with its gradient, and h (unless nil) with its
// Hessian, rows first.
func (w *work) energy(p *places, g, h []float64) float64 {
	clear(g)
	if h != nil {
		clear(h)
	}
	m := w.m
	e := 0.0
	for i := range m.Bodies {
		if w.idle[i] {
			continue
		}
		weight := m.Bodies[i].Mass * m.Gravity
		e += weight * (p.cg[i][2] - w.height)
		g[6*i+2] += weight
	}
	for i := range m.Loads {
		l := &m.Loads[i]
		if w.idle[l.Body] {
			continue
		}
		var a grip
		w.grip(p, &Anchor{OnBody, l.Body, l.Point}, &a)
		e -= Dot(l.Force, Sub(a.at, Vec{0, 0, w.height}))
		f := Scale(-1, l.Force)
		a.push(g, &f)
		if h != nil {
			a.swing(h, w.n, &f)
		}
	}
	for i := range m.Lines {
		if !w.off[i] {
			e += w.line(p, &m.Lines[i], g, h)
		}
	}
	if len(m.Capsules) > 0 && !w.block {
		e += w.contacts(p, g, h)
	}
	if h != nil {
		w.holdIdle(h)
		mirror(h, w.n)
	}
	return e
}

// holdIdle gives the coordinates that take no part a stiffness of their own,
// so that the Hessian stays regular and they stay where they are.
func (w *work) holdIdle(h []float64) {
	for i, idle := range w.idle {
		for k := range 6 {
			if idle {
				h[(6*i+k)*w.n+6*i+k] = w.weight
			}
		}
	}
}

// mirror fills the upper triangle of h from the lower one, which is all that
// the parts of the energy add to.
func mirror(h []float64, n int) {
	for i := 1; i < n; i++ {
		for j, x := range h[i*n : i*n+i] {
			h[j*n+i] = x
		}
	}
}
