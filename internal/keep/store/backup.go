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
	"time"

	"github.com/pressly/goose/v3"
)

// Contents say what a school's file holds, as far as it tells backups apart.
type Contents = struct {
	Bytes       int64
	SHA256      string // of the file, in hexadecimal; "" for a file in use
	Schema      int64
	People      int64
	Rigs        int64
	Inspections int64
	Records     int64  // entries of the sealed log
	Head        string // the log's newest signed head
}

// Backup writes a copy of the whole school, as it is at one moment, to a new
// file while everything goes on, and checks the copy. A file that is there is
// not overwritten. The copy of a PostgreSQL database is an SQLite file too.
func (s *Store) Backup(ctx context.Context, to string) (Contents, error) {
	return backup(ctx, to, func(part string) error { return s.copyTo(ctx, part) })
}

func (s *Store) copyTo(ctx context.Context, part string) error {
	if s.postgres {
		return s.toSQLite(ctx, part)
	}
	// An empty file is as good as none to VACUUM INTO.
	_, err := s.db.ExecContext(ctx, `VACUUM INTO ?`, part)
	return explained(err)
}

// GiveBackup makes a backup in a file of its own, hands that to give, notes that
// it was made if give returns nil, and takes the file away.
func (s *Store) GiveBackup(ctx context.Context, give func(copy io.Reader, c Contents) error) (err error) {
	folder, err := os.MkdirTemp("", "hangtrue-backup-")
	if err != nil {
		return fmt.Errorf("store: back up: %w", err)
	}
	defer func() { err = errors.Join(err, os.RemoveAll(folder)) }()
	path := filepath.Join(folder, "school.db")
	c, err := s.Backup(ctx, path)
	if err != nil {
		return err
	}
	f, err := os.Open(path)
	if err != nil {
		return fmt.Errorf("store: back up: %w", err)
	}
	err = give(f, c)
	if closing := f.Close(); err == nil {
		err = closing
	}
	if err != nil {
		return err
	}
	return s.NoteBackup(ctx, c)
}

// BackupFile is [Store.Backup] for a school that another program, such as its
// server, may have open. The school notes that it was made; noted is false
// where it could not, as on a full disk.
func BackupFile(ctx context.Context, from, to string) (c Contents, noted bool, err error) {
	s := newStore(Options{Now: time.Now})
	defer s.Close()
	if isPostgres(from) {
		err = s.openPostgres(ctx, from)
	} else {
		err = s.openBeside(ctx, from)
	}
	if err == nil && s.postgres { // a file is copied as it is, whatever its schema
		err = s.sameSchema(ctx)
	}
	if err != nil {
		return c, false, fmt.Errorf("store: back up: %w", err)
	}
	if c, err = s.Backup(ctx, to); err != nil {
		return c, false, err
	}
	return c, s.NoteBackup(ctx, c) == nil, nil
}

// openBeside opens a file without being its server.
func (s *Store) openBeside(ctx context.Context, path string) error {
	if _, err := os.Stat(path); err != nil {
		return err
	}
	how := "mode=rw&_pragma=busy_timeout(5000)&_pragma=synchronous(FULL)&_txlock=immediate"
	if left, err := os.Stat(path + "-wal"); writable(path) != nil && (err != nil || left.Size() == 0) {
		how = "mode=ro&immutable=1" // on a disk that can only be read
	}
	name, err := sqliteName(path, how)
	if err != nil {
		return err
	}
	s.path = path
	if s.db, err = sql.Open("sqlite", name); err != nil {
		return err
	}
	return isSchool(ctx, s.db, path)
}

