package picture

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/statics"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// terse says how much the labels of legs are cut down so that they fit.
type terse uint8

const (
	richest terse = iota // what it pulls, its share and, beside the chain, its count
	shares               // share and, beside the chain, count
	brief                // share
	idsOnly
	terseLevels
)

// tag is a label to be placed; dot marks the place that its leader names.
type tag struct {
	draw.Label
	leg  bool
	dot  bool
	hull []draw.Point // of the body that it names: no leader is needed inside
}

// obstacles is where labels may go.
func (s *scene) obstacles(f *frame, area draw.Rect) *draw.Labels {
	place := &draw.Labels{Bounds: area.Inset(2), Gap: 0.5}
	place.Avoid(draw.Rect{X: area.X, Y: area.Y + area.H - foot, W: area.W, H: foot})
	if s.r.Invented() && !s.part {
		place.Avoid(draw.Rect{X: area.X + area.W - 24, Y: area.Y, W: 24, H: 6})
	}
	if !s.o.Bare || s.part {
		place.Avoid(draw.Rect{X: area.X, Y: area.Y, W: 40, H: 6.5})
	}
	for i := range s.ropes {
		a, b := f.at(s.ropes[i].from), f.at(s.ropes[i].to)
		place.AvoidLine(a, b)
		if w := s.stroke(s.ropes[i].leg).Width; w > 0.6 {
			side := b.Sub(a).Perp().Unit().Mul(w / 2)
			place.AvoidLine(a.Add(side), b.Add(side))
			place.AvoidLine(a.Sub(side), b.Sub(side))
		}
	}
	// The plumb lines run behind the bodies.
	body := draw.Around(f.all(s.load())...)
	for _, p := range s.plumbs(f) {
		place.AvoidLine(p[0], draw.Pt(p[0].X, math.Max(p[0].Y, body.Y)))
		place.AvoidLine(draw.Pt(p[1].X, math.Min(p[1].Y, body.Y+body.H)), p[1])
	}
	for _, h := range s.hooks {
		top, apex := f.at(h.at), f.at(h.apex)
		if s.above() {
			place.Avoid(square(top, 2.2))
			continue
		}
		place.AvoidLine(top, apex)
		k := s.signs
		place.Avoid(draw.Rect{X: top.X - 3*k, Y: top.Y - hookHigh*k, W: 6 * k, H: hookHigh*k + 0.5})
		place.Avoid(draw.Rect{X: apex.X - 3*k, Y: apex.Y - bow*k, W: 6 * k, H: bow*k + 0.8})
	}
	for i := range s.solids {
		sd := &s.solids[i]
		for _, outline := range sd.edges(f) {
			step := 1 + len(outline)/24 // a circle has more corners than a label minds
			for k := 0; k < len(outline); k += step {
				next := k + step
				if next >= len(outline) {
					next = 0
				}
				place.AvoidLine(outline[k], outline[next])
			}
		}
		for _, arm := range sd.armLines(f) {
			place.AvoidLine(arm[0], arm[1])
		}
		c, r := s.centre(f, sd)
		place.Avoid(square(c, r))
		for _, p := range sd.body.Points {
			place.Avoid(square(f.at(sd.at(p.At)), pointRadius))
		}
	}
	if !s.o.Ground && s.level() {
		for i := range s.solids {
			if sd := &s.solids[i]; sd.loose {
				b := draw.Around(f.all(sd.outline())...)
				place.Avoid(draw.Rect{X: b.X - 3, Y: b.Y + b.H - 0.3, W: b.W + 6, H: 2.3})
			}
		}
	}
	if s.o.Ground && s.level() {
		y := f.at(lowest(s.load())).Y
		place.Avoid(draw.Rect{X: area.X, Y: y - 0.3, W: area.W, H: 2.3})
	}
	return place
}

func square(c draw.Point, r float64) draw.Rect {
	return draw.Rect{X: c.X - r, Y: c.Y - r, W: 2 * r, H: 2 * r}
}

