package closeup

import "hangtrue/internal/paper/draw"

// Scenes show a whole load from one side and a little from above: lengths along
// the front are true, depth runs to the upper right and is drawn shorter.

// deep is where a place in space lies in the picture: x to the right, y away
// from the viewer, z up.
func deep(x, y, z float64) draw.Point { return draw.Pt(x+0.5*y, -z-0.32*y) }

func deepPath(closed bool, xyz ...float64) draw.Path {
	var q []draw.Point
	for i := 0; i+2 < len(xyz); i += 3 {
		q = append(q, deep(xyz[i], xyz[i+1], xyz[i+2]))
	}
	var p draw.Path
	p.Polyline(q, closed)
	return p
}

// prism is a block that stands with its near lower left corner at a place.
func (s sketch) prism(x, y, z, w, d, h float64, fill draw.Paint) {
	s.put(fill, outline, deepPath(true, x, y, z, x+w, y, z, x+w, y, z+h, x, y, z+h))
	s.put(paper, outline, deepPath(true, x, y, z+h, x+w, y, z+h, x+w, y+d, z+h, x, y+d, z+h))
	s.put(dull, outline, deepPath(true, x+w, y, z, x+w, y+d, z, x+w, y+d, z+h, x+w, y, z+h))
}

// crate is a wooden or metal case on two skids, its near lower left corner at a
// place: boards across its front.
func (s sketch) crate(x, y, z, w, d, h float64) {
	skid := h * 0.09
	for _, at := range []float64{0.08, 0.8} {
		s.prism(x+w*at, y, z, w*0.12, d, skid, dull)
	}
	s.prism(x, y, z+skid, w, d, h-skid, bright)
	for i := 1; i < 4; i++ {
		zz := z + skid + (h-skid)*float64(i)/4
		s.ink(hair, deepPath(false, x, y, zz, x+w, y, zz, x+w, y+d, zz))
	}
	b := w * 0.07
	for _, at := range []float64{0, w - b} {
		s.put(bright, edge, deepPath(true, x+at, y, z+skid, x+at+b, y, z+skid, x+at+b, y, z+h, x+at, y, z+h))
	}
}

// ground is the line on which a scene stands.
func (s sketch) ground(y, w float64) {
	s.ink(outline, line(-w/2, y, w/2, y))
	var p draw.Path
	step := w / 22
	for x := -w/2 + step/2; x < w/2; x += step {
		p.MoveTo(draw.Pt(x, y))
		p.LineTo(draw.Pt(x-step*0.4, y+step*0.4))
	}
	s.ink(hair, p)
}

// eyeRing is a small lifting eye on a load, its foot at a place in space.
func (s sketch) eyeRing(x, y, z, r float64) {
	p := deep(x, y, z)
	s.at(p.X, p.Y-r).tube(circle(0, 0, r), r*0.5, metal)
}

// strand is a rope or leg in a scene.
func (s sketch) strand(width float64, fill draw.Paint, q ...draw.Point) {
	s.tubeIn(through(q, false), width, fill, edge.Width, draw.CapRound)
}
