// Package app holds the use cases that the command line and the pages share:
// read a rig, hang it, judge it, name its version. It declares the small
// interfaces that it needs of whoever keeps files or rows.
package app

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/rigfile"
	"hangtrue/internal/engine/rig/solution"
)

// Solved is what became of a rig file. Exactly one of these holds: Problems is
// not empty (bad input), Open is not empty (counts still to be found), or
// Answer is there.
type Solved struct {
	Data     []byte
	Version  string // SHA-256 of the exact bytes, in hexadecimal
	Rig      *rig.Rig
	Problems []document.Problem
	Open     []string // legs whose counts are open
	Answer   *rig.Answer
}

// Version names a rig version: the SHA-256 of its exact bytes.
func Version(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// Solve reads a rig file and hangs it, however long that takes.
func Solve(data []byte) Solved {
	s, _ := SolveWithin(context.Background(), data) // which does not end
	return s
}

// SolveWithin is [Solve] that gives up once the context ends, with its error.
func SolveWithin(ctx context.Context, data []byte) (Solved, error) {
	s := Solved{Data: data, Version: Version(data)}
	s.Rig, s.Problems = rigfile.Read(data)
	if s.Rig == nil {
		return s, nil
	}
	answer, err := rig.HangWithin(ctx, s.Rig)
	var open *rig.OpenCounts
	switch {
	case errors.As(err, &open):
		s.Open = open.Legs
	case err != nil:
		return Solved{}, err
	default:
		s.Answer = answer
	}
	return s, nil
}

// Solution returns the answer's published document; the answer must be there.
// tool names the program and its version.
func (s *Solved) Solution(tool string) solution.Solution {
	d := solution.Of(s.Answer)
	d.Rig, d.Tool = s.Version, tool
	return d
}

// The exit statuses of every command that gives a result.
const (
	ExitWithin     = 0 // every limit entered and kept, nothing missing
	ExitOver       = 1 // a limit is passed or it does not stand
	ExitBadInput   = 2
	ExitCannotTell = 3
)

// Exit returns the exit status that the outcome stands for.
func (s *Solved) Exit() int {
	switch {
	case len(s.Problems) > 0:
		return ExitBadInput
	case s.Answer == nil:
		return ExitCannotTell
	}
	switch s.Answer.Result {
	case rig.Within:
		return ExitWithin
	case rig.Over, rig.DoesNotStand:
		return ExitOver
	}
	return ExitCannotTell
}
