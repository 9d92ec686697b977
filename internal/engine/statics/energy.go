package statics

// places is a state in the solver's own terms: for each body where its CG is
// and how it is turned, with the rotation also as a matrix.
type places struct {
	cg   []Vec
	turn []Quat
	rot  []Mat
	node []Vec
}

func (p *places) size(bodies, nodes int) {
	p.cg = resize(p.cg, bodies)
	p.turn = resize(p.turn, bodies)
	p.rot = resize(p.rot, bodies)
	p.node = resize(p.node, nodes)
}

func (p *places) load(m *Model, s *State) {
	for i := range m.Bodies {
		q := s.Bodies[i].Turn.Normalized()
		p.turn[i] = q
		p.rot[i] = q.Matrix()
		p.cg[i] = Add(s.Bodies[i].Origin, p.rot[i].Mul(m.Bodies[i].CG))
	}
	copy(p.node, s.Nodes)
}

func (p *places) store(m *Model, s *State) {
	s.Bodies = resize(s.Bodies, len(m.Bodies))
	s.Nodes = resize(s.Nodes, m.Nodes)
	for i := range m.Bodies {
		s.Bodies[i] = Pose{Sub(p.cg[i], p.rot[i].Mul(m.Bodies[i].CG)), p.turn[i]}
	}
	copy(s.Nodes, p.node)
}

// move sets p to o displaced by d, a vector in the model's coordinates.
func (p *places) move(o *places, d []float64) {
	for i := range o.cg {
		k := 6 * i
		p.cg[i] = Add(o.cg[i], Vec{d[k], d[k+1], d[k+2]})
		p.turn[i] = Turn(Vec{d[k+3], d[k+4], d[k+5]}).Times(o.turn[i]).Normalized()
		p.rot[i] = p.turn[i].Matrix()
	}
	base := 6 * len(o.cg)
	for i := range o.node {
		k := base + 3*i
		p.node[i] = Add(o.node[i], Vec{d[k], d[k+1], d[k+2]})
	}
}

// resize returns a slice of length n, reusing s's memory where it is enough.
func resize[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	return s[:n]
}

// grip is an anchor in the solver's terms: where it is, where its coordinates
// start (−1 for a fixed point), and the arm from the CG for a point of a body.
type grip struct {
	at   Vec
	off  int
	body bool
	arm  Vec
}

func (w *work) grip(p *places, a *Anchor) grip {
	switch a.Kind {
	case OnBody:
		b := a.Index
		arm := p.rot[b].Mul(Sub(a.Point, w.m.Bodies[b].CG))
		return grip{Add(p.cg[b], arm), 6 * b, true, arm}
	case OnNode:
		return grip{at: p.node[a.Index], off: 6*len(w.m.Bodies) + 3*a.Index}
	default:
		return grip{at: w.m.Fixed[a.Index], off: -1}
	}
}

// push adds the derivative f of the energy by a grip's position to the
// gradient, and to the Hessian (when h is not nil) the part that comes from a
// body's point moving on an arc.
func (w *work) push(g, h []float64, a *grip, f Vec) {
	if a.off < 0 {
		return
	}
	k := a.off
	g[k] += f[0]
	g[k+1] += f[1]
	g[k+2] += f[2]
	if !a.body {
		return
	}
	t := Cross(a.arm, f)
	g[k+3] += t[0]
	g[k+4] += t[1]
	g[k+5] += t[2]
	if h == nil {
		return
	}
	w.arc(h, k+3, f, a.arm)
}

// arc adds to h, at the rotation block starting at k, the second derivative of
// f·(½ θ×(θ×arm)): ½(f armᵀ + arm fᵀ) − (f·arm) 1.
func (w *work) arc(h []float64, k int, f, arm Vec) {
	n := w.n
	fr := Dot(f, arm)
	for i := range 3 {
		for j := range 3 {
			h[(k+i)*n+k+j] += 0.5 * (f[i]*arm[j] + arm[i]*f[j])
		}
		h[(k+i)*n+k+i] -= fr
	}
}

