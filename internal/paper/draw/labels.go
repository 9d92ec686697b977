package draw

import (
	"math"
	"slices"
	"strings"
)

// Label is a short text to be put near what it names. A tab in a line ends a
// cell: the cells of such lines stand in columns.
type Label struct {
	Lines  []string // one text line each
	Style  TextStyle
	Anchor Point   // what is named; the leader ends here
	Also   []Point // other places of what is named, the better ones first: any may become the anchor
	Over   []Point // places inside what is named, the better ones first: the label may stand centred on one
	Prefer Point   // direction in which the label would best stand from its anchor; zero means right
	Clear  float64 // mm that the label keeps from its anchor
	Wide   bool    // may also stand on any other side at once without a leader, not only on the preferred one
}

// Placed is where a label went.
type Placed struct {
	Label  Label // with the anchor that was chosen
	Box    Rect
	Leader bool  // moved so far that a line should lead to it
	From   Point // where the leader leaves the box
	Clash  bool  // no free place was found: it overlaps something
	Struck bool  // a line runs through it

	Crossed bool // its leader crosses a line or runs beneath something else
}

// Labels places labels so that they overlap neither each other nor what is to
// be avoided. The search is greedy and depends on nothing but its input: labels
// are placed in the order given, each at the free candidate of least cost among
// places around its anchors, first near, then further out, finally anywhere in
// the bounds. An obstacle box or another label is never covered as long as a
// free place exists; crossing an obstacle line costs more than a long leader.
type Labels struct {
	Bounds Rect    // labels stay inside
	Gap    float64 // mm kept free around each label
	Leader float64 // mm from the anchor beyond which a leader is drawn; 0 means 2

	boxes []Rect
	lines [][2]Point
}

// Avoid names a box that no label may cover.
func (p *Labels) Avoid(r Rect) { p.boxes = append(p.boxes, r) }

// AvoidLine names a line that labels and leaders had better not cross.
func (p *Labels) AvoidLine(a, b Point) { p.lines = append(p.lines, [2]Point{a, b}) }

// AvoidPolyline names the lines through the points.
func (p *Labels) AvoidPolyline(pts ...Point) {
	for i := 1; i < len(pts); i++ {
		p.AvoidLine(pts[i-1], pts[i])
	}
}

// Size is the width and height of the label's text in mm.
func (l Label) Size() (w, h float64) {
	for _, c := range l.columns() {
		w += c
	}
	for _, s := range l.Lines {
		w = max(w, l.Style.Width(s))
	}
	if n := len(l.Lines); n > 0 {
		// From the cap line of the first to the descenders of the last.
		h = float64(n-1)*l.Style.LineHeight() + (CapHeight+Descent)*l.Style.Size
	}
	return w, h
}

// cellGap is the space between two columns, over the em size.
const cellGap = 0.8

// columns is the width of each column in mm, with the space that follows it;
// nil where no line has a tab.
func (l Label) columns() []float64 {
	var out []float64
	for _, s := range l.Lines {
		if !strings.Contains(s, "\t") {
			continue // it runs across the columns
		}
		for i, cell := range strings.Split(s, "\t") {
			if i == len(out) {
				out = append(out, 0)
			}
			out[i] = max(out[i], l.Style.Width(cell))
		}
	}
	for i := range len(out) - 1 {
		out[i] += cellGap * l.Style.Size
	}
	return out
}

// Place finds a box for every label; the result is in the order given.
func (p *Labels) Place(labels []Label) []Placed {
	boxes := slices.Clone(p.boxes)
	lines := slices.Clone(p.lines)
	out := make([]Placed, 0, len(labels))
	for _, l := range labels {
		got := p.placeOne(l, boxes, lines)
		boxes = append(boxes, got.Box.Inset(-p.Gap))
		if got.Leader {
			lines = append(lines, [2]Point{got.From, l.Anchor})
		}
		out = append(out, got)
	}
	return out
}

func (p *Labels) leader() float64 {
	if p.Leader == 0 {
		return 2
	}
	return p.Leader
}

