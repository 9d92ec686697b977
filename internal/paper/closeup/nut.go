package closeup

import "hangtrue/internal/paper/draw"

// boltHead draws a hexagon head or plain nut seen from the side, its axis along x,
// centred: length l along the axis, w across.
func (s sketch) boltHead(l, w float64) {
	s.put(metal, outline, soft(l*0.18, -l/2, -w/2, l/2, -w/2, l/2, w/2, -l/2, w/2))
	s.put(bright, noPen, box(0, -w*0.02, l*0.8, w*0.34))
	s.ink(detail, line(-l/2, -w*0.24, l/2, -w*0.24), line(-l/2, w*0.24, l/2, w*0.24))
}

// castellated draws a castellated nut from the side, its axis along x: the plain
// hexagon on the left, the crown with its slots on the right.
func (s sketch) castellated(l, w float64) {
	crown := l * 0.42
	body := l - crown
	s.put(metal, outline, soft(l*0.1, -l/2, -w/2, -l/2+body, -w/2, -l/2+body, w/2, -l/2, w/2))
	s.put(bright, noPen, box(-l/2+body/2, 0, body*0.8, w*0.34))
	s.ink(detail, line(-l/2, -w*0.25, -l/2+body, -w*0.25), line(-l/2, w*0.25, -l/2+body, w*0.25))
	// The crown is round and a little narrower; three slots show.
	cw := w * 0.86
	s.put(metal, outline, box(-l/2+body+crown/2, 0, crown, cw))
	for _, y := range []float64{-0.33, 0, 0.33} {
		h := cw * 0.14
		if y != 0 {
			h = cw * 0.1
		}
		s.put(ink, noPen, box(-l/2+body+crown*0.55, y*cw, crown*0.92, h))
	}
}

// thread draws the thread of a bolt along x from x0 to x1, w across.
func (s sketch) thread(x0, x1, w float64) {
	s.put(bright, outline, box((x0+x1)/2, 0, x1-x0, w))
	var out draw.Path
	for x := x0 + w*0.1; x < x1-w*0.05; x += w * 0.11 {
		out.MoveTo(draw.Pt(x, -w/2))
		out.LineTo(draw.Pt(x+w*0.05, w/2))
	}
	s.ink(hair, out)
}

// cotter draws a cotter pin about the origin that passes along y through what
// lies there: its eye above, its two legs bent apart beneath. reach is half of
// the width that it passes through.
func (s sketch) cotter(reach, d float64) {
	s.wire(line(0, -reach-d, 0, -reach+d*1.2), d*1.5)
	s.wire(circle(0, -reach-d*2.6, d*1.7), d)
	s.wire(smooth(-d*0.2, reach-d, -d*0.4, reach+d*0.8, -d*2.2, reach+d*2, -d*4.8, reach+d*2.2), d)
	s.wire(smooth(d*0.2, reach-d, d*0.4, reach+d*0.8, d*2.2, reach+d*2, d*4.8, reach+d*2.2), d)
}

// wire is bent wire: a thin tube in a lighter pen.
func (s sketch) wire(p draw.Path, d float64) { s.tubeIn(p, d, bright, edge.Width, draw.CapRound) }

// hole is a round hole: dark within.
func (s sketch) hole(x, y, r float64) { s.put(dark, edge, circle(x, y, r)) }

// screw is the head of a screw or rivet seen from above.
func (s sketch) screw(x, y, r float64) {
	s.put(bright, edge, circle(x, y, r))
	s.ink(detail, line(x-r*0.6, y-r*0.35, x+r*0.6, y+r*0.35))
}
