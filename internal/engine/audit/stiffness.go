package audit

import (
	"math"
	"slices"

	"hangtrue/internal/engine/quantity"
)

// probe is how far a coordinate is moved to feel its stiffness, m or rad.
// Forces are smooth over it, and rounding of them (1e-16 of a length times a
// stiffness) stays far below what is felt.
const probe = 1e-5

// stiffness is minus the derivative of the forces by the coordinates, by
// central differences, made symmetric. N/m, N·m/rad.
func (s *state) stiffness(n int) []float64 {
	size := s.size6()
	k := make([]float64, size*size)
	d := make([]float64, size)
	s = s.firm()
	for j := range size {
		d[j] = probe
		up, _ := s.moved(d).forces(n)
		d[j] = -probe
		down, _ := s.moved(d).forces(n)
		d[j] = 0
		for i := range size {
			k[i*size+j] = (down[i] - up[i]) / (2 * probe)
		}
	}
	for i := range size {
		for j := range i {
			m := (k[i*size+j] + k[j*size+i]) / 2
			k[i*size+j], k[j*size+i] = m, m
		}
	}
	return k
}

// group finds what is joined by lines, and by contact: a number per body, then
// per node.
func (s *state) group() []int {
	nb := len(s.load.bodies)
	g := make([]int, nb+len(s.node))
	for i := range g {
		g[i] = i
	}
	join := func(a, b int) {
		from, to := g[a], g[b]
		for i := range g {
			if g[i] == from {
				g[i] = to
			}
		}
	}
	id := func(p place) int {
		if p.body >= 0 {
			return p.body
		}
		return nb + p.node
	}
	for _, l := range s.lines {
		if !l.a.fixed && !l.b.fixed {
			join(id(l.a), id(l.b))
		}
	}
	for i := range nb {
		for k := range i {
			if s.contactForce(i, k, samples) > 0 {
				join(i, k)
			}
		}
	}
	return g
}

// neutral returns the directions that cost no energy by nature, as unit
// vectors at right angles: each group turning about the vertical through its
// only apex, and nodes whose lines are all slack.
func (s *state) neutral() [][]float64 {
	nb := len(s.load.bodies)
	g := s.group()
	hung := map[int]map[vec]bool{}
	for _, l := range s.lines {
		for _, p := range [...][2]*place{{&l.a, &l.b}, {&l.b, &l.a}} {
			if !p[0].fixed || p[1].fixed {
				continue
			}
			at := p[1].body
			if at < 0 {
				at = nb + p[1].node
			}
			if hung[g[at]] == nil {
				hung[g[at]] = map[vec]bool{}
			}
			hung[g[at]][p[0].at] = true
		}
	}
	var out [][]float64
	keep := func(v []float64) {
		for _, o := range out {
			f := inner(v, o)
			for i := range v {
				v[i] -= f * o[i]
			}
		}
		size := math.Sqrt(inner(v, v))
		if size < 1e-9 {
			return
		}
		for i := range v {
			v[i] /= size
		}
		out = append(out, v)
	}
	for i := range g {
		if len(hung[i]) != 1 {
			continue
		}
		var hook vec
		for h := range hung[i] {
			hook = h
		}
		v := make([]float64, s.size6())
		for b := range nb {
			if g[b] == i && !s.off[b] {
				r := s.cg[b].minus(hook)
				v[6*b], v[6*b+1], v[6*b+5] = -r[1], r[0], 1
			}
		}
		for k := range s.node {
			if g[nb+k] == i {
				r := s.node[k].minus(hook)
				v[6*nb+3*k], v[6*nb+3*k+1] = -r[1], r[0]
			}
		}
		keep(v)
	}
	for k := range s.node {
		if !s.slackNode(k) {
			continue
		}
		for i := range 3 {
			v := make([]float64, s.size6())
			v[6*nb+3*k+i] = 1
			keep(v)
		}
	}
	return out
}

func (s *state) slackNode(k int) bool {
	for i := range s.lines {
		l := &s.lines[i]
		if t, _, _ := s.pull(l); t > 0 && (l.a.node == k || l.b.node == k) {
			return false
		}
	}
	return true
}

