package equipment

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"hangtrue/internal/engine/calendar"
)

// EventKind is what happened to an item.
type EventKind string

// The kinds of event.
const (
	Inspected     EventKind = "inspected" // What names the interval
	DefectFound   EventKind = "defect"
	Repaired      EventKind = "repaired" // About names the defect
	OutOfService  EventKind = "out of service"
	BackInService EventKind = "back in service"
	Lost          EventKind = "lost"
	Found         EventKind = "found"
	Quarantined   EventKind = "quarantined" // What is one of Reasons
	Released      EventKind = "released"    // Name names the competent person
	Returned      EventKind = "returned"    // brought back after a lift
	Retired       EventKind = "retired"
)

// EventKinds lists them in the order in which they are shown.
var EventKinds = []EventKind{
	Inspected, DefectFound, Repaired, OutOfService, BackInService, Lost, Found, Quarantined, Released, Returned, Retired,
}

// Reasons are why something is quarantined.
var Reasons = []string{"overloaded", "shock-loaded", "contaminated", "damaged"}

// Event is one thing that happened to an item.
type Event struct {
	ID       string       `json:"id"`
	Item     string       `json:"item"`
	Kind     EventKind    `json:"kind"`
	On       calendar.Day `json:"on"`
	What     string       `json:"what,omitempty"`
	About    string       `json:"about,omitempty"` // id of the event that it answers
	Name     string       `json:"name,omitempty"`  // the competent person, by name and appointment
	Text     string       `json:"text,omitempty"`
	Photos   []string     `json:"photos,omitempty"`
	By       string       `json:"by"` // a person's id
	Received time.Time    `json:"received"`
	Seq      int64        `json:"seq"`
}

// Standing is whether an item is in use.
type Standing string

// The standings.
const (
	InUse         Standing = "in service"
	IsOut         Standing = "out of service"
	IsLost        Standing = "lost"
	InQuarantine  Standing = "quarantined"
	IsRetired     Standing = "retired"
	NeverInFlight Standing = "training part, never for flight"
)

// Due is an inspection and the last day through which the one before counts.
type Due struct {
	Interval
	Last calendar.Day // when it was last made; "" for never
	Day  calendar.Day
}

// State is an item with all that happened to it.
type State struct {
	Item
	Standing Standing
	Why      string // why it is not in service, in the words entered
	Defects  []Event
	Due      []Due // soonest first
	Events   []Event
}

// Fold makes the state of an item; events are its own, in order.
func Fold(item Item, events []Event) *State {
	s := &State{Item: item, Standing: InUse, Events: events}
	last := map[string]calendar.Day{}
	var out, quarantine, lost, retired string
	for _, e := range events {
		text := strings.TrimSpace(strings.Join([]string{e.What, e.Text}, " "))
		if text == "" {
			text = string(e.Kind)
		}
		switch e.Kind {
		case Inspected:
			last[e.What] = max(last[e.What], e.On)
		case DefectFound:
			s.Defects = append(s.Defects, e)
		case Repaired:
			s.Defects = slices.DeleteFunc(s.Defects, func(d Event) bool { return d.ID == e.About })
		case OutOfService:
			out = text
		case BackInService:
			out = ""
		case Lost:
			lost = text
		case Found:
			lost = ""
		case Quarantined:
			quarantine = text
		case Released:
			quarantine = ""
		case Retired:
			retired = text
		}
	}
	// The gravest is shown; the others still block.
	for _, x := range []struct {
		why      string
		standing Standing
	}{{out, IsOut}, {quarantine, InQuarantine}, {lost, IsLost}, {retired, IsRetired}} {
		if x.why != "" {
			s.Standing, s.Why = x.standing, x.why
		}
	}
	if item.Spoiled {
		s.Standing, s.Why = NeverInFlight, "made wrong for training"
	}
	for _, v := range item.Intervals {
		d := Due{Interval: v, Last: last[v.What]}
		from := d.Last
		if from == "" {
			from = item.InService
		}
		d.Day = from.PlusMonths(v.Months).Plus(v.Days)
		s.Due = append(s.Due, d)
	}
	slices.SortStableFunc(s.Due, func(a, b Due) int { return strings.Compare(string(a.Day), string(b.Day)) })
	return s
}

// Check refuses an event that cannot follow; s is the item before it.
func (s *State) Check(e *Event) error {
	known := slices.Contains(EventKinds, e.Kind)
	switch {
	case !known:
		return &Problem{"kind", fmt.Sprintf("%q is nothing that happens to equipment", string(e.Kind))}
	case e.Kind == Inspected && !slices.ContainsFunc(s.Intervals, func(v Interval) bool { return v.What == e.What }):
		return &Problem{"what", fmt.Sprintf("%s %s has no inspection %q", s.Kind, s.Serial, e.What)}
	case e.Kind == Quarantined && !slices.Contains(Reasons, e.What):
		return &Problem{"what", fmt.Sprintf("say why it is quarantined: %s", strings.Join(Reasons, ", "))}
	case e.Kind == Released && strings.TrimSpace(e.Name) == "":
		return &Problem{"name", "a competent person releases it, and is named"}
	case e.Kind == Released && s.quarantined() == "":
		return &Problem{"kind", "it is not quarantined"}
	case e.Kind == Repaired && !slices.ContainsFunc(s.Defects, func(d Event) bool { return d.ID == e.About }):
		return &Problem{"about", "say which open defect was repaired"}
	case e.Kind == DefectFound && strings.TrimSpace(e.Text) == "":
		return &Problem{"text", "say what the defect is"}
	case len(e.Text) > 4*mostText || len(e.Name) > mostText || len(e.What) > mostText:
		return &Problem{"text", "the text is too long"}
	}
	if _, err := calendar.Parse(string(e.On)); err != nil {
		return &Problem{"on", "say on which day, as 2026-05-31"}
	}
	return nil
}

