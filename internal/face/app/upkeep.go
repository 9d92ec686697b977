package app

import (
	"context"
	"fmt"
	"io"
	"time"

	"hangtrue/internal/engine/people"
)

// BackupContents say what a backup holds. It is a plain struct, so that a keeper
// need not know this package.
type BackupContents = struct {
	Bytes       int64
	SHA256      string
	Schema      int64
	People      int64
	Rigs        int64
	Inspections int64
	Records     int64
	Head        string
}

// UpkeepKeeper is what a keeper of a school tells of itself.
type UpkeepKeeper interface {
	// GiveBackup makes a checked copy of the school, hands it to give, and notes
	// that it was made if give returns nil.
	GiveBackup(ctx context.Context, give func(copy io.Reader, c BackupContents) error) error
	LastBackup(ctx context.Context) (time.Time, error)
	// ClockSeen is the newest time at which anything was kept; back tells that the
	// clock shows an earlier one now.
	ClockSeen(ctx context.Context) (newest time.Time, back bool, err error)
	ClockRight(ctx context.Context, by string) error
}

// Backup makes a checked copy of the school, hands it to give, and notes that it
// was made if give returns nil.
func (s *School) Backup(ctx context.Context, by *people.Person, give func(copy io.Reader, c BackupContents) error) error {
	if err := need(by, people.Backup); err != nil {
		return err
	}
	return s.keeper.GiveBackup(ctx, give)
}

// BackupState is how long ago the last backup was made.
type BackupState struct {
	At   time.Time // the zero time for never
	Days int       // whole days since then, by the clock
	Due  bool      // longer ago than the settings allow, or never
}

// LastBackup says when the last backup was made.
func (s *School) LastBackup(ctx context.Context, settings *Settings) (BackupState, error) {
	at, err := s.keeper.LastBackup(ctx)
	if err != nil {
		return BackupState{}, err
	}
	b := BackupState{At: at, Due: true}
	if !at.IsZero() {
		since := s.now().Sub(at)
		b.Days = int(since / (24 * time.Hour))
		b.Due = since > time.Duration(settings.BackupDays)*24*time.Hour
	}
	return b, nil
}

// clockSlack is how far a clock may be put back without a word.
const clockSlack = 5 * time.Minute

// ClockState is how the clock stands to what was kept.
type ClockState struct {
	Now, Newest time.Time
	Back        bool // it shows an earlier time than when the newest entry was kept
}

// Words say what is wrong with the clock, at the school's time; "" where nothing is.
func (c ClockState) Words(settings *Settings) string {
	if !c.Back {
		return ""
	}
	show := func(t time.Time) string { return t.In(settings.location()).Format("2006-01-02 15:04") }
	return fmt.Sprintf("the clock of the school’s machine was set back: it shows %s, and something was kept at %s already", show(c.Now), show(c.Newest))
}

// Clock looks whether the clock was set back.
func (s *School) Clock(ctx context.Context) (ClockState, error) {
	newest, back, err := s.keeper.ClockSeen(ctx)
	return ClockState{Now: s.now(), Newest: newest, Back: back}, err
}

// ClockRight has a person say that the clock is right now, though it was ahead
// before. What was kept meanwhile keeps its times.
func (s *School) ClockRight(ctx context.Context, by *people.Person) error {
	if err := need(by, people.Settings); err != nil {
		return err
	}
	return s.keeper.ClockRight(ctx, by.ID)
}
