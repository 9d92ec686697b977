package app

import (
	"bytes"
	"context"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"golang.org/x/mod/sumdb/note"
	"golang.org/x/mod/sumdb/tlog"

	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/record"
)

// Logged is an entry of the log of sealed records as a [RecordKeeper] has it.
// It is a plain struct, so that a keeper need not know this package.
type Logged = struct {
	N       int64
	Line    []byte
	Leaf    [32]byte
	Kind    string
	At      time.Time
	About   int64 // the entry that it speaks of; −1 for none
	Subject string
}

// RecordKeeper keeps the school's one log of sealed records.
type RecordKeeper interface {
	Seal(ctx context.Context, kind string, body json.RawMessage, about int64, subject string) (record.Appended, error)
	LogKey(ctx context.Context) (verifier, origin string, err error)
	LogHead(ctx context.Context, size int64) (signed []byte, err error)
	LogEntry(ctx context.Context, n int64) (Logged, error)
	LogEntries(ctx context.Context, before int64, most int) ([]Logged, error)
	LogAbout(ctx context.Context, n int64) ([]Logged, error)
	LogCopy(ctx context.Context) ([]byte, error)
	VerifyLog(ctx context.Context, known ...record.Head) (record.Head, error)
}

// The kinds of entry in the log.
const (
	EntryInspection = "inspection"
	EntryLapse      = "lapse"
	EntryCorrection = "correction"
	EntryRefusal    = "refusal"
	EntryCommitment = "key-commitment" // to the key of a version of a lane
)

// SealedEntry is one sealed record, decoded.
type SealedEntry struct {
	Logged
	Body json.RawMessage
}

// Short is the record's hash as it is printed on paper.
func (e *SealedEntry) Short() string { return record.ShortHash(tlog.Hash(e.Leaf)) }

// Mark is what a printed record's QR code holds: the log, the number and the
// hash of the entry.
func (e *SealedEntry) Mark(origin string) string {
	return fmt.Sprintf("hangtrue-record:%s:%d:%s", origin, e.N, hex.EncodeToString(e.Leaf[:]))
}

func opened(x Logged) (SealedEntry, error) {
	d, err := record.Decode(x.Line)
	return SealedEntry{x, d.Body}, err
}

// Record returns one sealed record and what later records say about it.
func (s *School) Record(ctx context.Context, by *people.Person, n int64) (SealedEntry, []SealedEntry, error) {
	if err := need(by, people.SeeRecords); err != nil {
		return SealedEntry{}, nil, err
	}
	x, err := s.keeper.LogEntry(ctx, n)
	if err != nil {
		return SealedEntry{}, nil, err
	}
	e, err := opened(x)
	if err != nil {
		return SealedEntry{}, nil, err
	}
	about, err := s.keeper.LogAbout(ctx, n)
	if err != nil {
		return SealedEntry{}, nil, err
	}
	var later []SealedEntry
	for _, a := range about {
		l, err := opened(a)
		if err != nil {
			return SealedEntry{}, nil, err
		}
		later = append(later, l)
	}
	return e, later, nil
}

// Records lists records before a number, newest first; from the newest for −1.
func (s *School) Records(ctx context.Context, by *people.Person, before int64, most int) ([]SealedEntry, error) {
	if err := need(by, people.SeeRecords); err != nil {
		return nil, err
	}
	list, err := s.keeper.LogEntries(ctx, before, most)
	if err != nil {
		return nil, err
	}
	var out []SealedEntry
	for _, x := range list {
		e, err := opened(x)
		if err != nil {
			return nil, err
		}
		out = append(out, e)
	}
	return out, nil
}

// about makes a body that points at an entry by number and hash.
func (s *School) about(ctx context.Context, n int64, body map[string]any) (json.RawMessage, error) {
	if n >= 0 {
		x, err := s.keeper.LogEntry(ctx, n)
		if err != nil {
			return nil, err
		}
		body["entry"], body["entry_leaf"] = n, hex.EncodeToString(x.Leaf[:])
	}
	return json.Marshal(body)
}

// Correct adds a correction that points at a record; the record stays. Who
// signed it corrects it, or a chief instructor.
func (s *School) Correct(ctx context.Context, by *people.Person, n int64, text string) (record.Appended, error) {
	text, err := checkedText("text", "the correction", text, 1, 4*mostText)
	if err := errors.Join(need(by, people.SeeRecords), err); err != nil {
		return record.Appended{}, err
	}
	e, _, err := s.Record(ctx, by, n)
	if err != nil {
		return record.Appended{}, err
	}
	var signed struct {
		Inspector struct {
			ID string `json:"id"`
		} `json:"inspector"`
		By struct {
			ID string `json:"id"`
		} `json:"by"`
	}
	if err := json.Unmarshal(e.Body, &signed); err != nil {
		return record.Appended{}, fmt.Errorf("app: record %d: %w", n, err)
	}
	if signed.Inspector.ID != by.ID && signed.By.ID != by.ID && !by.Is(people.Chief) {
		return record.Appended{}, &NotAllowed{people.ManagePeople}
	}
	body, err := s.about(ctx, n, map[string]any{"text": text, "by": signerOf(by)})
	if err != nil {
		return record.Appended{}, err
	}
	return s.keeper.Seal(ctx, EntryCorrection, body, n, e.Subject)
}

