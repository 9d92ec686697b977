package main

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"hangtrue/docs"
)

// folder is what lies in the folder in which the examples of every document are
// run: rigs under the names that the documents use, and the demo school's.
var folder = []string{
	"hangtrue new crate -o crate.yaml",
	"hangtrue new crate -o load.yaml",
	"hangtrue new trailer -o trailer.yaml",
	"hangtrue sequence crate.yaml -o walk.yaml",
	"hangtrue demo rigs --no-serve",
	"hangtrue demo my-rigs --no-serve",
	"hangtrue school load school.db my-rigs",
	"hangtrue school log school.db -o records.log --key records.key --head head-2026-11-25-12.txt",
}

// notRun are examples that are not run, with the reason. Each is the beginning
// of a command line; what is not used any more fails the test.
var notRun = map[string]string{
	"hangtrue serve": "it serves until it is interrupted; serve_test and the pages' tests start it",
}

// ownTest are documents whose examples another test runs.
var ownTest = map[string]string{
	"commands.md": "TestCommandsPage of package cli",
}

var (
	fence    = regexp.MustCompile("^```(\\w*)$")
	exitIs   = regexp.MustCompile(`\s+# exit (\d)$`)
	words    = regexp.MustCompile(`'[^']*'|"[^"]*"|\S+`)
	inline   = regexp.MustCompile("`(hangtrue [^`]+)`")
	stands   = regexp.MustCompile(`(^|[ /=])[A-Z]+\b|…|\.\.\.`) // a word for what a person enters
	hasFile  = regexp.MustCompile(`\.[a-z]+\b`)
	longFlag = regexp.MustCompile(`^--[a-z0-9-]+`)
)

// example is a command line in a document.
type example struct {
	line    int
	command string
	status  int // -1: whatever but bad input
	quoted  bool
}

// examplesOf reads the command lines of a document: the lines of blocks of code
// that begin with hangtrue, with or without a prompt, and those in a sentence.
func examplesOf(text string) []example {
	var out []example
	inside := false
	paragraph, began := "", 0
	flush := func() {
		for _, m := range inline.FindAllStringSubmatch(paragraph, -1) {
			out = append(out, example{began, strings.Join(strings.Fields(m[1]), " "), -1, true})
		}
		paragraph = ""
	}
	n := 0
	for line := range strings.Lines(text + "\n") {
		n++
		line = strings.TrimSuffix(line, "\n")
		if fence.MatchString(line) && (!inside || line == "```") {
			flush()
			inside = !inside
			continue
		}
		if !inside && !strings.HasPrefix(line, "    ") {
			if strings.TrimSpace(line) == "" {
				flush()
				continue
			}
			if paragraph == "" {
				began = n
			}
			paragraph += line + "\n"
			continue
		}
		command := strings.TrimPrefix(strings.TrimSpace(line), "$ ")
		if !strings.HasPrefix(command, "hangtrue ") {
			continue
		}
		e := example{n, command, -1, false}
		if m := exitIs.FindStringSubmatch(command); m != nil {
			e.status, _ = strconv.Atoi(m[1])
			e.command = strings.TrimSuffix(command, m[0])
		}
		out = append(out, e)
	}
	flush()
	return out
}

