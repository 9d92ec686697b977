package liquid

import (
	"math"
	"sync"
)

// The part of a tank beneath a level: its volume and its first moments about
// the middle of the tank. A level h is the plane up·x = h, x counted from the
// middle.

// drum is a cylinder with its middle at the origin.
type drum struct {
	half, radius float64 // half its length; m
	axis         int
	up           [3]float64 // of length one
}

// slope is the length of the part of up across the axis.
func (d drum) slope() float64 {
	across := d.up
	across[d.axis] = 0
	return math.Sqrt(across[0]*across[0] + across[1]*across[1] + across[2]*across[2])
}

// wet adds up slices across the axis. At s along the axis the surface stands
// at r·sin f from the axis, and the slice is a segment of a circle:
//
//	area    r²·(π/2 + f + sin f·cos f)
//	moment  −⅔·r³·cos³ f        across the axis, towards up
//
// With f instead of s as the variable of integration the integrands are smooth
// from end to end, so Gauss's rule meets them to rounding.
func (d drum) wet(level float64) (volume float64, moment [3]float64) {
	along, across, r := d.up[d.axis], d.slope(), d.radius
	full := math.Pi * r * r
	var side float64 // moment across the axis
	var ends float64 // moment along the axis
	switch {
	case across < 1e-12: // stands upright
		low, high := -d.half, math.Max(-d.half, math.Min(d.half, level/along))
		if along < 0 {
			low, high = math.Max(-d.half, math.Min(d.half, level/along)), d.half
		}
		volume = full * (high - low)
		ends = full * (high*high - low*low) / 2
	case math.Abs(along) < 1e-7: // lies level; the CG moves by less than a micrometre
		area, m := segment(r, angleOf(level/across, r))
		volume, side = area*2*d.half, m*2*d.half
	default:
		// Slices wholly beneath the level, on the side of the lower end.
		brim := (level - across*r) / along // where the surface meets the top of the wall
		if along > 0 {
			if to := math.Min(d.half, brim); to > -d.half {
				volume += full * (to + d.half)
				ends += full * (to*to - d.half*d.half) / 2
			}
		} else if from := math.Max(-d.half, brim); from < d.half {
			volume += full * (d.half - from)
			ends += full * (d.half*d.half - from*from) / 2
		}
		// Slices cut by the level.
		f0, f1 := angleOf((level+along*d.half)/across, r), angleOf((level-along*d.half)/across, r)
		if f0 > f1 {
			f0, f1 = f1, f0
		}
		nodes, weights := gauss()
		for i := range nodes {
			f := (f0+f1)/2 + (f1-f0)/2*nodes[i]
			w := (f1 - f0) / 2 * weights[i] * across * r * math.Cos(f) / math.Abs(along)
			area, m := segment(r, f)
			volume += w * area
			side += w * m
			ends += w * area * (level - across*r*math.Sin(f)) / along
		}
	}
	for i := range moment {
		if i != d.axis && across > 0 {
			moment[i] = side * d.up[i] / across
		}
	}
	moment[d.axis] = ends
	return volume, moment
}

// angleOf returns f where the surface stands at height from the axis of a
// cylinder of radius r; ±π/2 beyond it.
func angleOf(height, r float64) float64 {
	return math.Asin(math.Max(-1, math.Min(1, height/r)))
}

// segment returns the area of a circle's segment and its moment about the
// centre towards up.
func segment(r, f float64) (area, moment float64) {
	sin, cos := math.Sincos(f)
	return r * r * (math.Pi/2 + f + sin*cos), -2.0 / 3 * r * r * r * cos * cos * cos
}

