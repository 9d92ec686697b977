package disk

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"slices"
	"strings"
	"sync"
	"time"
	"unicode"
	"unicode/utf8"
)

// Kept is one version of a rig: the SHA-256 of its bytes in hexadecimal, when
// it was last the newest, and when a sheet was last printed from it (zero if
// never).
type Kept = struct {
	Version string
	At      time.Time
	Printed time.Time
}

const (
	versionsFolder = ".versions"
	suffix         = ".yaml"
	printedSuffix  = ".printed"
)

// Folder keeps rigs in a folder. Its methods may be called from several
// goroutines.
type Folder struct {
	root *os.Root
	most int

	mu   sync.Mutex
	seen map[string]string // name → the version last kept, to save looking

	shelves map[string]*Shelf
}

// Open opens a folder that exists. Files of more than most bytes are not read.
func Open(dir string, most int) (*Folder, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, fmt.Errorf("disk: %w", err)
	}
	return &Folder{root: root, most: most, seen: map[string]string{}}, nil
}

// Close lets go of the folder and its shelves.
func (d *Folder) Close() error {
	d.mu.Lock()
	defer d.mu.Unlock()
	errs := []error{d.root.Close()}
	for _, s := range d.shelves {
		errs = append(errs, s.Close())
	}
	return errors.Join(errs...)
}

