package policy

import (
	"fmt"
	"go/ast"
	"os/exec"
	"path"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// The engine and the paper are pure: values in, values or bytes out. What
// they compute depends on nothing but their arguments, so any answer can be
// computed again, by anybody, to the same digits.

// pureStd are the packages of the standard library that code in the engine and
// the paper may import. None of them reaches a file, the network, the clock or
// the environment by itself, but for the calls in impureCalls.
var pureStd = []string{
	"bufio", "bytes", "cmp", "container/heap", "context", "crypto/ed25519", "crypto/sha256",
	"encoding", "encoding/base64", "encoding/binary", "encoding/csv", "encoding/hex", "encoding/json", "encoding/xml",
	"errors", "fmt", "hash", "hash/crc32", "hash/fnv", "io", "iter", "maps", "math", "math/bits", "math/cmplx",
	"slices", "sort", "strconv", "strings", "time", "unicode", "unicode/utf8", "unicode/utf16",
}

// pureExtra are further packages, each with the rooms that may import it and the
// reason. A name ending in a slash stands for everything beneath it.
var pureExtra = []struct{ path, rooms, reason string }{
	{"regexp", "engine paper", "patterns over text in memory"},
	{"sync", "engine paper", "values made once, such as a parsed font"},
	{"sync/atomic", "engine", "how far a long computation is, for whoever shows it"},
	{"math/rand/v2", "engine", "seeded generators handed in; top-level functions are refused below"},
	{"math/big", "engine", "exact sums"},
	{"io/fs", "engine", "a file tree handed in; opens nothing itself"},
	{"html", "paper", "escaping of text"},
	{"image", "paper", "pixels in memory"},
	{"image/color", "paper", "pixels in memory"},
	{"image/draw", "paper", "pixels in memory"},
	{"image/png", "paper", "encodes pixels to a writer"},
	{"compress/zlib", "paper", "streams of PDF and PNG"},
	{"go.yaml.in/yaml/v3", "engine/document engine/audit", "the one YAML reader; the audit reads rigs by a route of its own"},
	{"gonum.org/v1/gonum/", "engine/statics engine/teach", "linear algebra and special functions outside the inner loop"},
	{"golang.org/x/mod/sumdb/", "engine/record", "the log's tree and signed notes"},
	{"github.com/gowebpki/jcs", "engine/record", "canonical JSON before hashing"},
	{"golang.org/x/image/", "paper/draw", "font outlines and the rasteriser"},
	{"golang.org/x/text/", "paper/draw", "text is cleaned before it is drawn"},
	{"codeberg.org/go-fonts/dejavu/", "paper/draw", "the font, as bytes"},
	{"codeberg.org/go-pdf/fpdf", "paper/draw/pdf", "the PDF writer"},
	{"rsc.io/qr", "paper", "QR codes as modules"},
}

// impureCalls are names of allowed packages that read what purity forbids, or
// write past the caller's writer.
var impureCalls = map[string][]string{
	"time": {"Now", "Since", "Until", "Sleep", "After", "AfterFunc", "Tick", "NewTicker", "NewTimer", "Local", "LoadLocation"},
	"fmt":  {"Print", "Printf", "Println", "Scan", "Scanf", "Scanln"},
}

// randNames are the names of math/rand and math/rand/v2 that do not draw from
// the global, unseeded source. Every other name is refused.
var randNames = []string{
	"New", "NewPCG", "NewChaCha8", "NewSource", "NewZipf", "Rand", "Source", "Source64", "PCG", "ChaCha8", "Zipf",
}

func isPure(dir string) bool {
	return strings.HasPrefix(dir, "internal/engine/") || strings.HasPrefix(dir, "internal/paper/")
}

func TestPurity(t *testing.T) {
	report(t, impurities(ourSources(t)))
}

// impurities lists what the non-test files of the two pure rings import or
// call against the lists above.
func impurities(sources []source) []string {
	var out []string
	for _, s := range sources {
		if s.isTest || !isPure(s.dir()) {
			continue
		}
		called := map[string]string{} // name in the file → import path
		for i, to := range s.imports() {
			spec := s.file.Imports[i]
			if !mayBePure(s.dir(), to) {
				out = append(out, fmt.Sprintf("%s: %q is not among the imports of a pure package (see pureStd and pureExtra in purity_test.go)", s.at(spec), to))
			}
			name := path.Base(to)
			if name == "v2" {
				name = path.Base(path.Dir(to))
			}
			if spec.Name != nil {
				name = spec.Name.Name
			}
			if name == "." {
				out = append(out, fmt.Sprintf("%s: a dot import hides where names come from", s.at(spec)))
			}
			called[name] = to
		}
		ast.Inspect(s.file, func(n ast.Node) bool {
			if call, ok := n.(*ast.CallExpr); ok {
				if f, ok := call.Fun.(*ast.Ident); ok && (f.Name == "print" || f.Name == "println") {
					out = append(out, fmt.Sprintf("%s: %s writes to the terminal", s.at(n), f.Name))
				}
			}
			selected, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			from, ok := selected.X.(*ast.Ident)
			if !ok {
				return true
			}
			name := selected.Sel.Name
			switch to := called[from.Name]; {
			case to == "os",
				slices.Contains(impureCalls[to], name),
				(to == "math/rand" || to == "math/rand/v2") && !slices.Contains(randNames, name):
				out = append(out, fmt.Sprintf("%s: %s.%s in a pure package; take it as an argument", s.at(n), from.Name, name))
			}
			return true
		})
	}
	return out
}

func mayBePure(dir, to string) bool {
	if strings.HasPrefix(to, module+"/") {
		return true // the arrows speak of it
	}
	if slices.Contains(pureStd, to) {
		return true
	}
	for _, e := range pureExtra {
		if to != e.path && !(strings.HasSuffix(e.path, "/") && strings.HasPrefix(to, e.path)) {
			continue
		}
		for room := range strings.FieldsSeq(e.rooms) {
			if dir == "internal/"+room || strings.HasPrefix(dir, "internal/"+room+"/") {
				return true
			}
		}
	}
	return false
}

func TestPurity_FindsEachKindOfImpurity(t *testing.T) {
	clean := "package a\nimport (\"math/rand/v2\"; \"time\"; \"fmt\")\n" +
		"func F(r *rand.Rand, today time.Time, w fmt.Stringer) int { return rand.New(rand.NewPCG(1, 1)).IntN(3) }\n"
	mustFind(t, impurities(madeUp(t, map[string]string{
		"internal/engine/a/clean.go":      clean,
		"internal/engine/a/any_test.go":   "package a\nimport \"os\"\nvar _ = os.Args",
		"internal/keep/disk/any.go":       "package disk\nimport \"os\"\nvar _ = os.Args",
		"internal/engine/a/now.go":        "package a\nimport clock \"time\"\nvar T = clock.Now()",
		"internal/engine/a/zone.go":       "package a\nimport \"time\"\nvar L = time.Local",
		"internal/engine/a/env.go":        "package a\nimport \"os\"\nvar E = os.Getenv",
		"internal/engine/a/dice.go":       "package a\nimport \"math/rand/v2\"\nvar D = rand.IntN(6)",
		"internal/engine/a/print.go":      "package a\nimport \"fmt\"\nfunc init() { fmt.Println(1); println(2) }",
		"internal/engine/a/dot.go":        "package a\nimport . \"math\"\nvar P = Pi",
		"internal/engine/document/y.go":   "package document\nimport _ \"go.yaml.in/yaml/v3\"",
		"internal/engine/rig/y.go":        "package rig\nimport _ \"go.yaml.in/yaml/v3\"",
		"internal/engine/b/other_arch.go": "//go:build arm64\n\npackage b\nimport _ \"log\"",
		"internal/paper/draw/svg/f.go":    "package svg\nimport _ \"codeberg.org/go-pdf/fpdf\"",
	})),
		"now.go:3: clock.Now", "zone.go:3: time.Local", `env.go:2: "os"`, "env.go:3: os.Getenv", "dice.go:3: rand.IntN",
		"print.go:3: fmt.Println", "print.go:3: println", "dot.go:2: a dot import", `rig/y.go:2: "go.yaml.in/yaml/v3"`,
		`other_arch.go:4: "log"`, `svg/f.go:2: "codeberg.org/go-pdf/fpdf"`)
}

func TestPurity_EveryExtraImportHasARoomAndAReason(t *testing.T) {
	for _, e := range pureExtra {
		if e.rooms == "" || e.reason == "" {
			t.Errorf("%s: say for which rooms and why", e.path)
		}
	}
}

// notLinked must not be in the engine even through a library: with one of them
// linked, purity rests on nobody calling it.
var notLinked = []string{"net", "net/http", "database/sql", "os/exec", "testing", "log", "log/slog", "plugin"}

func TestPurity_OfAllThatTheEngineLinks(t *testing.T) {
	c := exec.Command("go", "list", "-e", "-deps", "./internal/engine/...")
	c.Dir = moduleRoot(t)
	text, err := c.Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	linked := strings.Fields(string(text))
	if !slices.Contains(linked, "math") || !slices.ContainsFunc(linked, func(p string) bool { return strings.HasPrefix(p, module+"/internal/engine/") }) {
		t.Fatalf("go list names %d packages, and not the engine's own: the check reads nothing", len(linked))
	}
	report(t, forbiddenLinks(linked))
}

func forbiddenLinks(linked []string) []string {
	var out []string
	for _, p := range linked {
		if slices.Contains(notLinked, p) {
			out = append(out, strconv.Quote(p)+" is linked into the engine; find the way with go list -deps -f '{{.ImportPath}}: {{.Imports}}' ./internal/engine/...")
		}
	}
	return out
}

func TestPurity_FindsAForbiddenLink(t *testing.T) {
	mustFind(t, forbiddenLinks([]string{"math", "net/http", "net/url", "testing"}), `"net/http"`, `"testing"`)
}
