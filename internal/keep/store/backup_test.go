package store

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"hangtrue/internal/engine/people"
)

func openFile(t *testing.T, path string) *Store {
	t.Helper()
	s, err := Open(t.Context(), path, Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

func TestBackup_WhileRunningAndBack(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "school.db")
	s := openFile(t, path)
	ctx := t.Context()
	add(t, s, "chief", "Ada", people.Chief)
	d, err := s.Shelf(Rigs)
	if err != nil {
		t.Fatal(err)
	}
	const before, after = 30, 10
	write := func(i int) {
		if _, _, err := d.Save(fmt.Sprint("rig ", i), "", fmt.Append(nil, i)); err != nil {
			t.Error(err)
		}
		if _, err := s.Seal(ctx, "x", json.RawMessage(fmt.Sprintf(`{"i":%d}`, i)), -1, ""); err != nil {
			t.Error(err)
		}
	}
	for i := range before {
		write(i)
	}
	var wg sync.WaitGroup
	wg.Go(func() {
		for i := range after {
			write(before + i)
		}
	})
	own, err := s.Backup(ctx, filepath.Join(dir, "own.backup"))
	if err != nil {
		t.Fatal(err)
	}
	beside, noted, err := BackupFile(ctx, path, filepath.Join(dir, "beside.backup"))
	if err != nil || !noted {
		t.Fatal(err)
	}
	wg.Wait()
	for name, c := range map[string]Contents{"own": own, "beside": beside} {
		if c.Records < before || c.Records > before+after || c.Rigs != c.Records && c.Rigs != c.Records+1 || c.People != 1 || !strings.Contains(c.Head, fmt.Sprintf("\n%d\n", c.Records)) {
			t.Errorf("%s: %+v", name, c)
		}
		file := filepath.Join(dir, name+".backup")
		if info, err := os.Stat(file); err != nil || info.Mode().Perm() != 0o600 || info.Size() != c.Bytes {
			t.Errorf("%s: %v, %v", name, info, err)
		}
		to := filepath.Join(dir, name+".db")
		got, err := Restore(ctx, file, to)
		if err != nil || got != c {
			t.Fatalf("%s: restored %+v, %v; want %+v", name, got, err, c)
		}
		r := openFile(t, to)
		if h, err := r.VerifyLog(ctx); err != nil || h.Size != c.Records {
			t.Errorf("%s: %+v, %v", name, h, err)
		}
		rd, err := r.Shelf(Rigs)
		if err != nil {
			t.Fatal(err)
		}
		if data, err := rd.Current(fmt.Sprint("rig ", before-1)); err != nil || string(data) != fmt.Sprint(before-1) {
			t.Errorf("%s: %q, %v", name, data, err)
		}
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if strings.Contains(e.Name(), ".part") {
			t.Errorf("%s was left behind", e.Name())
		}
	}
}

func TestBackup_NothingIsOverwritten(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "school.db")
	s := openFile(t, path)
	ctx := t.Context()
	there := filepath.Join(dir, "there")
	if err := os.WriteFile(there, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	good := filepath.Join(dir, "good")
	if _, err := s.Backup(ctx, good); err != nil {
		t.Fatal(err)
	}
	wal := filepath.Join(dir, "stray")
	if err := os.WriteFile(wal+"-wal", []byte("old"), 0o600); err != nil {
		t.Fatal(err)
	}
	for name, try := range map[string]func() error{
		"backup":            func() error { _, err := s.Backup(ctx, there); return err },
		"backup of a file":  func() error { _, _, err := BackupFile(ctx, path, there); return err },
		"backup on itself":  func() error { _, err := s.Backup(ctx, path); return err },
		"restore":           func() error { _, err := Restore(ctx, good, there); return err },
		"restore on itself": func() error { _, err := Restore(ctx, good, path); return err },
		"restore by a wal":  func() error { _, err := Restore(ctx, good, wal); return err },
	} {
		if err := try(); !errors.Is(err, fs.ErrExist) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if data, err := os.ReadFile(there); err != nil || string(data) != "mine" {
		t.Errorf("%q, %v", data, err)
	}
}

func TestRestore_RefusesWhatIsNotSound(t *testing.T) {
	dir := t.TempDir()
	s := openFile(t, filepath.Join(dir, "school.db"))
	ctx := t.Context()
	for i := range 200 {
		add(t, s, fmt.Sprint("p", i), strings.Repeat("name ", 50), people.Student)
	}
	good := filepath.Join(dir, "good")
	if _, err := s.Backup(ctx, good); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(good)
	if err != nil {
		t.Fatal(err)
	}
	refused := 0
	put := func(name string, change func([]byte) []byte) {
		t.Helper()
		bad, to := filepath.Join(dir, name), filepath.Join(dir, name+".db")
		if err := os.WriteFile(bad, change(append([]byte(nil), data...)), 0o600); err != nil {
			t.Fatal(err)
		}
		_, err := Restore(ctx, bad, to)
		if err == nil {
			t.Errorf("%s was restored", name)
			return
		}
		refused++
		if whole := name == "empty" || name == "text"; !whole && (!strings.Contains(err.Error(), "the backup is not whole") || strings.Contains(err.Error(), "stop the server")) {
			t.Errorf("%s: %v", name, err)
		}
		if _, err := os.Stat(to); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("%s left a file: %v", name, err)
		}
	}
	put("empty", func([]byte) []byte { return nil })
	put("text", func([]byte) []byte { return []byte(strings.Repeat("no database ", 500)) })
	put("cut", func(b []byte) []byte { return b[:len(b)/2] })
	put("page", func(b []byte) []byte {
		// Wipe one page after another until the check must have met it: every
		// page of a backup is in use.
		clear(b[len(b)/4096/2*4096:][:4096])
		return b
	})
	if refused != 4 {
		t.Errorf("%d refused", refused)
	}
	if _, err := Restore(ctx, filepath.Join(dir, "missing"), filepath.Join(dir, "x.db")); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("got %v", err)
	}
}
