package rigfile

import (
	"fmt"
	"strconv"

	"hangtrue/internal/engine/document"
)

// groups refuses a plan that contradicts itself: legs of one group whose counts
// differ, or of which some are open. It is a rule of the file and not of the
// rig, because a miscount is hung too: the fault table and a trial set one leg
// of a group apart.
func (b *builder) groups() {
	first := map[string]*document.Value{} // the group's first leg with a count
	for _, leg := range b.value.Get("legs").Items() {
		name, count := leg.Get("group"), leg.Get("count")
		if !name.Valid() || !count.Valid() {
			continue
		}
		other, seen := first[name.Text()]
		if !seen {
			first[name.Text()] = leg
			continue
		}
		was := other.Get("count")
		if wordOf(was) == wordOf(count) {
			continue
		}
		b.problems = append(b.problems, count.Problem(
			fmt.Sprintf("count %s of leg %q: leg %q of the same group %q has %s", wordOf(count), leg.Get("id").Text(), other.Get("id").Text(), name.Text(), wordOf(was)),
			fmt.Sprintf("legs of one group keep the same count: make it that of line %d, or give the leg another group", was.Line())))
	}
}

// wordOf is a count as it is written: a number, or find.
func wordOf(count *document.Value) string {
	if count.Form() == document.FormInteger {
		return strconv.Itoa(count.Integer())
	}
	return count.Text()
}
