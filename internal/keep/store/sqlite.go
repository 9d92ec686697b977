package store

import (
	"context"
	"database/sql"
	"fmt"
	"net/url"
	"os"
	"path/filepath"

	_ "modernc.org/sqlite" // the driver
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
		return explained(err)
	}
	s.lock = l
	// Names and passphrase hashes are nobody else's business.
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return explained(err)
	}
	if err := f.Close(); err != nil {
		return explained(err)
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
		return s.whole(ctx)
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

// whole refuses a file whose pages do not hold together, before anything of it is
// shown or built upon. Whether indexes agree with their tables takes longer, and
// [CheckFile] looks at that too.
func (s *Store) whole(ctx context.Context) error {
	var text string
	if err := s.db.QueryRowContext(ctx, `PRAGMA quick_check(1)`).Scan(&text); err != nil {
		return fmt.Errorf("%s: %w", s.path, explained(err))
	}
	if text != "ok" {
		return fmt.Errorf("%s: %w", s.path, damage("%s", text))
	}
	return nil
}
