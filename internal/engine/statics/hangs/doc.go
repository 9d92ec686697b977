// Package hangs is a library of hanging loads whose answer is known: closed
// forms, textbook exercises, published tables. Each [Problem] carries its model,
// the formula, the source and the expected values, each with a tolerance and
// the reason for it, so that every test and the program's own check of itself
// can run over all of them.
//
// Lengths are metres unless the source has feet; forces count in the unit that
// the source counts in. That is no danger: equilibrium is the same in any unit
// of force, so a load of 10,000 lb is a model whose weight is the number 10,000.
//
// Lines said to be inextensible have a stiffness EA of a million times the
// weight. They stretch by about a millionth of their length, which moves the
// answers by a few millionths.
package hangs

import (
	"fmt"
	"math"

	"hangtrue/internal/engine/statics"
)

// Flag says how well the expected value of a problem is founded.
type Flag string

// The flags.
const (
	Seen    Flag = "seen"    // read in the publication named, or in a page that reproduces it
	Memory  Flag = "memory"  // recalled from the publication named
	Derived Flag = "derived" // computed apart from this program, from the formula given
)

// Problem is one hanging load with a known answer.
type Problem struct {
	ID      string // stable, lower case with hyphens
	Topic   string
	Formula string
	Source  string
	Flag    Flag
	Model   *statics.Model
	Values  []Value
}

// Value is one number of the answer.
type Value struct {
	What      string
	Unit      string // of Want and Tolerance; empty for a plain number
	Want      float64
	Tolerance float64 // absolute
	Why       string  // the reason for the tolerance
	Of        func(*Hung) float64
}

// Hung is a solved problem.
type Hung struct {
	statics.Solution
	Modes []statics.Mode // slowest first
}

// Solve hangs the problem's model from its ground position. It returns an error
// when the answer is not in balance or not stable.
func (p *Problem) Solve() (*Hung, error) {
	if err := p.Model.Check(); err != nil {
		return nil, fmt.Errorf("hangs: %s: %w", p.ID, err)
	}
	var s statics.Solver
	h := new(Hung)
	s.Solve(p.Model, nil, &h.Solution)
	if !h.Converged || !h.Stable {
		return nil, fmt.Errorf("hangs: %s: no stable balance found, %g N left over", p.ID, h.Residual)
	}
	h.Modes = s.Modes()
	return h, nil
}

// All returns every problem, always in the same order.
func All() []Problem {
	var list []Problem
	for _, group := range [][]Problem{twoLegs(), baskets(), angles(), tiltingBars(), elasticLegs(), textbooks(), factors(), chainTable(), flightLoads(), swings()} {
		list = append(list, group...)
	}
	return list
}

// gravity is the standard one, so that periods can be compared (3rd CGPM 1901).
const gravity = 9.80665

// Reasons that recur.
const (
	printed = "half of the last digit given, and 2e-6 of the value for the stretch of stiff lines"
	stretch = "5e-6 of the value, for the stretch of stiff lines"
)

// within is half a unit of the last of the decimals given, with the allowance
// for stretch.
func within(want float64, decimals int) float64 {
	return 0.5001*math.Pow(10, -float64(decimals)) + 2e-6*math.Abs(want)
}

func fixed(i int) statics.Anchor { return statics.Anchor{Kind: statics.OnFixed, Index: i} }

func on(body int, p statics.Vec) statics.Anchor {
	return statics.Anchor{Kind: statics.OnBody, Index: body, Point: p}
}

// upright is a body of the given weight, its frame as the world's, its CG at cg.
func upright(weight float64, cg statics.Vec) statics.Body {
	return statics.Body{Mass: weight / gravity, CG: cg, Ground: statics.Pose{Turn: statics.Identity}}
}

// stiff is a line of the given length between two anchors, with the stiffness
// of an inextensible one under a load of that weight.
func stiff(a, b statics.Anchor, length, weight float64) statics.Line {
	return statics.Line{Path: []statics.Anchor{a, b}, Length: length, Stiffness: 1e6 * weight / length}
}

// onOneHook is a single body on inextensible legs from a hook at the origin to
// lugs given from the body's CG.
func onOneHook(weight float64, lugs []statics.Vec, lengths []float64) *statics.Model {
	m := &statics.Model{Gravity: gravity, Fixed: []statics.Vec{{}}, Bodies: []statics.Body{upright(weight, statics.Vec{})}}
	for i, p := range lugs {
		m.Lines = append(m.Lines, stiff(fixed(0), on(0, p), lengths[i], weight))
	}
	return m
}

func tension(line int) func(*Hung) float64 {
	return func(h *Hung) float64 { return h.Lines[line].Tension }
}

// slope is the angle of line i from the horizontal, degrees.
func slope(h *Hung, i int) float64 {
	d := statics.Sub(h.Lines[i].To, h.Lines[i].From)
	return math.Atan2(math.Abs(d[2]), math.Hypot(d[0], d[1])) * 180 / math.Pi
}
