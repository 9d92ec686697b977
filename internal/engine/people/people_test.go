package people

import (
	"testing"

	"hangtrue/internal/engine/calendar"
)

func TestRights_EveryRightIsSomebodysAndEveryRoleIsKnown(t *testing.T) {
	if len(matrix) != len(Rights) {
		t.Fatalf("%d rights in the matrix, %d listed", len(matrix), len(Rights))
	}
	for _, x := range Rights {
		if len(matrix[x]) == 0 {
			t.Errorf("nobody may %s", x)
		}
		for _, r := range matrix[x] {
			if !r.Known() || r.Words() == "" {
				t.Errorf("%s: role %q is not known", x, r)
			}
		}
	}
}

// What must never come about by a slip in the matrix.
func TestRights_WhatAStudentAndAChiefMayNot(t *testing.T) {
	for _, x := range []Right{Sign, ManagePeople, SeePeople, ManageEquipment, ReleaseEquipment, SeeRecords, Teach, Grade, Settings, Backup, ChangeRigs, Lapse} {
		if Student.May(x) {
			t.Errorf("a student may %s", x)
		}
	}
	if Chief.May(Sign) {
		t.Error("a chief instructor signs without being an inspector")
	}
	p := Person{Roles: []Role{Rigger, Inspector}}
	if !p.May(Sign) || !p.May(ChangeRigs) || p.May(ManagePeople) {
		t.Error("rights are not the union of the roles")
	}
}

func TestQualification_WhenItLapses(t *testing.T) {
	for _, c := range []struct {
		name string
		q    Qualification
		last calendar.Day
	}{
		{"no end", Qualification{From: "2026-01-01"}, ""},
		{"expires", Qualification{From: "2026-01-01", Expires: "2026-12-31"}, "2026-12-31"},
		{"never used since", Qualification{From: "2026-01-31", Recency: 1}, "2026-02-28"},
		{"used", Qualification{From: "2026-01-01", Recency: 6, Last: "2026-05-31"}, "2026-11-30"},
		{"expires before it is stale", Qualification{From: "2026-01-01", Expires: "2026-06-30", Recency: 6, Last: "2026-05-31"}, "2026-06-30"},
		{"taken away", Qualification{From: "2026-01-01", Expires: "2026-12-31", Ended: "2026-03-01"}, "2026-02-28"},
	} {
		if got := c.q.LastDay(); got != c.last {
			t.Errorf("%s: last day %q, want %q", c.name, got, c.last)
		}
		if c.last != "" && (!c.q.Counts(c.last) || c.q.Counts(c.last.Plus(1))) {
			t.Errorf("%s: it must count on %s and not the day after", c.name, c.last)
		}
		if c.q.Counts(c.q.From.Plus(-1)) {
			t.Errorf("%s: it counts before it begins", c.name)
		}
	}
}

func TestQualified_TheLongestStands(t *testing.T) {
	p := Person{Qualifications: []Qualification{
		{ID: "short", Kind: AsInspector, From: "2026-01-01", Expires: "2026-06-30"},
		{ID: "long", Kind: AsInspector, From: "2026-01-01", Expires: "2026-12-31"},
		{ID: "other", Kind: AsGrader, From: "2026-01-01"},
	}}
	if q, ok := p.Qualified(AsInspector, "2026-05-01"); !ok || q.ID != "long" {
		t.Errorf("got %+v, %v", q, ok)
	}
	if _, ok := p.Qualified(AsInspector, "2027-01-01"); ok {
		t.Error("qualified after the last day")
	}
	if _, ok := p.Qualified(AsHookUp, "2026-05-01"); ok {
		t.Error("qualified as something never given")
	}
}

func TestLapsing(t *testing.T) {
	all := []Person{
		{ID: "a", Qualifications: []Qualification{
			{ID: "1", Kind: AsInspector, Scope: "all", From: "2026-01-01", Expires: "2026-06-30"},
			{ID: "2", Kind: AsGrader, From: "2026-01-01", Recency: 3, Last: "2026-02-01"},
			{ID: "3", Kind: AsHookUp, From: "2026-01-01"},
			{ID: "4", Kind: AsInstructor, From: "2026-01-01", Ended: "2026-02-01"},
		}},
		{ID: "b", Qualifications: []Qualification{
			{ID: "5", Kind: AsInspector, Scope: "all", From: "2026-01-01", Expires: "2026-06-30"},
			{ID: "6", Kind: AsInspector, Scope: "all", From: "2026-06-01", Expires: "2027-06-30"},
		}},
	}
	got := Lapsing(all, "2026-06-01", "2026-07-01")
	if len(got) != 2 || got[0].Qualification.ID != "2" || got[0].Days != -31 || got[0].Why != "not used long enough" ||
		got[1].Qualification.ID != "1" || got[1].Days != 29 || got[1].Why != "expires" || got[1].Person.ID != "a" {
		t.Errorf("got %+v", got)
	}
	if got := Lapsing(all, "2026-04-01", "2026-04-30"); len(got) != 0 {
		t.Errorf("got %+v", got)
	}
}
