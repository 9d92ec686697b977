package store

import (
	"context"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"time"

	"golang.org/x/mod/sumdb/note"
	"golang.org/x/mod/sumdb/tlog"

	"hangtrue/internal/engine/calendar"
	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/record"
)

// startLog makes the key and the empty head of the school's log, once.
func (s *Store) startLog(ctx context.Context) error {
	return s.write(ctx, func(t *tx) error {
		var origin string
		found, err := t.one(`SELECT origin FROM log_key`, nil, &origin)
		if err != nil || found {
			return err
		}
		var mark [6]byte
		if _, err := io.ReadFull(s.opts.Random, mark[:]); err != nil {
			return err
		}
		name := "school-" + hex.EncodeToString(mark[:])
		private, public, err := note.GenerateKey(s.opts.Random, name)
		if err != nil {
			return err
		}
		origin = name + "/records"
		if _, err := t.exec(`INSERT INTO log_key (one, origin, private, public, made) VALUES (1, ?, ?, ?, ?)`, origin, private, public, stamp(s.now())); err != nil {
			return err
		}
		root, err := tlog.TreeHash(0, nil)
		if err != nil {
			return err
		}
		return t.putHead(record.Head{Origin: origin, Root: root}, private)
	})
}

func (t *tx) putHead(h record.Head, private string) error {
	signer, err := note.NewSigner(private)
	if err != nil {
		return fmt.Errorf("store: the log's key: %w", err)
	}
	signed, err := h.Sign(signer)
	if err != nil {
		return fmt.Errorf("store: sign the tree head: %w", err)
	}
	_, err = t.exec(`INSERT INTO log_head (size, signed) VALUES (?, ?)`, h.Size, signed)
	return err
}

// head is the log's newest head, its signature checked, and the private key.
func (t *tx) head() (h record.Head, private string, err error) {
	var public string
	var signed []byte
	found, err := t.one(`SELECT k.private, k.public, h.signed FROM log_key k, log_head h ORDER BY h.size DESC LIMIT 1`, nil, &private, &public, &signed)
	if err == nil && !found {
		err = fmt.Errorf("store: the log has no key or no head")
	}
	if err != nil {
		return h, "", err
	}
	v, err := note.NewVerifier(public)
	if err != nil {
		return h, "", fmt.Errorf("store: the log's key: %w", err)
	}
	h, err = record.OpenHead(signed, v)
	return h, private, err
}

// ReadHashes gives the tree's hashes by their storage index.
func (t *tx) ReadHashes(indexes []int64) ([]tlog.Hash, error) {
	out := make([]tlog.Hash, len(indexes))
	for i, x := range indexes {
		var h []byte
		found, err := t.one(`SELECT hash FROM log_hash WHERE i = ?`, []any{x}, &h)
		if err == nil && (!found || len(h) != tlog.HashSize) {
			err = damage("hash %d of the log is missing or damaged", x)
		}
		if err != nil {
			return nil, err
		}
		copy(out[i][:], h)
	}
	return out, nil
}

// seal adds an entry: line, hashes and signed head in the one transaction.
func (s *Store) seal(t *tx, kind string, body json.RawMessage, about int64, subject string) (record.Appended, error) {
	head, private, err := t.head()
	if err != nil {
		return record.Appended{}, err
	}
	a, err := record.Append(head, record.Entry{At: s.now().Truncate(time.Second), Kind: kind, Body: body}, t)
	if err != nil {
		return record.Appended{}, err
	}
	_, err = t.exec(`INSERT INTO log_entry (n, line, leaf, kind, at, about, subject) VALUES (?, ?, ?, ?, ?, ?, ?)`,
		a.Entry.N, a.Line, a.Leaf[:], kind, stamp(a.Entry.At), about, subject)
	if err != nil {
		return record.Appended{}, err
	}
	for i, h := range a.Hashes {
		if _, err := t.exec(`INSERT INTO log_hash (i, hash) VALUES (?, ?)`, a.StoredAt+int64(i), h[:]); err != nil {
			return record.Appended{}, err
		}
	}
	return a, t.putHead(a.Head, private)
}

