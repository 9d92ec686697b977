package store

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"sync"
	"testing"
)

func TestShelf_EveryVersionIsKept(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		d, err := open().Shelf(Rigs)
		if err != nil {
			t.Fatal(err)
		}
		save := func(on, text string) string {
			t.Helper()
			v, saved, err := d.Save("crate", on, []byte(text))
			if err != nil || !saved || v != hash([]byte(text)) {
				t.Fatalf("Save = %.8s, %v, %v", v, saved, err)
			}
			return v
		}
		texts := func() (out []string) {
			t.Helper()
			kept, err := d.Versions("crate")
			if err != nil {
				t.Fatal(err)
			}
			for _, k := range kept {
				data, err := d.Version("crate", k.Version)
				if err != nil || k.At.IsZero() {
					t.Fatal(k, err)
				}
				out = append(out, string(data))
			}
			return out
		}
		one := save("", "one")
		two := save(one, "two")
		three := save(two, "three")
		if got := texts(); !slices.Equal(got, []string{"three", "two", "one"}) {
			t.Errorf("got %q", got)
		}
		save(three, "one") // back to the first: it is current, nothing is lost
		if got := texts(); !slices.Equal(got, []string{"one", "three", "two"}) {
			t.Errorf("got %q", got)
		}
		for _, on := range []string{"", two, three, hash([]byte("never"))} {
			if v, saved, err := d.Save("crate", on, []byte("four")); saved || err != nil || v != one {
				t.Errorf("saved on %.8s: %.8s, %v, %v", on, v, saved, err)
			}
		}
		if v, saved, err := d.Save("other", one, []byte("x")); saved || err != nil || v != "" {
			t.Errorf("saved on top of a version of a document that is not there: %q, %v, %v", v, saved, err)
		}
		if _, saved, err := d.As(t.Context(), "rita").Save("signed", "", []byte("mine")); err != nil || !saved {
			t.Fatal(saved, err)
		}
		if by, err := d.Authors("signed"); err != nil || by[hash([]byte("mine"))] != "rita" {
			t.Errorf("got %v, %v", by, err)
		}
		if by, err := d.Authors("crate"); err != nil || len(by) != 3 || by[one] != "" {
			t.Errorf("got %v, %v", by, err)
		}
		if err := d.Print("crate", two); err != nil {
			t.Fatal(err)
		}
		kept, err := d.Versions("crate")
		if err != nil || len(kept) != 3 || !kept[0].Printed.IsZero() || kept[2].Version != two || kept[2].Printed.IsZero() {
			t.Errorf("got %v, %v", kept, err)
		}
	})
}

func TestShelf_NamesAndWhatIsNotThere(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		s := open()
		d, err := s.Shelf(Rigs)
		if err != nil {
			t.Fatal(err)
		}
		days, err := s.Shelf("days")
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range []string{"b", "a b ü", "Z"} {
			if _, saved, err := d.Save(name, "", []byte("same bytes")); err != nil || !saved {
				t.Fatal(saved, err)
			}
		}
		if names, err := d.Names(); err != nil || !slices.Equal(names, []string{"Z", "a b ü", "b"}) {
			t.Errorf("got %q, %v", names, err)
		}
		if names, err := days.Names(); err != nil || len(names) != 0 {
			t.Errorf("another shelf holds %q, %v", names, err)
		}
		bad := []string{"", ".", "..", "../x", "a/b", "nobody", "a\x00b", "x.", strings.Repeat("n", 121), "\xff"}
		for _, name := range bad {
			_, e1 := d.Current(name)
			_, e2 := d.Versions(name)
			_, e3 := d.Version(name, hash(nil))
			e4 := d.Print(name, hash(nil))
			errs := []error{e1, e2, e3, e4}
			if name != "nobody" {
				_, _, e5 := d.Save(name, "", []byte("x"))
				errs = append(errs, e5)
			}
			for i, err := range errs {
				if !errors.Is(err, fs.ErrNotExist) {
					t.Errorf("call %d with %q: %v", i, name, err)
				}
			}
		}
		if _, err := s.Shelf("../x"); err == nil {
			t.Error("a shelf with no name was made")
		}
	})
}

func TestShelf_OfManyAtOnceOneIsTaken(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		d, err := open().Shelf(Rigs)
		if err != nil {
			t.Fatal(err)
		}
		on := ""
		const writers, rounds = 6, 5
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
		if kept, err := d.Versions("crate"); err != nil || len(kept) != rounds {
			t.Errorf("%d versions, %v", len(kept), err)
		}
	})
}

func TestShelf_SizeAndDamage(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		s := open(Options{Most: 10})
		d, err := s.Shelf(Rigs)
		if err != nil {
			t.Fatal(err)
		}
		if _, _, err := d.Save("crate", "", make([]byte, 11)); err == nil || !strings.Contains(err.Error(), "11 bytes, and at most 10") {
			t.Errorf("got %v", err)
		}
		v, _, err := d.Save("crate", "", []byte("one"))
		if err != nil {
			t.Fatal(err)
		}
		if _, err := s.db.Exec(placeholders(`UPDATE content SET bytes = ? WHERE hash = ?`, s.postgres), []byte("0ne"), v); err != nil {
			t.Fatal(err)
		}
		if _, err := d.Current("crate"); err == nil || !strings.Contains(err.Error(), "no longer has the bytes") {
			t.Errorf("got %v", err)
		}
		if _, err := d.Version("crate", v); err == nil || !strings.Contains(err.Error(), "no longer has the bytes") {
			t.Errorf("got %v", err)
		}
	})
}