// RefuseLoad records that a pilot refuses a load. No reason is needed, and who
// refuses is named as they wish. inspection may be "".
func (s *School) RefuseLoad(ctx context.Context, by *people.Person, load, inspectionID, who, text string) (record.Appended, error) {
	load, e1 := checkedText("load", "the load", load, 1, mostText)
	who, e2 := checkedText("who", "who refuses", who, 0, mostName)
	text, e3 := checkedText("text", "the remark", text, 0, mostText)
	if err := errors.Join(need(by, people.Refuse), e1, e2, e3); err != nil {
		return record.Appended{}, err
	}
	n := int64(-1)
	if inspectionID != "" {
		x, err := s.keeper.Inspection(ctx, inspectionID)
		if err != nil {
			return record.Appended{}, err
		}
		n = x.Entry
	}
	body, err := s.about(ctx, n, map[string]any{"load": load, "inspection": inspectionID, "refused_by": who, "text": text, "by": signerOf(by)})
	if err != nil {
		return record.Appended{}, err
	}
	return s.keeper.Seal(ctx, EntryRefusal, body, n, inspectionID)
}

// LogCopy returns a copy of the whole log, to be kept elsewhere.
func (s *School) LogCopy(ctx context.Context, by *people.Person) ([]byte, error) {
	if err := need(by, people.SeeRecords); err != nil {
		return nil, err
	}
	return s.keeper.LogCopy(ctx)
}

// LogHead returns the newest signed head, to be kept elsewhere, and the key that
// it is checked with.
func (s *School) LogHead(ctx context.Context, by *people.Person) (signed []byte, key, origin string, err error) {
	if err := need(by, people.SeeRecords); err != nil {
		return nil, "", "", err
	}
	if key, origin, err = s.keeper.LogKey(ctx); err != nil {
		return nil, "", "", err
	}
	signed, err = s.keeper.LogHead(ctx, -1)
	return signed, key, origin, err
}

// VerifyLog checks the log as it is kept against heads that were kept elsewhere.
func (s *School) VerifyLog(ctx context.Context, by *people.Person, heads ...[]byte) (record.Head, error) {
	if err := need(by, people.SeeRecords); err != nil {
		return record.Head{}, err
	}
	key, _, err := s.keeper.LogKey(ctx)
	if err != nil {
		return record.Head{}, err
	}
	known, err := openHeads(key, heads)
	if err != nil {
		return record.Head{}, err
	}
	return s.keeper.VerifyLog(ctx, known...)
}

func openHeads(key string, heads [][]byte) ([]record.Head, error) {
	v, err := note.NewVerifier(strings.TrimSpace(key))
	if err != nil {
		return nil, fmt.Errorf("app: the log's key: %w", err)
	}
	var known []record.Head
	for _, signed := range heads {
		h, err := record.OpenHead(signed, v)
		if err != nil {
			return nil, err
		}
		known = append(known, h)
	}
	return known, nil
}

// VerifyRecords checks a copy of a log, as LogCopy wrote it, with the school's
// key and heads that were kept elsewhere. A fault is a *record.Fault that names
// the first entry that is not as it was sealed.
func VerifyRecords(data []byte, key string, heads ...[]byte) (record.Head, error) {
	known, err := openHeads(key, heads)
	if err != nil {
		return record.Head{}, err
	}
	v, err := note.NewVerifier(strings.TrimSpace(key))
	if err != nil {
		return record.Head{}, fmt.Errorf("app: the log's key: %w", err)
	}
	return record.VerifyCopy(data, v, known...)
}

// VerifyMark checks a printed record's mark, as [SealedEntry.Mark] wrote it, against a
// copy of the log that was verified: the entry with its number must have its
// hash.
func VerifyMark(data []byte, mark string) (SealedEntry, error) {
	parts := strings.Split(mark, ":")
	var n int64
	if len(parts) != 4 || parts[0] != "hangtrue-record" {
		return SealedEntry{}, fmt.Errorf("app: %.60q is no mark of a record", mark)
	}
	if _, err := fmt.Sscan(parts[2], &n); err != nil || n < 0 {
		return SealedEntry{}, fmt.Errorf("app: %.60q is no mark of a record", mark)
	}
	lines := bytes.Split(data, []byte("\n"))
	if n >= int64(len(lines)) || len(lines[n]) == 0 {
		return SealedEntry{}, &record.Fault{Entry: n, UpTo: n, Text: "removed, or not yet in this copy"}
	}
	leaf := tlog.RecordHash(lines[n])
	if hex.EncodeToString(leaf[:]) != parts[3] {
		return SealedEntry{}, &record.Fault{Entry: n, UpTo: n, Text: "altered: what the paper says was sealed has another hash"}
	}
	d, err := record.Decode(lines[n])
	return SealedEntry{Logged{N: n, Line: lines[n], Leaf: leaf, Kind: d.Kind, At: d.At, About: -1}, d.Body}, err
}
