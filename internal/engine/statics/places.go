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
