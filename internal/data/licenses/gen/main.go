// Command gen writes notices.txt: the licence and notice files of every module
// that is linked into the program on any of the systems that it is built for.
package main

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

// systems are those that releases are built for. A module may be linked on one
// of them only.
var systems = []string{"linux/amd64", "linux/arm64", "darwin/amd64", "darwin/arm64", "windows/amd64", "windows/arm64"}

// noticeName matches the files that licences ask to pass on.
var noticeName = regexp.MustCompile(`(?i)^(licen[cs]e|copying|notice|copyright|patents)([-._].*)?$`)

func main() {
	log.SetFlags(0)
	log.SetPrefix("licenses/gen: ")
	out := flag.String("o", "", "file to write")
	list := flag.Bool("list", false, "print the modules only")
	flag.Parse()
	found, err := linked()
	if err != nil {
		log.Fatal(err)
	}
	if *list {
		for _, m := range found {
			fmt.Println(m.path, m.version)
		}
		return
	}
	text, err := notices(found)
	if err != nil {
		log.Fatal(err)
	}
	if err := os.WriteFile(*out, text, 0o644); err != nil {
		log.Fatal(err)
	}
}

// linkedModule is a module with the folders of its packages that are linked.
type linkedModule struct {
	path, version, dir string
	packages           []string
}

// linked asks the go command, for each system, which packages of which modules
// the program and its rooms are made of. Tests count for nothing. Packages that
// do not build (-e) are the compiler's to report, not this command's.
func linked() ([]linkedModule, error) {
	byPath := map[string]*linkedModule{}
	for _, system := range systems {
		goos, goarch, _ := strings.Cut(system, "/")
		c := exec.Command("go", "list", "-e", "-deps",
			"-f", "{{with .Module}}{{if not .Main}}{{.Path}}\t{{.Version}}\t{{.Dir}}\t{{$.Dir}}{{end}}{{end}}",
			"hangtrue/cmd/...", "hangtrue/internal/...")
		c.Env = append(os.Environ(), "CGO_ENABLED=0", "GOOS="+goos, "GOARCH="+goarch)
		c.Stderr = os.Stderr
		text, err := c.Output()
		if err != nil {
			return nil, fmt.Errorf("go list for %s: %w", system, err)
		}
		for line := range strings.Lines(string(text)) {
			field := strings.Split(strings.TrimSpace(line), "\t")
			if len(field) != 4 {
				continue // a package of ours or of the standard library
			}
			m := byPath[field[0]]
			if m == nil {
				m = &linkedModule{path: field[0], version: field[1], dir: field[2]}
				byPath[m.path] = m
			}
			if !slices.Contains(m.packages, field[3]) {
				m.packages = append(m.packages, field[3])
			}
		}
	}
	var all []linkedModule
	for _, m := range byPath {
		all = append(all, *m)
	}
	slices.SortFunc(all, func(a, b linkedModule) int { return strings.Compare(a.path, b.path) })
	return all, nil
}

// notices writes the form that package licenses reads.
func notices(modules []linkedModule) ([]byte, error) {
	var b bytes.Buffer
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return nil, fmt.Errorf("go env GOROOT: %w", err)
	}
	goDir := strings.TrimSpace(string(root))
	all := append([]linkedModule{{path: "Go", dir: goDir, packages: []string{goDir}}}, modules...)
	var errs []error
	for _, m := range all {
		fmt.Fprintln(&b, strings.TrimSpace("# "+m.path+" "+m.version))
		files, err := noticeFiles(m)
		if err != nil {
			return nil, err
		}
		var texts []byte
		for _, f := range files {
			text, err := os.ReadFile(f)
			if err != nil {
				return nil, err
			}
			name, err := filepath.Rel(m.dir, f)
			if err != nil {
				return nil, err
			}
			texts = append(texts, text...)
			fmt.Fprintln(&b, "## "+filepath.ToSlash(name))
			text = bytes.TrimRight(bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n")), "\n")
			for line := range bytes.SplitSeq(text, []byte("\n")) {
				fmt.Fprintf(&b, "\t%s\n", bytes.TrimRight(line, " \t"))
			}
		}
		if err := permitted(texts); err != nil {
			errs = append(errs, fmt.Errorf("%s: %w", m.path, err))
		}
	}
	return b.Bytes(), errors.Join(errs...)
}

// leftOut are files that look like notices and are none of ours, with the reason.
var leftOut = map[string]string{
	"modernc.org/sqlite/LICENSE-3RD-PARTY.md": "lists all that the module's tests and tools ever use; what is linked here has its own notices in this list",
}

// noticeFiles finds a module's notices: in its root, and in every folder from
// there down to a linked package, for code that came from elsewhere.
func noticeFiles(m linkedModule) ([]string, error) {
	dirs := []string{m.dir}
	for _, dir := range m.packages {
		for ; len(dir) > len(m.dir); dir = filepath.Dir(dir) {
			if !slices.Contains(dirs, dir) {
				dirs = append(dirs, dir)
			}
		}
	}
	slices.Sort(dirs)
	var files []string
	for _, dir := range dirs {
		entries, err := os.ReadDir(dir)
		if err != nil {
			return nil, err
		}
		for _, e := range entries {
			if file := m.path + "/" + e.Name(); leftOut[file] != "" {
				continue
			}
			if !e.IsDir() && noticeName.MatchString(e.Name()) && filepath.Ext(e.Name()) != ".go" {
				files = append(files, filepath.Join(dir, e.Name()))
			}
		}
	}
	return files, nil
}

// known are phrases that only licences which we may link contain.
var known = regexp.MustCompile(`(?i)Redistribution and use in source and binary forms|Permission is hereby granted, free of charge` +
	`|Apache License\s+Version 2\.0|Permission to use, copy, modify, and/or distribute`)

// refused are phrases of licences that we may not link into a static binary
// under our own, or have not thought about.
var refused = regexp.MustCompile(`(?i)GNU (Affero |Lesser |Library )?General Public License|Mozilla Public License|Server Side Public License|Business Source License|Common Development and Distribution`)

func permitted(text []byte) error {
	if len(text) == 0 {
		return errors.New("no licence file found; without a licence it may not be linked")
	}
	if found := refused.Find(text); found != nil {
		return fmt.Errorf("mentions the %s; read the file, and do not link the module if it is under it", found)
	}
	if !known.Match(text) {
		return errors.New("its licence is none that the generator knows; read it and add its phrase")
	}
	return nil
}
