package statics

// line adds one line's energy, gradient and Hessian.
func (w *work) line(p *places, l *Line, g, h []float64) float64 {
	if len(l.Path) == 2 {
		return w.straight(p, l, g, h)
	}
	return w.running(p, l, g, h)
}

// straight is the common case of a line between two anchors.
func (w *work) straight(p *places, l *Line, g, h []float64) float64 {
	a, b := w.grip(p, &l.Path[0]), w.grip(p, &l.Path[1])
	u, length := unit(Sub(b.at, a.at))
	stretch := length - l.Length
	if stretch <= 0 {
		return 0
	}
	tension := l.Stiffness * stretch
	back, f := Scale(-tension, u), Scale(tension, u)
	a.push(g, back)
	b.push(g, f)
	if h != nil {
		side := tension / length
		a.swing(h, w.n, back)
		b.swing(h, w.n, f)
		w.spring(h, &a, &b, u, l.Stiffness-side, side)
	}
	return 0.5 * tension * stretch
}

// running is a line that slides through the anchors between its ends: one
// tension for the whole of it.
func (w *work) running(p *places, l *Line, g, h []float64) float64 {
	stretch := w.length(p, l) - l.Length
	if stretch <= 0 {
		return 0
	}
	tension := l.Stiffness * stretch
	// along collects the derivative of the length by every coordinate.
	along := w.along
	clear(along)
	a := w.grip(p, &l.Path[0])
	for i := 1; i < len(l.Path); i++ {
		b := w.grip(p, &l.Path[i])
		u, part := unit(Sub(b.at, a.at))
		a.push(along, Scale(-1, u))
		b.push(along, u)
		if h != nil && part > 1e-9 {
			side := tension / part
			a.swing(h, w.n, Scale(-tension, u))
			b.swing(h, w.n, Scale(tension, u))
			w.spring(h, &a, &b, u, -side, side)
		}
		a = b
	}
	for i, x := range along {
		if x == 0 {
			continue
		}
		g[i] += tension * x
		if h != nil {
			row := h[i*w.n : i*w.n+i+1]
			for j := range row {
				row[j] += l.Stiffness * x * along[j]
			}
		}
	}
	return 0.5 * tension * stretch
}

// length returns how long line l is in p, m.
func (w *work) length(p *places, l *Line) float64 {
	sum := 0.0
	a := w.grip(p, &l.Path[0])
	for i := 1; i < len(l.Path); i++ {
		b := w.grip(p, &l.Path[i])
		sum += Norm(Sub(b.at, a.at))
		a = b
	}
	return sum
}
