package lesson

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"slices"
)

// Exercise is a picture of a question to be told right or wrong.
type Exercise struct {
	Question int // index in its stop
	Shown    Shown
}

// Exercises draws the questions of a stop in a state each, at most most of them,
// in the order of the stop; those that cannot be drawn both right and wrong in
// one view are left out. The same seed gives the same; half of all are as they
// should be, in the long run. Which questions are taken does not depend on the
// state in which they are drawn.
func (s *Stop) Exercises(seed string, most int) []Exercise {
	var out []Exercise
	rank := map[int][]byte{}
	for i := range s.Questions {
		sum := sha256.Sum256(fmt.Appendf(nil, "hangtrue exercise\x00%s\x00%s\x00%d", seed, s.Checkpoint.ID, i))
		if shown, ok := s.Questions[i].shown(sum[:]); ok {
			rank[i] = sum[16:]
			out = append(out, Exercise{i, shown})
		}
	}
	slices.SortFunc(out, func(a, b Exercise) int { return bytes.Compare(rank[a.Question], rank[b.Question]) })
	out = out[:min(most, len(out))]
	slices.SortFunc(out, func(a, b Exercise) int { return a.Question - b.Question })
	return out
}

// shown draws a question right or wrong by the first bytes of a hash.
func (q *Question) shown(by []byte) (Shown, bool) {
	good, wrong := q.Pictures()
	switch {
	case good == nil:
		return Shown{}, false
	case by[0]&1 == 0:
		return *good, true
	}
	return wrong[binary.BigEndian.Uint32(by[4:])%uint32(len(wrong))], true
}
