package whatif

import (
	"fmt"
	"math"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/fault"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/chart"
	"hangtrue/internal/paper/draw/look"
)

// Travel draws what one leg's count does as it goes off either way, over the
// link held: the highest share of rating of any leg, and pitch and roll; with
// several bodies, how far the one that moves most leans from the plan. Size in mm. It returns nil for a leg without a count in the
// table.
func Travel(r *rig.Rig, t *fault.Table, leg string, width, height float64) *draw.Picture {
	l, ok := r.Leg(leg)
	rows := t.OfLeg(leg)
	if !ok || l.Count == nil || len(rows) == 0 {
		return nil
	}
	p := draw.New(width, height, fmt.Sprintf("Count of leg %s: %s", leg, r.Title()), fmt.Sprintf("Highest share of rating and attitude over the count of leg %s, planned %d.", leg, *l.Count))
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	all := []*fault.Row{}
	for _, w := range rows {
		if w.Fault.Links > 0 && (len(all) == 0 || all[len(all)-1].Fault.Links < 0) {
			all = append(all, &t.Plan)
		}
		all = append(all, w)
	}
	if all[len(all)-1].Fault.Links < 0 {
		all = append(all, &t.Plan)
	}
	axis := chart.Axis{Label: fmt.Sprintf("link of leg %s in the hook, planned %d", leg, *l.Count), Min: float64(*l.Count + all[0].Fault.Links), Max: float64(*l.Count + all[len(all)-1].Fault.Links)}
	share := chart.Plot{Title: "Highest share of a leg's rating, %", X: axis, Y: chart.Axis{Zero: true}}
	lean := chart.Plot{Title: "Attitude, deg", X: axis}
	use := chart.Series{Marker: chart.Circle}
	pitch := chart.Series{Name: "pitch, nose up", Marker: chart.Circle}
	roll := chart.Series{Name: "roll, right side down", Marker: chart.Square}
	moved := chart.Series{Name: "of the body that moves most", Marker: chart.Circle}
	rated, most := false, 0.0
	for _, w := range all {
		x, v := float64(*l.Count+w.Fault.Links), math.NaN()
		if w.Rated {
			v, rated = 100*w.Use, true
			most = max(most, v)
		}
		use.Points = append(use.Points, draw.Pt(x, v))
		pitch.Points = append(pitch.Points, draw.Pt(x, w.Pitch/quantity.Degree))
		roll.Points = append(roll.Points, draw.Pt(x, w.Roll/quantity.Degree))
		moved.Points = append(moved.Points, draw.Pt(x, w.Moved/quantity.Degree))
	}
	share.Series = []chart.Series{use}
	lean.Series = []chart.Series{pitch, roll}
	if len(r.Bodies()) > 1 {
		// Which of several bodies moves most changes from count to count, and
		// so would whose pitch and roll it is.
		lean.Title, lean.Y = "Lean from the plan, deg", chart.Axis{Zero: true}
		lean.Series = []chart.Series{moved}
	}
	if most > 80 {
		share.Limits = []chart.Limit{{At: 100, Label: "rating", Beyond: chart.Above}}
	}
	frame := p.Frame().Inset(look.Unit)
	if r.Invented() {
		p.Text(draw.Pt(frame.X+frame.W, frame.Y), "INVENTED", look.Strong.At(draw.End, draw.CapTop))
		frame.Y += 4
		frame.H -= 4
	}
	if !rated {
		planned(&p.List, lean.Draw(&p.List, frame), *l.Count)
		return p
	}
	left, right := halves(frame)
	planned(&p.List, share.Draw(&p.List, left), *l.Count)
	planned(&p.List, lean.Draw(&p.List, right), *l.Count)
	return p
}

// halves cuts a frame in two, side by side, or one over the other where it is
// taller than wide.
func halves(frame draw.Rect) (first, second draw.Rect) {
	first, second = frame, frame
	if frame.W > frame.H {
		first.W = (frame.W - look.Wide) / 2
		second.X, second.W = frame.X+first.W+look.Wide, first.W
		return first, second
	}
	first.H = (frame.H - look.Wide) / 2
	second.Y, second.H = frame.Y+first.H+look.Wide, first.H
	return first, second
}

// planned draws a line at the planned count.
func planned(l *draw.List, v chart.View, count int) {
	x := v.Map(draw.Pt(float64(count), 0)).X
	l.Line(draw.Pt(x, v.Area.Y), draw.Pt(x, v.Area.Y+v.Area.H), look.Center)
}

// Share draws how the hooks share the load over the pitch of the aircraft. Size
// in mm.
func Share(r *rig.Rig, list []fault.AtPitch, width, height float64) *draw.Picture {
	p := draw.New(width, height, "Load share of the hooks: "+r.Title(), "Share of the load that each hook carries, over the pitch of the aircraft.")
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	frame := p.Frame().Inset(look.Unit)
	if r.Invented() {
		p.Text(draw.Pt(frame.X+frame.W, frame.Y), "INVENTED", look.Strong.At(draw.End, draw.CapTop))
		frame.Y += 4
		frame.H -= 4
	}
	plot := chart.Plot{X: chart.Axis{Label: "pitch of the aircraft, deg, nose up"}, Y: chart.Axis{Label: "share of the load, %", Zero: true}}
	if len(list) > 0 {
		for i := range list[0].Share {
			s := chart.Series{Name: "hook of " + list[0].Share[i].Hook, Marker: chart.Circle + chart.Marker(i%2)}
			for _, x := range list {
				s.Points = append(s.Points, draw.Pt(x.Aircraft/quantity.Degree, 100*x.Share[i].Share))
			}
			plot.Series = append(plot.Series, s)
		}
	}
	plot.Draw(&p.List, frame)
	return p
}