// The kinds of entry that the store itself makes something of.
const (
	entryInspection = "inspection"
	entryLapse      = "lapse"
)

// Seal adds an entry of any kind to the log. about is the number of the entry
// that it corrects or speaks of, −1 for none; subject finds it again.
func (s *Store) Seal(ctx context.Context, kind string, body json.RawMessage, about int64, subject string) (record.Appended, error) {
	var a record.Appended
	err := s.write(ctx, func(t *tx) error {
		if about >= 0 {
			var k string
			found, err := t.one(`SELECT kind FROM log_entry WHERE n = ?`, []any{about}, &k)
			if err == nil && !found {
				err = absent("the log has no entry %d", about)
			}
			if err != nil {
				return err
			}
		}
		var err error
		a, err = s.seal(t, kind, body, about, subject)
		return err
	})
	return a, err
}

// SealInspection signs a finished inspection: its record goes into the log, and
// the inspection takes nothing more. seq is the last event that the signer has
// seen; inspection.ErrMoved where there are later ones. items are the equipment on the load,
// in use from that day on; the signer's qualification as inspector counts as
// used on it.
func (s *Store) SealInspection(ctx context.Context, id string, seq int64, body json.RawMessage, items []string, on calendar.Day) (record.Appended, error) {
	var a record.Appended
	err := s.write(ctx, func(t *tx) error {
		x, err := t.inspection(id)
		switch {
		case err != nil:
			return err
		case x.Phase == inspection.Signed:
			return fmt.Errorf("store: the inspection is signed already, as entry %d: %w", x.Entry, inspection.ErrEnded)
		case x.Phase != inspection.Finished || x.Seq != seq:
			return inspection.ErrMoved
		}
		if a, err = s.seal(t, entryInspection, body, -1, id); err != nil {
			return err
		}
		if _, err := t.exec(`UPDATE inspection SET phase = ?, entry = ?, signed = ? WHERE id = ?`, string(inspection.Signed), a.Entry.N, stamp(s.now()), id); err != nil {
			return err
		}
		if err := t.use(id, items, on); err != nil {
			return err
		}
		return t.usedQualification(x.By, people.AsInspector, on)
	})
	return a, err
}

// SealLapse records that a signed inspection's signature no longer counts, once.
func (s *Store) SealLapse(ctx context.Context, id, why string, body json.RawMessage) (record.Appended, error) {
	var a record.Appended
	err := s.write(ctx, func(t *tx) error {
		x, err := t.inspection(id)
		switch {
		case err != nil:
			return err
		case x.Phase != inspection.Signed:
			return fmt.Errorf("store: the inspection is %s, and only a signature can lapse: %w", x.Phase, inspection.ErrEnded)
		case x.Lapsed != "":
			return fmt.Errorf("store: the signature has lapsed already (%s): %w", x.Lapsed, inspection.ErrEnded)
		}
		if a, err = s.seal(t, entryLapse, body, x.Entry, id); err != nil {
			return err
		}
		_, err = t.exec(`UPDATE inspection SET lapsed = ?, lapsed_at = ? WHERE id = ?`, why, stamp(s.now()), id)
		return err
	})
	return a, err
}

// LogKey returns the key that heads are checked with, and the log's origin.
func (s *Store) LogKey(ctx context.Context) (verifier, origin string, err error) {
	err = s.read(ctx, func(t *tx) error {
		_, err := t.one(`SELECT public, origin FROM log_key`, nil, &verifier, &origin)
		return err
	})
	return verifier, origin, err
}

// LogHead returns the log's signed head of a size; the newest for −1.
func (s *Store) LogHead(ctx context.Context, size int64) (signed []byte, err error) {
	err = s.read(ctx, func(t *tx) error {
		found, err := t.one(`SELECT signed FROM log_head WHERE size = ? OR ? = 1 ORDER BY size DESC LIMIT 1`, []any{size, number01(size < 0)}, &signed)
		if err == nil && !found {
			err = absent("the log had no head of %d entries", size)
		}
		return err
	})
	return signed, err
}

