package store

import (
	"context"
	"fmt"
	"time"
)

// ClockSlack is how far a clock may be put back without a word: clocks that are
// set by the network move by less.
const ClockSlack = 5 * time.Minute

// seeEvery is how exactly the newest time is kept.
const seeEvery = time.Minute

// seeClock notes that something is kept now.
func (s *Store) seeClock(t *tx) error {
	now := s.now()
	_, err := t.exec(`UPDATE clock_seen SET newest = ? WHERE newest < ?`, stamp(now), stamp(now.Add(-seeEvery)))
	return err
}

// soon is the latest time at which a session or link can have been made, if the
// clock was not set back since.
func (s *Store) soon() string { return stamp(s.now().Add(ClockSlack)) }

// ClockSeen is the newest time at which anything was kept, to about a minute, by
// the server's clock of then. back tells that the clock shows an earlier time
// now by more than ClockSlack.
func (s *Store) ClockSeen(ctx context.Context) (newest time.Time, back bool, err error) {
	err = s.read(ctx, func(t *tx) error {
		_, err := t.one(`SELECT newest FROM clock_seen`, nil, clock{&newest})
		return err
	})
	return newest, newest.Sub(s.now()) > ClockSlack, err
}

// ClockRight notes that a person says that the clock is right now, though it was
// ahead before.
func (s *Store) ClockRight(ctx context.Context, by string) error {
	return s.write(ctx, func(t *tx) error {
		var was string
		if _, err := t.one(`SELECT newest FROM clock_seen`, nil, &was); err != nil {
			return err
		}
		if _, err := t.exec(`UPDATE clock_seen SET newest = ?`, stamp(s.now())); err != nil {
			return err
		}
		return s.note(t, by, by, "said that the clock is right", fmt.Sprintf("it had shown %s", was))
	})
}

// NoteBackup notes that a backup was made and checked.
func (s *Store) NoteBackup(ctx context.Context, c Contents) error {
	return s.write(ctx, func(t *tx) error { return s.noteBackup(t, c) })
}

func (s *Store) noteBackup(t *tx, c Contents) error {
	var n int64
	if _, err := t.one(`SELECT COALESCE(MAX(n), 0) + 1 FROM backup_made`, nil, &n); err != nil {
		return err
	}
	_, err := t.exec(`INSERT INTO backup_made (n, at, bytes, sha256) VALUES (?, ?, ?, ?)`, n, stamp(s.now()), c.Bytes, c.SHA256)
	return err
}

// LastBackup is when the last backup was made that this database knows of; the
// zero time for none.
func (s *Store) LastBackup(ctx context.Context) (at time.Time, err error) {
	err = s.read(ctx, func(t *tx) error {
		_, err := t.one(`SELECT at FROM backup_made ORDER BY n DESC LIMIT 1`, nil, clock{&at})
		return err
	})
	return at, err
}
