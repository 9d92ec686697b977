package catalogfile_test

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"go.yaml.in/yaml/v3"

	"hangtrue/internal/data/catalog"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/part/catalogfile"
)

const good = `format: hangtrue.catalog/1
title: Kinds of the school
criteria:
  latch: {where: a standard, text: a latch closes}
spacers:
  - {fitting: bow, on: big-hook, spacer: required, source: the maker's sheet}
kinds:
  bow:
    name: bow
    each: apex
    figure: bow
    source: common practice, no source
    attributes:
      spacer:
        ask: Is the spacer as it should be?
        see: [look]
        plan: spacer
        ends: [foul]
        act: stop
        plant: by-hand
        hazard: it jams
        states:
          present: a spacer is on
          absent: no spacer is on
          not-stated: nobody has said
  big-hook:
    name: big hook
    each: direct-apex
    source: common practice, no source
    attributes:
      latch:
        ask: Does the latch close?
        see: [touch, look]
        from: back
        good: closes
        ends: [damage, load-lost]
        act: put-right
        plant: by-hand
        hazard: the bow rolls out
        meets: [latch]
        states:
          open: {text: it stands open, effect: apex-lost, act: stop, draw: {angle: "30"}}
          closes: it closes
  grab:
    name: grab hook
    each: chained-leg
    source: common practice, no source
    attributes:
      count:
        ask: Which link?
        see: [count]
        plan: count
        good: planned
        when: {tail: 2}
        ends: [attitude]
        act: stop
        plant: by-hand
        hazard: crooked
        states:
          planned: the planned link
          less: {text: one less, effect: {count: -1}}
`

func TestRead_TheFormat(t *testing.T) {
	c, problems := catalogfile.Read([]byte(good))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	if len(c.Kinds) != 3 || c.Kinds[0].ID != "bow" || c.Title != "Kinds of the school" || len(c.Criteria) != 1 {
		t.Fatalf("read %+v", c)
	}
	latch, _ := c.Kinds[1].Attribute("latch")
	if latch.From != part.Back || latch.States[0].ID != "closes" || latch.Good != "closes" {
		t.Errorf("latch %+v: the good state comes first", latch)
	}
	open, _ := latch.State("open")
	if open.Meaning != part.ApexGone || open.Act != part.Stop || open.Hazard != "the bow rolls out" || open.Plant != part.ByHand {
		t.Errorf("open %+v", open)
	}
	if open.Ends[0] != part.LoadLost {
		t.Errorf("ends %v are not gravest first", open.Ends)
	}
	if open.Draw["latch"] != "open" || open.Draw["angle"] != "30" {
		t.Errorf("the figure's parameters are %v", open.Draw)
	}
	count, _ := c.Kinds[2].Attribute("count")
	less, _ := count.State("less")
	if less.Meaning != part.CountOff || less.By != -1 || count.When.Tail != 2 || count.From != part.Near {
		t.Errorf("count %+v, less %+v", count, less)
	}
	if need, source := c.Spacer("bow", "big-hook"); need != part.Required || source == "" {
		t.Errorf("spacer %s by %q", need, source)
	}
}

