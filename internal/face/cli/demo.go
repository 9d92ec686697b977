package cli

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/face/app"
)

type demoCommand struct {
	Folder string `arg:"" optional:"" default:"hangtrue-demo" help:"New folder to write to; ${default} by default."`
}

// Help is the command's long help.
func (demoCommand) Help() string {
	return `Writes rig files of an invented lift school, each a problem of its own, and hangs them. Every one is marked INVENTED. The folder must not be there yet.

Examples:

  hangtrue demo
  hangtrue demo try

Exit status: 0 written, and every rig within the limits entered; 1, 2 and 3 as for check.`
}

// Run writes the demo rigs and checks each.
func (c *demoCommand) Run(p *Program) error {
	if len(p.Demos) == 0 {
		return errors.New("no demo rigs are built into this program")
	}
	if err := os.Mkdir(c.Folder, 0o777); err != nil {
		if errors.Is(err, os.ErrExist) {
			return fmt.Errorf("%s: it is already there; name a new folder", c.Folder)
		}
		return fmt.Errorf("%s: %s", c.Folder, reason(err))
	}
	worst := app.ExitWithin
	for _, d := range p.Demos {
		name := filepath.Join(c.Folder, d.Name)
		if err := p.write(name, d.Data); err != nil {
			return err
		}
		s := app.Solve(d.Data)
		worst = worse(worst, s.Exit())
		if len(s.Problems) > 0 {
			_ = p.problems(name, &s)
			continue
		}
		fmt.Fprintf(p.Stdout, "%s: %s\n", name, checkLine(&s))
	}
	fmt.Fprintf(p.Stdout, "\n%s", wrapped(rig.Caution, ""))
	return outcome(worst)
}
