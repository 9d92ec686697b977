package cli

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"text/tabwriter"
	"time"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/fault"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/picture"
	"hangtrue/internal/paper/sheet"
)

type faultsCommand struct {
	Rig     string `arg:"" help:"Rig file; - for standard input."`
	Links   int    `default:"10" help:"How many links off a count is tried, either way."`
	Most    int    `help:"How many of the gravest to print; by default all."`
	Out     string `short:"o" placeholder:"FILE" help:"Also write the whole table: .csv."`
	Sheet   string `placeholder:"FILE" help:"Also print the table with small pictures: .pdf, A4."`
	Picture string `placeholder:"FILE" help:"Also draw a fault beside the plan: .svg, .pdf or .png."`
	Fault   string `placeholder:"ID" help:"Which fault to draw, for example leg-lost.FL; --json lists them. The gravest by default."`
	View    string `default:"side" enum:"side,front,top,three-quarter" help:"Seen from which side: ${enum}; ${default} by default."`
	JSON    bool   `name:"json" help:"Print the whole table as data."`
}

// Help is the command's long help.
func (faultsCommand) Help() string {
	return `Examples:

  hangtrue faults trailer.yaml
  hangtrue faults trailer.yaml --links 2 --most 10
  hangtrue faults trailer.yaml -o faults.csv
  hangtrue faults trailer.yaml --json
  hangtrue faults trailer.yaml --sheet faults.pdf
  hangtrue faults trailer.yaml --fault leg-lost.FL --picture lost.svg

One thing wrong at a time: a leg held some links off, two legs led to each other's points or in each other's seats, a leg, a lift point or a hook lost. Each is hung and judged like any other rig, at rest. Faults that are not tried are not shown to be harmless. Interrupting it prints what it has.

Exit status: 0 the rig as planned is within the limits entered, whatever its faults do; 1 it is over a limit, or does not stand; 2 bad input; 3 cannot tell, or interrupted.`
}

