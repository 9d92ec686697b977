package main

import (
	"bytes"
	"encoding/pem"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"golang.org/x/crypto/ssh"
)

// newKey makes a key in a new folder by the command.
func newKey(t *testing.T) (file string, private ssh.Signer, public ssh.PublicKey) {
	t.Helper()
	file = filepath.Join(t.TempDir(), "release.key")
	root := t.TempDir()
	if err := (keyCommand{file}).Run(outside{root, io.Discard}); err != nil {
		t.Fatal(err)
	}
	private, err := signer(root, file)
	if err != nil {
		t.Fatal(err)
	}
	public, err = publicKey(file + ".pub")
	if err != nil {
		t.Fatal(err)
	}
	return file, private, public
}

func TestKey_IsItsOwnersAlone(t *testing.T) {
	file, _, _ := newKey(t)
	root := t.TempDir()
	if err := (keyCommand{file}).Run(outside{root, io.Discard}); err == nil {
		t.Error("a key was written over")
	}
	for _, inside := range []string{filepath.Join(root, "k"), filepath.Join(root, "dist", "k")} {
		if err := (keyCommand{inside}).Run(outside{root, io.Discard}); err == nil || !strings.Contains(err.Error(), "lies in the repository") {
			t.Errorf("%s: got error %v", inside, err)
		}
	}
	if _, err := signer(filepath.Dir(file), file); err == nil {
		t.Error("a key within the repository was used")
	}
	if runtime.GOOS == "windows" {
		return
	}
	info, err := os.Stat(file)
	if err != nil {
		t.Fatal(err)
	}
	if info.Mode().Perm() != 0o600 {
		t.Errorf("the private key has mode %o, want 600", info.Mode().Perm())
	}
	if err := os.Chmod(file, 0o640); err != nil {
		t.Fatal(err)
	}
	if _, err := signer(root, file); err == nil || !strings.Contains(err.Error(), "can be read by others") {
		t.Errorf("a key that others can read: got error %v", err)
	}
}

func TestSignedBy_RefusesWhatIsNotSigned(t *testing.T) {
	_, private, public := newKey(t)
	_, _, other := newKey(t)
	message := []byte("abc  one\ndef  two\n")
	signature, err := sign(message, private)
	if err != nil {
		t.Fatal(err)
	}
	if err := signedBy(message, signature, public); err != nil {
		t.Fatalf("its own signature: %v", err)
	}
	if err := signedBy(message, signature, other); err == nil || !strings.Contains(err.Error(), "another key") {
		t.Errorf("by another key: got error %v", err)
	}
	tried := 0
	for i := range message {
		changed := bytes.Clone(message)
		changed[i] ^= 1
		if signedBy(changed, signature, public) == nil {
			t.Errorf("byte %d of the message changed and the signature still fits", i)
		}
		tried++
	}
	block, _ := pem.Decode(signature)
	for i := range block.Bytes {
		changed := bytes.Clone(block.Bytes)
		changed[i] ^= 1
		if signedBy(message, pem.EncodeToMemory(&pem.Block{Type: block.Type, Bytes: changed}), public) == nil {
			t.Errorf("byte %d of the signature changed and it still fits", i)
		}
		tried++
	}
	if tried < 100 {
		t.Errorf("changed only %d bytes", tried)
	}
	for _, junk := range [][]byte{nil, []byte("x"), append(bytes.Clone(signature), signature...)} {
		if signedBy(message, junk, public) == nil {
			t.Errorf("%q was taken for a signature", junk)
		}
	}
}

// TestSign_OpenSSHAgrees has the signature checked by ssh-keygen, and checks one
// that ssh-keygen made.
func TestSign_OpenSSHAgrees(t *testing.T) {
	tool, err := exec.LookPath("ssh-keygen")
	if err != nil {
		t.Skip("skipped: no ssh-keygen here to compare with")
	}
	file, private, public := newKey(t)
	dir := t.TempDir()
	message := []byte("abc  one\n")
	signature, err := sign(message, private)
	if err != nil {
		t.Fatal(err)
	}
	listed := filepath.Join(dir, "SHA256SUMS")
	signers := filepath.Join(dir, "signers")
	for name, text := range map[string][]byte{
		listed: message, listed + ".sig": signature, signers: append([]byte("release "), ssh.MarshalAuthorizedKey(public)...),
	} {
		if err := os.WriteFile(name, text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	check := func(text []byte) error {
		c := exec.Command(tool, "-Y", "verify", "-f", signers, "-I", "release", "-n", namespace, "-s", listed+".sig")
		c.Stdin = bytes.NewReader(text)
		out, err := c.CombinedOutput()
		t.Logf("%s", out)
		return err
	}
	if err := check(message); err != nil {
		t.Errorf("ssh-keygen refuses our signature: %v", err)
	}
	if check([]byte("abd  one\n")) == nil {
		t.Error("ssh-keygen takes our signature for another text; the check compares nothing")
	}
	if err := os.Remove(listed + ".sig"); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command(tool, "-Y", "sign", "-n", namespace, "-f", file, listed).CombinedOutput(); err != nil {
		t.Fatalf("ssh-keygen cannot sign with our key: %v: %s", err, out)
	}
	theirs, err := os.ReadFile(listed + ".sig")
	if err != nil {
		t.Fatal(err)
	}
	if err := signedBy(message, theirs, public); err != nil {
		t.Errorf("a signature by ssh-keygen: %v", err)
	}
}
