package app

import (
	"context"
	"crypto/subtle"
	"encoding/base64"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/crypto/argon2"
	"golang.org/x/text/unicode/norm"
)

// The length of a passphrase in letters. NIST SP 800-63B-4, 3.1.1.2, asks for
// at least 8 beside a second factor and 15 alone, and for no rules on which
// signs it is made of; ours is guessed at over a closed network only, and slowly.
const (
	leastPassphrase = 12
	mostPassphrase  = 200
)

// strength is how passphrases are kept: argon2id, with the memory in KiB, the
// passes and the threads of RFC 9106 notation. 19 MiB and 2 passes are the
// first choice of OWASP's cheat sheet on password storage.
type strength struct {
	memory, passes uint32
	threads        uint8
}

var strong = strength{19 * 1024, 2, 1}

const (
	saltBytes = 16
	keyBytes  = 32
)

// nobody is a kept passphrase that nobody has, of the same cost.
var nobody = encoded(strong, make([]byte, saltBytes), make([]byte, keyBytes))

func encoded(s strength, salt, key []byte) string {
	b := base64.RawStdEncoding
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s", argon2.Version, s.memory, s.passes, s.threads, b.EncodeToString(salt), b.EncodeToString(key))
}

// decoded reads what encoded wrote.
func decoded(text string) (s strength, salt, key []byte, err error) {
	parts := strings.Split(text, "$")
	var version int
	if len(parts) != 6 || parts[0] != "" || parts[1] != "argon2id" {
		return s, nil, nil, fmt.Errorf("app: a passphrase is kept in a form that this program does not know")
	}
	_, e1 := fmt.Sscanf(parts[2], "v=%d", &version)
	_, e2 := fmt.Sscanf(parts[3], "m=%d,t=%d,p=%d", &s.memory, &s.passes, &s.threads)
	salt, e3 := base64.RawStdEncoding.DecodeString(parts[4])
	key, e4 := base64.RawStdEncoding.DecodeString(parts[5])
	if e1 != nil || e2 != nil || e3 != nil || e4 != nil || version != argon2.Version || s.passes == 0 || s.threads == 0 ||
		s.memory > 1<<20 || s.passes > 100 || len(key) == 0 {
		return s, nil, nil, fmt.Errorf("app: a passphrase is kept in a form that this program does not know")
	}
	return s, salt, key, nil
}

// weaker reports whether a passphrase is kept with less than what is usual now.
func weaker(text string) bool {
	s, _, key, err := decoded(text)
	return err == nil && (s.memory < strong.memory || s.passes < strong.passes || len(key) < keyBytes)
}

// sameEverywhere writes a passphrase with one code for each letter, as keyboards
// differ in how they compose an ü.
func sameEverywhere(passphrase string) []byte { return []byte(norm.NFC.String(passphrase)) }

// encode makes what is kept of a passphrase.
func (p *People) encode(ctx context.Context, passphrase string) (string, error) {
	salt := make([]byte, saltBytes)
	if _, err := io.ReadFull(p.random, salt); err != nil {
		return "", fmt.Errorf("app: no random bytes: %w", err)
	}
	key, err := p.key(ctx, strong, salt, passphrase, keyBytes)
	if err != nil {
		return "", err
	}
	return encoded(strong, salt, key), nil
}

// key works a key out, few at a time: each takes many megabytes.
func (p *People) key(ctx context.Context, s strength, salt []byte, passphrase string, bytes int) ([]byte, error) {
	select {
	case p.hashing <- struct{}{}:
		defer func() { <-p.hashing }()
	case <-ctx.Done():
		return nil, ctx.Err()
	}
	return argon2.IDKey(sameEverywhere(passphrase), salt, s.passes, s.memory, s.threads, uint32(bytes)), nil
}

func (p *People) verify(ctx context.Context, kept, passphrase string) (bool, error) {
	s, salt, key, err := decoded(kept)
	if err != nil {
		return false, err
	}
	got, err := p.key(ctx, s, salt, passphrase, len(key))
	return subtle.ConstantTimeCompare(got, key) == 1, err
}

// checkPassphrase refuses what is guessed first.
func checkPassphrase(passphrase, login, name string) error {
	n := utf8.RuneCountInString(passphrase)
	switch {
	case !utf8.ValidString(passphrase):
		return &Wrong{"passphrase", "the passphrase has signs that cannot be read"}
	case n < leastPassphrase:
		return &Wrong{"passphrase", fmt.Sprintf("the passphrase has %d letters; it takes at least %d: four or five words that do not belong together are easy to keep", n, leastPassphrase)}
	case n > mostPassphrase:
		return &Wrong{"passphrase", fmt.Sprintf("the passphrase has %d letters; it takes at most %d", n, mostPassphrase)}
	}
	// Repeated letters and runs such as 123456789012 leave few different steps.
	var steps, last rune
	different := map[rune]bool{}
	for i, r := range []rune(strings.ToLower(passphrase)) {
		if i > 0 {
			steps = r - last
			different[steps] = true
		}
		last = r
	}
	if len(different) < 4 {
		return &Wrong{"passphrase", "the passphrase repeats a few letters, or counts; take words that do not belong together"}
	}
	rest := strings.ToLower(passphrase)
	for _, known := range append(strings.Fields(strings.ToLower(name)), login, "passphrase", "password", "hangtrue", "helicopter") {
		if known != "" {
			rest = strings.ReplaceAll(rest, known, "")
		}
	}
	if utf8.RuneCountInString(rest) < 6 {
		return &Wrong{"passphrase", "the passphrase is little more than a name or a word that is tried first"}
	}
	return nil
}

// checkedLogin is a name to sign in with as it is kept: small letters.
func checkedLogin(login string) (string, error) {
	login = strings.ToLower(norm.NFC.String(strings.TrimSpace(login)))
	n := utf8.RuneCountInString(login)
	if n < 2 || n > 60 || strings.ContainsFunc(login, func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !strings.ContainsRune(".-_@", r)
	}) {
		return "", &Wrong{"login", "the name to sign in with takes 2 to 60 letters, digits and . - _ @"}
	}
	return login, nil
}
