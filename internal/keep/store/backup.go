package store

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"

	"github.com/pressly/goose/v3"
)

// Contents say what a school's file holds, as far as it tells backups apart.
type Contents struct {
	Bytes       int64
	SHA256      string // of the file, in hexadecimal
	Schema      int64
	People      int64
	Rigs        int64
	Inspections int64
	Records     int64  // entries of the sealed log
	Head        string // the log's newest signed head
}

// Backup writes a copy of the whole school, as it is at one moment, to a new
// file while everything goes on, and checks the copy. A file that is there is
// not overwritten. A PostgreSQL database is backed up with its own tools.
func (s *Store) Backup(ctx context.Context, to string) (Contents, error) {
	if s.postgres {
		return Contents{}, errors.New("store: a PostgreSQL database is backed up with pg_dump, which belongs to it")
	}
	return backup(ctx, s.db, to)
}

// BackupFile is [Store.Backup] for a file that another program, such as the
// school's server, may have open.
func BackupFile(ctx context.Context, from, to string) (Contents, error) {
	if _, err := os.Stat(from); err != nil {
		return Contents{}, fmt.Errorf("store: back up: %w", err)
	}
	name, err := sqliteName(from, "mode=rw&_pragma=busy_timeout(5000)")
	if err != nil {
		return Contents{}, fmt.Errorf("store: back up: %w", err)
	}
	db, err := sql.Open("sqlite", name)
	if err != nil {
		return Contents{}, fmt.Errorf("store: back up: %w", err)
	}
	defer db.Close()
	if err := isSchool(ctx, db, from); err != nil {
		return Contents{}, err
	}
	return backup(ctx, db, to)
}

func isSchool(ctx context.Context, db *sql.DB, path string) error {
	var id int64
	if err := db.QueryRowContext(ctx, `PRAGMA application_id`).Scan(&id); err != nil {
		return fmt.Errorf("store: %s: %w", path, explained(err))
	}
	if id != ours {
		return fmt.Errorf("store: %s is no school's file", path)
	}
	return nil
}

func backup(ctx context.Context, db *sql.DB, to string) (c Contents, err error) {
	if err := free(to); err != nil {
		return c, err
	}
	part := to + ".part"
	// One that was broken off; and a name that others cannot read from.
	if err := os.Remove(part); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return c, fmt.Errorf("store: back up: %w", err)
	}
	f, err := os.OpenFile(part, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return c, fmt.Errorf("store: back up: %w", err)
	}
	defer os.Remove(part)
	defer f.Close()
	// An empty file is as good as none to VACUUM INTO.
	if _, err := db.ExecContext(ctx, `VACUUM INTO ?`, part); err != nil {
		return c, fmt.Errorf("store: back up: %w", explained(err))
	}
	if err := f.Sync(); err != nil {
		return c, fmt.Errorf("store: back up: %w", err)
	}
	if c, err = CheckFile(ctx, part); err != nil {
		return c, fmt.Errorf("store: the backup was made and is not sound: %w", err)
	}
	if err := free(to); err != nil {
		return c, err
	}
	if err := os.Rename(part, to); err != nil {
		return c, fmt.Errorf("store: back up: %w", err)
	}
	return c, syncFolder(filepath.Dir(to))
}

// free refuses a name that is taken.
func free(path string) error {
	if _, err := os.Lstat(path); err == nil {
		return fmt.Errorf("store: %s is there already and is not overwritten; name a new file: %w", path, fs.ErrExist)
	} else if !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("store: %w", err)
	}
	return nil
}

// syncFolder makes a new name last. Windows has no such call and needs none.
func syncFolder(path string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	d, err := os.Open(path)
	if err != nil {
		return fmt.Errorf("store: %w", err)
	}
	defer d.Close()
	if err := d.Sync(); err != nil {
		return fmt.Errorf("store: %w", err)
	}
	return nil
}

