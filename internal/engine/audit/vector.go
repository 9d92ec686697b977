package audit

import "math"

type vec [3]float64

func (a vec) plus(b vec) vec        { return vec{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }
func (a vec) minus(b vec) vec       { return vec{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }
func (a vec) times(s float64) vec   { return vec{s * a[0], s * a[1], s * a[2]} }
func (a vec) dot(b vec) float64     { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
func (a vec) length() float64       { return math.Sqrt(a.dot(a)) }
func (a vec) largest() float64      { return max(math.Abs(a[0]), math.Abs(a[1]), math.Abs(a[2])) }
func (a vec) fromVertical() float64 { return math.Atan2(math.Hypot(a[0], a[1]), a[2]) }
func (a vec) cross(b vec) vec {
	return vec{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

// unit returns the direction of a, zero where it has none.
func (a vec) unit() vec {
	if n := a.length(); n > 0 {
		return a.times(1 / n)
	}
	return vec{}
}

// matrix holds the body's axes in its columns: it turns body to world.
type matrix [3]vec // rows

func (m matrix) turn(v vec) vec { return vec{m[0].dot(v), m[1].dot(v), m[2].dot(v)} }

func (m matrix) back(v vec) vec {
	return m[0].times(v[0]).plus(m[1].times(v[1])).plus(m[2].times(v[2]))
}

// fromQuaternion is the rotation v + 2w(u×v) + 2u×(u×v) of the quaternion (w, u),
// one axis at a time.
func fromQuaternion(q [4]float64) matrix {
	u := vec{q[1], q[2], q[3]}
	var m matrix
	for k := range 3 {
		var e vec
		e[k] = 1
		c := u.cross(e)
		x := e.plus(c.times(2 * q[0])).plus(u.cross(c).times(2))
		for i := range 3 {
			m[i][k] = x[i]
		}
	}
	return m
}

// turnedBy is the body turned further by the rotation vector r in world axes,
// by Rodrigues' formula.
func (m matrix) turnedBy(r vec) matrix {
	angle := r.length()
	if angle == 0 {
		return m
	}
	axis := r.times(1 / angle)
	sin, cos := math.Sincos(angle)
	var out matrix
	for k := range 3 {
		v := vec{m[0][k], m[1][k], m[2][k]}
		x := v.times(cos).plus(axis.cross(v).times(sin)).plus(axis.times(axis.dot(v) * (1 - cos)))
		for i := range 3 {
			out[i][k] = x[i]
		}
	}
	return out
}
