package walk

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/engine/statics"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// The lines of legs. What is not as planned differs in dash and weight as well
// as in its words.
var (
	asPlanned   = draw.Stroke{Paint: look.Ink, Width: look.Heavy, Cap: draw.CapRound, Join: draw.JoinRound}
	wrongSeat   = draw.Stroke{Paint: look.Over, Width: look.Extra, Dash: []float64{4, 1.5}}
	wrongPoint  = draw.Stroke{Paint: look.Over, Width: look.Extra, Dash: []float64{4, 1.2, 0.8, 1.2}}
	twistedLeg  = draw.Stroke{Paint: look.Over, Width: look.Extra, Dash: []float64{1, 1}}
	plannedLine = draw.Stroke{Paint: look.Faint, Width: look.Thin, Dash: []float64{1.2, 1.2}}
	loneLeg     = draw.Stroke{Paint: look.Faint, Width: look.Thin, Dash: []float64{0.3, 1.4}, Cap: draw.CapRound}
)

// Trace draws who hangs where: every leg from its seat on the apex pin to its
// points, as found by whoever traced them, held against the plan. It is seen by
// someone who stands before the load, faces its front and looks down on it: the
// front is at the bottom, the load's left, where seats count from, to the right.
// The load is stretched to fill the picture, and the pin is drawn larger than it
// is; who lies where is kept. Beneath stands each leg in words. Size in mm; it
// takes 120 by 120 or more.
func Trace(r *rig.Rig, t inspect.Traced, width, height float64) *draw.Picture {
	p := draw.New(width, height, "Who hangs where: "+r.Title(), traceWords(r, t))
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	drawTrace(&p.List, r, t, p.Frame().Inset(3))
	return p
}

func traceWords(r *rig.Rig, t inspect.Traced) string {
	text := ""
	if r.Invented() {
		text = "INVENTED. "
	}
	for _, s := range t.Strands {
		text += strandWords(r, &s) + ". "
	}
	if said := t.Words(); said != "" {
		return spelling.Short(text+"Not as planned: "+said+".", 4000)
	}
	return spelling.Short(text+"Every leg is as planned.", 4000)
}

// strandWords says where one leg starts and ends.
func strandWords(r *rig.Rig, s *inspect.Strand) string {
	from := "from " + s.From.String()
	if s.From.Point == "" {
		from = ""
		if len(r.Apexes()) > 1 {
			from = "apex " + s.From.ID + ", "
		}
		switch {
		case s.Seat > 0:
			from += fmt.Sprintf("seat %d", s.Seat)
		default:
			from += "no seat entered"
		}
	}
	if s.Missing {
		return fmt.Sprintf("leg %s: not found; planned %s to %s", s.Leg, from, refList(s.PlannedTo))
	}
	text := fmt.Sprintf("leg %s: %s to %s", s.Leg, from, refList(s.To))
	if s.WrongSeat {
		text += fmt.Sprintf("; WRONG SEAT, planned %d", s.Planned)
	}
	if s.WrongPoint {
		text += "; WRONG POINT, planned " + refList(s.PlannedTo)
	}
	return text
}

// Unseated lists the legs that share an apex with others and have no seat
// entered: whether they cross cannot be told.
func Unseated(r *rig.Rig, t inspect.Traced) []string {
	var out []string
	for _, a := range r.Apexes() {
		list := t.BySeat(a.ID)
		for _, s := range list {
			if len(list) > 1 && (s.Seat == 0 || s.Planned == 0) {
				out = append(out, s.Leg)
			}
		}
	}
	return out
}

func refList(list []rig.Ref) string {
	if len(list) == 0 {
		return "nothing"
	}
	var out []string
	for _, x := range list {
		out = append(out, x.String())
	}
	return strings.Join(out, ", ")
}

// tracing is the picture in the making.
type tracing struct {
	r      *rig.Rig
	t      inspect.Traced
	area   draw.Rect
	low    [2]float64 // of the load on the ground, m
	high   [2]float64
	pins   map[string]draw.Point // the middle of each apex's pin
	seatAt map[string]draw.Point // by apex and seat, and by leg where there is none
}

