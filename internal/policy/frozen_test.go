package policy

import (
	"flag"
	"fmt"
	"go/ast"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
)

// update adds new keys to the frozen lists and takes packages that exist out of
// planned.txt. It never takes a key out: that is done by hand, by whoever also
// changes the format's version.
var update = flag.Bool("update", false, "add new keys to docs/formats/*.keys.txt, take existing packages out of planned.txt")

// frozen are the published JSON formats. The list of a format's keys may grow;
// a key that is in it keeps its place and its kind as long as the version does.
var frozen = []struct{ list, dir string }{
	{"docs/formats/solution-1.keys.txt", "internal/engine/rig/solution"},
}

func TestFrozenKeys(t *testing.T) {
	sources := ourSources(t)
	root := moduleRoot(t)
	for _, f := range frozen {
		var own []source
		for _, s := range sources {
			if s.dir() == f.dir && !s.isTest {
				own = append(own, s)
			}
		}
		file := filepath.Join(root, filepath.FromSlash(f.list))
		text, err := os.ReadFile(file)
		if len(own) == 0 {
			if err == nil {
				t.Errorf("%s is there and the package %s is not: nobody writes that format", f.list, f.dir)
			}
			continue
		}
		if err != nil && !*update {
			t.Errorf("%v: write it with go test ./internal/policy -run FrozenKeys -update", err)
			continue
		}
		keys, err := jsonKeys(own)
		if err != nil {
			t.Errorf("%s: %v", f.dir, err)
			continue
		}
		listed := plannedList(string(text))
		if *update {
			all := append(listed, keys...)
			slices.Sort(all)
			head := "# The keys of a published JSON format, one a line: path and kind; ? may be left out,\n" +
				"# [] an item of a list, * any key. Lines may be added. None may be changed or taken out\n" +
				"# while the version in the file's name stands.\n"
			all = slices.Compact(all)
			if err := os.WriteFile(file, []byte(head+strings.Join(all, "\n")+"\n"), 0o644); err != nil {
				t.Error(err)
			}
			listed = all
		}
		report(t, keyBreaches(f.list, listed, keys))
		// A new key is free until it is listed; a release lists all there are.
		for _, k := range keys {
			if !slices.Contains(listed, k) {
				t.Logf("%s: %q is not listed yet; -update lists it, and then it stays", f.list, k)
			}
		}
	}
}

func keyBreaches(list string, listed, keys []string) []string {
	var out []string
	if len(listed) == 0 {
		out = append(out, list+": no key in it")
	}
	for _, k := range listed {
		if !slices.Contains(keys, k) {
			out = append(out, fmt.Sprintf("%s: %q is published and the code no longer has it so; give the format a new version or put it back", list, k))
		}
	}
	return out
}