// TestDocs_EveryCommandRuns runs the command lines of each document in a folder
// of its own, in their order. One with a word for what a person enters, and one
// in a sentence that names no file, is held against the command's help.
func TestDocs_EveryCommandRuns(t *testing.T) {
	ran, looked, used := 0, 0, map[string]bool{}
	scratch := t.TempDir()
	var pages []string
	err := fs.WalkDir(docs.Files, ".", func(name string, d fs.DirEntry, err error) error {
		if err == nil && path.Ext(name) == ".md" && ownTest[name] == "" {
			pages = append(pages, name)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	start := filepath.Join(scratch, "start")
	if err := os.MkdirAll(filepath.Join(start, "procedures"), 0o777); err != nil { // where a school keeps its register
		t.Fatal(err)
	}
	for _, command := range folder {
		if status, said := runLine(t, start, command); status != 0 {
			t.Fatalf("%s: status %d\n%s", command, status, said)
		}
	}
	help := map[string]string{}
	for _, page := range pages {
		text, err := fs.ReadFile(docs.Files, page)
		if err != nil {
			t.Fatal(err)
		}
		dir := ""
		for _, e := range examplesOf(string(text)) {
			if why := exempt(e.command); why != "" {
				used[why] = true
				continue
			}
			name := nameOf(e.command)
			if stands.MatchString(e.command) || e.quoted && !hasFile.MatchString(e.command) {
				looked++
				if help[name] == "" && name != "" {
					_, help[name] = runLine(t, start, "hangtrue "+name+" --help")
				}
				for _, problem := range unknown(e.command, name, help[name]) {
					t.Errorf("docs/%s:%d: %s: %s", page, e.line, e.command, problem)
				}
				continue
			}
			if dir == "" {
				dir = filepath.Join(scratch, strings.ReplaceAll(strings.TrimSuffix(page, ".md"), "/", "-"))
				if err := os.CopyFS(dir, os.DirFS(start)); err != nil {
					t.Fatal(err)
				}
			}
			ran++
			status, said := runLine(t, dir, e.command)
			if e.status >= 0 && status != e.status || e.status < 0 && status == 2 {
				t.Errorf("docs/%s:%d: %s\nexit status %d\n%s", page, e.line, e.command, status, said)
			}
		}
	}
	for beginning := range notRun {
		if !used[beginning] {
			t.Errorf("no document has an example that begins with %q; take the exception out", beginning)
		}
	}
	if ran < 30 || looked < 15 {
		t.Errorf("only %d examples run and %d looked at", ran, looked)
	}
}

// nameOf is the command of a command line: solve, or school backup; "" for none.
func nameOf(command string) string {
	all := words.FindAllString(command, 3)
	switch name := all[1]; {
	case strings.HasPrefix(name, "-") || stands.MatchString(name):
		return ""
	case (name == "school" || name == "records") && len(all) > 2 && !strings.HasPrefix(all[2], "-"):
		return name + " " + all[2]
	default:
		return name
	}
}

func exempt(command string) string {
	for beginning := range notRun {
		if command == beginning || strings.HasPrefix(command, beginning+" ") {
			return beginning
		}
	}
	return ""
}

// unknown lists what a command line names that the command's help does not.
func unknown(command, name, help string) []string {
	if name == "" {
		return nil // hangtrue --help, or a word that stands for any command
	}
	if !strings.Contains(help, "Usage: hangtrue "+name) {
		return []string{"there is no such command"}
	}
	var out []string
	for _, w := range words.FindAllString(command, -1) {
		if flag := longFlag.FindString(w); flag != "" && !regexp.MustCompile(regexp.QuoteMeta(flag)+`\b`).MatchString(help) {
			out = append(out, "it has no "+flag)
		}
	}
	return out
}

// runLine runs commands joined by | in a folder, and returns the status of the
// last and what it said.
func runLine(t *testing.T, dir, line string) (status int, said string) {
	t.Helper()
	var out bytes.Buffer
	for part := range strings.SplitSeq(line, " | ") {
		parts := words.FindAllString(part, -1)
		for i, w := range parts {
			parts[i] = strings.Trim(w, `'"`)
		}
		if parts[0] != "hangtrue" {
			t.Fatalf("%s: %s is not ours", line, parts[0])
		}
		c := exec.Command(parts[0], parts[1:]...)
		c.Dir = dir
		c.Stdin = bytes.NewReader(slices.Clone(out.Bytes()))
		out.Reset()
		var errs bytes.Buffer
		c.Stdout, c.Stderr = &out, &errs
		err := c.Run()
		var exit *exec.ExitError
		switch {
		case errors.As(err, &exit):
			status = exit.ExitCode()
		case err != nil:
			t.Fatalf("%s: %v", line, err)
		default:
			status = 0
		}
		said = out.String() + errs.String()
	}
	return status, said
}

func TestExamplesOf_FindsEachForm(t *testing.T) {
	got := examplesOf("# A\n\nDo `hangtrue solve\nload.yaml` and:\n\n```console\n$ hangtrue check a.yaml   # exit 3\nhangtrue: said\n```\n\n    hangtrue draw a.yaml -o a.svg\n    900 kg\n\n```yaml\nx: 1\n```\n")
	want := []example{
		{3, "hangtrue solve load.yaml", -1, true},
		{7, "hangtrue check a.yaml", 3, false},
		{11, "hangtrue draw a.yaml -o a.svg", -1, false},
	}
	if !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}
