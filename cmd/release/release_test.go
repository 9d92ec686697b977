package main

import (
	"bytes"
	"encoding/json"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/data/licenses"
)

// madeUp writes a release without programs worth the name: bytes, a list of
// modules for them, checksums.
func madeUp(t *testing.T, dir string) {
	t.Helper()
	for _, p := range platforms {
		s := stamp{"1.2.3", strings.Repeat("ab", 20), noon}
		program := []byte("program for " + p.String())
		list, err := madeOf(p, s, program, &debug.BuildInfo{GoVersion: toolchain}, nil)
		if err != nil {
			t.Fatal(err)
		}
		base := baseName(s, p)
		archive, err := pack(p, base, []entry{{p.program(), program, true}}, noon)
		if err != nil {
			t.Fatal(err)
		}
		write(t, filepath.Join(dir, archiveName(base, p)), archive)
		write(t, filepath.Join(dir, base+bomEnding), list)
	}
	list(t, dir)
}

func write(t *testing.T, name string, data []byte) {
	t.Helper()
	if err := os.WriteFile(name, data, 0o644); err != nil {
		t.Fatal(err)
	}
}

// list writes the list of checksums of what is in a folder.
func list(t *testing.T, dir string) {
	t.Helper()
	sums, err := sumsOf(os.DirFS(dir))
	if err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(dir, sumsFile), sums)
}

// TestVerify_RefusesWhatWasChanged changes a release in each way that somebody
// might.
func TestVerify_RefusesWhatWasChanged(t *testing.T) {
	_, private, _ := newKey(t)
	file, other, _ := newKey(t)
	const archive, modules = "hangtrue-1.2.3-linux-arm64.tar.gz", "hangtrue-1.2.3-linux-arm64.cdx.json"
	flip := func(t *testing.T, name string) {
		t.Helper()
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		data[len(data)/2] ^= 1
		write(t, name, data)
	}
	for _, c := range []struct {
		name, want string
		change     func(t *testing.T, dir string)
	}{
		{name: "nothing", change: func(*testing.T, string) {}},
		{"a byte of an archive", "listed", func(t *testing.T, dir string) { flip(t, filepath.Join(dir, archive)) }},
		{"an archive gone", "listed", func(t *testing.T, dir string) {
			if err := os.Remove(filepath.Join(dir, archive)); err != nil {
				t.Fatal(err)
			}
		}},
		{"a file more", "found", func(t *testing.T, dir string) { write(t, filepath.Join(dir, "setup.exe"), []byte("x")) }},
		{"an archive and its checksum", "does not fit", func(t *testing.T, dir string) {
			flip(t, filepath.Join(dir, archive))
			list(t, dir)
		}},
		{"signed by another", "another key", func(t *testing.T, dir string) {
			if err := signFolder(dir, private); err != nil {
				t.Fatal(err)
			}
		}},
		{"no signature", signatureFile, func(t *testing.T, dir string) {
			if err := os.Remove(filepath.Join(dir, signatureFile)); err != nil {
				t.Fatal(err)
			}
		}},
		{"the modules of another program", "describes a program", func(t *testing.T, dir string) {
			text, err := os.ReadFile(filepath.Join(dir, modules))
			if err != nil {
				t.Fatal(err)
			}
			write(t, filepath.Join(dir, modules), regexp.MustCompile(`"content": "[0-9a-f]`).ReplaceAll(text, []byte(`"content": "g`)))
			list(t, dir)
			if err := signFolder(dir, other); err != nil {
				t.Fatal(err)
			}
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			madeUp(t, dir)
			if err := signFolder(dir, other); err != nil {
				t.Fatal(err)
			}
			c.change(t, dir)
			var said bytes.Buffer
			err := verifyCommand{Dir: dir, Key: file + ".pub"}.Run(outside{dir, &said})
			if (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) {
				t.Errorf("got error %v, want one that mentions %q", err, c.want)
			}
			if c.want == "" && !strings.Contains(said.String(), "each archive holds the program that its list of modules describes: 6 of 6") {
				t.Errorf("it says:\n%s", said.String())
			}
		})
	}
	if err := (verifyCommand{Dir: t.TempDir(), Key: file + ".pub"}).Run(outside{".", io.Discard}); err == nil {
		t.Error("an empty folder was taken for a release")
	}
}

