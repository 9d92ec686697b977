package main

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"
	"time"
)

// smallDisk is a disk of 4 MB. Where none can be mounted the test is left out;
// that the database itself can be full is tested in package store everywhere.
func smallDisk(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=4m"); err != nil {
		t.Skipf("no small disk can be mounted here: %v", err)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(dir, syscall.MNT_DETACH); err != nil {
			t.Error(err)
		}
	})
	return dir
}

// fillUp leaves so many bytes free on a disk and returns the file to remove.
func fillUp(t *testing.T, disk string, leave int64) string {
	t.Helper()
	var st syscall.Statfs_t
	must(t, syscall.Statfs(disk, &st))
	path := filepath.Join(disk, "ballast")
	must(t, os.WriteFile(path, make([]byte, int64(st.Bavail)*st.Bsize-leave), 0o600))
	return path
}

// asStranger runs the program as a user who may read what others own and write
// nothing of it.
func asStranger(t *testing.T, program string, args ...string) (said string, err error) {
	t.Helper()
	if os.Geteuid() != 0 {
		t.Skip("only root can run a program as another user")
	}
	const nobody = 65534
	ctx, cancel := context.WithTimeout(t.Context(), 2*time.Minute)
	defer cancel()
	c := exec.CommandContext(ctx, program, args...)
	c.Dir = "/"
	c.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: nobody, Gid: nobody}}
	out, err := c.CombinedOutput()
	return string(out), err
}
