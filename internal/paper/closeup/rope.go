package closeup

import (
	"math"

	"hangtrue/internal/paper/draw"
)

// braid draws a braided textile rope along a line: flat open ends, yarns as two
// families of strokes that cross.
func (s sketch) braid(p draw.Path, width float64) {
	s.open(p, width, cloth)
	s.braiding(p, width)
}

func (s sketch) braiding(p draw.Path, width float64) {
	var out draw.Path
	step := width * 0.2
	for i, t := range walk(p, step/2, step) {
		// Chevrons, each yarn from an edge to the middle.
		side := 1.0
		if i%2 == 1 {
			side = -1
		}
		a := t.beside(side * width * 0.42).Sub(t.dir.Mul(width * 0.2))
		b := t.beside(-side * width * 0.1).Add(t.dir.Mul(width * 0.16))
		out.MoveTo(a)
		out.LineTo(b)
	}
	s.ink(hair, out)
}

// laid draws a rope of twisted strands along a line.
func (s sketch) laid(p draw.Path, width float64, fill draw.Paint) {
	s.open(p, width, fill)
	s.lay(p, width, 0.75)
}

// lay draws the strands of a twisted rope: slanting strokes from edge to edge.
func (s sketch) lay(p draw.Path, width, step float64) {
	var out draw.Path
	for _, t := range walk(p, width*step/2, width*step) {
		a := t.beside(width * 0.47).Sub(t.dir.Mul(width * 0.42))
		b := t.beside(-width * 0.47).Add(t.dir.Mul(width * 0.42))
		out.MoveTo(a)
		out.CubicTo(a.Add(t.dir.Mul(width*0.45)), b.Sub(t.dir.Mul(width*0.45)), b)
	}
	s.ink(hair, out)
}

// cord draws a thin cord with round ends, or a light line of twine where it is thin.
func (s sketch) cord(p draw.Path, width float64) {
	s.tubeIn(p, width, cloth, detail.Width, draw.CapRound)
	if width*s.k() > 1 {
		s.lay(p, width, 1.1)
	}
}

// band draws flat webbing along a line: stripes along its edges.
func (s sketch) band(p draw.Path, width float64, fill draw.Paint) {
	s.open(p, width, fill)
	for _, d := range []float64{-0.32, 0.32} {
		s.ink(hair, shifted(p, d*width))
	}
}

// shifted is the line d beside another.
func shifted(p draw.Path, d float64) draw.Path {
	var q []draw.Point
	n := along(p)
	for _, t := range walk(p, 0, n/math.Max(8, math.Ceil(n/3))) {
		q = append(q, t.beside(d))
	}
	var out draw.Path
	out.Polyline(q, false)
	return out
}

// ring is a round eye about the origin: inner radius r, bar d thick.
func (s sketch) ring(r, d float64) { s.steel(circle(0, 0, r+d/2), d) }