func TestVerify_AsksForAKey(t *testing.T) {
	dir := t.TempDir()
	madeUp(t, dir)
	if err := (verifyCommand{Dir: dir}).Run(outside{dir, io.Discard}); err == nil || !strings.Contains(err.Error(), "no key") {
		t.Errorf("without a key: got error %v", err)
	}
	if err := (verifyCommand{Dir: dir, Unsigned: true}).Run(outside{dir, io.Discard}); err != nil {
		t.Errorf("told not to ask for a signature: %v", err)
	}
}

// repository is a git repository with one commit of one file.
func repository(t *testing.T) string {
	t.Helper()
	if _, err := exec.LookPath("git"); err != nil {
		t.Skip("skipped: no git here")
	}
	dir := t.TempDir()
	write(t, filepath.Join(dir, "a.txt"), []byte("one\n"))
	t.Setenv("GIT_COMMITTER_DATE", "2026-11-25T12:00:00Z")
	for _, args := range [][]string{
		{"init", "-q"},
		{"add", "."},
		{"-c", "user.name=x", "-c", "user.email=x@example.org", "-c", "commit.gpgsign=false", "commit", "-q", "-m", "x"},
	} {
		if out, err := exec.Command("git", append([]string{"-C", dir}, args...)...).CombinedOutput(); err != nil {
			t.Fatalf("git %v: %v: %s", args, err, out)
		}
	}
	return dir
}

func TestHead(t *testing.T) {
	t.Setenv("SOURCE_DATE_EPOCH", "")
	dir := repository(t)
	c, err := head(dir)
	if err != nil {
		t.Fatal(err)
	}
	if c.changed || len(c.revision) != 40 || !c.at.Equal(noon) || c.at.Location() != time.UTC {
		t.Errorf("got %+v, want an unchanged commit of %v", c, noon)
	}
	t.Setenv("SOURCE_DATE_EPOCH", "86400")
	if c, err := head(dir); err != nil || c.at.Unix() != 86400 {
		t.Errorf("with SOURCE_DATE_EPOCH: got %v, error %v", c.at, err)
	}
	t.Setenv("SOURCE_DATE_EPOCH", "yesterday")
	if _, err := head(dir); err == nil {
		t.Error("SOURCE_DATE_EPOCH=yesterday was taken")
	}
	t.Setenv("SOURCE_DATE_EPOCH", "")
	write(t, filepath.Join(dir, "new.txt"), nil)
	if c, err := head(dir); err != nil || !c.changed {
		t.Errorf("a file that git does not know: got %+v, error %v", c, err)
	}
	if err := tagFits(dir, "1.2.3", c.revision); err != nil {
		t.Errorf("no tag yet: %v", err)
	}
	if _, err := git(dir, "tag", "v1.2.3"); err != nil {
		t.Fatal(err)
	}
	if err := tagFits(dir, "1.2.3", c.revision); err != nil {
		t.Errorf("the tag is at this commit: %v", err)
	}
	if err := tagFits(dir, "1.2.3", strings.Repeat("0", 40)); err == nil {
		t.Error("the tag is at another commit and was taken")
	}
}

// TestExport_IsTheCommit wants what was committed, whatever was changed since.
func TestExport_IsTheCommit(t *testing.T) {
	dir := repository(t)
	write(t, filepath.Join(dir, "a.txt"), []byte("changed\n"))
	write(t, filepath.Join(dir, "b.txt"), []byte("new\n"))
	to := t.TempDir()
	if err := export(dir, "HEAD", to); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(filepath.Join(to, "a.txt"))
	if err != nil || string(text) != "one\n" {
		t.Errorf("a.txt is %q, error %v", text, err)
	}
	if _, err := os.Stat(filepath.Join(to, "b.txt")); err == nil {
		t.Error("a file that is not committed was exported")
	}
}

