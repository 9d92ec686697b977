package disk

import (
	"errors"
	"syscall"
)

// readOnly reports whether the folder lies on a medium that cannot be written.
func readOnly(err error) bool { return errors.Is(err, syscall.EROFS) }
