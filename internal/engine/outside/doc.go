// Package outside is the register of every check of the program against
// something outside it: a closed form worked out apart, a textbook, a standard,
// a published table. The same list makes the program's check of itself, the
// page docs/method/checks.md and a test.
//
// Each room of the engine has one file here that adds its checks; [All] joins
// them. A check cites a publication and says honestly how well its figure is
// known: see [Check.Flag].
package outside

import (
	"math"
	"slices"
)

// Check is one number of the program's against one from outside.
type Check struct {
	ID        string // room/problem/number, stable
	Topic     string // what case it is
	What      string // which number of the case
	Source    string // the publication, and the formula where there is one
	Flag      string // seen | memory | derived
	Unit      string // of Want and Tolerance; empty for a plain number
	Want      float64
	Tolerance float64 // absolute
	Why       string  // the reason for the tolerance
	Got       func() (float64, error)
}

// The flags: how well the figure of a check is known.
const (
	Seen    = "seen"    // read in the publication named, or in a page that reproduces it
	Memory  = "memory"  // recalled from the publication named
	Derived = "derived" // computed apart from this program, from the formula given
)

// Row is a check and how it came out.
type Row struct {
	Check
	Value float64 // what the program says; not-a-number where Err is set
	Err   error
	Holds bool // Value lies within Tolerance of Want
}

// All returns every check, always in the same order.
func All() []Check {
	return slices.Concat(statics(), flights(), spreads(), liquids(), airs(), lifts(), figures(), resultChecks())
}

// Report makes every check and returns one row for each, in the order of All.
func Report() []Row {
	var rows []Row
	for _, c := range All() {
		value, err := c.Got()
		if err != nil {
			value = math.NaN()
		}
		rows = append(rows, Row{c, value, err, err == nil && math.Abs(value-c.Want) <= c.Tolerance})
	}
	return rows
}
