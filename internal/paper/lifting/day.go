package lifting

import (
	"fmt"
	"math"

	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/chart"
	"hangtrue/internal/paper/draw/look"
)

// DaySheet is a day as planned, to be drawn.
type DaySheet struct {
	Title    string
	Aircraft string
	Invented bool
	Show     quantity.System
	Begins   float64 // s from midnight
	Plan     *lift.Plan
	Fuel     float64 // kg at the beginning
	Reserve  float64 // kg
	Version  string
	Findings []rig.Finding
}

// Day draws the timeline of a day on an A4 sheet lying down: a row for each
// lift with what is done when, the fuel beneath it, and what is left over.
func Day(s DaySheet) *draw.Picture {
	title := s.Title
	if title == "" {
		title = "Day's work"
	}
	p := draw.New(wide, high, title, describeDay(s))
	area := head(p, "", title+", "+s.Aircraft, s.Invented, madeFrom("day's file", s.Version))
	y := area.Y
	y += p.TextBox(draw.Pt(area.X, y), area.W, describeDay(s), look.Body.At(draw.Start, draw.CapTop)) + look.Space
	end := s.Plan.Finished
	if end <= 0 {
		end = quantity.Hour
	}
	for _, t := range s.Plan.Trips {
		end = math.Max(end, t.Stages[len(t.Stages)-1].End)
	}
	notes := leftWords(s)
	below := 0.0
	style := look.Body.At(draw.Start, draw.CapTop)
	for _, n := range notes {
		below += draw.TextHeight(n, area.W, style)
	}
	fuel := math.Max(46, math.Min(80, area.Y+area.H-y-below-14*float64(len(s.Plan.Trips))-20))
	rows := area.Y + area.H - y - below - fuel - 3*look.Space
	names := 34.0
	x := func(t float64) float64 { return area.X + names + (area.W-names)*t/end }
	used := timeline(&p.List, s, x, draw.Rect{X: area.X, Y: y, W: area.W, H: rows}, names, end)
	y += used + look.Space
	fuelPlot(&p.List, s, draw.Rect{X: area.X, Y: y, W: area.W, H: fuel}, end)
	y += fuel + look.Space
	for _, n := range notes {
		y += p.TextBox(draw.Pt(area.X, y), area.W, n, style)
	}
	return p
}

func describeDay(s DaySheet) string {
	text := fmt.Sprintf("%d of %d lifts are planned; the last load is down at %s.", len(s.Plan.Trips), len(s.Plan.Trips)+len(s.Plan.Left), clock(s.Begins+s.Plan.Finished))
	if len(s.Plan.Trips) == 0 {
		text = "No lift is planned."
	}
	if !s.Plan.Proved {
		text += " Not every order was tried: a better day may exist."
	}
	return text
}

// leftWords says what is left over and what is open, at most so much that the
// sheet keeps room for the timeline.
func leftWords(s DaySheet) []string {
	const most = 8
	var out []string
	for _, l := range s.Plan.Left {
		out = append(out, fmt.Sprintf("Left over: %s, %s: %s.", l.Lift, l.Result.Words(), l.Why))
	}
	for _, f := range s.Findings {
		if f.Level > rig.Note {
			out = append(out, fmt.Sprintf("%s: %s: %s.", [...]string{rig.Note: "", rig.Unknown: "Cannot tell", rig.Exceeded: "Over a limit"}[f.Level], f.About, f.Text))
		}
	}
	if len(out) > most {
		out = append(out[:most-1], fmt.Sprintf("%d more are not shown here.", len(out)-most+1))
	}
	return out
}

func clock(seconds float64) string {
	m := int(math.Round(seconds / quantity.Minute))
	return fmt.Sprintf("%02d:%02d", m/60, m%60)
}

// ticks are round times of day over the plan.
func ticks(s DaySheet, end float64) (list []float64) {
	step := 10 * quantity.Minute
	for _, try := range []float64{10, 15, 30, 60, 120} {
		if step = try * quantity.Minute; end/step <= 12 {
			break
		}
	}
	for t := math.Ceil(s.Begins/step) * step; t <= s.Begins+end+1; t += step {
		list = append(list, t-s.Begins)
	}
	return list
}

