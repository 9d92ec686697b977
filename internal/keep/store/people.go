package store

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"hangtrue/internal/engine/calendar"
	"hangtrue/internal/engine/people"
)

// note adds a line to the audit of rights.
func (s *Store) note(t *tx, by, about, what, detail string) error {
	var n int64
	if _, err := t.one(`SELECT COALESCE(MAX(n), 0) + 1 FROM rights_change`, nil, &n); err != nil {
		return err
	}
	_, err := t.exec(`INSERT INTO rights_change (n, at, made_by, about, what, detail) VALUES (?, ?, ?, ?, ?, ?)`, n, stamp(s.now()), by, about, what, detail)
	return err
}

// RightsChanges lists the audit of rights, newest first, at most so many; about
// one person, or everybody where about is "".
func (s *Store) RightsChanges(ctx context.Context, about string, most int) ([]people.Change, error) {
	var out []people.Change
	err := s.read(ctx, func(t *tx) error {
		return t.each(`SELECT n, at, made_by, about, what, detail FROM rights_change WHERE about = ? OR ? = 0 ORDER BY n DESC LIMIT ?`,
			[]any{about, number01(about != ""), int64(most)}, func(scan func(...any) error) error {
				var c people.Change
				err := scan(&c.N, clock{&c.At}, &c.By, &c.About, &c.What, &c.Detail)
				out = append(out, c)
				return err
			})
	})
	return out, err
}

func rolesText(roles []people.Role) string {
	text, err := json.Marshal(roles)
	if err != nil {
		panic("store: " + err.Error()) // strings always encode
	}
	return string(text)
}

// AddPerson adds a person with an id that is new, a name and roles.
func (s *Store) AddPerson(ctx context.Context, p people.Person, by string) error {
	return s.write(ctx, func(t *tx) error {
		if _, err := t.exec(`INSERT INTO person (id, roles, made) VALUES (?, ?, ?)`, p.ID, rolesText(p.Roles), stamp(s.now())); err != nil {
			return err
		}
		if _, err := t.exec(`INSERT INTO person_name (person, name, contact) VALUES (?, ?, ?)`, p.ID, p.Name, p.Contact); err != nil {
			return err
		}
		return s.note(t, by, p.ID, "added", rolesText(p.Roles))
	})
}

const selectPerson = `SELECT p.id, COALESCE(n.name, ''), COALESCE(n.login, ''), COALESCE(n.contact, ''), p.roles, p.made, p.gone, COALESCE(w.encoded, '')
	FROM person p LEFT JOIN person_name n ON n.person = p.id LEFT JOIN passphrase w ON w.person = p.id`

func scanPerson(scan func(...any) error) (people.Person, error) {
	var p people.Person
	var roles, encoded string
	if err := scan(&p.ID, &p.Name, &p.Login, &p.Contact, &roles, clock{&p.Made}, clock{&p.Gone}, &encoded); err != nil {
		return p, err
	}
	p.HasPassphrase = encoded != ""
	if err := json.Unmarshal([]byte(roles), &p.Roles); err != nil {
		return p, fmt.Errorf("store: roles of person %s: %w", p.ID, err)
	}
	return p, nil
}

// Person returns a person by id.
func (s *Store) Person(ctx context.Context, id string) (people.Person, error) {
	var p people.Person
	err := s.read(ctx, func(t *tx) (err error) {
		p, err = t.person(id)
		return err
	})
	return p, err
}

func (t *tx) person(id string) (people.Person, error) {
	var p people.Person
	found := false
	err := t.each(selectPerson+` WHERE p.id = ?`, []any{id}, func(scan func(...any) error) (err error) {
		found = true
		p, err = scanPerson(scan)
		return err
	})
	if err == nil && !found {
		err = absent("there is no person %.40q", id)
	}
	if err != nil {
		return p, err
	}
	err = t.qualifications(` WHERE person = ?`, []any{id}, func(_ string, q people.Qualification) {
		p.Qualifications = append(p.Qualifications, q)
	})
	return p, err
}

// People lists everybody, also who has left, by name.
func (s *Store) People(ctx context.Context) ([]people.Person, error) {
	return s.peopleWhere(ctx, "", "", nil)
}