func drawTrace(l *draw.List, r *rig.Rig, t inspect.Traced, area draw.Rect) {
	y := headline(l, r, "Who hangs where: "+r.Title(), area)
	style := look.Strong.At(draw.Start, draw.CapTop)
	verdict := "Every leg is as planned."
	if t.Faulty() {
		verdict = "Not as planned: " + t.Words() + "."
		style = style.WithPaint(look.Over)
	} else if slices.ContainsFunc(t.Strands, func(s inspect.Strand) bool { return s.Missing }) {
		verdict = "Not all legs were found; those that were are as planned."
	}
	if bare := Unseated(r, t); len(bare) > 0 {
		verdict += " No seat is entered for " + spelling.Short(strings.Join(bare, ", "), 120) + ": whether these legs cross cannot be told."
	}
	lines := draw.Wrap(verdict, area.W, style)
	if len(lines) > 4 {
		lines = append(lines[:3:3], draw.OneLine(lines[3], area.W-10, style)+" …")
	}
	y += l.TextBox(draw.Pt(area.X, area.Y+y), area.W, strings.Join(lines, "\n"), style) + 1
	below := traceList(l, r, &t, draw.Rect{X: area.X, Y: area.Y + y, W: area.W, H: area.H - y})
	sheet := draw.Rect{X: area.X, Y: area.Y + y, W: area.W, H: area.H - y - below}
	l.Rect(sheet, look.GridLine, draw.Paint{})
	x := newTracing(r, t, sheet)
	x.draw(l)
}

func newTracing(r *rig.Rig, t inspect.Traced, sheet draw.Rect) *tracing {
	x := &tracing{r: r, t: t, area: draw.Rect{X: sheet.X + 16, Y: sheet.Y + 13, W: sheet.W - 32, H: sheet.H - 30}, pins: map[string]draw.Point{}, seatAt: map[string]draw.Point{}}
	x.low, x.high = inspect.SceneOf(r, nil).Footprint()
	for _, a := range r.Apexes() {
		x.pin(a.ID)
	}
	return x
}

// at is where a place on the ground is drawn: the load's left to the right, its
// front down.
func (x *tracing) at(p rig.Vec) draw.Point {
	w, h := math.Max(x.high[1]-x.low[1], 0.2), math.Max(x.high[0]-x.low[0], 0.2)
	return draw.Pt(x.area.X+x.area.W*(p[1]-x.low[1])/w, x.area.Y+x.area.H*(p[0]-x.low[0])/h)
}

func (x *tracing) point(ref rig.Ref) (draw.Point, bool) {
	for _, b := range x.r.Bodies() {
		if p, ok := b.PointAt(ref.Point); ok && b.ID == ref.ID {
			return x.at(b.OnGround(p.At)), true
		}
	}
	return draw.Point{}, false
}

// foot is the middle of some points.
func (x *tracing) foot(to []rig.Ref) (draw.Point, bool) {
	var sum draw.Point
	n := 0.0
	for _, ref := range to {
		if p, ok := x.point(ref); ok {
			sum = sum.Add(p)
			n++
		}
	}
	if n == 0 {
		return draw.Point{}, false
	}
	return sum.Mul(1 / n), true
}

const seatPitch = 6.0 // mm between the seats drawn

// wrapAt is how far down two legs, as a share of what is drawn, the loop stands
// that says that one is wrapped over the other: where they are still close.
const wrapAt = 0.3

