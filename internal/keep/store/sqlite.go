package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// ours marks an SQLite file as a school's: "HGTR", in the header of the file.
const ours = 0x48475452

// connections is how many connections one server uses on a file at most.
const connections = 8

// settings of every connection: a change is on the disk before it is
// acknowledged, no row refers to one that is not there, and what is deleted (a
// name) is overwritten.
const settings = "_pragma=busy_timeout(5000)&_pragma=journal_mode(WAL)&_pragma=foreign_keys(1)&_pragma=synchronous(FULL)&_pragma=secure_delete(1)&_pragma=trusted_schema(0)&_txlock=immediate"

// sqliteName is how the driver is told to open a file, whatever its name holds.
func sqliteName(path, settings string) (string, error) {
	full, err := filepath.Abs(path)
	if err != nil {
		return "", err
	}
	full = filepath.ToSlash(full)
	if full[0] != '/' { // C:/…
		full = "/" + full
	}
	return "file://" + (&url.URL{Path: full}).EscapedPath() + "?" + settings, nil
}

func (s *Store) openSQLite(ctx context.Context, path string) error {
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
		return fmt.Errorf("%s is no regular file, and a school is one file", path)
	}
	l, err := acquire(path + ".lock")
	if err != nil {
		return err
	}
	s.lock = l
	// Names and passphrase hashes are nobody else's business.
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	name, err := sqliteName(path, settings)
	if err != nil {
		return err
	}
	if s.db, err = sql.Open("sqlite", name); err != nil {
		return err
	}
	s.db.SetMaxOpenConns(connections)
	s.db.SetMaxIdleConns(connections)
	return s.claim(ctx)
}

// claim marks a new file as a school's and refuses one that is something else.
func (s *Store) claim(ctx context.Context) error {
	var id, tables int64
	if err := s.db.QueryRowContext(ctx, `PRAGMA application_id`).Scan(&id); err != nil {
		return fmt.Errorf("%s: %w", s.path, explained(err))
	}
	if id == ours {
		return nil
	}
	if err := s.db.QueryRowContext(ctx, `SELECT count(*) FROM sqlite_schema`).Scan(&tables); err != nil {
		return fmt.Errorf("%s: %w", s.path, explained(err))
	}
	if id != 0 || tables > 0 {
		return fmt.Errorf("%s is a database of another program; name a new file", s.path)
	}
	_, err := s.db.ExecContext(ctx, fmt.Sprintf(`PRAGMA application_id = %d`, ours))
	return explained(err)
}

// explanations say what a person can do about what the database reports.
var explanations = map[int]string{
	sqlite3.SQLITE_FULL:     "the disk is full: nothing of this was kept; make room and do it again",
	sqlite3.SQLITE_READONLY: "the file or its folder can only be read: nothing of this was kept",
	sqlite3.SQLITE_CORRUPT:  "the file is damaged: stop, keep a copy of it, and restore the last backup",
	sqlite3.SQLITE_NOTADB:   "the file is no database",
	sqlite3.SQLITE_IOERR:    "the disk reports an error: nothing of this was kept",
	sqlite3.SQLITE_BUSY:     "another program holds the file: nothing of this was kept",
	sqlite3.SQLITE_CANTOPEN: "the file cannot be opened",
}

// ErrDatabase is matched by errors of the database itself that explained knows.
var ErrDatabase = errors.New("the database failed")

// explained puts plain words before an error of SQLite.
func explained(err error) error {
	var e *sqlite.Error
	if !errors.As(err, &e) || errors.Is(err, ErrDatabase) {
		return err
	}
	if text, ok := explanations[e.Code()&0xff]; ok {
		return fmt.Errorf("%w: %s (%w)", ErrDatabase, text, err)
	}
	return err
}
