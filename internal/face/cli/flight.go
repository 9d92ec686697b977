package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"os/signal"
	"strconv"
	"strings"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/flight"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/face/app"
)

type flightCommand struct {
	Rig        string  `arg:"" help:"Rig file; - for standard input."`
	To         string  `default:"80 kt" placeholder:"SPEED" help:"Fastest airspeed studied; ${default} by default, which says nothing about your load."`
	Step       string  `default:"10 kt" placeholder:"SPEED" help:"Longest step between airspeeds; ${default} by default."`
	LoadFactor float64 `default:"1" help:"Apparent weight over weight."`
	Density    string  `default:"1.225 kg/m3" placeholder:"DENSITY" help:"Density of the air; ${default} by default, the standard atmosphere at sea level."`
	From       string  `default:"0 deg" placeholder:"ANGLE" help:"Where the air comes from: 0 deg from ahead, 90 deg from the load's left, --from='-90 deg' from its right; ${default} by default."`
	Trail      string  `placeholder:"ANGLE" help:"Also look for the speed at which the trail reaches this angle."`
	Rotor      string  `placeholder:"RPM" help:"Rotor speed, for example '324 rpm', to hold the bounce against; with --blades."`
	Blades     *int    `placeholder:"N" help:"Blades of that rotor."`
	Aircraft   string  `placeholder:"FILE" help:"Aircraft file to take the rotor's speed and blades from, in place of --rotor and --blades."`
	Out        string  `short:"o" placeholder:"FILE" help:"Also write a picture or table: .svg, .pdf, .png or .csv."`
	Sheet      string  `placeholder:"FILE" help:"Also print the study: .pdf, A4."`
	JSON       bool    `name:"json" help:"Print the study as data."`
}

// Help is the command's long help.
func (flightCommand) Help() string {
	return `Examples:

  hangtrue flight crate.yaml
  hangtrue flight crate.yaml --to '60 kt' --step '5 kt' -o flight.pdf
  hangtrue flight crate.yaml --trail '10 deg' --rotor '324 rpm' --blades 4
  hangtrue flight crate.yaml --load-factor 1.5 --density '1.0 kg/m3' --json
  hangtrue flight crate.yaml --from '90 deg' --to '20 kt' --sheet study.pdf

` + flight.Caution + ` Interrupting it prints what it has.

Exit status: 0 no limit entered is passed at any speed studied; 1 some are, or it does not stand; 2 bad input; 3 cannot tell, or interrupted. None is a clearance to fly that fast.`
}

// mostSteps is the finest that a sweep may be.
const mostSteps = 500

// Run studies one rig in flight.
func (c *flightCommand) Run(p *Program) error {
	conditions, span, rotor, err := c.asked()
	if err != nil {
		return err
	}
	format, err := ending(c.Out, append([]string{"csv"}, app.Formats...)...)
	if err != nil {
		return err
	}
	if _, err := ending(c.Sheet, "pdf"); err != nil {
		return err
	}
	aircraft := ""
	if c.Aircraft != "" {
		data, err := p.readBytes(c.Aircraft)
		if err != nil {
			return err
		}
		if rotor, aircraft, err = app.Rotor(data); err != nil {
			return fmt.Errorf("%s: %w", shownName(c.Aircraft), err)
		}
	}
	s, err := p.hung(c.Rig)
	if err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	x, err := app.RunFlight(ctx, &s, conditions, span, rotor)
	if err != nil {
		return fmt.Errorf("%s: %w", shownName(c.Rig), err)
	}
	x.RotorOf = aircraft
	if c.Sheet != "" {
		data, err := x.Sheet(stampOf(c.Rig))
		if err != nil {
			return err
		}
		if err := p.write(c.Sheet, data); err != nil {
			return err
		}
	}
	if c.Out != "" {
		var data []byte
		if format == "csv" {
			data, err = x.CSV()
		} else {
			data, err = app.Encode(x.Picture(), format, 0)
		}
		if err != nil {
			return err
		}
		if err := p.write(c.Out, data); err != nil {
			return err
		}
	}
	if c.JSON {
		out, err := json.MarshalIndent(x.Document(), "", "  ")
		if err != nil {
			return err
		}
		if err := p.write("", append(out, '\n')); err != nil {
			return err
		}
	} else if err := p.write("", []byte(flightTable(x))); err != nil {
		return err
	}
	return outcome(x.Exit())
}