// pin places an apex's pin in the middle of where its legs lead by the plan, and
// its seats on it: seat 1 at the load's left, the viewer's right.
func (x *tracing) pin(apex string) {
	var feet []draw.Point
	seats, bare := 0, 0
	for _, s := range x.t.Strands {
		if s.From.ID != apex || s.From.Point != "" {
			continue
		}
		if at, ok := x.foot(s.PlannedTo); ok {
			feet = append(feet, at)
		}
		seats = max(seats, s.Seat, s.Planned)
		if s.Seat == 0 {
			bare++
		}
	}
	if len(feet) == 0 {
		x.pins[apex] = x.area.Center()
		return
	}
	mid := draw.Around(feet...).Center()
	x.pins[apex] = mid
	n := max(seats, bare)
	pitch := math.Min(seatPitch, x.area.W*0.5/float64(max(n, 1)))
	place := func(i int) draw.Point { return mid.Add(draw.Pt(pitch*(float64(n-1)/2-float64(i)), 0)) }
	for i := range seats {
		x.seatAt[fmt.Sprintf("%s %d", apex, i+1)] = place(i)
	}
	k := 0
	for _, s := range x.t.BySeat(apex) {
		if s.Seat == 0 {
			x.seatAt["leg "+s.Leg] = place(min(k+seats, max(n-1, 0)))
			if seats == 0 {
				x.seatAt["leg "+s.Leg] = place(k)
			}
			k++
		}
	}
}

// start is where a leg begins in a seat; 0 for none.
func (x *tracing) start(s *inspect.Strand, seat int) (draw.Point, bool) {
	if s.From.Point != "" {
		return x.point(s.From)
	}
	if seat > 0 {
		at, ok := x.seatAt[fmt.Sprintf("%s %d", s.From.ID, seat)]
		return at, ok
	}
	at, ok := x.seatAt["leg "+s.Leg]
	return at, ok
}

// run is one line of a leg: from its seat to one of its points.
type run struct{ a, b draw.Point }

func (x *tracing) runs(s *inspect.Strand, seat int, to []rig.Ref) []run {
	from, ok := x.start(s, seat)
	if !ok {
		return nil
	}
	var out []run
	for _, ref := range to {
		if at, ok := x.point(ref); ok {
			out = append(out, run{from, at})
		}
	}
	return out
}

func (x *tracing) draw(l *draw.List) {
	place := &draw.Labels{Bounds: draw.Rect{X: x.area.X - 15, Y: x.area.Y - 12, W: x.area.W + 30, H: x.area.H + 28}, Gap: 0.4}
	for _, s := range x.sides(l) {
		place.Avoid(s)
	}
	for _, a := range x.r.Apexes() {
		place.Avoid(x.pinBox(a.ID))
	}
	points := x.bodies(l, place)
	for i := range x.t.Strands {
		s := &x.t.Strands[i]
		twisted := slices.Contains(x.t.Twisted, s.From.ID) && s.From.Point == ""
		if s.WrongSeat || s.WrongPoint || s.Missing || twisted {
			stroke := plannedLine
			if s.Missing {
				stroke = loneLeg
			}
			for _, w := range x.runs(s, s.Planned, s.PlannedTo) {
				l.Line(w.a, w.b, stroke)
			}
		}
	}
	var labels []draw.Label
	for i := range x.t.Strands {
		s := &x.t.Strands[i]
		g := l.Group("", strandWords(x.r, s))
		label := x.strand(g, s)
		if label == nil {
			continue
		}
		for _, w := range x.runs(s, s.Seat, s.To) {
			place.AvoidLine(w.a, w.b)
		}
		labels = append(labels, *label)
	}
	for _, a := range x.r.Apexes() {
		place.Avoid(x.drawPin(l, a.ID))
	}
	labels = slices.Concat(points, x.knots(l, place), labels)
	l.Labels(free(place.Place(labels)), look.Leader)
}

