package fault

import (
	"fmt"
	"slices"
	"strings"

	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/rig"
)

// Group is rows of one table that a person reads as one line: the counts of one
// leg off to one side with the same gravest end, or a single other fault.
type Group struct {
	End  part.End // gravest of each row; "" where none has any
	Rows []*Row   // the worst first, as in the table
}

// Worst is the row that stands first in the table.
func (g *Group) Worst() *Row { return g.Rows[0] }

// Groups puts together what reads as one line, in the order of the worst row of
// each. The rows are those of the table, not copies.
func (t *Table) Groups() []Group {
	type key struct {
		end  part.End
		leg  string
		high bool
	}
	at := map[key]int{}
	var out []Group
	for i := range t.Rows {
		w := &t.Rows[i]
		k := key{w.Gravest(), w.Fault.Leg, w.Fault.Links > 0}
		if n, ok := at[k]; ok && w.Fault.Kind == CountOff {
			out[n].Rows = append(out[n].Rows, w)
			continue
		}
		if w.Fault.Kind == CountOff {
			at[k] = len(out)
		}
		out = append(out, Group{w.Gravest(), []*Row{w}})
	}
	return out
}

// What says the group in words: that of its only row, or which links the leg is
// held at.
func (g *Group) What(r *rig.Rig) string {
	f := g.Worst().Fault
	l, ok := r.Leg(f.Leg)
	if len(g.Rows) == 1 || !ok || l.Count == nil {
		return g.Worst().What
	}
	var at []int
	for _, w := range g.Rows {
		at = append(at, *l.Count+w.Fault.Links)
	}
	slices.Sort(at)
	return fmt.Sprintf("leg %s held at link %s instead of %d", f.Leg, runsOf(at), *l.Count)
}

// runsOf writes numbers in ascending order, those next to each other as a run:
// "3 to 7, 9".
func runsOf(list []int) string {
	var out []string
	for i := 0; i < len(list); {
		k := i
		for k+1 < len(list) && list[k+1] == list[k]+1 {
			k++
		}
		switch {
		case k == i:
			out = append(out, fmt.Sprint(list[i]))
		case k == i+1:
			out = append(out, fmt.Sprint(list[i]), fmt.Sprint(list[k]))
		default:
			out = append(out, fmt.Sprintf("%d to %d", list[i], list[k]))
		}
		i = k + 1
	}
	return strings.Join(out, ", ")
}

// OfLeg returns the rows of a leg's count off, the lowest count first.
func (t *Table) OfLeg(leg string) []*Row {
	var out []*Row
	for i := range t.Rows {
		if f := t.Rows[i].Fault; f.Kind == CountOff && f.Leg == leg {
			out = append(out, &t.Rows[i])
		}
	}
	slices.SortFunc(out, func(x, y *Row) int { return x.Fault.Links - y.Fault.Links })
	return out
}