// labels writes leg ids with counts and shares, bodies and hooks, none over
// another. Legs that do not all find a clear place get shorter labels, all of
// them alike.
func (s *scene) labels(l *draw.List, f *frame, place *draw.Labels) terse {
	level := richest
	if s.part {
		level = shares
	}
	for ; ; level++ {
		tags := s.tags(f, level)
		list := make([]draw.Label, len(tags))
		for i := range tags {
			list[i] = tags[i].Label
		}
		placed := place.Place(list)
		if level+1 < terseLevels && !neat(tags, placed, level) {
			continue
		}
		for i := range placed {
			p := &placed[i]
			if !p.Struck {
				p.Label.Style.Halo = draw.Paint{}
			}
			if p.Leader && !slices.ContainsFunc(p.Box.Corners(), func(c draw.Point) bool { return !inside(c, tags[i].hull) }) {
				p.Leader = false
			}
		}
		placed, tags = fitting(placed, tags)
		if n := len(list) - len(placed); n > 0 {
			l.Text(draw.Pt(place.Bounds.X+24, place.Bounds.Y+place.Bounds.H-1), fmt.Sprintf("no room for %d names", n), look.Small)
		}
		l.Labels(placed, look.Leader)
		for i, p := range placed {
			if placed[i].Leader && tags[i].dot {
				l.Circle(p.Label.Anchor, 0.45, draw.Stroke{}, look.Note)
			}
		}
		return level
	}
}

// fitting leaves out the labels that would lie over something else or outside
// the picture.
func fitting(placed []draw.Placed, tags []tag) ([]draw.Placed, []tag) {
	var p []draw.Placed
	var t []tag
	for i := range placed {
		if !placed[i].Clash {
			p, t = append(p, placed[i]), append(t, tags[i])
		}
	}
	return p, t
}

// neat reports whether every leg's label found a clear place not far away. The
// shorter the labels, the further they may lie.
func neat(tags []tag, placed []draw.Placed, level terse) bool {
	most := []float64{10, 12, 16}[level]
	for i, p := range placed {
		if tags[i].leg && (p.Clash || p.Struck || p.Crossed && level < idsOnly || p.Leader && p.From.Sub(p.Label.Anchor).Len() > most) {
			return false
		}
	}
	return true
}

// tags lists the labels of the view in the order in which they are placed.
func (s *scene) tags(f *frame, level terse) []tag {
	var tags []tag
	tags = append(tags, s.hookTags(f)...)
	tags = append(tags, s.bodyTags(f)...)
	if s.o.Ground {
		return append(tags, s.pointTags(f, level)...)
	}
	return append(tags, s.legTags(f, level)...)
}

func (s *scene) hookTags(f *frame) []tag {
	var tags []tag
	for i, h := range s.hooks {
		top, apex := f.at(h.at), f.at(h.apex)
		if h.cut > 0 && !s.above() {
			tags = append(tags, tag{Label: draw.Label{
				Lines: []string{"pendant", s.r.Show().Length(h.cut), "drawn short"}, Style: look.OnDrawing,
				Anchor: top.Lerp(apex, 0.5), Also: []draw.Point{top.Lerp(apex, 0.7)}, Prefer: draw.Pt(1, 0), Clear: 4,
			}})
		}
		if len(s.hooks) < 2 {
			continue
		}
		// Hooks behind one another are named together, the nearest first.
		behind := func(k int) bool { return f.at(s.hooks[k].at).Sub(top).Len() < 2 }
		var ids []string
		first := true
		for k := range s.hooks {
			if behind(k) {
				first = first && k >= i
				ids = append(ids, s.hooks[k].id)
			}
		}
		if !first {
			continue
		}
		at := top.Add(draw.Pt(0, -s.signs*hookHigh/2))
		clear := 3.8 * s.signs
		if s.above() {
			at, clear = top, 2.8
		}
		tags = append(tags, tag{Label: draw.Label{
			Lines: []string{strings.Join(ids, ", ")}, Style: look.OnDrawing.AsBold(), Anchor: at, Prefer: draw.Pt(1, 0), Clear: clear, Wide: true,
		}})
	}
	return tags
}