// strand draws one leg as found and returns its label.
func (x *tracing) strand(g *draw.Group, s *inspect.Strand) *draw.Label {
	stroke, what := asPlanned, ""
	switch {
	case slices.Contains(x.t.Twisted, s.From.ID) && s.From.Point == "":
		stroke, what = twistedLeg, "twisted with its fitting"
	case s.WrongSeat && s.WrongPoint:
		stroke, what = wrongPoint, "wrong seat, wrong point"
	case s.WrongPoint:
		stroke, what = wrongPoint, "wrong point"
	case s.WrongSeat:
		stroke, what = wrongSeat, "wrong seat"
	case s.Missing:
		what = "not found"
	}
	lines := x.runs(s, s.Seat, s.To)
	if s.Missing {
		lines = x.runs(s, s.Planned, s.PlannedTo)
	}
	if len(lines) == 0 {
		return nil
	}
	if !s.Missing {
		for _, w := range lines {
			g.Line(w.a, w.b, draw.Stroke{Paint: look.Paper, Width: stroke.Width + 0.8})
			g.Line(w.a, w.b, stroke)
		}
	}
	first := lines[0]
	text := []string{"leg " + spelling.Short(s.Leg, 16)}
	if what != "" {
		text = append(text, what)
	}
	style := look.OnDrawing.AsBold()
	if what != "" {
		style = style.WithPaint(look.Over)
	}
	label := draw.Label{Lines: text, Style: style, Anchor: first.a.Lerp(first.b, 0.6), Clear: 1.2, Wide: true, Prefer: first.b.Sub(first.a).Perp()}
	for _, f := range []float64{0.7, 0.5, 0.8, 0.4, 0.9} {
		label.Also = append(label.Also, first.a.Lerp(first.b, f))
	}
	return &label
}

// bodies draws the bodies' outlines and their points, and returns the names of
// these.
func (x *tracing) bodies(l *draw.List, place *draw.Labels) []draw.Label {
	var labels []draw.Label
	bodies := x.r.Bodies()
	small := look.OnDrawing.WithSize(look.SizeSmall)
	for i := range bodies {
		b := &bodies[i]
		if b.Shape.Kind != rig.NoShape {
			half := statics.Scale(0.5, b.Shape.Extent())
			var o []draw.Point
			for _, k := range [][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
				o = append(o, x.at(b.OnGround(rig.Vec{k[0] * half[0], k[1] * half[1], 0})))
			}
			l.Polygon(o, look.Outline, look.Load)
			place.AvoidPolyline(append(o, o[0])...)
		}
	}
	for i := range bodies {
		b := &bodies[i]
		for _, p := range b.Points {
			at := x.at(b.OnGround(p.At))
			l.Circle(at, 1.3, look.Outline, look.Paper)
			place.Avoid(draw.Rect{X: at.X - 1.4, Y: at.Y - 1.4, W: 2.8, H: 2.8})
			out := draw.Pt(0, 1)
			if at.Y < x.area.Center().Y {
				out.Y = -1
			}
			name := p.ID
			if len(bodies) > 1 {
				name = b.ID + "." + p.ID
			}
			labels = append(labels, draw.Label{Lines: []string{spelling.Short(name, 22)}, Style: small, Anchor: at, Prefer: out, Clear: 1.8, Wide: true})
		}
	}
	return labels
}

// drawPin draws an apex's pin with its seats, and that it is turned where it is.
func (x *tracing) drawPin(l *draw.List, apex string) draw.Rect {
	mid := x.pins[apex]
	at, numbers := x.seats(apex)
	box := x.pinBox(apex)
	g := l.Group("", "pin of apex "+apex)
	g.RoundRect(box, 1.5, look.Outline, look.Metal)
	for _, p := range at {
		g.Circle(p, 2.2, look.Detail, look.Paper)
		g.Text(p, numbers[p], look.Strong.At(draw.Middle, draw.CapMiddle))
	}
	if len(x.r.Apexes()) > 1 {
		g.Text(draw.Pt(box.X-1, mid.Y), spelling.Short(apex, 18), look.OnDrawing.AsBold().At(draw.End, draw.CapMiddle))
		w := look.OnDrawing.AsBold().Width(spelling.Short(apex, 18)) + 1
		box = draw.Rect{X: box.X - w, Y: box.Y, W: box.W + w, H: box.H}
	}
	if slices.Contains(x.t.Twisted, apex) {
		style := look.OnDrawing.AsBold().WithPaint(look.Over)
		r := draw.Pt(box.X+box.W+4, mid.Y)
		g.Arc(r, 3.2, 120, 400, draw.Stroke{Paint: look.Over, Width: look.Heavy})
		tip := r.Add(draw.Polar(3.2, 400))
		g.Arrow(tip.Sub(draw.Polar(0.8, 490)), tip.Add(draw.Polar(1.4, 490)), draw.ArrowStyle{Stroke: draw.Stroke{Paint: look.Over, Width: look.Heavy}, Length: 2.4, Width: 2.2})
		g.Text(draw.Pt(r.X+5, mid.Y), "turned half round", style.At(draw.Start, draw.CapMiddle))
		box.W += 10 + style.Width("turned half round")
	}
	return box
}

