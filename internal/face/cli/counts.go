package cli

import (
	"context"
	"encoding/json"
	"fmt"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"text/tabwriter"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/counts"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/study"
)

type countsCommand struct {
	Rig   string `arg:"" help:"Rig file; - for standard input."`
	Each  bool   `help:"Let every leg with chain have a count of its own."`
	Low   *int   `placeholder:"N" help:"Lowest count tried; by default the rig's lowest-count."`
	High  *int   `placeholder:"N" help:"Highest count tried; by default as the chains allow."`
	Most  int    `default:"10" help:"How many of the best to list."`
	Map   string `placeholder:"FILE" help:"Also write the map of all pairs of counts: .svg, .pdf, .png or .csv."`
	Sheet string `placeholder:"FILE" help:"Also print the map with its head and caution: .pdf, A4."`
	JSON  bool   `name:"json" help:"Print the outcome as data."`
}

// Help is the command's long help.
func (countsCommand) Help() string {
	return `Examples:

  hangtrue counts trailer.yaml
  hangtrue counts trailer.yaml --map map.pdf
  hangtrue counts trailer.yaml --low 4 --high 40 --sheet map.pdf
  hangtrue counts trailer.yaml --each --json

Counts found are computed, not approved. Where an approved procedure gives counts, those are the plan. Legs of one group: keep the same count; without groups the legs with chain are taken as front and rear.

Exit status: 0 counts were found within the limits that depend on them; 1 none were; 2 bad input; 3 cannot tell.`
}

// Run searches the counts of one rig.
func (c *countsCommand) Run(p *Program) error {
	s, err := p.solve(c.Rig)
	if err != nil {
		return err
	}
	if len(s.Problems) > 0 {
		return p.problems(c.Rig, &s)
	}
	if c.Most < 1 || c.Most > 1000 {
		return fmt.Errorf("--most %d: from 1 to 1000 can be listed", c.Most)
	}
	low, high := 0, 0 // not given
	for _, bound := range []struct {
		flag  string
		given *int
		into  *int
	}{{"--low", c.Low, &low}, {"--high", c.High, &high}} {
		if bound.given == nil {
			continue
		}
		if *bound.given < 1 {
			return fmt.Errorf("%s %d: a count is at least 1, the last link of the chain", bound.flag, *bound.given)
		}
		*bound.into = *bound.given
	}
	if _, err := ending(c.Sheet, "pdf"); err != nil {
		return err
	}
	o := counts.Options{Each: c.Each, Low: low, High: high, Most: c.Most, Workers: runtime.NumCPU()}
	d, err := app.Counts(context.Background(), &s, o)
	if err != nil {
		return fmt.Errorf("%s: %w", shownName(c.Rig), err)
	}
	if c.Map != "" || c.Sheet != "" {
		if err := c.chart(p, &s, &d); err != nil {
			return err
		}
	}
	if c.JSON {
		out, err := json.MarshalIndent(d, "", "  ")
		if err != nil {
			return err
		}
		if err := p.write("", append(out, '\n')); err != nil {
			return err
		}
	} else if err := p.write("", []byte(countsTable(&s, &d))); err != nil {
		return err
	}
	if len(d.Found) == 0 {
		return Outcome(app.ExitOver)
	}
	return nil
}

// chart writes the count map beside the search.
func (c *countsCommand) chart(p *Program, s *app.Solved, d *app.CountsDocument) error {
	format := strings.ToLower(strings.TrimPrefix(filepath.Ext(c.Map), "."))
	if c.Map != "" && format != "csv" && !slices.Contains(app.Formats, format) {
		return fmt.Errorf("%s: the end of the name does not say which kind of file; end it in .csv, .%s", c.Map, strings.Join(app.Formats, ", ."))
	}
	m, err := app.Chart(context.Background(), s, counts.Options{Each: c.Each, Workers: runtime.NumCPU()})
	if err != nil {
		return fmt.Errorf("%s: %w", shownName(c.Rig), err)
	}
	var found []study.Cell
	for _, x := range d.Found {
		found = append(found, study.Cell{A: x.Counts[0], B: x.Counts[1]})
	}
	if c.Sheet != "" {
		data, err := m.Sheet(s, found, stampOf(c.Rig))
		if err != nil {
			return err
		}
		if err := p.write(c.Sheet, data); err != nil {
			return err
		}
	}
	if c.Map == "" {
		return nil
	}
	if format == "csv" {
		data, err := m.CSV()
		if err != nil {
			return err
		}
		return p.write(c.Map, data)
	}
	data, err := app.Encode(m.Picture(found), format, 0)
	if err != nil {
		return err
	}
	return p.write(c.Map, data)
}

