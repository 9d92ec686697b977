package document_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/quantity"
)

func TestRead_GivesValuesWithTheirPlaces(t *testing.T) {
	for name, text := range map[string]string{
		"plain":           good,
		"byte order mark": "\ufeff" + good,
		"CRLF":            strings.ReplaceAll(good, "\n", "\r\n"),
	} {
		t.Run(name, func(t *testing.T) {
			v, problems := document.Read([]byte(text), sample())
			if len(problems) > 0 {
				t.Fatalf("problems: %v", problems)
			}
			leg := v.Get("legs").Item(0)
			stretch, at := leg.Get("rope").Get("stretch").Stretch()
			id, point := leg.Get("to").Reference()
			checks := []struct {
				what      string
				got, want any
			}{
				{"title", v.Get("title").Text(), "Compressor crate"},
				{"note", v.Get("note").Text(), "one\ntwo\n"},
				{"invented", v.Get("invented").Yes(), true},
				{"edition", v.Get("edition").Date().Format("2 Jan 2006"), "31 May 2026"},
				{"factor", v.Get("factor").Number(), 1.5},
				{"mass", v.Get("mass").SI(), 2100.0},
				{"alternative", v.Get("shape").Alternative(), 1},
				{"diameter", v.Get("shape").Get("drum").Get("diameter").SI(), 1.35},
				{"points", strings.Join(v.Get("points").Keys(), " "), "FL y"},
				{"vector", v.Get("points").Get("FL").Vector(), [3]float64{1.2, 0.8, 1.2}},
				{"length typed", leg.Get("rope").Get("length").Quantity().String(), "12 ft"},
				{"stretch", stretch.Value, 0.08},
				{"stretch at", at.Value, 27800.0},
				{"count", leg.Get("count").Integer(), 10},
				{"clevis", leg.Get("clevis").Form(), document.FormQuantity},
				{"clevis kind", leg.Get("clevis").Quantity().Kind, quantity.Force},
				{"no clevis", v.Get("legs").Item(1).Get("clevis").Form(), document.FormChoice},
				{"reference", id + " " + point, "crate FL"},
				{"several", v.Get("legs").Item(1).Get("to").Form(), document.FormList},
				{"several", len(v.Get("legs").Item(1).Get("to").Items()), 2},
				{"path", leg.Get("rope").Get("length").Path(), "legs[0].rope.length"},
				{"line", leg.Get("rope").Get("length").Line(), 20},
				{"column", leg.Get("rope").Get("length").Column(), 15},
				{"line of an object", leg.Get("rope").Line(), 19},
				{"line by path", v.LineOf("legs[1].to[1]"), 24},
				{"line inside an alternative", v.LineOf("shape.drum.diameter"), 11},
				{"line of what is missing", v.LineOf("legs[0].rope.colour.shade"), 19},
				{"line of a missing entry", v.LineOf("legs[7].id"), 16},
				{"line of nothing", v.LineOf("nowhere"), 2},
				{"absent", v.Get("legs").Item(5).Get("rope").Get("length").SI(), 0.0},
				{"absent", v.Get("nothing").Valid() || v.Get("nothing").Given(), false},
				{"all valid", v.AllValid(), true},
				{"minus zero", math.Signbit(v.Get("points").Get("y").Vector()[2]), false},
				{"units", strings.Join(v.Get("legs").Units(), " "), "ft % kN lb m"},
			}
			for _, c := range checks {
				if c.got != c.want {
					t.Errorf("%s: got %v, want %v", c.what, c.got, c.want)
				}
			}
		})
	}
}

