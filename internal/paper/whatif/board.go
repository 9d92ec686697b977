package whatif

import (
	"fmt"
	"math"
	"strings"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/flight"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/chart"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/picture"
)

// Flight draws a sweep of airspeeds on an A4 sheet lying down: trail and
// attitude, and the legs' share of rating, over the airspeed; beneath them the
// load from its right at the speeds whose places in the sweep are chosen, all
// at one scale. It is a study, and says so larger than any number; nothing of
// it belongs on a load brief. Places that the sweep does not have are left out;
// with none chosen, rest, the middle and the fastest are drawn.
func Flight(r *rig.Rig, s *flight.Sweep, chosen []int) *draw.Picture {
	const w, h = 297.0, 210.0
	p := draw.New(w, h, "Study of flight: "+r.Title(), "Trail, attitude and shares of rating over the airspeed. "+flight.Caution)
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	inner := p.Frame().Inset(look.Margin - 2)
	y := inner.Y
	right := 0.0
	if r.Invented() {
		p.TextBox(draw.Pt(inner.X+inner.W, y), inner.W, "INVENTED", look.Loud.At(draw.End, draw.CapTop))
		right = look.Loud.Width("INVENTED") + look.Wide
	}
	loud := "STUDY OF FLIGHT"
	if len(s.Points) > 0 {
		loud += ", " + strings.ToUpper(s.Points[0].Answer.Status.String())
	}
	y += p.TextBox(draw.Pt(inner.X, y), inner.W-right, loud, look.Loud.At(draw.Start, draw.CapTop))
	y += p.TextBox(draw.Pt(inner.X, y), inner.W, draw.OneLine(r.Title(), inner.W, look.Title), look.Title.At(draw.Start, draw.CapTop))
	y += p.TextBox(draw.Pt(inner.X, y), inner.W, flight.Caution, look.Strong.At(draw.Start, draw.CapTop)) + look.Unit
	words := []string{rig.Caution}
	if len(s.Notes) > 0 {
		words = append(words, s.Notes[1:]...) // the first is the caution above
	}
	words = append(words, airOf(r, s.Conditions))
	foot := inner.Y + inner.H
	for _, text := range words {
		style := look.Small.WithPaint(look.Ink).At(draw.Start, draw.CapTop)
		foot -= draw.TextHeight(text, inner.W, style)
		p.TextBox(draw.Pt(inner.X, foot), inner.W, text, style)
	}
	foot -= look.Unit
	plots := 0.5 * (foot - y)
	half := (inner.W - look.Wide) / 2
	attitudePlot(r, s).Draw(&p.List, draw.Rect{X: inner.X, Y: y, W: half, H: plots})
	usePlot(r, s).Draw(&p.List, draw.Rect{X: inner.X + half + look.Wide, Y: y, W: half, H: plots})
	y += plots + look.Space
	atSpeeds(&p.List, r, s, chosen, draw.Rect{X: inner.X, Y: y, W: inner.W, H: foot - y})
	return p
}

// airOf says what the study is made under.
func airOf(r *rig.Rig, c flight.Conditions) string {
	return fmt.Sprintf("Air of %.3f kg/m³ from %s; load factor %.3g.", c.Density, c.FromWords(r.Show().Angle), c.LoadFactor)
}

// knots is the axis of both plots, as far as the sweep goes, so that both have
// it alike though one of them may have no data.
func knots(s *flight.Sweep) chart.Axis {
	fastest := 0.0
	for _, q := range s.Points {
		fastest = max(fastest, q.Speed/quantity.Knot)
	}
	return chart.Axis{Label: "airspeed, kt", Max: fastest, Zero: true}
}

func attitudePlot(r *rig.Rig, s *flight.Sweep) chart.Plot {
	body := r.Bodies()[0].ID
	plot := chart.Plot{Title: "Trail and attitude, deg", X: knots(s), Y: chart.Axis{Zero: true}}
	trail, pitch, roll := chart.Series{Name: "trail"}, chart.Series{Name: "pitch of " + body + ", nose up"}, chart.Series{Name: "roll, right side down"}
	for _, q := range s.Points {
		x := q.Speed / quantity.Knot
		at := func(rad float64) draw.Point {
			if !q.Agrees {
				rad = math.NaN() // no steady position: a gap
			}
			return draw.Pt(x, rad/quantity.Degree)
		}
		trail.Points = append(trail.Points, at(q.Trail))
		pitch.Points = append(pitch.Points, at(q.Bodies[0].Pitch))
		roll.Points = append(roll.Points, at(q.Bodies[0].Roll))
	}
	plot.Series = []chart.Series{trail, pitch, roll}
	plot.Limits = firstLines(s, flight.FirstOutside, flight.FirstTrail, flight.FirstUnsettle)
	return plot
}

