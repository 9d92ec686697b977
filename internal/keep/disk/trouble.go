package disk

import (
	"errors"
	"io/fs"
	"runtime"
	"syscall"
)

// Trouble is what is wrong with the disk beneath a folder, in words that say
// what became of what was asked for.
type Trouble struct {
	kind string
	err  error
}

var troubleWords = map[string]string{
	"full":      "the disk is full: nothing of this was kept; make room and do it again",
	"read-only": "the folder can only be read: nothing of this was kept; let this program write there and do it again",
	"failing":   "the disk reports an error: nothing of this was kept; copy the folder to another disk",
}

func (t *Trouble) Error() string { return troubleWords[t.kind] + " (" + t.err.Error() + ")" }

// Unwrap gives the error beneath.
func (t *Trouble) Unwrap() error { return t.err }

// Trouble is the kind: full, read-only or failing.
func (t *Trouble) Trouble() string { return t.kind }

// windowsDiskFull is Windows' ERROR_DISK_FULL; elsewhere the number is another error's.
const windowsDiskFull = syscall.Errno(112)

// explained puts plain words before an error of the disk.
func explained(err error) error {
	var known *Trouble
	if err == nil || errors.As(err, &known) {
		return err
	}
	switch {
	case errors.Is(err, syscall.ENOSPC), errors.Is(err, syscall.EDQUOT), runtime.GOOS == "windows" && errors.Is(err, windowsDiskFull):
		return &Trouble{"full", err}
	case readOnly(err), errors.Is(err, fs.ErrPermission):
		return &Trouble{"read-only", err}
	case errors.Is(err, syscall.EIO):
		return &Trouble{"failing", err}
	}
	return err
}
