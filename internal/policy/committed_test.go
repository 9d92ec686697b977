package policy

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/token"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"
)

// committed is a text file that is, or with the next commit would be, in the
// repository.
type committed struct {
	path string // slash-separated, from the module's root
	text []byte
}

// committedFiles reads all text files that git knows or would add. It skips
// the test where the tree is no git checkout (a module zip, a vendored copy).
func committedFiles(t *testing.T) []committed {
	t.Helper()
	root := moduleRoot(t)
	if _, err := os.Stat(filepath.Join(root, ".git")); err != nil {
		t.Skip("skipped: this tree is no git checkout, so nothing says which files are committed")
	}
	// The checkout may belong to another user than the one who runs the tests.
	c := exec.Command("git", "-c", "safe.directory=*", "ls-files", "-z", "--cached", "--others", "--exclude-standard")
	c.Dir = root
	list, err := c.Output()
	if err != nil {
		t.Fatalf("git ls-files: %v", err)
	}
	var out []committed
	for name := range strings.SplitSeq(string(list), "\x00") {
		if name == "" {
			continue
		}
		text, err := os.ReadFile(filepath.Join(root, name))
		if err != nil || bytes.IndexByte(text, 0) >= 0 || !utf8.Valid(text) {
			continue // deleted since, a folder of another module, or no text
		}
		out = append(out, committed{name, text})
	}
	if len(out) < 10 {
		t.Fatalf("git names only %d text files; the check reads nothing", len(out))
	}
	return out
}

// machineTrace is text that only means something on one person's machine.
type machineTrace struct {
	what    string
	pattern *regexp.Regexp
}

// generalTraces are written so that they do not match themselves.
var generalTraces = []machineTrace{
	{"a home folder", regexp.MustCompile(`(^|[^\w./-])(/home/[a-z]|/Users/[A-Za-z]|/[r]oot/[a-z.])|[A-Z]:\\Users\\`)},
	{"the host of a package registry", regexp.MustCompile(`(?i)\b(proxy|sum)\.golang\.org|\bgoproxy\.|\bregistry\.(npmjs\.org|yarnpkg\.com)|\bpypi\.org|\b(deb|snapshot)\.debian\.org|\bartifactory\b`)},
}

// sharedFolders are too general to give a machine away.
var sharedFolders = []string{"/", "/bin", "/etc", "/home", "/lib", "/mnt", "/opt", "/srv", "/src", "/tmp", "/usr", "/usr/local", "/usr/src", "/var", "/var/tmp", "."}

// traceOf matches paths in a folder of the machine that runs the test. The bare
// name of the folder is let through: /work alone may be a page.
func traceOf(what, dir string) []machineTrace {
	dir = strings.TrimRight(filepath.ToSlash(dir), "/")
	if dir == "" || slices.Contains(sharedFolders, dir) {
		return nil
	}
	return []machineTrace{{what, regexp.MustCompile(`(^|[^\w./-])` + regexp.QuoteMeta(dir) + `/`)}}
}

func TestCommitted_NoTraceOfOneMachine(t *testing.T) {
	files := committedFiles(t)
	traces := slices.Clone(generalTraces)
	root := moduleRoot(t)
	traces = append(traces, traceOf("this checkout", root)...)
	traces = append(traces, traceOf("the folder of this checkout", filepath.Dir(root))...)
	if home, err := os.UserHomeDir(); err == nil && !generalTraces[0].pattern.MatchString(home+"/x") { // else it is among the general ones
		traces = append(traces, traceOf("this home folder", home)...)
	}
	if cache, err := exec.Command("go", "env", "GOMODCACHE").Output(); err == nil {
		traces = append(traces, traceOf("this module cache", strings.TrimSpace(string(cache)))...)
	}
	report(t, traceBreaches(files, traces))
}

func traceBreaches(files []committed, traces []machineTrace) []string {
	var out []string
	for _, f := range files {
		for _, trace := range traces {
			if at := trace.pattern.FindIndex(f.text); at != nil {
				line := 1 + bytes.Count(f.text[:at[1]-1], []byte("\n"))
				out = append(out, fmt.Sprintf("%s:%d: names %s (%q)", f.path, line, trace.what, bytes.TrimSpace(f.text[at[0]:at[1]])))
			}
		}
	}
	return out
}

