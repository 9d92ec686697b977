package disk

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// asNobody runs the test that calls it once more, as a user who is not root.
func asNobody(t *testing.T) {
	t.Helper()
	self, err := os.ReadFile("/proc/self/exe")
	if err != nil {
		t.Fatal(err)
	}
	// The folders of the tests' own program and of t are closed to others.
	dir, err := os.MkdirTemp("", "hangtrue-nobody-")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	program := filepath.Join(dir, "tests")
	if err := errors.Join(os.Chmod(dir, 0o777), os.WriteFile(program, self, 0o755)); err != nil {
		t.Fatal(err)
	}
	const nobody = 65534
	c := exec.CommandContext(t.Context(), program, "-test.run", "^"+t.Name()+"$", "-test.v")
	c.Dir = "/"
	c.Env = append(os.Environ(), "TMPDIR="+dir)
	c.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: nobody, Gid: nobody}}
	out, err := c.CombinedOutput()
	if err != nil || !strings.Contains(string(out), "--- PASS: "+t.Name()) {
		t.Errorf("as another user: %v\n%s", err, out)
	}
}