func countsTable(s *app.Solved, d *app.CountsDocument) string {
	p := page{show: s.Rig.Show()}
	p.standing(s.Rig)
	how := "the best that no neighbour one link off betters"
	if d.Whole {
		how = "every choice"
	}
	fmt.Fprintf(&p, "\nCounts %s. Tried %d, %s; %d within the limits that depend on counts.\n", strings.ToUpper(app.FoundWords), d.Tried, how, d.Within)
	w := tabwriter.NewWriter(&p, 0, 0, 2, ' ', 0)
	heads := ""
	for _, g := range d.Groups {
		heads += fmt.Sprintf("\t%s (%s)", g.Name, strings.Join(g.Legs, " "))
	}
	fmt.Fprintf(w, "\n %s\tpitch\troll\t%s\tone link off\tnearest limit\n", heads, counts.LoadWords(s.Rig))
	row := func(name string, c *app.CountChoice) {
		text := ""
		for _, n := range c.Counts {
			text += fmt.Sprintf("\t%d", n)
		}
		if c.Falls {
			fmt.Fprintf(w, "  %s%s\tdoes not stand\t\t\t\t\n", name, text)
			return
		}
		load, _ := c.Load()
		fmt.Fprintf(w, "  %s%s\t%s\t%s\t%.1f %%\t%d of %d out\t%s %.1f %%\n", name, text, p.degrees(c.PitchDeg), p.degrees(c.RollDeg), 100*load, c.OneOff, c.OneOffOf, c.About, 100*c.Use)
	}
	if d.Plan != nil {
		row("plan", d.Plan)
	}
	for i := range d.Found {
		row(fmt.Sprint(i+1), &d.Found[i])
	}
	if d.Nearest != nil {
		row("nearest", d.Nearest)
	}
	w.Flush()
	if d.Nearest != nil {
		p.WriteString("\nNo counts keep the limits. What the nearest still breaks:\n")
		for _, x := range d.InTheWay {
			p.WriteString(hanging(x, "  - ", "    "))
		}
		p.WriteString("What would open it:\n")
		for _, x := range d.Openings {
			load, name := x.Choice.Load()
			p.WriteString(hanging(fmt.Sprintf("%s: then counts %v hang it, %s %.1f %%", x.What, x.Choice.Counts, name, 100*load), "  - ", "    "))
		}
		if len(d.Openings) == 0 {
			p.WriteString("  - none of the changes tried: longer ropes, longer chains, points higher or further out\n")
		}
	}
	p.WriteString("\nOrder: within the limits; " + counts.LoadWords(s.Rig) + ", least first in steps of 1 %; fewest different\ncounts; fewest limits broken one link off; the smaller of these loads; the lower counts.\n\n")
	p.WriteString(wrapped(rig.Caution, ""))
	return p.String()
}

// degrees shows an angle given in degrees.
func (p *page) degrees(deg float64) string { return p.show.Angle(deg * quantity.Degree) }

// standing writes the head of a study: how the rig stands to its procedure,
// and what it is.
func (p *page) standing(r *rig.Rig) {
	rule := strings.Repeat("=", width)
	fmt.Fprintf(p, "%s\n  %s\n%s\n", rule, strings.ToUpper(r.Status().String()), rule)
	if r.Invented() {
		p.WriteString("INVENTED: demo data, not a load that exists\n")
	}
	p.WriteString("\n" + wrapped(r.Title(), ""))
}
