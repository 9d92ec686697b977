package statics

import "math"

// press is the integral of c·p² along an axis, p = max(0, reach − distance to
// the target), as it grows: the axis runs from y0 to y0 + dy, seen from the CG
// of the body that the target belongs to.
type press struct {
	y0, dy   Vec
	reach, c float64
	second   bool // with second derivatives

	e float64
	f Vec // Σ f, f being the derivative of e by a place on the axis
	s Mat // Σ f ρᵀ, ρ being that place
	// m is the second derivative of e by v and θ, the axis moving by v + θ×ρ,
	// to first order in them; its lower triangle until finish. What a
	// derivative of β·1 at places ρ adds to it waits as Σ β, Σ β ρ, Σ β ρ ρᵀ.
	m     [6][6]float64
	beta  float64
	beta1 Vec
	beta2 Mat
}

// add integrates over one piece.
func (x *press) add(p *piece) {
	half, middle := 0.5*(p.to-p.from), 0.5*(p.to+p.from)
	points := p.points(middle, half)
	r := &rules[points]
	for k := range points {
		s := middle + half*r.at[k]
		var n Vec
		d := p.distance(s, &n)
		if over := x.reach - d; over > 0 {
			rho := Vec{x.y0[0] + s*x.dy[0], x.y0[1] + s*x.dy[1], x.y0[2] + s*x.dy[2]}
			x.point(p, d, over, x.c*half*r.weight[k], &n, &rho)
		}
	}
}

// point adds c·over² for the place rho at the distance d in direction n.
func (x *press) point(p *piece, d, over, c float64, n, rho *Vec) {
	f := -2 * c * over // derivative by d
	x.e += c * over * over
	for i := range 3 {
		fn := f * n[i]
		x.f[i] += fn
		x.s[i][0] += fn * rho[0]
		x.s[i][1] += fn * rho[1]
		x.s[i][2] += fn * rho[2]
	}
	if !x.second {
		return
	}
	// The second derivative by the place is 2c·n nᵀ + f·D, D being that of the
	// distance: (1 − n nᵀ − flat flatᵀ)/d where it is curved.
	along := 2 * c
	if p.curved && d > 1e-9 {
		beta := f / d
		along -= beta
		x.beta += beta
		for i := range 3 {
			b := beta * rho[i]
			x.beta1[i] += b
			for j := range i + 1 {
				x.beta2[i][j] += b * rho[j]
			}
		}
		if p.hasFlat {
			x.line(&p.flat, rho, -beta)
		}
	}
	x.line(n, rho, along)
}

// line adds the second derivative a·u uᵀ by the place rho.
func (x *press) line(u, rho *Vec, a float64) {
	ux, uy, uz := u[0], u[1], u[2]
	tx, ty, tz := rho[1]*uz-rho[2]*uy, rho[2]*ux-rho[0]*uz, rho[0]*uy-rho[1]*ux
	m := &x.m
	ax, ay, az := a*ux, a*uy, a*uz
	m[0][0] += ax * ux
	m[1][0] += ay * ux
	m[1][1] += ay * uy
	m[2][0] += az * ux
	m[2][1] += az * uy
	m[2][2] += az * uz
	ax, ay, az = a*tx, a*ty, a*tz
	m[3][0] += ax * ux
	m[3][1] += ax * uy
	m[3][2] += ax * uz
	m[3][3] += ax * tx
	m[4][0] += ay * ux
	m[4][1] += ay * uy
	m[4][2] += ay * uz
	m[4][3] += ay * tx
	m[4][4] += ay * ty
	m[5][0] += az * ux
	m[5][1] += az * uy
	m[5][2] += az * uz
	m[5][3] += az * tx
	m[5][4] += az * ty
	m[5][5] += az * tz
}

// ridge adds what comes of the cut between two pieces moving along the axis,
// where the distance has different slopes on the two sides: inside a box, where
// two faces are equally near.
func (x *press) ridge(a, b *piece) {
	if a.curved || b.curved || b.from-a.to > 1e-13 || a.normal == b.normal || a.to == 0 {
		return
	}
	if slope := a.d1 - b.d1; slope < 0 {
		jump, rho := Sub(a.normal, b.normal), Add(x.y0, Scale(b.from, x.dy))
		x.line(&jump, &rho, 2*x.c*(x.reach-b.d0-b.from*b.d1)/slope)
	}
}

