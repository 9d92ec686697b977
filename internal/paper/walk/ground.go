package walk

import (
	"math"
	"slices"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/engine/statics"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// ground is the load as it stands, seen from above: front to the right, left
// up.
type ground struct {
	r      *rig.Rig
	scene  *inspect.Scene
	scale  float64    // mm per m
	origin draw.Point // where the ground frame's origin is drawn
}

// groundOf fits an area of the ground, in m, into an area of the paper, the
// middle on the middle.
func groundOf(r *rig.Rig, low, high [2]float64, area draw.Rect) *ground {
	w, h := math.Max(high[0]-low[0], 0.5), math.Max(high[1]-low[1], 0.5)
	g := &ground{r: r, scene: inspect.SceneOf(r, nil), scale: math.Min(area.W/w, area.H/h)}
	c := area.Center()
	g.origin = draw.Pt(c.X-g.scale*(low[0]+high[0])/2, c.Y+g.scale*(low[1]+high[1])/2)
	return g
}

// at is where a place on the ground, m ahead and to the left, is drawn.
func (g *ground) at(ahead, left float64) draw.Point {
	return draw.Pt(g.origin.X+g.scale*ahead, g.origin.Y-g.scale*left)
}

func (g *ground) over(p rig.Vec) draw.Point { return g.at(p[0], p[1]) }

// outline is a body as seen from above: the rectangle that its shape covers, or
// the points of a body without one.
func (g *ground) outline(b *rig.Body) []draw.Point {
	if b.Shape.Kind == rig.NoShape {
		var out []draw.Point
		for _, p := range b.Points {
			out = append(out, g.over(b.OnGround(p.At)))
		}
		return out
	}
	half := statics.Scale(0.5, b.Shape.Extent())
	if b.Shape.Kind == rig.DrumShape && b.Shape.Axis == 2 {
		// An upright drum is round from above.
		out := make([]draw.Point, 36)
		for i := range out {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(len(out)))
			out[i] = g.over(b.OnGround(rig.Vec{half[0] * c, half[1] * s, 0}))
		}
		return out
	}
	var out []draw.Point
	for _, k := range [][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		out = append(out, g.over(b.OnGround(rig.Vec{k[0] * half[0], k[1] * half[1], 0})))
	}
	return out
}

// bodies draws the bodies, each with an arrow at its own front, and their
// points.
func (g *ground) bodies(l *draw.List) {
	bodies := g.r.Bodies()
	for i := range bodies {
		b := &bodies[i]
		group := l.Group("", "body "+b.ID)
		if o := g.outline(b); len(o) > 2 {
			group.Polygon(o, look.Outline, look.Load)
		} else if len(o) == 2 {
			group.Line(o[0], o[1], draw.Stroke{Paint: look.Metal, Width: look.Extra, Cap: draw.CapRound})
		}
		if b.Shape.Kind == rig.NoShape {
			continue
		}
		half := statics.Scale(0.5, b.Shape.Extent())
		if b.Shape.Kind == rig.DrumShape && b.Shape.Axis != 2 {
			// The drum's axis, so that it is not taken for a box.
			var a, c rig.Vec
			a[b.Shape.Axis], c[b.Shape.Axis] = half[b.Shape.Axis], -half[b.Shape.Axis]
			group.Line(g.over(b.OnGround(a)), g.over(b.OnGround(c)), look.Center)
		}
		tip := g.over(b.OnGround(rig.Vec{half[0], 0, 0}))
		back := g.over(b.OnGround(rig.Vec{half[0] - 1, 0, 0}))
		dir, n := tip.Sub(back).Unit(), math.Min(3, g.scale*half[0]*0.6)
		side := dir.Perp().Mul(n * 0.6)
		tip = tip.Sub(dir.Mul(0.8))
		base := tip.Sub(dir.Mul(n))
		group.Polygon([]draw.Point{tip, base.Add(side), base.Sub(side)}, look.Detail, look.Metal)
	}
	for i := range bodies {
		for _, p := range bodies[i].Points {
			l.Circle(g.over(bodies[i].OnGround(p.At)), 0.65, look.Detail, look.Ink)
		}
	}
}

