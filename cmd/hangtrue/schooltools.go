package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	"hangtrue/internal/face/app"
	"hangtrue/internal/face/cli"
	"hangtrue/internal/keep/disk"
	"hangtrue/internal/keep/store"
)

// schoolCommand is what is done to a school's database from the command line,
// while its server runs or not.
type schoolCommand struct {
	Backup  backupCommand  `cmd:"" help:"Copy a school's database while it is in use, and check the copy."`
	Restore restoreCommand `cmd:"" help:"Make a school's database of a backup."`
	Check   checkCommand   `cmd:"" help:"Read a backup or a school's database through and say what is in it."`
	Load    loadCommand    `cmd:"" help:"Take the rigs of a folder, and what lies beside them, into a school."`
	Log     logCommand     `cmd:"" help:"Write a copy of a school's sealed records, their signed head and the key to check them."`
	Chief   chiefCommand   `cmd:"" help:"Make a new one-time link for a chief instructor who is locked out."`
	Results resultsCommand `cmd:"" help:"What the results of a class or of the school say: in a few lines, as a table, as statements, on paper."`
}

type backupCommand struct {
	School string `arg:"" help:"The school's database: a file, or a PostgreSQL address."`
	Copy   string `arg:"" help:"The file to write; it must not be there yet."`
}

// Help is the command's long help.
func (backupCommand) Help() string {
	return `Example:

  hangtrue school backup school.db school-2026-11-25.db

The server may be running. The copy is read through before it gets its name, and the school's first page then shows the day. A PostgreSQL database, named by its address, is copied to such a file too. The certificate authority's two files beside the database are not in it: keep a copy of them too, in a safe place.

Exit status: 0 the copy is there and sound; 2 it could not be made.`
}

// Run makes a backup.
func (c *backupCommand) Run(p *cli.Program) error {
	contents, noted, err := store.BackupFile(context.Background(), c.School, c.Copy)
	if err != nil {
		return plainly(err)
	}
	note := ""
	if !noted {
		note = "  THE SCHOOL COULD NOT NOTE that it was made: look at its disk, which may be full or only to be read\n"
	}
	return p.Say("%s: backed up to %s\n%s%s", called(c.School), c.Copy, describe(contents), note)
}

type restoreCommand struct {
	Copy   string `arg:"" help:"The backup."`
	School string `arg:"" help:"The database to make; it must not be there yet."`
}

// Help is the command's long help.
func (restoreCommand) Help() string {
	return `Example:

  hangtrue school restore school-2026-11-25.db restored.db

Nothing is overwritten: move the old database away first, with the files beside it that begin with its name. An empty PostgreSQL schema, named by its address, is filled as well. Everything is read through and the sealed records are checked.

Exit status: 0 the database is there and sound; 2 it could not be made.`
}

// Run restores a backup.
func (c *restoreCommand) Run(p *cli.Program) error {
	contents, err := store.Restore(context.Background(), c.Copy, c.School)
	if err != nil {
		return plainly(err)
	}
	said := fmt.Sprintf("%s: restored from %s\n  the backup:\n%s", called(c.School), c.Copy, describe(contents))
	if strings.Contains(c.School, "://") {
		return p.Say("%s", said)
	}
	// The file that was made is not the backup byte for byte: its schema may be newer.
	made, err := store.CheckFile(context.Background(), c.School)
	if err != nil {
		return plainly(err)
	}
	return p.Say("%s  the school's file:\n%s", said, describe(made))
}

type checkCommand struct {
	File string `arg:"" help:"A backup, or the school's own database, also while its server runs."`
}

// Help is the command's long help.
func (checkCommand) Help() string {
	return `Example:

  hangtrue school check school-2026-11-25.db

It reads every page and index, every reference from one row to another, and every document, photo and sealed record against its hash.

Exit status: 0 it is sound; 2 it is not, or cannot be read.`
}

// Run checks a backup.
func (c *checkCommand) Run(p *cli.Program) error {
	contents, err := store.CheckFile(context.Background(), c.File)
	if err != nil {
		return plainly(err)
	}
	return p.Say("%s: sound\n%s", c.File, describe(contents))
}

// called is a school's name without the passphrase that an address may hold.
func called(school string) string {
	if u, err := url.Parse(school); err == nil && u.Host != "" {
		return u.Redacted()
	}
	return school
}

func describe(c store.Contents) string {
	sum := ", SHA-256 " + c.SHA256
	if c.SHA256 == "" {
		sum = ", in use, so that it has no lasting SHA-256"
	}
	return fmt.Sprintf("  %d bytes%s\n  schema %d; people %d, rigs %d, inspections %d, sealed records %d\n",
		c.Bytes, sum, c.Schema, c.People, c.Rigs, c.Inspections, c.Records)
}

type loadCommand struct {
	School string `arg:"" help:"The school's database; made where it is not there. Its server must not be running."`
	Folder string `arg:"" help:"The folder with the rigs."`
}

