package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"unicode/utf8"
)

// mostBytes is the largest file that is read: far above any rig or solution.
const mostBytes = 1 << 20

// shownName is what messages call a file.
func shownName(name string) string {
	if name == "-" {
		return "standard input"
	}
	return name
}

// read reads a whole text file, or standard input for -. Its errors begin with
// the file's name.
func (p *Program) read(name string) ([]byte, error) {
	data, err := p.readBytes(name)
	switch {
	case err != nil:
		return nil, err
	case bytes.IndexByte(data, 0) >= 0 || len(data) <= mostBytes && !utf8.Valid(data):
		return nil, fmt.Errorf("%s: this is not a text file; plain text in UTF-8 is read here", shownName(name))
	case len(data) > mostBytes:
		return nil, fmt.Errorf("%s: the file is larger than 1 MiB; at most that much is read", shownName(name))
	}
	return data, nil
}

// readBytes reads at most one byte more than is allowed.
func (p *Program) readBytes(name string) ([]byte, error) {
	var from io.Reader = p.Stdin
	if name != "-" {
		f, err := os.Open(name)
		if err != nil {
			return nil, fmt.Errorf("%s: %s", name, reason(err))
		}
		defer f.Close()
		if info, err := f.Stat(); err == nil && info.IsDir() {
			return nil, fmt.Errorf("%s: this is a folder; name a file in it", name)
		}
		from = f
	}
	data, err := io.ReadAll(io.LimitReader(from, mostBytes+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %s", shownName(name), reason(err))
	}
	return data, nil
}

// reason is the cause of a file error in plain words.
func reason(err error) string {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "there is no such file"
	case errors.Is(err, fs.ErrPermission):
		return "no permission"
	case errors.Is(err, fs.ErrExist):
		return "it is already there"
	}
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err.Error()
	}
	return err.Error()
}

// once refuses standard input named twice.
func once(names ...string) error {
	seen := false
	for _, n := range names {
		if n == "-" && seen {
			return errors.New("standard input can be read only once; name - once")
		}
		seen = seen || n == "-"
	}
	return nil
}
