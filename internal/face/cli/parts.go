package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part/catalogfile"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/face/app"
)

type partsCommand struct {
	Rig     string `arg:"" help:"Rig file; - for standard input."`
	Catalog string `placeholder:"DIR" help:"Folder with a school's own catalogue files, read over the shipped ones."`
	JSON    bool   `name:"json" help:"Print the list as data."`
}

// Help is the command's long help.
func (partsCommand) Help() string {
	return `Examples:

  hangtrue parts crate.yaml
  hangtrue parts crate.yaml --catalog kinds
  hangtrue parts crate.yaml --json

Parts follow from legs, points, bodies and apexes; a rig file may name more under parts. Their ids are what a sequence file looks at.

Exit status: 0 listed; 2 bad input.`
}

// Run lists the parts of one rig.
func (c *partsCommand) Run(p *Program) error {
	s, v, err := p.survey(c.Rig, c.Catalog)
	if err != nil {
		return err
	}
	d := app.Parts(s, v)
	if c.JSON {
		return p.writeJSON(d)
	}
	return p.write("", []byte(partsTable(s, &d)))
}

func partsTable(s *app.Solved, d *app.PartsDocument) string {
	p := page{show: s.Rig.Show()}
	p.standing(s.Rig)
	fmt.Fprintf(&p, "\n%s; the catalogue knows %s that they can have.\n\n",
		spelling.Count(len(d.Parts), "part", "parts"), spelling.Count(d.Deficiencies, "deficiency", "deficiencies"))
	var rows [][]string
	for _, x := range d.Parts {
		rows = append(rows, []string{x.ID, x.KindName, x.Place, fmt.Sprint(x.Deficiencies)})
	}
	p.rows([]string{"part", "kind", "place", "deficiencies"}, rows)
	p.WriteString("\n" + wrapped(rig.Caution, ""))
	return p.String()
}

// survey reads a rig and the catalogue for it. Whatever is wrong inside the
// files is printed, and the error is then the exit status alone.
func (p *Program) survey(name, folder string) (*app.Solved, *inspect.Survey, error) {
	own, err := p.catalogFiles(folder)
	if err != nil {
		return nil, nil, err
	}
	c, wrong := app.Catalog(own...)
	for _, x := range wrong {
		fmt.Fprintln(p.Stderr, x)
	}
	if len(wrong) > 0 {
		return nil, nil, Outcome(app.ExitBadInput)
	}
	s, err := p.solve(name)
	if err != nil {
		return nil, nil, err
	}
	if len(s.Problems) > 0 {
		return nil, nil, p.problems(name, &s)
	}
	v, problems := app.Survey(&s, c)
	for _, x := range problems {
		fmt.Fprintln(p.Stderr, x.Format(shownName(name)))
	}
	if len(problems) > 0 {
		return nil, nil, Outcome(app.ExitBadInput)
	}
	return &s, v, nil
}

// catalogFiles reads the catalogue files of a folder in the order of their
// names; no folder has none.
func (p *Program) catalogFiles(folder string) ([]catalogfile.File, error) {
	if folder == "" {
		return nil, nil
	}
	entries, err := os.ReadDir(folder)
	if err != nil {
		if info, other := os.Stat(folder); other == nil && !info.IsDir() {
			return nil, fmt.Errorf("--catalog %s: this is a file; name the folder that it is in", folder)
		}
		return nil, fmt.Errorf("--catalog %s: %s", folder, reason(err))
	}
	var out []catalogfile.File
	for _, e := range entries {
		if !slices.Contains([]string{".yaml", ".yml"}, strings.ToLower(filepath.Ext(e.Name()))) || e.IsDir() {
			continue
		}
		name := filepath.Join(folder, e.Name())
		data, err := p.read(name)
		if err != nil {
			return nil, err
		}
		out = append(out, catalogfile.File{Name: name, Data: bytes.NewReader(data)})
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("--catalog %s: there is no catalogue file in it; their names end in .yaml", folder)
	}
	return out, nil
}

// writeJSON prints a document as data.
func (p *Program) writeJSON(document any) error {
	out, err := json.MarshalIndent(document, "", "  ")
	if err != nil {
		return err
	}
	return p.write("", append(out, '\n'))
}
