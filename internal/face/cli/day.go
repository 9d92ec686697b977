package cli

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/face/app"
)

type dayCommand struct {
	Day  string `arg:"" help:"Day's work, a file of format hangtrue.day/1; - for standard input."`
	Out  string `short:"o" placeholder:"FILE" help:"Also write the timeline: .svg, .pdf, .png or .csv."`
	JSON bool   `name:"json" help:"Print the plan as data."`
}

// Help is the command's long help.
func (dayCommand) Help() string {
	return `Plans a day's lifts for one aircraft: which load when, fuel taken to which fill, what is left over and why, hook loads and the aircraft's CG after each set-down, and how the equipment comes home. Every hover of the plan keeps every limit entered. As many lifts as can be flown come first; of those days, the one that is done soonest. hangtrue new day prints a file to start from.

Examples:

  hangtrue day huts.yaml
  hangtrue day huts.yaml -o huts.pdf
  hangtrue day huts.yaml --json -o huts.csv

Exit status: 0 every lift is planned; 1 some are left over; 2 bad input; 3 something cannot be told. Not a clearance to lift.`
}

// Run plans one day.
func (c *dayCommand) Run(p *Program) error {
	format, err := ending(c.Out, append([]string{"csv"}, app.Formats...)...)
	if err != nil {
		return err
	}
	data, err := p.read(c.Day)
	if err != nil {
		return err
	}
	d := app.ReadDay(data)
	if len(d.Problems) > 0 {
		return p.wrong(c.Day, d.Problems)
	}
	a, err := p.dayAircraft(c.Day, d)
	if err != nil {
		return err
	}
	if d.PlanWith(a); len(d.Problems) > 0 {
		return p.wrong(c.Day, d.Problems)
	}
	if c.Out != "" {
		var out []byte
		if format == "csv" {
			out, err = d.CSV()
		} else {
			out, err = app.Encode(d.Picture(), format, 0)
		}
		if err != nil {
			return err
		}
		if err := p.write(c.Out, out); err != nil {
			return err
		}
	}
	if c.JSON {
		err = p.writeJSON(d.Document())
	} else {
		err = p.write("", []byte(dayPage(d)))
	}
	if err != nil {
		return err
	}
	return outcome(d.Exit())
}

// dayAircraft reads the aircraft that a day names: a shipped one, or a file
// beside the day's.
func (p *Program) dayAircraft(day string, d *app.Day) (*app.Aircraft, error) {
	name := d.File.Aircraft
	if data, ok := app.Shipped(name); ok {
		a := app.ReadAircraft(data)
		return &a, nil
	}
	if day != "-" && !filepath.IsAbs(name) {
		name = filepath.Join(filepath.Dir(day), name)
	}
	data, err := p.read(name)
	if err != nil {
		return nil, p.wrong(day, []document.Problem{d.File.NoAircraft(err.Error(), "an aircraft file beside this one, or a shipped aircraft: "+strings.Join(app.ShippedAircraft(), ", "))})
	}
	a := app.ReadAircraft(data)
	if len(a.Problems) > 0 {
		return nil, p.wrong(name, a.Problems)
	}
	return &a, nil
}

func dayPage(d *app.Day) string {
	p := page{show: d.Show()}
	p.inventedLine(d.Invented(), "a day's work")
	title := d.File.Title
	if title == "" {
		title = "(no title)"
	}
	p.WriteString(wrapped(title+", "+d.Aircraft.Aircraft.Spec().Title, ""))
	n, all := len(d.Plan.Trips), len(d.Plan.Trips)+len(d.Plan.Left)
	text := fmt.Sprintf("Plan: %d of %d lifts", n, all)
	if n > 0 {
		text += ", the last load down at " + d.Clock(d.Plan.Finished)
	}
	p.WriteString(text + "\n")
	if !d.Plan.Proved {
		p.WriteString("Not every order was tried: a better day may exist.\n")
	}
	p.dayStages(d)
	p.dayHangings(d)
	if len(d.Plan.Left) > 0 {
		p.section("Left over")
		for _, l := range d.Plan.Left {
			word := l.Result.Words()
			if l.Result == rig.Within {
				word = "no room in this day"
			}
			p.list([]string{l.Lift + ": " + word + ": " + l.Why})
		}
	}
	if len(d.Plan.Equipment) > 0 {
		p.section("Equipment out and home")
		var rows [][]string
		for _, e := range d.Plan.Equipment {
			home := string(e.Equipment.Home)
			if home == "" {
				home = "not entered"
			}
			rows = append(rows, []string{e.Lift, e.Equipment.What, p.show.Mass(e.Equipment.Mass), e.Place, home})
		}
		p.rows([]string{"lift", "what", "mass", "goes to", "comes home"}, rows)
	}
	var lines []string
	for _, f := range d.Document().Findings {
		word := map[string]string{"over": "OVER: ", "cannot-tell": "cannot tell: "}[f.Level]
		lines = append(lines, word+f.About+": "+f.Text)
	}
	if len(lines) > 0 {
		p.section("Findings")
		p.list(lines)
	}
	p.WriteString("\n" + wrapped("Every hover above is held against the limits entered at its own time, air and fuel; speeds, times and distances are as entered.", ""))
	p.WriteString(wrapped(rig.Caution, ""))
	return p.String()
}

func (p *page) dayStages(d *app.Day) {
	if len(d.Plan.Trips) == 0 {
		return
	}
	p.section("Timeline")
	var rows [][]string
	for i, t := range d.Plan.Trips {
		for k, s := range t.Stages {
			lift := ""
			if k == 0 {
				lift = fmt.Sprintf("%d. %s", i+1, t.Lift)
			}
			where := s.From
			if s.To != s.From {
				where = s.From + " to " + s.To
			}
			spare := ""
			if !math.IsNaN(s.Margin) {
				spare = fmt.Sprintf("%s (%s)", p.show.Mass(s.Margin), s.Governs)
			}
			rows = append(rows, []string{lift, d.Clock(s.Begin), d.Clock(s.End), s.What, where, s.Load, p.show.Mass(s.FuelEnd), spare})
		}
	}
	p.rows([]string{"lift", "from", "to", "what", "where", "load", "fuel then", "to spare"}, rows)
}

// dayHangings prints what hangs on which hook, and the aircraft's CG, after
// hook-up and each set-down of lifts with several loads.
func (p *page) dayHangings(d *app.Day) {
	var rows [][]string
	for i, list := range d.Plan.Hangings {
		if len(list) < 3 {
			continue // one load: nothing changes but that it is gone
		}
		for k, h := range list {
			lift := ""
			if k == 0 {
				lift = d.Plan.Trips[i].Lift
			}
			after := "hook-up"
			if h.After != "" {
				after = h.After + " is down"
			}
			var loads []string
			for _, hook := range d.Aircraft.Aircraft.Spec().Hooks {
				if n, ok := h.Loads[hook.ID]; ok {
					loads = append(loads, hook.ID+" "+p.show.Mass(n/quantity.StandardGravity))
				}
			}
			if len(loads) == 0 {
				loads = []string{none}
			}
			cg := "cannot tell"
			if h.CG != nil {
				cg = p.show.Length(h.CG[0])
			}
			rows = append(rows, []string{lift, after, strings.Join(loads, ", "), p.show.Mass(h.Gross), cg})
		}
	}
	if len(rows) == 0 {
		return
	}
	p.section("Several loads on one aircraft")
	p.rows([]string{"lift", "after", "hooks carry", "aircraft and loads", "aircraft's CG forward of its datum"}, rows)
}
