package statics

import "math"

// join finds which bodies hang on a fixed point through lines. The others are
// idle, and so are lines that lead to them.
func (w *work) join() {
	m := w.m
	w.idle = resize(w.idle, len(m.Bodies))
	w.off = resize(w.off, len(m.Lines))
	clear(w.off)
	w.connect(false)
	hung := func(g int) bool {
		for i := range m.Fixed {
			if w.find(w.fixedAt(i)) == g {
				return true
			}
		}
		return false
	}
	for i := range m.Bodies {
		w.idle[i] = !hung(w.find(i))
	}
	for i := range m.Lines {
		for _, a := range m.Lines[i].Path {
			if !hung(w.find(w.member(&a))) {
				w.off[i] = true
			}
		}
	}
}

// Members of the union are bodies, then nodes, then fixed points.
func (w *work) member(a *Anchor) int {
	switch a.Kind {
	case OnBody:
		return a.Index
	case OnNode:
		return len(w.m.Bodies) + a.Index
	default:
		return w.fixedAt(a.Index)
	}
}

func (w *work) fixedAt(i int) int { return len(w.m.Bodies) + w.m.Nodes + i }

func (w *work) find(i int) int {
	for w.group[i] != i {
		w.group[i] = w.group[w.group[i]]
		i = w.group[i]
	}
	return i
}

// connect groups everything joined by lines, and by contact when asked for. Fixed points are members, but do not join what hangs on them.
func (w *work) connect(touching bool) {
	m := w.m
	w.group = resize(w.group, len(m.Bodies)+m.Nodes+len(m.Fixed))
	for i := range w.group {
		w.group[i] = i
	}
	for i := range m.Lines {
		path := m.Lines[i].Path
		for k := 1; k < len(path); k++ {
			w.group[w.find(w.member(&path[k]))] = w.find(w.member(&path[0]))
		}
	}
	if !touching {
		return
	}
	for a := range m.Bodies {
		for b := range a {
			if w.touching(a, b) {
				w.group[w.find(a)] = w.find(b)
			}
		}
	}
}

// groundStart sets s to the position to go downhill from: all bodies as they
// stand on the ground, moved as one block until their common CG is plumb under
// the mean of the fixed points and the lines just pull, that is, carry the
// weight by moving straight up and down. The energy as a function of the
// block's height and the places of the nodes is convex, so it has one lowest
// value.
func (w *work) groundStart(s *State) {
	m := w.m
	s.Bodies, s.Nodes = resize(s.Bodies, len(m.Bodies)), resize(s.Nodes, m.Nodes)
	clear(s.Nodes)
	var mean, cg Vec
	for _, f := range m.Fixed {
		mean = Add(mean, Scale(1/float64(len(m.Fixed)), f))
	}
	mass := 0.0
	for i, b := range m.Bodies {
		s.Bodies[i] = Pose{b.Ground.Origin, b.Ground.Turn.Normalized()}
		if !w.idle[i] {
			mass += b.Mass
			cg = Add(cg, Scale(b.Mass, s.Bodies[i].At(b.CG)))
		}
	}
	if mass == 0 {
		return
	}
	shift := Sub(mean, Scale(1/mass, cg))
	for i := range s.Bodies {
		s.Bodies[i].Origin = Add(s.Bodies[i].Origin, shift)
	}
	w.placeNodes(s)
	w.now.load(m, s)
	w.block = true
	steps := 0
	w.descend(&steps)
	w.block = false
	w.now.store(m, s)
}

// placeNodes puts each node in the middle of what its lines lead to, to a
// millimetre or so: it is only where the way to the start begins.
func (w *work) placeNodes(s *State) {
	m := w.m
	for range 20 {
		moved := 0.0
		for i := range s.Nodes {
			var sum Vec
			n := 0.0
			for k := range m.Lines {
				path := m.Lines[k].Path
				for j, a := range path {
					if a.Kind != OnNode || a.Index != i {
						continue
					}
					for _, o := range []int{j - 1, j + 1} {
						if o < 0 || o >= len(path) || path[o] == a {
							continue
						}
						sum = Add(sum, w.at(s, &path[o]))
						n++
					}
				}
			}
			if n > 0 {
				middle := Scale(1/n, sum)
				moved = math.Max(moved, Norm(Sub(middle, s.Nodes[i])))
				s.Nodes[i] = middle
			}
		}
		if moved < 1e-3 {
			return
		}
	}
}

