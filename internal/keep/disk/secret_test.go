package disk

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestSecret(t *testing.T) {
	d, dir := open(t)
	if _, err := d.Secret("authority.key"); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("none there: %v", err)
	}
	if err := d.KeepSecret("authority.key", []byte("one")); err != nil {
		t.Fatal(err)
	}
	if err := d.KeepSecret("authority.key", []byte("two")); !errors.Is(err, fs.ErrExist) {
		t.Errorf("written over: %v", err)
	}
	if data, err := d.Secret("authority.key"); err != nil || string(data) != "one" {
		t.Errorf("%q, %v", data, err)
	}
	for _, name := range []string{"../key", "", "a/b"} {
		if err := d.KeepSecret(name, nil); err == nil {
			t.Errorf("%q was taken", name)
		}
	}
	if !hasModes {
		t.Skip("this system has no permission bits")
	}
	file := filepath.Join(dir, "authority.key")
	if info, err := os.Stat(file); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("mode %v, %v", info.Mode(), err)
	}
	if err := os.Chmod(file, 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := d.Secret("authority.key"); err == nil || !strings.Contains(err.Error(), "mode 644") {
		t.Errorf("readable by all: %v", err)
	}
}
