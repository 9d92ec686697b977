package app

import (
	"context"

	"hangtrue/internal/engine/people"
)

// StudentLink is a student's new one-time link.
type StudentLink struct {
	Name, Group, Link string
}

// InviteClass makes a one-time link for each student of a class who cannot sign in
// yet, in place of any made before.
func (s *School) InviteClass(ctx context.Context, by *people.Person, class string) ([]StudentLink, error) {
	if err := need(by, people.ManagePeople); err != nil {
		return nil, err
	}
	room, err := s.ClassRoom(ctx, by, class)
	if err != nil {
		return nil, err
	}
	var out []StudentLink
	for i := range room.Students {
		m := &room.Students[i]
		if m.Left || m.SignsIn() {
			continue
		}
		link, err := s.Invite(ctx, by, m.Person.ID)
		if err != nil {
			return nil, err
		}
		out = append(out, StudentLink{Name: m.Person.Shown(), Group: m.Group, Link: link})
	}
	return out, nil
}

// SignsIn reports whether a student has a name and a passphrase to sign in with.
func (m *Classmate) SignsIn() bool { return m.Person.HasPassphrase && m.Person.Login != "" }
