package audit

import (
	"math"

	"hangtrue/internal/engine/quantity"
)

// fill is the liquid that a body holds.
type fill struct {
	mass   float64 // kg
	volume float64 // m³
	full   bool    // brim-full, or in a tank of fabric: it does not shift
	over   bool    // it passes a bound on how much may be in the tank
	tare   float64 // kg
	at     vec     // CG of the tare
	scale  float64 // of the tank's inside over its outline, lengths
	middle vec     // of the tank
}

// fillOf reads what a body holds. The body's cg is that of its tare on entry.
func (t *typed) fillOf(m map[string]any, b *body, middle vec) *fill {
	o := t.object(m["holds"], "holds")
	celsius := func(v any, what string) float64 {
		return t.si(v, quantity.Temperature, what) - quantity.ZeroCelsius
	}
	density := t.densityAt(o["liquid"], celsius(o["at"], "at"))
	f := &fill{at: b.cg, middle: middle, scale: 1}
	if o["mass"] != nil {
		f.mass = t.si(o["mass"], quantity.Mass, "mass")
		f.volume = f.mass / density
	} else {
		f.volume = t.si(o["volume"], quantity.Volume, "volume")
		f.mass = f.volume * density
	}
	if tare := t.optional(m["tare"], quantity.Mass, "tare"); tare != nil {
		f.tare = *tare
	}
	outline := b.shape.box[0] * b.shape.box[1] * b.shape.box[2]
	if b.shape.radius > 0 {
		outline = math.Pi * b.shape.radius * b.shape.radius * b.shape.drum
	}
	holds := outline
	if c := t.optional(o["capacity"], quantity.Volume, "capacity"); c != nil {
		holds = *c
		f.scale = math.Cbrt(holds / outline)
	}
	least, most, fabric := 0.0, holds, isYes(o["collapsible"])
	if bounds := t.list(o["fill-bounds"], "fill-bounds"); len(bounds) == 2 {
		least, most = t.si(bounds[0], quantity.Volume, "fill-bounds"), t.si(bounds[1], quantity.Volume, "fill-bounds")
	} else if fabric {
		most = math.Inf(1) // no bounds entered: cannot tell
	}
	const hair = 1e-9
	hot := f.volume
	if o["hottest"] != nil {
		hot = f.mass / t.densityAt(o["liquid"], celsius(o["hottest"], "hottest"))
	}
	f.over = f.volume > 0 && (f.volume < least*(1-hair) || hot > most*(1+hair) || f.volume > most*(1+hair))
	f.full = fabric || f.volume == 0 || f.volume >= 0.999*holds
	return f
}

func isYes(v any) bool { return v == true || v == "yes" }

// settleLiquid puts the body's cg where it is with the liquid in it at rest
// while up, in the body's frame, is up.
func (b *body) settleLiquid(up vec) {
	f := b.fill
	if f == nil {
		return
	}
	at := f.middle
	if !f.full {
		at = at.plus(b.wet(up.times(1/up.length()), f.volume, f.scale))
	}
	b.cg = f.at.times(f.tare).plus(at.times(f.mass)).times(1 / b.mass)
}

// wet returns the centroid of the liquid, from the middle of the tank. The level
// is sought by halving over slices of the tank.
func (b *body) wet(up vec, volume, scale float64) vec {
	reach := scale * (b.shape.box.length() + b.shape.radius + b.shape.drum)
	low, high := -reach, reach
	for range 100 {
		level := (low + high) / 2
		if v, _ := b.below(up, level, scale); v < volume {
			low = level
		} else {
			high = level
		}
	}
	v, moment := b.below(up, (low+high)/2, scale)
	return moment.times(1 / v)
}

// below returns the volume of the tank beneath a level along up, m³, and its
// moment about the tank's middle, m⁴.
func (b *body) below(up vec, level, scale float64) (float64, vec) {
	if b.shape.radius > 0 {
		return drumBelow(up, level, b.shape.radius*scale, b.shape.drum*scale, b.shape.axis)
	}
	return boxBelow(up, level, b.shape.box.times(scale))
}

