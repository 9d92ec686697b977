package document_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"go.yaml.in/yaml/v3"
	"pgregory.net/rapid"

	"hangtrue/internal/engine/document"
)

// schemaChecker compiles the schema of a shape and returns a check of YAML text
// against it.
func schemaChecker(t testing.TB, shape document.Shape) func(text []byte) error {
	t.Helper()
	schema, err := jsonschema.UnmarshalJSON(bytes.NewReader(document.Schema(shape, document.About{ID: "urn:sample", Title: "Sample"})))
	if err != nil {
		t.Fatalf("the schema is no JSON: %v", err)
	}
	compiler := jsonschema.NewCompiler()
	compiler.AssertFormat()
	if err := compiler.AddResource("urn:sample", schema); err != nil {
		t.Fatal(err)
	}
	compiled, err := compiler.Compile("urn:sample")
	if err != nil {
		t.Fatalf("the schema does not compile: %v", err)
	}
	return func(text []byte) error {
		var node yaml.Node
		if err := yaml.Unmarshal(text, &node); err != nil {
			return err
		}
		var out bytes.Buffer
		toJSON(&out, node.Content[0])
		value, err := jsonschema.UnmarshalJSON(&out)
		if err != nil {
			return fmt.Errorf("converted to what is no JSON: %w", err)
		}
		return compiled.Validate(value)
	}
}

var (
	jsonNumber = regexp.MustCompile(`^-?(0|[1-9][0-9]*)(\.[0-9]+)?([eE][-+]?[0-9]+)?$`)
	anyNumber  = regexp.MustCompile(`^[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?$|^0x[0-9a-fA-F]+$|^0o[0-7]+$`)
)

// toJSON converts as the core schema of YAML 1.2 does: unquoted numbers,
// booleans and nulls are such, all else is text.
func toJSON(out *bytes.Buffer, n *yaml.Node) {
	quote := func(text string) {
		b, err := json.Marshal(text)
		if err != nil {
			panic(err)
		}
		out.Write(b)
	}
	switch n.Kind {
	case yaml.SequenceNode:
		out.WriteByte('[')
		for i, item := range n.Content {
			if i > 0 {
				out.WriteByte(',')
			}
			toJSON(out, item)
		}
		out.WriteByte(']')
	case yaml.MappingNode:
		out.WriteByte('{')
		for i := 0; i+1 < len(n.Content); i += 2 {
			if i > 0 {
				out.WriteByte(',')
			}
			quote(n.Content[i].Value)
			out.WriteByte(':')
			toJSON(out, n.Content[i+1])
		}
		out.WriteByte('}')
	default:
		plain := n.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle|yaml.LiteralStyle|yaml.FoldedStyle) == 0
		switch {
		case !plain:
			quote(n.Value)
		case n.Value == "" || n.Value == "~" || n.Value == "null" || n.Value == "Null" || n.Value == "NULL":
			out.WriteString("null")
		case n.Value == "true" || n.Value == "True" || n.Value == "TRUE":
			out.WriteString("true")
		case n.Value == "false" || n.Value == "False" || n.Value == "FALSE":
			out.WriteString("false")
		case jsonNumber.MatchString(n.Value):
			// Numbers of absurd size are cut: programs disagree on them, and
			// only text fields take them.
			if len(n.Value) > 30 || strings.ContainsAny(n.Value, "eE") && len(n.Value) > 12 {
				out.WriteString("1")
				return
			}
			out.WriteString(n.Value)
		case anyNumber.MatchString(n.Value):
			out.WriteString("1") // 010, 0x1F, +1, .5: a number written otherwise in JSON
		default:
			quote(n.Value)
		}
	}
}

