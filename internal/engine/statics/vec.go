package statics

import "math"

// Vec is a vector in three dimensions.
type Vec [3]float64

// Add returns a + b.
func Add(a, b Vec) Vec { return Vec{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }

// Sub returns a − b.
func Sub(a, b Vec) Vec { return Vec{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }

// Scale returns f·a.
func Scale(f float64, a Vec) Vec { return Vec{f * a[0], f * a[1], f * a[2]} }

// Dot returns the scalar product of a and b.
func Dot(a, b Vec) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

// Cross returns the vector product a × b.
func Cross(a, b Vec) Vec {
	return Vec{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

// Norm returns the length of a.
func Norm(a Vec) float64 { return math.Sqrt(Dot(a, a)) }

// unit returns a/|a| and |a|; for a vector too short to have a direction it
// returns straight up.
func unit(a Vec) (Vec, float64) {
	n := Norm(a)
	if n < 1e-12 {
		return Vec{0, 0, 1}, n
	}
	return Scale(1/n, a), n
}

// Mat is a 3 × 3 matrix, rows first.
type Mat [3]Vec

// Mul returns the product of m with the column v.
func (m *Mat) Mul(v Vec) Vec { return Vec{Dot(m[0], v), Dot(m[1], v), Dot(m[2], v)} }

// TMul returns the product of m's transpose with the column v.
func (m *Mat) TMul(v Vec) Vec {
	return Vec{
		m[0][0]*v[0] + m[1][0]*v[1] + m[2][0]*v[2],
		m[0][1]*v[0] + m[1][1]*v[1] + m[2][1]*v[2],
		m[0][2]*v[0] + m[1][2]*v[1] + m[2][2]*v[2],
	}
}

// Quat is a rotation as a unit quaternion w, x, y, z. The zero value is not a
// rotation; [Identity] is.
type Quat [4]float64

// Identity is the rotation that turns nothing.
var Identity = Quat{1, 0, 0, 0}

// Turn returns the rotation by |v| radians about the direction of v.
func Turn(v Vec) Quat {
	// sin(a/2)/a and cos(a/2), for small angles by their series to a⁶, which
	// are exact to rounding there and need no root.
	aa := Dot(v, v)
	s, c := 0.0, 0.0
	if aa < 1e-3 {
		s = 0.5 - aa*(1./48-aa*(1./3840-aa/645120))
		c = 1 - aa*(1./8-aa*(1./384-aa/46080))
	} else {
		a := math.Sqrt(aa)
		s, c = math.Sincos(a / 2)
		s /= a
	}
	return Quat{c, s * v[0], s * v[1], s * v[2]}.Normalized()
}

// Times returns the rotation that first does b, then q.
func (q Quat) Times(b Quat) Quat {
	return Quat{
		q[0]*b[0] - q[1]*b[1] - q[2]*b[2] - q[3]*b[3],
		q[0]*b[1] + q[1]*b[0] + q[2]*b[3] - q[3]*b[2],
		q[0]*b[2] - q[1]*b[3] + q[2]*b[0] + q[3]*b[1],
		q[0]*b[3] + q[1]*b[2] - q[2]*b[1] + q[3]*b[0],
	}
}

// Normalized returns q scaled to length 1 with w ≥ 0.
func (q Quat) Normalized() Quat {
	n := math.Sqrt(q[0]*q[0] + q[1]*q[1] + q[2]*q[2] + q[3]*q[3])
	if q[0] < 0 {
		n = -n
	}
	return Quat{q[0] / n, q[1] / n, q[2] / n, q[3] / n}
}

// Matrix returns the rotation as a matrix that turns body vectors into world
// vectors; its columns are the body's axes in the world.
func (q Quat) Matrix() Mat {
	w, x, y, z := q[0], q[1], q[2], q[3]
	return Mat{
		{1 - 2*(y*y+z*z), 2 * (x*y - w*z), 2 * (x*z + w*y)},
		{2 * (x*y + w*z), 1 - 2*(x*x+z*z), 2 * (y*z - w*x)},
		{2 * (x*z - w*y), 2 * (y*z + w*x), 1 - 2*(x*x+y*y)},
	}
}

// Rotate returns v turned by q.
func (q Quat) Rotate(v Vec) Vec {
	m := q.Matrix()
	return m.Mul(v)
}
