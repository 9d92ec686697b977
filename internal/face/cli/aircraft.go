package cli

import (
	"errors"
	"fmt"
	"strings"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/face/app"
)

type aircraftCommand struct {
	Files   []string `arg:"" optional:"" help:"Aircraft files of format hangtrue.aircraft/1, or names of shipped ones; - for standard input."`
	Shipped string   `placeholder:"NAME" help:"Print the file of a shipped, invented aircraft, to start from."`
	List    bool     `help:"List the shipped aircraft."`
	Out     string   `short:"o" placeholder:"FILE" help:"Of one aircraft: draw its hover tables, .svg, .pdf or .png; with --shipped the file itself."`
	JSON    bool     `name:"json" help:"Print what was read as data; of one aircraft."`
}

// Help is the command's long help.
func (aircraftCommand) Help() string {
	return `Reads aircraft files and names what is wrong with its line: mistakes, and what may be typing slips in the hover tables, such as a row that does not fall with altitude. The shipped aircraft are invented; a real one is typed in from its own flight manual.

Examples:

  hangtrue aircraft --list
  hangtrue aircraft --shipped twin -o twin.yaml
  hangtrue aircraft twin.yaml
  hangtrue aircraft twin.yaml -o twin.pdf

Exit status: 0 read, and no figure is pointed out; 1 figures are pointed out as possible slips; 2 bad input.`
}

// Run reads aircraft files.
func (c *aircraftCommand) Run(p *Program) error {
	switch {
	case c.List:
		return p.listAircraft()
	case c.Shipped != "":
		if len(c.Files) > 0 || c.JSON {
			return errors.New("--shipped prints a file and reads none")
		}
		data, ok := app.Shipped(c.Shipped)
		if !ok {
			return noAircraft(c.Shipped)
		}
		return p.write(c.Out, data)
	case len(c.Files) == 0:
		return errors.New("name an aircraft file, or --list; --shipped NAME prints one to start from")
	case len(c.Files) > 1 && (c.Out != "" || c.JSON):
		return errors.New("-o and --json are for one aircraft; name one file")
	}
	if err := once(c.Files...); err != nil {
		return err
	}
	format, err := ending(c.Out, app.Formats...)
	if err != nil {
		return err
	}
	status := app.ExitWithin
	for i, name := range c.Files {
		data, ok := app.Shipped(name)
		if !ok {
			var err error
			if data, err = p.read(name); err != nil {
				return err
			}
		}
		a := app.ReadAircraft(data)
		if len(a.Problems) > 0 {
			_ = p.wrong(name, a.Problems)
			status = app.ExitBadInput
			continue
		}
		for _, s := range a.Slips {
			fmt.Fprintln(p.Stderr, s.Problem.Format(shownName(name)))
			// A hole that the manual has too is no slip.
			if s.Code != "table-has-holes" {
				status = worse(status, app.ExitOver)
			}
		}
		if c.Out != "" {
			if err := p.drawAircraft(c.Out, format, &a); err != nil {
				return fmt.Errorf("%s: %w", shownName(name), err)
			}
		}
		switch {
		case c.JSON:
			err = p.writeJSON(a.Document())
		case i > 0:
			err = p.write("", []byte("\n"+aircraftPage(&a)))
		default:
			err = p.write("", []byte(aircraftPage(&a)))
		}
		if err != nil {
			return err
		}
	}
	return outcome(status)
}

func (p *Program) drawAircraft(name, format string, a *app.Aircraft) error {
	picture, err := a.Picture()
	if err != nil {
		return err
	}
	data, err := app.Encode(picture, format, 0)
	if err != nil {
		return err
	}
	return p.write(name, data)
}

func noAircraft(name string) error {
	hint := "there are: " + strings.Join(app.ShippedAircraft(), ", ")
	if near := spelling.Nearest(name, app.ShippedAircraft()); near != "" {
		hint = fmt.Sprintf("did you mean %q?", near)
	}
	return fmt.Errorf("no shipped aircraft is called %q; %s", name, hint)
}

func (p *Program) listAircraft() error {
	x := page{}
	x.inventedLine(true, "an aircraft")
	var rows [][]string
	for _, name := range app.ShippedAircraft() {
		data, _ := app.Shipped(name)
		a := app.ReadAircraft(data)
		if a.Aircraft == nil {
			panic("cli: shipped aircraft " + name + " cannot be read")
		}
		rows = append(rows, []string{name, a.Aircraft.Spec().Title})
	}
	x.rows([]string{"name", "aircraft"}, rows)
	return p.write("", []byte(x.String()))
}

