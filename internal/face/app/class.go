package app

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"hangtrue/internal/engine/calendar"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/teach"
)

// RunOutcome is what became of one event of a run that a device delivered. It is
// a plain struct, so that a keeper need not know this package.
type RunOutcome = struct {
	ID       string
	Seq      int64
	Received time.Time
	Refused  error // nil: it is on the disk
}

// ClassKeeper keeps classes, lanes and what was graded. What is not there is an
// error of fs.ErrNotExist.
type ClassKeeper interface {
	AddClass(ctx context.Context, c teach.Class) error
	SetClass(ctx context.Context, c teach.Class) error
	Classes(ctx context.Context) ([]teach.Class, error)
	Class(ctx context.Context, id string) (teach.Class, error)
	Enrol(ctx context.Context, class string, here []teach.Member, fresh []people.Person, groups []string, by string) error
	SetMember(ctx context.Context, m teach.Member) error
	Members(ctx context.Context, class string) ([]teach.Member, error)
	MemberOf(ctx context.Context, person string) ([]teach.Member, error)
	SetAttendance(ctx context.Context, list []teach.Attendance) error
	Attendance(ctx context.Context, class, person string, day calendar.Day) ([]teach.Attendance, error)
	AddNote(ctx context.Context, n teach.Note) error
	RemoveNote(ctx context.Context, id string) error
	Notes(ctx context.Context, person string) ([]teach.Note, error)
	AddEntry(ctx context.Context, e teach.Entry) error
	Entries(ctx context.Context, class, person string) ([]teach.Entry, error)
	SetRotation(ctx context.Context, class string, plan json.RawMessage, by string) error
	Rotation(ctx context.Context, class string) (json.RawMessage, error)

	AddLane(ctx context.Context, l teach.TestLane) error
	SetLane(ctx context.Context, id string, setup teach.LaneSetup) error
	Lanes(ctx context.Context, class string) ([]teach.TestLane, error)
	Lane(ctx context.Context, id string) (teach.TestLane, error)
	AddVersions(ctx context.Context, lane string, list []teach.LaneVersion) ([]teach.LaneVersion, error)
	Versions(ctx context.Context, lane string) ([]teach.LaneVersion, error)
	RigVersions(ctx context.Context, rig string, most int) ([]teach.LaneVersion, error)
	RealVersions(ctx context.Context, load string) ([]teach.LaneVersion, error)
	RedTags(ctx context.Context, since time.Time) ([]teach.RedTag, error)
	OtherLoads(ctx context.Context, lane string) ([]teach.OtherLoad, error)
	Tries(ctx context.Context, class, lane, student string) (teach.Attempt, error)
	LaneVersion(ctx context.Context, id string) (teach.LaneVersion, error)
	OpenKey(ctx context.Context, id string) error
	AddPutBacks(ctx context.Context, version string, deficiencies []string, person string) error
	PutBacks(ctx context.Context, version string) ([]teach.PutBack, error)

	AddRunEvents(ctx context.Context, events []teach.RunEvent, by string, odd map[string]string, on calendar.Day) ([]RunOutcome, error)
	RunEvents(ctx context.Context, run string) ([]teach.RunEvent, error)
	Run(ctx context.Context, id string) (teach.RunSummary, error)
	Runs(ctx context.Context, class, lane, version, student string) ([]teach.RunSummary, error)
	Results(ctx context.Context, class, student, run string) ([]teach.Result, error)
	Void(ctx context.Context, e teach.Entry, why string) error
}

const mostClass, mostNote = 80, 2000

// Classes lists the classes, the newest first.
func (s *School) Classes(ctx context.Context, by *people.Person) ([]teach.Class, error) {
	if err := need(by, people.Teach); err != nil {
		return nil, err
	}
	return s.keeper.Classes(ctx)
}

func checkedClass(c *teach.Class) error {
	var e [3]error
	c.Name, e[0] = checkedText("name", "the class's name", c.Name, 1, mostClass)
	e[1], e[2] = checkDay("from", c.From, false), checkDay("until", c.Until, false)
	if c.Until != "" && c.Until < c.From && errors.Join(e[1:]...) == nil {
		e[2] = &Wrong{"until", "the class ends before it begins"}
	}
	return errors.Join(e[:]...)
}