// bodyTags names each body and its mass: inside it if there is room where it is
// seen, else beside it.
func (s *scene) bodyTags(f *frame) []tag {
	lines := make([][]string, len(s.solids))
	over := make([][]draw.Point, len(s.solids))
	hulls := make([][]draw.Point, len(s.solids))
	for i := range s.solids {
		hulls[i] = s.solids[i].hull(f)
	}
	for i := range s.solids {
		over[i] = s.visible(f, i, hulls)
		lines[i] = []string{s.bodyLine(i)}
		if s.solids[i].loose {
			lines[i] = append(lines[i], "on no hook")
		}
	}
	for i := range s.solids {
		// A body that cannot be seen is named with the one in front of it.
		host := i
		if len(over[i]) == 0 && area(hulls[i]) > least {
			best := math.Inf(-1)
			c := f.at(s.solids[i].at(s.solids[i].body.Shape.Middle()))
			for k := range s.solids {
				if n := f.nearness(&s.solids[k]); len(over[k]) > 0 && n > best && inside(c, hulls[k]) {
					host, best = k, n
				}
			}
		}
		if host != i {
			lines[host] = append(append(lines[host], "behind: "+lines[i][0]), lines[i][1:]...)
			lines[i] = nil
		}
	}
	var tags []tag
	for i := range s.solids {
		if len(lines[i]) == 0 {
			continue
		}
		b := draw.Around(f.all(s.solids[i].outline())...)
		c := b.Center()
		t := tag{dot: true, hull: hulls[i], Label: draw.Label{
			Lines: few(lines[i]), Style: look.OnDrawing, Over: over[i], Clear: 1.2, Wide: true, Prefer: draw.Pt(0, 1),
			Anchor: draw.Pt(c.X, b.Y+b.H),
		}}
		if len(s.solids) > 1 && len(over[i]) > 0 {
			// Its outline may be another body's too: point into it.
			t.Anchor = over[i][0]
			t.Also = over[i][1:min(len(over[i]), 6)]
		} else {
			t.Also = []draw.Point{draw.Pt(b.X+b.W, c.Y), draw.Pt(b.X, c.Y), draw.Pt(b.X+0.25*b.W, b.Y+b.H), draw.Pt(b.X+0.75*b.W, b.Y+b.H)}
		}
		tags = append(tags, t)
	}
	return tags
}

func (s *scene) bodyLine(i int) string {
	b := s.solids[i].body
	return b.ID + "  " + s.r.Show().Mass(b.TotalMass())
}

// least is the area, mm², below which a body is too small to be pointed into;
// sliver the share of its outline below which it counts as not seen.
const (
	least  = 4
	sliver = 0.12
)

// visible lists places inside the outline of a body where it is the nearest
// one, from its middle outwards.
func (s *scene) visible(f *frame, i int, hulls [][]draw.Point) []draw.Point {
	sd := &s.solids[i]
	hull := hulls[i]
	if area(hull) < least {
		return nil
	}
	b := draw.Around(hull...)
	c := b.Center()
	centre, r := s.centre(f, sd)
	var out []draw.Point
	all, open := 0, 0
	const nx, ny = 9, 13
	for kx := range nx {
		for ky := range ny {
			p := draw.Pt(b.X+b.W*(float64(kx)+0.5)/nx, b.Y+b.H*(float64(ky)+0.5)/ny)
			if !inside(p, hull) {
				continue
			}
			all++
			seen := true
			for k := range s.solids {
				if k != i && f.nearness(&s.solids[k]) > f.nearness(sd) && inside(p, hulls[k]) {
					seen = false
				}
			}
			if !seen {
				continue
			}
			open++
			if p.Sub(centre).Len() > r+0.6 { // else the leader would end on the sign of the CG
				out = append(out, p)
			}
		}
	}
	if float64(open) < sliver*float64(all) {
		return nil
	}
	slices.SortStableFunc(out, func(p, q draw.Point) int {
		return cmp.Compare(math.Abs(p.X-c.X)+math.Abs(p.Y-c.Y), math.Abs(q.X-c.X)+math.Abs(q.Y-c.Y))
	})
	return out
}