// PeopleOf lists those of these ids who are there, by name.
func (s *Store) PeopleOf(ctx context.Context, ids []string) ([]people.Person, error) {
	if len(ids) == 0 {
		return nil, nil
	}
	return s.peopleWhere(ctx, ` WHERE p.id IN (`+among(len(ids))+`)`, ` WHERE person IN (`+among(len(ids))+`)`, anyOf(ids))
}

// peopleWhere takes the conditions on a person p and on a qualification's person.
func (s *Store) peopleWhere(ctx context.Context, who, whose string, args []any) ([]people.Person, error) {
	var all []people.Person
	err := s.read(ctx, func(t *tx) error {
		at := map[string]int{}
		err := t.each(selectPerson+who, args, func(scan func(...any) error) error {
			p, err := scanPerson(scan)
			at[p.ID] = len(all)
			all = append(all, p)
			return err
		})
		if err != nil {
			return err
		}
		return t.qualifications(whose, args, func(person string, q people.Qualification) {
			p := &all[at[person]]
			p.Qualifications = append(p.Qualifications, q)
		})
	})
	slices.SortFunc(all, func(a, b people.Person) int {
		if a.Name != b.Name {
			return strings.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name))
		}
		return strings.Compare(a.ID, b.ID)
	})
	return all, err
}

func (t *tx) qualifications(where string, args []any, f func(person string, q people.Qualification)) error {
	return t.each(`SELECT person, id, kind, scope, authority, from_day, expires_day, recency, last_day, ended_day FROM qualification`+where+` ORDER BY from_day, id`, args,
		func(scan func(...any) error) error {
			var person string
			var q people.Qualification
			err := scan(&person, &q.ID, &q.Kind, &q.Scope, &q.Authority, &q.From, &q.Expires, &q.Recency, &q.Last, &q.Ended)
			f(person, q)
			return err
		})
}

// chiefStays fails where nobody is left who can sign in as chief instructor,
// though somebody could before.
func (t *tx) chiefStays(could bool) error {
	if !could {
		return nil
	}
	can, err := t.chiefs()
	if err == nil && can == 0 {
		err = people.ErrLastChief
	}
	return err
}

// chiefs counts who can sign in as chief instructor.
func (t *tx) chiefs() (n int, err error) {
	err = t.each(selectPerson, nil, func(scan func(...any) error) error {
		p, err := scanPerson(scan)
		if p.Gone.IsZero() && p.HasPassphrase && p.Login != "" && p.Is(people.Chief) {
			n++
		}
		return err
	})
	return n, err
}

// changePerson runs a change of one person that must leave a chief instructor.
func (s *Store) changePerson(ctx context.Context, id string, f func(*tx) error) error {
	return s.write(ctx, func(t *tx) error {
		if _, err := t.person(id); err != nil {
			return err
		}
		before, err := t.chiefs()
		if err == nil {
			err = f(t)
		}
		if err == nil {
			err = t.chiefStays(before > 0)
		}
		return err
	})
}

// SetRoles gives a person these roles and no others.
func (s *Store) SetRoles(ctx context.Context, id string, roles []people.Role, by string) error {
	return s.changePerson(ctx, id, func(t *tx) error {
		if _, err := t.exec(`UPDATE person SET roles = ? WHERE id = ?`, rolesText(roles), id); err != nil {
			return err
		}
		return s.note(t, by, id, "roles", rolesText(roles))
	})
}

// SetName changes a person's name and contact.
func (s *Store) SetName(ctx context.Context, id, name, contact, by string) error {
	return s.changePerson(ctx, id, func(t *tx) error {
		_, err := t.exec(`INSERT INTO person_name (person, name, contact) VALUES (?, ?, ?)
			ON CONFLICT (person) DO UPDATE SET name = excluded.name, contact = excluded.contact`, id, name, contact)
		if err != nil {
			return err
		}
		return s.note(t, by, id, "named", "")
	})
}

// Leave notes that a person has left the school: signed out, invited no longer.
func (s *Store) Leave(ctx context.Context, id, by string) error {
	return s.changePerson(ctx, id, func(t *tx) error {
		if _, err := t.exec(`UPDATE person SET gone = ? WHERE id = ?`, stamp(s.now()), id); err != nil {
			return err
		}
		if err := t.shutOut(id); err != nil {
			return err
		}
		return s.note(t, by, id, "left", "")
	})
}