// Help is the command's long help.
func (loadCommand) Help() string {
	return `Example:

  hangtrue school load school.db demo-rigs

A rig whose name the school has already is left as it is, and said so.

Exit status: 0 all were taken or were there; 2 something could not be read.`
}

// shelves that a folder may have beside its rigs.
var besideRigs = []string{
	app.Sequences, app.Catalogues, app.AircraftOf, app.Days, app.Procedures, app.Briefs, app.Flown, app.Seen,
}

// Run takes a folder in.
func (c *loadCommand) Run(p *cli.Program) error {
	ctx := context.Background()
	folder, err := disk.Open(c.Folder, app.MostBytes)
	if err != nil {
		return plainly(err)
	}
	defer folder.Close()
	db, err := store.Open(ctx, c.School, store.Options{Most: app.MostBytes})
	if err != nil {
		return plainly(err)
	}
	defer db.Close()
	rigs, err := db.Shelf(store.Rigs)
	if err != nil {
		return err
	}
	if err := take(p, "rig", folder, rigs); err != nil {
		return err
	}
	for _, kind := range besideRigs {
		from, err := folder.Shelf(kind)
		if err != nil {
			return err
		}
		to, err := db.Shelf(kind)
		if err != nil {
			return err
		}
		if err := take(p, kind, from, to); err != nil {
			return err
		}
	}
	return nil
}

// take copies every document that is not there yet.
func take(p *cli.Program, what string, from, to app.Keeper) error {
	names, err := from.Names()
	if err != nil {
		return plainly(err)
	}
	for _, name := range names {
		data, err := from.Current(name)
		if err != nil {
			return plainly(err)
		}
		if solved := app.Solve(data); what == "rig" && solved.Rig == nil {
			return fmt.Errorf("%s.yaml is no rig: %s", name, solved.Problems[0].Format(name+".yaml"))
		}
		word := "taken"
		switch there, err := to.Current(name); {
		case err == nil && string(there) == string(data):
			word = "there already"
		case err == nil:
			word = "NOT TAKEN: another one of this name is there"
		case !errors.Is(err, fs.ErrNotExist):
			return plainly(err)
		default:
			if _, saved, err := to.Save(name, "", data); err != nil || !saved {
				return errors.Join(err, fmt.Errorf("%s %s was not taken", what, name))
			}
		}
		if err := p.Say("%s %s: %s\n", what, name, word); err != nil {
			return err
		}
	}
	return nil
}

type logCommand struct {
	School string `arg:"" help:"The school's database."`
	Copy   string `short:"o" required:"" placeholder:"FILE" help:"Where the copy goes."`
	Key    string `required:"" placeholder:"FILE" help:"Where the public key goes."`
	Head   string `placeholder:"FILE" help:"Where the newest signed head goes; keep it elsewhere, with its date."`
}

// Help is the command's long help.
func (logCommand) Help() string {
	return `Example:

  hangtrue school log school.db -o records.log --key records.key --head head.txt

The server must not be running; while it is, its page of records gives the same files. Check them with 'hangtrue records verify'.

Exit status: 0 written; 2 not.`
}

// Run writes the records out.
func (c *logCommand) Run(p *cli.Program) error {
	ctx := context.Background()
	db, err := schoolAt(ctx, c.School)
	if err != nil {
		return err
	}
	defer db.Close()
	data, err := db.LogCopy(ctx)
	if err != nil {
		return err
	}
	key, _, err := db.LogKey(ctx)
	if err != nil {
		return err
	}
	files := []struct {
		name string
		data []byte
	}{{c.Copy, data}, {c.Key, []byte(key + "\n")}}
	if c.Head != "" {
		head, err := db.LogHead(ctx, -1)
		if err != nil {
			return err
		}
		files = append(files, struct {
			name string
			data []byte
		}{c.Head, head})
	}
	for _, f := range files {
		out, err := os.OpenFile(f.name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
		if err != nil {
			return plainly(err)
		}
		_, err = out.Write(f.data)
		if err = errors.Join(err, out.Sync(), out.Close()); err != nil {
			return plainly(err)
		}
	}
	return p.Say("%s: written to %s\n", c.School, filepath.Base(c.Copy))
}

// schoolAt opens a school that is there, as its server does: no other may have
// it open.
func schoolAt(ctx context.Context, school string) (*store.Store, error) {
	if _, err := os.Stat(school); err != nil && !strings.Contains(school, "://") {
		return nil, plainly(err)
	}
	db, err := store.Open(ctx, school, store.Options{Most: app.MostBytes, Now: time.Now})
	if err != nil {
		return nil, plainly(err)
	}
	return db, nil
}

// plainly is an error without the room it came from.
func plainly(err error) error {
	text := err.Error()
	for _, room := range []string{"store: ", "disk: "} {
		text = strings.ReplaceAll(text, room, "")
	}
	return errors.New(text)
}
