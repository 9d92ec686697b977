package app

import (
	"errors"
	"io/fs"
	"slices"
	"strings"
)

// What the first start is told and a later one may leave out lies beside the
// settings: the name that stands in for theirs, and which authority tablets trust.
const (
	titleName     = "title"
	authorityName = "authority"
)

// Title is the school's name: that of its settings, else the newest one given,
// which is kept for starts at which none is given; "" where there was none yet.
func (s *School) Title(given string) (string, error) {
	settings, _, err := s.Settings()
	if err != nil || settings.Name != "" {
		return settings.Name, err
	}
	given, err = checkedText("title", "the school's name", given, 0, mostName)
	if err != nil {
		return "", err
	}
	kept, err := s.beside(titleName)
	if err != nil || given == "" || given == kept {
		return kept, err
	}
	return given, s.keepBeside(titleName, kept, given)
}

// Trusted notes which certificate authority tablets are led to trust, by its
// fingerprint. It returns the newest of those noted before where this one is not
// among them, else this one; "" where none was.
func (s *School) Trusted(fingerprint string) (before string, err error) {
	noted, err := s.beside(authorityName)
	if err != nil {
		return "", err
	}
	if noted == "" {
		return "", s.keepBeside(authorityName, "", fingerprint)
	}
	all := strings.Split(noted, "\n")
	if slices.Contains(all, fingerprint) {
		return fingerprint, nil
	}
	return all[len(all)-1], s.keepBeside(authorityName, noted, noted+"\n"+fingerprint)
}

func (s *School) beside(name string) (string, error) {
	k, err := s.Shelves.Shelf(SettingsShelf)
	if err != nil {
		return "", err
	}
	data, err := k.Current(name)
	if errors.Is(err, fs.ErrNotExist) {
		return "", nil
	}
	return string(data), err
}

func (s *School) keepBeside(name, before, now string) error {
	k, err := s.Shelves.Shelf(SettingsShelf)
	if err != nil {
		return err
	}
	on := ""
	if before != "" {
		on = Version([]byte(before))
	}
	_, saved, err := k.Save(name, on, []byte(now))
	if err == nil && !saved {
		err = errors.New("app: another program changed the school at the same moment: start again")
	}
	return err
}
