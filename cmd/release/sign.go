package main

import (
	"bytes"
	"crypto/ed25519"
	"crypto/rand"
	"crypto/sha512"
	"encoding/pem"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"golang.org/x/crypto/ssh"
)

// The signature is the one of OpenSSH for files, so that a user checks it with
// ssh-keygen and without us, and a maintainer may sign with it, from an agent or
// a hardware key. Its form is described in the file PROTOCOL.sshsig of OpenSSH;
// the keys, their forms and the signing itself are those of the library.

// namespace keeps a signature made for another purpose from passing for ours.
const namespace = "hangtrue-release"

const (
	sigMagic   = "SSHSIG"
	sigArmour  = "SSH SIGNATURE"
	sigHash    = "sha512"
	sigVersion = 1
)

// sigBlob is what is inside the armour, behind the magic.
type sigBlob struct {
	Version   uint32
	PublicKey string
	Namespace string
	Reserved  string
	Hash      string
	Signature string
}

// toSign is what is signed in place of the message itself.
func toSign(message []byte) []byte {
	sum := sha512.Sum512(message)
	return append([]byte(sigMagic), ssh.Marshal(struct{ Namespace, Reserved, Hash, Sum string }{
		namespace, "", sigHash, string(sum[:]),
	})...)
}

// sign returns the armoured signature of a message.
func sign(message []byte, with ssh.Signer) ([]byte, error) {
	s, err := with.Sign(rand.Reader, toSign(message))
	if err != nil {
		return nil, err
	}
	blob := append([]byte(sigMagic), ssh.Marshal(sigBlob{
		Version: sigVersion, PublicKey: string(with.PublicKey().Marshal()), Namespace: namespace, Hash: sigHash,
		Signature: string(ssh.Marshal(s)),
	})...)
	return pem.EncodeToMemory(&pem.Block{Type: sigArmour, Bytes: blob}), nil
}

// signedBy refuses a signature that is not of this message by this key.
func signedBy(message, armoured []byte, key ssh.PublicKey) error {
	block, rest := pem.Decode(armoured)
	if block == nil || block.Type != sigArmour || len(bytes.TrimSpace(rest)) > 0 {
		return errors.New("the signature is no single block of " + sigArmour)
	}
	inside, found := bytes.CutPrefix(block.Bytes, []byte(sigMagic))
	var blob sigBlob
	if !found || ssh.Unmarshal(inside, &blob) != nil || blob.Version != sigVersion {
		return fmt.Errorf("the signature is not of the form %s, version %d", sigMagic, sigVersion)
	}
	if blob.PublicKey != string(key.Marshal()) {
		return errors.New("the signature is by another key than the one given")
	}
	if blob.Namespace != namespace || blob.Hash != sigHash {
		return fmt.Errorf("the signature is for %q with %q; a release has %q with %q", blob.Namespace, blob.Hash, namespace, sigHash)
	}
	var s ssh.Signature
	if err := ssh.Unmarshal([]byte(blob.Signature), &s); err != nil {
		return fmt.Errorf("the signature: %w", err)
	}
	if err := key.Verify(toSign(message), &s); err != nil {
		return fmt.Errorf("the signature does not fit the list of checksums, which was changed after it was signed: %w", err)
	}
	return nil
}

type keyCommand struct {
	Out string `short:"o" required:"" help:"File for the private key, outside the repository. The public key goes beside it, with .pub." placeholder:"FILE"`
}

// Run makes a new key and never writes over one.
func (c keyCommand) Run(o outside) error {
	if err := outsideOf(o.root, c.Out); err != nil {
		return err
	}
	public, private, err := ed25519.GenerateKey(rand.Reader)
	if err != nil {
		return err
	}
	block, err := ssh.MarshalPrivateKey(private, namespace)
	if err != nil {
		return err
	}
	shown, err := ssh.NewPublicKey(public)
	if err != nil {
		return err
	}
	line := strings.TrimSpace(string(ssh.MarshalAuthorizedKey(shown))) + " " + namespace + "\n"
	if err := writeNew(c.Out, pem.EncodeToMemory(block), 0o600); err != nil {
		return err
	}
	if err := writeNew(c.Out+".pub", []byte(line), 0o644); err != nil {
		return err
	}
	fmt.Fprintf(o.say, "private key: %s, keep it off every machine that serves anything\npublic key:  %s, fingerprint %s\n",
		c.Out, c.Out+".pub", ssh.FingerprintSHA256(shown))
	return nil
}

// outsideOf refuses a file within a folder: a private key in the repository is
// one commit from being public.
func outsideOf(root, file string) error {
	whole, err := filepath.Abs(file)
	if err != nil {
		return err
	}
	// The folder may go by several names.
	if dir, err := filepath.EvalSymlinks(filepath.Dir(whole)); err == nil {
		whole = filepath.Join(dir, filepath.Base(whole))
	}
	if real, err := filepath.EvalSymlinks(root); err == nil {
		root = real
	}
	inside, err := filepath.Rel(root, whole)
	if err == nil && filepath.IsLocal(inside) {
		return fmt.Errorf("%s lies in the repository; a private key belongs outside it", file)
	}
	return nil
}

func writeNew(name string, data []byte, mode os.FileMode) error {
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Close())
}

// signer reads a private key that only its owner can read.
func signer(root, file string) (ssh.Signer, error) {
	if err := outsideOf(root, file); err != nil {
		return nil, err
	}
	info, err := os.Stat(file)
	if err != nil {
		return nil, err
	}
	if runtime.GOOS != "windows" && info.Mode().Perm()&0o077 != 0 {
		return nil, fmt.Errorf("%s can be read by others (mode %o); make it 600", file, info.Mode().Perm())
	}
	text, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	s, err := ssh.ParsePrivateKey(text)
	var locked *ssh.PassphraseMissingError
	switch {
	case errors.As(err, &locked):
		return nil, fmt.Errorf("%s has a passphrase: make the release with --unsigned and sign it with ssh-keygen, as docs/release.md says", file)
	case err != nil:
		return nil, fmt.Errorf("%s: %w", file, err)
	case s.PublicKey().Type() != ssh.KeyAlgoED25519:
		return nil, fmt.Errorf("%s is a key of type %s; releases are signed with %s", file, s.PublicKey().Type(), ssh.KeyAlgoED25519)
	}
	return s, nil
}

// publicKey reads a public key as ssh-keygen writes it.
func publicKey(file string) (ssh.PublicKey, error) {
	text, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	key, _, _, _, err := ssh.ParseAuthorizedKey(text)
	if err != nil {
		return nil, fmt.Errorf("%s: %w; want a line such as: ssh-ed25519 AAAA… name", file, err)
	}
	return key, nil
}
