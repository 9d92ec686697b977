package app

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"hangtrue/internal/engine/calendar"
	"hangtrue/internal/engine/equipment"
	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/people"
)

// EquipmentKeeper keeps serial-numbered equipment and what happens to it. What
// it refuses is one of the errors of package equipment.
type EquipmentKeeper interface {
	Equipment(ctx context.Context) (*equipment.Inventory, error)
	PutItems(ctx context.Context, items []equipment.Item, events []equipment.Event, by string) error
	ItemUses(ctx context.Context, item string) ([]equipment.Use, error)
	LoadUses(ctx context.Context, inspection string) ([]equipment.Use, error)
	Derig(ctx context.Context, d equipment.Derig, out []string, events []equipment.Event, by string) error
	Derigged(ctx context.Context, inspection string) (d equipment.Derig, by string, found bool, err error)
}

// Equipment returns all equipment.
func (s *School) Equipment(ctx context.Context, by *people.Person) (*equipment.Inventory, error) {
	if err := need(by, people.SeeEquipment); err != nil {
		return nil, err
	}
	return s.keeper.Equipment(ctx)
}

// Today is the day at the school.
func (s *School) Today() (calendar.Day, error) {
	x, _, err := s.Settings()
	return x.Today(s.now()), err
}

// PutItem adds an item (without id) or changes one, and returns its id.
func (s *School) PutItem(ctx context.Context, by *people.Person, i equipment.Item) (id string, err error) {
	if err := errors.Join(need(by, people.ManageEquipment), i.Check()); err != nil {
		return "", err
	}
	v, err := s.keeper.Equipment(ctx)
	if err != nil {
		return "", err
	}
	if i.ID == "" {
		i.ID = NewID(s.random)
	} else if _, ok := v.Item(i.ID); !ok {
		return "", &Wrong{"id", "there is no such item"}
	}
	if set, ok := v.Item(i.Set); i.Set != "" && (!ok || set.Kind != equipment.Set || i.Kind == equipment.Set) {
		return "", &Wrong{"set", "only parts belong to a set, and only to a sling set that is there"}
	}
	return i.ID, s.keeper.PutItems(ctx, []equipment.Item{i}, nil, by.ID)
}

// Happened records what happened to an item. Releasing from quarantine takes a
// right of its own.
func (s *School) Happened(ctx context.Context, by *people.Person, e equipment.Event) error {
	right := people.ManageEquipment
	if e.Kind == equipment.Released {
		right = people.ReleaseEquipment
	}
	if err := need(by, right); err != nil {
		return err
	}
	today, err := s.Today()
	if err != nil {
		return err
	}
	if e.On > today {
		return &Wrong{"on", "that day has not come yet"}
	}
	if e.ID == "" {
		e.ID = NewID(s.random)
	}
	return s.keeper.PutItems(ctx, nil, []equipment.Event{e}, by.ID)
}

// PreviewList reads an equipment list without keeping anything.
func (s *School) PreviewList(ctx context.Context, by *people.Person, data []byte) ([]equipment.Row, []equipment.LineProblem, error) {
	if err := need(by, people.ManageEquipment); err != nil {
		return nil, nil, err
	}
	v, err := s.keeper.Equipment(ctx)
	if err != nil {
		return nil, nil, err
	}
	rows, problems := equipment.ReadList(data, v)
	return rows, problems, nil
}

// ListProblems is what somebody is told whose list has problems.
type ListProblems struct{ Problems []equipment.LineProblem }

func (e *ListProblems) Error() string {
	var out []string
	for _, p := range e.Problems {
		out = append(out, p.String())
	}
	return strings.Join(out, "\n")
}

// TakeList takes an equipment list, all of it or nothing, and returns how many
// items are new and how many were changed.
func (s *School) TakeList(ctx context.Context, by *people.Person, data []byte) (added, changed int, err error) {
	rows, problems, err := s.PreviewList(ctx, by, data)
	if err != nil {
		return 0, 0, err
	}
	if len(problems) > 0 {
		return 0, 0, &ListProblems{problems}
	}
	sets := map[string]string{} // serial number → id, of sets in the list
	for i := range rows {
		if rows[i].Old == nil {
			rows[i].Item.ID = NewID(s.random)
		}
		if rows[i].Item.Kind == equipment.Set {
			sets[strings.ToLower(rows[i].Item.Serial)] = rows[i].Item.ID
		}
	}
	var items []equipment.Item
	var events []equipment.Event
	for _, r := range rows {
		if !r.Changed {
			continue
		}
		if r.Old == nil {
			added++
		} else {
			changed++
		}
		if r.SetName != "" && r.Item.Set == "" {
			r.Item.Set = sets[strings.ToLower(r.SetName)]
		}
		items = append(items, r.Item)
		for _, v := range r.Item.Intervals {
			if r.Last == "" || r.Old != nil && slices.ContainsFunc(r.Old.Due, func(d equipment.Due) bool { return d.What == v.What && d.Last >= r.Last }) {
				continue
			}
			events = append(events, equipment.Event{
				ID: NewID(s.random), Item: r.Item.ID, Kind: equipment.Inspected, What: v.What, On: r.Last, Text: "from a list",
			})
		}
	}
	return added, changed, s.keeper.PutItems(ctx, items, events, by.ID)
}

