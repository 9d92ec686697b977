package record

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"testing"
	"time"

	"github.com/transparency-dev/merkle/compact"
	"github.com/transparency-dev/merkle/rfc6962"
	"golang.org/x/mod/sumdb/note"
	"golang.org/x/mod/sumdb/tlog"
)

// keys makes a key pair from fixed bytes, so that runs are alike.
func keys(t testing.TB) (note.Signer, note.Verifier) {
	t.Helper()
	private, public, err := note.GenerateKey(bytes.NewReader(bytes.Repeat([]byte{7}, 64)), "school.example")
	if err != nil {
		t.Fatal(err)
	}
	s, err := note.NewSigner(private)
	if err != nil {
		t.Fatal(err)
	}
	v, err := note.NewVerifier(public)
	if err != nil {
		t.Fatal(err)
	}
	return s, v
}

// grow appends n entries and returns their lines and the heads after each.
func grow(t testing.TB, n int) (lines [][]byte, heads []Head, stored memory) {
	t.Helper()
	head := Head{Origin: "school.example/log"}
	for i := range n {
		a, err := Append(head, Entry{
			At: time.Date(2026, 5, 31, 10, i%60, 0, 0, time.UTC), Kind: "inspection",
			Body: json.RawMessage(fmt.Sprintf(`{"load":"crate %d","by":"Ä. Inspector"}`, i)),
		}, &stored)
		if err != nil {
			t.Fatal(err)
		}
		if a.StoredAt != int64(len(stored)) {
			t.Fatalf("entry %d: hashes begin at %d and %d are stored", i, a.StoredAt, len(stored))
		}
		stored = append(stored, a.Hashes...)
		lines = append(lines, a.Line)
		head = a.Head
		heads = append(heads, head)
	}
	return lines, heads, stored
}

// The first entry and its tree head, to the byte; the leaf hash is worked out
// by hand from RFC 6962.
func TestEntry_Literal(t *testing.T) {
	e := Entry{At: time.Date(2026, 5, 31, 10, 20, 30, 0, time.UTC), Kind: "inspection", Body: json.RawMessage(`{"z": 1.50, "a":"x"}`)}
	const want = `{"at":"2026-05-31T10:20:30Z","body":{"a":"x","z":1.5},"kind":"inspection","n":0,"previous":""}`
	line, err := e.Encode()
	if err != nil || string(line) != want {
		t.Fatalf("encoded %s (%v), want %s", line, err, want)
	}
	got, err := Decode([]byte(want))
	if err != nil || got.Kind != "inspection" || !got.At.Equal(e.At) || string(got.Body) != `{"a":"x","z":1.5}` {
		t.Fatalf("decoded %+v (%v)", got, err)
	}
	var none memory
	a, err := Append(Head{Origin: "o"}, e, &none)
	if err != nil {
		t.Fatal(err)
	}
	leaf := sha256.Sum256(append([]byte{0}, want...))
	if a.Leaf != tlog.Hash(leaf) || a.Head.Root != a.Leaf {
		t.Errorf("leaf %v, root %v, want %x", a.Leaf, a.Head.Root, leaf)
	}
	if text := a.Head.Text(); text != "o\n1\n"+base64.StdEncoding.EncodeToString(leaf[:])+"\n" {
		t.Errorf("head %q", text)
	}
}

func TestDecode_RefusesOtherForms(t *testing.T) {
	refused := 0
	for _, line := range []string{
		``, `{}`, `[]`, `null`,
		`{"at":"2026-05-31T10:20:30Z","body":{},"kind":"x","n":0,"previous":""} `,
		`{"at":"2026-05-31T10:20:30Z", "body":{},"kind":"x","n":0,"previous":""}`,
		`{"at":"2026-05-31T10:20:30+00:00","body":{},"kind":"x","n":0,"previous":""}`,
		`{"at":"2026-05-31T10:20:30Z","body":{},"extra":1,"kind":"x","n":0,"previous":""}`,
		`{"at":"2026-05-31T10:20:30Z","body":{},"kind":"x","n":1,"previous":"AAAA"}`,
		`{"at":"2026-05-31T10:20:30Z","body":{"n":9007199254740993},"kind":"x","n":0,"previous":""}`,
		`{"at":"2026-05-31T10:20:30Z","body":{"a":1,"a":2},"kind":"x","n":0,"previous":""}`,
		`{"at":"2026-05-31T10:20:30Z","body":1e0,"kind":"x","n":0,"previous":""}`,
		`{"at":"yesterday","body":{},"kind":"x","n":0,"previous":""}`,
	} {
		if e, err := Decode([]byte(line)); err == nil {
			t.Errorf("%s was taken as %+v", line, e)
		} else {
			refused++
		}
	}
	if refused != 13 {
		t.Errorf("%d refused", refused)
	}
}

// The root must be that of another implementation of RFC 6962.
func TestAppend_RootAgreesWithAnotherImplementation(t *testing.T) {
	lines, heads, _ := grow(t, 70)
	f := compact.RangeFactory{Hash: rfc6962.DefaultHasher.HashChildren}
	r := f.NewEmptyRange(0)
	for i, line := range lines {
		if err := r.Append(rfc6962.DefaultHasher.HashLeaf(line), nil); err != nil {
			t.Fatal(err)
		}
		root, err := r.GetRootHash(nil)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(root, heads[i].Root[:]) {
			t.Fatalf("after %d entries the roots differ", i+1)
		}
	}
}

