package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"
)

type verifyCommand struct {
	Dir        string   `arg:"" help:"Folder with a release."`
	Key        string   `xor:"key" help:"Public key that the release must be signed with." placeholder:"FILE"`
	Unsigned   bool     `xor:"key" help:"Do not ask for a signature."`
	Rebuild    bool     `help:"Build it again from the commit that it names, which must be checked out, and compare byte by byte."`
	FreshCache bool     `help:"With --rebuild: compile everything anew, libraries and Go's own included. Takes some minutes for each platform."`
	Platform   []string `help:"With --rebuild: only this one, such as linux/amd64; may be given several times."`
}

// Run checks the release.
func (c verifyCommand) Run(o outside) error {
	dir := os.DirFS(c.Dir)
	text, err := fs.ReadFile(dir, sumsFile)
	if err != nil {
		return err
	}
	switch {
	case c.Key != "":
		key, err := publicKey(c.Key)
		if err != nil {
			return err
		}
		signature, err := fs.ReadFile(dir, signatureFile)
		if err != nil {
			return err
		}
		if err := signedBy(text, signature, key); err != nil {
			return err
		}
		fmt.Fprintln(o.say, "the list of checksums is signed by the key given")
	case !c.Unsigned:
		return errors.New("no key to check with; give --key FILE.pub, got from another place than the release, or --unsigned")
	}
	again, err := sumsOf(dir)
	if err != nil {
		return err
	}
	if !bytes.Equal(again, text) {
		return fmt.Errorf("the files are not those of the list of checksums:\n%s", differences(string(text), string(again)))
	}
	fmt.Fprintf(o.say, "%d files are those of the list\n", bytes.Count(text, []byte("\n")))
	releases, err := releasesIn(dir)
	if err != nil {
		return err
	}
	fmt.Fprintf(o.say, "each archive holds the program that its list of modules describes: %d of %d\n", len(releases), len(releases))
	if !c.Rebuild {
		return nil
	}
	return c.rebuild(o, releases)
}

// sumsOf writes the checksums of a release's files as sha256sum does, sorted by
// name.
func sumsOf(dir fs.FS) ([]byte, error) {
	list, err := fs.ReadDir(dir, ".")
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	for _, f := range list {
		if f.Name() == sumsFile || f.Name() == signatureFile {
			continue
		}
		if !f.Type().IsRegular() {
			return nil, fmt.Errorf("%s is no file; a release has files only", f.Name())
		}
		data, err := fs.ReadFile(dir, f.Name())
		if err != nil {
			return nil, err
		}
		fmt.Fprintf(&out, "%x  %s\n", sha256.Sum256(data), f.Name())
	}
	if out.Len() == 0 {
		return nil, errors.New("the folder holds no file of a release")
	}
	return out.Bytes(), nil
}

// differences are the lines of two lists that the other does not have.
func differences(listed, found string) string {
	var out strings.Builder
	for _, x := range []struct{ what, a, b string }{{"listed", listed, found}, {"found", found, listed}} {
		for line := range strings.Lines(x.a) {
			if !strings.Contains("\n"+x.b, "\n"+strings.TrimSpace(line)+"\n") {
				fmt.Fprintf(&out, "  %-6s %s\n", x.what, strings.TrimSpace(line))
			}
		}
	}
	return strings.TrimSuffix(out.String(), "\n")
}

// made is what a list of modules says of the program it describes.
type made struct {
	platform platform
	stamp    stamp
}

// releasesIn reads the lists of modules of a release and finds in each one's
// archive the program with the hash that it names.
func releasesIn(dir fs.FS) ([]made, error) {
	names, err := fs.Glob(dir, "*"+bomEnding)
	if err != nil {
		return nil, err
	}
	var out []made
	for _, name := range names {
		text, err := fs.ReadFile(dir, name)
		if err != nil {
			return nil, err
		}
		var b bom
		if err := json.Unmarshal(text, &b); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		us := b.Metadata.Component
		m := made{stamp: stamp{version: us.Version}}
		for _, p := range us.Properties {
			switch p.Name {
			case propertyRevision:
				m.stamp.revision = p.Value
			case propertyPlatform:
				one, err := chosen([]string{p.Value})
				if err != nil {
					return nil, fmt.Errorf("%s: %w", name, err)
				}
				m.platform = one[0]
			}
		}
		if m.stamp.at, err = time.Parse(time.RFC3339, b.Metadata.Timestamp); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		base := baseName(m.stamp, m.platform)
		if name != base+bomEnding {
			return nil, fmt.Errorf("%s describes %s for %s", name, m.stamp.version, m.platform)
		}
		archive := archiveName(base, m.platform)
		data, err := fs.ReadFile(dir, archive)
		if err != nil {
			return nil, err
		}
		program, err := unpackOne(archive, base+"/"+m.platform.program(), data)
		if err != nil {
			return nil, err
		}
		sum := sha256.Sum256(program)
		if want := (digest{"SHA-256", hex.EncodeToString(sum[:])}); len(us.Hashes) != 1 || us.Hashes[0] != want {
			return nil, fmt.Errorf("%s describes a program with the hashes %v; that in %s has %s", name, us.Hashes, archive, want.Content)
		}
		out = append(out, m)
	}
	if len(out) == 0 {
		return nil, errors.New("the folder has no list of modules (*" + bomEnding + ")")
	}
	return out, nil
}

// rebuild makes the release again and compares each file. The commit must be
// checked out, since this command itself is part of what decides the bytes.
func (c verifyCommand) rebuild(o outside, releases []made) error {
	only, err := chosen(c.Platform)
	if err != nil {
		return err
	}
	s := releases[0].stamp
	var targets []platform
	for _, m := range releases {
		if m.stamp != s {
			return fmt.Errorf("the archives are of different releases: %v and %v", s, m.stamp)
		}
		for _, p := range only {
			if p == m.platform {
				targets = append(targets, p)
			}
		}
	}
	if len(targets) == 0 {
		return fmt.Errorf("the release has none of the platforms %v", only)
	}
	at, err := head(o.root)
	if err != nil {
		return err
	}
	if at.revision != s.revision || at.changed {
		return fmt.Errorf("the release is from commit %s; check it out, without changes of your own, and ask again", s.revision)
	}
	scratch, err := os.MkdirTemp("", "release-again-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(scratch)
	source, out := filepath.Join(scratch, "source"), filepath.Join(scratch, "out")
	for _, d := range []string{source, out} {
		if err := os.Mkdir(d, 0o755); err != nil {
			return err
		}
	}
	if err := export(o.root, s.revision, source); err != nil {
		return err
	}
	if c.FreshCache {
		if err := os.Setenv("GOCACHE", filepath.Join(scratch, "cache")); err != nil {
			return err
		}
	}
	if err := makeAll(source, out, targets, s, o.say); err != nil {
		return err
	}
	for _, p := range targets {
		base := baseName(s, p)
		for _, name := range []string{archiveName(base, p), base + bomEnding} {
			ours, err := os.ReadFile(filepath.Join(out, name))
			if err != nil {
				return err
			}
			theirs, err := os.ReadFile(filepath.Join(c.Dir, name))
			if err != nil {
				return err
			}
			if !bytes.Equal(ours, theirs) {
				return fmt.Errorf("%s comes out otherwise when it is built again: %d bytes for %d, the first difference at %d",
					name, len(ours), len(theirs), firstDifference(ours, theirs))
			}
		}
	}
	fmt.Fprintf(o.say, "built again, byte for byte the same: %v\n", targets)
	return nil
}

func firstDifference(a, b []byte) int {
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return i
		}
	}
	return min(len(a), len(b))
}
