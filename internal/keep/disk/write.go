package disk

import (
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"runtime"
)

// write makes name hold data: written beside it under another name, synced,
// renamed, and the folder synced. ready, if given, is called last before the
// rename and may refuse.
func write(root *os.Root, name string, data []byte, ready func() error) error {
	var mark [6]byte
	if _, err := rand.Read(mark[:]); err != nil {
		return err
	}
	// A dot in front: no listing takes it for a rig.
	temp := path.Join(path.Dir(name), "."+path.Base(name)+"."+hex.EncodeToString(mark[:])+".part")
	f, err := root.OpenFile(temp, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err == nil {
		err = f.Sync()
	}
	if closing := f.Close(); err == nil {
		err = closing
	}
	if err == nil && ready != nil {
		err = ready()
	}
	if err == nil {
		err = root.Rename(temp, name)
	}
	if err != nil {
		root.Remove(temp) // the first error is the one to tell
		return err
	}
	return syncFolder(root, path.Dir(name))
}

// syncFolder makes a rename last. Windows has no such call and needs none.
func syncFolder(root *os.Root, name string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	d, err := root.Open(name)
	if err != nil {
		return err
	}
	err = d.Sync()
	if closing := d.Close(); err == nil {
		err = closing
	}
	return err
}

// read returns a regular file of at most so many bytes.
func read(root *os.Root, name string, most int) ([]byte, error) {
	info, err := root.Lstat(name)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, &fs.PathError{Op: "read", Path: name, Err: errors.New("it is a link or a folder, and a rig is a regular file")}
	}
	if info.Size() > int64(most) {
		return nil, &fs.PathError{Op: "read", Path: name, Err: fmt.Errorf("it has %d bytes, and at most %d are read", info.Size(), most)}
	}
	return root.ReadFile(name)
}