func (p *Labels) placeOne(l Label, boxes []Rect, lines [][2]Point) Placed {
	w, h := l.Size()
	pref := l.Prefer.Unit()
	if pref == (Point{}) {
		pref = Point{X: 1}
	}
	best, bestCost := Placed{}, math.Inf(1)
	keep := func(got Placed, cost float64) {
		if cost < bestCost {
			best, bestCost = got, cost
		}
	}
	for i, c := range l.Over {
		keep(p.judgeOver(l, Rect{c.X - w/2, c.Y - h/2, w, h}, laterCost*float64(i), bestCost, boxes, lines))
		if bestCost < laterCost*float64(i+1) {
			return best
		}
	}
	anchors := append([]Point{l.Anchor}, l.Also...)
	try := func(box Rect, i int) {
		l.Anchor = anchors[i]
		keep(p.judge(l, box, pref, laterCost*float64(i), bestCost, boxes, lines))
	}
	const turns = 24
	step := max(h, 2)
	for ring := range 14 {
		for i, anchor := range anchors {
			for k := range turns {
				// 0, +15°, −15°, +30° … so that of equal places the one nearest to
				// the preferred side comes first.
				deg := 360 / turns * float64((k+1)/2)
				if k%2 == 1 {
					deg = -deg
				}
				dir := Transform{Rotate: deg}.Apply(pref)
				try(beside(anchor, dir, l.Clear+float64(ring)*step*0.7, w, h), i)
			}
		}
		if bestCost < clashCost && float64(ring)*step*0.7 > bestCost {
			return best // further out costs more than what is found
		}
	}
	if bestCost < lineCost {
		return best
	}
	for y := p.Bounds.Y; y+h <= p.Bounds.Y+p.Bounds.H; y += h / 2 {
		for x := p.Bounds.X; x+w <= p.Bounds.X+p.Bounds.W; x += max(w/4, h) {
			box := Rect{x, y, w, h}
			try(box, nearestOf(anchors, box))
		}
	}
	return best
}

// nearestOf is the index of the point nearest to the box.
func nearestOf(pts []Point, box Rect) int {
	best := 0
	for i, p := range pts {
		if p.Sub(nearest(box, p)).Len() < pts[best].Sub(nearest(box, pts[best])).Len() {
			best = i
		}
	}
	return best
}

// beside is the box of a size that touches the point at distance d from a along
// dir: with the middle of a side where dir is along an axis, with a corner where
// it is slanting.
func beside(a, dir Point, d, w, h float64) Rect {
	at := a.Add(dir.Mul(d))
	// The support point of the box in the direction −dir, eased so that it
	// moves along the sides instead of jumping from corner to corner.
	ease := func(v float64) float64 { return max(-1, min(1, v*1.6)) }
	c := at.Add(Point{ease(dir.X) * w / 2, ease(dir.Y) * h / 2})
	return Rect{c.X - w/2, c.Y - h/2, w, h}
}

// Costs, each in mm of distance from the anchor that it is worth.
const (
	clashCost  = 10000 // something covered
	behindCost = 40    // the leader runs beneath a label or obstacle
	lineCost   = 70    // a line crossed by the label
	crossCost  = 12    // a line crossed by the leader
	alongCost  = 10    // the leader runs along the line that it points at
	turnCost   = 4     // on the side opposite to the preferred one; a quarter of it if Wide
	laterCost  = 0.3   // each anchor or place inside after the first
)

// mostCrossed is how many crossings of a leader count: outlines often lie close
// together, and the eye sees one.
const mostCrossed = 3

// alongSine is the sine of the angle, 25°, below which a leader seems to run
// along a line.
const alongSine = 0.42

// judgeOver is the placement at a box and its cost, to which the cost of where
// the box stands has been added. It stops where the cost passes a limit: what it
// then returns is only good for being dropped.
func (p *Labels) judgeOver(l Label, box Rect, cost, limit float64, boxes []Rect, lines [][2]Point) (Placed, float64) {
	got := Placed{Label: l, Box: box}
	if !p.Bounds.Holds(box) {
		got.Clash = true
		cost += clashCost
	}
	for _, b := range boxes {
		if b.Overlaps(box) {
			got.Clash = true
			cost += clashCost + overlap(b, box)
		}
	}
	near := box.Inset(-p.Gap)
	for _, s := range lines {
		if cost >= limit {
			break
		}
		if crossesRect(s[0], s[1], near) {
			got.Struck = true
			cost += lineCost
		}
	}
	return got, cost
}

