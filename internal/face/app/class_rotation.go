package app

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"time"

	"hangtrue/internal/engine/calendar"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/teach"
)

// RotationPlan is a class's test day, format hangtrue.rotation/1: who goes where
// and when. Nothing of what is planted is in it.
type RotationPlan struct {
	Format string         `json:"format"`
	Day    string         `json:"day"`
	Start  string         `json:"start"` // hour and minute
	Slots  []RotationSlot `json:"slots"`
	Ends   int            `json:"ends_min"`
	Idle   int            `json:"idle_min"`
	Bound  int            `json:"bound_min"`
	Method string         `json:"method"`
}

// RotationSlot is a group at a lane; minutes from the start of the day.
type RotationSlot struct {
	Group  string `json:"group"`
	Lane   string `json:"lane"`
	Title  string `json:"title"`
	Load   string `json:"load"`
	Grader string `json:"grader"` // a person's id; "" for none named
	From   int    `json:"from_min"`
	To     int    `json:"to_min"`
}

// rotationMethod says how the plan was made.
const rotationMethod = "Each group comes once to each load. Of many plans, each made by putting what is still to do as early as it fits in a random order (list scheduling, Graham 1966), the one that ends first is kept, and of those the one with the least waiting. It need not be the best there is; the bound says what no plan can beat."

// At is when something of the plan is, by the clock.
func (p *RotationPlan) At(minutes int) string {
	t, err := time.Parse("15:04", p.Start)
	if err != nil {
		return fmt.Sprintf("+%d min", minutes)
	}
	return t.Add(time.Duration(minutes) * time.Minute).Format("15:04")
}

// PlanRotation plans a class's test day over its groups and lanes and keeps it.
func (s *School) PlanRotation(ctx context.Context, by *people.Person, class, day, start string) (*RotationPlan, error) {
	room, err := s.ClassRoom(ctx, by, class)
	if err != nil {
		return nil, err
	}
	if _, err := time.Parse("15:04", start); err != nil {
		return nil, &Wrong{"start", "the start is written 08:30"}
	}
	if _, err := time.Parse(time.DateOnly, day); err != nil {
		return nil, &Wrong{"day", "a day is written 2026-05-31"}
	}
	if today := string(calendar.Of(s.now())); day < today {
		return nil, &Wrong{"day", "that day is over; today is " + today}
	}
	lanes, err := s.keeper.Lanes(ctx, class)
	if err != nil {
		return nil, err
	}
	largest := room.LargestGroup()
	var list []teach.Lane
	known := map[string]*teach.TestLane{}
	for i := range lanes {
		x := &lanes[i].Setup
		known[lanes[i].ID] = &lanes[i]
		takes := x.Slot(largest)
		switch {
		case takes == 0 && !x.Real:
			continue // students run it on their own screens, when they like
		case takes == 0:
			return nil, &Wrong{"rotation", fmt.Sprintf("lane %s does not say how long a group takes there: it has no time limit and no minutes", x.Title)}
		}
		list = append(list, teach.Lane{ID: lanes[i].ID, Load: x.Load, Grader: x.Grader, Takes: time.Duration(takes) * time.Minute, Reset: time.Duration(x.Reset) * time.Minute})
	}
	var seed teach.Seed
	if _, err := io.ReadFull(s.random, seed[:]); err != nil {
		return nil, fmt.Errorf("app: no random bytes: %w", err)
	}
	groups := room.Groups()
	switch {
	case len(list) == 0:
		return nil, &Wrong{"rotation", "no lane is on a real load, and none in pictures has minutes for a group"}
	case len(groups) == 0:
		return nil, &Wrong{"rotation", "nobody is in a group yet"}
	}
	r, err := teach.Rotate(groups, list, seed)
	if err != nil {
		return nil, &Wrong{"rotation", plainEngine(err)}
	}
	minutes := func(d time.Duration) int { return int(d / time.Minute) }
	p := &RotationPlan{Format: "hangtrue.rotation/1", Day: day, Start: start, Ends: minutes(r.Ends), Idle: minutes(r.Idle), Bound: minutes(r.Bound), Method: rotationMethod}
	for _, x := range r.Slots {
		l := known[x.Lane].Setup
		p.Slots = append(p.Slots, RotationSlot{Group: x.Group, Lane: x.Lane, Title: l.Title, Load: l.Load, Grader: l.Grader, From: minutes(x.From), To: minutes(x.To)})
	}
	data, err := json.Marshal(p)
	if err != nil {
		return nil, fmt.Errorf("app: %w", err)
	}
	return p, s.keeper.SetRotation(ctx, class, data, by.ID)
}

// Rotation returns a class's test day, nil where none is planned.
func (s *School) Rotation(ctx context.Context, by *people.Person, class string) (*RotationPlan, error) {
	if err := need(by, people.Teach); err != nil {
		return nil, err
	}
	return s.rotation(ctx, class)
}

func (s *School) rotation(ctx context.Context, class string) (*RotationPlan, error) {
	data, err := s.keeper.Rotation(ctx, class)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	p := &RotationPlan{}
	if err := json.Unmarshal(data, p); err != nil {
		return nil, fmt.Errorf("app: a rotation: %w", err)
	}
	return p, nil
}

// Board is what a large screen shows on a test day: where who is. It is for
// everybody who is signed in, so nothing of what is planted or graded is in it.
type Board struct {
	Class string
	Plan  *RotationPlan
	Lanes []BoardLane
	Names map[string]string // of graders
}

// BoardLane is a lane on the board.
type BoardLane struct {
	ID, Title string
	Busy      bool      // somebody is in it
	Since     time.Time // by the server's clock
	Done      int       // runs that have ended
}

// Board returns a class's board.
func (s *School) Board(ctx context.Context, by *people.Person, class string) (*Board, error) {
	if err := need(by, people.Drill); err != nil {
		return nil, err
	}
	c, err := s.keeper.Class(ctx, class)
	if err != nil {
		return nil, err
	}
	if !by.May(people.Teach) {
		if err := s.inClass(ctx, class, by.ID); err != nil {
			return nil, &NotAllowed{people.Teach}
		}
	}
	b := &Board{Class: c.Name, Names: map[string]string{}}
	if b.Plan, err = s.rotation(ctx, class); err != nil {
		return nil, err
	}
	lanes, err := s.keeper.Lanes(ctx, class)
	if err != nil {
		return nil, err
	}
	runs, err := s.keeper.Runs(ctx, class, "", "", "")
	if err != nil {
		return nil, err
	}
	for _, l := range lanes {
		x := BoardLane{ID: l.ID, Title: l.Setup.Title}
		for _, r := range runs {
			switch {
			case r.Lane != l.ID || r.Second:
			case r.Ended, r.Grader == r.Student && l.Setup.Rule.Within != nil && s.now().Sub(r.Received) > *l.Setup.Rule.Within+drillGrace:
				x.Done++ // on a student's own screen, when its time is over
			default:
				x.Busy, x.Since = true, r.Received
			}
		}
		b.Lanes = append(b.Lanes, x)
		if g := l.Setup.Grader; g != "" {
			p, err := s.keeper.Person(ctx, g)
			if err != nil {
				return nil, err
			}
			b.Names[g] = p.Shown()
		}
	}
	return b, nil
}
