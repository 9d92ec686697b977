package store

import (
	"context"
	"errors"
	"time"

	"hangtrue/internal/engine/people"
)

// Secrets (invitations, sessions) are kept as hashes that the caller makes:
// whoever reads the file cannot use them.

// Invite makes an invitation for a person and takes earlier ones back.
func (s *Store) Invite(ctx context.Context, hash, person string, expires time.Time, by string) error {
	return s.write(ctx, func(t *tx) error {
		if _, err := t.person(person); err != nil {
			return err
		}
		if _, err := t.exec(`DELETE FROM invitation WHERE person = ? AND used = ''`, person); err != nil {
			return err
		}
		_, err := t.exec(`INSERT INTO invitation (hash, person, made_by, made, expires) VALUES (?, ?, ?, ?, ?)`, hash, person, by, stamp(s.now()), stamp(expires))
		if err != nil {
			return err
		}
		return s.note(t, by, person, "invited", "")
	})
}

func (s *Store) invitation(t *tx, hash string) (person string, err error) {
	found, err := t.one(`SELECT i.person FROM invitation i JOIN person p ON p.id = i.person WHERE i.hash = ? AND i.used = '' AND i.expires > ? AND i.made <= ? AND p.gone = ''`,
		[]any{hash, stamp(s.now()), s.soon()}, &person)
	if err == nil && !found {
		err = people.ErrInvitation
	}
	return person, err
}

// Invited returns whom an invitation is for; people.ErrInvitation where it no
// longer counts.
func (s *Store) Invited(ctx context.Context, hash string) (person people.Person, err error) {
	err = s.read(ctx, func(t *tx) error {
		id, err := s.invitation(t, hash)
		if err == nil {
			person, err = t.person(id)
		}
		return err
	})
	return person, err
}

// Accept uses an invitation up and gives its person a sign-in name and a
// passphrase; sessions from before end.
func (s *Store) Accept(ctx context.Context, hash, login, encoded string) (person string, err error) {
	err = s.write(ctx, func(t *tx) error {
		if person, err = s.invitation(t, hash); err != nil {
			return err
		}
		var other string
		taken, err := t.one(`SELECT person FROM person_name WHERE login = ? AND person <> ?`, []any{login, person}, &other)
		if err == nil && taken {
			err = people.ErrLoginTaken
		}
		if err != nil {
			return err
		}
		if _, err := t.exec(`UPDATE invitation SET used = ? WHERE hash = ?`, stamp(s.now()), hash); err != nil {
			return err
		}
		if _, err := t.exec(`UPDATE person_name SET login = ? WHERE person = ?`, login, person); err != nil {
			return err
		}
		if _, err := t.exec(`DELETE FROM session WHERE person = ?`, person); err != nil {
			return err
		}
		if err := s.setPassphrase(t, person, encoded); err != nil {
			return err
		}
		return s.note(t, person, person, "accepted the invitation", "")
	})
	return person, err
}

func (s *Store) setPassphrase(t *tx, person, encoded string) error {
	_, err := t.exec(`INSERT INTO passphrase (person, encoded, at) VALUES (?, ?, ?) ON CONFLICT (person) DO UPDATE SET encoded = excluded.encoded, at = excluded.at`,
		person, encoded, stamp(s.now()))
	return err
}

// Passphrase returns who signs in with a name, and the passphrase as it is
// kept; found is false for nobody, or somebody who has left.
func (s *Store) Passphrase(ctx context.Context, login string) (person, encoded string, found bool, err error) {
	err = s.read(ctx, func(t *tx) error {
		found, err = t.one(`SELECT n.person, w.encoded FROM person_name n JOIN passphrase w ON w.person = n.person JOIN person p ON p.id = n.person
			WHERE n.login = ? AND p.gone = ''`, []any{login}, &person, &encoded)
		return err
	})
	return person, encoded, found, err
}

// SetPassphrase changes how a person's passphrase is kept. With a new
// passphrase (renewed false for the same one kept with stronger settings) all
// their sessions end.
func (s *Store) SetPassphrase(ctx context.Context, person, encoded string, renewed bool) error {
	return s.write(ctx, func(t *tx) error {
		if err := s.setPassphrase(t, person, encoded); err != nil || !renewed {
			return err
		}
		if _, err := t.exec(`DELETE FROM session WHERE person = ?`, person); err != nil {
			return err
		}
		return s.note(t, person, person, "changed the passphrase", "")
	})
}

// StartSession keeps a session under the hash of its secret.
func (s *Store) StartSession(ctx context.Context, hash string, x people.Session) error {
	return s.write(ctx, func(t *tx) error {
		now := stamp(s.now())
		if _, err := t.exec(`DELETE FROM session WHERE expires <= ?`, now); err != nil {
			return err
		}
		_, err := t.exec(`INSERT INTO session (hash, person, made, seen, expires, device, address) VALUES (?, ?, ?, ?, ?, ?, ?)`,
			hash, x.Person, now, now, stamp(x.Expires), x.Device, x.Address)
		return err
	})
}

// seenEvery is how exactly a session's last use is kept.
const seenEvery = 5 * time.Minute

// sessionName is how a session is called in lists.
func sessionName(hash string) string { return hash[:min(16, len(hash))] }

