package store

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"hangtrue/internal/engine/calendar"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/teach"
)

// AddClass adds a class with an id that is new.
func (s *Store) AddClass(ctx context.Context, c teach.Class) error {
	return s.write(ctx, func(t *tx) error {
		_, err := t.exec(`INSERT INTO class (id, name, from_day, until_day, made, made_by) VALUES (?, ?, ?, ?, ?, ?)`,
			c.ID, c.Name, string(c.From), string(c.Until), stamp(s.now()), c.By)
		return err
	})
}

// SetClass changes a class's name and days, and whether it has ended.
func (s *Store) SetClass(ctx context.Context, c teach.Class) error {
	return s.write(ctx, func(t *tx) error {
		n, err := t.exec(`UPDATE class SET name = ?, from_day = ?, until_day = ?, ended = ? WHERE id = ?`, c.Name, string(c.From), string(c.Until), stamp(c.Ended), c.ID)
		if err == nil && n == 0 {
			err = absent("there is no class %.40q", c.ID)
		}
		return err
	})
}

// Classes lists the classes, the newest first.
func (s *Store) Classes(ctx context.Context) ([]teach.Class, error) {
	return s.classes(ctx, ` ORDER BY made DESC, id`)
}

// Class returns one class.
func (s *Store) Class(ctx context.Context, id string) (teach.Class, error) {
	list, err := s.classes(ctx, ` WHERE id = ?`, id)
	if err == nil && len(list) == 0 {
		err = absent("there is no class %.40q", id)
	}
	if err != nil {
		return teach.Class{}, err
	}
	return list[0], nil
}

func (s *Store) classes(ctx context.Context, where string, args ...any) ([]teach.Class, error) {
	var out []teach.Class
	err := s.read(ctx, func(t *tx) error {
		return t.each(`SELECT id, name, from_day, until_day, made, made_by, ended FROM class`+where, args, func(scan func(...any) error) error {
			var c teach.Class
			err := scan(&c.ID, &c.Name, &c.From, &c.Until, clock{&c.Made}, &c.By, clock{&c.Ended})
			out = append(out, c)
			return err
		})
	})
	return out, err
}

// Enrol takes students into a class, all or none: people who are here already,
// and new ones, who get the role of a student and nothing else.
func (s *Store) Enrol(ctx context.Context, class string, here []teach.Member, fresh []people.Person, groups []string, by string) error {
	return s.write(ctx, func(t *tx) error {
		var id string
		found, err := t.one(`SELECT id FROM class WHERE id = ?`, []any{class}, &id)
		if err == nil && !found {
			err = absent("there is no class %.40q", class)
		}
		if err != nil {
			return err
		}
		for i, p := range fresh {
			roles := []people.Role{people.Student}
			if _, err := t.exec(`INSERT INTO person (id, roles, made) VALUES (?, ?, ?)`, p.ID, rolesText(roles), stamp(s.now())); err != nil {
				return err
			}
			if _, err := t.exec(`INSERT INTO person_name (person, name, contact) VALUES (?, ?, ?)`, p.ID, p.Name, p.Contact); err != nil {
				return err
			}
			if err := s.note(t, by, p.ID, "added", rolesText(roles)); err != nil {
				return err
			}
			here = append(here[:len(here):len(here)], teach.Member{Class: class, Person: p.ID, Group: groups[i]})
		}
		for _, m := range here {
			_, err := t.exec(`INSERT INTO class_member (class, person, grp) VALUES (?, ?, ?) ON CONFLICT (class, person) DO UPDATE SET grp = excluded.grp, gone = ''`,
				class, m.Person, m.Group)
			if err != nil {
				return err
			}
		}
		return nil
	})
}

// SetMember changes a student's group in a class, or notes that they left it.
func (s *Store) SetMember(ctx context.Context, m teach.Member) error {
	return s.write(ctx, func(t *tx) error {
		n, err := t.exec(`UPDATE class_member SET grp = ?, gone = ? WHERE class = ? AND person = ?`, m.Group, stamp(m.Left), m.Class, m.Person)
		if err == nil && n == 0 {
			err = absent("that person is not in this class")
		}
		return err
	})
}

// Members lists a class's students; of every class for "".
func (s *Store) Members(ctx context.Context, class string) ([]teach.Member, error) {
	if class == "" {
		return s.members(ctx, `1 = 1`)
	}
	return s.members(ctx, `class = ?`, class)
}

// MemberOf lists the classes that a person is or was in.
func (s *Store) MemberOf(ctx context.Context, person string) ([]teach.Member, error) {
	return s.members(ctx, `person = ?`, person)
}

func (s *Store) members(ctx context.Context, where string, args ...any) ([]teach.Member, error) {
	var out []teach.Member
	err := s.read(ctx, func(t *tx) error {
		return t.each(`SELECT class, person, grp, gone FROM class_member WHERE `+where+` ORDER BY class, grp, person`, args, func(scan func(...any) error) error {
			var m teach.Member
			err := scan(&m.Class, &m.Person, &m.Group, clock{&m.Left})
			out = append(out, m)
			return err
		})
	})
	return out, err
}

// SetAttendance notes who was there on a day; an entry replaces the one before.
func (s *Store) SetAttendance(ctx context.Context, list []teach.Attendance) error {
	return s.write(ctx, func(t *tx) error {
		for _, a := range list {
			_, err := t.exec(`INSERT INTO attendance (class, person, day, state, made_by, at) VALUES (?, ?, ?, ?, ?, ?)
				ON CONFLICT (class, person, day) DO UPDATE SET state = excluded.state, made_by = excluded.made_by, at = excluded.at`,
				a.Class, a.Person, string(a.Day), string(a.State), a.By, stamp(s.now()))
			if err != nil {
				return err
			}
		}
		return nil
	})
}

