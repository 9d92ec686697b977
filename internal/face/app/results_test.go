package app

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"slices"
	"testing"
	"time"

	"hangtrue/internal/engine/teach"
	"hangtrue/internal/engine/teach/report"
)

// resultsOf is a desk of a school with so many runs of ten deficiencies each, and
// a drill for every tenth.
func resultsOf(runs int) *ResultDesk {
	k := &keptResults{}
	for i := range runs {
		x := teach.Result{
			Run: fmt.Sprint("run-", i), Class: "c", Lane: "l", Version: "v", Student: fmt.Sprint("s-", i), Grader: "g", N: 1, Outcome: teach.Met,
			Found: map[string]int64{}, At: time.Date(2026, 5, 31, 8, 0, i, 0, time.UTC), Took: 5 * time.Minute,
		}
		for n := range 10 {
			id := fmt.Sprintf("p%d/a/b", n)
			if (i+n)%3 > 0 {
				x.Found[id] = int64(1000 * n)
			} else {
				x.Missed = append(x.Missed, id)
			}
		}
		k.results = append(k.results, x)
		if i%10 == 0 {
			k.drills = append(k.drills, teach.Drill{ID: fmt.Sprint("d-", i), Person: x.Student, Rig: "crate", RigVersion: "1", Made: x.At, Ended: x.At, Pictures: []teach.DrillPicture{
				{Name: "one", Key: "chain/count/high", Checkpoint: "c01", Title: "Here", Part: "p", State: "high", Deficiency: "p/count/high", Choices: []teach.DrillChoice{{State: "high", Text: "one link too high"}}},
				{Name: "two", Key: "chain/count/high", Checkpoint: "c01", Title: "Here", Part: "p", State: "ok"},
				{Name: "three", Key: "chain/count/low", Checkpoint: "c02", Title: "There", Part: "p", State: "ok"},
			}})
		}
	}
	items := map[string]report.Item{}
	for n := range 10 {
		part := fmt.Sprint("p", n)
		items[part+"/a/b"] = report.Item{Key: "k/" + part + "/a/b", Kind: "k", Text: "k: is wrong", Part: "crate/" + part, Checkpoint: "crate/c01", Title: "Here"}
	}
	now := func() time.Time { return time.Date(2026, 6, 30, 8, 0, 0, 0, time.UTC) }
	return &ResultDesk{
		Versions: map[string]VersionRig{"v": {Version: "v", Lane: "l", Rig: "crate", RigVersion: "1"}}, names: func() map[string]string { return nil },
		known: map[string]*planted{"crate\x001\x00": {items: items}}, catalog: &SchoolCatalog{Catalog: shipped()}, school: &School{keeper: k, now: now},
	}
}

// keptResults keeps what is written out, and nothing else.
type keptResults struct {
	SchoolKeeper
	results []teach.Result
	drills  []teach.Drill
}

func (k *keptResults) GradedRuns(context.Context, string) ([]CountedRun, error) {
	var out []CountedRun
	for _, r := range k.results {
		out = append(out, CountedRun{Run: r.Run, Class: r.Class, Lane: r.Lane, Student: r.Student, At: r.At})
	}
	return out, nil
}

func (k *keptResults) RunResults(_ context.Context, runs []string) ([]teach.Result, error) {
	i := slices.IndexFunc(k.results, func(r teach.Result) bool { return r.Run == runs[0] })
	return k.results[i : i+len(runs)], nil // they are asked for in order
}

func (k *keptResults) Members(context.Context, string) ([]teach.Member, error) {
	var out []teach.Member
	for _, d := range k.drills {
		out = append(out, teach.Member{Class: "c", Person: d.Person})
	}
	return out, nil
}

func (k *keptResults) DrillHeads(context.Context, string, int) ([]DrillHead, error) {
	var out []DrillHead
	for _, d := range k.drills {
		out = append(out, DrillHead{ID: d.ID, Person: d.Person, Made: d.Made, Ended: true})
	}
	return out, nil
}

func (k *keptResults) DrillsOf(_ context.Context, ids []string) (map[string]teach.Drill, map[string][]teach.DrillAnswer, error) {
	drills, answers := map[string]teach.Drill{}, map[string][]teach.DrillAnswer{}
	for _, d := range k.drills {
		if slices.Contains(ids, d.ID) {
			drills[d.ID] = d
			answers[d.ID] = []teach.DrillAnswer{
				{Drill: d.ID, N: 0, Wrong: true, Choice: "high", After: 4 * time.Second, At: d.Made}, {Drill: d.ID, N: 1, Wrong: true, Choice: "low", After: 9 * time.Second, At: d.Made},
			}
		}
	}
	return drills, answers, nil
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
	for name, write := range map[string]func(io.Writer) error{"CSV": func(w io.Writer) error { return d.WriteCSV(t.Context(), w) }, "statements": func(w io.Writer) error { return d.WriteXAPI(t.Context(), w, XAPIAsk{Origin: "https://school.local"}) }} {
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
		if err := d.WriteXAPI(b.Context(), io.Discard, XAPIAsk{Origin: "https://school.local"}); err != nil {
			b.Fatal(err)
		}
	}
}