func writable(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return f.Close()
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

// backup has a copy written under another name, checks it, and gives it its own.
func backup(ctx context.Context, to string, write func(part string) error) (c Contents, err error) {
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
		return c, fmt.Errorf("store: back up: %w", explained(err))
	}
	defer os.Remove(part)
	defer f.Close()
	if err := write(part); err != nil {
		return c, fmt.Errorf("store: back up: %w", err)
	}
	if err := f.Sync(); err != nil {
		return c, fmt.Errorf("store: back up: %w", explained(err))
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
// from one row to another, every document, photo and sealed record against its
// hash, and the SHA-256 of the file. A school's own file can be checked while its
// server runs; it has no SHA-256 then.
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
	how := "mode=ro&immutable=1"
	if wal, err := os.Stat(path + "-wal"); err == nil && wal.Size() > 0 {
		how = "mode=ro&_pragma=busy_timeout(5000)" // in use, or its server was killed
	} else {
		c.SHA256 = hex.EncodeToString(h.Sum(nil))
	}
	name, err := sqliteName(path, how)
	if err != nil {
		return c, fmt.Errorf("store: check: %w", err)
	}
	s := newStore(Options{Now: time.Now})
	defer s.Close()
	if s.db, err = sql.Open("sqlite", name); err != nil {
		return c, fmt.Errorf("store: check: %w", err)
	}
	if err := isSchool(ctx, s.db, path); err != nil {
		return c, err
	}
	if err := sound(ctx, s.db); err != nil {
		return c, err
	}
	if err := s.asNamed(ctx); err != nil {
		return c, err
	}
	c, err = counted(ctx, s.db, c)
	if err != nil {
		return c, fmt.Errorf("store: check %s: %w", path, explained(err))
	}
	return c, nil
}

// asNamed holds what is kept under a hash against it.
func (s *Store) asNamed(ctx context.Context) error {
	for _, x := range []struct{ table, what, query string }{
		{"content", "a document", `SELECT hash, bytes FROM content`},
		{"photo", "a photo", `SELECT hash, bytes FROM photo`},
	} {
		there, err := hasTable(ctx, s.db, x.table)
		if err != nil {
			return err
		}
		if !there {
			continue
		}
		err = s.read(ctx, func(t *tx) error {
			return t.each(x.query, nil, func(scan func(...any) error) error {
				var name string
				var data []byte
				err := scan(&name, &data)
				if err == nil && hash(data) != name {
					err = damage("%s, %.8s, no longer has the bytes that it is named by", x.what, name)
				}
				return err
			})
		})
		if err != nil {
			return fmt.Errorf("store: check: %w", err)
		}
	}
	there, err := hasTable(ctx, s.db, "log_head")
	if err != nil || !there {
		return err
	}
	if key, _, err := s.LogKey(ctx); err != nil || key == "" {
		return err // a file whose first start was broken off
	}
	if _, err := s.VerifyLog(ctx); err != nil {
		return fmt.Errorf("store: check the sealed records: %w", explained(err))
	}
	return nil
}

func hasTable(ctx context.Context, db *sql.DB, name string) (bool, error) {
	var n int
	err := db.QueryRowContext(ctx, `SELECT count(*) FROM sqlite_schema WHERE type = 'table' AND name = ?`, name).Scan(&n)
	return n > 0, explained(err)
}

// sound asks the database to read itself through.
func sound(ctx context.Context, db *sql.DB) error {
	var text string
	if err := db.QueryRowContext(ctx, `PRAGMA integrity_check(1)`).Scan(&text); err != nil {
		return fmt.Errorf("store: check: %w", explained(err))
	}
	if text != "ok" {
		return fmt.Errorf("store: check: %w", damage("%s", text))
	}
	rows, err := db.QueryContext(ctx, `PRAGMA foreign_key_check`)
	if err != nil {
		return fmt.Errorf("store: check: %w", explained(err))
	}
	defer rows.Close()
	if rows.Next() {
		return fmt.Errorf("store: check: %w", damage("a row refers to another that is not there"))
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
		there, err := hasTable(ctx, db, x.table)
		if err != nil {
			return c, err
		}
		if !there {
			continue
		}
		if err := db.QueryRowContext(ctx, x.query).Scan(x.to); err != nil {
			return c, err
		}
	}
	return c, nil
}

// Restore makes a school's file, or fills an empty PostgreSQL schema, of a
// backup, checks it and brings its schema up to date. What is there is never
// overwritten: the school in use is moved away by hand first, together with the
// files beside it. What it returns is the backup's.
func Restore(ctx context.Context, from, to string) (Contents, error) {
	if isPostgres(to) {
		return restorePostgres(ctx, from, to)
	}
	for _, name := range []string{to, to + "-wal", to + "-shm", to + "-journal"} {
		if err := free(name); err != nil {
			return Contents{}, err
		}
	}
	c, err := CheckFile(ctx, from)
	if err != nil {
		return c, ofBackup(err)
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

// ofBackup says of damage that it is a backup's: the school itself may be sound.
func ofBackup(err error) error {
	var t *Trouble
	if errors.As(err, &t) && t.kind == damaged {
		return fmt.Errorf("store: restore: %w", &Trouble{broken, t.err})
	}
	return err
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
		return fmt.Errorf("store: restore: %w", explained(err))
	}
	return syncFolder(filepath.Dir(to))
}
