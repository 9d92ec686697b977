package disk

import (
	"errors"
	"fmt"
	"io/fs"
	"sync"
)

// Shelf keeps documents of one kind in a folder of their own beneath another,
// as a [Folder] keeps rigs. The folder is made when the first one is saved, so
// that looking changes nothing.
type Shelf struct {
	parent *Folder
	kind   string

	mu   sync.Mutex
	open *Folder
}

// Shelf is the shelf of a kind of documents, which is also its folder's name;
// always the same one, which is closed with d.
func (d *Folder) Shelf(kind string) (*Shelf, error) {
	if err := checkName(kind); err != nil {
		return nil, err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.shelves == nil {
		d.shelves = map[string]*Shelf{}
	}
	if d.shelves[kind] == nil {
		d.shelves[kind] = &Shelf{parent: d, kind: kind}
	}
	return d.shelves[kind], nil
}

// folder opens the shelf's folder; make makes it where it is not there.
func (s *Shelf) folder(make bool) (*Folder, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.open != nil {
		return s.open, nil
	}
	root, err := s.parent.root.OpenRoot(s.kind)
	if errors.Is(err, fs.ErrNotExist) && make {
		if err := s.parent.root.Mkdir(s.kind, 0o755); err != nil && !errors.Is(err, fs.ErrExist) {
			return nil, fmt.Errorf("disk: %w", explained(err))
		}
		root, err = s.parent.root.OpenRoot(s.kind)
	}
	if err != nil {
		return nil, fmt.Errorf("disk: %w", err)
	}
	s.open = &Folder{root: root, most: s.parent.most, seen: map[string]string{}}
	return s.open, nil
}

// Close lets go of the shelf's folder.
func (s *Shelf) Close() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.open == nil {
		return nil
	}
	err := s.open.Close()
	s.open = nil
	return err
}

// Names lists the documents in order: none where there is no folder yet.
func (s *Shelf) Names() ([]string, error) {
	d, err := s.folder(false)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	return d.Names()
}

// Current is as [Folder.Current].
func (s *Shelf) Current(name string) ([]byte, error) {
	d, err := s.folder(false)
	if err != nil {
		return nil, err
	}
	return d.Current(name)
}

// Version is as [Folder.Version].
func (s *Shelf) Version(name, version string) ([]byte, error) {
	d, err := s.folder(false)
	if err != nil {
		return nil, err
	}
	return d.Version(name, version)
}

// Versions is as [Folder.Versions].
func (s *Shelf) Versions(name string) ([]Kept, error) {
	d, err := s.folder(false)
	if err != nil {
		return nil, err
	}
	return d.Versions(name)
}

// Save is as [Folder.Save].
func (s *Shelf) Save(name, on string, data []byte) (current string, saved bool, err error) {
	d, err := s.folder(true)
	if err != nil {
		return "", false, err
	}
	return d.Save(name, on, data)
}

// Print is as [Folder.Print].
func (s *Shelf) Print(name, version string) error {
	d, err := s.folder(false)
	if err != nil {
		return err
	}
	return d.Print(name, version)
}