// Each mistake is reported at its line, with what would be right.
func TestRead_Mistakes(t *testing.T) {
	cases := []struct {
		name, from, to string
		line           int
		text           string
	}{
		{"another format", "hangtrue.catalog/1", "hangtrue.catalog/2", 1, "only hangtrue.catalog/1 is read"},
		{"an unknown key", "    figure: bow", "    figur: bow", 11, "did you mean figure?"},
		{"no source", "    source: common practice, no source\n    attributes:\n      spacer", "    attributes:\n      spacer", 8, "no source"},
		{"an unknown way of seeing", "see: [look]", "see: [lok]", 16, "did you mean look?"},
		{"an unknown thing", "each: direct-apex", "each: direkt-apex", 28, "did you mean direct-apex?"},
		{"a good state that is none", "good: closes", "good: shut", 35, `no state "shut"`},
		{"no good state", "        good: closes\n", "", 31, "does not say which state is the good one"},
		{"a good state that leads to something", "closes: it closes", "closes: {text: it closes, effect: apex-lost}", 43, "leave out effect"},
		{"no way to plant", "        act: put-right\n        plant: by-hand\n", "        act: put-right\n", 41, "how it can be made for training"},
		{"no hazard", "        hazard: crooked\n", "", 60, "what it may lead to"},
		{"an effect that does not suit", "effect: apex-lost", "effect: point-lost", 42, "it takes a point"},
		{"a count off by nothing", "{count: -1}", "{count: 0}", 61, "the planned one"},
		{"a spacer attribute without its states", "          absent: no spacer is on\n", "", 22, "needs the state absent"},
		{"a spacer attribute with a good state", "plan: spacer", "plan: spacer\n        good: present", 18, "leave out good"},
		{"one state alone", "          planned: the planned link\n", "", 59, ""},
		{"instead-of and each together", "    each: apex\n", "    each: apex\n    instead-of: [grab]\n", 11, "leave out each"},
		{
			"a rule given twice", "  - {fitting: bow, on: big-hook, spacer: required, source: the maker's sheet}\n",
			"  - {fitting: bow, on: big-hook, spacer: required, source: a}\n  - {fitting: bow, on: big-hook, spacer: forbidden, source: b}\n", 7, "already a rule",
		},
		{"an id that YAML reads as a boolean", "  bow:\n", "  1bow:\n", 8, "not an id"},
	}
	for _, c := range cases {
		if !strings.Contains(good, c.from) {
			t.Errorf("%s: the sample has no %q", c.name, c.from)
			continue
		}
		_, problems := catalogfile.Read([]byte(strings.Replace(good, c.from, c.to, 1)))
		found := false
		for _, p := range problems {
			found = found || p.Line == c.line && strings.Contains(p.String(), c.text)
		}
		if !found {
			t.Errorf("%s: got %v, want %q in line %d", c.name, problems, c.text, c.line)
		}
	}
}

func TestLoad_ChecksWhatOneFileNamesOfAnother(t *testing.T) {
	file := func(name, text string) catalogfile.File {
		return catalogfile.File{Name: name, Data: strings.NewReader(text)}
	}
	own := "format: hangtrue.catalog/1\nspacers:\n  - {fitting: bow, on: bigg-hook, spacer: forbidden, source: s}\n"
	_, problems := catalogfile.Load(file("shipped", good), file("own.yaml", own))
	if len(problems) != 1 || problems[0].File != "own.yaml" || problems[0].Line != 3 || !strings.Contains(problems[0].String(), "did you mean big-hook?") {
		t.Errorf("got %v, want one problem at own.yaml:3", problems)
	}
	c, problems := catalogfile.Load(file("shipped", good), file("own.yaml", strings.Replace(own, "bigg", "big", 1)))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	if need, _ := c.Spacer("bow", "big-hook"); need != part.Forbidden {
		t.Errorf("the school's rule does not stand before the shipped one: %s", need)
	}
	if c.Kinds[0].From != "shipped" {
		t.Errorf("kind %s is from %q", c.Kinds[0].ID, c.Kinds[0].From)
	}
	_, problems = catalogfile.Load(file("a", "format: x"), file("b", good), file("c", "format: y"))
	if len(problems) < 2 || problems[0].File != "a" || problems[len(problems)-1].File != "c" {
		t.Errorf("not every file's problems are reported: %v", problems)
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(good))
	f.Add([]byte("format: hangtrue.catalog/1\nkinds: {a: {attributes: {b: {states: {c: 1}}}}}"))
	f.Fuzz(func(t *testing.T, data []byte) {
		c, problems := catalogfile.Read(data)
		if (c == nil) == (len(problems) == 0) {
			t.Errorf("catalogue %v and %d problems", c, len(problems))
		}
	})
}

// Whatever is shipped fits the published schema.
func TestSchema_TakesTheShippedFiles(t *testing.T) {
	schema, err := jsonschema.UnmarshalJSON(bytes.NewReader(catalogfile.Schema()))
	if err != nil {
		t.Fatal(err)
	}
	compiler := jsonschema.NewCompiler()
	if err := compiler.AddResource("urn:catalog", schema); err != nil {
		t.Fatal(err)
	}
	compiled, err := compiler.Compile("urn:catalog")
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, f := range catalog.Files() {
		var value any
		if err := yaml.NewDecoder(f.Data).Decode(&value); err != nil {
			t.Fatal(err)
		}
		text, err := json.Marshal(value)
		if err != nil {
			t.Fatal(err)
		}
		parsed, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		if err := compiled.Validate(parsed); err != nil {
			t.Errorf("%s: %v", f.Name, err)
		}
		n++
	}
	if n < 5 {
		t.Errorf("only %d files", n)
	}
}