func (s *State) quarantined() string {
	why := ""
	for _, e := range s.Events {
		switch e.Kind {
		case Quarantined:
			why = e.What
		case Released:
			why = ""
		}
	}
	return why
}

// Blocks lists why the item may not be on a load that is signed on this day,
// each a sentence without a full stop; nothing where nothing recorded here
// stands against it, which says nothing about what was not recorded.
func (s *State) Blocks(today calendar.Day) []string {
	name := s.Called()
	var out []string
	if s.Standing != InUse {
		text := fmt.Sprintf("%s is %s", name, s.Standing)
		if s.Standing == NeverInFlight {
			text = fmt.Sprintf("%s is a training part, never for flight", name)
		} else if s.Why != "" && s.Why != string(s.Standing) {
			text += ": " + s.Why
		}
		out = append(out, text)
	}
	if s.Standing != InQuarantine && s.quarantined() != "" {
		out = append(out, fmt.Sprintf("%s is quarantined: %s", name, s.quarantined()))
	}
	for _, d := range s.Defects {
		out = append(out, fmt.Sprintf("%s has an open defect: %s", name, d.Text))
	}
	for _, d := range s.Due {
		if d.Day != "" && d.Day < today {
			out = append(out, fmt.Sprintf("%s: %s was due on %s", name, d.What, d.Day))
		}
	}
	return out
}

// Called is what the item is called: its kind and serial number.
func (s *State) Called() string { return string(s.Kind) + " " + s.Serial }

// Inventory is all equipment of a school, by id.
type Inventory struct {
	All []*State
	by  map[string]*State
}

// Take makes the inventory of items and their events.
func Take(items []Item, events []Event) *Inventory {
	of := map[string][]Event{}
	for _, e := range events {
		of[e.Item] = append(of[e.Item], e)
	}
	v := &Inventory{by: map[string]*State{}}
	for _, i := range items {
		s := Fold(i, of[i.ID])
		v.All = append(v.All, s)
		v.by[i.ID] = s
	}
	slices.SortFunc(v.All, func(a, b *State) int {
		if a.Kind != b.Kind {
			return slices.Index(Kinds, a.Kind) - slices.Index(Kinds, b.Kind)
		}
		return strings.Compare(a.Serial, b.Serial)
	})
	return v
}

// Item returns an item by id.
func (v *Inventory) Item(id string) (*State, bool) {
	s, ok := v.by[id]
	return s, ok
}

// Find returns an item by its serial number, as it is typed or read from a
// label, of this kind or of any where kind is "".
func (v *Inventory) Find(kind Kind, serial string) (*State, bool) {
	for _, s := range v.All {
		if (kind == "" || s.Kind == kind) && strings.EqualFold(s.Serial, strings.TrimSpace(serial)) {
			return s, true
		}
	}
	return nil, false
}

// Members lists what belongs to a set, itself first.
func (v *Inventory) Members(id string) []*State {
	own, ok := v.by[id]
	if !ok {
		return nil
	}
	out := []*State{own}
	for _, s := range v.All {
		if s.Set == id && s.ID != id {
			out = append(out, s)
		}
	}
	return out
}

// Blocks lists why a load with these items may not be signed on this day; ids
// of sets stand for all that belongs to them.
func (v *Inventory) Blocks(ids []string, today calendar.Day) []string {
	var out []string
	for _, id := range ids {
		members := v.Members(id)
		if len(members) == 0 {
			out = append(out, fmt.Sprintf("the equipment %.40q is not known here", id))
		}
		for _, s := range members {
			out = append(out, s.Blocks(today)...)
		}
	}
	return out
}

// Expand lists the ids of these items and all that belongs to them, each once.
func (v *Inventory) Expand(ids []string) []string {
	var out []string
	for _, id := range ids {
		for _, s := range v.Members(id) {
			if !slices.Contains(out, s.ID) {
				out = append(out, s.ID)
			}
		}
	}
	return out
}

// Falling is an inspection that falls due.
type Falling struct {
	Item *State
	Due  Due
	Days int // from today; negative where it is overdue
}

// DueList lists what falls due by a day, soonest first, of what is neither
// retired nor lost.
func (v *Inventory) DueList(today, by calendar.Day) []Falling {
	var out []Falling
	for _, s := range v.All {
		if s.Standing == IsRetired || s.Standing == IsLost {
			continue
		}
		for _, d := range s.Due {
			if d.Day != "" && d.Day <= by {
				out = append(out, Falling{s, d, today.Until(d.Day)})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Falling) int { return a.Days - b.Days })
	return out
}
