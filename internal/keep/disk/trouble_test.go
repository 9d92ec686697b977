package disk

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
)

func TestExplained(t *testing.T) {
	for _, c := range []struct {
		err         error
		kind, words string
	}{
		{&fs.PathError{Op: "write", Path: "x", Err: syscall.ENOSPC}, "full", "the disk is full: nothing of this was kept"},
		{fmt.Errorf("a: %w", syscall.EDQUOT), "full", "full"},
		{&fs.PathError{Op: "open", Path: "x", Err: syscall.EROFS}, "read-only", "can only be read: nothing of this was kept"},
		{fs.ErrPermission, "read-only", "can only be read"},
		{syscall.EIO, "failing", "the disk reports an error"},
	} {
		var x *Trouble
		err := explained(explained(c.err)) // twice is once
		if !errors.As(err, &x) || x.Trouble() != c.kind || !strings.Contains(err.Error(), c.words) || strings.Count(err.Error(), "kept") > 1 || !errors.Is(err, c.err) {
			t.Errorf("%v: got %v", c.err, err)
		}
	}
	for _, err := range []error{nil, fs.ErrNotExist, errors.New("x")} {
		if got := explained(err); !errors.Is(got, err) || got != err {
			t.Errorf("%v: got %v", err, got)
		}
	}
}

// The device that is always full gives the system's own error.
func TestExplained_TheSystemsFullDisk(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("only Linux has a device that is always full")
	}
	var x *Trouble
	if err := explained(os.WriteFile("/dev/full", []byte("x"), 0)); !errors.As(err, &x) || x.Trouble() != "full" {
		t.Errorf("got %v", err)
	}
}

// A rig that cannot be saved is as it was before.
func TestSave_NothingHalf(t *testing.T) {
	dir := t.TempDir()
	d, err := Open(dir, 1<<20)
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	on, _, err := d.Save("crate", "", []byte("one"))
	if err != nil {
		t.Fatal(err)
	}
	// A file where the versions should go stands for a disk that takes none.
	if err := os.Rename(filepath.Join(dir, versionsFolder), filepath.Join(dir, "away")); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, versionsFolder), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, saved, err := d.Save("crate", on, []byte("two")); err == nil || saved {
		t.Errorf("saved %v, %v", saved, err)
	}
	if data, err := os.ReadFile(filepath.Join(dir, "crate.yaml")); err != nil || string(data) != "one" {
		t.Errorf("%q, %v", data, err)
	}
}
