package extra

import (
	"archive/tar"
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"
)

// The accessibility checker axe-core, one version of it by the hash of its
// script. It is run by tests alone; nothing of it is kept in the repository or in
// the program.
const (
	axeVersion  = "4.14.1"
	axeSum      = "29348999450cdf2849a8e70b7912fc2da85a849da39c0d0d5394f51d4a9ed95c"
	axePatience = 90 * time.Second
)

// axe finds the checker's script: the one that HANGTRUE_AXE names, or the one
// that npm packs, fetched once into a scratch folder.
func axe() (string, error) {
	if path := os.Getenv("HANGTRUE_AXE"); path != "" {
		return path, checked(path)
	}
	dir := filepath.Join(os.TempDir(), "hangtrue-axe-"+axeVersion)
	script := filepath.Join(dir, "axe.min.js")
	if checked(script) == nil {
		return script, nil
	}
	npm, err := exec.LookPath("npm")
	if err != nil {
		return "", errors.New("no program npm found, and HANGTRUE_AXE names no axe.min.js")
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return "", err
	}
	scratch, err := os.MkdirTemp(dir, "fetch")
	if err != nil {
		return "", err
	}
	defer os.RemoveAll(scratch)
	ctx, cancel := context.WithTimeout(context.Background(), axePatience)
	defer cancel()
	fetch := exec.CommandContext(ctx, npm, "pack", "--silent", "axe-core@"+axeVersion)
	fetch.Dir = scratch
	fetch.WaitDelay = time.Second
	if out, err := fetch.CombinedOutput(); err != nil {
		return "", fmt.Errorf("npm could not fetch axe-core %s: %w: %.200s", axeVersion, err, strings.TrimSpace(string(out)))
	}
	found, err := filepath.Glob(filepath.Join(scratch, "*.tgz"))
	if err != nil || len(found) != 1 {
		return "", fmt.Errorf("npm packed %d archives, not one", len(found))
	}
	data, err := packed(found[0], "package/axe.min.js")
	if err != nil {
		return "", err
	}
	// Put there whole, for tests that run beside this one.
	whole := filepath.Join(scratch, "axe.min.js")
	if err := os.WriteFile(whole, data, 0o644); err != nil {
		return "", err
	}
	if err := checked(whole); err != nil {
		return "", err
	}
	return script, os.Rename(whole, script)
}

// checked reports whether a file is the script of the version above.
func checked(path string) error {
	data, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	if sum := sha256.Sum256(data); hex.EncodeToString(sum[:]) != axeSum {
		return fmt.Errorf("%s is not axe.min.js of axe-core %s", path, axeVersion)
	}
	return nil
}

// packed reads one file out of an archive.
func packed(archive, name string) ([]byte, error) {
	data, err := os.ReadFile(archive)
	if err != nil {
		return nil, err
	}
	z, err := gzip.NewReader(bytes.NewReader(data))
	if err != nil {
		return nil, err
	}
	for r := tar.NewReader(z); ; {
		h, err := r.Next()
		if err != nil {
			return nil, fmt.Errorf("%s has no %s: %w", archive, name, err)
		}
		if h.Name == name {
			return io.ReadAll(io.LimitReader(r, 8<<20))
		}
	}
}
