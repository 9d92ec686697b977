package app

import (
	"context"
	"errors"
	"io/fs"

	"hangtrue/internal/engine/people"
)

// Riggers lists who may be named as having rigged a load: the school's riggers
// who are here, and whoever asks. It gives ids and names and nothing else, since
// whoever walks an inspection may ask.
func (s *School) Riggers(ctx context.Context, by *people.Person) ([]people.Person, error) {
	if err := need(by, people.Inspect); err != nil {
		return nil, err
	}
	all, err := s.keeper.People(ctx)
	if err != nil {
		return nil, err
	}
	var out []people.Person
	for i := range all {
		if p := &all[i]; p.Gone.IsZero() && (p.Is(people.Rigger) || p.ID == by.ID) {
			out = append(out, people.Person{ID: p.ID, Name: p.Name})
		}
	}
	return out, nil
}

// Called says what the people of an inspection are called on a page.
func (s *School) Called(ctx context.Context, by *people.Person, ids ...string) (map[string]string, error) {
	if err := need(by, people.Inspect); err != nil {
		return nil, err
	}
	out := map[string]string{}
	for _, id := range ids {
		if out[id] != "" {
			continue
		}
		p, err := s.keeper.Person(ctx, id)
		if errors.Is(err, fs.ErrNotExist) {
			p, err = people.Person{ID: id}, nil
		}
		if err != nil {
			return nil, err
		}
		out[id] = p.Shown()
	}
	return out, nil
}