// Attendance lists who was there, by day: of a class or of a person, "" for any.
func (s *Store) Attendance(ctx context.Context, class, person string, day calendar.Day) ([]teach.Attendance, error) {
	var out []teach.Attendance
	err := s.read(ctx, func(t *tx) error {
		return t.each(`SELECT class, person, day, state, made_by, at FROM attendance WHERE (class = ? OR ? = 0) AND (person = ? OR ? = 0) AND (day = ? OR ? = 0) ORDER BY day, person`,
			[]any{class, number01(class != ""), person, number01(person != ""), string(day), number01(day != "")}, func(scan func(...any) error) error {
				var a teach.Attendance
				err := scan(&a.Class, &a.Person, &a.Day, &a.State, &a.By, clock{&a.At})
				out = append(out, a)
				return err
			})
	})
	return out, err
}

// AddNote keeps a note about a student until their name is removed.
func (s *Store) AddNote(ctx context.Context, n teach.Note) error {
	return s.write(ctx, func(t *tx) error {
		_, err := t.exec(`INSERT INTO class_note (id, class, person, made_by, at, text) VALUES (?, ?, ?, ?, ?, ?)`, n.ID, n.Class, n.Person, n.By, stamp(s.now()), n.Text)
		return err
	})
}

// RemoveNote takes a note away.
func (s *Store) RemoveNote(ctx context.Context, id string) error {
	return s.write(ctx, func(t *tx) error {
		n, err := t.exec(`DELETE FROM class_note WHERE id = ?`, id)
		if err == nil && n == 0 {
			err = absent("there is no such note")
		}
		return err
	})
}

// Notes lists the notes about a student, newest first.
func (s *Store) Notes(ctx context.Context, person string) ([]teach.Note, error) {
	var out []teach.Note
	err := s.read(ctx, func(t *tx) error {
		return t.each(`SELECT id, class, person, made_by, at, text FROM class_note WHERE person = ? ORDER BY at DESC, id`, []any{person}, func(scan func(...any) error) error {
			var n teach.Note
			err := scan(&n.ID, &n.Class, &n.Person, &n.By, clock{&n.At}, &n.Text)
			out = append(out, n)
			return err
		})
	})
	return out, err
}

// AddEntry records something about a test, for good.
func (s *Store) AddEntry(ctx context.Context, e teach.Entry) error {
	return s.write(ctx, func(t *tx) error { return t.addEntry(e, s.now()) })
}

func (t *tx) addEntry(e teach.Entry, at time.Time) error {
	var seq int64
	if _, err := t.one(`SELECT COALESCE(MAX(seq), 0) + 1 FROM class_entry`, nil, &seq); err != nil {
		return err
	}
	_, err := t.exec(`INSERT INTO class_entry (seq, id, class, person, lane, version, run, deficiency, kind, text, made_by, at) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		seq, e.ID, e.Class, e.Person, e.Lane, e.Version, e.Run, e.Deficiency, string(e.Kind), e.Text, e.By, stamp(at))
	return err
}

// Entries lists what was recorded, oldest first: of a class or about a student,
// "" for any.
func (s *Store) Entries(ctx context.Context, class, person string) ([]teach.Entry, error) {
	var out []teach.Entry
	err := s.read(ctx, func(t *tx) (err error) {
		out, err = t.entriesOf(`(class = ? OR ? = 0) AND (person = ? OR ? = 0)`, class, number01(class != ""), person, number01(person != ""))
		return err
	})
	return out, err
}

func (t *tx) entriesOf(where string, args ...any) ([]teach.Entry, error) {
	var out []teach.Entry
	err := t.each(`SELECT seq, id, class, person, lane, version, run, deficiency, kind, text, made_by, at FROM class_entry WHERE `+where+` ORDER BY seq`, args, func(scan func(...any) error) error {
		var e teach.Entry
		err := scan(&e.Seq, &e.ID, &e.Class, &e.Person, &e.Lane, &e.Version, &e.Run, &e.Deficiency, &e.Kind, &e.Text, &e.By, clock{&e.At})
		out = append(out, e)
		return err
	})
	return out, err
}

// SetRotation keeps a class's plan of a test day; the earlier ones stay.
func (s *Store) SetRotation(ctx context.Context, class string, plan json.RawMessage, by string) error {
	return s.write(ctx, func(t *tx) error {
		var seq int64
		if _, err := t.one(`SELECT COALESCE(MAX(seq), 0) + 1 FROM rotation`, nil, &seq); err != nil {
			return err
		}
		_, err := t.exec(`INSERT INTO rotation (seq, class, plan, made_by, at) VALUES (?, ?, ?, ?, ?)`, seq, class, string(plan), by, stamp(s.now()))
		return err
	})
}

// Rotation returns the newest plan of a class's test day.
func (s *Store) Rotation(ctx context.Context, class string) (json.RawMessage, error) {
	var plan string
	err := s.read(ctx, func(t *tx) error {
		found, err := t.one(`SELECT plan FROM rotation WHERE class = ? ORDER BY seq DESC LIMIT 1`, []any{class}, &plan)
		if err == nil && !found {
			err = absent("the class has no rotation")
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	return json.RawMessage(plan), nil
}

// texts is a list of texts as it is kept.
func texts(list []string) string {
	if list == nil {
		list = []string{}
	}
	data, err := json.Marshal(list)
	if err != nil {
		panic(fmt.Sprint("store: ", err)) // strings always encode
	}
	return string(data)
}
