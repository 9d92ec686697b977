package store

import (
	"context"
	"fmt"
)

// OpenReader opens a school's database to read it, while its server has it open or
// not. The database must be there, and of this program's schema. Nothing is to be
// written through it.
func OpenReader(ctx context.Context, name string, o Options) (*Store, error) {
	s := newStore(o)
	var err error
	if isPostgres(name) {
		err = s.openPostgres(ctx, name)
	} else {
		err = s.openBeside(ctx, name)
	}
	if err == nil {
		err = s.sameSchema(ctx)
	}
	if err != nil {
		s.Close()
		return nil, fmt.Errorf("store: %w", err)
	}
	return s, nil
}

// sameSchema refuses a database of another schema than this program's.
func (s *Store) sameSchema(ctx context.Context) error {
	p, err := s.steps()
	if err != nil {
		return err
	}
	has, knows, err := p.GetVersions(ctx)
	if err != nil {
		return explained(err)
	}
	if has != knows {
		return fmt.Errorf("the database has schema %d and this program knows %d: start its server once with this program, or use the other one", has, knows)
	}
	return nil
}