// seats are where the seats of an apex are drawn, and what each is called.
func (x *tracing) seats(apex string) (at []draw.Point, called map[draw.Point]string) {
	called = map[draw.Point]string{}
	for n := 1; ; n++ {
		p, ok := x.seatAt[fmt.Sprintf("%s %d", apex, n)]
		if !ok {
			break
		}
		at = append(at, p)
		called[p] = fmt.Sprint(n)
	}
	for _, s := range x.t.BySeat(apex) {
		if p, ok := x.seatAt["leg "+s.Leg]; ok && s.Seat == 0 {
			at = append(at, p)
			called[p] = "–"
		}
	}
	return at, called
}

// pinBox is the outline of an apex's pin.
func (x *tracing) pinBox(apex string) draw.Rect {
	at, _ := x.seats(apex)
	return draw.Around(append(at, x.pins[apex])...).Inset(-3.4)
}

// knots marks what two legs do to each other: a ring with a cross where they
// cross, a ring where the plan has it so, a loop round both where one is wrapped
// over the other.
func (x *tracing) knots(l *draw.List, place *draw.Labels) []draw.Label {
	var out []draw.Label
	for _, k := range x.t.Pairs {
		a, b := x.find(k.A), x.find(k.B)
		if a == nil || b == nil {
			continue
		}
		ra, rb := x.runs(a, a.Seat, a.To), x.runs(b, b.Seat, b.To)
		if len(ra) == 0 || len(rb) == 0 {
			continue
		}
		at, ok := meet(ra, rb)
		if !ok {
			// They lie side by side in this picture: the mark stands between.
			at = ra[0].a.Lerp(ra[0].b, wrapAt).Lerp(rb[0].a.Lerp(rb[0].b, wrapAt), 0.5)
		}
		pen := draw.Stroke{Paint: look.Over, Width: look.Heavy, Cap: draw.CapRound}
		words := fmt.Sprintf("%s and %s %s", spelling.Short(k.A, 12), spelling.Short(k.B, 12), k.Knot)
		g := l.Group("", words)
		style := look.OnDrawing.AsBold().WithPaint(look.Over)
		switch k.Knot {
		case inspect.Crossed:
			g.Circle(at, 3, pen, draw.Paint{})
			g.Line(at.Add(draw.Pt(-2.1, -2.1)), at.Add(draw.Pt(2.1, 2.1)), pen)
			g.Line(at.Add(draw.Pt(-2.1, 2.1)), at.Add(draw.Pt(2.1, -2.1)), pen)
		case inspect.CrossedAsPlanned:
			style = look.OnDrawing
			g.Circle(at, 3, draw.Stroke{Paint: look.Ink, Width: look.Thin}, draw.Paint{})
		default:
			p, q := ra[0].a.Lerp(ra[0].b, wrapAt), rb[0].a.Lerp(rb[0].b, wrapAt)
			d := q.Sub(p)
			g.Ellipse(at, d.Len()/2+2, 1.6, d.Angle(), pen, draw.Paint{})
			g.Ellipse(at.Add(d.Unit().Perp().Mul(1.6)), d.Len()/2+2, 1.6, d.Angle(), pen, draw.Paint{})
		}
		place.Avoid(draw.Rect{X: at.X - 3, Y: at.Y - 3, W: 6, H: 6})
		out = append(out, draw.Label{Lines: []string{words}, Style: style, Anchor: at, Clear: 3.6, Wide: true})
	}
	return out
}

