package cli

import (
	"fmt"
	"os"
	"path/filepath"
)

// write puts data into a file whole or not at all: into a file beside it
// first, which then takes its place. The name - or none is standard output.
func (p *Program) write(name string, data []byte) error {
	if name == "-" || name == "" {
		if _, err := p.Stdout.Write(data); err != nil {
			return fmt.Errorf("standard output: %s", reason(err))
		}
		return nil
	}
	if real, err := filepath.EvalSymlinks(name); err == nil {
		name = real // the link stays and its file is replaced
	}
	info, err := os.Stat(name)
	switch {
	case err == nil && info.IsDir():
		return fmt.Errorf("%s: this is a folder; name a file in it", name)
	case err == nil && !info.Mode().IsRegular():
		// A device or pipe cannot be replaced by a file.
		f, err := os.OpenFile(name, os.O_WRONLY, 0)
		if err != nil {
			return fmt.Errorf("%s: %s", name, reason(err))
		}
		_, err = f.Write(data)
		if closed := f.Close(); err == nil {
			err = closed
		}
		if err != nil {
			return fmt.Errorf("%s: %s", name, reason(err))
		}
		return nil
	}
	if err := replace(name, data); err != nil {
		if _, missing := os.Stat(filepath.Dir(name)); missing != nil {
			return fmt.Errorf("%s: there is no folder %s", name, filepath.Dir(name))
		}
		return fmt.Errorf("%s: %s", name, reason(err))
	}
	return nil
}

func replace(name string, data []byte) error {
	beside := filepath.Join(filepath.Dir(name), fmt.Sprintf(".%s.%d.part", filepath.Base(name), os.Getpid()))
	f, err := os.OpenFile(beside, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err == nil {
		err = f.Sync()
	}
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err == nil {
		err = os.Rename(beside, name)
	}
	if err != nil {
		os.Remove(beside)
	}
	return err
}
