package catalog

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode"

	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/part/catalogfile"
)

var update = flag.Bool("update", false, "write docs/inspection-practice.md anew")

func TestFiles_ReadWithoutAProblem(t *testing.T) {
	_, problems := catalogfile.Load(Files()...)
	for _, p := range problems {
		t.Error(p)
	}
}

// wanted are the subjects that a walk round a sling load has to know, each with
// attributes that it must ask of them.
var wanted = map[string][]string{
	"grab-hook": {"count", "seated", "shape"}, "keeper": {"closed", "springs"}, "eye-roller": {"present"},
	"chain": {"twist", "routing", "wear", "links"}, "excess-chain": {"held", "run", "tie"},
	"rope-leg": {"cut", "chafe", "burn", "contamination", "end"}, "clevis": {"size", "pin", "secured"},
	"apex-fitting": {"pin", "nut", "nut-faces", "cotter", "spacer"}, "pendant": {"sound", "ends"},
	"breakaway-tie": {"present", "material", "place"}, "loose-tie": {"number", "material"}, "securing-tie": {"present", "material", "number"},
	"fill-fitting": {"capped", "taped"}, "drain-fitting": {"capped"}, "drum": {"leak", "lies", "patches"}, "drum-pair": {"marks"},
	"cargo-net": {"mesh", "border", "straps", "closure", "contents"}, "cargo-bag": {"straps", "closure"}, "ring": {"sound"},
	"coupling-link": {"pin"}, "leg-tag": {"legible"}, "wire-rope": {"wires", "shape"}, "webbing-sling": {"cut", "stitches"}, "round-sling": {"cover"},
	"long-line": {"sound", "lay"}, "remote-hook": {"closed", "release", "cable"}, "swivel": {"turns"}, "tag-line": {"length"},
	"spreader": {"straight", "welds"}, "lift-point": {"approved"},
	"vehicle":  {"brake", "gear", "steering", "doors", "glass", "mirrors", "aerials", "covers", "caps", "battery", "fuel", "stowed"},
	"tie-down": {"tight"}, "area": {"loose-items"}, "padding": {"in-place"}, "tape": {"whole"},
	"mirrored-legs": {"counts"}, "neighbour-legs": {"crossed", "wrapped"}, "apex-legs": {"half-turn", "sets"},
	"leg-run": {"point", "seat", "twist"}, "set-plate": {"legible", "legs"}, "plain-leg": {"sound"}, "body": {"contents", "held-down"},
	"choke-hitch": {"lie"}, "basket-hitch": {"balanced"}, "cargo-hook": {"keeper", "release"},
}

func TestShipped_HasEverySubject(t *testing.T) {
	c := Shipped()
	for id, attributes := range wanted {
		k, ok := c.Kind(id)
		if !ok {
			t.Errorf("there is no kind %s", id)
			continue
		}
		for _, a := range attributes {
			if _, ok := k.Attribute(a); !ok {
				t.Errorf("kind %s asks nothing about %s", id, a)
			}
		}
	}
	for _, k := range c.Kinds {
		if wanted[k.ID] == nil {
			t.Errorf("kind %s is not on the list of this test", k.ID)
		}
	}
}

// publications are what a source may begin with; anything else has to say that
// there is none, or that it is recalled.
var publications = []string{"29 CFR", "14 CFR", "ASME B30", "EN 818", "EN 1492", "TB 43-0142", "FM 4-20.197", "field manual practice"}

func TestShipped_EveryEntrySaysWhereItComesFrom(t *testing.T) {
	c, n := Shipped(), 0
	check := func(where, source string) {
		n++
		known := source == "common practice, no source"
		for _, p := range publications {
			known = known || strings.HasPrefix(source, p)
		}
		if !known {
			t.Errorf("%s: source %q names no publication and does not say that there is none", where, source)
		}
		if known && !strings.Contains(source, "no source") && !strings.Contains(source, "seen") && !strings.Contains(source, "from memory") {
			t.Errorf("%s: %q does not say whether it was seen or is recalled", where, source)
		}
	}
	for i := range c.Kinds {
		k := &c.Kinds[i]
		for j := range k.Attributes {
			a := &k.Attributes[j]
			for s := range a.States {
				check(k.ID+"/"+a.ID+"/"+a.States[s].ID, k.Origin(a, &a.States[s]))
			}
		}
	}
	if n < 300 {
		t.Errorf("only %d states", n)
	}
}