// pointTags names, on the ground, the legs that go to each point and their
// counts. Points that fall together in the view share a label.
func (s *scene) pointTags(f *frame, level terse) []tag {
	legs := map[rig.Ref][]int{}
	for i, l := range s.r.Legs() {
		for _, to := range l.To {
			legs[to] = append(legs[to], i)
		}
		if l.From != nil && l.From.Point != "" {
			legs[*l.From] = append(legs[*l.From], i)
		}
	}
	var tags []tag
	centre := f.at(s.middle())
	for i := range s.solids {
		sd := &s.solids[i]
		for _, p := range sd.body.Points {
			lines := []string{p.ID}
			for k, leg := range legs[rig.Ref{ID: sd.body.ID, Point: p.ID}] {
				l := &s.r.Legs()[leg]
				text := "leg " + l.ID
				if level >= brief {
					text = l.ID
				}
				switch {
				case l.Count != nil && level < brief:
					text += fmt.Sprintf("\tcount %d", *l.Count)
				case l.Chain != nil && level < brief:
					text += "\tcount open"
				}
				if k == 0 {
					lines = nil
				}
				lines = append(lines, text)
			}
			at := f.at(sd.at(p.At))
			k := slices.IndexFunc(tags, func(t tag) bool { return t.Anchor.Sub(at).Len() < 1.5 })
			if k >= 0 {
				for _, line := range lines {
					if !slices.Contains(tags[k].Lines, line) {
						tags[k].Lines = append(tags[k].Lines, line)
					}
				}
				continue
			}
			away := at.Sub(centre)
			away.Y -= 2
			tags = append(tags, tag{leg: true, Label: draw.Label{
				Lines: lines, Style: look.OnDrawing, Anchor: at, Prefer: away, Clear: 1.3, Wide: true,
			}})
		}
	}
	return tags
}

// bundle is the legs that fall together in a view: as seen from the side, a
// left and a right one.
type bundle struct {
	legs   []int
	a, b   draw.Point // the rope
	end    draw.Point // of the chain
	chain  float64    // how long it is drawn, mm
	middle draw.Point // of the first piece of chain
}

func (s *scene) bundles(f *frame) []bundle {
	var list []bundle
	for i := range s.ropes {
		r := &s.ropes[i]
		if !r.main {
			continue
		}
		n := bundle{legs: []int{r.leg}, a: f.at(r.from), b: f.at(r.to)}
		n.end, n.middle = n.b, n.b
		if i+1 < len(s.ropes) && s.ropes[i+1].leg == r.leg && s.ropes[i+1].chain {
			n.end = f.at(s.ropes[i+1].to)
			n.middle = n.b.Lerp(n.end, 0.5)
			n.chain = s.chainLength(f, i)
		}
		k := slices.IndexFunc(list, func(o bundle) bool { return o.together(n) })
		if k >= 0 {
			list[k].legs = append(list[k].legs, r.leg)
			continue
		}
		list = append(list, n)
	}
	return list
}

// together reports whether two legs look like one line.
func (o bundle) together(n bundle) bool {
	const near = 1.6
	if o.a.Sub(n.a).Len() > near {
		return false
	}
	long, short := o, n
	if n.end.Sub(n.a).Len() > o.end.Sub(o.a).Len() {
		long, short = n, o
	}
	d := long.end.Sub(long.a)
	if d.Len() < near {
		return true
	}
	across := math.Abs(d.Unit().Cross(short.end.Sub(long.a)))
	return across < near && short.end.Sub(short.a).Dot(d) > 0.7*d.Dot(d)
}