// EquipmentList writes all equipment as CSV.
func (s *School) EquipmentList(ctx context.Context, by *people.Person) ([]byte, error) {
	v, err := s.Equipment(ctx, by)
	if err != nil {
		return nil, err
	}
	return v.List(), nil
}

// Due lists what falls due within so many days, soonest first.
func (s *School) Due(ctx context.Context, by *people.Person, days int) ([]equipment.Falling, error) {
	v, err := s.Equipment(ctx, by)
	if err != nil {
		return nil, err
	}
	today, err := s.Today()
	if err != nil {
		return nil, err
	}
	return v.DueList(today, today.Plus(days)), nil
}

// DueCalendar writes what falls due within so many days as a calendar file.
func (s *School) DueCalendar(ctx context.Context, by *people.Person, days int) ([]byte, error) {
	due, err := s.Due(ctx, by, days)
	if err != nil {
		return nil, err
	}
	x, _, err := s.Settings()
	if err != nil {
		return nil, err
	}
	return equipment.Calendar(due, s.now(), strings.TrimSpace(x.Name+" equipment due")), nil
}

// Uses lists the loads that an item was on, the last first: for a recall.
func (s *School) Uses(ctx context.Context, by *people.Person, item string) ([]equipment.Use, error) {
	if err := need(by, people.SeeEquipment); err != nil {
		return nil, err
	}
	return s.keeper.ItemUses(ctx, item)
}

// OnLoad lists the items of an inspected load that have not come back.
func (s *School) OnLoad(ctx context.Context, by *people.Person, inspectionID string) ([]*equipment.State, error) {
	v, err := s.Equipment(ctx, by)
	if err != nil {
		return nil, err
	}
	uses, err := s.keeper.LoadUses(ctx, inspectionID)
	if err != nil {
		return nil, err
	}
	var out []*equipment.State
	for _, u := range uses {
		if i, ok := v.Item(u.Item); ok && u.Until == "" {
			out = append(out, i)
		}
	}
	return out, nil
}

// Derig records that a load was taken apart after its lift: each item comes
// back, is lost or quarantined, and what was done to the load is undone.
func (s *School) Derig(ctx context.Context, by *people.Person, d equipment.Derig) error {
	if err := need(by, people.ManageEquipment); err != nil {
		return err
	}
	on, err := s.OnLoad(ctx, by, d.Inspection)
	if err != nil {
		return err
	}
	var out []string
	for _, i := range on {
		out = append(out, i.ID)
	}
	if d.On == "" {
		if d.On, err = s.Today(); err != nil {
			return err
		}
	}
	events, err := d.Events(out)
	if err != nil {
		return err
	}
	for i := range events {
		events[i].ID = NewID(s.random)
	}
	return s.keeper.Derig(ctx, d, out, events, by.ID)
}

// Derigged returns what was recorded when a load was taken apart, and by whom.
func (s *School) Derigged(ctx context.Context, by *people.Person, inspectionID string) (d equipment.Derig, who string, found bool, err error) {
	if err := need(by, people.SeeEquipment); err != nil {
		return d, "", false, err
	}
	return s.keeper.Derigged(ctx, inspectionID)
}

// Overview is what a school looks at in the morning.
type Overview struct {
	Today       calendar.Day
	Due         []equipment.Falling
	Lapsing     []people.Lapsed
	Quarantined []*equipment.State
	Open        []inspection.Summary // being walked
	Waiting     []inspection.Summary // finished and not signed
	Signed      []SignedToday
}

// SignedToday is an inspection that was signed today, and whether that counts.
type SignedToday struct {
	inspection.Summary
	Standing Standing
}

// Overview gathers what is due, what waits and what was signed today, as far
// as a person may see it.
func (s *School) Overview(ctx context.Context, by *people.Person) (*Overview, error) {
	settings, _, err := s.Settings()
	if err != nil {
		return nil, err
	}
	o := &Overview{Today: settings.Today(s.now())}
	v, err := s.keeper.Equipment(ctx)
	if err != nil {
		return nil, err
	}
	ahead := o.Today.Plus(settings.DueDays)
	if by.May(people.SeeEquipment) {
		o.Due = v.DueList(o.Today, ahead)
		for _, i := range v.All {
			if i.Standing == equipment.InQuarantine {
				o.Quarantined = append(o.Quarantined, i)
			}
		}
	}
	if by.May(people.SeePeople) {
		if o.Lapsing, err = s.Lapsing(ctx, by, o.Today, ahead); err != nil {
			return nil, err
		}
	}
	list, err := s.Inspections(ctx, by, "", mostOverview)
	if err != nil {
		return nil, err
	}
	for _, x := range list {
		switch {
		case x.Training:
		case x.Phase == inspection.Finished:
			o.Waiting = append(o.Waiting, x)
		case x.Phase != inspection.Signed:
			o.Open = append(o.Open, x)
		case settings.Today(x.SignedAt) == o.Today:
			st, err := s.standing(ctx, x, &settings, v)
			if err != nil {
				return nil, fmt.Errorf("app: overview: %w", err)
			}
			o.Signed = append(o.Signed, SignedToday{x, st})
		}
	}
	return o, nil
}

// mostOverview is how many inspections back the overview looks.
const mostOverview = 500
