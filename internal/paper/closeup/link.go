package closeup

import (
	"math"

	"hangtrue/internal/paper/draw"
)

// The chain of the figures: a link's inner length (the pitch), the diameter of
// its wire and its outer width, in mm. The proportions are those of short-link
// lifting chain: inner length about 3 wire diameters, outer width about 3.5
// (from memory).
const (
	pitch = 28.0
	wire  = 9.5
	wide  = 33.0
)

// link draws one link about the origin, its length along x, turned about its
// length by turn degrees: at 0 it lies face to the viewer, at 90 edge on.
func (s sketch) link(turn float64) { s.linkOf(pitch, wire, turn) }

func (s sketch) linkOf(inner, d, turn float64) {
	w := (wide - wire) * math.Abs(cosDeg(turn))
	if w < d*0.6 {
		s.steel(line(-(inner+d)/2, 0, (inner+d)/2, 0), d)
		return
	}
	s.steel(stadium(inner+d, w), d)
}

// chain lays links along a line, the first one's middle at its start. turn says
// how each link is turned about its length: 0 face on, 90 edge on. What is more
// edge on passes through and so lies above.
func (s sketch) chain(p draw.Path, turn func(i int) float64) []station {
	links := walk(p, 0, pitch)
	for _, edgeOn := range []bool{false, true} {
		for i, t := range links {
			if a := turn(i); (math.Abs(cosDeg(a)) < 0.7) == edgeOn {
				s.on(t).link(a)
			}
		}
	}
	return links
}

// straight is how links hang that are not twisted: each a quarter turned
// against the last, the first face on or edge on.
func straight(first float64) func(int) float64 {
	return func(i int) float64 { return first + 90*float64(i%2) }
}

func cosDeg(a float64) float64 { return draw.Polar(1, a).X }
