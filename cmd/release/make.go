package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"golang.org/x/crypto/ssh"
	"golang.org/x/mod/semver"
)

type makeCommand struct {
	Version     string   `arg:"" help:"The version, such as 0.9.0."`
	Out         string   `short:"o" default:"dist" help:"Folder for the release: new or empty." placeholder:"DIR"`
	Key         string   `xor:"key" help:"Private key to sign with." placeholder:"FILE"`
	Unsigned    bool     `xor:"key" help:"Leave the list of checksums unsigned, to sign it with ssh-keygen."`
	WithChanges bool     `help:"Build the folder as it is, with what is not committed. For a trial: the program says so of itself, and nobody can build it again."`
	Platform    []string `help:"Only this one, such as linux/amd64; may be given several times."`
}

// Run makes the release.
func (c makeCommand) Run(o outside) error {
	version := strings.TrimPrefix(c.Version, "v")
	if !semver.IsValid("v"+version) || semver.Canonical("v"+version) != "v"+version {
		return fmt.Errorf("%q is no version; write it like 0.9.0 or 1.0.0-rc.1 (semver.org)", c.Version)
	}
	targets, err := chosen(c.Platform)
	if err != nil {
		return err
	}
	var key ssh.Signer
	switch {
	case c.Key != "":
		if key, err = signer(o.root, c.Key); err != nil {
			return err
		}
	case !c.Unsigned:
		return errors.New("no key to sign with; give --key FILE (made by: go run ./cmd/release key -o FILE), or --unsigned")
	}
	if err := emptyFolder(c.Out); err != nil {
		return err
	}
	from, err := head(o.root)
	if err != nil {
		return err
	}
	if from.changed && !c.WithChanges {
		return errors.New("the folder has changes that are not committed; commit or stash them (git status), or try with --with-changes")
	}
	if err := tagFits(o.root, version, from.revision); err != nil {
		return err
	}
	source := o.root
	if !from.changed {
		dir, err := os.MkdirTemp("", "release-source-")
		if err != nil {
			return err
		}
		defer os.RemoveAll(dir)
		if err := export(o.root, from.revision, dir); err != nil {
			return err
		}
		source = dir
	}
	s := stamp{version, from.revision, from.at}
	if from.changed {
		s.revision += "-changed"
	}
	fmt.Fprintf(o.say, "hangtrue %s from %.12s of %s, with %s\n", s.version, s.revision, s.at.Format(time.DateOnly), toolchain)
	if err := makeAll(source, c.Out, targets, s, o.say); err != nil {
		return err
	}
	if key == nil {
		fmt.Fprintln(o.say, "not signed")
		return nil
	}
	if err := signFolder(c.Out, key); err != nil {
		return err
	}
	fmt.Fprintf(o.say, "signed by %s\n", ssh.FingerprintSHA256(key.PublicKey()))
	return nil
}

// emptyFolder makes a folder, or refuses one that holds anything.
func emptyFolder(dir string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	list, err := os.ReadDir(dir)
	if err == nil && len(list) > 0 {
		err = fmt.Errorf("%s is not empty; name a new folder, so that nothing old gets into the release", dir)
	}
	return err
}

// Names of the files of a release that belong to no platform.
const (
	sumsFile      = "SHA256SUMS"
	signatureFile = "SHA256SUMS.sig" // where ssh-keygen puts it
	bomEnding     = ".cdx.json"
)

// baseName begins the names of the files for a platform, and is the folder in
// its archive.
func baseName(s stamp, p platform) string {
	return "hangtrue-" + s.version + "-" + p.system + "-" + p.processor
}

func archiveName(base string, p platform) string {
	if p.system == "windows" {
		return base + ".zip"
	}
	return base + ".tar.gz"
}

// makeAll builds and packs for each platform, and writes the list of checksums
// last: a folder without it is no release.
func makeAll(source, out string, targets []platform, s stamp, say io.Writer) error {
	sums, err := goSums(source)
	if err != nil {
		return err
	}
	papers, err := beside(source)
	if err != nil {
		return err
	}
	for _, p := range targets {
		start := time.Now()
		program, info, err := build(source, p, s, toolchain)
		if err != nil {
			return err
		}
		list, err := madeOf(p, s, program, info, sums)
		if err != nil {
			return err
		}
		base := baseName(s, p)
		archive, err := pack(p, base, append([]entry{{p.program(), program, true}}, papers...), s.at)
		if err != nil {
			return err
		}
		for name, data := range map[string][]byte{archiveName(base, p): archive, base + bomEnding: list} {
			if err := os.WriteFile(filepath.Join(out, name), data, 0o644); err != nil {
				return err
			}
		}
		fmt.Fprintf(say, "%-14s program %5.1f MB, archive %5.1f MB, %d modules, %.0f s\n", p,
			float64(len(program))/1e6, float64(len(archive))/1e6, len(info.Deps), time.Since(start).Seconds())
	}
	text, err := sumsOf(os.DirFS(out))
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(out, sumsFile), text, 0o644)
}

// signFolder signs the list of checksums of a release.
func signFolder(dir string, key ssh.Signer) error {
	text, err := fs.ReadFile(os.DirFS(dir), sumsFile)
	if err != nil {
		return err
	}
	signature, err := sign(text, key)
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(dir, signatureFile), signature, 0o644)
}