// CheckFile reads the whole of a backup: every page and index, every reference
// from one row to another, and its SHA-256. It is for a file that nobody has
// open.
func CheckFile(ctx context.Context, path string) (c Contents, err error) {
	f, err := os.Open(path)
	if err != nil {
		return c, fmt.Errorf("store: check: %w", err)
	}
	h := sha256.New()
	c.Bytes, err = io.Copy(h, f)
	if closing := f.Close(); err == nil {
		err = closing
	}
	if err != nil {
		return c, fmt.Errorf("store: check: %w", err)
	}
	c.SHA256 = hex.EncodeToString(h.Sum(nil))
	name, err := sqliteName(path, "mode=ro&immutable=1")
	if err != nil {
		return c, fmt.Errorf("store: check: %w", err)
	}
	db, err := sql.Open("sqlite", name)
	if err != nil {
		return c, fmt.Errorf("store: check: %w", err)
	}
	defer db.Close()
	if err := isSchool(ctx, db, path); err != nil {
		return c, err
	}
	if err := sound(ctx, db); err != nil {
		return c, err
	}
	c, err = counted(ctx, db, c)
	if err != nil {
		return c, fmt.Errorf("store: check %s: %w", path, explained(err))
	}
	return c, nil
}

// sound asks the database to read itself through.
func sound(ctx context.Context, db *sql.DB) error {
	var text string
	if err := db.QueryRowContext(ctx, `PRAGMA integrity_check(1)`).Scan(&text); err != nil {
		return fmt.Errorf("store: check: %w", explained(err))
	}
	if text != "ok" {
		return fmt.Errorf("store: check: the file is damaged: %s", text)
	}
	rows, err := db.QueryContext(ctx, `PRAGMA foreign_key_check`)
	if err != nil {
		return fmt.Errorf("store: check: %w", explained(err))
	}
	defer rows.Close()
	if rows.Next() {
		return errors.New("store: check: a row refers to another that is not there")
	}
	if err := rows.Err(); err != nil {
		return fmt.Errorf("store: check: %w", explained(err))
	}
	return nil
}

// counted counts what is there; a file of an earlier schema lacks some tables.
func counted(ctx context.Context, db *sql.DB, c Contents) (Contents, error) {
	if err := db.QueryRowContext(ctx, `SELECT COALESCE(MAX(version_id), 0) FROM `+goose.DefaultTablename).Scan(&c.Schema); err != nil {
		return c, err
	}
	for _, x := range []struct {
		table, query string
		to           any
	}{
		{"person", `SELECT count(*) FROM person`, &c.People},
		{"document", `SELECT count(*) FROM document WHERE kind = '` + Rigs + `'`, &c.Rigs},
		{"inspection", `SELECT count(*) FROM inspection`, &c.Inspections},
		{"log_entry", `SELECT count(*) FROM log_entry`, &c.Records},
		{"log_head", `SELECT COALESCE((SELECT signed FROM log_head ORDER BY size DESC LIMIT 1), x'')`, &c.Head},
	} {
		var n int
		if err := db.QueryRowContext(ctx, `SELECT count(*) FROM sqlite_schema WHERE type = 'table' AND name = ?`, x.table).Scan(&n); err != nil {
			return c, err
		}
		if n == 0 {
			continue
		}
		if err := db.QueryRowContext(ctx, x.query).Scan(x.to); err != nil {
			return c, err
		}
	}
	return c, nil
}

// Restore makes a school's file of a backup, checks it and brings its schema up
// to date. A file that is there is never overwritten: the school in use is moved
// away by hand first, together with the files beside it.
func Restore(ctx context.Context, from, to string) (Contents, error) {
	for _, name := range []string{to, to + "-wal", to + "-shm", to + "-journal"} {
		if err := free(name); err != nil {
			return Contents{}, err
		}
	}
	c, err := CheckFile(ctx, from)
	if err != nil {
		return c, err
	}
	if err := copyFile(from, to, c.SHA256); err != nil {
		return c, err
	}
	s, err := Open(ctx, to, Options{})
	if err != nil {
		return c, err
	}
	_, err = s.VerifyLog(ctx)
	return c, errors.Join(err, s.Close())
}

// copyFile copies to a new file and fails unless the copy has the hash.
func copyFile(from, to, want string) error {
	in, err := os.Open(from)
	if err != nil {
		return fmt.Errorf("store: restore: %w", err)
	}
	defer in.Close()
	out, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return fmt.Errorf("store: restore: %w", err)
	}
	h := sha256.New()
	_, err = io.Copy(io.MultiWriter(out, h), in)
	if err == nil {
		err = out.Sync()
	}
	if closing := out.Close(); err == nil {
		err = closing
	}
	if err == nil && hex.EncodeToString(h.Sum(nil)) != want {
		err = errors.New("the backup changed while it was read")
	}
	if err != nil {
		os.Remove(to) // half a school is none
		return fmt.Errorf("store: restore: %w", err)
	}
	return syncFolder(filepath.Dir(to))
}
