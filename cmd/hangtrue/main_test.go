package main

import (
	"errors"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"hangtrue": main})
}

// TestScripts runs the program as a user does, one script for each command.
func TestScripts(t *testing.T) {
	dir := filepath.Join("testdata", "script")
	scripts, err := filepath.Glob(filepath.Join(dir, "*.txtar"))
	if err != nil {
		t.Fatal(err)
	}
	// One for each command, one for the command line itself.
	if len(scripts) < 12 {
		t.Fatalf("%d scripts, want at least 12", len(scripts))
	}
	testscript.Run(t, testscript.Params{
		Dir:                 dir,
		RequireExplicitExec: true,
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"status": status,
		},
	})
}

// status runs a command and fails unless it ends with the exit status given:
//
//	status 3 hangtrue solve crate.yaml
//
// Its output is where stdout and stderr look for it.
func status(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: status NUMBER COMMAND ...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	err = ts.Exec(args[1], args[2:]...)
	got := 0
	var exit *exec.ExitError
	if errors.As(err, &exit) {
		got = exit.ExitCode()
	} else {
		ts.Check(err)
	}
	if got != want {
		ts.Fatalf("exit status %d, want %d", got, want)
	}
}