func TestMake_RefusesBeforeItBuilds(t *testing.T) {
	dir := repository(t)
	write(t, filepath.Join(dir, "new.txt"), nil)
	full := t.TempDir()
	write(t, filepath.Join(full, "old"), nil)
	for _, c := range []struct {
		name, want string
		command    makeCommand
	}{
		{"no version", "is no version", makeCommand{Version: "latest", Unsigned: true}},
		{"half a version", "is no version", makeCommand{Version: "1.2", Unsigned: true}},
		{"no key", "no key", makeCommand{Version: "1.2.3"}},
		{"a system that is none", "none of the platforms", makeCommand{Version: "1.2.3", Unsigned: true, Platform: []string{"plan9/mips"}}},
		{"a folder in use", "not empty", makeCommand{Version: "1.2.3", Unsigned: true, Out: full}},
		{"changes", "not committed", makeCommand{Version: "1.2.3", Unsigned: true}},
	} {
		t.Run(c.name, func(t *testing.T) {
			if c.command.Out == "" {
				c.command.Out = t.TempDir()
			}
			if err := c.command.Run(outside{dir, io.Discard}); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got error %v, want one that mentions %q", err, c.want)
			}
		})
	}
}

// TestToolchain_IsTheOneOfTheChecks holds the Go of releases against the one
// whose library is looked through for known holes.
func TestToolchain_IsTheOneOfTheChecks(t *testing.T) {
	root, err := moduleRoot()
	if err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(filepath.Join(root, ".ci", "run"))
	if err != nil {
		t.Skip("skipped: this tree is no checkout, so it has no .ci/run")
	}
	if want := "\nrelease_toolchain=" + toolchain + "\n"; !strings.Contains(string(text), want) {
		t.Errorf(".ci/run does not have the line %q", strings.TrimSpace(want))
	}
}

func TestAsAsked_RefusesOtherSettings(t *testing.T) {
	good := []debug.BuildSetting{{Key: "-trimpath", Value: "true"}, {Key: "CGO_ENABLED", Value: "0"}, {Key: "GOOS", Value: "linux"}, {Key: "GOARCH", Value: "arm64"}}
	if err := asAsked(&debug.BuildInfo{Settings: good}, unix); err != nil {
		t.Errorf("as asked: %v", err)
	}
	for _, bad := range []debug.BuildSetting{
		{Key: "CGO_ENABLED", Value: "1"},
		{Key: "GOARM64", Value: "v9.0"},
		{Key: "GOEXPERIMENT", Value: "arenas"},
		{Key: "vcs.modified", Value: "true"},
		{Key: "-tags", Value: "x"},
	} {
		if err := asAsked(&debug.BuildInfo{Settings: append(slices.Clone(good), bad)}, unix); err == nil {
			t.Errorf("%s=%s was taken", bad.Key, bad.Value)
		}
	}
	if err := asAsked(&debug.BuildInfo{Settings: good[1:]}, unix); err == nil {
		t.Error("without -trimpath was taken")
	}
	replaced := &debug.BuildInfo{Settings: good, Deps: []*debug.Module{{Path: "a", Replace: &debug.Module{Path: "b"}}}}
	if err := asAsked(replaced, unix); err == nil {
		t.Error("a replaced module was taken")
	}
}

// testPlatform is one that the checks have compiled for by then, so that the
// test mostly links.
var testPlatform = platform{"linux", "arm64"}

