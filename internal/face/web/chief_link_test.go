package web

import (
	"strings"
	"testing"

	"hangtrue/internal/engine/people"
)

// A chief instructor who is locked out gets a new link from whoever has the
// database, and with it another passphrase.
func TestChiefLink(t *testing.T) {
	s, link := school(t)
	chief := welcomed(t, s, link, "chief")
	ctx := t.Context()
	name, fresh, err := s.School.ChiefLink(ctx, "")
	if err != nil || name == "" {
		t.Fatalf("%q, %v", name, err)
	}
	if who, err := s.School.Invited(ctx, fresh); err != nil || !who.Is(people.Chief) || who.Login != "chief" {
		t.Errorf("the link is for %+v, %v", who, err)
	}
	if _, _, err := s.School.ChiefLink(ctx, "nobody"); err == nil || !strings.Contains(err.Error(), "there are: chief") {
		t.Errorf("an unknown name: %v", err)
	}
	member(t, chief, "second", people.Chief)
	if _, _, err := s.School.ChiefLink(ctx, ""); err == nil || !strings.Contains(err.Error(), "say which") {
		t.Errorf("of two: %v", err)
	}
	if name, _, err := s.School.ChiefLink(ctx, "second"); err != nil || name != "Person second" {
		t.Errorf("the second: %q, %v", name, err)
	}
}
