package placard

import (
	"math"

	"hangtrue/internal/engine/brief"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// TracePicture is the trace alone, for a screen.
func TracePicture(b *brief.Brief, width, height float64) *draw.Picture {
	p := draw.New(width, height, "Which leg goes where: "+b.Title, "The load from above, its front at the top, each leg from the apex to its points.")
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	Trace(&p.List, b, p.Frame().Inset(1))
	return p
}

// Trace draws which leg goes where: the load from above as it stands, its front
// at the top and so its left at the left, with each leg from its apex to its
// points. It has no scale and no measure.
func Trace(l *draw.List, b *brief.Brief, area draw.Rect) {
	t := newTrace(b.Rig)
	size := math.Min(5.2, math.Max(3, area.W/18))
	name := style(size, true)
	head := 2.2 * size
	l.Text(draw.Pt(area.X+area.W/2, area.Y+size*0.75), "FRONT", style(size*0.85, true).At(draw.Middle, draw.CapMiddle))
	l.Polygon([]draw.Point{
		draw.Pt(area.X+area.W/2, area.Y+size*1.35), draw.Pt(area.X+area.W/2-size*0.5, area.Y+head), draw.Pt(area.X+area.W/2+size*0.5, area.Y+head),
	}, draw.Stroke{}, look.Ink)
	widest := 0.0
	for _, c := range b.Counts {
		widest = math.Max(widest, name.Width(c.Leg))
	}
	pad := math.Min(widest+2, area.W*0.3)
	box := draw.Rect{X: area.X + pad, Y: area.Y + head + size*1.6, W: area.W - 2*pad, H: area.H - head - size*3.4}
	at := t.fit(box)
	for _, outline := range t.bodies {
		var pts []draw.Point
		for _, p := range outline {
			pts = append(pts, at(p))
		}
		l.Polygon(pts, draw.Stroke{Paint: look.Ink, Width: 0.35}, look.Shade)
	}
	middle := at(t.middle)
	labels := labelled{area: area, middle: middle}
	for _, leg := range t.legs {
		from := at(leg.from)
		for i, p := range leg.to {
			to := at(p)
			if i == 0 {
				l.Line(from, to, draw.Stroke{Paint: look.Ink, Width: 0.7, Cap: draw.CapRound})
			} else {
				l.Line(at(leg.to[i-1]), to, draw.Stroke{Paint: look.Ink, Width: 0.5, Dash: []float64{1.2, 0.8}})
			}
			l.Circle(to, 1.1, draw.Stroke{}, look.Ink)
		}
		labels.dots = append(labels.dots, at(leg.to[0]))
	}
	for _, a := range t.apexes {
		l.Circle(at(a), 1.7, draw.Stroke{Paint: look.Ink, Width: 0.8}, look.Paper)
	}
	for i, leg := range t.legs {
		labels.put(l, labels.dots[i], leg.id, name)
	}
}

// trace is the load in plan, m: x to the right of the page, y up it.
type trace struct {
	bodies [][]draw.Point
	legs   []tracedLeg
	apexes []draw.Point
	middle draw.Point
}

type tracedLeg struct {
	id   string
	from draw.Point
	to   []draw.Point
}

// plan turns a place on the ground into the page's directions: the front is up.
func plan(v rig.Vec) draw.Point { return draw.Pt(-v[1], -v[0]) }

func newTrace(r *rig.Rig) *trace {
	t := &trace{}
	bodies := r.Bodies()
	index := map[string]*rig.Body{}
	var sum draw.Point
	mass := 0.0
	for i := range bodies {
		b := &bodies[i]
		index[b.ID] = b
		c := plan(b.OnGround(b.Centre()))
		sum, mass = sum.Add(c.Mul(b.TotalMass())), mass+b.TotalMass()
		if e := b.Shape.Extent(); e != (rig.Vec{}) {
			var outline []draw.Point
			for _, s := range [][2]float64{{1, 1}, {1, -1}, {-1, -1}, {-1, 1}} {
				outline = append(outline, plan(b.OnGround(rig.Vec{s[0] * e[0] / 2, s[1] * e[1] / 2, 0})))
			}
			t.bodies = append(t.bodies, outline)
		}
	}
	t.middle = sum.Mul(1 / mass)
	apexes := map[string]draw.Point{}
	var mean draw.Point
	for _, a := range r.Apexes() {
		mean = mean.Add(plan(a.At).Mul(1 / float64(len(r.Apexes()))))
	}
	for _, a := range r.Apexes() {
		apexes[a.ID] = t.middle.Add(plan(a.At)).Sub(mean)
		t.apexes = append(t.apexes, apexes[a.ID])
	}
	place := func(ref rig.Ref) draw.Point {
		if ref.Point == "" {
			return apexes[ref.ID]
		}
		b := index[ref.ID]
		p, _ := b.PointAt(ref.Point)
		return plan(b.OnGround(p.At))
	}
	for _, leg := range r.Legs() {
		x := tracedLeg{id: leg.ID, from: t.apexes[0]}
		if leg.From != nil {
			x.from = place(*leg.From)
		}
		for _, ref := range leg.To {
			x.to = append(x.to, place(ref))
		}
		t.legs = append(t.legs, x)
	}
	return t
}

// fit places everything in a box, keeping proportions.
func (t *trace) fit(box draw.Rect) func(draw.Point) draw.Point {
	var all []draw.Point
	for _, b := range t.bodies {
		all = append(all, b...)
	}
	for _, leg := range t.legs {
		all = append(all, leg.from)
		all = append(all, leg.to...)
	}
	all = append(all, t.apexes...)
	around := draw.Around(all...)
	k := math.Min(box.W/math.Max(around.W, 0.2), box.H/math.Max(around.H, 0.2))
	return func(p draw.Point) draw.Point { return box.Center().Add(p.Sub(around.Center()).Mul(k)) }
}

// labelled places names beside dots so that they lie neither on each other nor
// on a dot.
type labelled struct {
	area   draw.Rect
	middle draw.Point
	dots   []draw.Point
	taken  []draw.Rect
}

func (n *labelled) put(l *draw.List, dot draw.Point, text string, st draw.TextStyle) {
	w, h := st.Width(text), st.Size
	away := dot.Sub(n.middle)
	if away.Len() < 1e-9 {
		away = draw.Pt(1, -1)
	}
	best, cost := draw.Rect{}, math.Inf(1)
	for _, far := range []float64{1.8, 4, 7, 11} {
		for turn := -180.0; turn < 180; turn += 15 {
			d := draw.Polar(1, away.Angle()+turn)
			// The label's nearest edge stands that far from the dot.
			c := dot.Add(d.Mul(far)).Add(draw.Pt(d.X*w/2, d.Y*h/2))
			r := draw.Rect{X: c.X - w/2, Y: c.Y - h/2, W: w, H: h}
			x := far*2 + math.Abs(turn)/30
			if !n.area.Holds(r) {
				x += 400
			}
			for _, o := range n.taken {
				if r.Inset(-0.4).Overlaps(o) {
					x += 200
				}
			}
			for _, p := range n.dots {
				if r.Inset(-1.2).Contains(p) {
					x += 60
				}
			}
			if x < cost {
				best, cost = r, x
			}
		}
	}
	n.taken = append(n.taken, best)
	l.Text(best.Center(), text, st.WithHalo(look.Paper).At(draw.Middle, draw.CapMiddle))
}
