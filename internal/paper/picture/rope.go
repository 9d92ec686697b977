package picture

import (
	"cmp"
	"math"
	"slices"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/statics"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// rope is one straight piece of a leg in the hook frame.
type rope struct {
	leg   int
	from  rig.Vec
	to    rig.Vec
	chain bool // from the grab hook down
	main  bool // the piece that carries the leg's label
	grab  bool // ends at the grab hook
}

// hang collects the legs and hooks.
func (s *scene) hang() {
	legs := s.r.Legs()
	for i := range s.a.Legs {
		x := &s.a.Legs[i]
		l := &legs[i]
		if x.Length == 0 {
			continue
		}
		switch {
		case len(x.Path) > 0:
			s.ropes = append(s.ropes, rope{leg: i, from: x.From, to: x.To, main: true, grab: true})
			for k := 1; k < len(x.Path); k++ {
				s.ropes = append(s.ropes, rope{leg: i, from: x.Path[k-1], to: x.Path[k], chain: true})
			}
		case l.Chain != nil:
			// the grab hook, as far down the leg as the rope and fittings reach
			upper := l.Fittings
			if l.Rope != nil {
				upper += l.Rope.Length
			}
			t := math.Max(0, math.Min(1, upper/x.Unstretched))
			grab := statics.Add(x.From, statics.Scale(t, statics.Sub(x.To, x.From)))
			s.ropes = append(s.ropes, rope{leg: i, from: x.From, to: grab, main: true, grab: true}, rope{leg: i, from: grab, to: x.To, chain: true})
		default:
			s.ropes = append(s.ropes, rope{leg: i, from: x.From, to: x.To, main: true})
		}
	}
	size := s.size()
	for _, ap := range s.a.Apexes {
		h := hook{id: ap.ID, at: ap.Hook, apex: ap.Position}
		d := statics.Sub(h.at, h.apex)
		if n := statics.Norm(d); n > 0.5*size {
			h.cut = n
			h.at = statics.Add(h.apex, statics.Scale(0.25*size/n, d))
		}
		s.hooks = append(s.hooks, h)
	}
}

// drawOrder lists the ropes so that of legs that fall together in a view the one
// nearest to its rating lies on top.
func (s *scene) drawOrder() []int {
	order := make([]int, len(s.ropes))
	for i := range order {
		order[i] = i
	}
	weight := func(i int) float64 { return s.stroke(s.ropes[i].leg).Width }
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(weight(a), weight(b)) })
	return order
}

// stroke is the line of a leg by its share of rating.
func (s *scene) stroke(leg int) draw.Stroke {
	x := &s.a.Legs[leg]
	use := x.Use
	if math.IsNaN(use) {
		use = -1
	}
	stroke := look.BandOf(use, x.Slack).Leg()
	if s.o.Small {
		stroke.Width *= 0.6
	}
	return stroke
}

// rope draws one piece of a leg, dashed where a body hides it.
func (s *scene) rope(l *draw.List, f *frame, r *rope) {
	x := &s.a.Legs[r.leg]
	stroke := s.stroke(r.leg)
	g := l.Group("", "leg "+x.ID+": "+share(x))
	const pieces = 80
	d := statics.Sub(r.to, r.from)
	start := 0
	hidden := func(k int) bool {
		return s.hidden(statics.Add(r.from, statics.Scale((float64(k)+0.5)/pieces, d)))
	}
	was := hidden(0)
	for k := 1; k <= pieces; k++ {
		if k < pieces && hidden(k) == was {
			continue
		}
		a := f.at(statics.Add(r.from, statics.Scale(float64(start)/pieces, d)))
		b := f.at(statics.Add(r.from, statics.Scale(float64(k)/pieces, d)))
		if was {
			g.Line(a, b, look.Hidden)
		} else {
			g.Line(a, b, stroke)
			if r.chain && !s.o.Small {
				links(g, a, b, stroke)
			}
		}
		start, was = k, !was
	}
}

// links marks a chain with ovals along its line, so that it is told from rope;
// they are signs, not the links to count.
func links(g *draw.Group, a, b draw.Point, stroke draw.Stroke) {
	const pitch = 2.5
	d := b.Sub(a)
	n := math.Floor((d.Len() - 1) / pitch)
	thin := draw.Stroke{Paint: stroke.Paint, Width: look.Thin}
	for k := range int(math.Max(0, n)) {
		t := ((float64(k)+0.5)*pitch + (d.Len()-n*pitch)/2) / d.Len()
		g.Ellipse(a.Lerp(b, t), 0.85, 0.42+stroke.Width/2, d.Angle(), thin, look.Paper)
	}
}

// chainLength is how long the chain after a rope is drawn, mm.
func (s *scene) chainLength(f *frame, i int) float64 {
	n := 0.0
	for k := i + 1; k < len(s.ropes) && s.ropes[k].chain && s.ropes[k].leg == s.ropes[i].leg; k++ {
		n = math.Max(n, f.at(s.ropes[k].to).Sub(f.at(s.ropes[k].from)).Len())
	}
	return n
}

// grabs draws the grab hooks, a small plate where the rope ends and the chain
// begins.
func (s *scene) grabs(l *draw.List, f *frame) {
	if s.o.Small {
		return
	}
	for i := range s.ropes {
		r := &s.ropes[i]
		if !r.grab || s.hidden(r.to) || s.chainLength(f, i) < 3.5 {
			continue
		}
		u := f.at(r.to).Sub(f.at(r.from)).Unit()
		n := u.Perp().Mul(0.55 + s.stroke(r.leg).Width/2)
		c := f.at(r.to)
		l.Polygon([]draw.Point{c.Sub(u).Sub(n), c.Add(u).Sub(n), c.Add(u).Add(n), c.Sub(u).Add(n)}, look.Detail, look.Metal)
	}
}
