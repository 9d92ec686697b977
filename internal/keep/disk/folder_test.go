package disk

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
)

func open(t *testing.T) (*Folder, string) {
	t.Helper()
	dir := t.TempDir()
	d, err := Open(dir, 1000)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { d.Close() })
	return d, dir
}

func put(t *testing.T, dir, name, text string) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

// save saves and fails the test where that is not taken.
func save(t *testing.T, d *Folder, name, on, text string) string {
	t.Helper()
	v, saved, err := d.Save(name, on, []byte(text))
	if err != nil || !saved {
		t.Fatalf("Save(%s, %.8s) = %.8s, %v, %v", name, on, v, saved, err)
	}
	return v
}

func versions(t *testing.T, d *Folder, name string) []string {
	t.Helper()
	kept, err := d.Versions(name)
	if err != nil {
		t.Fatal(err)
	}
	var texts []string
	for _, k := range kept {
		data, err := d.Version(name, k.Version)
		if err != nil {
			t.Fatal(err)
		}
		texts = append(texts, string(data))
	}
	return texts
}

func TestSave_EveryVersionIsKept(t *testing.T) {
	d, dir := open(t)
	one := save(t, d, "crate", "", "one")
	two := save(t, d, "crate", one, "two")
	if one == two || two != hash([]byte("two")) {
		t.Errorf("versions %s and %s", one, two)
	}
	back := save(t, d, "crate", two, "one")
	if back != one {
		t.Errorf("the same bytes are %s and %s", one, back)
	}
	if got := versions(t, d, "crate"); !slices.Equal(got, []string{"one", "two"}) {
		t.Errorf("got %q, current first", got)
	}
	text, err := os.ReadFile(filepath.Join(dir, "crate.yaml"))
	if err != nil || string(text) != "one" {
		t.Errorf("file holds %q, %v", text, err)
	}
}

func TestSave_RefusedOnTopOfAnother(t *testing.T) {
	d, _ := open(t)
	one := save(t, d, "crate", "", "one")
	two := save(t, d, "crate", one, "two")
	for _, on := range []string{"", one, hash([]byte("never"))} {
		current, saved, err := d.Save("crate", on, []byte("three"))
		if err != nil || saved || current != two {
			t.Errorf("on %.8s: %.8s, %v, %v; want %.8s and not saved", on, current, saved, err, two)
		}
	}
	if _, saved, err := d.Save("other", one, []byte("x")); saved || err != nil {
		t.Errorf("saved on top of a version of a rig that is not there: %v, %v", saved, err)
	}
	if got := versions(t, d, "crate"); !slices.Equal(got, []string{"two", "one"}) {
		t.Errorf("got %q", got)
	}
}

func TestCurrent_AnEditorsChangeBecomesAVersion(t *testing.T) {
	d, dir := open(t)
	put(t, dir, "crate.yaml", "by hand")
	if got := versions(t, d, "crate"); !slices.Equal(got, []string{"by hand"}) {
		t.Fatalf("got %q", got)
	}
	put(t, dir, "crate.yaml", "by hand again")
	// Saving on top of what was there before is refused, and loses nothing.
	current, saved, err := d.Save("crate", hash([]byte("by hand")), []byte("mine"))
	if err != nil || saved || current != hash([]byte("by hand again")) {
		t.Fatalf("got %.8s, %v, %v", current, saved, err)
	}
	save(t, d, "crate", current, "mine")
	if got := versions(t, d, "crate"); !slices.Equal(got, []string{"mine", "by hand again", "by hand"}) {
		t.Errorf("got %q", got)
	}
	// The editor goes back to an old text: that is the current one, and first.
	put(t, dir, "crate.yaml", "by hand")
	if got := versions(t, d, "crate"); got[0] != "by hand" || len(got) != 3 {
		t.Errorf("got %q", got)
	}
}

func TestSave_OfManyAtOnceOneIsTaken(t *testing.T) {
	d, _ := open(t)
	on := save(t, d, "crate", "", "start")
	const writers, rounds = 8, 20
	for round := range rounds {
		var wg sync.WaitGroup
		taken := make([]bool, writers)
		for w := range writers {
			wg.Go(func() {
				_, saved, err := d.Save("crate", on, fmt.Appendf(nil, "round %d writer %d", round, w))
				if err != nil {
					t.Error(err)
				}
				taken[w] = saved
			})
		}
		wg.Wait()
		n := 0
		for w, ok := range taken {
			if ok {
				n++
				on = hash(fmt.Appendf(nil, "round %d writer %d", round, w))
			}
		}
		if n != 1 {
			t.Fatalf("round %d: %d of %d were saved on top of the same version", round, n, writers)
		}
	}
	if got := versions(t, d, "crate"); len(got) != rounds+1 {
		t.Errorf("%d versions, want %d", len(got), rounds+1)
	}
}

// Two programs have a Folder each; whatever one of them overwrites is kept.
func TestSave_OfTwoProgramsLosesNothing(t *testing.T) {
	a, dir := open(t)
	b, err := Open(dir, 1000)
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	on := save(t, a, "crate", "", "start")
	said := map[string]bool{"start": true}
	for round := range 20 {
		var wg sync.WaitGroup
		saved := make([]bool, 2)
		texts := []string{fmt.Sprint("a ", round), fmt.Sprint("b ", round)}
		for i, d := range []*Folder{a, b} {
			wg.Go(func() {
				var err error
				if _, saved[i], err = d.Save("crate", on, []byte(texts[i])); err != nil {
					t.Error(err)
				}
			})
		}
		wg.Wait()
		if !saved[0] && !saved[1] {
			t.Fatalf("round %d: neither was saved", round)
		}
		for i := range saved {
			if saved[i] {
				said[texts[i]] = true
			}
		}
		data, err := a.Current("crate")
		if err != nil {
			t.Fatal(err)
		}
		on = hash(data)
	}
	have := versions(t, b, "crate")
	for text := range said {
		if !slices.Contains(have, text) {
			t.Errorf("%q was saved and is lost", text)
		}
	}
}