// AddClass adds a class and returns its id.
func (s *School) AddClass(ctx context.Context, by *people.Person, c teach.Class) (string, error) {
	if err := errors.Join(need(by, people.Teach), checkedClass(&c)); err != nil {
		return "", err
	}
	c.ID, c.By = NewID(s.random), by.ID
	return c.ID, s.keeper.AddClass(ctx, c)
}

// SetClass changes a class's name and days.
func (s *School) SetClass(ctx context.Context, by *people.Person, c teach.Class) error {
	if err := errors.Join(need(by, people.Teach), checkedClass(&c)); err != nil {
		return err
	}
	return s.keeper.SetClass(ctx, c)
}

// Classmate is a student in a class, with what is shown of them in a list.
type Classmate struct {
	Person people.Person
	Group  string
	Left   bool
}

// ClassRoom is a class with its students, those who are in it first, by group
// and name.
type ClassRoom struct {
	teach.Class
	Students []Classmate
}

// Groups lists the groups of those who are in the class, in order.
func (c *ClassRoom) Groups() []string {
	var out []string
	for _, m := range c.Students {
		if !m.Left && m.Group != "" && !slices.Contains(out, m.Group) {
			out = append(out, m.Group)
		}
	}
	slices.SortFunc(out, compareGroups)
	return out
}

// LargestGroup is how many students the largest group has.
func (c *ClassRoom) LargestGroup() int {
	most, n := 0, map[string]int{}
	for _, m := range c.Students {
		if !m.Left && m.Group != "" {
			n[m.Group]++
			most = max(most, n[m.Group])
		}
	}
	return most
}

// compareGroups puts group 2 before group 10.
func compareGroups(a, b string) int {
	if len(a) != len(b) && strings.Trim(a+b, "0123456789") == "" {
		return len(a) - len(b)
	}
	return strings.Compare(a, b)
}

// Student returns one of the class's students.
func (c *ClassRoom) Student(person string) (Classmate, bool) {
	i := slices.IndexFunc(c.Students, func(m Classmate) bool { return m.Person.ID == person })
	if i < 0 {
		return Classmate{}, false
	}
	return c.Students[i], true
}

// ClassRoom returns one class with its students.
func (s *School) ClassRoom(ctx context.Context, by *people.Person, id string) (*ClassRoom, error) {
	if err := need(by, people.Teach); err != nil {
		return nil, err
	}
	return s.room(ctx, id)
}

func (s *School) room(ctx context.Context, id string) (*ClassRoom, error) {
	c, err := s.keeper.Class(ctx, id)
	if err != nil {
		return nil, err
	}
	members, err := s.keeper.Members(ctx, id)
	if err != nil {
		return nil, err
	}
	ids := make([]string, len(members))
	for i, m := range members {
		ids[i] = m.Person
	}
	all, err := s.keeper.PeopleOf(ctx, ids)
	if err != nil {
		return nil, err
	}
	known := map[string]*people.Person{}
	for i := range all {
		known[all[i].ID] = &all[i]
	}
	room := &ClassRoom{Class: c}
	for _, m := range members {
		if p := known[m.Person]; p != nil {
			room.Students = append(room.Students, Classmate{Person: *p, Group: m.Group, Left: !m.Left.IsZero()})
		}
	}
	slices.SortStableFunc(room.Students, func(a, b Classmate) int {
		switch {
		case a.Left != b.Left && a.Left:
			return 1
		case a.Left != b.Left:
			return -1
		case a.Group != b.Group:
			return compareGroups(a.Group, b.Group)
		}
		return strings.Compare(strings.ToLower(a.Person.Shown()), strings.ToLower(b.Person.Shown()))
	})
	return room, nil
}

// RosterLine is one line of a roster with what taking it in would do.
type RosterLine struct {
	teach.RosterRow
	Does   string
	person string // of who is here already
}

// RosterPreview is a roster as it would be taken in; nothing is, as long as one
// line is wrong.
type RosterPreview struct {
	Lines    []RosterLine
	Problems []teach.RosterProblem
}

