package record

import (
	"bytes"
	"fmt"

	"golang.org/x/mod/sumdb/note"
	"golang.org/x/mod/sumdb/tlog"
)

// Fault is the first thing wrong with a log. Entry is the number of the first
// entry that is not as it was sealed, counted from 0; −1 where that cannot be
// told. Where the hashes only tell that it is one of several, UpTo is the last
// it may be, and is Entry otherwise.
type Fault struct {
	Entry int64
	UpTo  int64
	Text  string
}

func at(n int64, format string, args ...any) *Fault {
	return &Fault{n, n, fmt.Sprintf(format, args...)}
}

func (f *Fault) Error() string {
	if f.Entry < 0 {
		return "record: " + f.Text
	}
	if f.UpTo > f.Entry {
		return fmt.Sprintf("record: one of the entries %d to %d: %s", f.Entry, f.UpTo, f.Text)
	}
	return fmt.Sprintf("record: entry %d: %s", f.Entry, f.Text)
}

// memory holds a tree's hashes while a copy is verified.
type memory []tlog.Hash

// ReadHashes gives hashes by their storage index.
func (m *memory) ReadHashes(indexes []int64) ([]tlog.Hash, error) {
	out := make([]tlog.Hash, len(indexes))
	for i, x := range indexes {
		if x < 0 || x >= int64(len(*m)) {
			return nil, fmt.Errorf("record: there is no hash %d", x)
		}
		out[i] = (*m)[x]
	}
	return out, nil
}

// VerifyEntries walks the entries in order and returns the head that they
// make. known are heads that are trusted from elsewhere, of any sizes; where a
// part of the log up to one of them does not hash to it, that is a fault. The
// first fault ends the walk and names the first entry that was altered,
// removed or put elsewhere, as far as the hashes tell.
func VerifyEntries(origin string, lines [][]byte, known ...Head) (Head, error) {
	h := Head{Origin: origin}
	var stored memory
	var previous tlog.Hash
	for i, line := range lines {
		n := int64(i)
		e, err := Decode(line)
		if err != nil {
			return h, at(n, "altered: %v", err)
		}
		switch {
		case e.N > n:
			return h, at(n, "removed, or put elsewhere: entry %d stands in its place", e.N)
		case e.N < n:
			return h, at(n, "put elsewhere: entry %d stands in its place", e.N)
		case n > 0 && e.Previous != previous:
			if !soundAfter(lines, n, e.Previous, known) {
				return h, at(n, "altered: it does not name the entry before it")
			}
			return h, at(n-1, "altered: entry %d was sealed after another one than what stands here", n)
		case n == 0 && e.Previous != tlog.Hash{}:
			return h, at(0, "altered: the first entry names one before it")
		}
		hashes, err := tlog.StoredHashes(n, line, &stored)
		if err != nil {
			return h, err
		}
		stored = append(stored, hashes...)
		previous = tlog.RecordHash(line)
		h.Size = n + 1
		for _, k := range known {
			if k.Size != h.Size {
				continue
			}
			root, err := tlog.TreeHash(h.Size, &stored)
			if err != nil {
				return h, err
			}
			if root != k.Root {
				return h, &Fault{lastAgreeing(known, h.Size), n, fmt.Sprintf("altered: the trusted head of %d entries was made of others", k.Size)}
			}
		}
	}
	for _, k := range known {
		if k.Size > h.Size {
			return h, at(h.Size, "removed: the trusted head counts %d entries and there are %d", k.Size, h.Size)
		}
	}
	var err error
	h.Root, err = tlog.TreeHash(h.Size, &stored)
	return h, err
}

// soundAfter decides, where entry n does not name the entry before it, whether
// entry n is sound, so that the one before it was altered: it is, when the next
// entry names it, or, for the last entry, when a trusted head of the whole log
// comes out with the leaf that entry n names in the place before it.
func soundAfter(lines [][]byte, n int64, named tlog.Hash, known []Head) bool {
	if n+1 < int64(len(lines)) {
		next, err := Decode(lines[n+1])
		return err == nil && next.Previous == tlog.RecordHash(lines[n])
	}
	var stored memory
	for i, line := range lines {
		leaf := tlog.RecordHash(line)
		if int64(i) == n-1 {
			leaf = named
		}
		hashes, err := tlog.StoredHashesForRecordHash(int64(i), leaf, &stored)
		if err != nil {
			return false
		}
		stored = append(stored, hashes...)
	}
	root, err := tlog.TreeHash(int64(len(lines)), &stored)
	if err != nil {
		return false
	}
	for _, k := range known {
		if k.Size == int64(len(lines)) && k.Root == root {
			return true
		}
	}
	return false
}

// lastAgreeing is the first entry after the largest trusted head below size:
// up to there everything has been checked.
func lastAgreeing(known []Head, size int64) int64 {
	var n int64
	for _, k := range known {
		if k.Size < size {
			n = max(n, k.Size)
		}
	}
	return n
}

// Copy writes a copy of a log: its entries and its signed head.
func Copy(lines [][]byte, signed []byte) []byte {
	var out bytes.Buffer
	for _, l := range lines {
		out.Write(l)
		out.WriteByte('\n')
	}
	out.WriteByte('\n')
	out.Write(signed)
	return out.Bytes()
}

// VerifyCopy checks a copy of a log against the school's key and against heads
// trusted from elsewhere, and returns its head.
func VerifyCopy(data []byte, verifier note.Verifier, known ...Head) (Head, error) {
	body, signed, found := bytes.Cut(data, []byte("\n\n"))
	if bytes.HasPrefix(data, []byte("\n")) { // a log without entries
		body, signed, found = nil, data[1:], true
	}
	if !found {
		return Head{}, at(-1, "the copy has no tree head after its entries")
	}
	var lines [][]byte
	if len(body) > 0 {
		lines = bytes.Split(body, []byte("\n"))
	}
	own, err := OpenHead(signed, verifier)
	if err != nil {
		return Head{}, at(-1, "%v", err)
	}
	return VerifyEntries(own.Origin, lines, append(known[:len(known):len(known)], own)...)
}