// finish makes m whole.
func (x *press) finish() {
	m := &x.m
	b1, b2 := x.beta1, &x.beta2
	for i := range 3 {
		m[i][i] += x.beta
		for j := range i + 1 {
			m[3+i][3+j] -= b2[i][j]
		}
		m[3+i][3+i] += b2[0][0] + b2[1][1] + b2[2][2]
	}
	m[3][1] -= b1[2]
	m[3][2] += b1[1]
	m[4][0] += b1[2]
	m[4][2] -= b1[0]
	m[5][0] -= b1[1]
	m[5][1] += b1[0]
	for i := range 6 {
		for j := range i {
			m[j][i] = m[i][j]
		}
	}
}

// rotate turns all sums by r, from the target's axes into the world's.
func (x *press) rotate(r *Mat) {
	x.f = r.Mul(x.f)
	x.s = congruence(r, &x.s)
	if !x.second {
		return
	}
	x.finish()
	x.beta, x.beta1, x.beta2 = 0, Vec{}, Mat{}
	for i := 0; i < 6; i += 3 {
		for j := 0; j <= i; j += 3 {
			var b Mat
			for k := range 3 {
				b[k] = Vec{x.m[i+k][j], x.m[i+k][j+1], x.m[i+k][j+2]}
			}
			b = congruence(r, &b)
			for k := range 3 {
				copy(x.m[i+k][j:j+3], b[k][:])
			}
		}
	}
}

// congruence returns r·a·rᵀ.
func congruence(r, a *Mat) (out Mat) {
	var ra Mat
	for i := range 3 {
		ra[i] = a.TMul(r[i]) // row i of r·a
	}
	for i := range 3 {
		out[i] = r.Mul(ra[i])
	}
	return out
}

// piece is a part of an axis on which the distance has one formula, s being the
// place on the axis: |q0 + s·q1| where it is curved, else d0 + s·d1.
type piece struct {
	from, to float64
	curved   bool
	q0, q1   Vec  // from the nearest point of the target
	flat     Vec  // unit vector along which the distance does not change
	hasFlat  bool // of a curved piece
	d0, d1   float64
	normal   Vec
}

// distance returns the distance at s, and leaves its gradient by the place in n.
func (p *piece) distance(s float64, n *Vec) float64 {
	if !p.curved {
		*n = p.normal
		return p.d0 + s*p.d1
	}
	qx, qy, qz := p.q0[0]+s*p.q1[0], p.q0[1]+s*p.q1[1], p.q0[2]+s*p.q1[2]
	d := math.Sqrt(qx*qx + qy*qy + qz*qz)
	if d < 1e-12 {
		*n = Vec{0, 0, 1} // of no direction: as good as any
		return d
	}
	f := 1 / d
	n[0], n[1], n[2] = qx*f, qy*f, qz*f
	return d
}

// points returns how many places the piece around middle must be summed at: as
// many as the nearest zero of the distance, among complex places, asks for, up
// to the most there are.
func (p *piece) points(middle, half float64) int {
	if !p.curved {
		return 2 // p² is a polynomial
	}
	a, b := Add(p.q0, Scale(middle, p.q1)), Scale(half, p.q1)
	aa, ab, bb := Dot(a, a), Dot(a, b), Dot(b, b)
	if bb <= 1e-15*aa {
		return 2 // the same distance all along; turning still moves places as they lie
	}
	// zeros at −ab/bb ± i·√(aa·bb − ab²)/bb; their distances to ±1 add up to
	// the larger axis of the ellipse through them
	x, yy := -ab/bb, math.Max(0, aa*bb-ab*ab)/(bb*bb)
	axis := 0.5 * (math.Sqrt((x-1)*(x-1)+yy) + math.Sqrt((x+1)*(x+1)+yy))
	n := 2
	for n < mostPoints && axis < rules[n].least {
		n++
	}
	return n
}