// PreviewRoster reads a roster and says what taking it in would do: each name
// is somebody who is here already as a student, or a new student.
func (s *School) PreviewRoster(ctx context.Context, by *people.Person, class string, data []byte) (*RosterPreview, error) {
	room, err := s.ClassRoom(ctx, by, class)
	if err != nil {
		return nil, err
	}
	all, err := s.keeper.People(ctx)
	if err != nil {
		return nil, err
	}
	rows, problems := teach.ReadRoster(data)
	out := &RosterPreview{Problems: problems}
	for _, row := range rows {
		var same []*people.Person
		for i := range all {
			if all[i].Gone.IsZero() && all[i].Name != "" && strings.EqualFold(all[i].Name, row.Name) {
				same = append(same, &all[i])
			}
		}
		line := RosterLine{RosterRow: row, Does: "a new student"}
		switch {
		case len(same) > 1:
			out.Problems = append(out.Problems, teach.RosterProblem{Line: row.Line, Text: fmt.Sprintf("%d people here are called %s; rename one of them first", len(same), row.Name)})
			continue
		case len(same) == 1 && !same[0].Is(people.Student):
			out.Problems = append(out.Problems, teach.RosterProblem{Line: row.Line, Text: row.Name + " is here already and is no student; give them that role first, or write the name otherwise"})
			continue
		case len(same) == 1:
			line.person, line.Does = same[0].ID, "is here already; joins the class"
			if m, in := room.Student(same[0].ID); in && !m.Left {
				line.Does = "is in the class already"
				if m.Group != row.Group {
					line.Does = fmt.Sprintf("moves from group %s to %s", orNone(m.Group), orNone(row.Group))
				}
			}
		}
		out.Lines = append(out.Lines, line)
	}
	slices.SortStableFunc(out.Problems, func(a, b teach.RosterProblem) int { return a.Line - b.Line })
	return out, nil
}

func orNone(group string) string {
	if group == "" {
		return "none"
	}
	return group
}

// ImportRoster takes a roster in, all of it or nothing. It fails with *Wrong
// where a line is wrong.
func (s *School) ImportRoster(ctx context.Context, by *people.Person, class string, data []byte) (taken int, err error) {
	p, err := s.PreviewRoster(ctx, by, class, data)
	if err != nil {
		return 0, err
	}
	if len(p.Problems) > 0 {
		return 0, &Wrong{"roster", fmt.Sprintf("line %d: %s; nothing was taken in", p.Problems[0].Line, p.Problems[0].Text)}
	}
	var here []teach.Member
	var fresh []people.Person
	var groups []string
	for _, l := range p.Lines {
		if l.person != "" {
			here = append(here, teach.Member{Class: class, Person: l.person, Group: l.Group})
			continue
		}
		fresh = append(fresh, people.Person{ID: NewID(s.random), Name: l.Name, Contact: l.Contact})
		groups = append(groups, l.Group)
	}
	return len(p.Lines), s.keeper.Enrol(ctx, class, here, fresh, groups, by.ID)
}

// MoveStudents puts students of a class into groups, by person; "" is none.
func (s *School) MoveStudents(ctx context.Context, by *people.Person, class string, groups map[string]string) error {
	room, err := s.ClassRoom(ctx, by, class)
	if err != nil {
		return err
	}
	for _, m := range room.Students {
		g, ok := groups[m.Person.ID]
		if !ok || m.Left {
			continue
		}
		if g, err = checkedText("group", "a group", g, 0, 20); err != nil {
			return err
		}
		if g == m.Group {
			continue
		}
		if err := s.keeper.SetMember(ctx, teach.Member{Class: class, Person: m.Person.ID, Group: g}); err != nil {
			return err
		}
	}
	return nil
}

// LeaveClass notes that a student has left a class; results stay.
func (s *School) LeaveClass(ctx context.Context, by *people.Person, class, person string) error {
	room, err := s.ClassRoom(ctx, by, class)
	if err != nil {
		return err
	}
	m, ok := room.Student(person)
	if !ok {
		return &Wrong{"student", "that person is not in this class"}
	}
	return s.keeper.SetMember(ctx, teach.Member{Class: class, Person: person, Group: m.Group, Left: s.now()})
}

// Attend notes who was there on a day.
func (s *School) Attend(ctx context.Context, by *people.Person, class string, day calendar.Day, states map[string]teach.Presence) error {
	room, err := s.ClassRoom(ctx, by, class)
	if err != nil {
		return err
	}
	if err := checkDay("day", day, true); err != nil {
		return err
	}
	var list []teach.Attendance
	for _, m := range room.Students {
		state, ok := states[m.Person.ID]
		if !ok || m.Left {
			continue
		}
		if !state.Known() {
			return &Wrong{"attendance", fmt.Sprintf("%.20q says nothing of who was there", string(state))}
		}
		list = append(list, teach.Attendance{Class: class, Person: m.Person.ID, Day: day, State: state, By: by.ID})
	}
	return s.keeper.SetAttendance(ctx, list)
}

