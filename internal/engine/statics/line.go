package statics

import "math"

// line adds one line's energy, gradient and Hessian.
func (w *work) line(p *places, l *Line, g, h []float64) float64 {
	if len(l.Path) == 2 {
		return w.straight(p, l, g, h)
	}
	return w.running(p, l, g, h)
}

// straight is the common case of a line between two anchors.
func (w *work) straight(p *places, l *Line, g, h []float64) float64 {
	var a, b grip
	w.grip(p, &l.Path[0], &a)
	w.grip(p, &l.Path[1], &b)
	// Plain numbers: the compiler keeps arrays in memory, and this is where
	// most of the time goes.
	dx, dy, dz := b.at[0]-a.at[0], b.at[1]-a.at[1], b.at[2]-a.at[2]
	length := math.Sqrt(dx*dx + dy*dy + dz*dz)
	stretch := length - l.Length
	if stretch <= 0 {
		return 0
	}
	tension := l.Stiffness * stretch
	side := tension / length // the line is longer than it is unstretched, so not nil
	f := Vec{side * dx, side * dy, side * dz}
	back := Vec{-f[0], -f[1], -f[2]}
	a.push(g, &back)
	b.push(g, &f)
	if h != nil {
		u := Vec{dx / length, dy / length, dz / length}
		a.swing(h, w.n, &back)
		b.swing(h, w.n, &f)
		w.spring(h, &a, &b, &u, l.Stiffness-side, side)
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
	var a, b grip
	w.grip(p, &l.Path[0], &a)
	for i := 1; i < len(l.Path); i++ {
		w.grip(p, &l.Path[i], &b)
		u, part := unit(Sub(b.at, a.at))
		back := Scale(-1, u)
		a.push(along, &back)
		b.push(along, &u)
		if h != nil && part > 1e-9 {
			side := tension / part
			f := Scale(tension, u)
			back = Scale(-tension, u)
			a.swing(h, w.n, &back)
			b.swing(h, w.n, &f)
			w.spring(h, &a, &b, &u, -side, side)
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
	var a, b grip
	w.grip(p, &l.Path[0], &a)
	for i := 1; i < len(l.Path); i++ {
		w.grip(p, &l.Path[i], &b)
		sum += Norm(Sub(b.at, a.at))
		a = b
	}
	return sum
}
