package disk

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"
)

func TestShelf(t *testing.T) {
	d, dir := open(t)
	s, err := d.Shelf("sequences")
	if err != nil {
		t.Fatal(err)
	}
	if again, err := d.Shelf("sequences"); err != nil || again != s {
		t.Errorf("asked again, another shelf: %v", err)
	}
	if names, err := s.Names(); err != nil || len(names) != 0 {
		t.Errorf("an empty shelf has %v, error %v", names, err)
	}
	if _, err := s.Current("crate"); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("a document that is not there: %v", err)
	}
	if _, err := os.Stat(filepath.Join(dir, "sequences")); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("looking made the folder: %v", err)
	}
	first, saved, err := s.Save("crate", "", []byte("a: 1\n"))
	if err != nil || !saved {
		t.Fatalf("saved %v, %v", saved, err)
	}
	if _, saved, err = s.Save("crate", first, []byte("a: 2\n")); err != nil || !saved {
		t.Fatalf("saved %v, %v", saved, err)
	}
	if data, err := s.Version("crate", first); err != nil || string(data) != "a: 1\n" {
		t.Errorf("the first version is %q, %v", data, err)
	}
	if data, err := os.ReadFile(filepath.Join(dir, "sequences", "crate.yaml")); err != nil || string(data) != "a: 2\n" {
		t.Errorf("the file has %q, %v", data, err)
	}
	if list, err := s.Versions("crate"); err != nil || len(list) != 2 {
		t.Errorf("%d versions, %v", len(list), err)
	}
	if names, err := d.Names(); err != nil || len(names) != 0 {
		t.Errorf("the shelf's documents are among the rigs: %v, %v", names, err)
	}
	if _, err := d.Shelf("../else"); err == nil {
		t.Error("a shelf outside the folder")
	}
}
