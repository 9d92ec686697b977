package record

import (
	"encoding/base64"
	"fmt"
	"strconv"
	"strings"

	"golang.org/x/mod/sumdb/note"
	"golang.org/x/mod/sumdb/tlog"
)

// Head is a tree head: how many entries a log has and what they hash to.
type Head struct {
	Origin string
	Size   int64
	Root   tlog.Hash
}

// Text is the head as it is signed.
func (h Head) Text() string {
	return h.Origin + "\n" + strconv.FormatInt(h.Size, 10) + "\n" + base64.StdEncoding.EncodeToString(h.Root[:]) + "\n"
}

// ParseHead reads what Text writes and nothing else.
func ParseHead(text string) (Head, error) {
	lines := strings.Split(text, "\n")
	if len(lines) != 4 || lines[3] != "" || lines[0] == "" {
		return Head{}, fmt.Errorf("record: a tree head has three lines: origin, number of entries, root hash")
	}
	h := Head{Origin: lines[0]}
	size, err := strconv.ParseInt(lines[1], 10, 64)
	if err != nil || size < 0 {
		return Head{}, fmt.Errorf("record: %q is no number of entries", lines[1])
	}
	h.Size = size
	raw, err := base64.StdEncoding.DecodeString(lines[2])
	if err != nil || len(raw) != tlog.HashSize {
		return Head{}, fmt.Errorf("record: %q is no root hash", lines[2])
	}
	copy(h.Root[:], raw)
	if h.Text() != text {
		return Head{}, fmt.Errorf("record: the tree head is not in its canonical form")
	}
	return h, nil
}

// Sign signs the head as a note.
func (h Head) Sign(signer note.Signer) ([]byte, error) {
	return note.Sign(&note.Note{Text: h.Text()}, signer)
}

// OpenHead reads a signed head and checks the signature of the school's key.
func OpenHead(signed []byte, verifier note.Verifier) (Head, error) {
	n, err := note.Open(signed, note.VerifierList(verifier))
	if err != nil {
		return Head{}, fmt.Errorf("record: the tree head's signature: %w", err)
	}
	for _, s := range n.Sigs {
		// The note reader takes stray bits at the end of a signature; one head
		// has one form only.
		if _, err := base64.StdEncoding.Strict().DecodeString(s.Base64); err != nil {
			return Head{}, fmt.Errorf("record: the tree head's signature is not in its canonical form: %w", err)
		}
	}
	return ParseHead(n.Text)
}

// Appended is what a keeper of a log stores for a new entry, all in one
// transaction: the line, the tree's new hashes from index StoredAt on, and the
// head, to be signed.
type Appended struct {
	Entry    Entry
	Line     []byte
	Leaf     tlog.Hash
	StoredAt int64 // index of the first of Hashes in the tree's storage order
	Hashes   []tlog.Hash
	Head     Head
}

// Append makes the next entry of a log with the given head. stored reads the
// tree's hashes by their storage index. The entry's N and Previous are filled
// in here.
func Append(head Head, e Entry, stored tlog.HashReader) (Appended, error) {
	e.N = head.Size
	e.Previous = tlog.Hash{}
	if e.N > 0 {
		last, err := stored.ReadHashes([]int64{tlog.StoredHashIndex(0, e.N-1)})
		if err != nil {
			return Appended{}, fmt.Errorf("record: reading the last entry's hash: %w", err)
		}
		e.Previous = last[0]
	}
	line, err := e.Encode()
	if err != nil {
		return Appended{}, err
	}
	hashes, err := tlog.StoredHashes(e.N, line, stored)
	if err != nil {
		return Appended{}, fmt.Errorf("record: hashing entry %d: %w", e.N, err)
	}
	a := Appended{
		Entry: e, Line: line, Leaf: tlog.RecordHash(line), StoredAt: tlog.StoredHashIndex(0, e.N), Hashes: hashes,
		Head: Head{Origin: head.Origin, Size: e.N + 1},
	}
	with := tlog.HashReaderFunc(func(indexes []int64) ([]tlog.Hash, error) {
		out := make([]tlog.Hash, len(indexes))
		for i, x := range indexes {
			if k := x - a.StoredAt; k >= 0 && k < int64(len(hashes)) {
				out[i] = hashes[k]
				continue
			}
			old, err := stored.ReadHashes([]int64{x})
			if err != nil {
				return nil, err
			}
			out[i] = old[0]
		}
		return out, nil
	})
	a.Head.Root, err = tlog.TreeHash(a.Head.Size, with)
	if err != nil {
		return Appended{}, fmt.Errorf("record: hashing the tree of %d entries: %w", a.Head.Size, err)
	}
	return a, nil
}

// ShortHash is what a printed record shows of its entry's hash: the first 16
// hexadecimal digits of its leaf hash, in groups of four.
func ShortHash(h tlog.Hash) string {
	s := fmt.Sprintf("%x", h[:8])
	return s[0:4] + " " + s[4:8] + " " + s[8:12] + " " + s[12:16]
}
