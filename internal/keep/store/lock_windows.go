package store

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// far is where the lock lies: beyond the text, so that the holder's number can
// be read while it is held.
const far = 1 << 30

func lockFile(f *os.File) error {
	err := windows.LockFileEx(windows.Handle(f.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0, &windows.Overlapped{Offset: far})
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) {
		return errHeld
	}
	return err
}