// simpson integrates a function of three or more numbers from a to b with n
// pieces.
func simpson(a, b float64, n int, add func(x, weight float64)) {
	if b <= a {
		return
	}
	h := (b - a) / float64(2*n)
	for i := 0; i <= 2*n; i++ {
		w := 2.0
		switch {
		case i == 0 || i == 2*n:
			w = 1
		case i%2 == 1:
			w = 4
		}
		add(a+h*float64(i), w*h/3)
	}
}

// boxBelow slices a box across x. Between the places where the level passes an
// edge that runs along x, area and moments of a slice are of third degree at
// most in x, and Simpson's rule is exact.
func boxBelow(up vec, level float64, size vec) (volume float64, moment vec) {
	half := size.times(0.5)
	cuts := []float64{-half[0], half[0]}
	if math.Abs(up[0]) > 1e-14 {
		for _, y := range [2]float64{-half[1], half[1]} {
			for _, z := range [2]float64{-half[2], half[2]} {
				if x := (level - up[1]*y - up[2]*z) / up[0]; x > -half[0] && x < half[0] {
					cuts = append(cuts, x)
				}
			}
		}
	}
	sortFloats(cuts)
	for i := 1; i < len(cuts); i++ {
		simpson(cuts[i-1], cuts[i], 1, func(x, w float64) {
			area, y, z := clipped(half[1], half[2], up[1], up[2], level-up[0]*x)
			volume += w * area
			moment = moment.plus(vec{x * area, y, z}.times(w))
		})
	}
	return volume, moment
}

func sortFloats(list []float64) {
	for i := range list {
		for k := i; k > 0 && list[k] < list[k-1]; k-- {
			list[k], list[k-1] = list[k-1], list[k]
		}
	}
}

// clipped returns area and first moments of the part of a rectangle, half
// lengths a and b, in which p·y + q·z ≤ d.
func clipped(a, b, p, q, d float64) (area, my, mz float64) {
	corners := [4][2]float64{{-a, -b}, {a, -b}, {a, b}, {-a, b}}
	over := func(c [2]float64) float64 { return p*c[0] + q*c[1] - d }
	var in [][2]float64
	for i, c := range corners {
		next := corners[(i+1)%4]
		u, v := over(c), over(next)
		if u <= 0 {
			in = append(in, c)
		}
		if u < 0 && v > 0 || u > 0 && v < 0 {
			s := u / (u - v)
			in = append(in, [2]float64{c[0] + s*(next[0]-c[0]), c[1] + s*(next[1]-c[1])})
		}
	}
	for i, c := range in {
		next := in[(i+1)%len(in)]
		cross := c[0]*next[1] - next[0]*c[1]
		area += cross / 2
		my += (c[0] + next[0]) * cross / 6
		mz += (c[1] + next[1]) * cross / 6
	}
	return area, my, mz
}

// drumPieces is into how many pieces the part of a drum is cut over which the
// level runs through its slices.
const drumPieces = 1500

// drumBelow slices a drum across its axis. A slice is a disc, a segment of one,
// or dry.
func drumBelow(up vec, level, r, length float64, axis int) (volume float64, moment vec) {
	along := up[axis]
	across := up
	across[axis] = 0
	q := math.Max(across.length(), 1e-12)
	across = across.times(1 / q)
	slice := func(s, w float64) {
		d := (level - along*s) / q // of the level from the axis
		var area, push float64
		switch {
		case d >= r:
			area = math.Pi * r * r
		case d > -r:
			chord := math.Sqrt(r*r - d*d)
			area = r*r*(math.Pi-math.Acos(d/r)) + d*chord
			push = -2. / 3 * chord * chord * chord
		}
		volume += w * area
		at := across.times(push)
		at[axis] += s * area
		moment = moment.plus(at.times(w))
	}
	ends := []float64{-length / 2, length / 2}
	if math.Abs(along) > 1e-14 {
		for _, d := range [2]float64{-r, r} {
			if s := (level - d*q) / along; s > -length/2 && s < length/2 {
				ends = append(ends, s)
			}
		}
	}
	sortFloats(ends)
	for i := 1; i < len(ends); i++ {
		simpson(ends[i-1], ends[i], drumPieces, slice)
	}
	return volume, moment
}
