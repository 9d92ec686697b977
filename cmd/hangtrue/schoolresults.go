package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"net/url"
	"os"
	"path/filepath"
	"time"

	"hangtrue/internal/engine/calendar"
	"hangtrue/internal/engine/teach/report"
	"hangtrue/internal/face/app"
	"hangtrue/internal/face/cli"
	"hangtrue/internal/keep/store"
	"hangtrue/internal/paper/results"
)

type resultsCommand struct {
	School  string `arg:"" help:"The school's database: a file, or a PostgreSQL address."`
	Class   string `placeholder:"NAME" help:"The class, by its name or id; the whole school without it."`
	From    string `placeholder:"DAY" help:"Count from this day on, as 2026-05-31; for the whole school."`
	Student string `placeholder:"NAME" help:"With --pdf: the result sheet of this student of the class."`
	CSV     bool   `name:"csv" xor:"form" help:"A table with a line for each planted deficiency of each run."`
	XAPI    bool   `name:"xapi" xor:"form" help:"Statements for a learning record store (IEEE 9274.1.1, xAPI 2.0)."`
	PDF     bool   `name:"pdf" xor:"form" help:"The report, or with --student the result sheet."`
	Home    string `placeholder:"ADDRESS" help:"With --xapi: the address of the school's server, as https://hut-school.local; accounts and activities are named under it."`
	Names   bool   `help:"With --xapi: with people's names; accounts alone without it."`
	Out     string `short:"o" placeholder:"FILE" default:"-" help:"Where it goes; standard output for -."`
}

// Help is the command's long help.
func (resultsCommand) Help() string {
	return `Examples:

  hangtrue school results school.db --class "Spring 2026"
  hangtrue school results school.db --class "Spring 2026" --pdf -o report.pdf
  hangtrue school results school.db --csv -o results.csv
  hangtrue school results school.db --xapi --home https://hut-school.local -o statements.json

What the results of a class or of the whole school say, in a few lines, or as a file. The server may be running. Whoever can read the database sees what was planted, before a key is shown too: keep what this writes from students. The numbers are about tests and say nothing about any load.

With the address of the school's server as --home the statements are those of its pages, with the same ids.

Exit status: 0 written; 2 not.`
}

// Run writes the results.
func (c *resultsCommand) Run(p *cli.Program) error {
	ctx := context.Background()
	from, err := c.check()
	if err != nil {
		return err
	}
	db, err := store.OpenReader(ctx, c.School, store.Options{Most: app.MostBytes, Now: time.Now})
	if err != nil {
		return plainly(err)
	}
	defer db.Close()
	rigs, err := db.Shelf(store.Rigs)
	if err != nil {
		return err
	}
	school := app.NewSchool(db, rigs, app.ShelvesOf(func(kind string) (app.Keeper, error) { return db.Shelf(kind) }), time.Now)
	d, err := school.AllResults(ctx, c.Class, from, !c.CSV && !c.XAPI)
	if err != nil {
		return plainly(err)
	}
	switch {
	case c.CSV:
		err = c.write(p, func(w io.Writer) error { return d.WriteCSV(ctx, w) })
	case c.XAPI:
		err = c.write(p, func(w io.Writer) error { return d.WriteXAPI(ctx, w, app.XAPIAsk{Origin: c.Home, Names: c.Names}) })
	case c.PDF:
		err = c.paper(ctx, p, school, d)
	default:
		err = c.write(p, func(w io.Writer) error { return resultLines(w, d) })
	}
	if err != nil || c.Out == "-" {
		return err
	}
	return p.Say("%s: written\n", c.Out)
}

// check refuses what does not go together.
func (c *resultsCommand) check() (from time.Time, err error) {
	switch {
	case c.Student != "" && (!c.PDF || c.Class == ""):
		return from, errors.New("--student is the result sheet of one student of a class: name --class and --pdf too")
	case c.XAPI && c.Home == "":
		return from, errors.New("statements are named under the school's address: give it with --home, as --home https://hut-school.local")
	case !c.XAPI && (c.Home != "" || c.Names):
		return from, errors.New("--home and --names are for --xapi")
	case c.PDF && c.Out == "-":
		return from, errors.New("name the file for the PDF with -o")
	case c.From != "" && c.Class != "":
		return from, errors.New("--from is for the whole school; leave --class out")
	}
	if c.Home != "" {
		if u, err := url.Parse(c.Home); err != nil || u.Scheme != "https" && u.Scheme != "http" || u.Host == "" || u.Path != "" || u.RawQuery != "" {
			return from, fmt.Errorf("%q is no address of a server; one is written https://hut-school.local", c.Home)
		}
	}
	if c.From == "" {
		return from, nil
	}
	day, err := calendar.Parse(c.From)
	if err != nil {
		return from, fmt.Errorf("%q is no day; one is written 2026-05-31", c.From)
	}
	return time.Parse(time.DateOnly, string(day))
}

func (c *resultsCommand) paper(ctx context.Context, p *cli.Program, school *app.School, d *app.ResultDesk) error {
	name, err := schoolName(school, "")
	if err != nil {
		return err
	}
	stamp := results.Stamp{Date: time.Now().Format("2006-01-02 15:04"), Tool: cli.ToolName()}
	var data []byte
	if c.Student == "" {
		data, err = d.ReportPaper(name, stamp)
	} else {
		when := func(t time.Time) string { return t.Local().Format("2006-01-02 15:04") }
		data, err = d.StudentPaper(ctx, c.Student, name, when, stamp)
	}
	if err != nil {
		return err
	}
	return c.write(p, func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
}

// resultLines says in a few lines what the results say.
func resultLines(w io.Writer, d *app.ResultDesk) error {
	invented := ""
	if d.Invented {
		invented = "INVENTED: "
	}
	teach, _ := d.Set.TeachAgain()
	fmt.Fprintf(w, "%s%s\n%s\n%s\n", invented, d.Title(), teach, results.RunWords(d.Set.Runs()))
	for _, part := range []struct {
		title string
		lines report.Lines
	}{{"By checkpoint, the least often found first:", d.Set.ByCheckpoint()}, {"By deficiency:", d.Set.ByItem()}} {
		if len(part.lines) == 0 {
			continue
		}
		fmt.Fprintf(w, "\n%s\n", part.title)
		for i := range part.lines {
			l := &part.lines[i]
			fmt.Fprintf(w, "  %s: found %s\n", results.LineName(l), l.Words())
		}
	}
	_, err := fmt.Fprintf(w, "\n%s\n", results.About)
	return err
}

// write puts what make writes into the file named, whole or not at all: into one
// beside it first.
func (c *resultsCommand) write(p *cli.Program, make func(io.Writer) error) error {
	if c.Out == "-" {
		return make(p.Stdout)
	}
	beside := filepath.Join(filepath.Dir(c.Out), fmt.Sprintf(".%s.%d.part", filepath.Base(c.Out), os.Getpid()))
	f, err := os.OpenFile(beside, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600) // there are names in it
	if err != nil {
		return plainly(err)
	}
	out := bufio.NewWriterSize(f, 1<<16)
	err = make(out)
	if err == nil {
		err = out.Flush()
	}
	if err == nil {
		err = f.Sync()
	}
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err == nil {
		err = os.Rename(beside, c.Out)
	}
	if err != nil {
		os.Remove(beside)
		return plainly(err)
	}
	return nil
}