// asked reads the flags.
func (c *flightCommand) asked() (flight.Conditions, flight.Span, *flight.Rotor, error) {
	conditions := flight.Conditions{LoadFactor: c.LoadFactor}
	span := flight.Span{}
	rotor := flight.Rotor{}
	step := 0.0
	fail := func(err error) (flight.Conditions, flight.Span, *flight.Rotor, error) {
		return conditions, span, nil, err
	}
	for _, x := range []struct {
		flag, text string
		kind       quantity.Kind
		to         *float64
	}{
		{"--to", c.To, quantity.Speed, &span.Fastest},
		{"--step", c.Step, quantity.Speed, &step},
		{"--density", c.Density, quantity.Density, &conditions.Density},
		{"--trail", c.Trail, quantity.Angle, &span.Trail},
		{"--rotor", c.Rotor, quantity.RotationRate, &rotor.Speed},
	} {
		if x.text == "" && (x.flag == "--trail" || x.flag == "--rotor") {
			continue
		}
		q, err := quantity.Parse(x.text, x.kind)
		if err != nil {
			return fail(fmt.Errorf("%s: %w", x.flag, err))
		}
		if !(q.Value > 0) {
			return fail(fmt.Errorf("%s: %s is not above zero", x.flag, x.text))
		}
		*x.to = q.Value
	}
	from, err := quantity.Parse(c.From, quantity.Angle)
	if err != nil {
		return fail(fmt.Errorf("--from: %w", err))
	}
	if math.Abs(from.Value) > math.Pi+1e-9 {
		return fail(fmt.Errorf("--from: %s is more than half a turn; write from -180 deg to 180 deg", c.From))
	}
	conditions.From = from.Value
	if !(c.LoadFactor > 0) || math.IsInf(c.LoadFactor, 0) {
		return fail(fmt.Errorf("--load-factor %g: a number above zero is needed", c.LoadFactor))
	}
	if span.Trail >= 90*quantity.Degree {
		return fail(fmt.Errorf("--trail: %s is no trail; less than 90 deg is", c.Trail))
	}
	// A hair less, so that 60 kt in steps of 10 kt is six.
	steps := math.Ceil(span.Fastest/step - 1e-9)
	if steps > mostSteps {
		return fail(fmt.Errorf("--step: %s is more than %d steps to %s; take longer ones", c.Step, mostSteps, c.To))
	}
	span.Steps = max(1, int(steps))
	switch {
	case c.Aircraft != "" && (c.Rotor != "" || c.Blades != nil):
		return fail(errors.New("--aircraft gives the rotor; leave out --rotor and --blades"))
	case c.Rotor == "" && c.Blades == nil:
		return conditions, span, nil, nil
	case c.Rotor == "" || c.Blades == nil:
		return fail(errors.New("--rotor and --blades belong together; give both"))
	case *c.Blades < 1:
		return fail(fmt.Errorf("--blades %d: a rotor has at least one", *c.Blades))
	}
	rotor.Blades = *c.Blades
	return conditions, span, &rotor, nil
}