func (x *tracing) find(leg string) *inspect.Strand {
	for i := range x.t.Strands {
		if x.t.Strands[i].Leg == leg {
			return &x.t.Strands[i]
		}
	}
	return nil
}

// meet finds where one of some lines crosses one of others.
func meet(a, b []run) (draw.Point, bool) {
	for _, p := range a {
		for _, q := range b {
			d, e := p.b.Sub(p.a), q.b.Sub(q.a)
			n := d.Cross(e)
			if math.Abs(n) < 1e-9 {
				continue
			}
			s, t := q.a.Sub(p.a).Cross(e)/n, q.a.Sub(p.a).Cross(d)/n
			if s > 1e-6 && s < 1-1e-6 && t > 1e-6 && t < 1-1e-6 {
				return p.a.Lerp(p.b, s), true
			}
		}
	}
	return draw.Point{}, false
}

// sides names which way the load lies.
func (x *tracing) sides(l *draw.List) []draw.Rect {
	a := x.area
	top, bottom := a.Y-10, a.Y+a.H+13
	style := look.Small.WithPaint(look.Ink)
	left, right := "the load's right", "the load's left: seats count from here"
	l.Text(draw.Pt(a.X-13, bottom), left, style.At(draw.Start, draw.CapMiddle))
	l.Text(draw.Pt(a.X+a.W+13, bottom), right, style.At(draw.End, draw.CapMiddle))
	mid := a.X + a.W/2 - 8
	l.Text(draw.Pt(mid, bottom), "FRONT", look.Strong.At(draw.Middle, draw.CapMiddle))
	l.Arrow(draw.Pt(mid+8, bottom-3), draw.Pt(mid+8, bottom+2.5), draw.ArrowStyle{Stroke: look.Ground, Length: 3, Width: 2.2})
	l.Text(draw.Pt(a.X+a.W/2, top), "rear", style.At(draw.Middle, draw.CapMiddle))
	return []draw.Rect{
		{X: a.X - 14, Y: bottom - 4, W: a.W + 28, H: 8},
		{X: a.X + a.W/2 - 5, Y: top - 2, W: 10, H: 4},
	}
}

// traceList writes beneath the picture each leg in words, by seat, and how to
// read it, and returns the height used.
func traceList(l *draw.List, r *rig.Rig, t *inspect.Traced, area draw.Rect) float64 {
	var list []inspect.Strand
	for _, a := range r.Apexes() {
		list = append(list, t.BySeat(a.ID)...)
	}
	for _, s := range t.Strands {
		if s.From.Point != "" {
			list = append(list, s)
		}
	}
	note := "Seen from before the load, facing its front and looking down; the load is stretched and the pin is enlarged. Seats count from the load's left. Full line: as planned; long dashes: wrong seat; dash and dot: wrong point; short dashes: twisted; thin dashes: where it was planned."
	style := look.Body.At(draw.Start, draw.CapTop)
	small := look.Small.WithPaint(look.Ink)
	const step = 3.9
	columns := 2
	if area.W < 120 || t.Faulty() {
		columns = 1
	}
	foot := draw.TextHeight(note, area.W, small)
	rows := (len(list) + columns - 1) / columns
	if most := int((area.H*0.45 - foot) / step); rows > most {
		rows = max(1, most)
	}
	h := float64(rows)*step + foot + 3
	top := area.Y + area.H - h + 2
	w := area.W / float64(columns)
	for i := range list {
		c, k := i/rows, i%rows
		if c >= columns {
			break
		}
		text, st := strandWords(r, &list[i]), style
		if list[i].WrongSeat || list[i].WrongPoint || list[i].Missing {
			st = st.AsBold()
		}
		if left := len(list) - columns*rows; left > 0 && i == columns*rows-1 {
			text = fmt.Sprintf("and %d more legs", left+1)
		}
		l.Text(draw.Pt(area.X+float64(c)*w, top+float64(k)*step), draw.OneLine(text, w-2, st), st)
	}
	l.TextBox(draw.Pt(area.X, area.Y+area.H-foot), area.W, note, small)
	return h
}
