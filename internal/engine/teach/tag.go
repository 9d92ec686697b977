package teach

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"hangtrue/internal/engine/rig"
)

// RedTag is a real load that faults were planted on, without what they are.
type RedTag struct {
	Version, Lane, Class string
	Number               int    // the version's
	Title                string // the lane's
	Tag                  string // the number on the red tag
	Load                 string // what the load is called
	Rig, RigHash         string // the name of its rig, and the version planted on
	Restored             time.Time
}

// OtherLoad is a person's word that a load is not the tagged one of a lane.
type OtherLoad struct {
	Lane, Load, Person string
	At                 time.Time
}

// RigKnown is a rig by all the names that it may go by.
type RigKnown struct {
	Name   string   // of its file
	Titles []string // of its versions that count
	Hashes []string // of all its versions
	Shapes []string // of its versions that count, see [RigShape]
}

// RigShape is what stays of a rig whose file, title, ids, weights and counts are
// changed: where the points of its bodies are, to a millimetre, and how many
// legs it has. Two rigs of one shape may still be two loads.
func RigShape(r *rig.Rig) string {
	var bodies []string
	for _, b := range r.Bodies() {
		var points []string
		for _, p := range b.Points {
			mm := func(i int) float64 { return math.Round(1000*p.At[i]) + 0 } // no −0
			points = append(points, fmt.Sprintf("%.0f %.0f %.0f", mm(0), mm(1), mm(2)))
		}
		slices.Sort(points)
		bodies = append(bodies, strings.Join(points, ", "))
	}
	slices.Sort(bodies)
	return fmt.Sprintf("%d legs; %s", len(r.Legs()), strings.Join(bodies, "; "))
}

// Tie is how a load is tied to a tagged one.
type Tie int

// The ties, the closest last.
const (
	TieNone  Tie = iota // nothing ties them
	TieRig              // it is rigged from the same rig, or from one of the same title, text or shape
	TieNamed            // it has the tagged load's name
)

// TieOf says how a load, by its name and its rig, is tied to a tagged one, whose
// rig is tagged. A zero rig is one that is not known. Names are compared as
// [SameLoad] does.
func TieOf(t *RedTag, tagged *RigKnown, load string, rig *RigKnown) Tie {
	if SameLoad(load, t.Load) {
		return TieNamed
	}
	same := func(a string, list ...string) bool {
		return slices.ContainsFunc(list, func(b string) bool { return SameLoad(a, b) })
	}
	switch {
	case same(load, append([]string{t.Rig}, tagged.Titles...)...),
		rig.Name != "" && same(rig.Name, t.Rig),
		slices.Contains(rig.Hashes, t.RigHash),
		slices.ContainsFunc(rig.Shapes, func(shape string) bool { return slices.Contains(tagged.Shapes, shape) }),
		slices.ContainsFunc(rig.Titles, func(title string) bool { return same(title, tagged.Titles...) || SameLoad(title, t.Load) }):
		return TieRig
	}
	return TieNone
}

// otherLoadBy is how many people it takes to say that a load is another one.
const otherLoadBy = 2

// Another reports whether two people have said that a load is not the tagged
// one, and who has said so yet.
func Another(list []OtherLoad, load string) (another bool, by []string) {
	for _, x := range list {
		if SameLoad(x.Load, load) && !slices.Contains(by, x.Person) {
			by = append(by, x.Person)
		}
	}
	return len(by) >= otherLoadBy, by
}