func aircraftPage(a *app.Aircraft) string {
	s := a.Aircraft.Spec()
	p := page{show: s.Show}
	p.inventedLine(s.Invented, "an aircraft")
	p.WriteString(wrapped(s.Title, ""))
	if text := s.Source.String(); text != "" {
		p.WriteString(hanging(text, "Source: ", "        "))
	}
	orMissing := func(x *float64, f func(float64) string) string {
		if x == nil {
			return "not entered"
		}
		return f(*x)
	}
	p.WriteString("\n")
	p.pairs([][]string{
		{"operating weight", p.show.Mass(a.Aircraft.Operating()) + ", empty with crew and kit, without fuel"},
		{"fuel", fmt.Sprintf("%s at most, %s burned, reserve %s", p.show.Mass(s.Fuel.Capacity), p.show.MassFlow(s.Fuel.Burn), orMissing(s.Fuel.Reserve, p.show.Mass))},
		{"gross weight limits", fmt.Sprintf("%s, with an external load %s", orMissing(s.Gross, p.show.Mass), orMissing(s.External, p.show.Mass))},
	})
	p.section("Hooks")
	var rows [][]string
	for _, h := range s.Hooks {
		rows = append(rows, []string{h.ID, orMissing(h.Rated, func(n float64) string { return p.show.Mass(n / quantity.StandardGravity) }), orMissing(h.Section, p.show.Size), orMissing(h.Inside, p.show.Size)})
	}
	for _, t := range s.Together {
		rows = append(rows, []string{strings.Join(t.Hooks, " and "), p.show.Mass(t.Rated / quantity.StandardGravity), none, none})
	}
	p.rows([]string{"hook", "rated", "section", "opening"}, rows)
	p.section("Hover tables")
	rows = nil
	for _, t := range []struct {
		name  string
		given bool
	}{{"out of ground effect", s.OGE != nil}, {"in ground effect", s.IGE != nil}} {
		if !t.given {
			rows = append(rows, []string{t.name, "not entered"})
			continue
		}
		table := s.OGE
		if t.name == "in ground effect" {
			table = s.IGE
		}
		source := table.Source
		if source == "" {
			source = "no source entered"
		}
		n := len(table.Altitudes)
		rows = append(rows, []string{t.name, fmt.Sprintf("%s to %s", app.AltitudeWords(table.Altitudes[0]), app.AltitudeWords(table.Altitudes[n-1])), fmt.Sprintf("%s to %s", p.show.Temperature(table.Temperatures[0]), p.show.Temperature(table.Temperatures[len(table.Temperatures)-1])), source})
	}
	p.rows([]string{"table", "pressure altitude", "temperature", "source"}, rows)
	if len(s.Airspeeds) > 0 {
		p.section("Airspeed with an external load, as entered")
		for _, x := range s.Airspeeds {
			p.list([]string{fmt.Sprintf("%s: %s (%s)", x.What, p.show.Airspeed(x.Limit), orSource(x.Source))})
		}
	}
	if len(s.Spacers) > 0 {
		p.section("Spacer by apex fitting and hook; a pair that is not listed is not stated")
		for _, x := range s.Spacers {
			rule := "forbidden"
			if x.Required {
				rule = "required"
			}
			p.list([]string{fmt.Sprintf("%s on hook %s: %s (%s)", x.Apex, x.Hook, rule, orSource(x.Source))})
		}
	}
	if m := a.Missing(); len(m) > 0 {
		p.section("Not entered")
		p.list(m)
	}
	p.section("Possible typing slips in the hover tables")
	if len(a.Slips) == 0 {
		p.list([]string{"none: every row and column falls, and no figure stands out between its neighbours. That does not make them right: read them over against the manual"})
	}
	for _, x := range a.Slips {
		p.list([]string{fmt.Sprintf("line %d, %s: %s", x.Line, x.About, x.Slip.Text)})
	}
	p.WriteString("\n" + wrapped(rig.Caution, ""))
	return p.String()
}

func orSource(s string) string {
	if s == "" {
		return "no source entered"
	}
	return s
}
