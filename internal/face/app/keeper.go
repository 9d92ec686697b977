package app

import (
	"fmt"
	"time"

	"hangtrue/internal/engine/rig/rigfile"
)

// MostBytes is the largest rig file that is read or kept.
const MostBytes = 1 << 20

// Kept is one version of a rig as a [Keeper] has it. It is a plain struct, so
// that a keeper need not know this package.
type Kept = struct {
	Version string    // SHA-256 of the bytes, in hexadecimal
	At      time.Time // when it was last made, or first seen as, the current one
	Printed time.Time // when a sheet was last printed from it; zero if never
}

// Keeper keeps rigs by name and every version of each. A rig that is not there
// is an error for which errors.Is(err, fs.ErrNotExist) holds, as are a version
// that is not there and a name that no rig can have. Methods may be called from
// several goroutines.
type Keeper interface {
	// Names lists the rigs in order.
	Names() ([]string, error)
	// Current returns the bytes of the current version.
	Current(name string) ([]byte, error)
	// Version returns the bytes of a version by its hash.
	Version(name, version string) ([]byte, error)
	// Versions lists what is kept, the current one first, then the newest.
	Versions(name string) ([]Kept, error)
	// Save makes data the current version, if the current one is still the
	// version named by on ("" where the rig is new). If it is another one,
	// nothing changes, saved is false and current names it; otherwise current
	// names data. Nothing that was kept is ever removed.
	Save(name, on string, data []byte) (current string, saved bool, err error)
	// Print notes that a sheet was printed from a version.
	Print(name, version string) error
}

// Overlooked lists the files that a keeper sees and does not take for rigs because
// of how they are called; none where it has no files.
func Overlooked(k Keeper) ([]string, error) {
	if x, ok := k.(interface{ Overlooked() ([]string, error) }); ok {
		return x.Overlooked()
	}
	return nil, nil
}

// ShortVersion is the beginning of a version's name, enough to tell the
// versions of one rig apart.
func ShortVersion(version string) string {
	return version[:min(8, len(version))]
}

// A CountChange is one step that a person took and may take back.
type CountChange struct {
	Leg      string
	From, To int // From is 0 where the count was open
}

// Group lists the legs whose counts go together with that of a leg, itself
// included, in the order of the file.
func (s *Solved) Group(leg string) []string {
	if s.Rig == nil {
		return []string{leg}
	}
	own, ok := s.Rig.Leg(leg)
	if !ok || own.Group == "" {
		return []string{leg}
	}
	var ids []string
	for _, l := range s.Rig.Legs() {
		if l.Group == own.Group && l.Chain != nil {
			ids = append(ids, l.ID)
		}
	}
	return ids
}

// SetCounts writes one count for some legs into the text of a rig file and
// says what it changed.
func SetCounts(data []byte, legs []string, n int) ([]byte, []CountChange, error) {
	was := rigfile.Counts(data)
	var changes []CountChange
	for _, id := range legs {
		if was[id] == n {
			continue
		}
		next, err := rigfile.SetCount(data, id, n)
		if err != nil {
			return nil, nil, fmt.Errorf("app: set count: %w", err)
		}
		data = next
		changes = append(changes, CountChange{id, was[id], n})
	}
	return data, changes, nil
}