// hash names a version.
func hash(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// checkName refuses what can be no file name here or on another system.
func checkName(name string) error {
	ok := name != "" && len(name) <= 120 && utf8.ValidString(name) && name[0] != '.' && name[0] != ' ' &&
		!strings.ContainsAny(name, `/\:*?"<>|`) && !strings.HasSuffix(name, ".") && !strings.HasSuffix(name, " ") &&
		!strings.ContainsFunc(name, func(r rune) bool { return !unicode.IsPrint(r) })
	if !ok {
		return fmt.Errorf("disk: %q can be no name of a rig: %w", name, fs.ErrNotExist)
	}
	return nil
}

func checkVersion(version string) error {
	if b, err := hex.DecodeString(version); err != nil || len(b) != sha256.Size || version != strings.ToLower(version) {
		return fmt.Errorf("disk: %q can be no version: %w", version, fs.ErrNotExist)
	}
	return nil
}

// Names lists the rigs in order. Files whose names a rig cannot have are left
// out.
func (d *Folder) Names() ([]string, error) {
	entries, err := fs.ReadDir(d.root.FS(), ".")
	if err != nil {
		return nil, fmt.Errorf("disk: list rigs: %w", err)
	}
	var names []string
	for _, e := range entries {
		name, ok := strings.CutSuffix(e.Name(), suffix)
		if ok && e.Type().IsRegular() && checkName(name) == nil {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names, nil
}

// Overlooked lists files that look like rigs and that Names leaves out, because
// of how they are called.
func (d *Folder) Overlooked() ([]string, error) {
	entries, err := fs.ReadDir(d.root.FS(), ".")
	if err != nil {
		return nil, fmt.Errorf("disk: list rigs: %w", err)
	}
	var files []string
	for _, e := range entries {
		ending := strings.ToLower(path.Ext(e.Name()))
		if !e.Type().IsRegular() || ending != suffix && ending != ".yml" || strings.HasPrefix(e.Name(), ".") {
			continue
		}
		if name, ok := strings.CutSuffix(e.Name(), suffix); !ok || checkName(name) != nil {
			files = append(files, e.Name())
		}
	}
	slices.Sort(files)
	return files, nil
}

// Current returns the bytes of the rig's file, and keeps them as a version if
// they are not one yet.
func (d *Folder) Current(name string) ([]byte, error) {
	if err := checkName(name); err != nil {
		return nil, err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.current(name)
}

func (d *Folder) current(name string) ([]byte, error) {
	data, err := read(d.root, name+suffix, d.most)
	if err != nil {
		return nil, fmt.Errorf("disk: rig %s: %w", name, err)
	}
	// A folder that may only be read, or a full disk, is no reason not to show what
	// is in it; saving will say what is wrong.
	var trouble *Trouble
	if err := explained(d.keep(name, data)); err != nil && !errors.As(err, &trouble) {
		return nil, fmt.Errorf("disk: keep the version of %s: %w", name, err)
	}
	return data, nil
}

// keep sees to it that data is among the versions, and the newest.
func (d *Folder) keep(name string, data []byte) error {
	h := hash(data)
	if d.seen[name] == h {
		return nil
	}
	if err := d.root.MkdirAll(path.Join(versionsFolder, name), 0o755); err != nil {
		return err
	}
	file := d.versionFile(name, h)
	have, err := read(d.root, file, d.most)
	switch {
	case err == nil && bytes.Equal(have, data):
		newest, err := d.newest(name)
		if err != nil {
			return err
		}
		if newest != h {
			now := time.Now()
			if err := d.root.Chtimes(file, now, now); err != nil {
				return err
			}
		}
	case err == nil || errors.Is(err, fs.ErrNotExist):
		// A file that does not match its name was damaged from outside.
		if err := write(d.root, file, data, nil); err != nil {
			return err
		}
	default:
		return err
	}
	d.seen[name] = h
	return nil
}

func (d *Folder) newest(name string) (string, error) {
	kept, err := d.list(name)
	if err != nil || len(kept) == 0 {
		return "", err
	}
	return kept[0].Version, nil
}

func (d *Folder) versionFile(name, version string) string {
	return path.Join(versionsFolder, name, version+suffix)
}

// Version returns the bytes of a version. Bytes that no longer match their
// name are an error.
func (d *Folder) Version(name, version string) ([]byte, error) {
	if err := errors.Join(checkName(name), checkVersion(version)); err != nil {
		return nil, err
	}
	data, err := read(d.root, d.versionFile(name, version), d.most)
	if err != nil {
		return nil, fmt.Errorf("disk: version %.8s of %s: %w", version, name, err)
	}
	if hash(data) != version {
		return nil, fmt.Errorf("disk: version %.8s of %s: its file was changed and no longer has the bytes that it is named by", version, name)
	}
	return data, nil
}

// Versions lists what is kept, the current one first, then the newest.
func (d *Folder) Versions(name string) ([]Kept, error) {
	if err := checkName(name); err != nil {
		return nil, err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	data, err := d.current(name)
	if err != nil {
		return nil, err
	}
	kept, err := d.list(name)
	if err != nil {
		return nil, fmt.Errorf("disk: versions of %s: %w", name, err)
	}
	h := hash(data)
	i := slices.IndexFunc(kept, func(k Kept) bool { return k.Version == h })
	if i < 0 { // a folder that may only be read
		return slices.Insert(kept, 0, Kept{Version: h}), nil
	}
	now := kept[i]
	return slices.Insert(slices.Delete(kept, i, i+1), 0, now), nil
}

// list reads the versions of a rig, newest first.
func (d *Folder) list(name string) ([]Kept, error) {
	entries, err := fs.ReadDir(d.root.FS(), path.Join(versionsFolder, name))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	printed := map[string]time.Time{}
	var kept []Kept
	for _, e := range entries {
		info, err := e.Info()
		if err != nil {
			return nil, err
		}
		if v, ok := strings.CutSuffix(e.Name(), printedSuffix); ok {
			printed[v] = info.ModTime()
		}
		if v, ok := strings.CutSuffix(e.Name(), suffix); ok && checkVersion(v) == nil {
			kept = append(kept, Kept{Version: v, At: info.ModTime()})
		}
	}
	for i := range kept {
		kept[i].Printed = printed[kept[i].Version]
	}
	slices.SortFunc(kept, func(a, b Kept) int {
		return cmp.Or(b.At.Compare(a.At), strings.Compare(a.Version, b.Version))
	})
	return kept, nil
}

// errChanged stops a write whose ground has changed.
var errChanged = errors.New("disk: the current version changed")

// Save makes data the rig's file, if its current version is the one named by
// on ("" where there must be no such rig). Otherwise nothing changes, saved is
// false and current names the version that is there.
func (d *Folder) Save(name, on string, data []byte) (current string, saved bool, err error) {
	if err := checkName(name); err != nil {
		return "", false, err
	}
	if len(data) > d.most {
		return "", false, fmt.Errorf("disk: save %s: it has %d bytes, and at most %d are kept", name, len(data), d.most)
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	// there keeps what is in the file now and reports its version.
	there := func() (string, error) {
		was, err := d.current(name)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return "", nil
		case err != nil:
			return "", err
		}
		return hash(was), d.keep(name, was)
	}
	if current, err = there(); err != nil {
		return "", false, fmt.Errorf("disk: save %s: %w", name, explained(err))
	}
	if current != on {
		return current, false, nil
	}
	if current == hash(data) {
		return current, true, nil
	}
	if err := d.keep(name, data); err != nil {
		return "", false, fmt.Errorf("disk: save %s: %w", name, explained(err))
	}
	err = write(d.root, name+suffix, data, func() error {
		if current, err = there(); err != nil {
			return err
		}
		if current != on {
			return errChanged
		}
		return nil
	})
	delete(d.seen, name)
	switch {
	case errors.Is(err, errChanged):
		return current, false, nil
	case err != nil:
		return "", false, fmt.Errorf("disk: save %s: %w", name, explained(err))
	}
	return hash(data), true, nil
}

// Print notes that a sheet was printed from a version.
func (d *Folder) Print(name, version string) error {
	if _, err := d.Version(name, version); err != nil {
		return err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := write(d.root, path.Join(versionsFolder, name, version+printedSuffix), nil, nil); err != nil {
		return fmt.Errorf("disk: note the sheet of %s: %w", name, explained(err))
	}
	return nil
}
