package cli

import (
	"errors"
	"fmt"
	"strings"

	"hangtrue/internal/engine/air"
	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/draw"
)

type airCommand struct {
	Elevation        string `placeholder:"HEIGHT" help:"Height of the place above the sea; with --qnh."`
	QNH              string `name:"qnh" placeholder:"PRESSURE" help:"Altimeter setting that shows the elevation there: '1013 hPa', '29.92 inHg'."`
	PressureAltitude string `placeholder:"HEIGHT" help:"Instead of --elevation and --qnh."`
	Temperature      string `required:"" placeholder:"TEMPERATURE" help:"Of the air there."`
	Humidity         string `placeholder:"PERCENT" help:"Relative humidity, '60 %'; dry air by default."`
	DewPoint         string `placeholder:"TEMPERATURE" help:"Instead of --humidity."`
	Aircraft         string `placeholder:"FILE" help:"Aircraft file, or the name of a shipped one: also compute its rotor wash."`
	Load             string `placeholder:"MASS" help:"What hangs on it, for the wash."`
	Fuel             string `placeholder:"MASS" help:"Fuel aboard, for the wash; full tanks by default."`
	Hook             string `placeholder:"LENGTH" help:"How far beneath the rotor's disc the hook-up team works; 5 m by default."`
	Out              string `short:"o" placeholder:"FILE" help:"Also print it on a sheet, with an aircraft its wash drawn: .svg, .pdf or .png."`
	Show             string `placeholder:"UNITS" help:"Units of the answer: metric or us; by default those mostly typed."`
	JSON             bool   `name:"json" help:"Print it as data."`
}

// Help is the command's long help.
func (airCommand) Help() string {
	return `Pressure altitude, density altitude and density of the air at a place. With an aircraft also its rotor wash: at the hook, and on the ground by distance, with the method and its limits. Gusts are well above the mean that is printed.

Examples:

  hangtrue air --elevation '1840 m' --qnh '1016 hPa' --temperature '21 degC' --humidity '40 %'
  hangtrue air --elevation '5883 ft' --qnh '30.10 inHg' --temperature '70 degF'
  hangtrue air --pressure-altitude '2000 m' --temperature '15 degC' --aircraft twin --load '1500 kg' -o wash.pdf

Exit status: 0 printed; 2 bad input.`
}

// Run computes the air at one place.
func (c *airCommand) Run(p *Program) error {
	asked, err := c.asked()
	if err != nil {
		return err
	}
	show, err := systemOf(c.Show, c.Elevation, c.QNH, c.PressureAltitude, c.Temperature, c.DewPoint, c.Load, c.Hook)
	if err != nil {
		return err
	}
	format, err := ending(c.Out, app.Formats...)
	if err != nil {
		return err
	}
	if c.Aircraft == "" && (c.Load != "" || c.Fuel != "" || c.Hook != "") {
		return errors.New("--load, --fuel and --hook are about rotor wash; add --aircraft")
	}
	x, err := app.LookAtAir(asked)
	if err != nil {
		return airFlag(err)
	}
	if c.Aircraft != "" {
		if err := c.wash(p, x); err != nil {
			return err
		}
	}
	if err := p.drawn(c.Out, format, func() *draw.Picture { return x.Picture(show) }); err != nil {
		return err
	}
	if c.JSON {
		return p.writeJSON(x.Document())
	}
	return p.write("", []byte(airPage(x, show)))
}

// airFlag names the flag that a problem of the air is about.
func airFlag(err error) error {
	var wrong *air.Problem
	if !errors.As(err, &wrong) {
		return err
	}
	flag := map[string]string{"elevation": "--elevation", "qnh": "--qnh", "temperature": "--temperature", "humidity": "--humidity", "dew-point": "--dew-point", "altitude": "--pressure-altitude"}[wrong.Key]
	if flag == "" {
		return err
	}
	return fmt.Errorf("%s: %w", flag, err)
}