// Logged is an entry as the log has it.
type Logged = struct {
	N       int64
	Line    []byte
	Leaf    [32]byte
	Kind    string
	At      time.Time
	About   int64 // the entry that it speaks of; −1 for none
	Subject string
}

const selectEntry = `SELECT n, line, leaf, kind, at, about, subject FROM log_entry WHERE `

func (t *tx) entries(where string, args ...any) ([]Logged, error) {
	var out []Logged
	err := t.each(selectEntry+where, args, func(scan func(...any) error) error {
		var x Logged
		var leaf []byte
		err := scan(&x.N, &x.Line, &leaf, &x.Kind, clock{&x.At}, &x.About, &x.Subject)
		copy(x.Leaf[:], leaf)
		out = append(out, x)
		if err == nil && tlog.RecordHash(x.Line) != x.Leaf {
			err = damage("record %d no longer has the bytes that were sealed", x.N)
		}
		return err
	})
	return out, err
}

// LogEntry returns one entry.
func (s *Store) LogEntry(ctx context.Context, n int64) (Logged, error) {
	var out []Logged
	err := s.read(ctx, func(t *tx) (err error) {
		out, err = t.entries(`n = ?`, n)
		return err
	})
	if err == nil && len(out) == 0 {
		err = absent("the log has no entry %d", n)
	}
	if err != nil {
		return Logged{}, err
	}
	return out[0], nil
}

// LogEntries lists at most so many entries before a number, newest first; from
// the newest for −1.
func (s *Store) LogEntries(ctx context.Context, before int64, most int) (out []Logged, err error) {
	err = s.read(ctx, func(t *tx) (err error) {
		out, err = t.entries(`n < ? OR ? = 1 ORDER BY n DESC LIMIT ?`, before, number01(before < 0), int64(most))
		return err
	})
	return out, err
}

// LogAbout lists the entries that speak of an entry, in order: what it was
// corrected by, when its signature lapsed.
func (s *Store) LogAbout(ctx context.Context, n int64) (out []Logged, err error) {
	err = s.read(ctx, func(t *tx) (err error) {
		out, err = t.entries(`about = ? ORDER BY n`, n)
		return err
	})
	return out, err
}

// LogCopy returns a copy of the whole log as package record writes it: every
// entry and the newest head.
func (s *Store) LogCopy(ctx context.Context) ([]byte, error) {
	var lines [][]byte
	var signed []byte
	err := s.read(ctx, func(t *tx) error {
		if _, err := t.one(`SELECT signed FROM log_head ORDER BY size DESC LIMIT 1`, nil, &signed); err != nil {
			return err
		}
		return t.each(`SELECT line FROM log_entry ORDER BY n`, nil, func(scan func(...any) error) error {
			var line []byte
			err := scan(&line)
			lines = append(lines, line)
			return err
		})
	})
	if err != nil {
		return nil, err
	}
	return record.Copy(lines, signed), nil
}

// VerifyLog checks the whole log, as it is kept here, against its own key and
// against heads that are trusted from elsewhere. A fault is a *record.Fault that names the first entry
// that is not as it was sealed.
func (s *Store) VerifyLog(ctx context.Context, known ...record.Head) (record.Head, error) {
	public, _, err := s.LogKey(ctx)
	if err != nil {
		return record.Head{}, err
	}
	v, err := note.NewVerifier(public)
	if err != nil {
		return record.Head{}, fmt.Errorf("store: the log's key: %w", err)
	}
	log, err := s.LogCopy(ctx)
	if err != nil {
		return record.Head{}, err
	}
	// Every head that was ever signed is still one that the log must meet.
	err = s.read(ctx, func(t *tx) error {
		return t.each(`SELECT signed FROM log_head ORDER BY size`, nil, func(scan func(...any) error) error {
			var signed []byte
			if err := scan(&signed); err != nil {
				return err
			}
			h, err := record.OpenHead(signed, v)
			known = append(known[:len(known):len(known)], h)
			return err
		})
	})
	if err != nil {
		return record.Head{}, err
	}
	return record.VerifyCopy(log, v, known...)
}