func TestVerifyCopy_SoundLogs(t *testing.T) {
	signer, verifier := keys(t)
	for _, n := range []int{0, 1, 2, 7, 8, 33} {
		lines, heads, _ := grow(t, n)
		head := Head{Origin: "school.example/log"}
		empty, err := tlog.TreeHash(0, &memory{})
		if err != nil {
			t.Fatal(err)
		}
		head.Root = empty
		if n > 0 {
			head = heads[n-1]
		}
		signed, err := head.Sign(signer)
		if err != nil {
			t.Fatal(err)
		}
		got, err := VerifyCopy(Copy(lines, signed), verifier, heads...)
		if err != nil || got != head {
			t.Errorf("%d entries: %+v, %v", n, got, err)
		}
	}
}

// Every byte of a small copy is changed in turn; each time the check must fail,
// and where the byte lies in an entry it must name that entry; what the last
// entry says is held by the tree head alone, which accuses all it covers.
func TestVerifyCopy_EveryByteCounts(t *testing.T) {
	signer, verifier := keys(t)
	lines, heads, _ := grow(t, 5)
	signed, err := heads[4].Sign(signer)
	if err != nil {
		t.Fatal(err)
	}
	good := Copy(lines, signed)
	entries := 0
	for _, l := range lines {
		entries += len(l) + 1
	}
	tried := 0
	for i := range good {
		for _, flip := range []byte{1, 0x20} {
			bad := bytes.Clone(good)
			bad[i] ^= flip
			_, err := VerifyCopy(bad, verifier)
			tried++
			if err == nil {
				t.Fatalf("byte %d changed from %q to %q and nobody noticed", i, good[i], bad[i])
			}
			fault, ok := err.(*Fault)
			if !ok {
				t.Fatalf("byte %d: %v", i, err)
			}
			if i < entries-1 && good[i] != '\n' && bad[i] != '\n' {
				if want := int64(bytes.Count(good[:i], []byte("\n"))); fault.Entry != want && !(want == 4 && fault.UpTo == 4) {
					t.Fatalf("byte %d lies in entry %d and the fault is %v", i, want, err)
				}
			}
		}
	}
	if tried != 2*len(good) {
		t.Errorf("%d changes tried", tried)
	}
}

// A forger who writes all later entries anew, with right hashes, is caught by
// a head kept elsewhere, and the part known to be sound is not accused.
func TestVerifyEntries_RewrittenFromTheMiddle(t *testing.T) {
	lines, heads, _ := grow(t, 12)
	head, stored := Head{Origin: "school.example/log"}, memory{}
	var forged [][]byte
	for i, line := range lines {
		e, err := Decode(line)
		if err != nil {
			t.Fatal(err)
		}
		if i == 6 {
			e.Body = json.RawMessage(`{"load":"another"}`)
		}
		a, err := Append(head, e, &stored)
		if err != nil {
			t.Fatal(err)
		}
		stored = append(stored, a.Hashes...)
		forged = append(forged, a.Line)
		head = a.Head
	}
	if _, err := VerifyEntries("school.example/log", forged); err != nil {
		t.Fatalf("the forgery must be consistent in itself: %v", err)
	}
	_, err := VerifyEntries("school.example/log", forged, heads[3], heads[9])
	fault, ok := err.(*Fault)
	if !ok || fault.Entry != 4 || fault.UpTo != 9 {
		t.Errorf("fault %v, want entries 4 to 9 accused", err)
	}
	if _, err := VerifyEntries("school.example/log", forged, heads[3]); err != nil {
		t.Errorf("a head before the forgery cannot tell: %v", err)
	}
}

func TestVerifyEntries_RemovedReorderedCut(t *testing.T) {
	lines, heads, _ := grow(t, 6)
	for _, c := range []struct {
		name  string
		lines [][]byte
		entry int64
	}{
		{"removed", append(append([][]byte{}, lines[:2]...), lines[3:]...), 2},
		{"reordered", [][]byte{lines[0], lines[2], lines[1], lines[3], lines[4], lines[5]}, 1},
		{"doubled", [][]byte{lines[0], lines[1], lines[1], lines[2]}, 2},
		{"cut at the end", lines[:4], 4},
	} {
		_, err := VerifyEntries("school.example/log", c.lines, heads[5])
		fault, ok := err.(*Fault)
		if !ok || fault.Entry != c.entry {
			t.Errorf("%s: %v, want entry %d named", c.name, err, c.entry)
		}
	}
}

func FuzzDecode(f *testing.F) {
	lines, _, _ := grow(f, 3)
	for _, l := range lines {
		f.Add(l)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		e, err := Decode(data)
		if err != nil {
			return
		}
		again, err := e.Encode()
		if err != nil || !bytes.Equal(again, data) {
			t.Fatalf("%q was read and writes as %q (%v)", data, again, err)
		}
	})
}