// legTags gives one label to each leg, or bundle of legs, that can be seen as a
// line, and another for the counts beside the chain.
func (s *scene) legTags(f *frame, level terse) []tag {
	centre := f.at(s.middle())
	var ropes, chains []tag
	for _, o := range s.bundles(f) {
		style := look.OnDrawing
		var lines, counts []string
		same := true
		for _, leg := range o.legs {
			x := &s.a.Legs[leg]
			if x.Use > 1 {
				style = style.AsBold()
			}
			lines = append(lines, s.legLine(leg, level))
			count := s.r.Legs()[leg].Count
			if count == nil {
				same = false
				continue
			}
			counts = append(counts, fmt.Sprintf("count %d", *count))
			same = same && counts[0] == counts[len(counts)-1]
		}
		end := o.b
		if o.b == o.end || len(s.a.Legs[o.legs[0]].Path) == 0 && level >= brief {
			end = o.end
		}
		// Outwards: square to the leg, on the side away from the load's middle.
		out := end.Sub(o.a).Perp().Unit()
		if mid := o.a.Lerp(end, 0.5); out.X*(mid.X-centre.X) < 0 || out == (draw.Point{}) {
			out = out.Mul(-1)
		}
		if math.Abs(out.X) < 0.1 {
			out = draw.Pt(1, 0)
		}
		along := []float64{0.5, 0.6, 0.4, 0.7, 0.3, 0.8, 0.88, 0.94, 0.2}
		t := tag{leg: true, Label: draw.Label{Lines: few(lines), Style: style, Prefer: out, Clear: 1.3 + s.stroke(o.legs[0]).Width/2, Wide: true}}
		for i, k := range along {
			if p := o.a.Lerp(end, k); i == 0 {
				t.Anchor = p
			} else {
				t.Also = append(t.Also, p)
			}
		}
		ropes = append(ropes, t)
		if len(counts) == 0 || level > shares || o.chain < 5 {
			continue
		}
		if same {
			counts = counts[:1]
		} else {
			counts = nil
			for _, leg := range o.legs {
				if n := s.r.Legs()[leg].Count; n != nil {
					counts = append(counts, fmt.Sprintf("%s\tcount %d", s.a.Legs[leg].ID, *n))
				}
			}
		}
		grab := o.b
		chains = append(chains, tag{leg: true, Label: draw.Label{
			Lines: few(counts), Style: look.OnDrawing, Prefer: out, Clear: 1.6, Wide: true,
			Anchor: o.middle, Also: []draw.Point{grab, grab.Lerp(o.middle, 0.5), o.middle.Lerp(o.end, 0.5)},
		}})
	}
	return append(chains, ropes...)
}

// few cuts a long list down: the table has all of them.
func few(lines []string) []string {
	const most = 6
	if len(lines) <= most {
		return lines
	}
	return append(slices.Clone(lines[:most-1]), fmt.Sprintf("and %d more", len(lines)-most+1))
}

func (s *scene) legLine(i int, level terse) string {
	x := &s.a.Legs[i]
	if level >= idsOnly {
		return x.ID
	}
	text := x.ID + "\t" + share(x)
	if level == richest && !x.Slack {
		text += "\t" + s.r.Show().Force(x.Tension)
	}
	return text
}

// middle is the weight's centre, where the bodies are.
func (s *scene) middle() rig.Vec {
	var sum rig.Vec
	mass := 0.0
	for i := range s.solids {
		m := s.solids[i].body.TotalMass()
		sum = statics.Add(sum, statics.Scale(m, s.solids[i].cg()))
		mass += m
	}
	return statics.Scale(1/mass, sum)
}