// gauss returns the 32 nodes and weights of Gauss and Legendre on [-1, 1].
var gauss = sync.OnceValues(func() (nodes, weights [32]float64) {
	n := len(nodes)
	for i := range nodes {
		x := math.Cos(math.Pi * (float64(i) + 0.75) / (float64(n) + 0.5))
		slope := 0.0
		for range 20 { // Newton from a good start: five steps are enough
			p, before := 1.0, 0.0
			for k := range n {
				p, before = (float64(2*k+1)*x*p-float64(k)*before)/float64(k+1), p
			}
			slope = float64(n) * (x*p - before) / (x*x - 1)
			x -= p / slope
		}
		nodes[i], weights[i] = x, 2/((1-x*x)*slope*slope)
	}
	return nodes, weights
})

// box is a box with its middle at the origin.
type box struct {
	half [3]float64
	up   [3]float64
}

// tetrahedra are the six that make up a box, each a walk from its lowest corner
// to its highest along the three axes in some order.
var tetrahedra = [6][3]int{{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}}

// wet cuts each of six tetrahedra that make up the box; exact.
func (b box) wet(level float64) (volume float64, moment [3]float64) {
	for _, order := range tetrahedra {
		var corner [4][3]float64
		at := [3]float64{-b.half[0], -b.half[1], -b.half[2]}
		corner[0] = at
		for i, axis := range order {
			at[axis] = b.half[axis]
			corner[i+1] = at
		}
		v, m := b.beneath(corner, level)
		volume += v
		for i := range moment {
			moment[i] += m[i]
		}
	}
	return volume, moment
}

// beneath returns volume and moment of the part of a tetrahedron beneath the
// level.
func (b box) beneath(corner [4][3]float64, level float64) (float64, [3]float64) {
	var low, high [][3]float64
	height := func(p [3]float64) float64 { return b.up[0]*p[0] + b.up[1]*p[1] + b.up[2]*p[2] - level }
	for _, p := range corner {
		if height(p) <= 0 {
			low = append(low, p)
		} else {
			high = append(high, p)
		}
	}
	cut := func(p, q [3]float64) [3]float64 {
		h, k := height(p), height(q)
		f := h / (h - k)
		return [3]float64{p[0] + f*(q[0]-p[0]), p[1] + f*(q[1]-p[1]), p[2] + f*(q[2]-p[2])}
	}
	switch len(low) {
	case 0:
		return 0, [3]float64{}
	case 1:
		a := low[0]
		return solid(a, cut(a, high[0]), cut(a, high[1]), cut(a, high[2]))
	case 2:
		a, c := low[0], low[1]
		p, q, r, s := cut(a, high[0]), cut(a, high[1]), cut(c, high[0]), cut(c, high[1])
		// A wedge between the edge a–c and the four cuts.
		return sum(parts{a, c, r, s}, parts{a, r, s, q}, parts{a, p, q, r})
	case 3:
		whole, m := solid(corner[0], corner[1], corner[2], corner[3])
		a := high[0]
		v, n := solid(a, cut(low[0], a), cut(low[1], a), cut(low[2], a))
		for i := range m {
			m[i] -= n[i]
		}
		return whole - v, m
	}
	return solid(corner[0], corner[1], corner[2], corner[3])
}

type parts [4][3]float64

func sum(list ...parts) (volume float64, moment [3]float64) {
	for _, p := range list {
		v, m := solid(p[0], p[1], p[2], p[3])
		volume += v
		for i := range moment {
			moment[i] += m[i]
		}
	}
	return volume, moment
}

// solid returns volume and moment of a tetrahedron.
func solid(a, b, c, d [3]float64) (volume float64, moment [3]float64) {
	var u, v, w [3]float64
	for i := range u {
		u[i], v[i], w[i] = b[i]-a[i], c[i]-a[i], d[i]-a[i]
	}
	volume = math.Abs(u[0]*(v[1]*w[2]-v[2]*w[1])-u[1]*(v[0]*w[2]-v[2]*w[0])+u[2]*(v[0]*w[1]-v[1]*w[0])) / 6
	for i := range moment {
		moment[i] = volume * (a[i] + b[i] + c[i] + d[i]) / 4
	}
	return volume, moment
}
