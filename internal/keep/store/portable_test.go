package store

import (
	"errors"
	"io/fs"
	"path/filepath"
	"slices"
	"testing"

	"hangtrue/internal/engine/people"
)

// A school moves from a file to PostgreSQL, is backed up there while its server
// runs, and comes back from that backup with every row.
func TestBackup_BetweenSQLiteAndPostgres(t *testing.T) {
	at := postgresSchema(t)
	dir := t.TempDir()
	ctx := t.Context()
	file := furnished(t)
	first := filepath.Join(dir, "first.backup")
	want, err := file.Backup(ctx, first)
	if err != nil {
		t.Fatal(err)
	}
	if got, err := Restore(ctx, first, at); err != nil || got != want {
		t.Fatalf("restored %+v, %v; want %+v", got, err, want)
	}
	all := tablesOf(t, file)
	kept := slices.DeleteFunc(slices.Clone(all), func(x table) bool { return x.name == "clock_seen" }) // moves on
	rows := rowsOf(t, file, kept)

	server, err := Open(ctx, at, Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer server.Close()
	same(t, rowsOf(t, server, kept), rows, kept)
	if _, err := Restore(ctx, first, at); !errors.Is(err, ErrOpenElsewhere) {
		t.Errorf("restored over a running server: %v", err)
	}
	second, own := filepath.Join(dir, "second.backup"), filepath.Join(dir, "own.backup")
	if _, err := server.Backup(ctx, own); err != nil {
		t.Error(err)
	}
	got, noted, err := BackupFile(ctx, at, second)
	if err != nil || !noted {
		t.Fatal(got, noted, err)
	}
	got.Bytes, got.SHA256 = want.Bytes, want.SHA256
	if got != want {
		t.Errorf("got %+v, want %+v", got, want)
	}
	if last, err := server.LastBackup(ctx); err != nil || last.IsZero() {
		t.Errorf("%v, %v", last, err)
	}
	server.Close()
	if _, err := Restore(ctx, first, at); !errors.Is(err, fs.ErrExist) {
		t.Errorf("restored over a school: %v", err)
	}
	for i, name := range []string{own, second} {
		to := filepath.Join(dir, "back.db"+string(rune('a'+i)))
		if _, err := Restore(ctx, name, to); err != nil {
			t.Fatal(err)
		}
		back := openFile(t, to)
		same(t, rowsOf(t, back, kept), rows, kept)
		if x, err := back.Person(ctx, "rigger"); err != nil || x.Name != "Rita" || !x.Is(people.Rigger) {
			t.Errorf("%+v, %v", x, err)
		}
		if h, err := back.VerifyLog(ctx); err != nil || h.Size != 4 {
			t.Errorf("%+v, %v", h, err)
		}
	}
}
