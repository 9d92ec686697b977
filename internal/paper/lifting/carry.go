package lifting

import (
	"fmt"
	"math"
	"strings"

	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/chart"
	"hangtrue/internal/paper/draw/look"
)

// CarrySheet is whether an aircraft can carry a load, to be drawn.
type CarrySheet struct {
	Title    string // of the load
	Aircraft string
	Invented bool
	Status   string // of the rig; stands above every number
	Show     quantity.System
	Load     lift.Weight
	Answer   *lift.Answer
	Edges    [2]lift.Edge
	Version  string // of the rig
}

// Carry draws on an A4 sheet lying down every limit as the load that it allows,
// beside the load, and how hot and how high the load still goes.
func Carry(s CarrySheet) *draw.Picture {
	p := draw.New(wide, high, "What the aircraft can carry: "+s.Title, fmt.Sprintf("%s. %s: %s.", s.Status, s.Answer.Result.Words(), s.Answer.Reason))
	area := head(p, s.Status, s.Title+" under "+s.Aircraft, s.Invented, madeFrom("rig file", s.Version))
	area.Y += p.TextBox(area.Min(), area.W, spelling.Capital(s.Answer.Result.Words())+": "+s.Answer.Reason+".", look.Strong.At(draw.Start, draw.CapTop)) + look.Space
	area.H = high - look.Margin - 8 - area.Y
	half := (area.W - look.Wide) / 2
	bars(&p.List, s, draw.Rect{X: area.X, Y: area.Y, W: half, H: area.H})
	reach(&p.List, s.Show, s.Edges, draw.Rect{X: area.X + half + look.Wide, Y: area.Y, W: half, H: area.H})
	return p
}

// bars draws each limit as a bar as long as the load that it allows.
func bars(l *draw.List, s CarrySheet, frame draw.Rect) {
	a, show := s.Answer, s.Show
	most := s.Load.Highest()
	for _, x := range a.Allowed {
		if x.Known {
			most = math.Max(most, math.Min(x.Load, 3*s.Load.Highest()))
		}
	}
	y := frame.Y
	y += l.TextBox(draw.Pt(frame.X, y), frame.W, "What each limit allows, beside the load", look.Head.At(draw.Start, draw.CapTop)) + look.Space
	y += l.TextBox(draw.Pt(frame.X, y), frame.W, "Load: "+s.Load.Show(show), look.Body.At(draw.Start, draw.CapTop)) + look.Space
	row := math.Min(14, (frame.Y+frame.H-y-6)/float64(len(a.Allowed)))
	scale := func(kg float64) float64 { return frame.X + frame.W*math.Max(0, math.Min(1, kg/(1.05*most))) }
	top := y
	var texts draw.List // over the bars
	at := scale(s.Load.Mass)
	for _, i := range a.Order() {
		x := a.Allowed[i]
		// The load's line leaves out the words, which it would strike through.
		texts.Line(draw.Pt(at, y+3.2), draw.Pt(at, y+row-0.9), look.Force)
		name := x.What + ", " + x.End
		style := look.OnDrawing.At(draw.Start, draw.CapTop)
		if i == a.Governing {
			name += " (governs)"
			style = style.AsBold()
		}
		if !x.Known {
			texts.Text(draw.Pt(frame.X, y), draw.OneLine(name+": cannot tell", frame.W, style), style)
			l.Hatch(1.6, 45, look.HatchLine, draw.Rect{X: frame.X, Y: y + 3.4, W: frame.W, H: row * 0.28}.Corners())
			y += row
			continue
		}
		figure := show.Mass(math.Max(0, x.Load))
		if x.Load < 0 {
			figure = "nothing"
		}
		texts.Text(draw.Pt(frame.X, y), draw.OneLine(name, frame.W-style.Width(figure)-3, style), style)
		texts.Text(draw.Pt(frame.X+frame.W, y), figure, style.At(draw.End, draw.CapTop))
		bar := draw.Rect{X: frame.X, Y: y + 3.4, W: scale(x.Load) - frame.X, H: row * 0.28}
		if bar.W > 0.1 {
			stroke := look.Detail
			if i == a.Governing {
				stroke = look.Ground
			}
			l.Rect(bar, stroke, look.Load)
		}
		if x.Load > 1.05*most {
			texts.Text(draw.Pt(frame.X+frame.W-0.6, bar.Y+bar.H/2), "goes on", look.Small.WithPaint(look.Ink).At(draw.End, draw.CapMiddle))
		}
		y += row
	}
	// The load, with its tolerance.
	if s.Load.Band > 0 {
		l.Hatch(1.2, 135, look.HatchLine, draw.Span(draw.Pt(scale(s.Load.Mass-s.Load.Band), top), draw.Pt(scale(s.Load.Highest()), y-2)).Corners())
	}
	l.Add(texts.Items...)
	label := "load " + show.Mass(s.Load.Mass)
	anchor := draw.Middle
	if at+look.Strong.Width(label)/2 > frame.X+frame.W {
		anchor = draw.End
	}
	l.Text(draw.Pt(at, y+0.6), label, look.Strong.At(anchor, draw.CapTop))
}