func usePlot(r *rig.Rig, s *flight.Sweep) chart.Plot {
	plot := chart.Plot{Title: "Pull along each leg in its worst case, % of its rating", X: knots(s), Y: chart.Axis{Zero: true}}
	legs := r.Legs()
	rated := false
	for i := range legs {
		x := chart.Series{Name: legs[i].ID}
		for _, q := range s.Points {
			use := math.NaN()
			if l := q.Legs[i]; l.Rated && q.Agrees {
				use = 100 * l.Use
				rated = true
			}
			x.Points = append(x.Points, draw.Pt(q.Speed/quantity.Knot, use))
		}
		plot.Series = append(plot.Series, x)
	}
	if len(plot.Series) > 6 {
		// More lines than can be told apart: only the highest of all legs.
		highest := chart.Series{Name: "highest of all legs"}
		for _, q := range s.Points {
			use := math.NaN()
			if q.Rated && q.Agrees {
				use = 100 * q.Use
			}
			highest.Points = append(highest.Points, draw.Pt(q.Speed/quantity.Knot, use))
		}
		plot.Series = []chart.Series{highest}
	}
	if !rated {
		plot.Title = "No leg has a rating entered"
	}
	plot.Limits = append([]chart.Limit{{At: 100, Label: "rating", Beyond: chart.Above}}, firstLines(s, flight.FirstSlack, flight.FirstOver)...)
	return plot
}

// firstLines are lines across a plot at the speeds at which something comes
// first. What is so at rest needs none.
func firstLines(s *flight.Sweep, kinds ...string) []chart.Limit {
	words := map[string]string{
		flight.FirstSlack: "a leg goes slack", flight.FirstOver: "a limit is passed", flight.FirstOutside: "attitude leaves its band",
		flight.FirstTrail: "trail reaches the angle set", flight.FirstUnsettle: "no steady position",
	}
	var out []chart.Limit
	for _, f := range s.Firsts {
		for _, k := range kinds {
			if f.Kind == k && f.Found && !f.Rest {
				out = append(out, chart.Limit{OnX: true, At: f.Speed / quantity.Knot, Label: words[k], Beyond: chart.Above})
			}
		}
	}
	return out
}

// atSpeeds draws the load at chosen speeds of the sweep.
func atSpeeds(l *draw.List, r *rig.Rig, s *flight.Sweep, chosen []int, area draw.Rect) {
	if len(chosen) == 0 {
		chosen = []int{0, len(s.Points) / 2, len(s.Points) - 1}
	}
	var list []*flight.Point
	for _, i := range chosen {
		if i >= 0 && i < len(s.Points) {
			list = append(list, s.Points[i])
		}
	}
	if len(list) == 0 {
		return
	}
	words := look.Body.LineHeight()
	w := area.W / float64(len(list))
	var hung []*rig.Answer
	var areas []draw.Rect
	for i, q := range list {
		box := draw.Rect{X: area.X + float64(i)*w, Y: area.Y, W: w, H: area.H - words}
		hung, areas = append(hung, q.Answer), append(areas, box)
		l.TextBox(draw.Pt(box.X+w/2, box.Y+box.H+look.Unit/2), w, atSpeed(r, q), look.Body.At(draw.Middle, draw.CapTop))
	}
	picture.Beside(l, hung, picture.Side, areas)
}

// atSpeed says at which speed the load is drawn.
func atSpeed(r *rig.Rig, q *flight.Point) string {
	text := "at rest"
	if q.Speed > 0 {
		text = fmt.Sprintf("%s: trail %s", r.Show().Airspeed(q.Speed), r.Show().Angle(q.Trail))
	}
	if !q.Agrees {
		text += ", no steady position found"
	}
	return text
}