// legs draws the legs as they lie, straight from where they start to their
// points, and the apex fittings.
func (g *ground) legs(l *draw.List) {
	for _, line := range g.legLines() {
		l.Line(line[0], line[1], draw.Stroke{Paint: look.Ink, Width: look.Thin, Cap: draw.CapRound})
	}
	for _, a := range g.r.Apexes() {
		at := g.over(g.scene.Apex(a.ID))
		if a.Pendant != nil {
			far := g.over(g.scene.Ground(inspect.Place{Apex: a.ID, Hook: true}))
			l.Line(at, far, draw.Stroke{Paint: look.Faint, Width: look.Heavy, Dash: []float64{3, 0.8}})
			l.Circle(far, 1, look.Outline, look.Paper)
		}
		group := l.Group("", "apex "+a.ID+" as it lies")
		group.Circle(at, 1.7, look.Outline, look.Paper)
		group.Line(at.Add(draw.Pt(-1.7, 0)), at.Add(draw.Pt(1.7, 0)), look.Outline)
		group.Line(at.Add(draw.Pt(0, -1.7)), at.Add(draw.Pt(0, 1.7)), look.Outline)
	}
}

func (g *ground) legLines() [][2]draw.Point {
	var out [][2]draw.Point
	for _, leg := range g.r.Legs() {
		from := g.over(g.scene.Ground(inspect.Place{Leg: leg.ID, Along: 0}))
		for _, to := range leg.To {
			if at, ok := g.point(to); ok {
				out = append(out, [2]draw.Point{from, at})
			}
		}
	}
	return out
}

func (g *ground) point(ref rig.Ref) (draw.Point, bool) {
	for _, b := range g.r.Bodies() {
		if b.ID != ref.ID {
			continue
		}
		if p, ok := b.PointAt(ref.Point); ok {
			return g.over(b.OnGround(p.At)), true
		}
	}
	return draw.Point{}, false
}

// names labels bodies, points and apexes, clear of what place avoids.
func (g *ground) names(place *draw.Labels) []draw.Placed {
	small := look.OnDrawing.WithSize(look.SizeSmall)
	var labels []draw.Label
	for _, a := range g.r.Apexes() {
		text := "apex, as it lies"
		if len(g.r.Apexes()) > 1 {
			text = a.ID + ", as it lies"
		}
		labels = append(labels, draw.Label{Lines: []string{spelling.Short(text, 40)}, Style: small, Anchor: g.over(g.scene.Apex(a.ID)), Prefer: draw.Pt(0, 1), Clear: 2.6, Wide: true})
		if a.Pendant != nil {
			far := g.over(g.scene.Ground(inspect.Place{Apex: a.ID, Hook: true}))
			labels = append(labels, draw.Label{Lines: []string{"pendant, laid out to the left"}, Style: small, Anchor: far, Clear: 1.8, Wide: true})
		}
	}
	bodies := g.r.Bodies()
	for i := range bodies {
		b := &bodies[i]
		c := draw.Around(g.outline(b)...).Center()
		labels = append(labels, draw.Label{Lines: []string{spelling.Short(b.ID, 24)}, Style: look.OnDrawing.AsBold(), Anchor: c, Over: []draw.Point{c, c.Add(draw.Pt(0, 4)), c.Sub(draw.Pt(0, 4)), c.Add(draw.Pt(-8, 3)), c.Add(draw.Pt(8, 3)), c.Add(draw.Pt(-8, -3)), c.Add(draw.Pt(8, -3))}, Prefer: draw.Pt(0, 1), Clear: 1})
		for _, p := range b.Points {
			at := g.over(b.OnGround(p.At))
			out := at.Sub(c)
			labels = append(labels, draw.Label{Lines: []string{spelling.Short(p.ID, 24)}, Style: small, Anchor: at, Prefer: out, Clear: 1.3, Wide: true})
		}
	}
	return free(place.Place(labels))
}

// free leaves out the labels for which there is no room.
func free(placed []draw.Placed) []draw.Placed {
	return slices.DeleteFunc(placed, func(p draw.Placed) bool { return p.Clash })
}

