package store

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// Kept is one version of a document: the SHA-256 of its bytes in hexadecimal,
// when it was last made the current one, and when a sheet was last printed from
// it (zero if never).
type Kept = struct {
	Version string
	At      time.Time
	Printed time.Time
}

// Rigs is the kind of document that a rig is.
const Rigs = "rigs"

// Shelf keeps documents of one kind by name, with every version of each.
type Shelf struct {
	store  *Store
	kind   string
	person string
	ctx    context.Context
}

// Shelf is the shelf of a kind of documents.
func (s *Store) Shelf(kind string) (*Shelf, error) {
	if err := checkName(kind); err != nil {
		return nil, err
	}
	return &Shelf{store: s, kind: kind, ctx: context.Background()}, nil
}

// As is the same shelf with a person, by id, who is noted with what is saved.
func (d *Shelf) As(ctx context.Context, person string) *Shelf {
	return &Shelf{store: d.store, kind: d.kind, person: person, ctx: ctx}
}

func hash(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// checkName refuses what could be no file's name on some system, so that every
// document can be written to a folder and read back.
func checkName(name string) error {
	ok := name != "" && len(name) <= 120 && utf8.ValidString(name) && name[0] != '.' && name[0] != ' ' &&
		!strings.ContainsAny(name, `/\:*?"<>|`) && !strings.HasSuffix(name, ".") && !strings.HasSuffix(name, " ") &&
		!strings.ContainsFunc(name, func(r rune) bool { return !unicode.IsPrint(r) })
	if !ok {
		return absent("%q can be no name", name)
	}
	return nil
}

// Names lists the documents in order.
func (d *Shelf) Names() ([]string, error) {
	var names []string
	err := d.store.read(d.ctx, func(t *tx) error {
		return t.each(`SELECT name FROM document WHERE kind = ?`, []any{d.kind}, func(scan func(...any) error) error {
			var n string
			err := scan(&n)
			names = append(names, n)
			return err
		})
	})
	slices.Sort(names) // here, as databases order letters differently
	return names, err
}

// current is the version that is current in a transaction; "" for none.
func (d *Shelf) current(t *tx, name string) (string, error) {
	var version string
	_, err := t.one(`SELECT version FROM document WHERE kind = ? AND name = ?`, []any{d.kind, name}, &version)
	return version, err
}

// Current returns the bytes of the current version.
func (d *Shelf) Current(name string) ([]byte, error) {
	if err := checkName(name); err != nil {
		return nil, err
	}
	var data []byte
	err := d.store.read(d.ctx, func(t *tx) error {
		var version string
		found, err := t.one(`SELECT c.hash, c.bytes FROM document d JOIN content c ON c.hash = d.version WHERE d.kind = ? AND d.name = ?`, []any{d.kind, name}, &version, &data)
		if err == nil && !found {
			err = absent("%s has no %q", d.kind, name)
		}
		if err == nil && hash(data) != version {
			err = damage("version %.8s of %s no longer has the bytes that it is named by", version, name)
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	return data, nil
}

// Version returns the bytes of a version. Bytes that no longer match their
// name are an error.
func (d *Shelf) Version(name, version string) ([]byte, error) {
	if err := checkName(name); err != nil {
		return nil, err
	}
	var data []byte
	err := d.store.read(d.ctx, func(t *tx) error {
		found, err := t.one(`SELECT c.bytes FROM document_version v JOIN content c ON c.hash = v.version WHERE v.kind = ? AND v.name = ? AND v.version = ?`,
			[]any{d.kind, name, version}, &data)
		if err == nil && !found {
			err = absent("%s has no version %.8s of %q", d.kind, version, name)
		}
		return err
	})
	if err == nil && hash(data) != version {
		err = damage("version %.8s of %s no longer has the bytes that it is named by", version, name)
	}
	if err != nil {
		return nil, err
	}
	return data, nil
}

// Versions lists what is kept, the current one first, then the newest.
func (d *Shelf) Versions(name string) ([]Kept, error) {
	if err := checkName(name); err != nil {
		return nil, err
	}
	var kept []Kept
	err := d.store.read(d.ctx, func(t *tx) error {
		current, err := d.current(t, name)
		if err != nil {
			return err
		}
		if current == "" {
			return absent("%s has no %q", d.kind, name)
		}
		err = t.each(`SELECT version, at, printed FROM document_version WHERE kind = ? AND name = ? ORDER BY at DESC, version`, []any{d.kind, name},
			func(scan func(...any) error) error {
				var k Kept
				err := scan(&k.Version, clock{&k.At}, clock{&k.Printed})
				kept = append(kept, k)
				return err
			})
		if err != nil {
			return err
		}
		i := slices.IndexFunc(kept, func(k Kept) bool { return k.Version == current })
		if i < 0 {
			return fmt.Errorf("store: %s %q: its current version is not among those kept", d.kind, name)
		}
		now := kept[i]
		kept = slices.Insert(slices.Delete(kept, i, i+1), 0, now)
		return nil
	})
	if err != nil {
		return nil, err
	}
	return kept, nil
}

// Save makes data the current version, if the current one is the one named by
// on ("" where there must be no such document). Otherwise nothing changes,
// saved is false and current names the version that is there.
func (d *Shelf) Save(name, on string, data []byte) (current string, saved bool, err error) {
	if err := checkName(name); err != nil {
		return "", false, err
	}
	if len(data) > d.store.opts.Most {
		return "", false, fmt.Errorf("store: save %s: it has %d bytes, and at most %d are kept", name, len(data), d.store.opts.Most)
	}
	err = d.store.write(d.ctx, func(t *tx) error {
		var err error
		if current, err = d.current(t, name); err != nil || current != on {
			return err
		}
		saved = true
		current, err = d.put(t, name, on, data)
		return err
	})
	if err != nil {
		return "", false, err
	}
	return current, saved, nil
}

// put makes data the current version in a transaction; was is the one before.
func (d *Shelf) put(t *tx, name, was string, data []byte) (string, error) {
	h := hash(data)
	if h == was {
		return h, nil
	}
	if data == nil {
		data = []byte{}
	}
	if _, err := t.exec(`INSERT INTO content (hash, bytes) VALUES (?, ?) ON CONFLICT (hash) DO NOTHING`, h, data); err != nil {
		return "", err
	}
	if _, err := t.exec(`INSERT INTO document (kind, name, version) VALUES (?, ?, ?) ON CONFLICT (kind, name) DO UPDATE SET version = excluded.version`, d.kind, name, h); err != nil {
		return "", err
	}
	// Two versions made in one millisecond would have no order.
	at := d.store.now()
	var newest time.Time
	if _, err := t.one(`SELECT COALESCE(MAX(at), '') FROM document_version WHERE kind = ? AND name = ?`, []any{d.kind, name}, clock{&newest}); err != nil {
		return "", err
	}
	if !at.After(newest) {
		at = newest.Add(time.Millisecond)
	}
	_, err := t.exec(`INSERT INTO document_version (kind, name, version, at, person) VALUES (?, ?, ?, ?, ?)
		ON CONFLICT (kind, name, version) DO UPDATE SET at = excluded.at, person = excluded.person`, d.kind, name, h, stamp(at), d.person)
	return h, err
}

// Print notes that a sheet was printed from a version.
func (d *Shelf) Print(name, version string) error {
	if err := checkName(name); err != nil {
		return err
	}
	return d.store.write(d.ctx, func(t *tx) error {
		n, err := t.exec(`UPDATE document_version SET printed = ? WHERE kind = ? AND name = ? AND version = ?`, stamp(d.store.now()), d.kind, name, version)
		if err == nil && n == 0 {
			err = absent("%s has no version %.8s of %q", d.kind, version, name)
		}
		return err
	})
}

// Authors says for each version of a document which person, by id, last made it
// the current one; "" where nobody was signed in.
func (d *Shelf) Authors(name string) (map[string]string, error) {
	if err := checkName(name); err != nil {
		return nil, err
	}
	out := map[string]string{}
	err := d.store.read(d.ctx, func(t *tx) error {
		return t.each(`SELECT version, person FROM document_version WHERE kind = ? AND name = ?`, []any{d.kind, name}, func(scan func(...any) error) error {
			var version, person string
			err := scan(&version, &person)
			out[version] = person
			return err
		})
	})
	if err == nil && len(out) == 0 {
		err = absent("%s has no %q", d.kind, name)
	}
	return out, err
}
