package chart

import (
	"fmt"
	"math"

	"hangtrue/internal/paper/draw"
)

// Contour is the lines along which values on a grid equal level, as the points
// of one series with breaks between the lines. z[i][j] belongs to xs[j], ys[i];
// both must grow. Cells with a value that is not finite are left out. It returns
// an error where the sizes do not fit or a scale does not grow.
//
// Each cell is crossed by straight lines between linear interpolations on its
// edges (marching squares); where all four edges are crossed the mean of the
// corners decides which corners belong together.
func Contour(xs, ys []float64, z [][]float64, level float64) ([]draw.Point, error) {
	if len(xs) < 2 || len(ys) < 2 || len(z) != len(ys) {
		return nil, fmt.Errorf("chart: contour grid of %d columns and %d rows with %d rows of values: at least 2 by 2, a row of values for each y", len(xs), len(ys), len(z))
	}
	for i, row := range z {
		if len(row) != len(xs) {
			return nil, fmt.Errorf("chart: contour row %d has %d values for %d columns", i, len(row), len(xs))
		}
	}
	for _, scale := range [][]float64{xs, ys} {
		for i := 1; i < len(scale); i++ {
			if !(scale[i] > scale[i-1]) {
				return nil, fmt.Errorf("chart: contour scale does not grow at %d: %g after %g", i, scale[i], scale[i-1])
			}
		}
	}
	g := grid{xs, ys, z, level}
	var pieces [][2]crossing
	for i := range len(ys) - 1 {
		for j := range len(xs) - 1 {
			pieces = append(pieces, g.cell(i, j)...)
		}
	}
	return join(pieces), nil
}

type grid struct {
	xs, ys []float64
	z      [][]float64
	level  float64
}

// crossing is where the level crosses an edge of the grid: the edge from point
// (i, j) to the next column, or to the next row if up.
type crossing struct {
	i, j int
	up   bool
	at   draw.Point
}

func (g grid) above(i, j int) bool { return g.z[i][j] >= g.level }

func (g grid) cross(i, j int, up bool) crossing {
	i2, j2 := i, j+1
	if up {
		i2, j2 = i+1, j
	}
	t := (g.level - g.z[i][j]) / (g.z[i2][j2] - g.z[i][j])
	a, b := draw.Pt(g.xs[j], g.ys[i]), draw.Pt(g.xs[j2], g.ys[i2])
	return crossing{i, j, up, a.Lerp(b, t)}
}

func (g grid) cell(i, j int) [][2]crossing {
	sum := 0.0
	for _, v := range []float64{g.z[i][j], g.z[i][j+1], g.z[i+1][j], g.z[i+1][j+1]} {
		sum += v
	}
	if math.IsNaN(sum) || math.IsInf(sum, 0) {
		return nil
	}
	sw, se, ne, nw := g.above(i, j), g.above(i, j+1), g.above(i+1, j+1), g.above(i+1, j)
	// The crossed edges in the order round the cell: bottom, right, top, left.
	var on []crossing
	if sw != se {
		on = append(on, g.cross(i, j, false))
	}
	if se != ne {
		on = append(on, g.cross(i, j+1, true))
	}
	if ne != nw {
		on = append(on, g.cross(i+1, j, false))
	}
	if nw != sw {
		on = append(on, g.cross(i, j, true))
	}
	switch len(on) {
	case 2:
		return [][2]crossing{{on[0], on[1]}}
	case 4:
		if sw == (sum/4 >= g.level) {
			// South-west and north-east belong together: cut off the other two.
			return [][2]crossing{{on[0], on[1]}, {on[2], on[3]}}
		}
		return [][2]crossing{{on[3], on[0]}, {on[1], on[2]}}
	}
	return nil
}

type edgeKey struct {
	i, j int
	up   bool
}

func (c crossing) key() edgeKey { return edgeKey{c.i, c.j, c.up} }

// join strings the pieces together, in the order of the grid.
func join(pieces [][2]crossing) []draw.Point {
	at := map[edgeKey][]int{}
	for n, p := range pieces {
		at[p[0].key()] = append(at[p[0].key()], n)
		at[p[1].key()] = append(at[p[1].key()], n)
	}
	used := make([]bool, len(pieces))
	var out []draw.Point
	// Lines that end at the rim are begun at their ends; what is left is closed.
	for _, rings := range []bool{false, true} {
		for n, p := range pieces {
			if used[n] {
				continue
			}
			from, to := p[0], p[1]
			if !rings {
				if len(at[from.key()]) != 1 {
					from, to = to, from
				}
				if len(at[from.key()]) != 1 {
					continue
				}
			}
			if len(out) > 0 {
				out = append(out, draw.Pt(math.NaN(), math.NaN()))
			}
			out = append(out, from.at, to.at)
			used[n] = true
			for more := true; more; {
				more = false
				for _, m := range at[to.key()] {
					if used[m] {
						continue
					}
					next := pieces[m][0]
					if next.key() == to.key() {
						next = pieces[m][1]
					}
					used[m], to, more = true, next, true
					out = append(out, to.at)
					break
				}
			}
		}
	}
	return out
}
