package whatif

import (
	"fmt"
	"math"
	"strings"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/flight"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/picture"
	"hangtrue/internal/paper/sheet"
)

// Study is a study of flight as it goes on paper.
type Study struct {
	Rest      *rig.Answer // at rest, with no load factor: what the head of the sheet says
	Sweep     *flight.Sweep
	Drags     []flight.BodyDrag
	Rotor     *flight.Rotor // nil where none was given
	RotorOf   string        // which aircraft's; may be empty
	Beats     []flight.Beat
	Limit     []flight.LimitLoad
	Published string // the airspeed that the rig's procedure gives; "" for none
	Stopped   bool
}

// FlightSheet is a study of flight as A4 pages. Whatever it says, it says that
// it is a study; no line of it is written so that it could be a brief's.
func FlightSheet(x Study, stamp sheet.Stamp) []*draw.Picture {
	r := x.Rest.Rig
	show := r.Show()
	published := "No published airspeed is entered."
	if x.Published != "" {
		published = "Airspeed that the procedure gives, as entered: " + x.Published
	}
	d := &pages{plan: x.Rest, stamp: stamp, what: "Study of flight", under: []string{flight.Caution, published}}
	d.page()
	d.say(airOf(r, x.Sweep.Conditions), look.Body)
	if x.Stopped {
		d.say("Interrupted: the faster speeds are not studied, and nothing is looked for.", look.Strong)
	}
	const plots = 72.0
	d.y += look.Space
	d.need(plots)
	d.put(Curves(r, x.Sweep, -1, d.area.W, plots), 0, 1)
	d.y += plots
	if len(x.Sweep.Firsts) > 0 {
		d.head("What comes first, in the study only; no bound to fly to", 10)
		d.points(FirstWords(r, x.Sweep), look.Body)
	}
	last := len(x.Sweep.Points) - 1
	for last > 0 && !x.Sweep.Points[last].Agrees {
		last--
	}
	const drawn = 84.0
	if last > 0 {
		d.head("The load from its right", drawn)
		for i, at := range []int{(last + 1) / 2, last} {
			if i > 0 && at == (last+1)/2 {
				continue
			}
			d.need(drawn)
			d.put(AtSpeed(r, x.Sweep, at, picture.Side, d.area.W, drawn), 0, 1)
			d.y += drawn + look.Unit
		}
	}
	d.speeds(r, x.Sweep)
	d.swings(x.Sweep, last)
	d.rotor(r, &x)
	d.head(fmt.Sprintf("Limit load of the attaching means: %.3g times the weight, straight down and %s aside", flight.LimitFactor, show.Angle(flight.LimitAngle)), 30)
	var rows [][]string
	for _, l := range x.Limit {
		rows = append(rows, []string{l.Direction, show.Force(l.Down), show.Force(l.Aside), show.Force(l.Pull), l.Leg})
	}
	d.table([]picture.Column{{Head: "direction", Width: 3}, {Head: "down", Width: 2, Right: true}, {Head: "aside", Width: 2, Right: true}, {Head: "highest leg pull", Width: 2.5, Right: true}, {Head: "leg", Width: 3}}, rows)
	d.say("14 CFR 29.865 and 27.865, the factor from memory; held against nothing here, as ratings are working ratings.", look.Small.WithPaint(look.Ink))
	d.head("What is left out, and what the drag is taken from", 10)
	list := append([]string{}, x.Sweep.Notes...)
	if len(list) > 0 {
		list = list[1:] // the first is the caution on top
	}
	for _, g := range x.Drags {
		list = append(list, fmt.Sprintf("Drag areas of %s: %s for air from ahead, %s from the side, %s from below; %s.", g.Body, show.Area(g.Areas[0]), show.Area(g.Areas[1]), show.Area(g.Areas[2]), g.Source))
	}
	d.points(list, look.Body)
	return d.done()
}

// FirstWords says what comes first and at which speed, a line each.
func FirstWords(r *rig.Rig, s *flight.Sweep) []string {
	words := map[string]string{
		flight.FirstSlack: "A leg slack", flight.FirstOver: "A limit passed", flight.FirstOutside: "Attitude out of its band",
		flight.FirstTrail: "The trail reaches the angle set", flight.FirstUnsettle: "No steady position",
	}
	var out []string
	for _, f := range s.Firsts {
		switch {
		case !f.Found:
			out = append(out, spelling.Capital(f.What)+", up to the fastest speed studied.")
		case f.Rest:
			out = append(out, fmt.Sprintf("%s, already at rest: %s.", words[f.Kind], f.What))
		default:
			out = append(out, fmt.Sprintf("%s, from about %s in this study: %s.", words[f.Kind], r.Show().Airspeed(f.Speed), f.What))
		}
	}
	return out
}

