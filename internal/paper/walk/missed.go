package walk

import (
	"fmt"
	"math"
	"slices"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// MissedPart is how often what was planted on a part was missed.
type MissedPart struct {
	Part       string // id
	Missed, Of int
	Few        bool   // too few to compare: only counted, and drawn hollow
	Words      string // the share as a person reads it
}

// missedRadius is the size of a part's ring in a map of misses, mm.
const missedRadius = 3.6

// missedSpot is one or more parts that share a ring.
type missedSpot struct {
	at         draw.Point
	number     int
	missed, of int
	few        bool
	names      []string
	words      []string
}

// Missed draws a load as it stands, seen from above, with a ring on every part
// on which something was planted: its dark sector is the share that was missed,
// the whole ring being all of it. Where there are too few results the ring is
// broken and empty. Beside it stands the list in the
// order given. Parts that stand together share a ring. Size in mm; it takes 150
// by 90 or more.
func Missed(v *inspect.Survey, title string, missed []MissedPart, width, height float64) *draw.Picture {
	desc := ""
	if v.Rig.Invented() {
		desc = "INVENTED. "
	}
	for _, m := range missed {
		desc += m.Part + ": " + m.Words + ". "
	}
	p := draw.New(width, height, title, spelling.Short(desc, 4000))
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	area := p.Frame().Inset(3)
	y := headline(&p.List, v.Rig, title, area)
	list := area.W * 0.42
	low, high := missedReach(v, missed)
	plan := draw.Rect{X: area.X, Y: area.Y + y, W: area.W - list - 3, H: area.H - y}
	m := &missedMap{
		v: v, area: plan,
		g: groundOf(v.Rig, low, high, draw.Rect{X: plan.X + 6, Y: plan.Y + 6, W: plan.W - 12, H: plan.H - 28}),
	}
	for _, x := range missed {
		if q, ok := v.Part(x.Part); ok {
			at := m.g.over(m.g.scene.Ground(q.Place))
			if q.Kind.Each == part.EachRig {
				at = draw.Pt(plan.X+5, plan.Y+5) // the place around the load
			}
			m.put(at, q.Name, x)
		}
	}
	m.draw(&p.List)
	m.list(&p.List, draw.Rect{X: area.X + area.W - list, Y: area.Y + y, W: list, H: area.H - y})
	return p
}

// missedReach is the ground that the load and the parts named take up, in m.
func missedReach(v *inspect.Survey, missed []MissedPart) (low, high [2]float64) {
	scene := inspect.SceneOf(v.Rig, nil)
	low, high = scene.Footprint()
	for _, x := range missed {
		p, ok := v.Part(x.Part)
		if !ok || p.Kind.Each == part.EachRig {
			continue
		}
		at := scene.Ground(p.Place)
		for k := range 2 {
			low[k], high[k] = min(low[k], at[k]), max(high[k], at[k])
		}
	}
	for k := range 2 {
		low[k], high[k] = low[k]-.15, high[k]+.15
	}
	return low, high
}

type missedMap struct {
	v     *inspect.Survey
	g     *ground
	area  draw.Rect
	spots []missedSpot
}

func (m *missedMap) put(at draw.Point, name string, x MissedPart) {
	i := slices.IndexFunc(m.spots, func(s missedSpot) bool { return s.at.Sub(at).Len() < 2*missedRadius+0.3 })
	if i < 0 {
		i = len(m.spots)
		m.spots = append(m.spots, missedSpot{at: at, number: i + 1, few: true})
	}
	s := &m.spots[i]
	s.missed, s.of = s.missed+x.Missed, s.of+x.Of
	s.few = s.few && x.Few
	s.names, s.words = append(s.names, name), append(s.words, x.Words)
}

func (m *missedMap) draw(l *draw.List) {
	l.Rect(m.area, look.GridLine, draw.Paint{})
	m.g.bodies(l)
	m.g.legs(l)
	place := &draw.Labels{Bounds: m.area.Inset(1), Gap: 0.3}
	place.Avoid(m.legend(l))
	place.Avoid(m.g.scaleBar(l, m.area.X+m.area.W-3, m.area.Y+m.area.H-14))
	place.Avoid(front(l, draw.Pt(m.area.X+3, m.area.Y+m.area.H-16)))
	for i := range m.spots {
		s := &m.spots[i]
		g := l.Group("", fmt.Sprintf("%d: %d of %d missed", s.number, s.missed, s.of))
		missedRing(g, s.at, missedRadius, float64(s.missed)/float64(max(1, s.of)), s.few)
		place.Avoid(draw.Rect{X: s.at.X - missedRadius, Y: s.at.Y - missedRadius, W: 2 * missedRadius, H: 2 * missedRadius})
	}
	var labels []draw.Label
	for _, s := range m.spots {
		labels = append(labels, draw.Label{Lines: []string{fmt.Sprint(s.number)}, Style: look.OnDrawing.AsBold(), Anchor: s.at, Prefer: draw.Pt(1, -1), Clear: missedRadius + 0.4})
	}
	placed := place.Place(labels)
	for _, p := range placed {
		place.Avoid(p.Box)
	}
	l.Labels(placed, look.Leader)
	m.g.avoid(place)
	l.Labels(m.g.names(place), look.Leader)
}

// missedRing is the sign: the dark sector of the ring is the share missed.
func missedRing(g *draw.Group, at draw.Point, radius, share float64, few bool) {
	edge := look.Outline
	if few {
		edge = edge.WithDash(0.9, 0.9)
	}
	g.Circle(at, radius, edge, look.Paper)
	switch {
	case few || share <= 0:
	case share >= 1:
		g.Circle(at, radius, edge, look.Ink)
	default:
		// A sector, clockwise from the top.
		slice := draw.Path{Fill: look.Ink}
		slice.MoveTo(at)
		slice.LineTo(at.Add(draw.Pt(0, -radius)))
		for i := 1; i <= 36; i++ {
			s, c := math.Sincos(2 * math.Pi * share * float64(i) / 36)
			slice.LineTo(at.Add(draw.Pt(radius*s, -radius*c)))
		}
		slice.Close()
		g.Add(slice)
	}
}

func (m *missedMap) legend(l *draw.List) draw.Rect {
	style := look.Small.WithPaint(look.Ink).At(draw.Start, draw.CapMiddle)
	x, y := m.area.X+5, m.area.Y+m.area.H-9
	g := l.Group("", "legend")
	missedRing(g, draw.Pt(x, y), 2.4, .5, false)
	g.Text(draw.Pt(x+4, y), draw.OneLine("half was missed", m.area.W-12, style), style)
	y += 5.4
	missedRing(g, draw.Pt(x, y), 2.4, 0, true)
	g.Text(draw.Pt(x+4, y), draw.OneLine("too few results to compare", m.area.W-12, style), style)
	return draw.Rect{X: m.area.X, Y: m.area.Y + m.area.H - 12.5, W: m.area.W, H: 12.5}
}

func (m *missedMap) list(l *draw.List, area draw.Rect) {
	y := area.Y
	y += l.TextBox(draw.Pt(area.X, y), area.W, "Found, of what was planted there", look.Strong) + 1
	style := look.Body.WithSize(look.SizeSmall)
	for i := range m.spots {
		s := &m.spots[i]
		var lines []string
		for k, name := range s.names {
			lines = append(lines, name+": "+s.words[k])
		}
		h := 0.0
		for _, text := range lines {
			h += draw.TextHeight(text, area.W-7, style)
		}
		if y+h > area.Y+area.H-4 {
			l.TextBox(draw.Pt(area.X, y), area.W, fmt.Sprintf("and %d more places on the map", len(m.spots)-i), style)
			return
		}
		l.Text(draw.Pt(area.X, y+0.4), fmt.Sprint(s.number), look.Strong.At(draw.Start, draw.CapTop))
		for _, text := range lines {
			y += l.TextBox(draw.Pt(area.X+7, y), area.W-7, text, style)
		}
		y += 0.8
	}
}