func (p *Labels) judge(l Label, box Rect, pref Point, cost, limit float64, boxes []Rect, lines [][2]Point) (Placed, float64) {
	if box.Inset(-p.Gap).Contains(l.Anchor) {
		cost += clashCost / 2 // the label would hide what it names
	}
	from := nearest(box, l.Anchor)
	way := l.Anchor.Sub(from).Len()
	cost += max(0, way-l.Clear)
	turn := (1 - box.Center().Sub(l.Anchor).Unit().Dot(pref)) / 2 * turnCost
	if l.Wide {
		turn /= 4
	}
	cost += turn
	if cost >= limit {
		return Placed{}, cost
	}
	got, cost := p.judgeOver(l, box, cost, limit, boxes, lines)
	got.From = from
	if got.Leader = way > l.Clear+p.leader(); got.Leader && cost < limit {
		crossed := 0
		for _, s := range lines {
			// What passes through the anchor is what the leader points at.
			switch {
			case distance(l.Anchor, s[0], s[1]) <= 0.2:
				if math.Abs(s[1].Sub(s[0]).Unit().Cross(l.Anchor.Sub(got.From).Unit())) < alongSine {
					cost += alongCost
				}
			case crosses(got.From, l.Anchor, s[0], s[1]):
				got.Crossed = true
				if crossed++; crossed <= mostCrossed {
					cost += crossCost
				}
			}
		}
		for _, b := range boxes {
			if crossesRect(got.From, l.Anchor, b) && !b.Contains(l.Anchor) {
				got.Crossed = true
				cost += behindCost
			}
		}
	}
	return got, cost
}

func overlap(a, b Rect) float64 {
	w := min(a.X+a.W, b.X+b.W) - max(a.X, b.X)
	h := min(a.Y+a.H, b.Y+b.H) - max(a.Y, b.Y)
	return max(0, w) * max(0, h)
}

func nearest(r Rect, p Point) Point {
	return Point{min(max(p.X, r.X), r.X+r.W), min(max(p.Y, r.Y), r.Y+r.H)}
}

func distance(p, a, b Point) float64 {
	d := b.Sub(a)
	n := d.Dot(d)
	if n == 0 {
		return p.Sub(a).Len()
	}
	t := min(1, max(0, p.Sub(a).Dot(d)/n))
	return p.Sub(a.Lerp(b, t)).Len()
}

// crosses reports whether the inner parts of two segments meet.
func crosses(a, b, c, d Point) bool {
	ab, cd := b.Sub(a), d.Sub(c)
	s1, s2 := ab.Cross(c.Sub(a)), ab.Cross(d.Sub(a))
	s3, s4 := cd.Cross(a.Sub(c)), cd.Cross(b.Sub(c))
	return s1*s2 < 0 && s3*s4 < 0
}

// crossesRect reports whether the segment has a point in the rectangle.
func crossesRect(a, b Point, r Rect) bool {
	if max(a.X, b.X) < r.X || min(a.X, b.X) > r.X+r.W || max(a.Y, b.Y) < r.Y || min(a.Y, b.Y) > r.Y+r.H {
		return false
	}
	if r.Contains(a) || r.Contains(b) {
		return true
	}
	c := r.Corners()
	return crosses(a, b, c[0], c[2]) || crosses(a, b, c[1], c[3])
}

// Labels writes placed labels, each with its leader beneath.
func (l *List) Labels(placed []Placed, leader Stroke) {
	for _, p := range placed {
		if p.Leader {
			l.Line(p.From, p.Label.Anchor, leader)
		}
	}
	for _, p := range placed {
		st := p.Label.Style
		st.VAnchor = CapTop
		x := p.Box.X
		switch {
		case len(p.Label.Lines) == 1 || len(p.Label.columns()) > 1:
			st.Anchor = Start
		case st.Anchor == Middle:
			x += p.Box.W / 2
		case st.Anchor == End:
			x += p.Box.W
		}
		columns := p.Label.columns()
		for i, s := range p.Label.Lines {
			at := Point{x, p.Box.Y + float64(i)*st.LineHeight()}
			for k, cell := range strings.Split(s, "\t") {
				l.Text(at, cell, st)
				if k < len(columns) {
					at.X += columns[k]
				}
			}
		}
	}
}
