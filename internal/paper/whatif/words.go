package whatif

import (
	"fmt"
	"strings"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/fault"
	"hangtrue/internal/paper/picture"
)

// EndWords heads the faults that may end alike.
func EndWords(g *fault.Group) string {
	if g.End != "" {
		return "May end so: " + g.End.Words()
	}
	return "Nothing worked out here shows an end; that is no proof that there is none"
}

// RowWords says in one line how a row hangs and what it uses.
func RowWords(r *rig.Rig, w *fault.Row) string {
	show := r.Show()
	hangs := picture.AttitudeWords(show, &rig.BodyAnswer{Pitch: w.Pitch, Roll: w.Roll})
	if len(r.Bodies()) > 1 {
		hangs = w.Body + " " + hangs
	}
	parts := []string{hangs, numbersWords(show, w.Rated, w.Use, w.Leg, w.Slack)}
	var hooks []string
	for _, h := range w.Share {
		hooks = append(hooks, fmt.Sprintf("hook of %s %s", h.Hook, show.Percent(h.Share)))
	}
	if len(hooks) > 0 {
		parts = append(parts, "load on "+strings.Join(hooks, ", "))
	}
	return strings.Join(parts, "; ")
}

func numbersWords(show quantity.System, rated bool, use float64, leg string, slack []string) string {
	text := "no leg is rated"
	if rated {
		text = fmt.Sprintf("most used leg %s at %s of its rating", leg, show.Percent(use))
	}
	if len(slack) > 0 {
		text += "; slack: " + strings.Join(slack, ", ")
	}
	return text
}

// Asides are what a table's numbers leave out, each once with how many faults it
// stands for.
func Asides(t *fault.Table) []string {
	list := []string{"Faults that come together, and all that moves: the load is at rest before and after. Faults that are not tried are not shown to be harmless."}
	var order []string
	of := map[string]int{}
	ran := 0
	for i := range t.Rows {
		if t.Rows[i].Ran {
			ran++
		}
		if n := t.Rows[i].Note; n != "" {
			if of[n] == 0 {
				order = append(order, n)
			}
			of[n]++
		}
	}
	for _, n := range order {
		list = append(list, fmt.Sprintf("%s: %s.", counted(of[n]), n))
	}
	if ran > 0 {
		list = append(list, counted(ran)+": numbers are those of chain that runs freely through its points, which is worse than chain that bites.")
	}
	return list
}

func counted(n int) string {
	if n == 1 {
		return "1 fault"
	}
	return fmt.Sprintf("%d faults", n)
}