func flightTable(x *app.Flight) string {
	c := x.Sweep.Conditions
	p := page{show: x.Rig.Show()}
	p.standing(x.Rig)
	p.WriteString("\n" + hanging(flight.Caution, "STUDY OF FLIGHT. ", ""))
	if speed := x.Published(); speed != "" {
		p.WriteString(hanging(speed, "Airspeed that the procedure gives, as entered: ", "  "))
	} else {
		p.WriteString("No published airspeed is entered.\n")
	}
	fmt.Fprintf(&p, "Air of %.3f kg/m3 from %s, load factor %.3g.\n", c.Density, c.FromWords(p.show.Angle), c.LoadFactor)
	if x.Stopped {
		p.WriteString("INTERRUPTED: the faster speeds are not studied, and nothing is looked for.\n")
	}
	p.speeds(x)
	p.firsts(x)
	p.flightLegs(x)
	p.swings(x)
	p.beats(x)
	p.limitLoads(x)
	p.section("What is left out, and what the drag is taken from")
	if len(x.Sweep.Notes) > 1 {
		p.list(x.Sweep.Notes[1:]) // the first is the caution above
	}
	for _, d := range x.Drags {
		p.list([]string{fmt.Sprintf("drag areas of %s: %s ahead, %s from the side, %s from below; %s", d.Body, p.show.Area(d.Areas[0]), p.show.Area(d.Areas[1]), p.show.Area(d.Areas[2]), d.Source)})
	}
	p.WriteString("\n" + wrapped(rig.Caution, ""))
	return p.String()
}

// knots writes an airspeed without its unit, whole where it is.
func knots(ms float64) string {
	return strconv.FormatFloat(math.Round(10*ms/quantity.Knot)/10, 'f', -1, 64)
}

func (p *page) speeds(x *app.Flight) {
	body := ""
	if len(x.Rig.Bodies()) > 1 {
		body = " of " + x.Rig.Bodies()[0].ID
	}
	p.section("Over the airspeed (trail off the vertical; pitch" + body + " positive nose up, roll right side down)")
	var rows [][]string
	for _, q := range x.Sweep.Points {
		if !q.Agrees {
			rows = append(rows, []string{knots(q.Speed), none, none, none, none, none, none, "no steady position found"})
			continue
		}
		row := []string{knots(q.Speed), p.show.Force(q.Drag), p.show.Angle(q.Trail), signed(q.Bodies[0].Pitch), signed(q.Bodies[0].Roll), none, none, q.Result.Words()}
		if q.Rated {
			row[5] = fmt.Sprintf("%s %s", q.Leg, p.show.Percent(q.Use))
		}
		if len(q.Slack) > 0 {
			row[6] = strings.Join(q.Slack, " ")
		}
		rows = append(rows, row)
	}
	p.rows([]string{"kt", "drag", "trail", "pitch deg", "roll deg", "most used leg", "slack legs", "against the limits entered"}, rows)
}

func (p *page) firsts(x *app.Flight) {
	if len(x.Sweep.Firsts) == 0 {
		return
	}
	p.section("What comes first, in the study only; no bound to fly to")
	words := map[string]string{
		flight.FirstSlack: "a leg slack", flight.FirstOver: "a limit passed", flight.FirstOutside: "attitude out of its band",
		flight.FirstTrail: "trail reaches", flight.FirstUnsettle: "no steady position",
	}
	for _, f := range x.Sweep.Firsts {
		switch {
		case !f.Found:
			p.list([]string{f.What})
		case f.Rest:
			p.list([]string{fmt.Sprintf("%s, already at rest: %s", words[f.Kind], f.What)})
		default:
			p.list([]string{fmt.Sprintf("%s, at about %s: %s", words[f.Kind], p.show.Airspeed(f.Speed), f.What)})
		}
	}
}

