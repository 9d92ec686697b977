package web

import (
	"fmt"
	"html/template"
	"math"
	"strconv"
	"strings"

	"hangtrue/internal/engine/rig"
	steady "hangtrue/internal/engine/rig/flight"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/svg"
	"hangtrue/internal/paper/picture"
	"hangtrue/internal/paper/whatif"
)

// flightView is the page of a study, all words and numbers as they are shown.
type flightView struct {
	rigHead
	Study     string // its caution; that of the page stands at its foot
	Published string
	Ask       *flightAsk
	Aircraft  []rotorChoice
	Chosen    string
	Has       bool
	Stopped   bool
	Air       string
	Firsts    []string
	At        *flightAt
	Rotor     string
	Beats     template.HTML
	BeatsTall template.HTML
	BeatWords []string
	Speeds    []flightRow
	Body      string
	Limit     []flightLimitRow
	LimitHead string
	Notes     []string
	Query     string
	Hidden    []flightField
}

// flightAt is the load at one speed of the study.
type flightAt struct {
	Place, Last          int
	Speed                string
	Wide, Narrow         template.HTML
	Curves, CurvesTall   template.HTML
	Slower, Faster       string // addresses; "" at the ends
	Views                []faultViewLink
	Kind, Result, Reason string
	Steady               bool
	Facts                []faultBeside
	Legs                 []flightLegRow
	Modes                []flightModeRow
	Remarks              []string
}

type flightLegRow struct {
	ID, Rest, Pull, Worst, Use string
	Over                       bool
}

type flightModeRow struct {
	Shape, Period, Frequency string
	Sign                     string // which small picture stands for the motion; "" for none
	Milliseconds             int    // of one to and fro
}

// motionSigns are the motions that have a sign, by their plain names.
var motionSigns = map[string]string{
	"swing fore and aft": "swing", "swing sideways": "sway", "twist": "twist", "bounce": "bounce", "pitch": "pitch", "roll": "roll",
}

type flightRow struct {
	Speed, Drag, Trail, Attitude, Use, Slack, Result, Address string
	Over, Here                                                bool
}

type flightLimitRow struct{ Direction, Down, Aside, Pull, Leg string }

func (v *flightView) form(ask *flightAsk, aircraft []rotorChoice) {
	v.Ask, v.Aircraft, v.Chosen = ask, aircraft, ask.aircraft
	for i := range v.Aircraft {
		v.Aircraft[i].Here = v.Aircraft[i].Name == ask.aircraft
	}
	v.Query = ask.query().Encode()
	v.Hidden = ask.Fields
}

// study words a study, with the load at one place of its sweep.
func (v *flightView) study(x *app.Flight, ask *flightAsk, at int, view string) error {
	show := x.Rig.Show()
	v.Has, v.Stopped, v.Published = true, x.Stopped, x.Published()
	c := x.Sweep.Conditions
	v.Air = fmt.Sprintf("Air of %.3f kg/m3 from %s, load factor %.3g.", c.Density, c.FromWords(show.Angle), c.LoadFactor)
	v.Firsts = whatif.FirstWords(x.Rig, x.Sweep)
	if len(x.Sweep.Notes) > 1 {
		v.Notes = append(v.Notes, x.Sweep.Notes[1:]...) // the first is the caution above
	}
	for _, d := range x.Drags {
		v.Notes = append(v.Notes, fmt.Sprintf("Drag areas of %s: %s for air from ahead, %s from the side, %s from below; %s.", d.Body, show.Area(d.Areas[0]), show.Area(d.Areas[1]), show.Area(d.Areas[2]), d.Source))
	}
	v.Body = x.Rig.Bodies()[0].ID
	address := func(i int) string {
		q := ask.query()
		q.Set("at", strconv.Itoa(i))
		if view != "" {
			q.Set("view", view)
		}
		return v.Address + "/flight?" + q.Encode()
	}
	for i, p := range x.Sweep.Points {
		v.Speeds = append(v.Speeds, flightRowOf(x.Rig, p, address(i), i == at))
	}
	if err := v.beats(x); err != nil {
		return err
	}
	v.LimitHead = fmt.Sprintf("%.3g times the weight, straight down and %s aside", steady.LimitFactor, show.Angle(steady.LimitAngle))
	for _, l := range x.Limit {
		v.Limit = append(v.Limit, flightLimitRow{l.Direction, show.Force(l.Down), show.Force(l.Aside), show.Force(l.Pull), l.Leg})
	}
	return v.seen(x, at, view, address)
}

func flightRowOf(r *rig.Rig, p *steady.Point, address string, here bool) flightRow {
	show := r.Show()
	row := flightRow{Speed: show.Airspeed(p.Speed), Address: address, Here: here, Drag: "–", Trail: "–", Attitude: "–", Use: "–", Slack: "–", Result: "no steady position found"}
	if !p.Agrees {
		return row
	}
	row.Drag, row.Trail, row.Result = show.Force(p.Drag), show.Angle(p.Trail), p.Result.Words()
	row.Attitude = picture.AttitudeWords(show, &rig.BodyAnswer{Pitch: p.Bodies[0].Pitch, Roll: p.Bodies[0].Roll})
	row.Over = p.Result == rig.Over || p.Result == rig.DoesNotStand
	if p.Rated {
		row.Use = p.Leg + " " + show.Percent(p.Use)
	}
	if len(p.Slack) > 0 {
		row.Slack = strings.Join(p.Slack, ", ")
	}
	return row
}