// TestRead_Reports pins for each mistake the line and what the message says.
// The text is the sample's head with the lines that matter, from line 4 on.
func TestRead_Reports(t *testing.T) {
	const head = "format: sample/1\ntitle: T\nmass: 1 kg\n"
	tests := []struct {
		name, text string
		want       []string
	}{
		{"bare number", "legs:\n- id: A\n  to: b\n  length: 12\n", []string{"f:7: length: 12 needs a unit: one of m, cm, mm, ft, in, km, nmi; for example 12 m"}},
		{"wrong kind", "legs:\n- {id: A, to: b, length: 12 kg}\n", []string{"f:5: length: 12 kg: kg is a mass, and a length is needed here; one of m"}},
		{"negative", "legs:\n- {id: A, to: b, length: -1 m}\n", []string{"f:5: length: -1 m is negative; it must be above zero"}},
		{"zero", "legs:\n- {id: A, to: b, length: 0 m}\n", []string{"f:5: length: 0 m is zero; it must be above zero"}},
		{"several at once", "factor: x\nlegs:\n- {id: 1, to: b..c, count: 010}\n- {id: A}\n", []string{
			"f:4: factor: x is not a number",
			"f:6: id: 1 is not an id",
			"f:6: to: b..c is not an id, or id.point; an id begins with a letter",
			"f:6: count: 010 is not a whole number",
			"f:7: legs[1] has no to",
		}},
		{"unknown key, near", "legs:\n- {id: A, to: b, lenght: 1 m}\n", []string{"f:5: the key lenght is not known here; did you mean length?"}},
		{"unknown key, near a required one", "legs:\n- {idd: A, to: b}\n", []string{"f:5: the key idd is not known here; did you mean id?"}},
		{"unknown key, far", "colour: red\n", []string{"f:4: the key colour is not known here; known are format, title"}},
		{"missing key names the object's line", "shape:\n  drum:\n    length: 1 m\n", []string{"f:5: drum has no diameter; add diameter: a length"}},
		{"duplicate key", "mass: 2 kg\n", []string{"f:4: the key mass is written twice; the first is in line 3"}},
		{"duplicate key under an unknown one", "zzzzzz:\n  a: 1\n  a: 2\n", []string{"f:4: the key zzzzzz is not known", "f:6: the key a is written twice"}},
		{"both of a pair", "items: [a]\n", []string{"f:1: the file has mass and items; only one of mass, items can be given"}},
		{"both of another pair", "legs:\n- {id: A, to: b, length: 1 m, rope: {length: 1 m}}\n", []string{"f:5: legs[0] has rope and length; only one of"}},
		{"list for a value", "factor: [1]\n", []string{"f:4: factor is a list, and a number without a unit is needed here"}},
		{"value for a list", "legs: none\n", []string{"f:4: legs is the single value none, and a list is needed here"}},
		{"no value", "factor:\nlegs: ~\n", []string{"f:4: factor has no value", "f:5: legs has no value"}},
		{"too few", "points: {A: [1 m, 2 m]}\nlegs: []\n", []string{"f:4: A has 2 entries; exactly 3 are needed", "f:5: legs has 0 entries; at least 1 needed"}},
		{"bad id in a map", "points: {1a: [1 m, 2 m, 3 m]}\n", []string{"f:4: 1a is not an id"}},
		{"alternative, scalar", "legs:\n- {id: A, to: b, clevis: 12}\n", []string{"f:5: clevis: 12 needs a unit: one of N, kN, kgf, lbf, kg, t, lb; a force or none is needed here"}},
		{"alternative, object", "shape: {drum: {length: 1, diameter: 2, colour: red}}\n", []string{"f:4: length: 1 needs", "f:4: diameter: 2 needs", "f:4: the key colour"}},
		{"choice", "show: metrik\n", []string{"f:4: show: metrik is not known here; did you mean metric?"}},
		{"choice, far", "show: furlongs\n", []string{"f:4: show: furlongs is not known here; it is one of metric, us"}},
		{"yes in quotes", "invented: \"yes\"\n", []string{"f:4: invented: yes is not yes or no; write yes or no without quotes"}},
		{"capital yes", "invented: Yes\n", []string{"f:4: invented: Yes is not yes or no"}},
		{"no such day", "edition: 2026-02-30\n", []string{"f:4: edition: 2026-02-30 is not a date"}},
		{"out of range", "factor: 2.6\nlegs: [{id: A, to: b, count: 201}]\n", []string{"f:4: factor: 2.6 is out of range; it goes from 0 to 2.5", "f:5: count: 201 is out of range; it goes from 1 to 200"}},
		{"number in quotes", "factor: '1'\n", []string{"f:4: factor: 1 is in quotes"}},
		{"stretch without at", "legs:\n- {id: A, to: b, rope: {length: 1 m, stretch: 8 %}}\n", []string{"f:5: stretch: 8 % does not say at which pull"}},
		{"stretch of a mass", "legs:\n- {id: A, to: b, rope: {length: 1 m, stretch: 8 % at 5 m}}\n", []string{"f:5: stretch: 5 m: m is a length"}},
		{"stretch of zero", "legs:\n- {id: A, to: b, rope: {length: 1 m, stretch: 0 % at 5 kN}}\n", []string{"f:5: stretch: 0 % at 5 kN is not a stretch"}},
		{"boolean as id", "legs:\n- {id: true, to: b}\n", []string{"f:5: id: many programs read true as yes or no"}},
		{"anchor and alias", "note: &a hello\nitems: [*a]\n", []string{"f:1: the file has mass and items", "f:4: an anchor (&) is not read here", "f:5: an alias (*) is not read"}},
		{"unknown alias", "note: *a\n", []string{"f:4: an alias (*) is not read here"}},
		{"tag", "note: !!str 12\n", []string{"f:4: a tag (!) is not read here"}},
		{"lone tag", "note: ! 12\n", []string{"f:4: a tag (!) is not read here"}},
		{"merge key", "shape:\n  <<: {box: [1 m, 1 m, 1 m]}\n", []string{"f:4: shape has no box", "f:5: a merge key (<<) is not read here"}},
		{"key that is a list", "? [a]\n: b\n", []string{"f:4: a key is a word"}},
		{"second document", "---\nformat: x\n", []string{"a second document begins here"}},
		{"tab", "note:\thello\n", []string{"f:4: a tab stands here; use spaces"}},
		{"not UTF-8", "note: h\xe9\n", []string{"f:4: the text is not UTF-8"}},
		{"line separator", "note: a\u2028b\n", []string{"f:4: a control character (U+2028) stands here"}},
		{"control character by escape", "note: \"a\\ab\"\n", []string{"f:4: note contains a control character (U+0007)"}},
		{"lone carriage return", "note: a\rb\n", []string{"f:4: a carriage return stands here alone"}},
		{"two lines", "edition: 2026-01-01\nitems: [\"a\\nb\"]\n", []string{"f:1: the file has mass and items", "f:5: items[0] has more than one line"}},
		{"bad indentation", "shape:\n    box: [1 m, 1 m, 1 m]\n  drum: x\n", []string{"f:6: this line does not fit the lines above it"}},
		{"bad list", "legs:\n  - id: A\n    to: b\n - id: B\n", []string{"f:7: this line does not fit"}},
		{"open list", "points: {A: [1 m, 2 m, 3 m}\nshow: us\n", []string{"f:4: a list in [ ] is not closed"}},
		{"open quote", "note: \"hello\nshow: us\n", []string{"f:4: a quoted text that begins here is not closed"}},
		{"two colons", "note: a: b\n", []string{"f:4: a key with a colon cannot stand here"}},
		{"no colon", "note\nshow: us\n", []string{"f:4: a key has no colon; write key: value"}},
		{"percent first", "note: %5\n", []string{"f:4: a value cannot begin with this sign"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, problems := document.Read([]byte(head+tt.text), sample())
			var got []string
			for _, p := range problems {
				got = append(got, p.Format("f"))
			}
			ok := len(got) == len(tt.want)
			for i := range min(len(got), len(tt.want)) {
				ok = ok && strings.Contains(got[i], tt.want[i])
			}
			if !ok {
				t.Errorf("got\n  %s\nwant\n  %s", strings.Join(got, "\n  "), strings.Join(tt.want, "\n  "))
			}
		})
	}
}