func (w *work) at(s *State, a *Anchor) Vec {
	switch a.Kind {
	case OnBody:
		return s.Bodies[a.Index].At(a.Point)
	case OnNode:
		return s.Nodes[a.Index]
	default:
		return w.m.Fixed[a.Index]
	}
}

// restoreHeading turns each group that hangs from a single fixed point about
// the vertical through it until its first body has its ground heading again.
// This costs no energy; the way down may have turned the group a little. The
// groups are those that connect has found last.
func (w *work) restoreHeading() {
	m := w.m
	for f := range m.Fixed {
		g, single := w.only(f)
		if !single {
			continue
		}
		for i := range m.Bodies {
			if w.idle[i] || w.find(i) != g {
				continue
			}
			is := w.now.rot[i].Mul(Vec{1, 0, 0})
			was := m.Bodies[i].Ground.Turn.Rotate(Vec{1, 0, 0})
			if math.Hypot(is[0], is[1]) > 0.05 && math.Hypot(was[0], was[1]) > 0.05 {
				angle := math.Atan2(was[1], was[0]) - math.Atan2(is[1], is[0])
				w.turnGroup(g, m.Fixed[f], angle)
			}
			break
		}
	}
}

// only returns the group of fixed point f and whether it may turn about the
// vertical through it at no cost: it hangs on no other fixed point, and no load
// pushes it sideways. Fixed points on which nothing hangs have no group to
// speak of.
func (w *work) only(f int) (int, bool) {
	g := w.find(w.fixedAt(f))
	for o := range w.m.Fixed {
		if o != f && w.find(w.fixedAt(o)) == g {
			return g, false
		}
	}
	for i := range w.m.Loads {
		l := &w.m.Loads[i]
		if w.find(l.Body) == g && (l.Force[0] != 0 || l.Force[1] != 0) {
			return g, false
		}
	}
	for i := range w.m.Bodies {
		if w.find(i) == g {
			return g, true
		}
	}
	return g, false
}

// turnGroup turns the group g about the vertical through c.
func (w *work) turnGroup(g int, c Vec, angle float64) {
	q := Turn(Vec{0, 0, angle})
	r := q.Matrix()
	for i := range w.m.Bodies {
		if w.find(i) == g {
			w.now.cg[i] = Add(c, r.Mul(Sub(w.now.cg[i], c)))
			w.now.turn[i] = q.Times(w.now.turn[i]).Normalized()
			w.now.rot[i] = w.now.turn[i].Matrix()
		}
	}
	for i := range w.now.node {
		if w.find(len(w.m.Bodies)+i) == g {
			w.now.node[i] = Add(c, r.Mul(Sub(w.now.node[i], c)))
		}
	}
}

// touching reports whether bodies a and b press on each other in w.now.
func (w *work) touching(a, b int) bool {
	return Norm(w.pressure(a, b)) > 0
}

// pressure returns the contact force on body a from body b, N.
func (w *work) pressure(a, b int) Vec {
	m := w.m
	if len(m.Capsules) == 0 || w.idle[a] || w.idle[b] {
		return Vec{}
	}
	clear(w.gNext)
	for k := range m.Capsules {
		c := &m.Capsules[k]
		if c.Body != a && c.Body != b {
			continue
		}
		o := a + b - c.Body
		for l := range k {
			if m.Capsules[l].Body == o {
				w.rounds(&w.now, c, &m.Capsules[l], w.gNext, nil)
			}
		}
		for l := range m.Boxes {
			if m.Boxes[l].Body == o {
				w.roundOnBox(&w.now, c, &m.Boxes[l], w.gNext, nil)
			}
		}
	}
	return Vec{-w.gNext[6*a], -w.gNext[6*a+1], -w.gNext[6*a+2]}
}