func (v *flightView) beats(x *app.Flight) error {
	if x.Rotor == nil {
		return nil
	}
	v.Rotor = fmt.Sprintf("%s, %d blades", x.Rig.Show().RotationRate(x.Rotor.Speed), x.Rotor.Blades)
	if x.RotorOf != "" {
		v.Rotor += ", of " + x.RotorOf
	}
	if len(x.Beats) == 0 {
		v.BeatWords = []string{"No motion with a bounce in it is found."}
		return nil
	}
	v.BeatWords = whatif.BeatWords(x.Beats)
	return drawings(drawingOf{&v.Beats, whatif.Beats(x.Rig, x.Beats, 150, 36)}, drawingOf{&v.BeatsTall, whatif.Beats(x.Rig, x.Beats, 78, 40)})
}

// drawingOf is a picture and where it goes as SVG.
type drawingOf struct {
	to *template.HTML
	p  *draw.Picture
}

func drawings(list ...drawingOf) error {
	for _, d := range list {
		text, err := svg.String(d.p)
		if err != nil {
			return err
		}
		*d.to = template.HTML(text) // our own drawing, its texts escaped
	}
	return nil
}

// seen words the load at one place of the sweep.
func (v *flightView) seen(x *app.Flight, at int, view string, address func(int) string) error {
	from, ok := picture.Named(view)
	if !ok {
		from = picture.Side
	}
	show := x.Rig.Show()
	rest, p := x.Sweep.Points[0], x.Sweep.Points[at]
	a := &flightAt{
		Place: at, Last: len(x.Sweep.Points) - 1, Speed: show.Airspeed(p.Speed), Steady: p.Agrees,
		Kind: p.Result.String(), Result: capital(p.Result.Words()), Reason: capital(p.Reason),
	}
	v.At = a
	if at > 0 {
		a.Slower = address(at - 1)
	}
	if at < a.Last {
		a.Faster = address(at + 1)
	}
	for _, n := range viewNames {
		q := v.Ask.query()
		q.Set("at", strconv.Itoa(at))
		q.Set("view", n)
		a.Views = append(a.Views, faultViewLink{n, v.Address + "/flight?" + q.Encode(), n == from.Name})
	}
	if err := drawings(
		drawingOf{&a.Wide, whatif.AtSpeed(x.Rig, x.Sweep, at, from, 165, 100)}, drawingOf{&a.Narrow, whatif.AtSpeed(x.Rig, x.Sweep, at, from, 76, 150)},
		drawingOf{&a.Curves, whatif.Curves(x.Rig, x.Sweep, at, 170, 76)}, drawingOf{&a.CurvesTall, whatif.Curves(x.Rig, x.Sweep, at, 78, 140)},
	); err != nil {
		return err
	}
	if !p.Agrees {
		a.Kind, a.Result, a.Reason = rig.CannotTell.String(), "No steady position found", "Attitude and drag do not come to agree at this speed, so there is nothing to read."
		return nil
	}
	fact := func(what, plan, now string) {
		a.Facts = append(a.Facts, faultBeside{What: what, Plan: plan, Changed: now, Differs: plan != now})
	}
	fact("trail", show.Angle(rest.Trail), show.Angle(p.Trail))
	fact("drag", show.Force(rest.Drag), show.Force(p.Drag))
	for i, b := range p.Bodies {
		hangs := func(b steady.BodyPoint) string {
			return picture.AttitudeWords(show, &rig.BodyAnswer{Pitch: b.Pitch, Roll: b.Roll})
		}
		fact(b.ID, hangs(rest.Bodies[i]), hangs(b))
	}
	for i, h := range p.Hooks {
		fact("hook of "+h.ID, show.Force(rig.Norm(rest.Hooks[i].Force)), show.Force(rig.Norm(h.Force)))
	}
	for i, l := range p.Legs {
		row := flightLegRow{ID: l.ID, Rest: show.Force(rest.Legs[i].Tension), Pull: show.Force(l.Tension), Worst: show.Force(l.Worst), Use: "not rated"}
		if rest.Legs[i].Slack {
			row.Rest = "slack"
		}
		if l.Slack {
			row.Pull = "slack"
		}
		if l.Rated {
			row.Use, row.Over = show.Percent(l.Use), l.Use > 1+1e-9
		}
		a.Legs = append(a.Legs, row)
	}
	for _, m := range p.Modes {
		if m.Frequency > 0 {
			a.Modes = append(a.Modes, flightModeRow{
				capital(m.Shape), fmt.Sprintf("%.3g s", 1/m.Frequency), fmt.Sprintf("%.3g Hz", m.Frequency),
				motionSigns[m.Shape], int(math.Round(1000 / m.Frequency)),
			})
		}
	}
	a.Remarks = append(append(a.Remarks, p.Over...), p.Outside...)
	if math.Abs(p.Turning) >= 0.5 {
		a.Remarks = append(a.Remarks, fmt.Sprintf("A moment of %.0f N·m would turn the load about the vertical; the study holds its heading.", math.Abs(p.Turning)))
	}
	if p.Ahead > 0.001 {
		a.Remarks = append(a.Remarks, fmt.Sprintf("The drag acts %s ahead of the line from the apex through the common CG: a load free to turn would not keep its heading.", show.Length(p.Ahead)))
	}
	for i := range a.Remarks {
		a.Remarks[i] = capital(a.Remarks[i])
	}
	return nil
}
