package walk

import (
	"fmt"
	"math"
	"strings"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// lane is how far from the load's outline the way round it runs, m; stations
// beside the load stand on it.
const lane = 0.8

// discRadius is the size of a station's number, mm.
const discRadius = 2.5

// pace is the line of the walk.
var pace = draw.Stroke{Paint: look.Accent, Width: look.Regular, Cap: draw.CapRound, Join: draw.JoinRound}

// Map draws the walk of a sequence: the load as it stands seen from above, and
// the stations in the order of the walk, numbered, with the way from one to the
// next. Beneath stands what each number is. A station at the parked aircraft is
// drawn at the edge, on a broken line: it is far from the load. Size in mm; it
// takes 90 by 90 or more.
func Map(v *inspect.Survey, q *inspect.Sequence, width, height float64) *draw.Picture {
	stations := v.Stations(q)
	p := draw.New(width, height, "Map of the walk: "+v.Rig.Title(), mapWords(v, q, stations))
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	drawMap(&p.List, v, q, stations, p.Frame().Inset(3))
	return p
}

func mapWords(v *inspect.Survey, q *inspect.Sequence, stations []inspect.Station) string {
	text := ""
	if v.Rig.Invented() {
		text = "INVENTED. "
	}
	for _, s := range stations {
		text += fmt.Sprintf("%d: %s: %s. ", s.Number, s.Text, checkpointIDs(q, &s))
	}
	return text + inspect.BeforeTheWalk
}

func checkpointIDs(q *inspect.Sequence, s *inspect.Station) string {
	var ids []string
	for _, i := range s.Checkpoints {
		ids = append(ids, q.Checkpoints[i].ID)
	}
	if n := len(ids); n > 3 {
		return ids[0] + " to " + ids[n-1]
	}
	return strings.Join(ids, ", ")
}

// away reports whether a station is at the parked aircraft.
func away(q *inspect.Sequence, s *inspect.Station) bool {
	return q.Checkpoints[s.Checkpoints[0]].Stand == inspect.StandAircraft && q.Checkpoints[s.Checkpoints[0]].At == nil
}

// drawMap draws the map into an area.
func drawMap(l *draw.List, v *inspect.Survey, q *inspect.Sequence, stations []inspect.Station, area draw.Rect) {
	y := headline(l, v.Rig, "Map of the walk: "+v.Rig.Title(), area)
	below := stationKey(l, q, stations, area)
	sheet := draw.Rect{X: area.X, Y: area.Y + y, W: area.W, H: area.H - y - below}
	l.Rect(sheet, look.GridLine, draw.Paint{})

	scene := inspect.SceneOf(v.Rig, nil)
	low, high := scene.Footprint()
	far := false
	var lo, hi [2]float64
	for k := range 2 {
		lo[k], hi[k] = low[k]-lane, high[k]+lane
	}
	for _, s := range stations {
		if away(q, &s) {
			far = true
			continue
		}
		for k := range 2 {
			lo[k], hi[k] = math.Min(lo[k], s.At[k]), math.Max(hi[k], s.At[k])
		}
	}
	inner := draw.Rect{X: sheet.X + 9, Y: sheet.Y + 9, W: sheet.W - 18, H: sheet.H - 22}
	if far {
		inner.Y += 12
		inner.H -= 12
	}
	g := groundOf(v.Rig, lo, hi, inner)
	m := &walkMap{g: g, low: low, high: high, sheet: sheet}
	m.places(q, stations)
	m.edge(l)
	g.bodies(l)
	g.legs(l)
	m.ways(l)
	m.discs(l, stations)

	place := &draw.Labels{Bounds: sheet.Inset(1), Gap: 0.4}
	if far {
		place.Avoid(m.aircraft(l))
	}
	place.Avoid(g.scaleBar(l, sheet.X+sheet.W-3, sheet.Y+sheet.H-2))
	place.Avoid(front(l, draw.Pt(sheet.X+4, sheet.Y+sheet.H-3.5)))
	g.avoid(place)
	for _, d := range m.disc {
		place.Avoid(draw.Rect{X: d.X - discRadius, Y: d.Y - discRadius, W: 2 * discRadius, H: 2 * discRadius})
	}
	for _, w := range m.way {
		place.AvoidPolyline(w...)
	}
	l.Labels(g.names(place), look.Leader)
}

// walkMap is the walk in the making: everything in mm of paper.
type walkMap struct {
	g         *ground
	low, high [2]float64 // the load's rectangle, m
	sheet     draw.Rect
	spot      []draw.Point // where each station is
	far       []bool       // at the aircraft
	disc      []draw.Point // where its number stands
	way       [][]draw.Point
}

// places finds where each station and its number is drawn. Numbers of stations
// at one place stand side by side, further out.
func (m *walkMap) places(q *inspect.Sequence, stations []inspect.Station) {
	middle := m.g.at((m.low[0]+m.high[0])/2, (m.low[1]+m.high[1])/2)
	for i := range stations {
		s := &stations[i]
		at := m.g.at(s.At[0], s.At[1])
		if away(q, s) {
			at = draw.Pt(middle.X+8, m.sheet.Y+6)
		}
		m.spot = append(m.spot, at)
		m.far = append(m.far, away(q, s))
		m.disc = append(m.disc, m.free(at, at.Sub(middle).Unit()))
	}
}

// free finds the place nearest to at, outwards first, where a number covers no
// other and stays on the sheet.
func (m *walkMap) free(at, out draw.Point) draw.Point {
	room := m.sheet.Inset(discRadius + 0.5)
	clear := func(c draw.Point) bool {
		if !room.Contains(c) {
			return false
		}
		for _, d := range m.disc {
			if d.Sub(c).Len() < 2*discRadius+0.4 {
				return false
			}
		}
		return true
	}
	if out == (draw.Point{}) {
		out = draw.Pt(0, -1)
	}
	for ring := range 40 {
		r := float64(ring) * (discRadius + 0.3)
		for k := range 16 {
			deg := 22.5 * float64((k+1)/2)
			if k%2 == 1 {
				deg = -deg
			}
			if c := at.Add(draw.Transform{Rotate: deg}.Apply(out).Mul(r)); clear(c) {
				return c
			}
			if ring == 0 {
				break
			}
		}
	}
	return at
}

// edge draws the lane round the load.
func (m *walkMap) edge(l *draw.List) {
	a, b := m.g.at(m.low[0]-lane, m.low[1]-lane), m.g.at(m.high[0]+lane, m.high[1]+lane)
	l.Rect(draw.Span(a, b), look.Center, draw.Paint{})
}

// ways draws how to go from each station to the next: straight where the load
// is not between, else along the lane round it the shorter way. Ways that would
// lie on one another keep some distance.
func (m *walkMap) ways(l *draw.List) {
	for i := 1; i < len(m.spot); i++ {
		a, b := m.spot[i-1], m.spot[i]
		if m.far[i-1] || m.far[i] {
			w := m.toAircraft(a, b)
			m.way = append(m.way, w)
			l.Polyline(w, pace.WithDash(2, 1.2))
			arrowOn(l, w)
			continue
		}
		w := m.round(a, b, float64(i%3)*0.9)
		m.way = append(m.way, w)
		l.Polyline(w, pace)
		arrowOn(l, w)
	}
}

// toAircraft goes from or to the aircraft clear of the load.
func (m *walkMap) toAircraft(a, b draw.Point) []draw.Point {
	top := m.laneRect(0).Y
	if a.Y < b.Y {
		return append([]draw.Point{a}, m.round(draw.Pt(a.X, math.Min(top, b.Y)), b, 0)...)
	}
	return append(m.round(a, draw.Pt(b.X, math.Min(top, a.Y)), 0), b)
}

func (m *walkMap) laneRect(out float64) draw.Rect {
	a, b := m.g.at(m.low[0]-lane, m.low[1]-lane), m.g.at(m.high[0]+lane, m.high[1]+lane)
	return draw.Span(a, b).Inset(-out)
}

// round is the way from a to b, no nearer to the load than its lane where it
// would cross it; out is how much further out it keeps, mm. Of two ways as long
// as each other it takes the one over the load's left from the front, as a lap
// goes.
func (m *walkMap) round(a, b draw.Point, out float64) []draw.Point {
	block := m.laneRect(0).Inset(0.3)
	if !cuts(a, b, block) {
		return []draw.Point{a, b}
	}
	ring := m.laneRect(out)
	corners := ring.Corners()
	side := func(p draw.Point) float64 { return along(ring, p) }
	from, to := side(a), side(b)
	length := 2 * (ring.W + ring.H)
	ahead := math.Mod(to-from+length, length)
	at := []float64{0, ring.W, ring.W + ring.H, 2*ring.W + ring.H}
	path := []draw.Point{a}
	if ahead < length/2-1e-6 {
		for turn := range 2 {
			for k, c := range corners {
				if s := at[k] + float64(turn)*length; s > from+1e-6 && s < from+ahead-1e-6 {
					path = append(path, c)
				}
			}
		}
	} else {
		back := length - ahead
		for turn := range 2 {
			for k := len(corners) - 1; k >= 0; k-- {
				if s := at[k] - float64(turn)*length; s < from-1e-6 && s > from-back+1e-6 {
					path = append(path, corners[k])
				}
			}
		}
	}
	return append(path, b)
}

// along is how far clockwise from the top left corner the place on the edge of
// r is that is nearest to p.
func along(r draw.Rect, p draw.Point) float64 {
	x, y := math.Max(0, math.Min(r.W, p.X-r.X)), math.Max(0, math.Min(r.H, p.Y-r.Y))
	edges := []struct{ d, s float64 }{
		{y, x},
		{r.W - x, r.W + y},
		{r.H - y, r.W + r.H + r.W - x},
		{x, 2*r.W + r.H + r.H - y},
	}
	best := edges[0]
	for _, e := range edges[1:] {
		if e.d < best.d {
			best = e
		}
	}
	return best.s
}

// cuts reports whether a segment enters the inside of a rectangle.
func cuts(a, b draw.Point, r draw.Rect) bool {
	in, out := 0.0, 1.0
	d := b.Sub(a)
	for _, s := range [][3]float64{{a.X, d.X, 0}, {a.Y, d.Y, 1}} {
		lo, hi := r.X, r.X+r.W
		if s[2] == 1 {
			lo, hi = r.Y, r.Y+r.H
		}
		if math.Abs(s[1]) < 1e-9 {
			if s[0] <= lo || s[0] >= hi {
				return false
			}
			continue
		}
		t0, t1 := (lo-s[0])/s[1], (hi-s[0])/s[1]
		in, out = math.Max(in, math.Min(t0, t1)), math.Min(out, math.Max(t0, t1))
	}
	return out-in > 1e-9
}

// arrowOn puts a head on the longest piece of a way, short of its middle, so that
// the heads of a way there and of the way back stand apart.
func arrowOn(l *draw.List, w []draw.Point) {
	best := 0.0
	var a, b draw.Point
	for i := 1; i < len(w); i++ {
		if n := w[i].Sub(w[i-1]).Len(); n > best {
			best, a, b = n, w[i-1], w[i]
		}
	}
	if best < 2 {
		return
	}
	dir := b.Sub(a).Unit()
	tip := a.Lerp(b, 0.4).Add(dir.Mul(1.5))
	side := dir.Perp().Mul(1.1)
	base := tip.Sub(dir.Mul(3))
	l.Polygon([]draw.Point{tip, base.Add(side), base.Sub(side)}, draw.Stroke{Paint: look.Paper, Width: 0.2}, look.Accent)
}

// discs draws the stations' numbers, each with a line to its place where it
// stands aside.
func (m *walkMap) discs(l *draw.List, stations []inspect.Station) {
	for i := range stations {
		if m.disc[i].Sub(m.spot[i]).Len() > discRadius {
			l.Line(m.disc[i], m.spot[i], look.Detail)
			l.Circle(m.spot[i], 0.7, draw.Stroke{}, look.Ink)
		}
	}
	for i := range stations {
		s := &stations[i]
		g := l.Group("", fmt.Sprintf("station %d", s.Number))
		g.Circle(m.disc[i], discRadius, look.Outline, look.Paper)
		size := look.SizeBody
		if s.Number > 99 {
			size = 2
		}
		g.Text(m.disc[i], fmt.Sprint(s.Number), look.Strong.WithSize(size).At(draw.Middle, draw.CapMiddle))
	}
}

// aircraft marks the side on which the aircraft stands.
func (m *walkMap) aircraft(l *draw.List) draw.Rect {
	y := m.sheet.Y + 10.5
	l.Line(draw.Pt(m.sheet.X+2, y), draw.Pt(m.sheet.X+m.sheet.W-2, y), look.Hidden)
	text := "parked aircraft, rotors stopped: further off than drawn"
	style := look.Small.WithPaint(look.Ink).At(draw.Start, draw.CapMiddle)
	at := draw.Pt(m.sheet.X+3, m.sheet.Y+4)
	lines := draw.Wrap(text, math.Max(20, m.g.at((m.low[0]+m.high[0])/2, 0).X-m.sheet.X-2), style)
	for i, s := range lines {
		if i < 2 {
			l.Text(at.Add(draw.Pt(0, 3.2*float64(i))), s, style)
		}
	}
	return draw.Rect{X: m.sheet.X, Y: m.sheet.Y, W: m.sheet.W, H: 11}
}

// stationKey writes beneath the map what each number is, in two columns, and
// returns the height that it takes. Where there is no room for all, the last
// line counts the rest.
func stationKey(l *draw.List, q *inspect.Sequence, stations []inspect.Station, area draw.Rect) float64 {
	style := look.Body.At(draw.Start, draw.CapTop)
	const step = 3.9
	columns := 2
	if area.W < 110 {
		columns = 1
	}
	rule := draw.TextHeight(inspect.BeforeTheWalk, area.W, look.Small)
	rows := (len(stations) + columns - 1) / columns
	if most := int((area.H*0.5 - rule) / step); rows > most {
		rows = max(1, most)
	}
	h := float64(rows)*step + rule + 3
	w := area.W / float64(columns)
	top := area.Y + area.H - h + 2
	for i := range stations {
		c, r := i/rows, i%rows
		if c >= columns {
			break
		}
		s := &stations[i]
		text := fmt.Sprintf("%d  %s: %s", s.Number, s.Text, checkpointIDs(q, s))
		if left := len(stations) - columns*rows; left > 0 && i == columns*rows-1 {
			text = fmt.Sprintf("and %d more stations", left+1)
		}
		l.Text(draw.Pt(area.X+float64(c)*w, top+float64(r)*step), draw.OneLine(text, w-2, style), style)
	}
	l.TextBox(draw.Pt(area.X, area.Y+area.H-rule), area.W, inspect.BeforeTheWalk, look.Small.WithPaint(look.Ink))
	return h
}
