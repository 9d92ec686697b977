package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"
)

// tx is one transaction with one set of queries for both databases: each ? of a
// query is a placeholder, and no query of ours holds a ? otherwise.
type tx struct {
	ctx      context.Context
	sql      *sql.Tx
	postgres bool
}

// write runs f in a transaction that may change things, alone. What f has done
// is kept if it returns nil, and otherwise undone.
func (s *Store) write(ctx context.Context, f func(*tx) error) error {
	select {
	case <-s.writing:
		defer func() { s.writing <- struct{}{} }()
	case <-ctx.Done():
		return fmt.Errorf("store: waiting to write: %w", ctx.Err())
	}
	t, err := s.db.BeginTx(ctx, nil)
	if err != nil {
		return fmt.Errorf("store: begin: %w", explained(err))
	}
	if s.postgres {
		// Other programs may write to the same schema; this makes them wait.
		_, err = t.ExecContext(ctx, `SELECT pg_advisory_xact_lock(hashtext(current_database() || '.' || current_schema()))`)
	}
	in := &tx{ctx, t, s.postgres}
	if err == nil {
		err = f(in)
	}
	if err == nil {
		err = s.seeClock(in)
	}
	if err != nil {
		t.Rollback() // the first error is the one to tell
		return explained(err)
	}
	if err := t.Commit(); err != nil {
		return fmt.Errorf("store: commit: %w", explained(err))
	}
	return nil
}

// read runs f on one state of the database, whatever is written meanwhile.
func (s *Store) read(ctx context.Context, f func(*tx) error) error {
	o := &sql.TxOptions{ReadOnly: true}
	if s.postgres {
		o.Isolation = sql.LevelRepeatableRead
	}
	t, err := s.db.BeginTx(ctx, o)
	if err != nil {
		return fmt.Errorf("store: begin: %w", explained(err))
	}
	defer t.Rollback() // nothing was changed
	return explained(f(&tx{ctx, t, s.postgres}))
}

// placeholders writes ? as $1, $2 … where the database wants that.
func placeholders(query string, postgres bool) string {
	if !postgres {
		return query
	}
	var b strings.Builder
	n := 0
	for part := range strings.SplitSeq(query, "?") {
		if n > 0 {
			b.WriteString("$" + strconv.Itoa(n))
		}
		b.WriteString(part)
		n++
	}
	return b.String()
}

// exec runs a statement and returns how many rows it changed.
func (t *tx) exec(query string, args ...any) (int64, error) {
	r, err := t.sql.ExecContext(t.ctx, placeholders(query, t.postgres), args...)
	if err != nil {
		return 0, fmt.Errorf("store: %w", err)
	}
	n, err := r.RowsAffected()
	if err != nil {
		return 0, fmt.Errorf("store: %w", err)
	}
	return n, nil
}

// one reads the first row of a query; found is false where there is none.
func (t *tx) one(query string, args []any, to ...any) (found bool, err error) {
	err = t.sql.QueryRowContext(t.ctx, placeholders(query, t.postgres), args...).Scan(to...)
	if errors.Is(err, sql.ErrNoRows) {
		return false, nil
	}
	if err != nil {
		return false, fmt.Errorf("store: %w", err)
	}
	return true, nil
}

// each calls f for every row.
func (t *tx) each(query string, args []any, f func(scan func(...any) error) error) error {
	rows, err := t.sql.QueryContext(t.ctx, placeholders(query, t.postgres), args...)
	if err != nil {
		return fmt.Errorf("store: %w", err)
	}
	defer rows.Close()
	for rows.Next() {
		if err := f(rows.Scan); err != nil {
			return err
		}
	}
	if err := rows.Err(); err != nil {
		return fmt.Errorf("store: %w", err)
	}
	return nil
}

const stampForm = "2006-01-02T15:04:05.000Z"

// stamp writes a time as it is kept; the zero time is empty text.
func stamp(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.UTC().Format(stampForm)
}

// clock scans a time that stamp wrote.
type clock struct{ to *time.Time }

func (c clock) Scan(v any) error {
	text, ok := v.(string)
	if !ok {
		return fmt.Errorf("store: a time is kept as %T", v)
	}
	*c.to = time.Time{}
	if text == "" {
		return nil
	}
	t, err := time.Parse(stampForm, text)
	if err != nil {
		return fmt.Errorf("store: a time is kept as %q", text)
	}
	*c.to = t
	return nil
}

// truth scans what number01 wrote.
type truth struct{ to *bool }

func (c truth) Scan(v any) error {
	n, ok := v.(int64)
	if !ok {
		return fmt.Errorf("store: a truth is kept as %T", v)
	}
	*c.to = n != 0
	return nil
}

func number01(b bool) int64 {
	if b {
		return 1
	}
	return 0
}