func inner(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// lowest is the lowest eigenvalue of the stiffness outside the neutral
// directions and the bodies that hang on nothing, N/m.
func (s *state) lowest(k []float64) float64 {
	n := s.size6()
	a := append([]float64{}, k...)
	big := 0.0
	for i := range n {
		big = math.Max(big, math.Abs(k[i*n+i]))
	}
	for _, v := range s.neutral() {
		for i := range n {
			for j := range n {
				a[i*n+j] += 2 * big * v[i] * v[j]
			}
		}
	}
	for b := range s.off {
		for i := 6 * b; s.off[b] && i < 6*b+6; i++ {
			a[i*n+i] += 2 * big
		}
	}
	values, _ := eigen(a, n)
	return slices.Min(values)
}

// frequencies of the small motions, Hz, slowest first: K·φ = ω²·M·φ with the
// hook held still. Coordinates without mass follow without inertia. Motions
// slower than floor are left out: finite differences cannot tell them from
// those that have no stiffness at all.
func (s *state) frequencies(k []float64) (list []float64, floor float64) {
	n, nb := s.size6(), len(s.load.bodies)
	// The columns of b turn each body's rotations to its own axes, over the
	// root of mass or inertia, so that the mass matrix is one.
	var heavy, light [][]float64
	reach := 0.1
	height := 0.0
	for _, a := range s.load.apexes {
		height += a.at[2] / float64(len(s.load.apexes))
	}
	for b := range nb {
		if s.off[b] {
			continue
		}
		in := &s.load.bodies[b]
		reach = math.Max(reach, math.Abs(s.cg[b][2]-height))
		for i := range 6 {
			v := make([]float64, n)
			m := in.mass
			if i < 3 {
				v[6*b+i] = 1
			} else {
				m *= in.gyration[i-3] * in.gyration[i-3]
				for j := range 3 {
					v[6*b+3+j] = s.turn[b][j][i-3]
				}
			}
			if m == 0 {
				light = append(light, v)
				continue
			}
			for j := range v {
				v[j] /= math.Sqrt(m)
			}
			heavy = append(heavy, v)
		}
	}
	for i := 6 * nb; i < n; i++ {
		v := make([]float64, n)
		v[i] = 1
		light = append(light, v)
	}
	hh, hl, ll := between(k, n, heavy, heavy), between(k, n, heavy, light), between(k, n, light, light)
	values, v := eigen(ll, len(light))
	big := 0.0
	for _, x := range values {
		big = math.Max(big, math.Abs(x))
	}
	for e, x := range values {
		if math.Abs(x) <= 1e-8*big {
			continue
		}
		along := make([]float64, len(heavy))
		for i := range heavy {
			for j := range light {
				along[i] += hl[i*len(light)+j] * v[j*len(light)+e]
			}
		}
		for i := range heavy {
			for j := range heavy {
				hh[i*len(heavy)+j] -= along[i] * along[j] / x
			}
		}
	}
	values, _ = eigen(hh, len(heavy))
	slices.Sort(values)
	// A thirtieth of the frequency of a pendulum as long as the rig.
	floor = math.Sqrt(1e-3*quantity.StandardGravity/reach) / (2 * math.Pi)
	for _, x := range values {
		if f := math.Sqrt(math.Max(0, x)) / (2 * math.Pi); f > floor {
			list = append(list, f)
		}
	}
	return list, floor
}

// between returns the matrix of x·K·y for all x and y.
func between(k []float64, n int, xs, ys [][]float64) []float64 {
	out := make([]float64, len(xs)*len(ys))
	for j, y := range ys {
		ky := make([]float64, n)
		for r := range n {
			ky[r] = inner(k[r*n:r*n+n], y)
		}
		for i, x := range xs {
			out[i*len(ys)+j] = inner(x, ky)
		}
	}
	return out
}

// open reports, for each leg, whether statics alone leaves its tension open:
// whether it takes part in a set of line tensions that balance among
// themselves. Such a set is a vector that the table of unit pulls turns to
// nothing.
func (s *state) open() []bool {
	n := s.size6()
	pulls := make([][]float64, len(s.lines))
	for i := range s.lines {
		l := &s.lines[i]
		pulls[i] = make([]float64, n)
		if l.dismissed {
			continue
		}
		_, _, along := s.pull(l)
		s.applyAt(pulls[i], &l.a, along)
		s.applyAt(pulls[i], &l.b, along.times(-1))
	}
	m := len(pulls)
	gram := make([]float64, m*m)
	for i := range m {
		for j := range m {
			gram[i*m+j] = inner(pulls[i], pulls[j])
		}
	}
	values, v := eigen(gram, m)
	big := 0.0
	for _, x := range values {
		big = math.Max(big, x)
	}
	out := make([]bool, len(s.load.legs))
	for i := range s.lines {
		l := &s.lines[i]
		for e := range m {
			if l.leg >= 0 && l.run < 0 && !l.dismissed && values[e] <= 1e-9*big && math.Abs(v[i*m+e]) > 1e-4 {
				out[l.leg] = true
			}
		}
	}
	return out
}
