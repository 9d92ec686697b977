package equipment

import (
	"fmt"
	"slices"
	"strings"

	"hangtrue/internal/engine/calendar"
)

// Use is one load that an item was on.
type Use struct {
	Item       string
	Inspection string
	Load       string
	Rig        string
	RigVersion string
	From       calendar.Day // when it was signed for
	Until      calendar.Day // when it came back; "" while it is out
}

// Back says how an item came back from a load.
type Back struct {
	Item string
	As   string // "" as it went, "lost", or one of Reasons
	Text string
}

// Derig is what is done after a lift: every part is brought back, and what was
// done to the load for the lift is undone.
type Derig struct {
	Inspection string
	On         calendar.Day
	Parts      []Back
	Undone     []Undone
}

// Undone is one thing that was done to the load for the lift, such as a mirror
// folded or a tank vent closed.
type Undone struct {
	Text string
	Done bool
}

// Events makes the events of a derig. out are the items that the load has; each
// must be accounted for, and nothing else.
func (d *Derig) Events(out []string) ([]Event, error) {
	var events []Event
	seen := map[string]bool{}
	for _, b := range d.Parts {
		if !slices.Contains(out, b.Item) || seen[b.Item] {
			return nil, &Problem{"parts", fmt.Sprintf("the item %.40q was not on this load, or stands twice", b.Item)}
		}
		seen[b.Item] = true
		e := Event{Item: b.Item, On: d.On, Text: b.Text}
		switch {
		case b.As == "":
			e.Kind = Returned
		case b.As == string(Lost):
			e.Kind = Lost
		case slices.Contains(Reasons, b.As):
			e.Kind, e.What = Quarantined, b.As
		default:
			return nil, &Problem{"parts", fmt.Sprintf("a part comes back as it went, lost, %s, not %q", strings.Join(Reasons, ", "), b.As)}
		}
		events = append(events, e)
	}
	for _, id := range out {
		if !seen[id] {
			return nil, &Problem{"parts", fmt.Sprintf("the item %.40q is not accounted for", id)}
		}
	}
	for _, u := range d.Undone {
		if !u.Done {
			return nil, &Problem{"undone", fmt.Sprintf("still to be undone on the load: %s", u.Text)}
		}
	}
	return events, nil
}