func TestRead_ReportsOnWholeFiles(t *testing.T) {
	tests := []struct{ name, text, want string }{
		{"empty", "", "f:1: the file is empty"},
		{"only a comment", "# nothing\n", "f:1: the file is empty"},
		{"only a document mark", "---\n", "f:1: the file has no value"},
		{"a list", "- a\n", "f:1: the file is a list, and an object with keys (format, title) is needed here"},
		{"another format", "format: sample/2\ntitle: T\nmass: 1 kg\n", "f:1: format is sample/2, and only sample/1 is read here"},
		{"a directive", "%YAML 1.1\n---\nformat: sample/1\n", "f:1: a YAML directive is not read here"},
		{"UTF-16", "\xff\xfef\x00", "f:1: the text is not UTF-8"},
		{"first line", "format: [\n", "f:1: "},
		{"too large", strings.Repeat("# x\n", 1<<18+1), "f:1: the file has 1048580 bytes; at most 1048576 are read"},
		{"too deep", strings.Repeat("[", 40) + strings.Repeat("]", 40), "f:1: lists and objects are nested more than 32 deep"},
		{"far too deep", strings.Repeat("[", 200_000), "f:1: lists and objects are nested too deeply"},
		// Takes minutes, and so fails, if each unknown key costs a search of all others.
		{"many unknown keys", "x: 1\n" + manyKeys(20_000), "f:1: the key x is not known here"},
		{"too many", "[" + strings.Repeat("a,", 100_001) + "]", "f:1: the file has more than 100000 values"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, problems := document.Read([]byte(tt.text), sample())
			if len(problems) == 0 || !slices.ContainsFunc(problems, func(p document.Problem) bool { return strings.HasPrefix(p.Format("f"), tt.want) }) {
				t.Errorf("got %v, want %q", problems, tt.want)
			}
		})
	}
}