// avoid keeps labels off what is drawn of the load.
func (g *ground) avoid(place *draw.Labels) {
	bodies := g.r.Bodies()
	for i := range bodies {
		o := g.outline(&bodies[i])
		if len(o) > 1 {
			place.AvoidPolyline(append(o, o[0])...)
		}
		for _, p := range bodies[i].Points {
			at := g.over(bodies[i].OnGround(p.At))
			place.Avoid(draw.Rect{X: at.X - 0.7, Y: at.Y - 0.7, W: 1.4, H: 1.4})
		}
	}
	for _, a := range g.r.Apexes() {
		at := g.over(g.scene.Apex(a.ID))
		place.Avoid(draw.Rect{X: at.X - 1.9, Y: at.Y - 1.9, W: 3.8, H: 3.8})
	}
	for _, line := range g.legLines() {
		place.AvoidLine(line[0], line[1])
	}
}

// reach is the rectangle on the ground, m, that holds the load, its lane and
// what lies beside it.
func reach(v *inspect.Survey) (low, high [2]float64) {
	scene := inspect.SceneOf(v.Rig, nil)
	low, high = scene.Footprint()
	for k := range 2 {
		low[k] -= lane
		high[k] += lane
	}
	for i := range v.Parts {
		at := scene.Ground(v.Parts[i].Place)
		for k := range 2 {
			low[k], high[k] = math.Min(low[k], at[k]), math.Max(high[k], at[k])
		}
	}
	return low, high
}

// scaleBar draws a bar of a round length with its right end at a corner.
func (g *ground) scaleBar(l *draw.List, right, bottom float64) draw.Rect {
	unit, name := 1.0, "m"
	if g.r.Show() == quantity.US {
		unit, name = quantity.Foot, "ft"
	}
	n := niceBelow(28 / (g.scale * unit))
	w := n * unit * g.scale
	x, y := right-w, bottom-1
	l.Line(draw.Pt(x, y), draw.Pt(x+w, y), draw.Stroke{Paint: look.Ink, Width: look.Heavy})
	for _, t := range []float64{0, 0.5, 1} {
		l.Line(draw.Pt(x+t*w, y-1.2), draw.Pt(x+t*w, y+0.2), look.Detail)
	}
	l.Text(draw.Pt(x+w, y-2), quantity.FormatNumber(n)+" "+name, look.Body.At(draw.End, draw.Baseline))
	l.Text(draw.Pt(x, y-2), "0", look.Body.At(draw.Start, draw.Baseline))
	return draw.Rect{X: x - 2, Y: y - 5, W: w + 4, H: 6}
}

// niceBelow returns the largest of 1, 2, 5 times a power of ten up to x.
func niceBelow(x float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(x)))
	for _, k := range []float64{5, 2} {
		if k*p <= x {
			return k * p
		}
	}
	return p
}

// front draws the arrow that says which way the load's front is, with its tail
// at a place.
func front(l *draw.List, at draw.Point) draw.Rect {
	style := look.Strong.At(draw.Start, draw.CapMiddle)
	w := style.Width("FRONT")
	l.Text(at, "FRONT", style)
	l.Arrow(at.Add(draw.Pt(w+1, 0)), at.Add(draw.Pt(w+10, 0)), draw.ArrowStyle{Stroke: look.Ground, Length: 3.5, Width: 2.4})
	return draw.Rect{X: at.X - 1, Y: at.Y - 2.5, W: w + 12, H: 5}
}

// headline writes a picture's title, cut to one line, and the mark of invented
// data, and returns the height used.
func headline(l *draw.List, r *rig.Rig, title string, area draw.Rect) float64 {
	room := area.W
	if r.Invented() {
		l.Text(draw.Pt(area.X+area.W, area.Y), "INVENTED", look.Strong.At(draw.End, draw.CapTop))
		room -= look.Strong.Width("INVENTED") + look.Wide
	}
	l.Text(draw.Pt(area.X, area.Y), draw.OneLine(title, room, look.Strong), look.Strong.At(draw.Start, draw.CapTop))
	return 4.5
}
