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
	Folder string `arg:"" optional:"" help:"Folder with rig files, NAME.yaml."`
	Addr   string `placeholder:"HOST:PORT" default:"127.0.0.1:8765" help:"Where on this machine; ${default} by default, port 0 for any free one."`
	NoOpen bool   `help:"Do not open a browser."`
	School string `placeholder:"FILE" help:"Serve a school with its people from this database instead: a file, made where it is not there, or postgres://…"`
	Title  string `placeholder:"NAME" help:"The school's name on every page, until it is entered in the settings."`
	Lan    bool   `name:"lan" help:"Let tablets on the network in, by TLS with the school's own certificate authority."`
	Host   string `placeholder:"NAME.local" help:"The one name of the server for life; asked for the first time --lan is used."`
	Secure string `placeholder:"HOST:PORT" default:":8443" help:"Where on the network, by TLS; ${default} by default."`
	Trust  string `placeholder:"HOST:PORT" default:":8080" help:"Where on the network the page is that leads a tablet through trusting the school; ${default} by default."`
}

// SchoolServing says how a school is served.
type SchoolServing struct {
	Database, Title     string
	LAN                 bool
	Host, Secure, Trust string
}

// Help is the command's long help.
func (serveCommand) Help() string {
	return `Examples:

  hangtrue serve rigs
  hangtrue serve rigs --addr 127.0.0.1:0 --no-open
  hangtrue serve --school school.db --title "Kestmoor Lift School"
  hangtrue serve --school school.db --lan --host kestmoor.local

A folder of rigs is for one person: its pages can be reached from this machine only. Saved versions are kept in the folder's .versions, beside the rigs.

A school has people who sign in. The first start prints the chief instructor's one-time link. With --lan, tablets on the network are let in by TLS; the certificate authority's key lies beside the database, for its owner alone. Over plain HTTP the network gets the trust page and the certificate, nothing else.

Interrupt it to end.

Exit status: 0 ended by an interrupt; 2 bad input.`
}

// Run serves until it is interrupted.
func (c *serveCommand) Run(p *Program) error {
	o := Serving{Folder: c.Folder, Addr: c.Addr, Open: !c.NoOpen}
	if c.School != "" {
		if c.Folder != "" {
			return errors.New("serve a folder or a school, not both; 'hangtrue school load' takes a folder's rigs into a school")
		}
		o.School = &SchoolServing{Database: c.School, Title: c.Title, LAN: c.Lan, Host: c.Host, Secure: c.Secure, Trust: c.Trust}
		return p.show(o)
	}
	switch {
	case c.Lan || c.Host != "" || c.Title != "":
		return errors.New("--lan, --host and --title are for a school: name its database with --school")
	case c.Folder == "":
		return errors.New("name the folder with the rigs, or a school's database with --school")
	}
	info, err := os.Stat(c.Folder)
	switch {
	case err != nil:
		return fmt.Errorf("%s: %s", c.Folder, reason(err))
	case !info.IsDir():
		return fmt.Errorf("%s: this is a file; name the folder it is in", c.Folder)
	}
	return p.show(o)
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