func (c *airCommand) asked() (q app.AirAsked, err error) {
	switch {
	case c.PressureAltitude != "" && (c.Elevation != "" || c.QNH != ""):
		return q, errors.New("--pressure-altitude stands instead of --elevation and --qnh")
	case c.PressureAltitude == "" && (c.Elevation == "" || c.QNH == ""):
		return q, errors.New("where is it: give --elevation and --qnh, or --pressure-altitude")
	case c.Humidity != "" && c.DewPoint != "":
		return q, errors.New("--humidity and --dew-point say the same thing; give one")
	}
	for _, x := range []struct {
		flag, text string
		kind       quantity.Kind
		to         **float64
	}{
		{"--elevation", c.Elevation, quantity.Length, &q.Elevation},
		{"--qnh", c.QNH, quantity.Pressure, &q.QNH},
		{"--pressure-altitude", c.PressureAltitude, quantity.Length, &q.PressureAltitude},
		{"--humidity", c.Humidity, quantity.Percent, &q.Humidity},
		{"--dew-point", c.DewPoint, quantity.Temperature, &q.DewPoint},
	} {
		v, err := flaggedOr(x.flag, x.text, x.kind)
		if err != nil {
			return q, err
		}
		*x.to = valueOf(v)
	}
	t, err := flagged("--temperature", c.Temperature, quantity.Temperature)
	q.Temperature = t.Value
	return q, err
}

// aircraft reads an aircraft file, or a shipped one by its name.
func (p *Program) aircraft(name string) (*app.Aircraft, error) {
	data, ok := app.Shipped(name)
	if !ok {
		var err error
		if data, err = p.read(name); err != nil {
			return nil, fmt.Errorf("%w; shipped are %s", err, strings.Join(app.ShippedAircraft(), ", "))
		}
	}
	a := app.ReadAircraft(data)
	if len(a.Problems) > 0 {
		return nil, p.wrong(name, a.Problems)
	}
	return &a, nil
}

func (c *airCommand) wash(p *Program, x *app.Air) error {
	a, err := p.aircraft(c.Aircraft)
	if err != nil {
		return err
	}
	load, err := flaggedOr("--load", c.Load, quantity.Mass)
	if err != nil {
		return err
	}
	fuel, err := flaggedOr("--fuel", c.Fuel, quantity.Mass)
	if err != nil {
		return err
	}
	s := a.Aircraft.Spec()
	gross := a.Aircraft.Operating() + s.Fuel.Capacity
	if fuel != nil {
		if !(fuel.Value >= 0 && fuel.Value <= s.Fuel.Capacity) {
			return fmt.Errorf("--fuel: %s does not go into the tanks; from 0 to %s", fuel, s.Show.Mass(s.Fuel.Capacity))
		}
		gross = a.Aircraft.Operating() + fuel.Value
	}
	if load != nil {
		if load.Value < 0 {
			return fmt.Errorf("--load: %s is less than nothing", load)
		}
		gross += load.Value
	}
	hook := 5.0
	if c.Hook != "" {
		q, err := flagged("--hook", c.Hook, quantity.Length)
		if err != nil {
			return err
		}
		if hook = q.Value; hook < 0 {
			return fmt.Errorf("--hook: %s is above the disc", c.Hook)
		}
	}
	if s.Rotors == nil {
		return p.wrong(c.Aircraft, []document.Problem{{Line: 1, Column: 1, Path: "rotors", Text: "no rotors are entered, so their wash cannot be computed", Hint: "add rotors: {count: 1, diameter: 10.6 m}"}})
	}
	return x.AddWash(a.Aircraft, gross, hook)
}

func airPage(x *app.Air, show quantity.System) string {
	p := page{show: show}
	if x.Wash != nil {
		p.inventedLine(x.Wash.Aircraft.Spec().Invented, "an aircraft")
	}
	var rows [][]string
	for _, f := range x.Figures(p.show) {
		rows = append(rows, []string{f.What, spelling.Joined("; ", f.Value, f.Note)})
	}
	p.pairs(rows)
	if note := x.Note(); note != "" {
		p.list([]string{note})
	}
	if w := x.Wash; w != nil {
		p.section(fmt.Sprintf("Rotor wash of %s at %s in a hover", w.Aircraft.Spec().Title, p.show.Mass(w.Gross)))
		p.pairs([][]string{
			{"through the discs", windWords(w.Wash.Induced)},
			{"full wake", windWords(w.Wash.Far)},
			{"at the hook", fmt.Sprintf("%s, %s beneath the disc, no ground near", windWords(w.AtHook), p.show.Length(w.Hook))},
		})
		p.section("Highest mean wind near the ground; gusts are well above it")
		var rows [][]string
		for _, r := range w.Rings {
			rows = append(rows, []string{p.show.Length(r.Distance), windWords(r.Speed)})
		}
		p.rows([]string{"from the axis of the nearest rotor", "wind"}, rows)
		p.WriteString("\n" + hanging(air.RingLimits+".", "Method and limits: ", "  "))
	}
	p.WriteString("\n" + wrapped(rig.Caution, ""))
	return p.String()
}

func windWords(ms float64) string { return fmt.Sprintf("%.1f m/s (%.0f kt)", ms, ms/quantity.Knot) }