// spring adds sign·JaᵀK Jb to h, J turning coordinates into the grips'
// displacements and K being symmetric.
func (w *work) spring(h []float64, a, b *grip, k *Mat, sign float64) {
	if a.off < 0 || b.off < 0 {
		return
	}
	n := w.n
	// right[i] is row i of K·Jb: the force per coordinate of b.
	var right [3][6]float64
	cols := 3
	for i := range 3 {
		right[i][0], right[i][1], right[i][2] = sign*k[i][0], sign*k[i][1], sign*k[i][2]
		if b.body {
			r := Cross(b.arm, k[i])
			right[i][3], right[i][4], right[i][5] = sign*r[0], sign*r[1], sign*r[2]
			cols = 6
		}
	}
	for j := range cols {
		f := Vec{right[0][j], right[1][j], right[2][j]}
		c := b.off + j
		h[a.off*n+c] += f[0]
		h[(a.off+1)*n+c] += f[1]
		h[(a.off+2)*n+c] += f[2]
		if a.body {
			t := Cross(a.arm, f)
			h[(a.off+3)*n+c] += t[0]
			h[(a.off+4)*n+c] += t[1]
			h[(a.off+5)*n+c] += t[2]
		}
	}
}

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
		a := w.grip(p, &Anchor{OnBody, l.Body, l.Point})
		e -= Dot(l.Force, Sub(a.at, Vec{0, 0, w.height}))
		w.push(g, h, &a, Scale(-1, l.Force))
	}
	for i := range m.Lines {
		if !w.off[i] {
			e += w.line(p, &m.Lines[i], g, h)
		}
	}
	e += w.contacts(p, g, h)
	if h != nil {
		w.holdIdle(h)
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
	w.push(g, h, &a, Scale(-tension, u))
	w.push(g, h, &b, Scale(tension, u))
	if h != nil {
		var k Mat
		side := tension / length
		for i := range 3 {
			for j := range 3 {
				k[i][j] = (l.Stiffness - side) * u[i] * u[j]
			}
			k[i][i] += side
		}
		w.pair(h, &a, &b, &k)
	}
	return 0.5 * tension * stretch
}

// pair adds the Hessian of an energy of b−a whose own second derivative is k.
func (w *work) pair(h []float64, a, b *grip, k *Mat) {
	w.spring(h, a, a, k, 1)
	w.spring(h, b, b, k, 1)
	w.spring(h, a, b, k, -1)
	w.spring(h, b, a, k, -1)
}

// running is a line that slides through the anchors between its ends: one
// tension for the whole of it.
func (w *work) running(p *places, l *Line, g, h []float64) float64 {
	length := 0.0
	a := w.grip(p, &l.Path[0])
	for i := 1; i < len(l.Path); i++ {
		b := w.grip(p, &l.Path[i])
		length += Norm(Sub(b.at, a.at))
		a = b
	}
	stretch := length - l.Length
	if stretch <= 0 {
		return 0
	}
	tension := l.Stiffness * stretch
	// along collects the derivative of the length by every coordinate.
	along := w.along
	clear(along)
	a = w.grip(p, &l.Path[0])
	for i := 1; i < len(l.Path); i++ {
		b := w.grip(p, &l.Path[i])
		u, part := unit(Sub(b.at, a.at))
		w.push(along, nil, &a, Scale(-1, u))
		w.push(along, nil, &b, u)
		if h != nil && part > 1e-9 {
			for _, end := range []struct {
				grip *grip
				f    Vec
			}{{&a, Scale(-tension, u)}, {&b, Scale(tension, u)}} {
				if end.grip.body {
					w.arc(h, end.grip.off+3, end.f, end.grip.arm)
				}
			}
			var k Mat
			for r := range 3 {
				for c := range 3 {
					k[r][c] = -tension / part * u[r] * u[c]
				}
				k[r][r] += tension / part
			}
			w.pair(h, &a, &b, &k)
		}
		a = b
	}
	for i, x := range along {
		if x == 0 {
			continue
		}
		g[i] += tension * x
		if h != nil {
			for j, y := range along {
				h[i*w.n+j] += l.Stiffness * x * y
			}
		}
	}
	return 0.5 * tension * stretch
}
