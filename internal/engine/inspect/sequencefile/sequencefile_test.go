package sequencefile_test

import (
	"encoding/json"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"hangtrue/internal/data/catalog"
	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/inspect/sequencefile"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/rig/rigfile"
)

const good = `format: hangtrue.sequence/1
title: Walk of the school
source: chief instructor
checkpoints:
  - id: c01
    title: Front left
    stand: front-left
    at: [2 m, 150 cm]
    look: [leg.FL.grab-hook, leg.FL.chain/twist, "leg.*.keeper"]
    do: [look, touch]
    note: From the free end, aloud.
    reference: course book, page 12
  - id: c02
    look:
      - rig.area
`

func TestRead_TheFormat(t *testing.T) {
	f, problems := sequencefile.Read([]byte(good))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	want := &inspect.Sequence{
		Title: "Walk of the school", Source: "chief instructor",
		Checkpoints: []inspect.Checkpoint{
			{
				ID: "c01", Title: "Front left", Stand: inspect.StandFrontLeft, At: &[2]float64{2, 1.5},
				Looks: []inspect.Look{{Part: "leg.FL.grab-hook"}, {Part: "leg.FL.chain", Attribute: "twist"}, {Part: "leg.*.keeper"}},
				Do:    []part.See{part.Look, part.Touch}, Note: "From the free end, aloud.", Reference: "course book, page 12",
			},
			{ID: "c02", Stand: inspect.StandHere, Looks: []inspect.Look{{Part: "rig.area"}}},
		},
	}
	if !reflect.DeepEqual(f.Sequence, want) {
		t.Errorf("read %+v, want %+v", f.Sequence, want)
	}
}

func TestRead_Mistakes(t *testing.T) {
	cases := []struct {
		name, from, to string
		line           int
		text           string
	}{
		{"another format", "sequence/1", "sequence/2", 1, "only hangtrue.sequence/1"},
		{"an id twice", "id: c02", "id: c01", 13, "already the id of checkpoint number 1"},
		{"an unknown stand", "stand: front-left", "stand: front-lefft", 7, "did you mean front-left?"},
		{"under the load", "stand: front-left", "stand: under", 7, "not known here"},
		{"a look at nothing", "leg.FL.chain/twist", "leg.FL.chain/", 9, "names no part or no attribute"},
		{"no look", "    look:\n      - rig.area\n", "    title: none\n", 13, "no look"},
		{"an unknown way", "do: [look, touch]", "do: [look, tuch]", 10, "did you mean touch?"},
		{"an unknown key", "note:", "nite:", 11, "did you mean note?"},
	}
	for _, c := range cases {
		if !strings.Contains(good, c.from) {
			t.Errorf("%s: the sample has no %q", c.name, c.from)
			continue
		}
		_, problems := sequencefile.Read([]byte(strings.Replace(good, c.from, c.to, 1)))
		found := false
		for _, p := range problems {
			found = found || p.Line == c.line && strings.Contains(p.String(), c.text)
		}
		if !found {
			t.Errorf("%s: got %v, want %q in line %d", c.name, problems, c.text, c.line)
		}
	}
}

func TestAgainst_NamesTheLineOfALookThatFindsNothing(t *testing.T) {
	var survey *inspect.Survey
	for _, d := range demo.Rigs() {
		if d.Name == "crate-off-centre" {
			r, _ := rigfile.Read(d.Data)
			survey, _ = inspect.Of(r, catalog.Shipped())
		}
	}
	if survey == nil {
		t.Fatal("there is no demo rig crate-off-centre")
	}
	f, problems := sequencefile.Read([]byte(strings.Replace(good, "rig.area", "rig.arena", 1)))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	got := f.Against(survey)
	if len(got) != 1 || got[0].Line != 15 || !strings.Contains(got[0].String(), "rig.area?") {
		t.Errorf("got %v, want one problem in line 15", got)
	}
}

func TestWrite_ReadsBackTheSame(t *testing.T) {
	n := 0
	for _, d := range demo.Rigs() {
		r, problems := rigfile.Read(d.Data)
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		v, _ := inspect.Of(r, catalog.Shipped())
		roundTrip(t, inspect.Suggest(v))
		n++
	}
	if n < 10 {
		t.Errorf("only %d demo rigs", n)
	}
}

func roundTrip(t interface{ Fatalf(string, ...any) }, q *inspect.Sequence) {
	text := sequencefile.Write(q)
	f, problems := sequencefile.Read(text)
	if len(problems) > 0 {
		t.Fatalf("%v in\n%s", problems, text)
	}
	if !reflect.DeepEqual(f.Sequence, q) {
		t.Fatalf("read back\n%+v\nwant\n%+v\nfrom\n%s", f.Sequence, q, text)
	}
}

func TestWrite_AnyTextReadsBackTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[ -~äß°≤']{0,20}[a-z"'#:{}0]`)
		q := &inspect.Sequence{Title: text.Draw(t, "title"), Source: text.Draw(t, "source"), Made: rapid.Bool().Draw(t, "made")}
		for _, id := range rapid.SliceOfNDistinct(rapid.StringMatching(`c[a-z0-9_-]{0,6}`), 1, 4, rapid.ID[string]).Draw(t, "ids") {
			c := inspect.Checkpoint{ID: id, Title: text.Draw(t, "title"), Stand: rapid.SampledFrom(inspect.Stands).Draw(t, "stand")}
			c.Looks = append(c.Looks, inspect.ParseLook(rapid.StringMatching(`[a-zA-Z.*+-]{1,9}(/[a-z*]{1,5})?`).Draw(t, "look")))
			if rapid.Bool().Draw(t, "at") {
				c.At = &[2]float64{rapid.Float64Range(-50, 50).Draw(t, "x"), rapid.Float64Range(-50, 50).Draw(t, "y")}
			}
			c.Note = text.Draw(t, "note")
			q.Checkpoints = append(q.Checkpoints, c)
		}
		roundTrip(t, q)
	})
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(good))
	f.Add([]byte("format: hangtrue.sequence/1\ncheckpoints: [{id: a, look: [1]}]"))
	f.Fuzz(func(t *testing.T, data []byte) {
		file, problems := sequencefile.Read(data)
		if (file == nil) == (len(problems) == 0) {
			t.Fatalf("file %v and %d problems", file, len(problems))
		}
		if file != nil {
			roundTrip(t, file.Sequence)
		}
	})
}

func TestSchema_IsJSON(t *testing.T) {
	var m map[string]any
	if err := json.Unmarshal(sequencefile.Schema(), &m); err != nil || m["title"] != sequencefile.Format {
		t.Errorf("schema of %v (%v)", m["title"], err)
	}
}