// jsonKeys lists the JSON keys of the package's document type, read from its
// struct tags. The document is the one struct that has a field with the key
// "format". Types of other packages are named, not entered.
func jsonKeys(sources []source) ([]string, error) {
	declared := map[string]ast.Expr{}
	var roots []string
	for _, s := range sources {
		ast.Inspect(s.file, func(n ast.Node) bool {
			spec, ok := n.(*ast.TypeSpec)
			if !ok {
				return true
			}
			declared[spec.Name.Name] = spec.Type
			if st, ok := spec.Type.(*ast.StructType); ok {
				for _, f := range st.Fields.List {
					if key, _ := jsonTag(f); key == "format" {
						roots = append(roots, spec.Name.Name)
					}
				}
			}
			return true
		})
	}
	if len(roots) != 1 {
		return nil, fmt.Errorf("%d types have a JSON key \"format\" (%s); one is the document", len(roots), strings.Join(roots, ", "))
	}
	var keys []string
	var walk func(at string, e ast.Expr, within []string) string
	structKeys := func(at string, st *ast.StructType, within []string) error {
		for _, f := range st.Fields.List {
			key, option := jsonTag(f)
			embedded := len(f.Names) == 0 && key == ""
			switch {
			case key == "-":
			case embedded:
				walk(strings.TrimSuffix(at, "."), f.Type, within)
			case key == "":
				if slices.ContainsFunc(f.Names, (*ast.Ident).IsExported) {
					return fmt.Errorf("field %s under %q has no JSON key", f.Names[0].Name, at)
				}
			default:
				keys = append(keys, at+key+" "+walk(at+key, f.Type, within)+option)
			}
		}
		return nil
	}
	var failed error
	walk = func(at string, e ast.Expr, within []string) string {
		switch e := e.(type) {
		case *ast.StarExpr:
			return walk(at, e.X, within) + " or null"
		case *ast.ArrayType:
			return "list of " + walk(at+"[]", e.Elt, within)
		case *ast.MapType:
			return "map to " + walk(at+".*", e.Value, within)
		case *ast.StructType:
			if at != "" {
				at += "."
			}
			if err := structKeys(at, e, within); err != nil && failed == nil {
				failed = err
			}
			return "object"
		case *ast.InterfaceType:
			return "anything"
		case *ast.SelectorExpr:
			return fmt.Sprintf("%s.%s", e.X, e.Sel.Name)
		case *ast.Ident:
			switch e.Name {
			case "string", "bool":
				return e.Name
			case "any":
				return "anything"
			case "float64", "float32", "int", "int64", "int32", "uint64", "uint32", "uint", "uint8", "int8", "uint16", "int16":
				return "number"
			}
			if slices.Contains(within, e.Name) {
				return "object as above" // a type that holds itself
			}
			if declared[e.Name] == nil {
				return e.Name
			}
			return walk(at, declared[e.Name], append(slices.Clone(within), e.Name))
		}
		return fmt.Sprintf("%T", e)
	}
	walk("", ast.NewIdent(roots[0]), nil)
	slices.Sort(keys)
	return keys, failed
}

// jsonTag returns a field's JSON key and "?" if it may be left out.
func jsonTag(f *ast.Field) (key, option string) {
	if f.Tag == nil {
		return "", ""
	}
	key, options, _ := strings.Cut(reflect.StructTag(strings.Trim(f.Tag.Value, "`")).Get("json"), ",")
	if strings.Contains(options, "omitempty") || strings.Contains(options, "omitzero") {
		option = "?"
	}
	return key, option
}

const keyed = "package s\n" +
	"type Doc struct {\n" +
	"\tFormat string `json:\"format\"`\n" +
	"\tLegs []Leg `json:\"legs\"`\n" +
	"\tHead\n" +
	"\tByID map[string]Leg `json:\"by_id,omitempty\"`\n" +
	"\tNote string `json:\"-\"`\n" +
	"\tprivate int\n" +
	"}\n" +
	"type Head struct { Title Title `json:\"title\"` }\n" +
	"type Title string\n" +
	"type Leg struct {\n" +
	"\tUse *float64 `json:\"use\"`\n" +
	"\tAt [3]float64 `json:\"at_m\"`\n" +
	"\tParts []Leg `json:\"parts,omitzero\"`\n" +
	"}\n"

func TestJSONKeys_ReadsTagsOfNestedTypes(t *testing.T) {
	got, err := jsonKeys(madeUp(t, map[string]string{"s/s.go": keyed}))
	if err != nil {
		t.Fatal(err)
	}
	want := []string{
		"by_id map to object?", "by_id.*.at_m list of number", "by_id.*.parts list of object as above?", "by_id.*.use number or null",
		"format string", "legs list of object", "legs[].at_m list of number", "legs[].parts list of object as above?", "legs[].use number or null",
		"title string",
	}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

func TestJSONKeys_RefusesWhatItCannotRead(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"no document", "package s\ntype A struct{}", "0 types"},
		{"two documents", "package s\ntype A struct{ F string `json:\"format\"` }\ntype B struct{ F string `json:\"format\"` }", "2 types"},
		{"a key by accident", "package s\ntype A struct{ F string `json:\"format\"`; Mass float64 }", "Mass"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := jsonKeys(madeUp(t, map[string]string{"s/s.go": c.text}))
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got error %v, want one that mentions %q", err, c.want)
			}
		})
	}
}

func TestKeyBreaches_FindsKeysGoneAndChanged(t *testing.T) {
	mustFind(t, keyBreaches("l", []string{"a string", "b number", "c bool"}, []string{"a string", "b string"}),
		`"b number" is published`, `"c bool" is published`)
	mustFind(t, keyBreaches("l", nil, nil), "no key")
}
