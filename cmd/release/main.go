// Command release makes a release: the program for six systems, each in an
// archive with its documents and notices, a list of what it is made of, and one
// signed list of checksums. The same commit gives the same bytes on any machine.
//
//	go run ./cmd/release key -o FILE                     make a signing key, once
//	go run ./cmd/release VERSION -o DIR --key FILE       make a release
//	go run ./cmd/release verify DIR --key FILE.pub       check one
//
// See docs/release.md.
package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"

	"github.com/alecthomas/kong"
)

// toolchain is the Go whose compiler, linker and standard library releases are
// made with. The program itself is packed by the same one, since the bytes of a
// compressed file change between versions of Go.
const toolchain = "go1.27.3"

// outside is what the commands need of the outside.
type outside struct {
	root string // the top of the source
	say  io.Writer
}

type commands struct {
	Make   makeCommand   `cmd:"" default:"withargs" help:"Make a release from the commit that is checked out."`
	Key    keyCommand    `cmd:"" help:"Make a signing key."`
	Verify verifyCommand `cmd:"" help:"Check a release: signature, checksums, what the archives hold; or build it again and compare."`
}

func main() {
	if runtime.Version() != toolchain {
		os.Exit(runAgain())
	}
	var c commands
	k := kong.Parse(&c, kong.Name("release"), kong.UsageOnError())
	k.FatalIfErrorf(run(k))
}

func run(k *kong.Context) error {
	root, err := moduleRoot()
	if err != nil {
		return err
	}
	return k.Run(outside{root, os.Stdout})
}

// again marks the second start, so that there is no third.
const again = "HANGTRUE_RELEASE_AGAIN"

// runAgain builds this command with the pinned toolchain, runs it in place of
// this one and returns its exit status.
func runAgain() int {
	status, err := func() (int, error) {
		if os.Getenv(again) != "" {
			return 0, fmt.Errorf("this is %s where %s was asked for", runtime.Version(), toolchain)
		}
		root, err := moduleRoot()
		if err != nil {
			return 0, err
		}
		dir, err := os.MkdirTemp("", "release-")
		if err != nil {
			return 0, err
		}
		defer os.RemoveAll(dir)
		self := filepath.Join(dir, "release.exe") // Windows asks for the ending, nobody else minds
		build := exec.Command("go", "build", "-buildvcs=false", "-o", self, "./cmd/release")
		build.Dir, build.Env, build.Stderr = root, append(os.Environ(), "GOTOOLCHAIN="+toolchain), os.Stderr
		if err := build.Run(); err != nil {
			return 0, fmt.Errorf("building this command with %s: %w", toolchain, err)
		}
		c := exec.Command(self, os.Args[1:]...)
		c.Env = append(os.Environ(), again+"=1")
		c.Stdin, c.Stdout, c.Stderr = os.Stdin, os.Stdout, os.Stderr
		err = c.Run()
		var exit *exec.ExitError
		if errors.As(err, &exit) {
			return exit.ExitCode(), nil
		}
		return 0, err
	}()
	if err != nil {
		fmt.Fprintln(os.Stderr, "release:", err)
		return 1
	}
	return status
}
