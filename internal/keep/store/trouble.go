package store

import (
	"database/sql/driver"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"syscall"

	"github.com/jackc/pgx/v5/pgconn"
	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// ErrDatabase is matched by every [Trouble].
var ErrDatabase = errors.New("the database failed")

// Trouble is what went wrong with the database or the disk beneath it, in words
// that say what became of what was asked for and what a person can do.
type Trouble struct {
	kind string
	err  error
}

// The kinds of trouble.
const (
	full     = "full"
	readOnly = "read-only"
	damaged  = "damaged"
	held     = "held"
	failing  = "failing"
	away     = "away"
	foreign  = "foreign"
	closed   = "closed"
	broken   = "broken"
)

var troubleWords = map[string]string{
	full:     "the disk is full: nothing of this was kept; make room and do it again",
	readOnly: "the file or its folder can only be read: nothing of this was kept; let this program write there and do it again",
	damaged:  "the file is damaged: stop the server, keep a copy of the file, and restore the last backup",
	held:     "another program holds the file: nothing of this was kept; end that program and do it again",
	failing:  "the disk reports an error, or is full: nothing of this was kept; make a backup to another disk",
	away:     "the database server does not answer: nothing of this was kept; start it and do it again",
	foreign:  "the file is no database",
	closed:   "the file cannot be opened",
	broken:   "the backup is not whole, as if it was cut off while it was copied: nothing was restored; copy it anew, or restore another backup",
}

func (t *Trouble) Error() string {
	return fmt.Sprintf("%v: %s (%v)", ErrDatabase, troubleWords[t.kind], t.err)
}

// Unwrap gives ErrDatabase and the error beneath.
func (t *Trouble) Unwrap() []error { return []error{ErrDatabase, t.err} }

// Trouble is the kind: full, read-only, damaged, held, failing, away, foreign,
// closed, or broken, which is a backup that is damaged.
func (t *Trouble) Trouble() string { return t.kind }

var sqliteKinds = map[int]string{
	sqlite3.SQLITE_FULL:     full,
	sqlite3.SQLITE_READONLY: readOnly,
	sqlite3.SQLITE_CORRUPT:  damaged,
	sqlite3.SQLITE_NOTADB:   foreign,
	sqlite3.SQLITE_IOERR:    failing,
	sqlite3.SQLITE_BUSY:     held,
	sqlite3.SQLITE_CANTOPEN: closed,
}

// postgresKinds are by the error's code (appendix A of PostgreSQL's manual).
var postgresKinds = map[string]string{
	"53100": full,     // disk_full
	"25006": readOnly, // read_only_sql_transaction
	"58030": failing,  // io_error
	"XX001": damaged,  // data_corrupted
	"XX002": damaged,  // index_corrupted
	"57P01": away,     // admin_shutdown
	"57P02": away,     // crash_shutdown
	"57P03": away,     // cannot_connect_now
}

// explained puts plain words before an error of the database or the disk.
func explained(err error) error {
	if err == nil || errors.Is(err, ErrDatabase) {
		return err
	}
	kind := ""
	var lite *sqlite.Error
	var refused *pgconn.PgError
	var connect *pgconn.ConnectError
	switch {
	case errors.As(err, &lite):
		kind = sqliteKinds[lite.Code()&0xff]
	case errors.As(err, &refused):
		kind = postgresKinds[refused.Code]
	case errors.As(err, &connect), errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, syscall.ECONNRESET), errors.Is(err, syscall.EPIPE), errors.Is(err, driver.ErrBadConn):
		kind = away
	case errors.Is(err, syscall.ENOSPC), errors.Is(err, syscall.EDQUOT):
		kind = full
	case errors.Is(err, syscall.EROFS), errors.Is(err, fs.ErrPermission):
		kind = readOnly
	}
	if kind == "" {
		return err
	}
	return &Trouble{kind, err}
}

// damage is trouble that this package finds itself.
func damage(format string, args ...any) error {
	return &Trouble{damaged, fmt.Errorf(format, args...)}
}