// Run works out the one-fault table of one rig.
func (c *faultsCommand) Run(p *Program) error {
	if c.Links < 1 || c.Links > 1000 {
		return fmt.Errorf("--links %d: from 1 to 1000 can be tried", c.Links)
	}
	if c.Most < 0 {
		return fmt.Errorf("--most %d: a number above zero, or 0 for all", c.Most)
	}
	if _, err := ending(c.Out, "csv"); err != nil {
		return err
	}
	if _, err := ending(c.Sheet, "pdf"); err != nil {
		return err
	}
	if _, err := ending(c.Picture, app.Formats...); err != nil {
		return err
	}
	if c.Fault != "" && c.Picture == "" {
		return fmt.Errorf("--fault %s: say with --picture where to draw it", c.Fault)
	}
	s, err := p.hung(c.Rig)
	if err != nil {
		return err
	}
	if _, ok := fault.Named(s.Rig, c.Fault); c.Fault != "" && !ok {
		return fmt.Errorf("--fault %s: this rig has none of that name; faults --json lists the id of each", c.Fault)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	x, err := app.RunFaults(ctx, &s, fault.Options{MaxLinks: c.Links, Workers: runtime.NumCPU()})
	if err != nil {
		return fmt.Errorf("%s: %w", shownName(c.Rig), err)
	}
	if c.Out != "" {
		data, err := x.CSV()
		if err != nil {
			return err
		}
		if err := p.write(c.Out, data); err != nil {
			return err
		}
	}
	if err := c.papers(p, x); err != nil {
		return err
	}
	if c.JSON {
		out, err := json.MarshalIndent(x.Document(), "", "  ")
		if err != nil {
			return err
		}
		if err := p.write("", append(out, '\n')); err != nil {
			return err
		}
	} else if err := p.write("", []byte(faultsTable(x, c.Most))); err != nil {
		return err
	}
	status := s.Exit()
	if x.Stopped {
		status = worse(status, app.ExitCannotTell)
	}
	return outcome(status)
}

// papers writes the sheet and the picture that were asked for.
func (c *faultsCommand) papers(p *Program, x *app.Faults) error {
	if c.Sheet != "" {
		data, err := x.Sheet(stampOf(c.Rig))
		if err != nil {
			return err
		}
		if err := p.write(c.Sheet, data); err != nil {
			return err
		}
	}
	if c.Picture == "" {
		return nil
	}
	view, _ := picture.Named(c.View)
	drawn, err := x.Beside(c.Fault, view, 240, 150)
	if err != nil {
		return err
	}
	format, err := ending(c.Picture, app.Formats...)
	if err != nil {
		return err
	}
	data, err := app.Encode(drawn, format, 0)
	if err != nil {
		return err
	}
	return p.write(c.Picture, data)
}

// stampOf is what a sheet printed today from a rig file says of its making.
func stampOf(name string) sheet.Stamp {
	return sheet.Stamp{Date: time.Now().Format(time.DateOnly), File: filepath.Base(shownName(name)), Tool: toolName()}
}

// ending returns what the end of a file's name says of its kind, "" for no
// file, and fails where that is none of those that can be written.
func ending(name string, can ...string) (string, error) {
	if name == "" {
		return "", nil
	}
	format := strings.ToLower(strings.TrimPrefix(filepath.Ext(name), "."))
	if !slices.Contains(can, format) {
		return "", fmt.Errorf("%s: the end of the name does not say which kind of file; end it in .%s", name, strings.Join(can, ", ."))
	}
	return format, nil
}

func faultsTable(x *app.Faults, most int) string {
	t := x.Table
	p := page{show: x.Rig.Show()}
	p.standing(x.Rig)
	fmt.Fprintf(&p, "\nOne thing wrong at a time: %s tried, at rest, gravest end first.\n", spelling.Count(t.Tried, "fault", "faults"))
	if x.Stopped {
		fmt.Fprintf(&p, "INTERRUPTED: %d of %d tried; the rest is not known.\n", t.Tried, t.Listed)
	}
	p.WriteString(hanging(t.Plan.Result.Words()+": "+t.Plan.Reason, "As planned: ", "            "))
	rows := t.Rows
	if most > 0 && most < len(rows) {
		rows = rows[:most]
	}
	bodies := len(x.Rig.Bodies()) > 1
	heads := "  \tpitch\troll\tmost used leg\tslack legs\tas it then hangs\n"
	if bodies {
		heads = "  \tbody\tpitch\troll\tmost used leg\tslack legs\tas it then hangs\n"
	}
	var b strings.Builder
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	line := func(name string, r *fault.Row) {
		body := ""
		if bodies {
			body = r.Body + "\t"
		}
		use := none
		if r.Rated {
			use = fmt.Sprintf("%s %s", r.Leg, p.show.Percent(r.Use))
		}
		slack := none
		if len(r.Slack) > 0 {
			slack = strings.Join(r.Slack, " ")
		}
		fmt.Fprintf(w, "  %s\t%s%s\t%s\t%s\t%s\t%s\n", name, body, signed(r.Pitch), signed(r.Roll), use, slack, r.Result.Words())
	}
	fmt.Fprint(w, heads)
	line("as planned", &t.Plan)
	// What stands between the lines of the table is put in once it is set, so
	// that one set of columns serves all of it.
	before := map[int][]string{}
	for i := range rows {
		if i == 0 || rows[i].Gravest() != rows[i-1].Gravest() {
			before[i] = append(before[i], "\n"+gravestWords(&rows[i])+"\n")
		}
		line(rows[i].What, &rows[i])
	}
	w.Flush()
	p.WriteString("\nPitch deg, positive nose up; roll deg, positive right side down.\n\n")
	at := -2 // heads and plan first
	for text := range strings.Lines(b.String()) {
		for _, head := range before[at] {
			p.WriteString(head)
		}
		p.WriteString(strings.TrimRight(text, " \n") + "\n")
		if at >= 0 && len(rows[at].Why) > 0 {
			p.WriteString(hanging(strings.Join(rows[at].Why, "; "), "      ", "      "))
		}
		at++
	}
	if n := len(t.Rows) - len(rows); n > 0 {
		fmt.Fprintf(&p, "\n%s not printed here; leave out --most for all.\n", spelling.Count(n, "further fault is", "further faults are"))
	}
	p.pitched(x)
	p.faultNotes(x)
	p.WriteString("\n" + wrapped(rig.Caution, ""))
	return p.String()
}

func gravestWords(r *fault.Row) string {
	if e := r.Gravest(); e != "" {
		return "May end so: " + e.Words()
	}
	return "Nothing worked out here shows an end; that is no proof that there is none"
}

// pitched prints how several hooks share the load as the aircraft pitches.
func (p *page) pitched(x *app.Faults) {
	if len(x.Pitch) == 0 {
		return
	}
	p.section("How the hooks share the load as the aircraft pitches (positive nose up)")
	heads := []string{"aircraft"}
	for _, h := range x.Pitch[0].Share {
		heads = append(heads, "hook "+h.Hook, "share")
	}
	var rows [][]string
	for i, a := range x.Pitch {
		if i%5 != 0 {
			continue // every step is in the data
		}
		row := []string{signed(a.Aircraft) + " deg"}
		for _, h := range a.Share {
			row = append(row, p.show.Force(h.Force), p.show.Percent(h.Share))
		}
		use := none
		if a.Rated {
			use = fmt.Sprintf("%s %s", a.Leg, p.show.Percent(a.Use))
		}
		rows = append(rows, append(row, use, a.Result.Words()))
	}
	p.rows(append(heads, "most used leg", "as it then hangs"), rows)
}

// faultNotes prints what the numbers leave out, and the faults left out.
func (p *page) faultNotes(x *app.Faults) {
	var order []string
	of := map[string]int{}
	ran := 0
	for i := range x.Table.Rows {
		r := &x.Table.Rows[i]
		if r.Ran {
			ran++
		}
		if r.Note == "" {
			continue
		}
		if of[r.Note] == 0 {
			order = append(order, r.Note)
		}
		of[r.Note]++
	}
	p.section("What the numbers leave out")
	p.list([]string{"faults that come together, and all that moves: the load is at rest before and after"})
	for _, n := range order {
		p.list([]string{fmt.Sprintf("%s: %s", spelling.Count(of[n], "fault", "faults"), n)})
	}
	if ran > 0 {
		p.list([]string{fmt.Sprintf("%s: numbers are those of chain that runs freely through its points, which is worse", spelling.Count(ran, "fault", "faults"))})
	}
	if len(x.Table.Omitted) == 0 {
		return
	}
	p.section("Faults that this rig cannot have, or that cannot be worked out")
	for _, o := range x.Table.Omitted {
		p.list([]string{o.What + ": " + o.Why})
	}
}
