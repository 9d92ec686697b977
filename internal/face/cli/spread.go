package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"text/tabwriter"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/spread"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/face/app"
)

type spreadCommand struct {
	Rig     string `arg:"" help:"Rig file; - for standard input."`
	Cases   int    `default:"10000" help:"How many cases to try."`
	Seed    uint64 `default:"1" help:"The same seed gives the same cases."`
	Mass    string `placeholder:"SHARE" help:"Tolerance of mass, for example '3 %'; by default 5 %, or a body's give-or-take."`
	CG      string `name:"cg" placeholder:"SHARE" help:"Tolerance of the CG as a share of the load's size; by default 5 %."`
	Length  string `placeholder:"LENGTH" help:"Tolerance of leg length; by default the rig's leg-tolerance, or half a link."`
	Stretch string `placeholder:"SHARE" help:"Tolerance of stretch; by default 20 %."`
	Points  string `placeholder:"LENGTH" help:"Tolerance of lift points along each axis; by default 10 mm."`
	Counts  int    `help:"Tolerance of counts, links; by default 0."`
	Out     string `short:"o" placeholder:"FILE" help:"Also write a picture or table: .svg, .pdf, .png or .csv."`
	Sheet   string `placeholder:"FILE" help:"Also print it with its head and caution: .pdf, A4."`
	JSON    bool   `name:"json" help:"Print the outcome as data."`
}

// Help is the command's long help.
func (spreadCommand) Help() string {
	return `Examples:

  hangtrue spread crate.yaml
  hangtrue spread crate.yaml --mass '2 %' --points '5 mm' -o spread.pdf --sheet sheet.pdf
  hangtrue spread crate.yaml --cases 50000 --seed 7 --json

Every input lies anywhere within its tolerance, independently of the others. Interrupting it prints what it has.

Exit status: 0 no case is over a limit; 1 some are; 2 bad input; 3 cannot tell.`
}

// Run solves the spread of one rig.
func (c *spreadCommand) Run(p *Program) error {
	if c.Cases == 0 {
		return errors.New("--cases 0: from 100 to 1,000,000 make sense")
	}
	t, err := c.tolerances()
	if err != nil {
		return err
	}
	if _, err := ending(c.Sheet, "pdf"); err != nil {
		return err
	}
	s, err := p.hung(c.Rig)
	if err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	last := 0
	x, err := app.RunSpread(ctx, &s, spread.Options{
		Tolerances: t, Cases: c.Cases, Seed: c.Seed, Workers: runtime.NumCPU(),
		Progress: func(done, total int) {
			if tenth := done * 10 / total; tenth > last {
				last = tenth
				fmt.Fprintf(p.Stderr, "%d of %d cases\n", done, total)
			}
		},
	})
	if err != nil {
		return fmt.Errorf("%s: %w", shownName(c.Rig), err)
	}
	if c.Out != "" {
		if err := c.draw(p, x); err != nil {
			return err
		}
	}
	if c.Sheet != "" {
		data, err := x.Sheet(&s, stampOf(c.Rig))
		if err != nil {
			return err
		}
		if err := p.write(c.Sheet, data); err != nil {
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
	} else if err := p.write("", []byte(spreadTable(&s, x.Spread))); err != nil {
		return err
	}
	switch {
	case x.Spread.Over > 0:
		return Outcome(app.ExitOver)
	case len(s.Answer.Missing) > 0 || x.Spread.Unsettled > 0:
		return Outcome(app.ExitCannotTell)
	}
	return nil
}

func (c *spreadCommand) draw(p *Program, x *app.Spread) error {
	format := strings.ToLower(strings.TrimPrefix(filepath.Ext(c.Out), "."))
	var data []byte
	var err error
	switch {
	case format == "csv":
		data, err = x.CSV()
	case slices.Contains(app.Formats, format):
		data, err = app.Encode(x.Picture(), format, 0)
	default:
		return fmt.Errorf("%s: the end of the name does not say which kind of file; end it in .csv, .%s", c.Out, strings.Join(app.Formats, ", ."))
	}
	if err != nil {
		return err
	}
	return p.write(c.Out, data)
}

func (c *spreadCommand) tolerances() (spread.Tolerances, error) {
	t := spread.Defaults()
	t.Count, t.Own = c.Counts, c.Mass != ""
	for _, x := range []struct {
		flag, text string
		kind       quantity.Kind
		to         *float64
	}{
		{"--mass", c.Mass, quantity.Percent, &t.Mass},
		{"--cg", c.CG, quantity.Percent, &t.CG},
		{"--length", c.Length, quantity.Length, &t.Length},
		{"--stretch", c.Stretch, quantity.Percent, &t.Stretch},
		{"--points", c.Points, quantity.Length, &t.Point},
	} {
		if x.text == "" {
			continue
		}
		q, err := quantity.Parse(x.text, x.kind)
		if err != nil {
			return t, fmt.Errorf("%s: %w", x.flag, err)
		}
		if q.Value < 0 {
			return t, fmt.Errorf("%s: a tolerance cannot be negative", x.flag)
		}
		*x.to = q.Value
	}
	return t, nil
}

func spreadTable(s *app.Solved, x *spread.Spread) string {
	p := page{show: s.Rig.Show()}
	p.standing(s.Rig)
	p.WriteString(hanging(x.Words(), "\nHow sure is it: ", "  "))
	w := tabwriter.NewWriter(&p, 0, 0, 2, ' ', 0)
	fmt.Fprintf(w, "\n  \tas entered\tleast\t5 of 100 below\tmiddle\t5 of 100 above\tmost\n")
	row := func(name string, d spread.Distribution, show func(float64) string) {
		fmt.Fprintf(w, "  %s\t%s\t%s\t%s\t%s\t%s\t%s\n", name, show(d.Planned), show(d.Least), show(d.At[1]), show(d.At[2]), show(d.At[3]), show(d.Most))
	}
	percent := func(v float64) string { return fmt.Sprintf("%.1f %%", 100*v) }
	row(x.UseWords(), x.Use, percent)
	row("pitch", x.Pitch, p.show.Angle)
	row("roll", x.Roll, p.show.Angle)
	w.Flush()
	if x.Slack > 0 {
		fmt.Fprintf(&p, "A leg is slack in %s.\n", spelling.Count(x.Slack, "case", "cases"))
	}
	if len(x.Effects) > 0 {
		p.WriteString("\nWhich input matters most: share of the variance that would be left if all but it were known\n")
		w = tabwriter.NewWriter(&p, 0, 0, 2, ' ', 0)
		fmt.Fprintf(w, "  input\t%s\tpitch\troll\n", x.UseWords())
		for _, e := range x.Effects {
			fmt.Fprintf(w, "  %s\t%.0f %%\t%.0f %%\t%.0f %%\n", e.Name, 100*e.Use, 100*e.Pitch, 100*e.Roll)
		}
		w.Flush()
	}
	p.WriteString("\nTolerances: those entered on the command line, and for the rest:\n")
	for _, r := range spread.Reasons() {
		p.WriteString(hanging(r, "  - ", "    "))
	}
	fmt.Fprintf(&p, "Seed %d: the same seed gives the same cases.\n\n", x.Seed)
	p.WriteString(wrapped(rig.Caution, ""))
	return p.String()
}
