package store

import (
	"context"
	"database/sql"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// Both databases have the same tables with the same columns, so rows go from
// one to the other as they are.

// table is one table with its columns.
type table struct {
	name    string
	columns []string
	bytes   []bool // which columns hold bytes
}

// tables lists the tables of an SQLite file in the order in which the schema made
// them: what a row refers to stands in an earlier one.
func tables(ctx context.Context, db *sql.DB) (out []table, err error) {
	rows, err := db.QueryContext(ctx, `SELECT t.name, c.name, c.type = 'BLOB' FROM sqlite_schema t, pragma_table_info(t.name) c
		WHERE t.type = 'table' AND t.name NOT LIKE 'sqlite_%' AND t.name NOT LIKE 'goose_%' ORDER BY t.rowid, c.cid`)
	if err != nil {
		return nil, explained(err)
	}
	defer rows.Close()
	for rows.Next() {
		var name, column string
		var bytes bool
		if err := rows.Scan(&name, &column, &bytes); err != nil {
			return nil, err
		}
		if len(out) == 0 || out[len(out)-1].name != name {
			out = append(out, table{name: name})
		}
		t := &out[len(out)-1]
		t.columns, t.bytes = append(t.columns, column), append(t.bytes, bytes)
	}
	return out, rows.Err()
}

// copyRows puts the rows of every table in the place of what a fresh schema
// holds, all in one transaction, and counts them there.
func copyRows(ctx context.Context, all []table, from *sql.Tx, to *sql.Tx, toPostgres bool) error {
	for _, t := range all {
		if _, err := to.ExecContext(ctx, `DELETE FROM `+t.name); err != nil {
			return err
		}
	}
	for _, t := range all {
		if err := copyTable(ctx, t, from, to, toPostgres); err != nil {
			return fmt.Errorf("table %s: %w", t.name, err)
		}
	}
	return nil
}

func copyTable(ctx context.Context, t table, from, to *sql.Tx, toPostgres bool) error {
	names := strings.Join(t.columns, ", ")
	marks := strings.TrimSuffix(strings.Repeat("?, ", len(t.columns)), ", ")
	insert, err := to.PrepareContext(ctx, placeholders(`INSERT INTO `+t.name+` (`+names+`) VALUES (`+marks+`)`, toPostgres))
	if err != nil {
		return err
	}
	defer insert.Close()
	rows, err := from.QueryContext(ctx, `SELECT `+names+` FROM `+t.name)
	if err != nil {
		return err
	}
	defer rows.Close()
	row, at := make([]any, len(t.columns)), make([]any, len(t.columns))
	for i := range row {
		at[i] = &row[i]
	}
	copied := 0
	for rows.Next() {
		if err := rows.Scan(at...); err != nil {
			return err
		}
		for i := range row {
			if row[i] == nil && t.bytes[i] {
				row[i] = []byte{} // a driver's word for no bytes
			}
		}
		if _, err := insert.ExecContext(ctx, row...); err != nil {
			return err
		}
		copied++
	}
	if err := rows.Err(); err != nil {
		return err
	}
	var there int
	if err := to.QueryRowContext(ctx, `SELECT count(*) FROM `+t.name).Scan(&there); err != nil {
		return err
	}
	if there != copied {
		return fmt.Errorf("%d rows were copied and %d are there", copied, there)
	}
	return nil
}

// toSQLite writes the rows of a PostgreSQL schema, as they are at one moment, to
// a fresh SQLite file.
func (s *Store) toSQLite(ctx context.Context, part string) error {
	// No other journal than the one that goes when the file is closed.
	name, err := sqliteName(part, "_pragma=synchronous(FULL)&_pragma=foreign_keys(0)&_txlock=immediate")
	if err != nil {
		return err
	}
	file := newStore(s.opts)
	defer file.Close()
	file.path = part
	if file.db, err = sql.Open("sqlite", name); err != nil {
		return err
	}
	if err := file.claim(ctx); err != nil {
		return err
	}
	if err := file.migrate(ctx); err != nil {
		return err
	}
	all, err := tables(ctx, file.db)
	if err != nil {
		return err
	}
	from, err := s.db.BeginTx(ctx, &sql.TxOptions{ReadOnly: true, Isolation: sql.LevelRepeatableRead})
	if err != nil {
		return explained(err)
	}
	defer from.Rollback() // nothing was changed
	to, err := file.db.BeginTx(ctx, nil)
	if err != nil {
		return explained(err)
	}
	defer to.Rollback()
	if err := copyRows(ctx, all, from, to, false); err != nil {
		return explained(err)
	}
	if err := to.Commit(); err != nil {
		return explained(err)
	}
	return file.Close()
}

// restorePostgres fills an empty PostgreSQL schema with a backup.
func restorePostgres(ctx context.Context, from, to string) (c Contents, err error) {
	folder, err := os.MkdirTemp("", "hangtrue-restore-")
	if err != nil {
		return c, fmt.Errorf("store: restore: %w", explained(err))
	}
	defer os.RemoveAll(folder)
	// The backup stays as it is; a copy of it is brought up to date.
	path := filepath.Join(folder, "school.db")
	if c, err = Restore(ctx, from, path); err != nil {
		return c, err
	}
	file, err := Open(ctx, path, Options{})
	if err != nil {
		return c, err
	}
	defer file.Close()
	s := newStore(Options{Now: time.Now})
	defer s.Close()
	if err := s.open(ctx, to); err != nil {
		return c, fmt.Errorf("store: restore: %w", err)
	}
	if err := s.fill(ctx, file); err != nil {
		return c, fmt.Errorf("store: restore: %w", explained(err))
	}
	_, err = s.VerifyLog(ctx)
	return c, err
}

// fill takes all rows of a file into a database that has none of its own.
func (s *Store) fill(ctx context.Context, file *Store) error {
	all, err := tables(ctx, file.db)
	if err != nil {
		return err
	}
	rows, err := file.db.BeginTx(ctx, &sql.TxOptions{ReadOnly: true})
	if err != nil {
		return err
	}
	defer rows.Rollback() // nothing was changed
	return s.write(ctx, func(t *tx) error {
		for _, name := range []string{"log_key", "person", "document"} {
			var n int64
			if _, err := t.one(`SELECT count(*) FROM `+name, nil, &n); err != nil {
				return err
			}
			if n > 0 {
				return fmt.Errorf("the database has a school already and is not overwritten; name a new search_path: %w", fs.ErrExist)
			}
		}
		return copyRows(ctx, all, rows, t.sql, true)
	})
}
