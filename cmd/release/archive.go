package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/flate"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"slices"
	"strings"
	"time"

	"hangtrue/internal/data/licenses"
)

// entry is a file in an archive.
type entry struct {
	name       string // slash-separated
	data       []byte
	executable bool
}

func (e entry) mode() fs.FileMode {
	if e.executable {
		return 0o755
	}
	return 0o644
}

// beside are the files of the source that go with the program: the documents,
// and all that the README links to.
func beside(source string) ([]entry, error) {
	tree := os.DirFS(source)
	out := []entry{{name: "THIRD-PARTY-NOTICES.txt", data: []byte(licenses.Text())}}
	for _, name := range []string{"CHANGELOG.md", "CONTRIBUTING.md", "LICENSE", "NOTICE", "README.md", "SECURITY.md"} {
		data, err := fs.ReadFile(tree, name)
		if err != nil {
			return nil, err
		}
		out = append(out, entry{name: name, data: data})
	}
	err := fs.WalkDir(tree, "docs", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || path.Ext(name) == ".go" {
			return err
		}
		data, err := fs.ReadFile(tree, name)
		out = append(out, entry{name: name, data: data})
		return err
	})
	return out, err
}

// pack writes an archive whose bytes depend on nothing but its arguments. All
// entries lie in one folder, sorted by name, with the same time, and belong to
// nobody.
func pack(p platform, folder string, entries []entry, at time.Time) ([]byte, error) {
	entries = slices.Clone(entries)
	slices.SortFunc(entries, func(a, b entry) int { return strings.Compare(a.name, b.name) })
	if p.system == "windows" {
		return packZip(folder, entries, at)
	}
	return packTar(folder, entries, at)
}

func packTar(folder string, entries []entry, at time.Time) ([]byte, error) {
	var b bytes.Buffer
	// The header's name and time stay empty.
	compressed, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	w := tar.NewWriter(compressed)
	for _, e := range entries {
		h := &tar.Header{
			Typeflag: tar.TypeReg, Name: folder + "/" + e.name, Size: int64(len(e.data)),
			Mode: int64(e.mode()), ModTime: at, Format: tar.FormatUSTAR,
		}
		if err := w.WriteHeader(h); err != nil {
			return nil, err
		}
		if _, err := w.Write(e.data); err != nil {
			return nil, err
		}
	}
	err = errors.Join(w.Close(), compressed.Close())
	return b.Bytes(), err
}

func packZip(folder string, entries []entry, at time.Time) ([]byte, error) {
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	w.RegisterCompressor(zip.Deflate, func(to io.Writer) (io.WriteCloser, error) {
		return flate.NewWriter(to, flate.BestCompression)
	})
	for _, e := range entries {
		h := &zip.FileHeader{Name: folder + "/" + e.name, Method: zip.Deflate, Modified: at.UTC()}
		h.SetMode(e.mode())
		to, err := w.CreateHeader(h)
		if err != nil {
			return nil, err
		}
		if _, err := to.Write(e.data); err != nil {
			return nil, err
		}
	}
	err := w.Close()
	return b.Bytes(), err
}

// mostUnpacked is far above what a program weighs: an archive is not believed
// before it is checked.
const mostUnpacked = 1 << 30

// unpackOne returns the bytes of one file of an archive.
func unpackOne(archive, name string, data []byte) ([]byte, error) {
	if strings.HasSuffix(archive, ".zip") {
		r, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
		if err != nil {
			return nil, fmt.Errorf("%s: %w", archive, err)
		}
		f, err := r.Open(name)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", archive, err)
		}
		defer f.Close()
		return io.ReadAll(io.LimitReader(f, mostUnpacked))
	}
	r, err := gzip.NewReader(bytes.NewReader(data))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", archive, err)
	}
	for t := tar.NewReader(r); ; {
		h, err := t.Next()
		if err != nil {
			return nil, fmt.Errorf("%s: looking for %s: %w", archive, name, err)
		}
		if h.Name == name {
			return io.ReadAll(io.LimitReader(t, mostUnpacked))
		}
	}
}
