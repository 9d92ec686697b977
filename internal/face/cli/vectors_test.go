package cli_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"hangtrue/internal/engine/audit"
	"hangtrue/internal/engine/rig/rigfile"
	"hangtrue/internal/face/cli"
)

// vector is one file of testdata/vectors: a rig, and what must come of it.
type vector struct {
	head  map[string]string
	rig   string
	parts map[string]string
}

// headKeys are the keys that a vector's head may have. expect is errors or
// solution; about says what the vector shows; how says where its numbers come
// from; exit is the exit status of solve.
var headKeys = []string{"about", "expect", "how", "exit"}

func readVector(t *testing.T, file string) vector {
	t.Helper()
	a, err := txtar.ParseFile(file)
	if err != nil {
		t.Fatal(err)
	}
	v := vector{head: map[string]string{}, parts: map[string]string{}}
	for line := range strings.Lines(string(a.Comment)) {
		key, value, ok := strings.Cut(strings.TrimSpace(line), ": ")
		if !ok || !slices.Contains(headKeys, key) {
			t.Fatalf("the head has the line %q; known keys are %v", line, headKeys)
		}
		v.head[key] = value
	}
	for _, f := range a.Files {
		v.parts[f.Name] = string(f.Data)
	}
	v.rig = v.parts["rig.yaml"]
	want := "errors"
	if v.head["expect"] == "solution" {
		want = "want"
	}
	if v.rig == "" || v.parts[want] == "" || len(a.Files) != 2 || v.head["about"] == "" {
		t.Fatalf("a vector has about:, rig.yaml and %s", want)
	}
	return v
}

// vectors runs over a folder and fails when it holds fewer than it should.
func vectors(t *testing.T, folder string, least int, run func(*testing.T, vector)) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("..", "..", "..", "testdata", "vectors", folder, "*.txtar"))
	if err != nil {
		t.Fatal(err)
	}
	if len(files) < least {
		t.Fatalf("%d vectors, want at least %d", len(files), least)
	}
	for _, f := range files {
		t.Run(strings.TrimSuffix(filepath.Base(f), ".txtar"), func(t *testing.T) { run(t, readVector(t, f)) })
	}
}

// solveText runs the command line on a rig on standard input.
func solveText(rig string, args ...string) (status int, stdout, stderr string) {
	var out, errs bytes.Buffer
	p := cli.Program{Args: append([]string{"solve", "-"}, args...), Stdin: strings.NewReader(rig), Stdout: &out, Stderr: &errs}
	return p.Run(), out.String(), errs.String()
}

func TestVectors_Rig(t *testing.T) {
	vectors(t, "rig", 75, func(t *testing.T, v vector) {
		if v.head["expect"] != "errors" {
			t.Fatalf("expect: %s; a rig vector expects errors", v.head["expect"])
		}
		_, problems := rigfile.Read([]byte(v.rig))
		var got []string
		for _, p := range problems {
			got = append(got, fmt.Sprintf("%d: %s", p.Line, p.String()))
		}
		want := strings.Split(strings.TrimSuffix(v.parts["errors"], "\n"), "\n")
		if len(got) != len(want) {
			t.Fatalf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
		}
		for i := range want {
			line, text, _ := strings.Cut(want[i], ": ")
			if !strings.HasPrefix(got[i], line+": ") || !strings.Contains(got[i], text) {
				t.Errorf("got  %s\nwant %s", got[i], want[i])
			}
		}
		// The command line says the same, and nothing on standard output.
		for _, args := range [][]string{nil, {"--json"}} {
			status, out, errs := solveText(v.rig, args...)
			shown := ""
			for _, g := range got {
				shown += "standard input:" + g + "\n"
			}
			if status != 2 || out != "" || errs != shown {
				t.Errorf("solve %v: status %d, output %q, errors %q", args, status, out, errs)
			}
		}
	})
}