func TestSchema_AgreesWithTheReader(t *testing.T) {
	const head = "format: sample/1\ntitle: T\n"
	tests := []struct {
		name, text     string
		reader, schema bool
	}{
		{"the good example", good, true, true},
		{"smallest", head + "mass: 1 kg\n", true, true},
		{"title that looks like a number", "format: sample/1\ntitle: 2026\nmass: 1 kg\n", true, true},
		{"title that looks like an octal", "format: sample/1\ntitle: 010\nmass: 1 kg\n", true, true},
		{"title that looks like a boolean", "format: sample/1\ntitle: true\nmass: 1 kg\n", true, true},
		{"true for yes", head + "mass: 1 kg\ninvented: true\n", true, true},
		{"no title", "format: sample/1\nmass: 1 kg\n", false, false},
		{"other format", "format: sample/2\ntitle: T\nmass: 1 kg\n", false, false},
		{"neither of a pair", head, false, false},
		{"both of a pair", head + "mass: 1 kg\nitems: [a]\n", false, false},
		{"unknown key", head + "mass: 1 kg\ncolour: red\n", false, false},
		{"bare number", head + "mass: 1\n", false, false},
		{"wrong kind", head + "mass: 1 m\n", false, false},
		{"no space", head + "mass: 1kg\n", false, false},
		{"leading zero", head + "mass: 01 kg\n", false, false},
		{"comma", head + "mass: 1,5 kg\n", false, false},
		{"null", head + "mass: 1 kg\nfactor: ~\n", false, false},
		{"too long", "format: sample/1\ntitle: " + strings.Repeat("x", 41) + "\nmass: 1 kg\n", false, false},
		{"number in quotes", head + "mass: 1 kg\nfactor: '1'\n", false, false},
		{"out of range", head + "mass: 1 kg\nfactor: 3\n", false, false},
		{"two of three", head + "mass: 1 kg\nshape: {box: [1 m, 1 m]}\n", false, false},
		{"yes in quotes only here", head + "mass: 1 kg\ninvented: 'yes'\n", false, true},
		{"no such day", head + "mass: 1 kg\nedition: 2026-02-30\n", false, false},
		{"bad id in a map", head + "mass: 1 kg\npoints: {1a: [1 m, 1 m, 1 m]}\n", false, false},
		{"bad reference", head + "mass: 1 kg\nlegs: [{id: A, to: a.b.c}]\n", false, false},
		{"one in a list of two", head + "mass: 1 kg\nlegs: [{id: A, to: [a.b]}]\n", false, false},
		{"negative length", head + "mass: 1 kg\nlegs: [{id: A, to: b, length: -1 m}]\n", false, false},
		{"zero length only here", head + "mass: 1 kg\nlegs: [{id: A, to: b, length: 0 m}]\n", false, true},
		{"two of at most one", head + "mass: 1 kg\nlegs: [{id: A, to: b, length: 1 m, rope: {length: 1 m}}]\n", false, false},
		{"stretch at a mass", head + "mass: 1 kg\nlegs: [{id: A, to: b, rope: {length: 1 m, stretch: 1e-1 % at 100 lb}}]\n", true, true},
		{"stretch at nothing", head + "mass: 1 kg\nlegs: [{id: A, to: b, rope: {length: 1 m, stretch: 8 %}}]\n", false, false},
		{"clevis none", head + "mass: 1 kg\nlegs: [{id: A, to: b, clevis: none}]\n", true, true},
		{"clevis of another word", head + "mass: 1 kg\nlegs: [{id: A, to: b, clevis: some}]\n", false, false},
	}
	check := schemaChecker(t, sample())
	for _, tt := range tests {
		_, problems := document.Read([]byte(tt.text), sample())
		if got := len(problems) == 0; got != tt.reader {
			t.Errorf("%s: the reader accepts it: %v, want %v: %v", tt.name, got, tt.reader, problems)
		}
		if err := check([]byte(tt.text)); (err == nil) != tt.schema {
			t.Errorf("%s: the schema accepts it: %v, want %v: %v", tt.name, err == nil, tt.schema, err)
		}
	}
}

// TestSchema_AcceptsWhateverIsRead makes small files from parts that are right
// or nearly right.
func TestSchema_AcceptsWhateverIsRead(t *testing.T) {
	check := schemaChecker(t, sample())
	read, refused := 0, 0
	lines := [][]string{
		{"format: sample/1"},
		{"title: T", "title: 010", "title: 'yes'", "title: \"\\u00e9\"", "title: .inf", "title: \"\u00a0\""},
		{"mass: 1 kg", "mass: -0 t", "mass: 1e-3 lb", "items: [a, 1, true]", "items: []"},
		{"", "factor: 1", "factor: 2.5", "factor: 25e-1", "factor: -0", "factor: 1."},
		{"", "invented: no", "invented: false", "invented: off"},
		{"", "edition: 2024-02-29", "edition: '2024-02-28'", "edition: 2023-02-29"},
		{"", "shape: {box: [1 m, -2 ft, 3 in]}", "shape: {drum: {length: 1 m, diameter: 2 m}}", "shape: {}"},
		{"", "points: {true: [1 m, 2 m, 3 m]}", "points: {no: [0 m, 0 m, 0 m], y: [1 m, 1 m, 1 m]}"},
		{"", "note: |\n  a\n  b", "note: >-\n  a\n  b", "note: 'x: y'"},
		{"", "legs: [{id: yes, to: no.y, count: 1}]", "legs: [{id: A, to: [a, b.c], clevis: 0 kN}]", "legs: [{id: A, to: [a, b.c], clevis: 12 lb, length: 1 m}]", "legs: [{id: 'true', to: \"false\"}]", "legs: [{id: True, to: A}]"},
	}
	rapid.Check(t, func(t *rapid.T) {
		var text strings.Builder
		for i, choices := range lines {
			line := rapid.SampledFrom(choices).Draw(t, fmt.Sprint("line ", i))
			if line != "" {
				text.WriteString(line + "\n")
			}
		}
		if _, problems := document.Read([]byte(text.String()), sample()); len(problems) > 0 {
			refused++
			return
		}
		read++
		if err := check([]byte(text.String())); err != nil {
			t.Fatalf("%s\nis read, but the schema refuses it: %v", text.String(), err)
		}
	})
	if read == 0 || refused == 0 {
		t.Errorf("%d files read and %d refused: both kinds are needed to test anything", read, refused)
	}
}

func TestSchema_IsTheSameEveryTime(t *testing.T) {
	about := document.About{ID: "urn:sample", Title: "Sample", Description: "A sample."}
	first := document.Schema(sample(), about)
	for range 5 {
		if !bytes.Equal(first, document.Schema(sample(), about)) {
			t.Fatal("two schemas of one shape differ")
		}
	}
	for _, want := range []string{`"$schema": "https://json-schema.org/draft/2020-12/schema"`, `"additionalProperties": false`, `"description": "unstretched length"`, `"$ref": "#/$defs/unsigned-length"`} {
		if !bytes.Contains(first, []byte(want)) {
			t.Errorf("the schema lacks %s", want)
		}
	}
}
