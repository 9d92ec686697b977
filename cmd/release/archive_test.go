package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"errors"
	"io"
	"io/fs"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
)

var (
	unix    = platform{"linux", "arm64"}
	windows = platform{"windows", "amd64"}
	noon    = time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)
)

// TestPack_DependsOnNothingElse packs the same entries in another order, with
// the time in another zone.
func TestPack_DependsOnNothingElse(t *testing.T) {
	entries := []entry{
		{"hangtrue", []byte("program"), true},
		{"docs/b.md", bytes.Repeat([]byte("text "), 4000), false},
		{"docs/a.md", nil, false},
		{"LICENSE", []byte("words"), false},
	}
	for _, p := range []platform{unix, windows} {
		first, err := pack(p, "x-1", entries, noon)
		if err != nil {
			t.Fatal(err)
		}
		turned := slices.Clone(entries)
		slices.Reverse(turned)
		second, err := pack(p, "x-1", turned, noon.In(time.FixedZone("east", 5*3600)))
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(first, second) {
			t.Errorf("%s: the same entries give other bytes", p)
		}
		later, err := pack(p, "x-1", entries, noon.Add(2*time.Second))
		if err != nil {
			t.Fatal(err)
		}
		if bytes.Equal(first, later) {
			t.Errorf("%s: another time gives the same bytes; the check compares nothing", p)
		}
	}
}

func TestPack_TarHasWhatWasPutIn(t *testing.T) {
	data, err := pack(unix, "x-1", []entry{{"hangtrue", []byte("program"), true}, {"LICENSE", []byte("words"), false}}, noon)
	if err != nil {
		t.Fatal(err)
	}
	z, err := gzip.NewReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	if z.Name != "" || z.Comment != "" || !z.ModTime.IsZero() {
		t.Errorf("the gzip header has name %q, remark %q, time %v; want none", z.Name, z.Comment, z.ModTime)
	}
	want := []struct {
		name, text string
		mode       int64
	}{{"x-1/LICENSE", "words", 0o644}, {"x-1/hangtrue", "program", 0o755}}
	n := 0
	for r := tar.NewReader(z); ; n++ {
		h, err := r.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		if n >= len(want) || h.Name != want[n].name || string(text) != want[n].text || h.Mode != want[n].mode {
			t.Errorf("entry %d is %s, mode %o, %q", n, h.Name, h.Mode, text)
		}
		if !h.ModTime.Equal(noon) || h.Uid != 0 || h.Gid != 0 || h.Uname != "" || h.Gname != "" {
			t.Errorf("%s is of %v and belongs to %d/%d %q/%q", h.Name, h.ModTime, h.Uid, h.Gid, h.Uname, h.Gname)
		}
	}
	if n != len(want) {
		t.Errorf("%d entries, want %d", n, len(want))
	}
}

func TestPack_ZipHasWhatWasPutIn(t *testing.T) {
	data, err := pack(windows, "x-1", []entry{{"hangtrue.exe", []byte("program"), true}, {"LICENSE", []byte("words"), false}}, noon)
	if err != nil {
		t.Fatal(err)
	}
	r, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	if len(r.File) != 2 || r.File[0].Name != "x-1/LICENSE" || r.File[1].Name != "x-1/hangtrue.exe" {
		t.Fatalf("the archive has %d files, want LICENSE and hangtrue.exe", len(r.File))
	}
	for i, mode := range []fs.FileMode{0o644, 0o755} {
		if f := r.File[i]; f.Mode() != mode || !f.Modified.Equal(noon) {
			t.Errorf("%s has mode %v and time %v", f.Name, f.Mode(), f.Modified)
		}
	}
}

func TestUnpackOne(t *testing.T) {
	for _, p := range []platform{unix, windows} {
		data, err := pack(p, "x-1", []entry{{"a", []byte("one"), false}, {"b", []byte("two"), true}}, noon)
		if err != nil {
			t.Fatal(err)
		}
		name := archiveName("x-1", p)
		got, err := unpackOne(name, "x-1/b", data)
		if err != nil || string(got) != "two" {
			t.Errorf("%s: got %q, error %v", name, got, err)
		}
		if _, err := unpackOne(name, "x-1/c", data); err == nil {
			t.Errorf("%s: a file that is not there was found", name)
		}
		if _, err := unpackOne(name, "x-1/b", data[:len(data)/2]); err == nil {
			t.Errorf("%s: half of an archive was read", name)
		}
	}
}

// TestBeside_NoLinkLeadsOut follows the links of all documents of an archive.
func TestBeside_NoLinkLeadsOut(t *testing.T) {
	root, err := moduleRoot()
	if err != nil {
		t.Fatal(err)
	}
	papers, err := beside(root)
	if err != nil {
		t.Fatal(err)
	}
	there := map[string]bool{}
	for _, e := range papers {
		if there[e.name] {
			t.Errorf("%s is in the archive twice", e.name)
		}
		for name := e.name; name != "."; name = path.Dir(name) {
			there[name] = true
		}
	}
	for _, want := range []string{"LICENSE", "NOTICE", "THIRD-PARTY-NOTICES.txt", "README.md", "CHANGELOG.md", "docs/limits.md", "docs/pictures/page.png"} {
		if !there[want] {
			t.Errorf("the archive has no %s", want)
		}
	}
	link := regexp.MustCompile(`\]\(([^)\s]+)\)`)
	followed := 0
	for _, e := range papers {
		if path.Ext(e.name) != ".md" {
			continue
		}
		for _, m := range link.FindAllStringSubmatch(string(e.data), -1) {
			target, _, _ := strings.Cut(m[1], "#")
			if target == "" || strings.Contains(target, ":") {
				continue
			}
			if target = path.Join(path.Dir(e.name), target); !there[target] {
				t.Errorf("%s links to %s, which is not in the archive", e.name, target)
			}
			followed++
		}
	}
	if followed < 50 {
		t.Errorf("followed only %d links", followed)
	}
}