func TestVectors_Solution(t *testing.T) {
	vectors(t, "solution", 35, func(t *testing.T, v vector) {
		if v.head["expect"] != "solution" || v.head["how"] == "" {
			t.Fatal("a solution vector expects a solution and says how its numbers were found")
		}
		status, out, errs := solveText(v.rig, "--json")
		if want := v.head["exit"]; strconv.Itoa(status) != want {
			t.Errorf("exit status %d, want %s; %s", status, want, errs)
		}
		var root map[string]any
		if err := json.Unmarshal([]byte(out), &root); err != nil {
			t.Fatal(err)
		}
		n := 0
		for line := range strings.Lines(v.parts["want"]) {
			if line = strings.TrimSpace(line); line == "" || line[0] == '#' {
				continue
			}
			n++
			if wrong := holds(root, line); wrong != "" {
				t.Errorf("%s: %s", line, wrong)
			}
		}
		if n == 0 {
			t.Error("nothing is wanted")
		}
		if root["bodies"] == nil || len(root["bodies"].([]any)) == 0 {
			return // counts still to be found
		}
		report, err := audit.Run([]byte(v.rig), []byte(out))
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range report.Disagreements {
			t.Errorf("audit: %v", d)
		}
		if textStatus, text, _ := solveText(v.rig); textStatus != status || !strings.Contains(text, "Result: ") {
			t.Errorf("as text: exit status %d", textStatus)
		}
	})
}

// holds says what is wrong with one wanted line:
//
//	PATH = NUMBER +- TOLERANCE
//	PATH = "text", true, false or null
//	PATH ~ part of a text
//	finding CODE ABOUT
//	no finding CODE
//
// PATH goes through keys by points; an entry of a list goes by its id, its
// about or its place.
func holds(root map[string]any, line string) string {
	words := strings.Fields(line)
	if code, ok := strings.CutPrefix(line, "no finding "); ok {
		if hasFinding(root, code, "") {
			return "it is there"
		}
		return ""
	}
	if words[0] == "finding" {
		if !hasFinding(root, words[1], strings.Join(words[2:], " ")) {
			return fmt.Sprintf("there is none in %v", root["findings"])
		}
		return ""
	}
	if path, part, ok := strings.Cut(line, " ~ "); ok {
		have, found := at(root, path)
		if text, _ := have.(string); !found || !strings.Contains(text, part) {
			return fmt.Sprintf("got %v", have)
		}
		return ""
	}
	path, value, ok := strings.Cut(line, " = ")
	if !ok {
		return "not understood"
	}
	have, found := at(root, path)
	if !found {
		return "no such key"
	}
	if number, tolerance, ok := strings.Cut(value, " +- "); ok {
		want, err := strconv.ParseFloat(number, 64)
		tol, err2 := strconv.ParseFloat(tolerance, 64)
		is, isNumber := have.(float64)
		if err != nil || err2 != nil || !isNumber || !(math.Abs(is-want) <= tol) {
			return fmt.Sprintf("got %.9v", have)
		}
		return ""
	}
	var want any
	if err := json.Unmarshal([]byte(value), &want); err != nil {
		return err.Error()
	}
	if fmt.Sprint(have) != fmt.Sprint(want) {
		return fmt.Sprintf("got %v", have)
	}
	return ""
}

func hasFinding(root map[string]any, code, about string) bool {
	list, _ := root["findings"].([]any)
	return slices.ContainsFunc(list, func(f any) bool {
		m := f.(map[string]any)
		return m["code"] == code && (about == "" || m["about"] == about)
	})
}

// at follows a path; the parts of it stand between points.
func at(v any, path string) (any, bool) {
	for path != "" {
		part := path
		// Ids of nodes and names of limits have points in them: brackets hold
		// a part together.
		if strings.HasPrefix(path, "[") {
			part, path, _ = strings.Cut(path[1:], "]")
			path = strings.TrimPrefix(path, ".")
		} else {
			part, path, _ = strings.Cut(path, ".")
		}
		switch x := v.(type) {
		case map[string]any:
			var ok bool
			if v, ok = x[part]; !ok {
				return nil, false
			}
		case []any:
			if part == "length" {
				v = float64(len(x))
				continue
			}
			i := slices.IndexFunc(x, func(e any) bool {
				m, ok := e.(map[string]any)
				return ok && (m["id"] == part || fmt.Sprintf("%v, %v", m["about"], m["what"]) == part)
			})
			if i < 0 {
				var err error
				if i, err = strconv.Atoi(part); err != nil || i < 0 || i >= len(x) {
					return nil, false
				}
			}
			v = x[i]
		default:
			return nil, false
		}
	}
	return v, true
}