// TestBuild_SameBytesFromAnotherFolder builds the program from two copies of the
// source in folders of different names and lengths, and looks at what it is
// made of. Libraries come from the build cache both times; verify --rebuild
// --fresh-cache compiles them anew.
func TestBuild_SameBytesFromAnotherFolder(t *testing.T) {
	if testing.Short() {
		t.Skip("skipped: builds the program")
	}
	root, err := moduleRoot()
	if err != nil {
		t.Fatal(err)
	}
	s := stamp{"1.2.3", strings.Repeat("ab", 20), noon}
	var programs [][]byte
	var info *debug.BuildInfo
	for _, name := range []string{"a", "another/folder with a longer name"} {
		source := filepath.Join(t.TempDir(), filepath.FromSlash(name))
		for _, part := range []string{"cmd", "docs", "internal"} {
			if err := os.CopyFS(filepath.Join(source, part), os.DirFS(filepath.Join(root, part))); err != nil {
				t.Fatal(err)
			}
		}
		for _, file := range []string{"go.mod", "go.sum"} {
			data, err := os.ReadFile(filepath.Join(root, file))
			if err != nil {
				t.Fatal(err)
			}
			write(t, filepath.Join(source, file), data)
		}
		program, i, err := build(source, testPlatform, s, "local")
		if err != nil {
			t.Fatal(err)
		}
		programs, info = append(programs, program), i
	}
	if !bytes.Equal(programs[0], programs[1]) {
		t.Errorf("the programs differ, first at byte %d", firstDifference(programs[0], programs[1]))
	}
	for _, want := range []string{s.version, s.revision, "2026-11-25T12:00:00Z"} {
		if !bytes.Contains(programs[0], []byte(want)) {
			t.Errorf("the program does not hold its stamp %s", want)
		}
	}
	sums, err := goSums(root)
	if err != nil {
		t.Fatal(err)
	}
	text, err := madeOf(testPlatform, s, programs[0], info, sums)
	if err != nil {
		t.Fatal(err)
	}
	namesEveryModule(t, text, info)
	wellFormed(t, text)

	broken := *info
	broken.Deps = slices.Clone(info.Deps)
	m := *broken.Deps[0]
	m.Sum = "h1:" + strings.Repeat("A", 43) + "="
	broken.Deps[0] = &m
	if _, err := madeOf(testPlatform, s, programs[0], &broken, sums); err == nil {
		t.Error("a module with another sum than that of go.sum was taken")
	}
}

// namesEveryModule reads a list of modules as anybody would, without our types.
func namesEveryModule(t *testing.T, text []byte, info *debug.BuildInfo) {
	t.Helper()
	var b struct {
		Components []struct {
			Name, Version, PURL string
			Licenses            []any
		}
	}
	if err := json.Unmarshal(text, &b); err != nil {
		t.Fatal(err)
	}
	if len(info.Deps) < 10 || len(b.Components) != len(info.Deps)+1 {
		t.Fatalf("the program has %d modules, the list %d components; want one more, Go's library", len(info.Deps), len(b.Components))
	}
	for i, m := range info.Deps {
		c := b.Components[i+1]
		if c.Name != m.Path || c.Version != m.Version || c.PURL != "pkg:golang/"+m.Path+"@"+m.Version || len(c.Licenses) == 0 {
			t.Errorf("component %d is %+v, the module %s %s", i+1, c, m.Path, m.Version)
		}
	}
	if std := b.Components[0]; std.Name != "std" || "go"+std.Version != info.GoVersion {
		t.Errorf("the first component is %+v; want Go's library of %s", std, info.GoVersion)
	}
}

