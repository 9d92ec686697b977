package disk

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
)

// Secret returns the bytes of a secret file of the folder, such as a key. It is
// an error for which errors.Is(err, fs.ErrNotExist) holds where there is none,
// and an error where others than its owner may read it.
func (d *Folder) Secret(name string) ([]byte, error) {
	if err := checkName(name); err != nil {
		return nil, err
	}
	info, err := d.root.Stat(name)
	if err != nil {
		return nil, fmt.Errorf("disk: %w", err)
	}
	if err := private(name, info); err != nil {
		return nil, err
	}
	data, err := read(d.root, name, d.most)
	if err != nil {
		return nil, fmt.Errorf("disk: %w", err)
	}
	return data, nil
}

// KeepSecret writes a secret file that is not there yet, for its owner alone.
// It is on the disk when KeepSecret returns.
func (d *Folder) KeepSecret(name string, data []byte) error {
	if err := checkName(name); err != nil {
		return err
	}
	f, err := d.root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return fmt.Errorf("disk: %w", explained(err))
	}
	_, err = f.Write(data)
	err = errors.Join(err, f.Sync(), f.Close())
	if err != nil {
		// Half a key is worse than none: the next start makes another.
		return fmt.Errorf("disk: %w", errors.Join(explained(err), d.root.Remove(name)))
	}
	return syncFolder(d.root, ".")
}

// private refuses a file that others may read, where the system can say so.
func private(name string, info fs.FileInfo) error {
	if hasModes && info.Mode().Perm()&0o077 != 0 {
		return fmt.Errorf("disk: %s is a secret and may be read by others (mode %03o); make it its owner's alone, mode 600", name, info.Mode().Perm())
	}
	return nil
}