func TestNames(t *testing.T) {
	d, dir := open(t)
	for _, name := range []string{"b.yaml", "a b ü.yaml", ".hidden.yaml", "c.yml", "E.YAML", "d.txt"} {
		put(t, dir, name, "x")
	}
	if err := os.Mkdir(filepath.Join(dir, "folder.yaml"), 0o755); err != nil {
		t.Fatal(err)
	}
	outside := filepath.Join(t.TempDir(), "outside.yaml")
	put(t, filepath.Dir(outside), "outside.yaml", "secret")
	if err := os.Symlink(outside, filepath.Join(dir, "link.yaml")); err != nil {
		t.Skip("no symbolic links here")
	}
	names, err := d.Names()
	if err != nil || !slices.Equal(names, []string{"a b ü", "b"}) {
		t.Errorf("got %q, %v", names, err)
	}
	if files, err := d.Overlooked(); err != nil || !slices.Equal(files, []string{"E.YAML", "c.yml"}) {
		t.Errorf("overlooked are %q, %v", files, err)
	}
	if data, err := d.Current("link"); err == nil {
		t.Errorf("a link out of the folder was followed: %q", data)
	}
}

func TestNames_NothingOutsideIsReached(t *testing.T) {
	d, _ := open(t)
	bad := []string{"", ".", "..", "../x", "a/b", `a\b`, "/etc/passwd", ".versions", "a\x00b", "a\nb", "con:", "x ", "x.", strings.Repeat("n", 121), "\xff"}
	for _, name := range bad {
		_, e1 := d.Current(name)
		_, e2 := d.Versions(name)
		_, e3 := d.Version(name, hash(nil))
		_, _, e4 := d.Save(name, "", []byte("x"))
		e5 := d.Print(name, hash(nil))
		for i, err := range []error{e1, e2, e3, e4, e5} {
			if !errors.Is(err, fs.ErrNotExist) {
				t.Errorf("call %d with name %q: %v, want one of fs.ErrNotExist", i, name, err)
			}
		}
	}
	save(t, d, "crate", "", "x")
	for _, version := range []string{"", "..", "../../crate", strings.Repeat("A", 64), strings.Repeat("0", 64)} {
		if _, err := d.Version("crate", version); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("version %q: %v", version, err)
		}
	}
}

func TestSizes(t *testing.T) {
	d, dir := open(t)
	if _, _, err := d.Save("crate", "", make([]byte, 1001)); err == nil || !strings.Contains(err.Error(), "1001 bytes, and at most 1000") {
		t.Errorf("got %v", err)
	}
	put(t, dir, "big.yaml", strings.Repeat("x", 1001))
	if _, err := d.Current("big"); err == nil || !strings.Contains(err.Error(), "at most 1000 are read") {
		t.Errorf("got %v", err)
	}
	if _, _, err := d.Save("big", "", []byte("x")); err == nil {
		t.Error("a file that could not be kept was overwritten")
	}
}

func TestPrint(t *testing.T) {
	d, _ := open(t)
	one := save(t, d, "crate", "", "one")
	if err := d.Print("crate", one); err != nil {
		t.Fatal(err)
	}
	save(t, d, "crate", one, "two")
	kept, err := d.Versions("crate")
	if err != nil || len(kept) != 2 {
		t.Fatalf("got %v, %v", kept, err)
	}
	if !kept[0].Printed.IsZero() || kept[1].Printed.IsZero() {
		t.Errorf("got %v; want only the second printed", kept)
	}
}

func TestVersion_DamageIsSeen(t *testing.T) {
	d, dir := open(t)
	one := save(t, d, "crate", "", "one")
	save(t, d, "crate", one, "two")
	put(t, dir, filepath.Join(".versions", "crate", one+".yaml"), "0ne")
	if data, err := d.Version("crate", one); err == nil || !strings.Contains(err.Error(), "no longer has the bytes") {
		t.Errorf("got %q, %v", data, err)
	}
}

func TestWrite_LeavesNothingBehindWhenRefused(t *testing.T) {
	d, dir := open(t)
	put(t, dir, "x", "before")
	refusal := errors.New("no")
	if err := write(d.root, "x", []byte("after"), func() error { return refusal }); !errors.Is(err, refusal) {
		t.Fatalf("got %v", err)
	}
	entries, err := os.ReadDir(dir)
	if err != nil || len(entries) != 1 {
		t.Errorf("%d entries, %v", len(entries), err)
	}
	if text, _ := os.ReadFile(filepath.Join(dir, "x")); string(text) != "before" {
		t.Errorf("file holds %q", text)
	}
}

func TestCurrent_OfAFolderThatMayOnlyBeRead(t *testing.T) {
	if os.Geteuid() == 0 { // who may write everywhere
		asNobody(t)
		return
	}
	d, dir := open(t)
	put(t, dir, "crate.yaml", "one")
	if err := os.Chmod(dir, 0o555); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.Chmod(dir, 0o755) })
	if data, err := d.Current("crate"); err != nil || string(data) != "one" {
		t.Errorf("got %q, %v", data, err)
	}
	if _, _, err := d.Save("crate", hash([]byte("one")), []byte("two")); !errors.Is(err, fs.ErrPermission) {
		t.Errorf("Save: %v", err)
	}
}
