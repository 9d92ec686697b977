package teach

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"
)

// Key is what is planted in a version of a lane, as it is committed to before
// the test and shown after it.
type Key struct {
	Format  string   `json:"format"` // hangtrue.key/1
	Lane    string   `json:"lane"`
	Version int      `json:"version"`
	Rig     string   `json:"rig_sha256"`
	Planted []string `json:"planted"` // ids in order
	Seed    string   `json:"seed"`    // hexadecimal; "" where it was set by hand
}

// KeyFormat names the format of a [Key].
const KeyFormat = "hangtrue.key/1"

// Commitment is a promise of a key that tells nothing of it: SHA-256 over 32
// secret random bytes and the key's canonical bytes, in hexadecimal.
type Commitment string

// Canonical is the key's bytes: JSON without spaces, its fields in the order
// above, its deficiencies sorted.
func (k Key) Canonical() []byte {
	k.Format = KeyFormat
	k.Planted = slices.Clone(k.Planted)
	if k.Planted == nil {
		k.Planted = []string{}
	}
	slices.Sort(k.Planted)
	data, err := json.Marshal(k)
	if err != nil {
		panic("teach: a key is no JSON: " + err.Error()) // strings and numbers only
	}
	return data
}

// Commit promises a key.
func Commit(secret [32]byte, k Key) Commitment {
	h := sha256.New()
	h.Write(secret[:])
	h.Write(k.Canonical())
	return Commitment(hex.EncodeToString(h.Sum(nil)))
}

// Open checks that a key is the one that was promised.
func (c Commitment) Open(secret [32]byte, k Key) error {
	if Commit(secret, k) == c {
		return nil
	}
	return fmt.Errorf("teach: this is not the key that was committed to before the test")
}
