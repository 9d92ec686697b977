package main

import (
	"archive/tar"
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"golang.org/x/mod/modfile"
)

// ourModule is the path of the module that is released.
const ourModule = "hangtrue"

// moduleRoot is the nearest folder, from here upwards, with our go.mod.
func moduleRoot() (string, error) {
	dir, err := os.Getwd()
	if err != nil {
		return "", err
	}
	for {
		text, err := os.ReadFile(filepath.Join(dir, "go.mod"))
		if err == nil && modfile.ModulePath(text) == ourModule {
			return dir, nil
		}
		parent := filepath.Dir(dir)
		if parent == dir {
			return "", errors.New("no folder from here upwards has the go.mod of module " + ourModule)
		}
		dir = parent
	}
}

// git runs git in a folder. The folder may belong to another user.
func git(dir string, args ...string) ([]byte, error) {
	c := exec.Command("git", append([]string{"-c", "safe.directory=*", "-C", dir}, args...)...)
	var complaint bytes.Buffer
	c.Stderr = &complaint
	out, err := c.Output()
	if err != nil {
		return nil, fmt.Errorf("git %s: %w: %s", args[0], err, bytes.TrimSpace(complaint.Bytes()))
	}
	return out, nil
}

// commit is what a release is made from.
type commit struct {
	revision string    // the whole hash
	at       time.Time // UTC: when it was committed, or SOURCE_DATE_EPOCH
	changed  bool      // the folder has changes that are not in it
}

// head is the commit that is checked out in a folder.
func head(root string) (commit, error) {
	out, err := git(root, "log", "-1", "--format=%H %ct")
	if err != nil {
		return commit{}, err
	}
	hash, seconds, _ := strings.Cut(strings.TrimSpace(string(out)), " ")
	// https://reproducible-builds.org/specs/source-date-epoch/
	if set := os.Getenv("SOURCE_DATE_EPOCH"); set != "" {
		seconds = set
	}
	n, err := strconv.ParseInt(seconds, 10, 64)
	if err != nil {
		return commit{}, fmt.Errorf("%q is no time in seconds since 1970; set SOURCE_DATE_EPOCH to a whole number", seconds)
	}
	status, err := git(root, "status", "--porcelain")
	if err != nil {
		return commit{}, err
	}
	return commit{hash, time.Unix(n, 0).UTC(), len(status) > 0}, nil
}

// export writes the files of a commit to a new folder: what is built is the
// commit, whatever else lies in the working folder.
func export(root, revision, to string) error {
	out, err := git(root, "archive", "--format=tar", revision)
	if err != nil {
		return err
	}
	place, err := os.OpenRoot(to)
	if err != nil {
		return err
	}
	defer place.Close()
	for r := tar.NewReader(bytes.NewReader(out)); ; {
		h, err := r.Next()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		name := filepath.FromSlash(strings.TrimSuffix(h.Name, "/"))
		switch h.Typeflag {
		case tar.TypeXGlobalHeader: // git notes the commit in it
		case tar.TypeDir:
			err = place.MkdirAll(name, 0o755)
		case tar.TypeReg:
			var data []byte
			if data, err = io.ReadAll(r); err == nil {
				err = place.WriteFile(name, data, 0o644)
			}
		default:
			err = fmt.Errorf("%s is neither file nor folder; a release has only these", h.Name)
		}
		if err != nil {
			return err
		}
	}
}

// tagFits refuses a version whose tag names another commit.
func tagFits(root, version, revision string) error {
	out, err := git(root, "rev-parse", "--verify", "--quiet", "refs/tags/v"+version+"^{commit}")
	if err != nil {
		return nil // not tagged yet
	}
	if tagged := strings.TrimSpace(string(out)); tagged != revision {
		return fmt.Errorf("tag v%s is at %.12s and %.12s is checked out; check out the tag, or choose another version", version, tagged, revision)
	}
	return nil
}
