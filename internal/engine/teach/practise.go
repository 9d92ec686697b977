package teach

import (
	"cmp"
	"slices"
	"time"
)

// Box is where a deficiency stands in a student's practice: Leitner's boxes
// (Sebastian Leitner, So lernt man lernen, 1972, from memory). What is found
// goes one box up and comes back later; what is missed goes back to the first.
type Box struct {
	Number int       // 1 to 5; 0: never seen
	Due    time.Time // when it comes back
}

// boxDays is after how many days each box comes back: each twice as long as the
// one before. The numbers are ours; Leitner's were sizes of boxes.
var boxDays = [...]int{0, 1, 2, 4, 8, 16}

// Next is the box after a try on a day.
func (b Box) Next(found bool, on time.Time) Box {
	n := 1
	if found {
		n = min(b.Number+1, len(boxDays)-1)
	}
	return Box{n, on.AddDate(0, 0, boxDays[n])}
}

// Practise picks n of the things that a student may be shown, by id: first what
// is due, the longest overdue first, then what was never seen, then what comes
// back next. The order given breaks ties.
func Practise(ids []string, boxes map[string]Box, on time.Time, n int) []string {
	rank := func(id string) int {
		b, ok := boxes[id]
		switch {
		case !ok || b.Number == 0:
			return 1
		case !b.Due.After(on):
			return 0
		}
		return 2
	}
	out := slices.Clone(ids)
	slices.SortStableFunc(out, func(a, b string) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), boxes[a].Due.Compare(boxes[b].Due))
	})
	return out[:min(n, len(out))]
}
