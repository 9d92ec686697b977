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
	Folder  string `arg:"" optional:"" help:"New folder to write to; hangtrue-demo by default, or the next free hangtrue-demo-2, -3 …"`
	Addr    string `placeholder:"HOST:PORT" default:"127.0.0.1:0" help:"Where to show the pages on this machine; any free port by default."`
	NoServe bool   `help:"Only write and hang them, and end."`
	NoOpen  bool   `help:"Do not open a browser."`
}

// Help is the command's long help.
func (demoCommand) Help() string {
	return `Writes rig files of an invented lift school, each a problem of its own, and hangs them. Every one is marked INVENTED. Beside them go aircraft and a load brief of the school. A folder that is named must not be there yet. Then it shows them as pages, prints the address and opens a browser where there is one, until it is interrupted.

Examples:

  hangtrue demo
  hangtrue demo try --no-serve

Exit status: 0 written, and every rig within the limits entered; 1, 2 and 3 as for check.`
}

// Run writes the demo rigs and checks each.
func (c *demoCommand) Run(p *Program) error {
	if len(p.Demos) == 0 {
		return errors.New("no demo rigs are built into this program")
	}
	if c.Folder == "" {
		c.Folder = freeFolder("hangtrue-demo")
	}
	if err := os.Mkdir(c.Folder, 0o777); err != nil {
		if errors.Is(err, os.ErrExist) {
			return fmt.Errorf("%s: it is already there; name a new folder", c.Folder)
		}
		return fmt.Errorf("%s: %s", c.Folder, reason(err))
	}
	for _, d := range p.Beside {
		name := filepath.Join(c.Folder, filepath.FromSlash(d.Name))
		if err := os.MkdirAll(filepath.Dir(name), 0o777); err != nil {
			return fmt.Errorf("%s: %s", filepath.Dir(name), reason(err))
		}
		if err := p.write(name, d.Data); err != nil {
			return err
		}
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
	fmt.Fprintf(p.Stdout, "\n%s\n", wrapped(rig.Caution, ""))
	if !c.NoServe && p.Serve != nil {
		if err := p.show(Serving{Folder: c.Folder, Addr: c.Addr, Open: !c.NoOpen}); err != nil {
			return err
		}
	}
	return outcome(worst)
}

// freeFolder returns the name, or the name with the first number from 2 up
// that is not taken.
func freeFolder(name string) string {
	try := name
	for n := 2; n < 1000; n++ {
		if _, err := os.Lstat(try); err != nil {
			return try
		}
		try = fmt.Sprintf("%s-%d", name, n)
	}
	return try
}