func manyKeys(n int) string {
	var text strings.Builder
	for i := range n {
		fmt.Fprintf(&text, "k%d: 1\n", i)
	}
	return text.String()
}

func TestRead_CutsALongListOfProblems(t *testing.T) {
	_, problems := document.Read([]byte("items: [a]\npoints:\n"+strings.Repeat("  1: x\n", 300)), sample())
	if n := len(problems); n != 101 || !strings.HasPrefix(problems[100].Text, "and ") {
		t.Errorf("got %d problems, the last %v; want 100 and a count of the others", n, problems[n-1])
	}
}

func TestRead_GoesOnAfterAProblem(t *testing.T) {
	v, problems := document.Read([]byte("format: sample/1\ntitle: T\nmass: 5\nlegs:\n- {id: A, to: b, lenght: 3 m}\n"), sample())
	if len(problems) != 2 {
		t.Fatalf("got %v, want two problems", problems)
	}
	leg := v.Get("legs").Item(0)
	if !v.Has("mass") || v.Get("mass").Valid() || v.Get("mass").SI() != 0 {
		t.Errorf("the wrong mass is not marked as written and wrong")
	}
	if !leg.Missed("length") || leg.Missed("count") || leg.Valid() || leg.Get("id").Text() != "A" {
		t.Errorf("the leg with a slip in a key does not tell what was meant, or lost its id")
	}
	if p := v.ProblemAt("legs[0].rope.length", "text", ""); p.Line != 5 || p.Path != "legs[0].rope.length" {
		t.Errorf("a problem at a missing path: got %+v, want line 5", p)
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(good))
	for _, seed := range []string{"", "a: b: c", "[", "{a: [}", "? a\n: b", "- - -", "&a *a", "%X\n---\n", "\xff", "a:\n\tb", "\"", "|", ">\n", "a: |\n  b\n c", "! !", "!!x y", "--- a\n--- b", "...", "\ufeff", "a\r\nb", "k: >-\n\n\n x", "# c\na:\n  # d\n  - b\n# e\n"} {
		f.Add([]byte(seed))
	}
	shape := sample()
	check := schemaChecker(f, shape)
	f.Fuzz(func(t *testing.T, data []byte) {
		v, problems := document.Read(data, shape)
		lines := max(strings.Count(string(data), "\n"), 1)
		if len(data) > 0 && data[len(data)-1] != '\n' {
			lines = strings.Count(string(data), "\n") + 1
		}
		for _, p := range problems {
			if p.Line < 1 || p.Line > lines || p.Column < 1 || p.Text == "" || strings.ContainsAny(p.String(), "\n\r") {
				t.Fatalf("problem %+v of a file of %d lines", p, lines)
			}
		}
		if !slices.IsSortedFunc(problems, func(a, b document.Problem) int { return a.Line - b.Line }) {
			t.Fatalf("problems are not sorted: %v", problems)
		}
		if len(problems) == 0 {
			if !v.AllValid() {
				t.Fatalf("no problem, but not everything is valid")
			}
			if err := check(data); err != nil {
				t.Fatalf("read without a problem, but the schema refuses it: %v", err)
			}
		}
	})
}
