package audit

import (
	"hangtrue/internal/engine/quantity"
)

// state is the load in one position, with its lines.
type state struct {
	load  *load
	lines []line
	cg    []vec
	turn  []matrix
	node  []vec
	off   []bool // bodies that hang on no apex
	// taut, where it is set, says which lines pull, whatever their length: a
	// stiff leg stretches by less than a probe, and would go slack under it.
	taut []bool
	// stored is the contact energy of the last call of forces, J.
	stored float64
}

// place is where a line is fastened.
type place struct {
	body  int // −1: not on a body
	node  int // −1: not on a node
	at    vec // in the body's frame, or of a fixed apex
	fixed bool
	name  end
}

// line is one elastic thread between two places.
type line struct {
	a, b      place
	unloaded  float64 // m
	stiffness float64 // N/m
	leg       int     // −1: a pendant
	apex      int     // of a pendant
	run       int     // of a chain, −1: the rope
	dismissed bool    // leads to what hangs on no apex
}

// lay makes the lines of the load. Nodes are, in order, the free apexes and the
// grab hooks of loops through several points.
func (s *state) lay() {
	r := s.load
	apexes := map[string]place{}
	nodes := 0
	for i, a := range r.apexes {
		at := place{body: -1, node: -1, at: a.at, fixed: true}
		if a.pendant != nil {
			hook := at
			at = place{body: -1, node: nodes}
			nodes++
			s.lines = append(s.lines, line{a: hook, b: at, unloaded: a.pendant.length, stiffness: a.pendant.ea / a.pendant.length, leg: -1, apex: i, run: -1})
		}
		apexes[a.id] = at
	}
	on := func(e end) place {
		if p, ok := r.point(e); ok {
			return place{body: r.body(e.id), node: -1, at: p.at, name: e}
		}
		return apexes[e.id]
	}
	for i := range r.legs {
		l := &r.legs[i]
		if len(l.to) == 1 {
			soft := l.soft
			if c := l.loop(); c > 0 {
				soft += c / (4 * l.chainEA)
			}
			s.lines = append(s.lines, line{a: on(l.from), b: on(l.to[0]), unloaded: l.length + l.loop()/2, stiffness: 1 / soft, leg: i, run: -1})
			continue
		}
		grab := place{body: -1, node: nodes}
		nodes++
		s.lines = append(s.lines, line{a: on(l.from), b: grab, unloaded: l.length, stiffness: 1 / l.soft, leg: i, run: -1})
		stops := append(append([]place{grab}, ons(l.to, on)...), grab)
		between := 0.0
		for k := 1; k < len(l.to); k++ {
			between += r.ground(l.to[k]).minus(r.ground(l.to[k-1])).length()
		}
		for k := range len(stops) - 1 {
			long := (l.loop() - between) / 2
			if k > 0 && k < len(l.to) {
				long = r.ground(l.to[k]).minus(r.ground(l.to[k-1])).length()
			}
			s.lines = append(s.lines, line{a: stops[k], b: stops[k+1], unloaded: long, stiffness: l.chainEA / long, leg: i, run: k})
		}
	}
	s.node = make([]vec, nodes)
}

func ons(list []end, on func(end) place) []place {
	var out []place
	for _, e := range list {
		out = append(out, on(e))
	}
	return out
}

// loosen finds the bodies that hang on no apex, and the lines that lead to
// them.
func (s *state) loosen() {
	nb := len(s.load.bodies)
	held := make([]bool, nb+len(s.node))
	id := func(p place) int {
		if p.body >= 0 {
			return p.body
		}
		return nb + p.node
	}
	for changed := true; changed; {
		changed = false
		for _, l := range s.lines {
			a, b := l.a.fixed || held[id(l.a)], l.b.fixed || held[id(l.b)]
			if a && !b {
				held[id(l.b)], changed = true, true
			}
			if b && !a {
				held[id(l.a)], changed = true, true
			}
		}
	}
	s.off = make([]bool, nb)
	for i := range s.off {
		s.off[i] = !held[i]
	}
	for i := range s.lines {
		l := &s.lines[i]
		l.dismissed = !l.a.fixed && !held[id(l.a)] || !l.b.fixed && !held[id(l.b)]
	}
}