// Session returns the session with this hash and its person;
// people.ErrSession where there is none that counts. One that was made at a time
// still to come does not: the clock was set back, and it would last too long.
func (s *Store) Session(ctx context.Context, hash string) (x people.Session, p people.Person, err error) {
	err = s.read(ctx, func(t *tx) error {
		found, err := t.one(`SELECT person, made, seen, expires, device, address FROM session WHERE hash = ? AND expires > ? AND made <= ?`, []any{hash, stamp(s.now()), s.soon()},
			&x.Person, clock{&x.Made}, clock{&x.Seen}, clock{&x.Expires}, &x.Device, &x.Address)
		if err == nil && !found {
			err = people.ErrSession
		}
		if err == nil {
			x.ID = sessionName(hash)
			p, err = t.person(x.Person)
		}
		if err == nil && !p.Gone.IsZero() {
			err = people.ErrSession
		}
		return err
	})
	if err != nil {
		return people.Session{}, people.Person{}, err
	}
	if now := s.now(); now.Sub(x.Seen) >= seenEvery {
		err = s.write(ctx, func(t *tx) error {
			_, err := t.exec(`UPDATE session SET seen = ? WHERE hash = ?`, stamp(now), hash)
			return err
		})
		// On a full disk people can still look at what is there.
		if errors.Is(err, ErrDatabase) {
			err = nil
		}
		x.Seen = now
	}
	return x, p, err
}

// Sessions lists a person's sessions, the last used first.
func (s *Store) Sessions(ctx context.Context, person string) ([]people.Session, error) {
	var out []people.Session
	err := s.read(ctx, func(t *tx) error {
		return t.each(`SELECT hash, person, made, seen, expires, device, address FROM session WHERE person = ? AND expires > ? ORDER BY seen DESC, hash`,
			[]any{person, stamp(s.now())}, func(scan func(...any) error) error {
				var x people.Session
				err := scan(&x.ID, &x.Person, clock{&x.Made}, clock{&x.Seen}, clock{&x.Expires}, &x.Device, &x.Address)
				x.ID = sessionName(x.ID)
				out = append(out, x)
				return err
			})
	})
	return out, err
}

// EndSession signs one device out, by the hash of its secret.
func (s *Store) EndSession(ctx context.Context, hash string) error {
	return s.write(ctx, func(t *tx) error {
		_, err := t.exec(`DELETE FROM session WHERE hash = ?`, hash)
		return err
	})
}

// EndSessions signs a person out everywhere.
func (s *Store) EndSessions(ctx context.Context, person, by string) error {
	return s.write(ctx, func(t *tx) error {
		if _, err := t.exec(`DELETE FROM session WHERE person = ?`, person); err != nil {
			return err
		}
		return s.note(t, by, person, "signed out everywhere", "")
	})
}

// forgetGuesses is how long without another a wrong guess counts.
const forgetGuesses = 24 * time.Hour

// Guess asks whether a passphrase may be tried now for these subjects (a name,
// an address), and counts the try as wrong until [Store.GuessedRight] says
// otherwise, so that many at once cannot slip through. pause says how long
// nobody may try again after so many wrong ones. The longest pause left is
// returned, and the try counts only where that is 0.
func (s *Store) Guess(ctx context.Context, subjects []string, pause func(subject string, wrong int) time.Duration) (left time.Duration, err error) {
	err = s.write(ctx, func(t *tx) error {
		now := s.now()
		wrong := map[string]int{}
		for _, x := range subjects {
			var n int
			var at time.Time
			found, err := t.one(`SELECT wrong, at FROM guess WHERE subject = ?`, []any{x}, &n, clock{&at})
			if err != nil {
				return err
			}
			switch since := now.Sub(at); {
			case !found || since >= forgetGuesses:
				continue
			case since < 0:
				// The clock was set back: the pause begins anew.
				left = max(left, pause(x, n))
			default:
				left = max(left, pause(x, n)-since)
			}
			wrong[x] = n
		}
		if left > 0 {
			return nil
		}
		left = 0
		if _, err := t.exec(`DELETE FROM guess WHERE at < ?`, stamp(now.Add(-forgetGuesses))); err != nil {
			return err
		}
		for _, x := range subjects {
			_, err := t.exec(`INSERT INTO guess (subject, wrong, at) VALUES (?, ?, ?) ON CONFLICT (subject) DO UPDATE SET wrong = excluded.wrong, at = excluded.at`,
				x, int64(wrong[x]+1), stamp(now))
			if err != nil {
				return err
			}
		}
		return nil
	})
	return left, err
}

// GuessedRight forgets the wrong guesses of some subjects, and of others only
// the one that turned out right: a right guess of one's own must not wipe out
// wrong ones at others from the same address.
func (s *Store) GuessedRight(ctx context.Context, forget, undo []string) error {
	return s.write(ctx, func(t *tx) error {
		for _, x := range forget {
			if _, err := t.exec(`DELETE FROM guess WHERE subject = ?`, x); err != nil {
				return err
			}
		}
		for _, x := range undo {
			if _, err := t.exec(`UPDATE guess SET wrong = wrong - 1 WHERE subject = ? AND wrong > 0`, x); err != nil {
				return err
			}
		}
		return nil
	})
}