// Reach draws how high the load still goes at each temperature, a line for the
// fuel of either end, and the two ends as marks: beneath its line the load goes
// by the hover table, above it does not. Size in mm.
func Reach(show quantity.System, edges [2]lift.Edge, width, height float64) *draw.Picture {
	p := draw.New(width, height, "How hot and how high the load still goes", describeEdges(show, edges))
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	reach(&p.List, show, edges, p.Frame().Inset(look.Space))
	return p
}

func describeEdges(show quantity.System, edges [2]lift.Edge) string {
	var out []string
	for i, name := range []string{"pick-up", "drop-off"} {
		hot, top := edges[i].Words(show)
		out = append(out, fmt.Sprintf("At %s: at its altitude %s; at its temperature %s.", name, hot, top))
	}
	return strings.Join(out, " ")
}

func reach(l *draw.List, show quantity.System, edges [2]lift.Edge, frame draw.Rect) {
	sc := scales{show}
	plot := chart.Plot{
		Title: "How hot and how high it still goes, by the hover table",
		X:     chart.Axis{Label: "temperature, " + sc.temperature()},
		Y:     chart.Axis{Label: "pressure altitude, ft"},
	}
	for i, name := range []string{"pick-up", "drop-off"} {
		e := &edges[i]
		if e.Err != nil {
			continue
		}
		x := chart.Series{Name: fmt.Sprintf("highest with the fuel at %s, %s in all", name, show.Mass(e.Gross)), Stroke: look.Series(i)}
		for _, h := range e.Line {
			x.Points = append(x.Points, draw.Pt(sc.in(h.Temperature, sc.temperature()), sc.in(h.Altitude, "ft")))
		}
		plot.Series = append(plot.Series, x)
		mark := chart.Circle
		if i == 1 {
			mark = chart.Square
		}
		words := name
		if e.End.Place != "" {
			words += " " + e.End.Place
		}
		plot.Notes = append(plot.Notes, chart.Note{At: draw.Pt(sc.in(e.End.Temperature, sc.temperature()), sc.in(e.End.PressureAltitude, "ft")), Text: words, Marker: mark, Prefer: draw.Pt(1, 1)})
	}
	if len(plot.Series) == 0 {
		l.TextBox(frame.Min(), frame.W, "How hot and how high: cannot tell, no hover table is entered.", look.Strong.At(draw.Start, draw.CapTop))
		return
	}
	ranges(&plot, sc, edges)
	words := "Beneath its line the load is carried by the table; above it is not. A line ends where the table ends: nothing is extrapolated. Weights and ratings do not change with the air and are not in this picture."
	style := look.Small.WithPaint(look.Ink).At(draw.Start, draw.CapTop)
	foot := draw.TextHeight(words, frame.W, style)
	plot.Draw(l, draw.Rect{X: frame.X, Y: frame.Y, W: frame.W, H: frame.H - foot - look.Unit})
	l.TextBox(draw.Pt(frame.X, frame.Y+frame.H-foot), frame.W, words, style)
}

// ranges sets the axes so that the whole of what is drawn is seen: the lines,
// both ends, and altitudes from the lowest of them.
func ranges(p *chart.Plot, sc scales, edges [2]lift.Edge) {
	lo, hi := draw.Pt(math.Inf(1), math.Inf(1)), draw.Pt(math.Inf(-1), math.Inf(-1))
	take := func(q draw.Point) {
		if math.IsNaN(q.X) || math.IsNaN(q.Y) {
			return
		}
		lo, hi = draw.Pt(math.Min(lo.X, q.X), math.Min(lo.Y, q.Y)), draw.Pt(math.Max(hi.X, q.X), math.Max(hi.Y, q.Y))
	}
	for _, s := range p.Series {
		for _, q := range s.Points {
			take(q)
		}
	}
	for i := range edges {
		e := &edges[i]
		if e.Err != nil {
			continue
		}
		take(draw.Pt(sc.in(e.End.Temperature, sc.temperature()), sc.in(e.End.PressureAltitude, "ft")))
		for _, h := range e.Line {
			lo.X, hi.X = math.Min(lo.X, sc.in(h.Temperature, sc.temperature())), math.Max(hi.X, sc.in(h.Temperature, sc.temperature()))
		}
	}
	lo.Y = math.Min(lo.Y, 0)
	step := chart.Step125(hi.Y-lo.Y, 8)
	p.Y.Min, p.Y.Max = math.Floor(lo.Y/step)*step, math.Ceil(hi.Y/step+0.25)*step
	step = chart.Step125(hi.X-lo.X, 8)
	p.X.Min, p.X.Max = math.Floor(lo.X/step)*step, math.Ceil(hi.X/step)*step
}