func (s *state) size6() int { return 6*len(s.load.bodies) + 3*len(s.node) }

// world is where a point of a body is.
func (s *state) world(body int, p vec) vec {
	return s.cg[body].plus(s.turn[body].turn(p.minus(s.load.bodies[body].cg)))
}

func (s *state) where(p *place) vec {
	switch {
	case p.body >= 0:
		return s.world(p.body, p.at)
	case p.node >= 0:
		return s.node[p.node]
	}
	return p.at
}

// pull is the tension of a line, N, and the direction from its first to its
// second end.
func (s *state) pull(l *line) (tension, length float64, along vec) {
	v := s.where(&l.b).minus(s.where(&l.a))
	length = v.length()
	if length > l.unloaded && !l.dismissed {
		tension = l.stiffness * (length - l.unloaded)
	}
	return tension, length, v.unit()
}

// firm is the state with those lines pulling that pull now.
func (s *state) firm() *state {
	out := *s
	out.taut = make([]bool, len(s.lines))
	for i := range s.lines {
		t, _, _ := s.pull(&s.lines[i])
		out.taut[i] = t > 0
	}
	return &out
}

// apply adds the force f on a body at the place x of the world.
func (s *state) apply(out []float64, body int, x, f vec) {
	m := x.minus(s.cg[body]).cross(f)
	for k := range 3 {
		out[6*body+k] += f[k]
		out[6*body+3+k] += m[k]
	}
}

func (s *state) applyAt(out []float64, p *place, f vec) {
	switch {
	case p.body >= 0:
		s.apply(out, p.body, s.where(p), f)
	case p.node >= 0:
		for k := range 3 {
			out[6*len(s.load.bodies)+3*p.node+k] += f[k]
		}
	}
}

// forces returns what is left over of all forces: per body a force and a moment
// about its CG, then a force per node. All are zero in equilibrium. The second
// result is the potential energy, J.
func (s *state) forces(n int) ([]float64, float64) {
	out := make([]float64, s.size6())
	energy := 0.0
	s.stored = 0
	for i := range s.load.bodies {
		if s.off[i] {
			continue
		}
		w := s.load.bodies[i].mass * quantity.StandardGravity
		s.apply(out, i, s.cg[i], vec{0, 0, -w})
		energy += w * s.cg[i][2]
		for k := range s.load.bodies {
			if k != i && !s.off[k] {
				s.pressOf(i, k, n, out)
			}
		}
	}
	for i := range s.lines {
		l := &s.lines[i]
		t, length, along := s.pull(l)
		if s.taut != nil {
			t = 0
			if s.taut[i] {
				t = l.stiffness * (length - l.unloaded)
			}
		}
		s.applyAt(out, &l.a, along.times(t))
		s.applyAt(out, &l.b, along.times(-t))
		energy += t * t / (2 * l.stiffness)
	}
	return out, energy + s.stored
}

// moved is the state with every coordinate moved by d: per body a shift and a
// rotation vector, per node a shift.
func (s *state) moved(d []float64) *state {
	out := *s
	out.cg, out.turn, out.node = append([]vec{}, s.cg...), append([]matrix{}, s.turn...), append([]vec{}, s.node...)
	for i := range s.cg {
		x := d[6*i : 6*i+6]
		out.cg[i] = s.cg[i].plus(vec{x[0], x[1], x[2]})
		out.turn[i] = s.turn[i].turnedBy(vec{x[3], x[4], x[5]})
	}
	for i := range s.node {
		x := d[6*len(s.cg)+3*i:]
		out.node[i] = s.node[i].plus(vec{x[0], x[1], x[2]})
	}
	return &out
}
