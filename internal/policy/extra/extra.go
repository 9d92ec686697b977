// Package extra finds the programs outside Go that some tests need: a browser,
// a database server, a second source of numbers. Tests only.
//
// Where such a program is missing the test skips and says so, unless the
// environment variable HANGTRUE_REQUIRE, a list with commas, names it: then
// the test fails. Continuous integration names them all, so that no check can
// quietly stop running.
package extra

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// Variable is the environment variable that makes extras mandatory.
const Variable = "HANGTRUE_REQUIRE"

// finders say for each extra how it is found; the text is the path of its program.
var finders = map[string]func() (string, error){
	"units":    func() (string, error) { return firstOf("units") },
	"browser":  func() (string, error) { return firstOf("chromium", "chromium-browser") },
	"scipy":    func() (string, error) { return pythonWith("scipy") },
	"iapws":    func() (string, error) { return pythonWith("iapws") },
	"postgres": postgres,
	"axe":      axe,
	"poppler":  func() (string, error) { return firstOf("pdftotext") },
	"qpdf":     func() (string, error) { return firstOf("qpdf") },
	"zbar":     func() (string, error) { return firstOf("zbarimg") },
	"rsvg":     func() (string, error) { return firstOf("rsvg-convert") },
	"node":     func() (string, error) { return firstOf("node") },
}

// Need returns the path of the program behind an extra. Where it is missing
// the test ends here: skipped, or failed if HANGTRUE_REQUIRE names the extra.
// A name that is no extra fails the test, here and in HANGTRUE_REQUIRE.
func Need(t testing.TB, name string) string {
	t.Helper()
	required := Required()
	for _, r := range required {
		if _, ok := finders[r]; !ok {
			t.Fatalf("%s names %q, which is no extra; known are %s", Variable, r, known())
		}
	}
	find, ok := finders[name]
	if !ok {
		t.Fatalf("%q is no extra; known are %s", name, known())
	}
	path, err := find()
	if err == nil {
		return path
	}
	if slices.Contains(required, name) {
		t.Fatalf("%s requires %s: %v", Variable, name, err)
	}
	t.Skipf("skipped without %s (%v); name it in %s to make this a failure", name, err, Variable)
	return ""
}

// Required lists the extras that HANGTRUE_REQUIRE names.
func Required() []string {
	var names []string
	for name := range strings.SplitSeq(os.Getenv(Variable), ",") {
		if name = strings.TrimSpace(name); name != "" {
			names = append(names, name)
		}
	}
	return names
}

func known() string {
	var names []string
	for name := range finders {
		names = append(names, name)
	}
	slices.Sort(names)
	return strings.Join(names, ", ")
}

func firstOf(programs ...string) (string, error) {
	for _, program := range programs {
		if path, err := exec.LookPath(program); err == nil {
			return path, nil
		}
	}
	return "", fmt.Errorf("no program %s found", strings.Join(programs, " or "))
}

// pythonWith finds the system's Python if it has the module. It is the
// system's on purpose: Debian's modules are not seen by another Python.
func pythonWith(module string) (string, error) {
	const python = "/usr/bin/python3"
	if err := exec.Command(python, "-c", "import "+module).Run(); err != nil {
		return "", fmt.Errorf("%s has no module %s: %w", python, module, err)
	}
	return python, nil
}

// postgres finds pg_ctl on the path, or where Debian puts it (the newest).
func postgres() (string, error) {
	if path, err := exec.LookPath("pg_ctl"); err == nil {
		return path, nil
	}
	found, err := filepath.Glob("/usr/lib/postgresql/*/bin/pg_ctl")
	if err != nil || len(found) == 0 {
		return "", fmt.Errorf("no program pg_ctl found")
	}
	return found[len(found)-1], nil
}