// wellFormed holds a list of modules against what CycloneDX 1.6 asks for: the
// required keys, the forms of the values that we use, and that every reference
// leads somewhere. Source: https://cyclonedx.org/schema/bom-1.6.schema.json, of
// which these are our own words.
func wellFormed(t *testing.T, text []byte) {
	t.Helper()
	var b map[string]any
	if err := json.Unmarshal(text, &b); err != nil {
		t.Fatal(err)
	}
	if b["bomFormat"] != "CycloneDX" || b["specVersion"] != "1.6" || b["version"] != 1.0 {
		t.Errorf("format %v, specification %v, version %v", b["bomFormat"], b["specVersion"], b["version"])
	}
	like := func(what string, v any, form string) {
		t.Helper()
		if s, ok := v.(string); !ok || !regexp.MustCompile("^"+form+"$").MatchString(s) {
			t.Errorf("%s is %v; want the form %s", what, v, form)
		}
	}
	like("the serial number", b["serialNumber"], `urn:uuid:[0-9a-f]{8}-[0-9a-f]{4}-8[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}`)
	meta := b["metadata"].(map[string]any)
	like("the time", meta["timestamp"], `\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ`)
	refs := map[any]bool{}
	for i, x := range append([]any{meta["component"]}, b["components"].([]any)...) {
		c := x.(map[string]any)
		like("the type", c["type"], map[bool]string{true: "application", false: "library"}[i == 0])
		for _, key := range []string{"name", "version", "bom-ref"} {
			like(key, c[key], `\S+`)
		}
		like("the package URL", c["purl"], `pkg:golang/[^@\s]+@[^@\s+]+`)
		if refs[c["bom-ref"]] {
			t.Errorf("two components go by %v", c["bom-ref"])
		}
		refs[c["bom-ref"]] = true
		hashes, _ := c["hashes"].([]any)
		for _, h := range hashes {
			like("a hash", h.(map[string]any)["content"], `[0-9a-f]{64}`)
		}
		list, _ := c["licenses"].([]any)
		for _, l := range list {
			l := l.(map[string]any)["license"].(map[string]any)
			_, id := l["id"]
			_, name := l["name"]
			if id == name {
				t.Errorf("%v: a licence has either an identifier or a name, not %v", c["name"], l)
			}
		}
	}
	n := 0
	for _, x := range b["dependencies"].([]any) {
		d := x.(map[string]any)
		for _, ref := range append([]any{d["ref"]}, d["dependsOn"].([]any)...) {
			if !refs[ref] {
				t.Errorf("%v is referred to and is no component", ref)
			}
			n++
		}
	}
	if n != len(refs) {
		t.Errorf("%d references for %d components", n, len(refs))
	}
}

// TestLicensesOf_EveryModule wants a name for every licence, and knows how many
// have no SPDX identifier.
func TestLicensesOf_EveryModule(t *testing.T) {
	var unnamed []string
	modules := licenses.Modules()
	for _, m := range modules {
		list, err := licensesOf(m.Path, m.Version)
		if err != nil {
			t.Error(err)
		}
		for _, l := range list {
			if l.License.ID == "" {
				unnamed = append(unnamed, m.Path+": "+l.License.Name)
			}
		}
	}
	if len(modules) < 10 {
		t.Errorf("only %d modules", len(modules))
	}
	want := []string{
		"modernc.org/libc: see LICENSE-3RD-PARTY.md of the module",
		"modernc.org/sqlite: see LICENSE-SQLITE of the module",
	}
	if !slices.Equal(unnamed, want) {
		t.Errorf("licences without an SPDX identifier: %q, want %q; read them, and add a phrase or the file here", unnamed, want)
	}
	for module, want := range map[string][]string{
		"std":                             {"BSD-3-Clause"},
		"go.yaml.in/yaml/v3":              {"Apache-2.0", "MIT"},
		"github.com/gowebpki/jcs":         {"Apache-2.0"},
		"codeberg.org/go-fonts/dejavu":    {"BSD-3-Clause", "Bitstream-Vera"},
		"github.com/google/uuid":          {"BSD-3-Clause"},
		"github.com/mfridman/interpolate": {"MIT"},
	} {
		version := ""
		for _, m := range modules {
			if m.Path == module {
				version = m.Version
			}
		}
		list, err := licensesOf(module, version)
		var got []string
		for _, l := range list {
			got = append(got, l.License.ID)
		}
		if err != nil || !slices.Equal(got, want) {
			t.Errorf("%s: got %q, error %v, want %q", module, got, err, want)
		}
	}
	if _, err := licensesOf("example.org/unknown", "v1.0.0"); err == nil {
		t.Error("a module without notices was taken")
	}
}

// TestRunAgain_StopsAtTheSecondStart: another toolchain than the one asked for
// must not lead to one start after another.
func TestRunAgain_StopsAtTheSecondStart(t *testing.T) {
	if runtime.Version() == toolchain {
		t.Skip("skipped: this is the toolchain of releases")
	}
	t.Setenv(again, "1")
	if got := runAgain(); got != 1 {
		t.Errorf("exit status %d, want 1", got)
	}
}
