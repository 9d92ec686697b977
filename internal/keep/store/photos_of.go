package store

import (
	"context"
	"time"
)

// PhotosOf counts the photos that a person has sent since a time, and their bytes.
func (s *Store) PhotosOf(ctx context.Context, person string, since time.Time) (photos int, bytes int64, err error) {
	err = s.read(ctx, func(t *tx) error {
		_, err := t.one(`SELECT COUNT(*), COALESCE(SUM(LENGTH(bytes)), 0) FROM photo WHERE person = ? AND at > ?`, []any{person, stamp(since)}, &photos, &bytes)
		return err
	})
	return photos, bytes, err
}