// flightLegs prints each leg at rest and at the fastest with a steady position.
func (p *page) flightLegs(x *app.Flight) {
	last := fastest(x)
	if last == nil {
		return
	}
	rest := x.Sweep.Points[0]
	p.section("Legs at rest and at " + knots(last.Speed) + " kt")
	var rows [][]string
	for i, l := range last.Legs {
		row := []string{l.ID, p.show.Force(rest.Legs[i].Tension), p.show.Force(l.Tension), p.show.Force(l.Worst), none}
		if rest.Legs[i].Slack {
			row[1] = "slack"
		}
		if l.Slack {
			row[2] = "slack"
		}
		if l.Rated {
			row[4] = p.show.Percent(l.Use)
		}
		rows = append(rows, row)
	}
	p.rows([]string{"leg", "pull at rest", "pull", "worst", "of rating"}, rows)
	if last.Turning != 0 && math.Abs(last.Turning) >= 0.5 {
		p.list([]string{fmt.Sprintf("a moment of %.0f N·m would turn the load about the vertical; the study holds its heading", math.Abs(last.Turning))})
	}
	for _, q := range x.Sweep.Points {
		if q.Agrees && q.Ahead > 0.001 {
			p.list([]string{fmt.Sprintf("at %s kt the drag acts %s ahead of the line from the apex through the common CG: a load free to turn would not keep its heading", knots(q.Speed), p.show.Length(q.Ahead))})
			break
		}
	}
}

// fastest returns the fastest point with a steady position that is not rest.
func fastest(x *app.Flight) *flight.Point {
	for i := len(x.Sweep.Points) - 1; i > 0; i-- {
		if x.Sweep.Points[i].Agrees {
			return x.Sweep.Points[i]
		}
	}
	return nil
}

func (p *page) swings(x *app.Flight) {
	if len(x.Sweep.Points) == 0 {
		return
	}
	points := []*flight.Point{x.Sweep.Points[0]}
	if last := fastest(x); last != nil {
		points = append(points, last)
	}
	var rows [][]string
	for _, q := range points {
		for _, m := range q.Modes {
			rows = append(rows, []string{knots(q.Speed), m.Shape, fmt.Sprintf("%.3g Hz", m.Frequency), fmt.Sprintf("%.3g s", 1/m.Frequency)})
		}
	}
	if len(rows) == 0 {
		return
	}
	p.section("Small motions under steady forces, the hook held still; no prediction of oscillation in flight")
	p.rows([]string{"kt", "motion", "frequency", "period"}, rows)
}

func (p *page) beats(x *app.Flight) {
	if x.Rotor == nil {
		return
	}
	p.section(fmt.Sprintf("Bounce at rest beside the rotor, %s, %s", p.show.RotationRate(x.Rotor.Speed), spelling.Count(x.Rotor.Blades, "blade", "blades")))
	if x.RotorOf != "" {
		p.list([]string{"rotor of " + x.RotorOf})
	}
	if len(x.Beats) == 0 {
		p.list([]string{"no motion with a bounce in it is found"})
		return
	}
	var rows [][]string
	for _, b := range x.Beats {
		near := ""
		if b.Near {
			near = fmt.Sprintf("NEAR, within %.0f %%", 100*flight.Band)
		}
		rows = append(rows, []string{b.Mode, fmt.Sprintf("%.3g Hz", b.Bounce), b.Of, fmt.Sprintf("%.3g Hz", b.Rotor), near})
	}
	p.rows([]string{"motion", "frequency", "rotor", "frequency", ""}, rows)
	p.list([]string{"the hook is held still: under an aircraft that gives way, a bounce is faster"})
}

func (p *page) limitLoads(x *app.Flight) {
	p.section(fmt.Sprintf("Limit load of the attaching means: %.3g times the weight, straight down and %s aside", flight.LimitFactor, p.show.Angle(flight.LimitAngle)))
	var rows [][]string
	for _, l := range x.Limit {
		rows = append(rows, []string{l.Direction, p.show.Force(l.Down), p.show.Force(l.Aside), p.show.Force(l.Pull), l.Leg})
	}
	p.rows([]string{"direction", "down", "aside", "highest leg pull", "leg"}, rows)
	p.list([]string{"14 CFR 29.865 and 27.865, the factor from memory; held against nothing here, as ratings are working ratings"})
}
