package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net"
	"net/netip"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"hangtrue/internal/face/app"
	"hangtrue/internal/face/cli"
	"hangtrue/internal/face/web"
	"hangtrue/internal/keep/authority"
	"hangtrue/internal/keep/disk"
	"hangtrue/internal/keep/store"
)

// serveSchool ties the pages to a school's database.
func serveSchool(ctx context.Context, c web.Config, o *cli.SchoolServing) error {
	db, err := store.Open(ctx, o.Database, store.Options{Most: app.MostBytes})
	if err != nil {
		return err
	}
	defer db.Close()
	rigs, err := db.Shelf(store.Rigs)
	if err != nil {
		return err
	}
	c.Keeper = rigs
	c.Shelves = app.ShelvesOf(func(kind string) (app.Keeper, error) { return db.Shelf(kind) })
	school := app.NewSchool(db, c.Keeper, c.Shelves, time.Now)
	name, err := schoolName(school, o.Title)
	if err != nil {
		return err
	}
	c.School = &web.School{School: school, Name: name}
	if o.LAN {
		if c.LAN, err = network(o, name); err != nil {
			return err
		}
		if err := lookAtAuthority(c.Out, school, o.Database, c.LAN.Fingerprint); err != nil {
			return err
		}
	}
	if clock, err := school.Clock(ctx); err != nil {
		return err
	} else if clock.Back {
		settings, _, err := school.Settings()
		if err != nil {
			return err
		}
		fmt.Fprintf(c.Out, "LOOK: %s. Nothing is signed until it is set right.\n", clock.Words(&settings))
	}
	link, err := school.FirstStart(ctx)
	if err != nil {
		return err
	}
	c.Started = func(address string) {
		if link != "" {
			fmt.Fprintf(c.Out, "Nobody can sign in yet. The chief instructor's one-time link, valid for %d days:\n%swelcome/%s\n",
				int(school.InvitationLength.Hours()/24), address, link)
		}
	}
	return web.Serve(ctx, c)
}

// schoolName is the name in the settings, else the one given now or before.
func schoolName(school *app.School, title string) (string, error) {
	name, err := school.Title(title)
	if name == "" {
		name = "A school"
	}
	return name, err
}

// network makes what tablets need to come in: the school's authority, made the
// first time and kept beside the database, and a certificate of it for today.
func network(o *cli.SchoolServing, school string) (*web.LAN, error) {
	dir, name := besideDatabase(o.Database)
	folder, err := disk.Open(dir, app.MostBytes)
	if err != nil {
		return nil, err
	}
	defer folder.Close()
	now := time.Now()
	ca, err := keptAuthority(folder, name, o.Host, school, now)
	if err != nil {
		return nil, err
	}
	addresses, err := ownAddresses()
	if err != nil {
		return nil, err
	}
	certificate, err := ca.Issue(append(slices.Clone(addresses), netip.MustParseAddr("127.0.0.1")), now)
	if err != nil {
		return nil, err
	}
	l := &web.LAN{
		Addr: o.Secure, Trust: o.Trust, Certificate: certificate, Authority: ca.DER(), Fingerprint: ca.Fingerprint(), Name: ca.Name(),
	}
	for _, a := range addresses {
		l.Addresses = append(l.Addresses, a.String())
	}
	return l, nil
}

// besideDatabase is where the authority's two files lie: NAME.authority.crt and
// NAME.authority.key in dir.
func besideDatabase(database string) (dir, name string) {
	if strings.Contains(database, "://") {
		return ".", "school"
	}
	file := filepath.Base(database)
	return filepath.Dir(database), strings.TrimSuffix(file, filepath.Ext(file))
}

// lookAtAuthority says what became of the authority that tablets trust: loudly
// where it is another than before, as after a restore without its files.
func lookAtAuthority(out io.Writer, school *app.School, database, fingerprint string) error {
	before, err := school.Trusted(fingerprint)
	if err != nil || before == fingerprint {
		return err
	}
	dir, name := besideDatabase(database)
	files := fmt.Sprintf("  %s\n  %s\n", filepath.Join(dir, name+".authority.crt"), filepath.Join(dir, name+".authority.key"))
	if before == "" {
		_, err = fmt.Fprintf(out, "The certificate authority that tablets are to trust lies beside the database, in two files that no backup has. Keep copies of both:\n%s"+
			"If tablets came in to this school before, elsewhere or under another name of the database: end this server and put the two files from there here.\n", files)
		return err
	}
	_, err = fmt.Fprintf(out, "LOOK: THE SCHOOL'S TABLETS TRUST ANOTHER CERTIFICATE AUTHORITY, and none comes in until it is led through trusting this one.\n  now:    %s\n  before: %s\n"+
		"If you have the two files that lay beside the database before, end this server, put them in place of these, and start again without --host:\n%s", fingerprint, before, files)
	return err
}

// keptAuthority is the school's authority, made where there is none yet.
func keptAuthority(folder *disk.Folder, name, host, school string, now time.Time) (*authority.Authority, error) {
	certificate, errA := folder.Secret(name + ".authority.crt")
	key, errB := folder.Secret(name + ".authority.key")
	switch {
	case errA == nil && errB == nil:
		ca, err := authority.Load(certificate, key)
		if err == nil && host != "" && host != ca.Name() {
			err = fmt.Errorf("the school's server has been %s from the first day on, and tablets and tags know it by that name; leave --host out", ca.Name())
		}
		return ca, err
	case !errors.Is(errA, fs.ErrNotExist) || !errors.Is(errB, fs.ErrNotExist):
		return nil, errors.Join(errA, errB)
	case host == "":
		return nil, errors.New("name the server once and for life with --host, as in --host hut-school.local")
	}
	ca, err := authority.New(school, host, now)
	if err != nil {
		return nil, err
	}
	if key, err = ca.KeyPEM(); err != nil {
		return nil, err
	}
	// The key first: a certificate without its key would be in the way.
	if err := folder.KeepSecret(name+".authority.key", key); err != nil {
		return nil, err
	}
	return ca, folder.KeepSecret(name+".authority.crt", ca.PEM())
}

// ownAddresses are this machine's addresses in private networks, IPv4 first.
func ownAddresses() ([]netip.Addr, error) {
	all, err := net.InterfaceAddrs()
	if err != nil {
		return nil, err
	}
	var four, six []netip.Addr
	for _, a := range all {
		p, err := netip.ParsePrefix(a.String())
		if err != nil {
			continue // not an address of the internet
		}
		switch x := p.Addr().Unmap(); {
		case x.IsLoopback() || x.IsLinkLocalUnicast() || !authority.MayVouch(x):
		case x.Is4():
			four = append(four, x)
		default:
			six = append(six, x)
		}
	}
	return append(four, six...), nil
}
