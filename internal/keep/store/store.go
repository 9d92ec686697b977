package store

import (
	"context"
	"crypto/rand"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"
	"time"
)

// Options are what a store takes from outside. The zero value is the system's
// clock and random source.
type Options struct {
	Now    func() time.Time
	Random io.Reader
	// Most is the largest document kept, in bytes; 1 MiB where it is 0.
	Most int

	shared bool // other servers may have the database open; for tests
}

// Store is an open database. Its methods may be called from several goroutines.
type Store struct {
	db       *sql.DB
	postgres bool
	path     string // of the SQLite file
	lock     *lock
	held     *sql.Conn     // holds PostgreSQL's lock
	writing  chan struct{} // holds one token: one transaction writes at a time
	opts     Options
}

// Open opens the school's database, makes it where it is not there yet, and
// brings its schema up to date. A name that begins with postgres:// or
// postgresql:// is the address of a PostgreSQL database, in which search_path
// names the school's schema; anything else is the path of an SQLite file.
func Open(ctx context.Context, name string, o Options) (*Store, error) {
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Random == nil {
		o.Random = rand.Reader
	}
	if o.Most == 0 {
		o.Most = 1 << 20
	}
	s := newStore(o)
	err := s.open(ctx, name)
	if err == nil {
		err = s.startLog(ctx)
	}
	if err != nil {
		s.Close()
		return nil, fmt.Errorf("store: %w", err)
	}
	return s, nil
}

func newStore(o Options) *Store {
	s := &Store{writing: make(chan struct{}, 1), opts: o}
	s.writing <- struct{}{}
	return s
}

// open opens the database as this server's alone and brings its schema up to date.
func (s *Store) open(ctx context.Context, name string) error {
	var err error
	if isPostgres(name) {
		if err = s.openPostgres(ctx, name); err == nil && !s.opts.shared {
			err = s.lockPostgres(ctx)
		}
	} else {
		s.path = name
		err = s.openSQLite(ctx, name)
	}
	if err == nil {
		err = s.migrate(ctx)
	}
	return err
}

func isPostgres(name string) bool {
	return strings.HasPrefix(name, "postgres://") || strings.HasPrefix(name, "postgresql://")
}

// Close lets go of the database. Transactions that are under way end first.
func (s *Store) Close() error {
	err := s.unlockPostgres()
	if s.db != nil {
		err = errors.Join(err, s.db.Close())
	}
	return errors.Join(err, s.lock.release())
}

// now is the server's clock, UTC, to the millisecond.
func (s *Store) now() time.Time { return s.opts.Now().UTC().Truncate(time.Millisecond) }

// absent makes an error for which errors.Is(err, fs.ErrNotExist) holds.
func absent(format string, args ...any) error {
	return fmt.Errorf("store: "+format+": %w", append(args, fs.ErrNotExist)...)
}