// speeds tables the sweep.
func (d *pages) speeds(r *rig.Rig, s *flight.Sweep) {
	show := r.Show()
	d.head("Over the airspeed", 20)
	var rows [][]string
	for _, q := range s.Points {
		if !q.Agrees {
			rows = append(rows, []string{show.Airspeed(q.Speed), "–", "–", "–", "–", "–", "no steady position found"})
			continue
		}
		use := "not rated"
		if q.Rated {
			use = q.Leg + " " + show.Percent(q.Use)
		}
		slack := "–"
		if len(q.Slack) > 0 {
			slack = strings.Join(q.Slack, " ")
		}
		rows = append(rows, []string{
			show.Airspeed(q.Speed), show.Force(q.Drag), show.Angle(q.Trail), fmt.Sprintf("%s / %s", degrees(q.Bodies[0].Pitch), degrees(q.Bodies[0].Roll)), use, slack, q.Result.Words(),
		})
	}
	d.table([]picture.Column{
		{Head: "airspeed", Width: 2, Right: true},
		{Head: "drag", Width: 2, Right: true},
		{Head: "trail", Width: 2, Right: true},
		{Head: "pitch / roll, deg", Width: 3, Right: true},
		{Head: "most used leg", Width: 3},
		{Head: "slack", Width: 2},
		{Head: "against the limits entered", Width: 5},
	}, rows)
}

func degrees(rad float64) string {
	text := fmt.Sprintf("%.1f", rad/quantity.Degree)
	if text == "-0.0" {
		return "0.0"
	}
	return strings.Replace(text, "-", "−", 1)
}

// swings tables the small motions at rest and at the fastest steady speed.
func (d *pages) swings(s *flight.Sweep, last int) {
	var rows [][]string
	for i, q := range s.Points {
		if i != 0 && i != last {
			continue
		}
		for _, m := range q.Modes {
			if m.Frequency > 0 {
				rows = append(rows, []string{fmt.Sprintf("%.0f kt", q.Speed/quantity.Knot), m.Shape, fmt.Sprintf("%.3g s", 1/m.Frequency), fmt.Sprintf("%.3g Hz", m.Frequency)})
			}
		}
	}
	if len(rows) == 0 {
		return
	}
	d.head("Small motions under steady forces, the hook held still; no prediction of oscillation in flight", 20)
	d.table([]picture.Column{{Head: "airspeed", Width: 1.4, Right: true}, {Head: "motion", Width: 7}, {Head: "period", Width: 1.5, Right: true}, {Head: "frequency", Width: 1.5, Right: true}}, rows)
}

// rotor holds the bounce against the rotor.
func (d *pages) rotor(r *rig.Rig, x *Study) {
	if x.Rotor == nil {
		return
	}
	const h = 34.0
	d.head(fmt.Sprintf("Bounce at rest beside the rotor: %s, %d blades", r.Show().RotationRate(x.Rotor.Speed), x.Rotor.Blades), h)
	if x.RotorOf != "" {
		d.say("Rotor of "+x.RotorOf+".", look.Body)
	}
	if len(x.Beats) == 0 {
		d.say("No motion with a bounce in it is found.", look.Body)
		return
	}
	d.need(h)
	d.put(Beats(r, x.Beats, d.area.W, h), 0, 1)
	d.y += h
	d.points(BeatWords(x.Beats), look.Body)
}

// BeatWords says how each bounce stands to the rotor, a line each.
func BeatWords(list []flight.Beat) []string {
	var out []string
	for _, b := range list {
		off := math.Abs(b.Bounce-b.Rotor) / b.Rotor
		text := fmt.Sprintf("%s at %.3g Hz is %.0f %% off %s (%.3g Hz)", spelling.Capital(b.Mode), b.Bounce, 100*off, b.Of, b.Rotor)
		if b.Near {
			text += fmt.Sprintf(": NEAR, within the band of %.0f %%", 100*flight.Band)
		}
		out = append(out, text+".")
	}
	return append(out, fmt.Sprintf("The band of %.0f %% is our choice, no source. The hook is held still here: under an aircraft that gives way, a bounce is faster.", 100*flight.Band))
}
