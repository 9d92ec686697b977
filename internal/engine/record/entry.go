package record

import (
	"bytes"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"time"

	"github.com/gowebpki/jcs"
	"golang.org/x/mod/sumdb/tlog"
)

// Entry is one entry of a log.
type Entry struct {
	N        int64
	Previous tlog.Hash // zero for the first entry
	At       time.Time
	Kind     string
	Body     json.RawMessage
}

// written is an entry's form in JSON.
type written struct {
	At       string          `json:"at"`
	Body     json.RawMessage `json:"body"`
	Kind     string          `json:"kind"`
	N        int64           `json:"n"`
	Previous string          `json:"previous"`
}

// MostEntry is the largest entry taken, in bytes.
const MostEntry = 4 << 20

// Encode writes the entry as one line of canonical JSON without its line
// break. Numbers in the body beyond 2⁵³ would be rounded by the canonical form
// and are refused: write them as text.
func (e Entry) Encode() ([]byte, error) {
	if e.N < 0 || e.Kind == "" || len(e.Body) == 0 {
		return nil, fmt.Errorf("record: an entry needs a number, a kind and a body")
	}
	if err := exactNumbers(e.Body); err != nil {
		return nil, err
	}
	w := written{At: e.At.UTC().Format(time.RFC3339), Body: e.Body, Kind: e.Kind, N: e.N}
	if e.N > 0 {
		w.Previous = base64.StdEncoding.EncodeToString(e.Previous[:])
	}
	raw, err := json.Marshal(w)
	if err != nil {
		return nil, fmt.Errorf("record: entry %d: %w", e.N, err)
	}
	line, err := jcs.Transform(raw)
	if err != nil {
		return nil, fmt.Errorf("record: entry %d: %w", e.N, err)
	}
	if len(line) > MostEntry {
		return nil, fmt.Errorf("record: entry %d has %d bytes; at most %d are taken", e.N, len(line), MostEntry)
	}
	return line, nil
}

// exactNumbers refuses numbers that a float64 does not hold.
func exactNumbers(body []byte) error {
	d := json.NewDecoder(bytes.NewReader(body))
	d.UseNumber()
	for {
		t, err := d.Token()
		if err != nil {
			if d.More() || !errors.Is(err, io.EOF) {
				return fmt.Errorf("record: the body is not JSON: %w", err)
			}
			return nil
		}
		if n, ok := t.(json.Number); ok {
			if i, err := n.Int64(); err == nil && (i > 1<<53 || i < -1<<53) {
				return fmt.Errorf("record: number %s is too large to be exact; write it as text", n)
			}
		}
	}
}

// Decode reads one line. It refuses whatever Encode would have written
// otherwise, so that one entry has one form only.
func Decode(line []byte) (Entry, error) {
	if len(line) > MostEntry {
		return Entry{}, fmt.Errorf("record: a line of %d bytes; at most %d are taken", len(line), MostEntry)
	}
	var w written
	d := json.NewDecoder(bytes.NewReader(line))
	d.DisallowUnknownFields()
	if err := d.Decode(&w); err != nil {
		return Entry{}, fmt.Errorf("record: not an entry: %w", err)
	}
	at, err := time.Parse(time.RFC3339, w.At)
	if err != nil {
		return Entry{}, fmt.Errorf("record: not an entry: %w", err)
	}
	e := Entry{N: w.N, At: at, Kind: w.Kind, Body: w.Body}
	if w.Previous != "" {
		raw, err := base64.StdEncoding.DecodeString(w.Previous)
		if err != nil || len(raw) != tlog.HashSize {
			return Entry{}, fmt.Errorf("record: entry %d: previous is no hash", w.N)
		}
		copy(e.Previous[:], raw)
	}
	again, err := e.Encode()
	if err != nil {
		return Entry{}, err
	}
	if !bytes.Equal(again, line) {
		return Entry{}, fmt.Errorf("record: entry %d is not in its canonical form", w.N)
	}
	return e, nil
}
