package web

import (
	"fmt"
	"math"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// partMark is the size of a mark on the picture of the parts, mm, and how near
// two places may be that have marks of their own.
const partMark = 2.6

// beside is how far from the load the hook and what is above an apex is drawn, m.
const beside = 0.4

// partSpot is a place on the rig with the parts that are there.
type partSpot struct {
	at    draw.Point
	parts []*inspect.Part
}

// partPlan is the rig on the ground seen from above, its front to the right,
// with a numbered mark wherever there are parts.
type partPlan struct {
	v         *inspect.Survey
	scene     *inspect.Scene
	low, high [2]float64
	scale     float64 // mm to a m
	spots     []partSpot
}

func (m *partPlan) point(at rig.Vec) draw.Point {
	return draw.Pt((at[0]-m.low[0])*m.scale, (m.high[1]-at[1])*m.scale)
}

// newPartPlan finds the marks, in the order of the list of parts.
func newPartPlan(v *inspect.Survey, width, height float64) *partPlan {
	m := &partPlan{v: v, scene: inspect.SceneOf(v.Rig, nil)}
	m.low, m.high = m.scene.Footprint()
	for i := range v.Parts {
		at := m.ground(&v.Parts[i])
		for k := range 2 {
			m.low[k], m.high[k] = math.Min(m.low[k], at[k]), math.Max(m.high[k], at[k])
		}
	}
	m.scale = math.Min(width/math.Max(m.high[0]-m.low[0], 0.5), height/math.Max(m.high[1]-m.low[1], 0.5))
	for _, g := range partGroups(v) {
		for _, p := range g.parts {
			at := m.ground(p)
			if p.Kind.Each == part.EachRig {
				continue // everywhere
			}
			m.put(m.point(at), p)
		}
	}
	return m
}

// ground is where a part is on the ground. What is above an apex lies or waits
// further to the left than there is paper for: it is drawn close beside the load.
func (m *partPlan) ground(p *inspect.Part) rig.Vec {
	at := m.scene.Ground(p.Place)
	if p.Place.Hook {
		_, high := m.scene.Footprint()
		at[1] = high[1] + beside
	}
	return at
}

func (m *partPlan) put(at draw.Point, p *inspect.Part) {
	for i := range m.spots {
		if m.spots[i].at.Sub(at).Len() < 2*partMark+0.2 {
			m.spots[i].parts = append(m.spots[i].parts, p)
			return
		}
	}
	m.spots = append(m.spots, partSpot{at, []*inspect.Part{p}})
}

// The size at which places are told apart, whatever size the picture is asked
// in: the numbers in the list are those of every picture.
const planWidth, planHeight = 200, 150

// partNumbers are the marks of a rig's parts by id; a part of the rig as a whole
// has none.
func partNumbers(v *inspect.Survey) map[string]int {
	out := map[string]int{}
	for i, s := range newPartPlan(v, planWidth, planHeight).spots {
		for _, p := range s.parts {
			out[p.ID] = i + 1
		}
	}
	return out
}

// partsPicture draws where the parts of a rig are. Size in mm; the marks are
// drawn to the size that numbers stay readable in.
func partsPicture(v *inspect.Survey, width, height float64) *draw.Picture {
	m := newPartPlan(v, planWidth, planHeight)
	const margin = 7.0
	wide, high := (m.high[0]-m.low[0])*m.scale, (m.high[1]-m.low[1])*m.scale
	k := math.Min((width-2*margin)/math.Max(wide, 1), (height-2*margin-6)/math.Max(high, 1))
	p := draw.New(width, 2*margin+6+high*k, "Parts of "+v.Rig.Title(), m.words())
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	shift := draw.Pt((width-wide*k)/2, margin)
	on := func(q draw.Point) draw.Point { return q.Mul(k).Add(shift) }
	for _, b := range v.Rig.Bodies() {
		m.body(&p.List, &b, on)
	}
	for _, l := range v.Rig.Legs() {
		a := m.scene.Ground(inspect.Place{Leg: l.ID})
		b := m.scene.Ground(inspect.Place{Leg: l.ID, Along: 1})
		p.Line(on(m.point(a)), on(m.point(b)), look.Outline)
	}
	for i, s := range m.spots {
		g := p.Group("", m.title(i))
		g.Circle(on(s.at), partMark*math.Min(1, math.Max(k, 0.75)), look.Detail, look.Paper)
		g.Text(on(s.at), fmt.Sprint(i+1), look.Body.WithSize(2.5*math.Min(1, math.Max(k, 0.75))).At(draw.Middle, draw.CapMiddle))
	}
	base := p.Height - 4
	p.Arrow(draw.Pt(4, base), draw.Pt(18, base), draw.ArrowStyle{Stroke: look.Outline, Length: 3, Width: 2})
	text := "front; seen from above, the load’s left is up"
	if v.Rig.Invented() {
		text = "front; seen from above. INVENTED"
	}
	p.Text(draw.Pt(20, base), text, look.Small.WithPaint(look.Ink).At(draw.Start, draw.CapMiddle))
	return p
}

// body draws one body's outline as it stands.
func (m *partPlan) body(l *draw.List, b *rig.Body, on func(draw.Point) draw.Point) {
	size, mid := b.Shape.Extent(), b.Shape.Middle()
	if b.Shape.Kind == rig.NoShape {
		return
	}
	var corners []draw.Point
	for _, c := range [][2]float64{{1, 1}, {-1, 1}, {-1, -1}, {1, -1}} {
		at := m.scene.Ground(inspect.Place{Body: b.ID, At: rig.Vec{mid[0] + c[0]*size[0]/2, mid[1] + c[1]*size[1]/2, 0}})
		corners = append(corners, on(m.point(at)))
	}
	l.Polygon(corners, look.Outline, look.Load)
}

func (m *partPlan) title(i int) string {
	text := fmt.Sprint(i + 1)
	for k, p := range m.spots[i].parts {
		text += map[bool]string{true: ": ", false: "; "}[k == 0] + p.Name
	}
	return text
}

func (m *partPlan) words() string {
	text := ""
	if m.v.Rig.Invented() {
		text = "INVENTED. "
	}
	for i := range m.spots {
		text += m.title(i) + ". "
	}
	return text
}