func TestShipped_IsWrittenAlike(t *testing.T) {
	c, bad := Shipped(), 0
	sentence := func(where, text string) {
		if text == "" || strings.HasSuffix(text, ".") || unicode.IsUpper([]rune(text)[0]) {
			t.Errorf("%s: %q does not begin in lower case or ends with a full stop", where, text)
		}
	}
	for _, k := range c.Kinds {
		if k.Figure == "" {
			t.Errorf("%s has no figure", k.ID)
		}
		for _, a := range k.Attributes {
			where := k.ID + "/" + a.ID
			if !strings.HasSuffix(a.Ask, "?") || !unicode.IsUpper([]rune(a.Ask)[0]) {
				t.Errorf("%s: %q is no question", where, a.Ask)
			}
			for _, s := range a.States {
				sentence(where+"/"+s.ID, s.Text)
				if s.ID == a.Good {
					continue
				}
				bad++
				sentence(where+"/"+s.ID, s.Hazard)
				if len(s.Ends) == 0 || s.Act == "" || s.Plant == "" {
					t.Errorf("%s/%s does not say what it ends in, what is done, or how it is planted", where, s.ID)
				}
				// What a person spoils for training may not be a part that flies.
				if s.Meaning == part.ApexGone && s.Act == part.PutRight && s.Plant == part.PictureOnly {
					t.Errorf("%s/%s is put right by hand and cannot be shown by hand", where, s.ID)
				}
			}
		}
	}
	if bad < 200 {
		t.Errorf("only %d bad states", bad)
	}
}

// A tie that must part and a tie that must hold are both wrong in the other's
// material.
func TestShipped_TheWrongMaterialIsAFaultBothWays(t *testing.T) {
	c, n := Shipped(), 0
	for _, k := range c.Kinds {
		if k.Duty == part.NoDuty {
			continue
		}
		n++
		a, ok := k.Attribute("material")
		if !ok {
			t.Errorf("tie %s does not ask about its material", k.ID)
			continue
		}
		other := map[part.Duty]string{part.Breakaway: "cord", part.Securing: "breakaway"}[k.Duty]
		if s, ok := a.State(other); !ok || s.ID == a.Good {
			t.Errorf("a %s tie of the other duty's material is no fault of %s", k.Duty, k.ID)
		}
	}
	if n < 3 {
		t.Errorf("only %d ties", n)
	}
}

// Every criterion is covered by an entry, or says why none covers it, and never
// both: the page below cannot show a gap that is none, or hide one.
func TestShipped_EveryCriterionIsCoveredOrNamedAsAGap(t *testing.T) {
	c := Shipped()
	covered := c.Covered()
	if len(c.Criteria) < 50 {
		t.Fatalf("only %d criteria", len(c.Criteria))
	}
	for _, x := range c.Criteria {
		switch {
		case len(covered[x.ID]) == 0 && x.Gap == "":
			t.Errorf("no entry covers %s (%s: %s)", x.ID, x.Where, x.Text)
		case len(covered[x.ID]) > 0 && x.Gap != "":
			t.Errorf("%s is said to be a gap and is covered by %v", x.ID, covered[x.ID])
		}
	}
}

func TestInspectionPracticePage_IsUpToDate(t *testing.T) {
	file := filepath.Join("..", "..", "..", "docs", "inspection-practice.md")
	got := practicePage(Shipped())
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Error("docs/inspection-practice.md is not what the catalogue says: run go test ./internal/data/catalog -update")
	}
}

func practicePage(c *part.Catalog) string {
	var b strings.Builder
	states, attributes := 0, 0
	for _, k := range c.Kinds {
		attributes += len(k.Attributes)
		for _, a := range k.Attributes {
			states += len(a.States)
		}
	}
	covered := c.Covered()
	gaps := 0
	for _, x := range c.Criteria {
		if len(covered[x.ID]) == 0 {
			gaps++
		}
	}
	fmt.Fprintf(&b, `# Published inspection practice and the catalogue

<!-- Written by go test ./internal/data/catalog -update. Do not edit by hand. -->

What published rules and standards say about looking at slings and their parts, in our own
general words, and which entries of the shipped catalogue ask about it. It is here so that a
gap shows. It is no copy of any of these publications and replaces none of them: paragraph
numbers and words are as far as the table says they were read, and *from memory* means that
somebody has to look before it decides anything.

The shipped catalogue has %d kinds with %d attributes and %d states. Of %d criteria here, %d
are covered by no entry, each with the reason.

An entry is written kind/attribute. What a walk asks on one rig depends on the parts of that
rig: see [the method](method/inspection.md).

| published in | says, in general words | entries of the catalogue |
|---|---|---|
`, len(c.Kinds), attributes, states, len(c.Criteria), gaps)
	for _, x := range c.Criteria {
		entries := strings.Join(covered[x.ID], ", ")
		if entries == "" {
			entries = "**none**: " + x.Gap
		}
		fmt.Fprintf(&b, "| %s | %s | %s |\n", x.Where, x.Text, entries)
	}
	b.WriteString("\n## Where the entries come from\n\n| source | kinds |\n|---|---|\n")
	by := map[string][]string{}
	var order []string
	for _, k := range c.Kinds {
		if by[k.Source] == nil {
			order = append(order, k.Source)
		}
		by[k.Source] = append(by[k.Source], k.ID)
	}
	slices.Sort(order)
	for _, s := range order {
		fmt.Fprintf(&b, "| %s | %s |\n", s, strings.Join(by[s], ", "))
	}
	b.WriteString("\nSingle attributes and states may name another source than their kind; the files under\n`internal/data/catalog` say it at the line.\n")
	return b.String()
}
