package main

import (
	"context"
	"time"

	"hangtrue/internal/face/app"
	"hangtrue/internal/face/cli"
)

type chiefCommand struct {
	School string `arg:"" help:"The school's database: a file, or a PostgreSQL address."`
	Login  string `placeholder:"NAME" help:"The sign-in name of the chief instructor, where there are several."`
}

// Help is the command's long help.
func (chiefCommand) Help() string {
	return `Examples:

  hangtrue school chief school.db
  hangtrue school chief school.db --login m.lindt

For a chief instructor who forgot the passphrase, where no other can help. The server must not be running; start it afterwards and open the link's address on it. The old passphrase counts until the link is used. That a link was made here stands in the school's list of what was done to accounts.

Who can write the database's file can do all that the school can: keep it to one account of the machine.

Exit status: 0 a link was made; 2 not.`
}

// Run makes the link.
func (c *chiefCommand) Run(p *cli.Program) error {
	ctx := context.Background()
	db, err := schoolAt(ctx, c.School)
	if err != nil {
		return err
	}
	defer db.Close()
	accounts := app.NewPeople(db, time.Now)
	name, link, err := accounts.ChiefLink(ctx, c.Login)
	if err != nil {
		return plainly(err)
	}
	return p.Say("A one-time link for %s, valid for %d days. Start the server, and open on it:\n/welcome/%s\n",
		name, int(accounts.InvitationLength.Hours()/24), link)
}
