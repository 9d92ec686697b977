package audit

import "math"

// contactStiffness is k of the contact between round bodies, N per metre of
// overlap, as the format fixes it.
const contactStiffness = 200e3

// samples is into how many pieces an axis is cut before a contact is summed over
// it.
const samples = 200

// gauss3 is the three-point Gauss rule on 0 to 1: places and weights.
var gauss3 = [3][2]float64{
	{0.5 - 0.5*0.7745966692414834, 5.0 / 18},
	{0.5, 8.0 / 18},
	{0.5 + 0.5*0.7745966692414834, 5.0 / 18},
}

// pressOf is the force that the round body a puts on the body b and where, by
// the definition of the format: the energy ¼·k·∫p² ds (½ against a box) along
// a's axis, p = max(0, reach − distance). The axis is cut into n pieces, and
// those where the distance changes its formula are cut again just there, found
// by bisection; each piece is summed by a rule that is exact for smooth ones.
// The force is added to force and moment about each CG.
func (s *state) pressOf(a, b, n int, out []float64) {
	sa, sb := &s.load.bodies[a].shape, &s.load.bodies[b].shape
	if sa.radius == 0 || sb.radius == 0 && sb.box == (vec{}) {
		return
	}
	reach, c := sa.radius, 0.5*contactStiffness
	if sb.radius > 0 {
		reach, c = sa.radius+sb.radius, 0.25*contactStiffness
	}
	p0, p1 := s.axis(a)
	if p0.plus(p1).times(0.5).minus(s.middle(b)).length() > p1.minus(p0).length()/2+reach+s.size(b) {
		return
	}
	at := func(t float64) vec { return p0.plus(p1.minus(p0).times(t)) }
	press := func(t, weight float64) {
		x := at(t)
		d, away, _ := s.distance(b, x, reach)
		if over := reach - d; over > 0 {
			s.pushes(out, a, b, x, away.times(2*c*over*weight))
			s.stored += c * over * over * weight
		}
	}
	if p0 == p1 {
		press(0, 1)
		return
	}
	piece := func(from, to float64) {
		for _, g := range gauss3 {
			press(from+g[0]*(to-from), g[1]*(to-from))
		}
	}
	formula := func(t float64) int {
		_, _, f := s.distance(b, at(t), reach)
		return f
	}
	from, first := 0.0, formula(0)
	for i := range n {
		to := float64(i+1) / float64(n)
		last := formula(to)
		for first != last {
			low, high := from, to
			for range 60 {
				if mid := (low + high) / 2; formula(mid) == first {
					low = mid
				} else {
					high = mid
				}
			}
			piece(from, low)
			if from, first = high, formula(high); high >= to {
				break
			}
		}
		piece(from, to)
		from, first = to, last
	}
}

// pushes adds the force f on a at the place x, and its opposite on b. The
// opposite acts along the same line, so that the same place serves for both.
func (s *state) pushes(out []float64, a, b int, x, f vec) {
	s.apply(out, a, x, f)
	s.apply(out, b, x, f.times(-1))
}

// axis returns the ends of a drum's capsule in the world.
func (s *state) axis(i int) (vec, vec) {
	h := &s.load.bodies[i].shape
	half := vec{}
	half[h.axis] = math.Max(0, h.drum/2-h.radius)
	mid := s.middleIn(i)
	return s.world(i, mid.minus(half)), s.world(i, mid.plus(half))
}

// middleIn is the middle of a shape in the body's frame.
func (s *state) middleIn(i int) vec {
	h := &s.load.bodies[i].shape
	switch {
	case h.radius == 0:
		return vec{0, 0, h.box[2] / 2}
	case h.axis == 2:
		return vec{0, 0, h.drum / 2}
	}
	return vec{0, 0, h.radius}
}

func (s *state) middle(i int) vec { return s.world(i, s.middleIn(i)) }

// size is a radius about the middle that holds what distances are taken to.
func (s *state) size(i int) float64 {
	h := &s.load.bodies[i].shape
	return h.box.length()/2 + h.drum/2
}

// distance returns the signed distance of x to the axis of a drum or to a box,
// the direction in which it grows, and a number for the formula that holds at
// x, which is another one out of reach.
func (s *state) distance(i int, x vec, reach float64) (d float64, away vec, formula int) {
	h := &s.load.bodies[i].shape
	if h.radius > 0 {
		d, away, formula = s.toAxis(i, x)
	} else {
		d, away, formula = s.toBox(i, x)
	}
	if d >= reach {
		formula += 1000
	}
	return d, away, formula
}

func (s *state) toAxis(i int, x vec) (float64, vec, int) {
	a, b := s.axis(i)
	e := b.minus(a)
	t := 0.0
	if ee := e.dot(e); ee > 0 {
		t = x.minus(a).dot(e) / ee
	}
	formula := 1
	if t <= 0 {
		t, formula = 0, 0
	} else if t >= 1 {
		t, formula = 1, 2
	}
	v := x.minus(a.plus(e.times(t)))
	return v.length(), v.unit(), formula
}

func (s *state) toBox(i int, x vec) (float64, vec, int) {
	h := &s.load.bodies[i].shape
	y := s.turn[i].back(x.minus(s.middle(i)))
	var outside, face vec
	deepest, nearest, formula := math.Inf(-1), 0, 0
	for k := range 3 {
		beyond := math.Abs(y[k]) - h.box[k]/2
		sign := math.Copysign(1, y[k])
		formula *= 3
		if beyond > 0 {
			outside[k] = sign * beyond
			formula += 1 + int(sign+1)/2
		}
		if beyond > deepest {
			deepest = beyond
			face = vec{}
			face[k] = sign
			nearest = 100 + 2*k + int(sign+1)/2
		}
	}
	if deepest > 0 {
		return outside.length(), s.turn[i].turn(outside.unit()), formula
	}
	return deepest, s.turn[i].turn(face), nearest
}

// contactForce is the size of the force between two bodies, N.
func (s *state) contactForce(a, b, n int) float64 {
	out := make([]float64, s.size6())
	s.pressOf(a, b, n, out)
	s.pressOf(b, a, n, out)
	return vec{out[6*a], out[6*a+1], out[6*a+2]}.length()
}
