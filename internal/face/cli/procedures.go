package cli

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"hangtrue/internal/engine/procedure"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/face/app"
)

type proceduresCommand struct {
	Folder string `arg:"" help:"Folder of rig files, with the register procedures/register.yaml beneath it."`
	JSON   bool   `name:"json" help:"Print it as data."`
}

// Help is the command's long help.
func (proceduresCommand) Help() string {
	return `Holds a folder of rigs against the school's register of procedures, a file procedures/register.yaml of format hangtrue.procedures/1 beneath that folder: which rig cites what, which cite an edition that is no longer current and are for review, and what a draft without a procedure still needs before it prints as final. hangtrue new procedures prints a register to start from.

Examples:

  hangtrue procedures rigs
  hangtrue procedures rigs --json

Exit status: 0 every rig cites a current edition; 1 some are for review, or cite what the register does not have; 2 bad input; 3 some cite nothing, or it cannot be told.`
}

// Run holds a folder against its register.
func (c *proceduresCommand) Run(p *Program) error {
	info, err := os.Stat(c.Folder)
	switch {
	case err != nil:
		return fmt.Errorf("%s: %s", c.Folder, reason(err))
	case !info.IsDir():
		return fmt.Errorf("%s: this is a file; name the folder that it is in", c.Folder)
	}
	name := filepath.Join(c.Folder, app.RegisterName)
	var register []byte
	if _, err := os.Stat(name); err == nil {
		if register, err = p.read(name); err != nil {
			return err
		}
	}
	rigs, err := p.rigsIn(c.Folder)
	if err != nil {
		return err
	}
	x := app.HoldProcedures(register, rigs)
	if len(x.Problems) > 0 {
		return p.wrong(name, x.Problems)
	}
	for _, r := range x.Unread {
		fmt.Fprintf(p.Stderr, "%s: it has errors and is left out; hangtrue solve names them\n", filepath.Join(c.Folder, r+".yaml"))
	}
	if c.JSON {
		err = p.writeJSON(x.Document())
	} else {
		err = p.write("", []byte(proceduresPage(x)))
	}
	if err != nil {
		return err
	}
	return outcome(x.Exit())
}

// rigsIn reads the rig files of a folder: those that end in .yaml and say that
// they are one.
func (p *Program) rigsIn(folder string) ([]app.NamedFile, error) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return nil, fmt.Errorf("%s: %s", folder, reason(err))
	}
	var out []app.NamedFile
	for _, e := range entries {
		if e.IsDir() || filepath.Ext(e.Name()) != ".yaml" || e.Type()&fs.ModeSymlink != 0 {
			continue
		}
		data, err := p.read(filepath.Join(folder, e.Name()))
		if err != nil {
			return nil, err
		}
		if f := app.FormatOf(data); f != "" && !strings.HasPrefix(f, "hangtrue.rig/") {
			continue // an aircraft, a sequence, a day …
		}
		out = append(out, app.NamedFile{Name: strings.TrimSuffix(e.Name(), ".yaml"), Data: data})
	}
	return out, nil
}

func proceduresPage(x *app.RegisterReview) string {
	p := page{}
	p.inventedLine(x.Register.Invented, "a register")
	switch {
	case x.Version == "":
		p.WriteString(wrapped("There is no register "+app.RegisterName+" in the folder: no publication is known.", ""))
	case x.Register.Title != "":
		p.WriteString(wrapped(x.Register.Title, ""))
	}
	p.WriteString(wrapped(fmt.Sprintf("%s: %d cite a current edition, %d FOR REVIEW, %d cite what the register does not have, %d cannot be told, %d cite none.",
		spelling.Count(len(x.Citations), "rig", "rigs"), x.Count(procedure.Current), x.Count(procedure.ForReview), x.Count(procedure.NotInTheBook), x.Count(procedure.NotChecked), x.Count(procedure.NotCited)), ""))
	var rows [][]string
	for _, c := range x.Citations {
		cites := none
		if c.Procedure != nil {
			cites = procedureWords(c.Procedure)
		}
		rows = append(rows, []string{c.Rig, c.Standing.Words(), cites})
	}
	if len(rows) > 0 {
		p.section("Rigs, and what each cites")
		p.rows([]string{"rig", "", "cites"}, rows)
		for _, c := range x.Citations {
			if c.Procedure != nil && c.Standing != procedure.Current {
				p.list([]string{c.Rig + ": " + c.Why})
			}
		}
		if x.Count(procedure.ForReview) > 0 {
			p.WriteString(wrapped("A rig for review keeps its old records as they were signed; rig, sequences and sheets are to be read over against the new edition.", "  "))
		}
	}
	p.drafts(x)
	if books := x.Books(); len(books) > 0 {
		p.section("Publications")
		rows = nil
		for _, b := range books {
			state := "current"
			if b.Superseded {
				state = "superseded"
			}
			by := strings.Join(b.CitedBy, ", ")
			if by == "" {
				by = none
			}
			rows = append(rows, []string{b.Title, orDash(b.Edition), orDash(b.Change), state, fmt.Sprint(b.Paragraphs), by})
		}
		p.rows([]string{"publication", "edition", "change", "", "paragraphs", "cited by"}, rows)
	}
	p.WriteString("\n" + wrapped(rig.Caution, ""))
	return p.String()
}

func orDash(s string) string {
	if s == "" {
		return none
	}
	return s
}

// drafts prints what rigs that no procedure covers need before their papers
// print as final.
func (p *page) drafts(x *app.RegisterReview) {
	var lines []string
	for _, c := range x.Citations {
		if !c.Draft.Is {
			continue
		}
		text := fmt.Sprintf("%s: %s: ", c.Rig, c.Status)
		switch {
		case len(c.Draft.Missing) > 0:
			text += "draft, missing: " + strings.Join(c.Draft.Missing, "; ")
		case c.Invented:
			text += "draft: invented data never prints as final"
		default:
			text += fmt.Sprintf("prints as final under %s, %s; test lift on %s by %s", c.Draft.By.Name, c.Draft.By.Reference, c.Draft.By.TestLift.On.Format("2006-01-02"), c.Draft.By.TestLift.By)
		}
		lines = append(lines, text)
	}
	if len(lines) > 0 {
		p.section("Drafts")
		p.list(lines)
	}
}
