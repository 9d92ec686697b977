package cli

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"syscall"
)

type serveCommand struct {
	Folder string `arg:"" help:"Folder with rig files, NAME.yaml."`
	Addr   string `placeholder:"HOST:PORT" default:"127.0.0.1:8765" help:"Where on this machine; ${default} by default, port 0 for any free one."`
	NoOpen bool   `help:"Do not open a browser."`
}

// Help is the command's long help.
func (serveCommand) Help() string {
	return `Examples:

  hangtrue serve rigs
  hangtrue serve rigs --addr 127.0.0.1:0 --no-open

The pages can be reached from this machine only. Saved versions are kept in the folder's .versions, beside the rigs. Interrupt it to end.

Exit status: 0 ended by an interrupt; 2 bad input.`
}

// Run serves until it is interrupted.
func (c *serveCommand) Run(p *Program) error {
	info, err := os.Stat(c.Folder)
	switch {
	case err != nil:
		return fmt.Errorf("%s: %s", c.Folder, reason(err))
	case !info.IsDir():
		return fmt.Errorf("%s: this is a file; name the folder it is in", c.Folder)
	}
	return p.show(Serving{Folder: c.Folder, Addr: c.Addr, Open: !c.NoOpen})
}

// show serves pages until an interrupt.
func (p *Program) show(o Serving) error {
	if p.Serve == nil {
		return errors.New("this program was built without its pages")
	}
	o.Tool, o.Out, o.Log = toolName(), p.Stdout, p.Stderr
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	return p.Serve(ctx, o)
}