// timeline draws a row for each trip and returns the height used.
func timeline(l *draw.List, s DaySheet, x func(float64) float64, area draw.Rect, names, end float64) float64 {
	trips := s.Plan.Trips
	if len(trips) == 0 {
		return 0
	}
	top := area.Y + 5
	row := math.Max(3.2, math.Min(14, (area.H-8)/float64(len(trips))))
	shown := min(len(trips), int((area.H-8)/row))
	bottom := top + row*float64(shown)
	for _, t := range ticks(s, end) {
		l.Line(draw.Pt(x(t), top-1), draw.Pt(x(t), bottom), look.GridLine)
		l.Text(draw.Pt(x(t), top-1.6), clock(s.Begins+t), look.Small.At(draw.Middle, draw.Baseline))
	}
	for i, t := range trips[:shown] {
		y := top + row*float64(i)
		l.Line(draw.Pt(area.X, y+row), draw.Pt(area.X+area.W, y+row), look.GridLine)
		style := look.Strong.At(draw.Start, draw.CapMiddle)
		l.Text(draw.Pt(area.X, y+row/2), draw.OneLine(fmt.Sprintf("%d. %s", i+1, t.Lift), names-2, style), style)
		for _, g := range t.Stages {
			stage(l, g, draw.Rect{X: x(g.Begin), Y: y + row*0.18, W: x(g.End) - x(g.Begin), H: row * 0.64})
		}
	}
	if shown < len(trips) {
		l.Text(draw.Pt(area.X, bottom+1), fmt.Sprintf("and %d more lifts, in the table", len(trips)-shown), look.Body.At(draw.Start, draw.CapTop))
		bottom += 4
	}
	l.Line(draw.Pt(area.X+names, top), draw.Pt(area.X+names, bottom), look.Axis)
	return bottom - area.Y
}

// stage draws one stage; what is done differs in fill and hatch, and is written
// where there is room.
func stage(l *draw.List, g lift.Stage, r draw.Rect) {
	word := g.What
	switch g.What {
	case "carry":
		l.Rect(r, look.Outline, look.LoadB)
		word = "carry to " + g.To
	case "fly":
		l.Rect(r, look.Detail, look.Paper)
		word = "fly to " + g.To
	case "refuel":
		l.Rect(r, look.Detail, look.Paper)
		l.Hatch(1.1, 45, look.HatchLine, r.Corners())
	default:
		l.Rect(r, look.Detail, look.Shade)
	}
	style := look.Small.WithPaint(look.Ink).WithHalo(look.Paper).At(draw.Middle, draw.CapMiddle)
	for _, w := range []string{word, g.What} {
		if style.Width(w)+1 <= r.W {
			l.Text(draw.Pt(r.X+r.W/2, r.Y+r.H/2), w, style)
			return
		}
	}
}

// fuelPlot draws the fuel over the day with the reserve as a limit.
func fuelPlot(l *draw.List, s DaySheet, frame draw.Rect, end float64) {
	sc := scales{s.Show}
	x := chart.Series{Stroke: look.Outline}
	last := sc.in(s.Fuel, sc.mass())
	x.Points = append(x.Points, draw.Pt(0, last))
	for _, t := range s.Plan.Trips {
		for _, g := range t.Stages {
			if g.What == "refuel" {
				x.Points = append(x.Points, draw.Pt(g.Begin/quantity.Hour, last))
			}
			last = sc.in(g.FuelEnd, sc.mass())
			x.Points = append(x.Points, draw.Pt(g.End/quantity.Hour, last))
		}
	}
	var marks []chart.Tick
	for _, t := range ticks(s, end) {
		marks = append(marks, chart.Tick{At: t / quantity.Hour, Label: clock(s.Begins + t)})
	}
	plot := chart.Plot{
		Title:  "Fuel, " + sc.mass(),
		X:      chart.Axis{Min: 0, Max: end / quantity.Hour, Ticks: marks},
		Y:      chart.Axis{Zero: true},
		Series: []chart.Series{x},
		Limits: []chart.Limit{{At: sc.in(s.Reserve, sc.mass()), Label: "reserve", Beyond: chart.Below}},
	}
	plot.Draw(l, frame)
}
