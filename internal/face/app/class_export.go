package app

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/teach"
)

// personData is hangtrue.person-data/1: all that the school keeps of a person
// beside sealed records. What is planted is not theirs and is not in it.
type personData struct {
	Format     string             `json:"format"`
	At         time.Time          `json:"at"`
	ID         string             `json:"id"`
	Name       string             `json:"name"`
	Contact    string             `json:"contact"`
	Login      string             `json:"login"`
	Roles      []people.Role      `json:"roles"`
	Classes    []personClass      `json:"classes"`
	Attendance []personAttendance `json:"attendance"`
	Notes      []personNote       `json:"notes"`
	Records    []personNote       `json:"recorded"`
	Results    []personResult     `json:"results"`
	Drills     []personDrill      `json:"drills"`
	Practice   []personPractice   `json:"practice"`
}

type personClass struct {
	Class string `json:"class"`
	Group string `json:"group"`
	Left  string `json:"left,omitempty"`
}

type personAttendance struct {
	Class string         `json:"class"`
	Day   string         `json:"day"`
	State teach.Presence `json:"state"`
}

type personNote struct {
	Class string    `json:"class"`
	At    time.Time `json:"at"`
	Kind  string    `json:"kind,omitempty"`
	Text  string    `json:"text"`
}

type personResult struct {
	Class   string    `json:"class"`
	Lane    string    `json:"lane"`
	At      time.Time `json:"at"`
	Outcome string    `json:"outcome"`
	Found   int       `json:"found"`
	Of      int       `json:"of"`
	False   int       `json:"false_calls"`
	TookS   float64   `json:"took_s"`
	Why     string    `json:"why,omitempty"`
}

// PersonData is all that is kept of a student, as JSON: for whoever teaches, and
// for the student.
func (s *School) PersonData(ctx context.Context, by *people.Person, person string) ([]byte, error) {
	if by == nil || by.ID != person {
		if err := need(by, people.Teach); err != nil {
			return nil, err
		}
	}
	h, err := s.history(ctx, person)
	if err != nil {
		return nil, err
	}
	d := personData{
		Format: "hangtrue.person-data/1", At: s.now().UTC().Truncate(time.Second), ID: h.Person.ID, Name: h.Person.Name, Contact: h.Person.Contact, Login: h.Person.Login,
		Roles: h.Person.Roles, Classes: []personClass{}, Attendance: []personAttendance{}, Notes: []personNote{}, Records: []personNote{}, Results: []personResult{},
	}
	for _, m := range h.Member {
		c := personClass{Class: h.Classes[m.Class].Name, Group: m.Group}
		if !m.Left.IsZero() {
			c.Left = m.Left.Format(time.RFC3339)
		}
		d.Classes = append(d.Classes, c)
	}
	for _, a := range h.Attendance {
		d.Attendance = append(d.Attendance, personAttendance{h.Classes[a.Class].Name, string(a.Day), a.State})
	}
	for _, n := range h.Notes {
		d.Notes = append(d.Notes, personNote{Class: h.Classes[n.Class].Name, At: n.At, Text: n.Text})
	}
	for _, e := range h.Entries {
		// What a voided deficiency was is the key's, not the student's.
		d.Records = append(d.Records, personNote{Class: h.Classes[e.Class].Name, At: e.At, Kind: string(e.Kind), Text: e.Text})
	}
	for _, r := range h.Results {
		if r.Second {
			continue
		}
		d.Results = append(d.Results, personResult{
			Class: h.Classes[r.Class].Name, Lane: h.Lanes[r.Lane].Setup.Title, At: r.At, Outcome: r.Outcome.Words(), Found: len(r.Found), Of: len(r.Found) + len(r.Missed),
			False: r.False, TookS: r.Took.Seconds(), Why: r.Why,
		})
	}
	if d.Drills, d.Practice, err = s.personDrills(ctx, person); err != nil {
		return nil, err
	}
	out, err := json.MarshalIndent(d, "", "\t")
	if err != nil {
		return nil, fmt.Errorf("app: %w", err)
	}
	return append(out, '\n'), nil
}