// Return takes a person who had left back.
func (s *Store) Return(ctx context.Context, id, by string) error {
	return s.changePerson(ctx, id, func(t *tx) error {
		if _, err := t.exec(`UPDATE person SET gone = '' WHERE id = ?`, id); err != nil {
			return err
		}
		return s.note(t, by, id, "returned", "")
	})
}

// RemoveName takes a person's name, contact, sign-in and passphrase away for
// good, in the file as well; results stay under the id. Signed records keep the
// names in them, and backups made before keep what they had.
func (s *Store) RemoveName(ctx context.Context, id, by string) error {
	if err := s.removeName(ctx, id, by); err != nil || s.postgres {
		return err
	}
	// The write-ahead log still has the pages as they were. Where readers hold
	// it, it goes with the next checkpoint.
	if _, err := s.db.ExecContext(ctx, `PRAGMA wal_checkpoint(TRUNCATE)`); err != nil {
		return fmt.Errorf("store: the name is removed; the write-ahead log still has it: %w", explained(err))
	}
	return nil
}

func (s *Store) removeName(ctx context.Context, id, by string) error {
	return s.changePerson(ctx, id, func(t *tx) error {
		if _, err := t.exec(`UPDATE person SET gone = ? WHERE id = ? AND gone = ''`, stamp(s.now()), id); err != nil {
			return err
		}
		if err := t.shutOut(id); err != nil {
			return err
		}
		if _, err := t.exec(`DELETE FROM passphrase WHERE person = ?`, id); err != nil {
			return err
		}
		if _, err := t.exec(`DELETE FROM person_name WHERE person = ?`, id); err != nil {
			return err
		}
		return s.note(t, by, id, "name removed", "")
	})
}

// shutOut ends a person's sessions and invitations.
func (t *tx) shutOut(id string) error {
	if _, err := t.exec(`DELETE FROM session WHERE person = ?`, id); err != nil {
		return err
	}
	_, err := t.exec(`DELETE FROM invitation WHERE person = ? AND used = ''`, id)
	return err
}

// AddQualification gives a person a qualification with an id that is new.
func (s *Store) AddQualification(ctx context.Context, person string, q people.Qualification, by string) error {
	return s.changePerson(ctx, person, func(t *tx) error {
		_, err := t.exec(`INSERT INTO qualification (id, person, kind, scope, authority, from_day, expires_day, recency, last_day, ended_day)
			VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, '')`, q.ID, person, string(q.Kind), q.Scope, q.Authority, string(q.From), string(q.Expires), int64(q.Recency), string(q.Last))
		if err != nil {
			return err
		}
		return s.note(t, by, person, "qualified", fmt.Sprintf("%s; scope: %s; appointed by: %s; from %s to %s", q.Kind, q.Scope, q.Authority, q.From, q.Expires))
	})
}

// EndQualification takes a qualification away from a day on.
func (s *Store) EndQualification(ctx context.Context, id string, on calendar.Day, by string) error {
	return s.write(ctx, func(t *tx) error {
		var person, kind string
		found, err := t.one(`SELECT person, kind FROM qualification WHERE id = ?`, []any{id}, &person, &kind)
		if err == nil && !found {
			err = absent("there is no qualification %.40q", id)
		}
		if err != nil {
			return err
		}
		if _, err := t.exec(`UPDATE qualification SET ended_day = ? WHERE id = ? AND ended_day = ''`, string(on), id); err != nil {
			return err
		}
		return s.note(t, by, person, "no longer qualified", kind+" from "+string(on))
	})
}

// UsedQualification notes the last day on which a person used what they are
// qualified as.
func (s *Store) UsedQualification(ctx context.Context, person string, kind people.QualificationKind, on calendar.Day) error {
	return s.write(ctx, func(t *tx) error { return t.usedQualification(person, kind, on) })
}

func (t *tx) usedQualification(person string, kind people.QualificationKind, on calendar.Day) error {
	_, err := t.exec(`UPDATE qualification SET last_day = ? WHERE person = ? AND kind = ? AND last_day < ? AND ended_day = ''`, string(on), person, string(kind), string(on))
	return err
}
