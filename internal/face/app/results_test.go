package app

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/engine/teach"
	"hangtrue/internal/engine/teach/report"
)

// resultsOf is a desk with so many runs of ten deficiencies each.
func resultsOf(runs int) *ResultDesk {
	var all []teach.Result
	for i := range runs {
		x := teach.Result{
			Run: fmt.Sprint("run-", i), Class: "c", Lane: "l", Version: "v", Student: fmt.Sprint("s-", i), Grader: "g", N: 1, Outcome: teach.Met,
			Found: map[string]int64{}, At: time.Date(2026, 5, 31, 8, 0, i, 0, time.UTC), Took: 5 * time.Minute,
		}
		for k := range 10 {
			id := fmt.Sprintf("p%d/a/b", k)
			if (i+k)%3 > 0 {
				x.Found[id] = int64(1000 * k)
			} else {
				x.Missed = append(x.Missed, id)
			}
		}
		all = append(all, x)
	}
	return &ResultDesk{names: func() map[string]string { return nil }, Set: report.Gather(all, func(_, id string) (report.Item, bool) {
		part, _, _ := strings.Cut(id, "/")
		return report.Item{Key: "k/" + id, Kind: "k", Text: "k: is wrong", Part: "crate/" + part, Checkpoint: "crate/c01", Title: "Here"}, true
	})}
}

// The ids of statements are name-based UUIDs in the namespace of URLs.
func TestUUID_SameNameSameID(t *testing.T) {
	if first, again := uuid("a"), uuid("a"); first != again || first == uuid("b") {
		t.Error("ids do not follow from names")
	}
	if got := uuid("http://example.com/c"); got != uuidOfC {
		t.Errorf("%s, want %s", got, uuidOfC)
	}
}

func TestPlainCell(t *testing.T) {
	for in, want := range map[string]string{"=1+1": "'=1+1", "+a": "'+a", "-a": "'-a", "@a": "'@a", "a=b": "a=b", "": "", "\tx": "'\tx"} {
		if got := plainCell(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
}

// uuidOfC is worked out apart from this program, by Python's uuid.uuid5.
const uuidOfC = "738bea4d-76e6-50ae-9140-0671c67ed9ba"

// Writing stops at the first error of what is written to.
func TestWriteOut_StopsAtAnError(t *testing.T) {
	d := resultsOf(3000)
	for name, write := range map[string]func(io.Writer) error{"CSV": d.WriteCSV, "statements": func(w io.Writer) error { return d.WriteXAPI(w, XAPIAsk{Origin: "https://school.local"}) }} {
		if err := write(&full{}); err == nil {
			t.Errorf("%s: no error of a full disk", name)
		}
		var out bytes.Buffer
		if err := write(&out); err != nil || out.Len() < 1_000_000 {
			t.Errorf("%s: %d bytes, %v", name, out.Len(), err)
		}
	}
}

type full struct{ n int }

func (f *full) Write(p []byte) (int, error) {
	if f.n += len(p); f.n > 100_000 {
		return 0, io.ErrShortWrite
	}
	return len(p), nil
}

func BenchmarkWriteXAPI_TenYears(b *testing.B) {
	d := resultsOf(20_000)
	b.ReportAllocs()
	for b.Loop() {
		if err := d.WriteXAPI(io.Discard, XAPIAsk{Origin: "https://school.local"}); err != nil {
			b.Fatal(err)
		}
	}
}
