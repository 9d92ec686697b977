package main

import (
	"crypto/sha256"
	"encoding/hex"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/face/app"
	"hangtrue/internal/keep/store"
)

// What a restore says of the file that it made is what the check and any other
// program find.
func TestRestore_NamesTheFileThatItMade(t *testing.T) {
	program := itself(t)
	dir := t.TempDir()
	path, backup, made := filepath.Join(dir, "school.db"), filepath.Join(dir, "copy.db"), filepath.Join(dir, "made.db")
	withChief(t, path)
	if status, said := runProgram(program, "school", "backup", path, backup); status != 0 {
		t.Fatal(said)
	}
	status, restored := runProgram(program, "school", "restore", backup, made)
	if status != 0 {
		t.Fatal(restored)
	}
	for _, file := range []string{backup, made} {
		data, err := os.ReadFile(file)
		must(t, err)
		sum := sha256.Sum256(data)
		want := "SHA-256 " + hex.EncodeToString(sum[:])
		status, checked := runProgram(program, "school", "check", file)
		if status != 0 || !strings.Contains(checked, want) || !strings.Contains(restored, want) {
			t.Errorf("%s has %s\n%s%s", filepath.Base(file), want, restored, checked)
		}
	}
}

// A name given at the first start stays without being given again, until the
// settings have one.
func TestSchool_TheFirstTitleIsKept(t *testing.T) {
	s := openSchool(t)
	if name, err := schoolName(s.School, "Another"); err != nil || name != "Test school" {
		t.Errorf("the settings' name: %q, %v", name, err)
	}
	db := newSchoolAt(t, filepath.Join(t.TempDir(), "fresh.db"))
	for _, c := range []struct{ given, want string }{{"", "A school"}, {"Kestmoor Lift School", "Kestmoor Lift School"}, {"", "Kestmoor Lift School"}, {"Kestmoor", "Kestmoor"}, {"", "Kestmoor"}} {
		if name, err := schoolName(db, c.given); err != nil || name != c.want {
			t.Errorf("given %q: %q, %v", c.given, name, err)
		}
	}
	if _, err := schoolName(db, strings.Repeat("x", 500)); err == nil {
		t.Error("a name of 500 letters was taken")
	}
}

// After a restore without the authority's files the program says loudly that
// tablets trust another authority, and which files to copy.
func TestSchool_AnotherAuthorityIsSaidLoudly(t *testing.T) {
	s := newSchoolAt(t, filepath.Join(t.TempDir(), "fresh.db"))
	said := func(fingerprint string) string {
		var out strings.Builder
		must(t, lookAtAuthority(&out, s, filepath.Join("there", "new.db"), fingerprint))
		return out.String()
	}
	crt, key := filepath.Join("there", "new.authority.crt"), filepath.Join("there", "new.authority.key")
	if got := said("AA BB"); strings.Contains(got, "LOOK") || !strings.Contains(got, crt) || !strings.Contains(got, key) {
		t.Errorf("the first: %s", got)
	}
	if got := said("AA BB"); got != "" {
		t.Errorf("the same again: %s", got)
	}
	if got := said("CC DD"); !strings.Contains(got, "LOOK: THE SCHOOL'S TABLETS TRUST ANOTHER") || !strings.Contains(got, "before: AA BB") || !strings.Contains(got, crt) || !strings.Contains(got, key) {
		t.Errorf("another: %s", got)
	}
	if got := said("AA BB"); got != "" {
		t.Errorf("the first one's files are there again: %s", got)
	}
}

func newSchoolAt(t *testing.T, path string) *app.School {
	t.Helper()
	db, err := store.Open(t.Context(), path, store.Options{})
	must(t, err)
	t.Cleanup(func() { db.Close() })
	rigs, err := db.Shelf(store.Rigs)
	must(t, err)
	return app.NewSchool(db, rigs, app.ShelvesOf(func(kind string) (app.Keeper, error) { return db.Shelf(kind) }), time.Now)
}
