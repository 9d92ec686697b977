package store

import (
	"errors"
	"fmt"
	"os"
	"strconv"
	"strings"
)

// ErrOpenElsewhere is matched where another server has the same school open.
var ErrOpenElsewhere = errors.New("another Hangtrue server has this school open")

// lock is a lock file that this process holds. The file stays when the lock is
// let go: removing it would let two programs lock two files of one name.
type lock struct{ f *os.File }

func acquire(path string) (*lock, error) {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, err
	}
	if err := lockFile(f); err != nil {
		holder := ""
		if text, err := os.ReadFile(path); err == nil {
			if pid, err := strconv.Atoi(strings.TrimSpace(string(text))); err == nil {
				holder = fmt.Sprintf(" (process %d)", pid)
			}
		}
		f.Close()
		if errors.Is(err, errHeld) {
			return nil, fmt.Errorf("%w%s: stop it, or use its pages", ErrOpenElsewhere, holder)
		}
		return nil, fmt.Errorf("lock %s: %w", path, err)
	}
	l := &lock{f}
	err = f.Truncate(0)
	if err == nil {
		_, err = f.WriteAt([]byte(strconv.Itoa(os.Getpid())+"\n"), 0)
	}
	if err != nil {
		l.release()
		return nil, err
	}
	return l, nil
}

func (l *lock) release() error {
	if l == nil {
		return nil
	}
	return l.f.Close()
}

// errHeld tells that somebody else has the lock.
var errHeld = errors.New("held by another program")
