package png

import (
	"math"
	"slices"

	"hangtrue/internal/paper/draw"
)

// lanes is the number of scan lines in a pixel's height. Along a scan line
// coverage is exact, across it steps of 1/16 are below what 8 bits of a grey
// line on paper show.
const lanes = 16

// raster turns closed areas into the share of each pixel that they cover. It
// keeps its buffers between calls and serves one caller at a time.
type raster struct {
	w, h   int
	edges  []edge
	active []int
	cross  []crossing
	diff   []float32
}

// edge runs from y0 down to y1 > y0; x at height y is x0 + (y−y0)·slope.
type edge struct {
	x0, y0, y1, slope float64
	dir               int
}

type crossing struct {
	x   float64
	dir int
}

func newRaster(w, h int) *raster {
	return &raster{w: w, h: h, diff: make([]float32, w+2)}
}

// scan calls emit for each pixel row that the areas touch, with the covered
// shares of the pixels from x0 on. Areas are closed from their last point to
// their first. The slice is only good during the call.
func (r *raster) scan(areas [][]draw.Point, evenOdd bool, emit func(y, x0 int, cover []float32)) {
	r.edges = r.edges[:0]
	for _, a := range areas {
		for i, p := range a {
			q := a[(i+1)%len(a)]
			dir := 1
			if p.Y > q.Y {
				p, q, dir = q, p, -1
			}
			if p.Y == q.Y || q.Y <= 0 || p.Y >= float64(r.h) {
				continue
			}
			r.edges = append(r.edges, edge{p.X, p.Y, q.Y, (q.X - p.X) / (q.Y - p.Y), dir})
		}
	}
	if len(r.edges) == 0 {
		return
	}
	slices.SortFunc(r.edges, func(a, b edge) int {
		switch {
		case a.y0 < b.y0:
			return -1
		case a.y0 > b.y0:
			return 1
		}
		return 0
	})
	bottom := 0.0
	for _, e := range r.edges {
		bottom = max(bottom, e.y1)
	}
	next := 0
	r.active = r.active[:0]
	first := max(0, int(math.Floor(r.edges[0].y0)))
	last := min(r.h-1, int(math.Floor(bottom)))
	for y := first; y <= last; y++ {
		lo, hi := r.w, -1
		for lane := range lanes {
			yc := float64(y) + (float64(lane)+0.5)/lanes
			for next < len(r.edges) && r.edges[next].y0 <= yc {
				r.active = append(r.active, next)
				next++
			}
			r.cross = r.cross[:0]
			keep := r.active[:0]
			for _, i := range r.active {
				e := r.edges[i]
				if e.y1 <= yc {
					continue
				}
				keep = append(keep, i)
				r.cross = append(r.cross, crossing{e.x0 + (yc-e.y0)*e.slope, e.dir})
			}
			r.active = keep
			lo, hi = r.lane(evenOdd, lo, hi)
		}
		if hi < lo {
			continue
		}
		sum := float32(0)
		for x := lo; x <= hi; x++ {
			sum += r.diff[x]
			// Rounding may leave a hair beyond the ends.
			r.diff[x] = min(1, max(0, sum))
		}
		emit(y, lo, r.diff[lo:hi+1])
		clear(r.diff[lo : hi+2])
	}
}

// lane adds the spans of one scan line and widens the range of touched pixels.
func (r *raster) lane(evenOdd bool, lo, hi int) (int, int) {
	slices.SortFunc(r.cross, func(a, b crossing) int {
		switch {
		case a.x < b.x:
			return -1
		case a.x > b.x:
			return 1
		}
		return 0
	})
	wind := 0
	start := 0.0
	for _, c := range r.cross {
		was := inside(wind, evenOdd)
		wind += c.dir
		is := inside(wind, evenOdd)
		switch {
		case is && !was:
			start = c.x
		case was && !is:
			a, b := max(0, start), min(float64(r.w), c.x)
			if b <= a {
				continue
			}
			lo, hi = min(lo, int(a)), max(hi, min(int(b), r.w-1))
			r.step(a, 1.0/lanes)
			r.step(b, -1.0/lanes)
		}
	}
	return lo, hi
}

func inside(wind int, evenOdd bool) bool {
	if evenOdd {
		return wind&1 != 0
	}
	return wind != 0
}

// step adds a rise of the coverage at x to the differences: the pixel that
// holds x is covered from x to its right edge, all further ones wholly.
func (r *raster) step(x float64, rise float32) {
	i := int(x)
	part := float32(x - float64(i))
	r.diff[i] += rise * (1 - part)
	r.diff[i+1] += rise * part
}