// AttendedOn returns who was there on a day, by person.
func (s *School) AttendedOn(ctx context.Context, by *people.Person, class string, day calendar.Day) (map[string]teach.Presence, error) {
	if err := errors.Join(need(by, people.Teach), checkDay("day", day, true)); err != nil {
		return nil, err
	}
	list, err := s.keeper.Attendance(ctx, class, "", day)
	out := map[string]teach.Presence{}
	for _, a := range list {
		out[a.Person] = a.State
	}
	return out, err
}

// AddNote writes a note about a student.
func (s *School) AddNote(ctx context.Context, by *people.Person, class, person, text string) error {
	text, e := checkedText("note", "the note", text, 1, mostNote)
	if err := errors.Join(need(by, people.Teach), e); err != nil {
		return err
	}
	if err := s.inClass(ctx, class, person); err != nil {
		return err
	}
	return s.keeper.AddNote(ctx, teach.Note{ID: NewID(s.random), Class: class, Person: person, By: by.ID, Text: text})
}

// RemoveNote takes a note away.
func (s *School) RemoveNote(ctx context.Context, by *people.Person, id string) error {
	if err := need(by, people.Teach); err != nil {
		return err
	}
	return s.keeper.RemoveNote(ctx, id)
}

// inClass refuses a person who is not and was not in a class.
func (s *School) inClass(ctx context.Context, class, person string) error {
	members, err := s.keeper.Members(ctx, class)
	if err != nil {
		return err
	}
	if !slices.ContainsFunc(members, func(m teach.Member) bool { return m.Person == person }) {
		return &Wrong{"student", "that person is not in this class"}
	}
	return nil
}

// Retrain records that a student was taught again before another attempt.
func (s *School) Retrain(ctx context.Context, by *people.Person, class, person, text string) error {
	text, e := checkedText("retraining", "what was taught again", text, 1, mostNote)
	if err := errors.Join(need(by, people.Teach), e); err != nil {
		return err
	}
	if err := s.inClass(ctx, class, person); err != nil {
		return err
	}
	return s.keeper.AddEntry(ctx, teach.Entry{ID: NewID(s.random), Class: class, Person: person, Kind: teach.EntryRetraining, Text: text, By: by.ID})
}

// History is all that the school keeps of a student.
type History struct {
	Person     people.Person
	Member     []teach.Member
	Classes    map[string]teach.Class
	Attendance []teach.Attendance
	Notes      []teach.Note
	Entries    []teach.Entry
	Results    []teach.Result
	Lanes      map[string]teach.TestLane
}

// History returns all that is kept of a student.
func (s *School) History(ctx context.Context, by *people.Person, person string) (*History, error) {
	if err := need(by, people.Teach); err != nil {
		return nil, err
	}
	return s.history(ctx, person)
}

func (s *School) history(ctx context.Context, person string) (h *History, err error) {
	h = &History{Classes: map[string]teach.Class{}, Lanes: map[string]teach.TestLane{}}
	if h.Person, err = s.keeper.Person(ctx, person); err != nil {
		return nil, err
	}
	var e [5]error
	h.Member, e[0] = s.keeper.MemberOf(ctx, person)
	h.Attendance, e[1] = s.keeper.Attendance(ctx, "", person, "")
	h.Notes, e[2] = s.keeper.Notes(ctx, person)
	h.Entries, e[3] = s.keeper.Entries(ctx, "", person)
	h.Results, e[4] = s.keeper.Results(ctx, "", person, "")
	if err := errors.Join(e[:]...); err != nil {
		return nil, err
	}
	for _, m := range h.Member {
		if h.Classes[m.Class], err = s.keeper.Class(ctx, m.Class); err != nil {
			return nil, err
		}
		lanes, err := s.keeper.Lanes(ctx, m.Class)
		if err != nil {
			return nil, err
		}
		for _, l := range lanes {
			h.Lanes[l.ID] = l
		}
	}
	return h, nil
}