func TestCommitted_FindsEachTrace(t *testing.T) {
	// The samples are put together here, or this file would breach the rule.
	join := func(parts ...string) []byte { return []byte(strings.Join(parts, "")) }
	files := []committed{
		{"fine.md", join("see https://example.org/home", "/page, /usr/bin/env, docs/sho", "p/main/ and ../", "home/x")},
		{"home.go", join("x\nopen(\"/ho", "me/anna/rig.yaml\")")},
		{"root.sh", join("cd /ro", "ot/go")},
		{"win.txt", join("C:\\Us", "ers\\anna")},
		{"proxy.yml", join("GOPROXY: https://proxy.gol", "ang.org")},
		{"lock.json", join("https://registry.npm", "js.org/x")},
		{"here.md", join("run it in /sho", "p/main/cmd")},
	}
	traces := append(slices.Clone(generalTraces), traceOf("this checkout", "/shop/main")...)
	mustFind(t, traceBreaches(files, traces), "home.go:2: names a home folder", "root.sh:1: names a home folder", "win.txt",
		"proxy.yml:1: names the host", "lock.json", "here.md:1: names this checkout")
	for _, general := range []string{"/", "/usr/", "/src"} {
		if traceOf("x", general) != nil {
			t.Errorf("%q would match in files that give nothing away", general)
		}
	}
}

// clearances are words that clear a load. A result is only: within the limits
// entered, over a limit, cannot tell, does not stand. The program has no
// standing to say more; a qualified person signs.
var clearances = regexp.MustCompile(`(?i)\b(safe|ok|okay|fit|good|clear|approved|ready) to (lift|fly|hoist|hook)\b` +
	`|\b(is|are|looks|load|rig|lift|sling|leg)[ -](safe|ok|okay)\b|\bsafely\b.{0,20}\blift|\bcleared\b|\bclearance to lift\b` +
	`|\bgood to go\b|\ball clear\b|\bpassed inspection\b|[✓✔☑✅👍]`)

// denials are taken out before clearances are looked for: sentences that say
// what the program does not do.
var denials = regexp.MustCompile(`(?i)\b(not|no|never|nor)( is)?( a| an)? (clearance to lift|cleared( to lift)?|safe to (lift|fly))\b|\b(does not say|never says|cannot say) that (a|the) (load|rig|lift) is safe\b`)

func TestCommitted_NothingClearsALoad(t *testing.T) {
	files := committedFiles(t)
	breaches, read := clearanceBreaches(files, ourSources(t))
	if read < 10 {
		t.Fatalf("looked through only %d files", read)
	}
	report(t, breaches)
}

// clearanceBreaches looks through the string literals of Go files (no tests,
// no comments) and the whole text of pages, templates, scripts and data. It
// also returns how many files it looked through.
func clearanceBreaches(files []committed, sources []source) (out []string, read int) {
	look := func(where, text string) {
		text = strings.Join(strings.Fields(text), " ")
		if found := clearances.FindString(denials.ReplaceAllString(text, "")); found != "" {
			out = append(out, fmt.Sprintf("%s: %q clears a load; say what was compared with which limit", where, found))
		}
	}
	for _, s := range sources {
		if s.isTest {
			continue
		}
		read++
		ast.Inspect(s.file, func(n ast.Node) bool {
			if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING {
				if text, err := strconv.Unquote(lit.Value); err == nil {
					look(s.at(lit), text)
				}
			}
			return true
		})
	}
	for _, f := range files {
		if slices.Contains(strings.Split(f.path, "/"), "testdata") {
			continue
		}
		switch path.Ext(f.path) {
		case ".html", ".tmpl", ".gohtml", ".yaml", ".yml", ".js", ".mjs", ".svg", ".json":
			read++
			for i, line := range bytes.Split(f.text, []byte("\n")) {
				look(fmt.Sprintf("%s:%d", f.path, i+1), string(line))
			}
		}
	}
	return out, read
}

func TestCommitted_FindsWordsThatClear(t *testing.T) {
	sources := madeUp(t, map[string]string{
		"a/a.go": "package a\n" +
			"// The load is safe to lift: a comment is not printed.\n" +
			"var A = `This is not a clearance to lift.`\n" +
			"var B = \"all legs within the limits entered\"\n" +
			"var C = \"the load is \\u2714\"\n" +
			"var D = \"Safe to lift\"\n",
		"a/a_test.go": "package a\nvar E = \"safe to lift\"",
	})
	files := []committed{
		{"web/page.html", []byte("<p>It never says that a load is safe.</p>\n<p>OK to lift</p>")},
		{"x.yaml", []byte("text: cleared\nother: area clear of people")},
		{"testdata/y.yaml", []byte("text: cleared")},
		{"docs/z.md", []byte("no page may say that a load is safe")},
	}
	breaches, read := clearanceBreaches(files, sources)
	mustFind(t, breaches, "a/a.go:5", `a/a.go:6: "Safe to lift"`, `web/page.html:2: "OK to lift"`, `x.yaml:1: "cleared"`)
	if read != 3 {
		t.Errorf("looked through %d files, want 3", read)
	}
}
