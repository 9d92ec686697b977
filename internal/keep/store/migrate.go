package store

import (
	"context"
	"embed"
	"fmt"
	"io/fs"

	"github.com/pressly/goose/v3"
)

//go:embed schema
var embedded embed.FS

// schemas are the steps of both databases; a test breaks one off in its middle.
var schemas fs.FS = embedded

// steps are the steps of the schema for this database, oldest first.
func (s *Store) steps() (*goose.Provider, error) {
	dialect, folder := goose.DialectSQLite3, "schema/sqlite"
	if s.postgres {
		dialect, folder = goose.DialectPostgres, "schema/postgres"
	}
	files, err := fs.Sub(schemas, folder)
	if err != nil {
		return nil, err
	}
	return goose.NewProvider(dialect, s.db, files, goose.WithDisableGlobalRegistry(true))
}

// migrate brings the schema up to date. Of several servers that start at once
// on one PostgreSQL schema, one does it.
func (s *Store) migrate(ctx context.Context) (err error) {
	if s.postgres {
		c, err := s.db.Conn(ctx)
		if err != nil {
			return fmt.Errorf("PostgreSQL: %w", err)
		}
		defer c.Close()
		if _, err := c.ExecContext(ctx, `SELECT pg_advisory_lock(hashtext(current_schema() || ' steps'))`); err != nil {
			return fmt.Errorf("PostgreSQL: %w", err)
		}
		defer c.ExecContext(context.WithoutCancel(ctx), `SELECT pg_advisory_unlock(hashtext(current_schema() || ' steps'))`)
	}
	p, err := s.steps()
	if err != nil {
		return err
	}
	has, knows, err := p.GetVersions(ctx)
	if err != nil {
		return fmt.Errorf("read the schema's version: %w", explained(err))
	}
	if has > knows {
		return fmt.Errorf("the database has schema %d and this program knows %d: a newer Hangtrue has written it; use that one", has, knows)
	}
	if has == knows {
		return nil
	}
	if _, err := p.Up(ctx); err != nil {
		return fmt.Errorf("bring the schema from %d to %d: %w", has, knows, explained(err))
	}
	return nil
}

// Schema is the version of the database's schema.
func (s *Store) Schema(ctx context.Context) (int64, error) {
	p, err := s.steps()
	if err != nil {
		return 0, fmt.Errorf("store: %w", err)
	}
	v, err := p.GetDBVersion(ctx)
	if err != nil {
		return 0, fmt.Errorf("store: read the schema's version: %w", explained(err))
	}
	return v, nil
}
