package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"hangtrue/internal/engine/equipment"
	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/record"
	"hangtrue/internal/face/app"
	"hangtrue/internal/keep/store"
)

// The use cases of a school over the real store, on SQLite; that the store does
// the same on PostgreSQL is its own tests' subject.
var _ app.SchoolKeeper = (*store.Store)(nil)

// schoolRig is no demo rig: those are INVENTED and cannot be signed for.
const schoolRig = `format: hangtrue.rig/1
title: Test frame
bodies:
  - {id: frame, mass: 300 kg, cg: [0 m, 0 m, 0.5 m], points: {A: [1 m, 0 m, 1 m], B: [-1 m, 1 m, 1 m], C: [-1 m, -1 m, 1 m]}}
legs:
  - {id: A, to: frame.A, length: 4 m, stretch: 1 % at 20 kN}
  - {id: B, to: frame.B, length: 4 m, stretch: 1 % at 20 kN}
  - {id: C, to: frame.C, length: 4 m, stretch: 1 % at 20 kN}
`

const phrase = "seven grey marmots whistle"

// aSchool is a school with a chief, a rigger, two inspectors and a student, and
// a clock that the test moves.
type aSchool struct {
	*app.School
	t     *testing.T
	file  string // the database
	store *store.Store
	clock atomic.Int64
	made  int

	chief, rigger, inspector, second, student *people.Person
}

func (s *aSchool) now() time.Time       { return time.UnixMilli(s.clock.Load()).UTC() }
func (s *aSchool) move(d time.Duration) { s.clock.Add(d.Milliseconds()) }
func (s *aSchool) id() string           { s.made++; return fmt.Sprintf("id%020d", s.made) }
func (s *aSchool) must(err error)       { s.t.Helper(); must(s.t, err) }
func (s *aSchool) ctx() context.Context { return s.t.Context() }
func (s *aSchool) person(id string) *people.Person {
	s.t.Helper()
	p, err := s.store.Person(s.ctx(), id)
	s.must(err)
	return &p
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func openSchool(t *testing.T) *aSchool {
	t.Helper()
	s := &aSchool{t: t, file: filepath.Join(t.TempDir(), "school.db")}
	s.clock.Store(time.Date(2026, 5, 31, 9, 0, 0, 0, time.UTC).UnixMilli())
	var err error
	s.store, err = store.Open(t.Context(), s.file, store.Options{Now: s.now})
	must(t, err)
	t.Cleanup(func() { s.store.Close() })
	rigs, err := s.store.Shelf(store.Rigs)
	must(t, err)
	s.School = app.NewSchool(s.store, rigs, app.ShelvesOf(func(kind string) (app.Keeper, error) { return s.store.Shelf(kind) }), s.now)
	link, err := s.FirstStart(t.Context())
	must(t, err)
	id, err := s.Accept(t.Context(), link, "ada", phrase)
	must(t, err)
	s.chief = s.person(id)
	settings := app.DefaultSettings()
	settings.Name, settings.Zone = "Test school", "UTC"
	if saved, err := s.SetSettings(s.chief, "", settings); err != nil || !saved {
		t.Fatal(saved, err)
	}
	join := func(name string, role people.Role) *people.Person {
		id, _, err := s.Add(t.Context(), s.chief, name, "", []people.Role{role})
		must(t, err)
		if role == people.Inspector {
			_, err := s.AddQualification(t.Context(), s.chief, id, people.Qualification{
				Kind: people.AsInspector, Scope: "all single loads", Authority: "Ada Chief", From: "2026-01-01", Expires: "2026-12-31",
			})
			must(t, err)
		}
		return s.person(id)
	}
	s.rigger, s.inspector, s.second, s.student = join("Rita", people.Rigger), join("Ivo", people.Inspector), join("Eva", people.Inspector), join("Sam", people.Student)
	_, saved, err := s.Rigs.Save("frame", "", []byte(schoolRig))
	if err != nil || !saved {
		t.Fatal(saved, err)
	}
	return s
}

// walked delivers one whole inspection and returns its id.
func (s *aSchool) walked(by, rigger *people.Person, change func(*inspection.Begin)) string {
	s.t.Helper()
	b := inspection.Begin{
		Load: "Frame 1", Rig: "frame", RigVersion: app.Version([]byte(schoolRig)), Rigger: rigger.ID,
		Tasks: []inspection.Task{{Checkpoint: "c", Part: "leg.A", Attribute: "twist"}},
	}
	if change != nil {
		change(&b)
	}
	id, device := s.id(), s.id()
	var events []inspection.Event
	for i, x := range []struct {
		kind inspection.Kind
		body any
	}{{inspection.Start, b}, {inspection.Answer, inspection.Reply{Task: b.Tasks[0], Answer: inspection.Right}}, {inspection.Finish, struct{}{}}} {
		body, err := json.Marshal(x.body)
		s.must(err)
		events = append(events, inspection.Event{ID: s.id(), Inspection: id, Device: device, N: int64(i + 1), Kind: x.kind, At: s.now(), Body: body})
	}
	out, err := s.Deliver(s.ctx(), by, events)
	s.must(err)
	for _, o := range out {
		s.must(o.Refused)
	}
	return id
}

func (s *aSchool) sign(by *people.Person, id string) (record.Appended, error) {
	s.t.Helper()
	x, err := s.store.Inspection(s.ctx(), id)
	s.must(err)
	return s.Sign(s.ctx(), by, id, x.Seq)
}

// against fails the test unless signing is refused for a reason with these words.
func (s *aSchool) against(by *people.Person, id, words string) {
	s.t.Helper()
	_, err := s.sign(by, id)
	var no *app.NotSignable
	if !errors.As(err, &no) || !slices.ContainsFunc(no.Against, func(a string) bool { return strings.Contains(a, words) }) {
		s.t.Errorf("got %v, want %q", err, words)
	}
}

func TestSchool_FirstStartGivesOneLink(t *testing.T) {
	s := openSchool(t)
	if link, err := s.FirstStart(t.Context()); link != "" || err != nil {
		t.Errorf("a second chief is invited: %q, %v", link, err)
	}
	empty, err := store.Open(t.Context(), filepath.Join(t.TempDir(), "empty.db"), store.Options{})
	must(t, err)
	defer empty.Close()
	p := app.NewPeople(empty, time.Now)
	one, err := p.FirstStart(t.Context())
	must(t, err)
	two, err := p.FirstStart(t.Context())
	must(t, err)
	if _, err := p.Invited(t.Context(), one); !errors.Is(err, people.ErrInvitation) {
		t.Errorf("the link before still counts: %v", err)
	}
	if who, err := p.Invited(t.Context(), two); err != nil || !who.Is(people.Chief) {
		t.Errorf("%+v, %v", who, err)
	}
	if all, err := empty.People(t.Context()); err != nil || len(all) != 1 {
		t.Errorf("%d people, %v", len(all), err)
	}
}

func TestSchool_SignInAndGuesses(t *testing.T) {
	s := openSchool(t)
	ctx := t.Context()
	secret, expires, err := s.SignIn(ctx, " ADA ", phrase, "tablet", "192.0.2.1")
	if err != nil || !expires.Equal(s.now().Add(14*time.Hour)) {
		t.Fatal(expires, err)
	}
	if _, p, err := s.Session(ctx, secret); err != nil || p.ID != s.chief.ID {
		t.Errorf("%+v, %v", p, err)
	}
	for _, c := range []struct{ login, phrase string }{{"ada", "wrong"}, {"nobody", phrase}, {"", ""}, {"ada", strings.Repeat("x", 10000)}} {
		if _, _, err := s.SignIn(ctx, c.login, c.phrase, "", "192.0.2.9"); !errors.Is(err, app.ErrSignIn) {
			t.Errorf("%.20q %.20q: %v", c.login, c.phrase, err)
		}
	}
	var wait *app.TooManyGuesses
	tries := 0
	for ; tries < 10; tries++ {
		if _, _, err := s.SignIn(ctx, "ada", "wrong again", "", "192.0.2.2"); errors.As(err, &wait) {
			break
		}
	}
	if tries != 3 || wait.Wait != time.Second {
		t.Errorf("%d tries, then %v", tries, wait)
	}
	if _, _, err := s.SignIn(ctx, "ada", phrase, "", "192.0.2.2"); !errors.As(err, &wait) {
		t.Errorf("the right one went through in the pause: %v", err)
	}
	if _, _, err := s.SignIn(ctx, "ada", phrase, "", "192.0.2.3"); err != nil {
		t.Errorf("somebody else's guesses lock her out: %v", err)
	}
	s.move(time.Minute)
	if _, _, err := s.SignIn(ctx, "ada", phrase, "", "192.0.2.2"); err != nil {
		t.Errorf("after the pause: %v", err)
	}
	must(t, s.SignOutEverywhere(ctx, s.chief, s.chief.ID))
	if _, _, err := s.Session(ctx, secret); !errors.Is(err, people.ErrSession) {
		t.Errorf("still signed in: %v", err)
	}
	if err := s.ChangePassphrase(ctx, s.chief, "wrong", "five red kites over a ridge", "192.0.2.1"); !errors.Is(err, app.ErrSignIn) {
		t.Errorf("changed without the old one: %v", err)
	}
	must(t, s.ChangePassphrase(ctx, s.person(s.chief.ID), phrase, "five red kites over a ridge", "192.0.2.1"))
	if _, _, err := s.SignIn(ctx, "ada", phrase, "", "192.0.2.4"); !errors.Is(err, app.ErrSignIn) {
		t.Errorf("the old one still counts: %v", err)
	}
}

func TestSchool_PassphrasesThatAreGuessedFirst(t *testing.T) {
	s := openSchool(t)
	link, err := s.Invite(t.Context(), s.chief, s.rigger.ID)
	must(t, err)
	for _, bad := range []string{"", "short", "aaaaaaaaaaaaaaaa", "123456789012", "password password", "rita.rita.rita", "ritahangtrue!", strings.Repeat("word ", 100), "\xff\xffabcdefghijklm"} {
		var wrong *app.Wrong
		if _, err := s.Accept(t.Context(), link, "rita", bad); !errors.As(err, &wrong) || wrong.Field != "passphrase" {
			t.Errorf("%.30q: %v", bad, err)
		}
	}
	if _, err := s.Accept(t.Context(), link, "a b", phrase); err == nil {
		t.Error("a name with a space was taken")
	}
	if _, err := s.Accept(t.Context(), link, "ADA", phrase); !errors.Is(err, people.ErrLoginTaken) {
		t.Errorf("got %v", err)
	}
	// The letters count, not how a keyboard composes them.
	composed, apart := "grüne Füchse bellen", "gru\u0308ne Fu\u0308chse bellen"
	if _, err := s.Accept(t.Context(), link, "rita", composed); err != nil {
		t.Fatal(err)
	}
	if _, _, err := s.SignIn(t.Context(), "rita", apart, "", ""); err != nil {
		t.Error(err)
	}
}

// Every use case with a right is refused to each role that has it not.
func TestSchool_Rights(t *testing.T) {
	s := openSchool(t)
	ctx := t.Context()
	cases := []struct {
		right people.Right
		do    func(by *people.Person) error
	}{
		{people.ManagePeople, func(by *people.Person) error {
			_, _, err := s.Add(ctx, by, "N", "", []people.Role{people.Student})
			return err
		}},
		{people.ManagePeople, func(by *people.Person) error { _, err := s.Invite(ctx, by, s.student.ID); return err }},
		{people.ManagePeople, func(by *people.Person) error { return s.SetRoles(ctx, by, s.student.ID, []people.Role{people.Student}) }},
		{people.ManagePeople, func(by *people.Person) error { return s.SetName(ctx, by, s.student.ID, "Sam", "") }},
		{people.ManagePeople, func(by *people.Person) error { return s.Return(ctx, by, s.student.ID) }},
		{people.ManagePeople, func(by *people.Person) error {
			_, err := s.AddQualification(ctx, by, s.student.ID, people.Qualification{Kind: people.AsHookUp, Authority: "A", From: "2026-01-01"})
			return err
		}},
		{people.ManagePeople, func(by *people.Person) error { _, err := s.RightsChanges(ctx, by, "", 1); return err }},
		{people.SeePeople, func(by *people.Person) error { _, err := s.All(ctx, by); return err }},
		{people.SeePeople, func(by *people.Person) error { _, err := s.Lapsing(ctx, by, "2026-05-31", "2027-05-31"); return err }},
		{people.Inspect, func(by *people.Person) error { _, err := s.Deliver(ctx, by, nil); return err }},
		{people.Teach, func(by *people.Person) error { _, err := s.DeliverFile(ctx, by, nil); return err }},
		{people.Inspect, func(by *people.Person) error { _, err := s.AddPhoto(ctx, by, aPhoto(t)); return err }},
		{people.SeeRecords, func(by *people.Person) error { _, err := s.Records(ctx, by, -1, 1); return err }},
		{people.SeeRecords, func(by *people.Person) error { _, err := s.LogCopy(ctx, by); return err }},
		{people.SeeRecords, func(by *people.Person) error { _, _, _, err := s.LogHead(ctx, by); return err }},
		{people.SeeRecords, func(by *people.Person) error { _, err := s.VerifyLog(ctx, by); return err }},
		{people.Refuse, func(by *people.Person) error { _, err := s.RefuseLoad(ctx, by, "x", "", "", ""); return err }},
		{people.SeeEquipment, func(by *people.Person) error { _, err := s.Equipment(ctx, by); return err }},
		{people.SeeEquipment, func(by *people.Person) error { _, err := s.EquipmentList(ctx, by); return err }},
		{people.SeeEquipment, func(by *people.Person) error { _, err := s.DueCalendar(ctx, by, 30); return err }},
		{people.SeeEquipment, func(by *people.Person) error { _, err := s.Uses(ctx, by, "x"); return err }},
		{people.ManageEquipment, func(by *people.Person) error {
			_, err := s.PutItem(ctx, by, equipment.Item{Serial: s.id(), Kind: equipment.Net})
			return err
		}},
		{people.ManageEquipment, func(by *people.Person) error { _, _, err := s.PreviewList(ctx, by, nil); return err }},
		{people.ChangeRigs, func(by *people.Person) error { _, err := s.RigsBy(ctx, by); return err }},
		{people.Settings, func(by *people.Person) error {
			x := app.DefaultSettings()
			x.Name = "Test school"
			_, err := s.SetSettings(by, "no version", x)
			return err
		}},
	}
	for _, role := range people.Roles {
		by := &people.Person{ID: s.chief.ID, Roles: []people.Role{role}}
		for i, c := range cases {
			err := c.do(by)
			var no *app.NotAllowed
			if refused := errors.As(err, &no); refused == role.May(c.right) || refused && no.Right != c.right || !refused && err != nil {
				t.Errorf("case %d (%s) by a %s: %v", i, c.right, role.Words(), err)
			}
		}
	}
	for i, c := range cases {
		var no *app.NotAllowed
		if err := c.do(nil); !errors.As(err, &no) {
			t.Errorf("case %d by nobody: %v", i, err)
		}
	}
	gone := &people.Person{ID: "x", Roles: []people.Role{people.Chief}, Gone: s.now()}
	if _, err := s.All(ctx, gone); err == nil {
		t.Error("somebody who has left still has rights")
	}
}

func TestSchool_AStudentSeesOwnInspectionsOnly(t *testing.T) {
	s := openSchool(t)
	ctx := t.Context()
	other := s.walked(s.inspector, s.rigger, nil)
	own := s.walked(s.student, s.rigger, func(b *inspection.Begin) { b.Training = true })
	list, err := s.Inspections(ctx, s.student, "", 10)
	if err != nil || len(list) != 1 || list[0].ID != own {
		t.Errorf("%+v, %v", list, err)
	}
	var no *app.NotAllowed
	if _, _, err := s.Inspection(ctx, s.student, other); !errors.As(err, &no) {
		t.Errorf("got %v", err)
	}
	if _, err := s.Events(ctx, s.student, other); !errors.As(err, &no) {
		t.Errorf("got %v", err)
	}
	if list, err := s.Inspections(ctx, s.inspector, "", 10); err != nil || len(list) != 2 {
		t.Errorf("%+v, %v", list, err)
	}
	s.against(s.student, own, "training inspection")
}

func TestSchool_SignedAndSealed(t *testing.T) {
	s := openSchool(t)
	ctx := t.Context()
	id := s.walked(s.inspector, s.rigger, nil)
	a, err := s.sign(s.inspector, id)
	must(t, err)
	e, later, err := s.Record(ctx, s.chief, a.Entry.N)
	must(t, err)
	body, err := inspection.ReadSealed(e.Body)
	must(t, err)
	if body.Rigger.Name != "Rita" || body.Inspector.Name != "Ivo" || body.Inspector.Authority != "Ada Chief" || body.Weight != "300 kg" || body.Known != "not stated" ||
		body.Status == "" || body.Caution == "" || body.Result != "no deficiency found open" || len(later) != 0 {
		t.Errorf("%+v", body)
	}
	x, err := s.store.Inspection(ctx, id)
	must(t, err)
	if st, err := s.Standing(ctx, x); err != nil || !st.Counts {
		t.Errorf("%+v, %v", st, err)
	}
	s.against(s.inspector, id, "signed already")
	o, err := s.Overview(ctx, s.chief)
	if err != nil || len(o.Signed) != 1 || !o.Signed[0].Standing.Counts || len(o.Waiting) != 0 {
		t.Errorf("%+v, %v", o, err)
	}
	// The log and its copy verify, with a head that was kept elsewhere.
	head, key, origin, err := s.LogHead(ctx, s.chief)
	must(t, err)
	log, err := s.LogCopy(ctx, s.chief)
	must(t, err)
	if h, err := app.VerifyRecords(log, key, head); err != nil || h.Size != 1 {
		t.Errorf("%+v, %v", h, err)
	}
	if got, err := app.VerifyMark(log, e.Mark(origin)); err != nil || got.N != e.N {
		t.Errorf("%+v, %v", got, err)
	}
	forged := []byte(strings.Replace(string(log), "Ivo", "Eva", 1))
	var fault *record.Fault
	if _, err := app.VerifyRecords(forged, key, head); !errors.As(err, &fault) || fault.Entry != 0 {
		t.Errorf("got %v", err)
	}
	if _, err := app.VerifyMark(forged, e.Mark(origin)); !errors.As(err, &fault) {
		t.Errorf("got %v", err)
	}
	// A correction points back, and the old record stays.
	if _, err := s.Correct(ctx, s.second, e.N, "wrong weight"); err == nil {
		t.Error("somebody else corrected it")
	}
	_, err = s.Correct(ctx, s.inspector, e.N, "the weight was 310 kg")
	must(t, err)
	if _, later, err := s.Record(ctx, s.chief, e.N); err != nil || len(later) != 1 || later[0].Kind != app.EntryCorrection || !strings.Contains(string(later[0].Body), `"entry":0`) {
		t.Errorf("%+v, %v", later, err)
	}
	if st, err := s.Standing(ctx, x); err != nil || st.Counts {
		t.Errorf("%+v, %v", st, err)
	}
	if _, err := s.VerifyLog(ctx, s.chief, head); err != nil {
		t.Error(err)
	}
}

func TestSchool_WhatStandsAgainstSigning(t *testing.T) {
	s := openSchool(t)
	ctx := t.Context()
	must(t, s.SetRoles(ctx, s.chief, s.inspector.ID, []people.Role{people.Inspector, people.Rigger}))
	both := s.person(s.inspector.ID)
	s.against(both, s.walked(both, both, nil), "two people")
	s.against(s.second, s.walked(both, s.rigger, nil), "only who walked it")
	s.against(both, s.walked(both, s.student, nil), "does not have the role of a rigger")
	s.against(s.student, s.walked(s.student, s.rigger, nil), "role of an inspector")
	s.against(both, s.walked(both, s.rigger, func(b *inspection.Begin) { b.Rig = "gone" }), "has no version")
	s.against(both, s.walked(both, s.rigger, func(b *inspection.Begin) {
		b.Tasks = append(b.Tasks, inspection.Task{Checkpoint: "c", Part: "leg.B", Attribute: "twist"})
	}), "one question is not answered")
	s.against(both, s.walked(both, s.rigger, func(b *inspection.Begin) { b.Sets = []string{"unknown"} }), "not known here")

	invented := strings.Replace(schoolRig, "title: Test frame", "title: Test frame\ninvented: yes", 1)
	_, _, err := s.Rigs.Save("invented", "", []byte(invented))
	must(t, err)
	s.against(both, s.walked(both, s.rigger, func(b *inspection.Begin) { b.Rig, b.RigVersion = "invented", app.Version([]byte(invented)) }), "INVENTED")

	id := s.walked(both, s.rigger, nil)
	changed := strings.Replace(schoolRig, "300 kg", "400 kg", 1)
	_, _, err = s.Rigs.Save("frame", app.Version([]byte(schoolRig)), []byte(changed))
	must(t, err)
	s.against(both, id, "the rig was changed")
	_, _, err = s.Rigs.Save("frame", app.Version([]byte(changed)), []byte(schoolRig))
	must(t, err)
	x, err := s.store.Inspection(ctx, id)
	must(t, err)
	if _, err := s.Sign(ctx, both, id, x.Seq-1); !errors.Is(err, inspection.ErrMoved) {
		t.Errorf("signed what was not seen: %v", err)
	}
	s.move(300 * 24 * time.Hour)
	s.against(both, id, "no qualification")
}

func TestSchool_ASignatureLapses(t *testing.T) {
	s := openSchool(t)
	ctx := t.Context()
	signed := func() inspection.Summary {
		t.Helper()
		id := s.walked(s.inspector, s.rigger, nil)
		_, err := s.sign(s.inspector, id)
		must(t, err)
		x, err := s.store.Inspection(ctx, id)
		must(t, err)
		return x
	}
	lapsed := func(id, words string) {
		t.Helper()
		x, err := s.store.Inspection(ctx, id)
		must(t, err)
		st, err := s.Standing(ctx, x)
		if err != nil || st.Counts || !strings.Contains(strings.Join(st.Why, "; "), words) {
			t.Errorf("%+v, %v; want %q", st, err, words)
		}
	}
	x := signed()
	if _, err := s.Lapse(ctx, s.student, x.ID, app.Moved, ""); err == nil {
		t.Error("a student ended a signature")
	}
	if _, err := s.Lapse(ctx, s.rigger, x.ID, app.SomethingElse, ""); err == nil {
		t.Error("ended without a reason")
	}
	_, err := s.Lapse(ctx, s.rigger, x.ID, app.Moved, "to the other pad")
	must(t, err)
	lapsed(x.ID, "moved: to the other pad")
	x = signed()
	_, err = s.RefuseLoad(ctx, s.rigger, x.Load, x.ID, "", "")
	must(t, err)
	lapsed(x.ID, "refusal")
	x = signed()
	_, _, err = s.Rigs.Save("frame", app.Version([]byte(schoolRig)), []byte(strings.Replace(schoolRig, "300 kg", "301 kg", 1)))
	must(t, err)
	lapsed(x.ID, "the rig was changed")
	_, _, err = s.Rigs.Save("frame", app.Version([]byte(strings.Replace(schoolRig, "300 kg", "301 kg", 1))), []byte(schoolRig))
	must(t, err)
	x = signed()
	s.move(15 * time.Hour)
	lapsed(x.ID, "a night")
	settings, version, err := s.Settings()
	must(t, err)
	settings.LapseOvernight, settings.LapseHours = false, 2
	_, err = s.SetSettings(s.chief, version, settings)
	must(t, err)
	lapsed(x.ID, "more than 2 hours")
}

// While the clock shows an earlier time than something was kept at, nothing is
// signed and no signature from then counts: due days and nights would be judged
// by a wrong day. What tablets deliver is kept all the same.
func TestSchool_NothingIsSignedWhileTheClockIsBack(t *testing.T) {
	s := openSchool(t)
	ctx := t.Context()
	first := s.walked(s.inspector, s.rigger, nil)
	_, err := s.sign(s.inspector, first)
	must(t, err)
	s.move(-40 * 24 * time.Hour)
	x, err := s.store.Inspection(ctx, first)
	must(t, err)
	if st, err := s.Standing(ctx, x); err != nil || st.Counts || !strings.Contains(strings.Join(st.Why, "; "), "still to come") {
		t.Errorf("%+v, %v", st, err)
	}
	second := s.walked(s.inspector, s.rigger, nil)
	s.against(s.inspector, second, "the clock of the school’s machine was set back: it shows 2026-04-21 09:00, and something was kept at 2026-05-31 09:00 already; set it right")
	var no *app.NotAllowed
	if err := s.ClockRight(ctx, s.inspector); !errors.As(err, &no) {
		t.Errorf("got %v", err)
	}
	must(t, s.ClockRight(ctx, s.chief))
	if _, err := s.sign(s.inspector, second); err != nil {
		t.Error(err)
	}
	if _, err := s.VerifyLog(ctx, s.chief); err != nil {
		t.Error(err)
	}
}

func TestSchool_EquipmentOnALoad(t *testing.T) {
	s := openSchool(t)
	ctx := t.Context()
	list := "serial,kind,set,in service,intervals,training only\nS-1,sling set,,2026-01-01,yearly: 12 months,\nL-1,leg,S-1,,,\nX-1,leg,,,,yes\n"
	added, changed, err := s.TakeList(ctx, s.rigger, []byte(list))
	if err != nil || added != 3 || changed != 0 {
		t.Fatal(added, changed, err)
	}
	if added, changed, err = s.TakeList(ctx, s.rigger, []byte(list)); err != nil || added != 0 || changed != 0 {
		t.Errorf("taken again: %d, %d, %v", added, changed, err)
	}
	v, err := s.Equipment(ctx, s.rigger)
	must(t, err)
	find := func(serial string) *equipment.State {
		t.Helper()
		i, ok := v.Find("", serial)
		if !ok {
			t.Fatal(serial)
		}
		return i
	}
	set, leg, spoiled := find("S-1"), find("L-1"), find("X-1")
	with := func(ids ...string) func(*inspection.Begin) { return func(b *inspection.Begin) { b.Sets = ids } }
	s.against(s.inspector, s.walked(s.inspector, s.rigger, nil), "no set of equipment is named")
	s.against(s.inspector, s.walked(s.inspector, s.rigger, with(set.ID, spoiled.ID)), "never for flight")
	id := s.walked(s.inspector, s.rigger, with(set.ID))
	must(t, s.Happened(ctx, s.rigger, equipment.Event{Item: leg.ID, Kind: equipment.Quarantined, What: "contaminated", On: "2026-05-30"}))
	s.against(s.inspector, id, "leg L-1 is quarantined")
	release := equipment.Event{Item: leg.ID, Kind: equipment.Released, Name: "Eva, competent person", On: "2026-05-31"}
	if err := s.Happened(ctx, s.rigger, release); err == nil {
		t.Error("a rigger released it")
	}
	must(t, s.Happened(ctx, s.second, release))
	if err := s.Happened(ctx, s.rigger, equipment.Event{Item: leg.ID, Kind: equipment.Lost, On: "2026-06-01"}); err == nil {
		t.Error("lost tomorrow")
	}
	_, err = s.sign(s.inspector, id)
	must(t, err)
	uses, err := s.Uses(ctx, s.chief, leg.ID)
	if err != nil || len(uses) != 1 || uses[0].Load != "Frame 1" || uses[0].Inspection != id {
		t.Errorf("%+v, %v", uses, err)
	}
	s.against(s.inspector, s.walked(s.inspector, s.rigger, func(b *inspection.Begin) { b.Load, b.Sets = "Frame 2", []string{leg.ID} }), "is on another load")
	// The load is looked at again: the items go with the newer signature.
	again := s.walked(s.second, s.rigger, with(set.ID))
	_, err = s.sign(s.second, again)
	must(t, err)
	if on, err := s.OnLoad(ctx, s.rigger, id); err != nil || len(on) != 0 {
		t.Errorf("%v, %v", on, err)
	}
	id = again
	on, err := s.OnLoad(ctx, s.rigger, id)
	if err != nil || len(on) != 2 {
		t.Fatal(on, err)
	}
	d := equipment.Derig{Inspection: id, Parts: []equipment.Back{{Item: set.ID}, {Item: leg.ID, As: "shock-loaded"}}}
	must(t, s.Derig(ctx, s.rigger, d))
	o, err := s.Overview(ctx, s.chief)
	if err != nil || len(o.Quarantined) != 1 || o.Quarantined[0].ID != leg.ID {
		t.Errorf("%+v, %v", o, err)
	}
	if on, err := s.OnLoad(ctx, s.rigger, id); err != nil || len(on) != 0 {
		t.Errorf("%v, %v", on, err)
	}
	s.move(365 * 24 * time.Hour)
	due, err := s.Due(ctx, s.chief, 30)
	if err != nil || len(due) != 1 || due[0].Days >= 0 {
		t.Errorf("%+v, %v", due, err)
	}
	var problems *app.ListProblems
	if _, _, err := s.TakeList(ctx, s.rigger, []byte("serial,kind\nN-1,net\n,net\n")); !errors.As(err, &problems) || !strings.Contains(err.Error(), "line 3, serial") {
		t.Errorf("got %v", err)
	}
	if v, err := s.Equipment(ctx, s.rigger); err != nil || len(v.All) != 3 {
		t.Errorf("a list with a problem was taken in part: %d, %v", len(v.All), err)
	}
}

func TestSchool_QueueFileStaysItsOwners(t *testing.T) {
	s := openSchool(t)
	ctx := t.Context()
	id := s.walked(s.inspector, s.rigger, nil)
	events, err := s.store.Events(ctx, id)
	must(t, err)
	fresh := s.id()
	for i := range events {
		events[i].Inspection, events[i].ID = fresh, s.id()
	}
	if _, err := s.DeliverFile(ctx, s.rigger, events); err == nil {
		t.Error("a rigger brought in a file")
	}
	for range 2 {
		out, err := s.DeliverFile(ctx, s.chief, events)
		if err != nil || len(out) != len(events) || out[2].Refused != nil {
			t.Fatalf("%+v, %v", out, err)
		}
	}
	if x, err := s.store.Inspection(ctx, fresh); err != nil || x.By != s.inspector.ID || x.Phase != inspection.Finished {
		t.Errorf("%+v, %v", x, err)
	}
	s.against(s.chief, fresh, "only who walked it")
}

// aPhoto is a picture of four dots.
func aPhoto(t *testing.T) []byte {
	t.Helper()
	var b bytes.Buffer
	must(t, jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, 2, 2)), nil))
	return b.Bytes()
}

func TestSchool_Photos(t *testing.T) {
	s := openSchool(t)
	ctx := t.Context()
	for name, bad := range map[string][]byte{"script": []byte("<svg onload=x>"), "empty": nil, "large": append([]byte("\xff\xd8\xff"), make([]byte, app.MostPhoto)...)} {
		if _, err := s.AddPhoto(ctx, s.inspector, bad); err == nil {
			t.Errorf("%s was taken", name)
		}
	}
	hash, err := s.AddPhoto(ctx, s.inspector, aPhoto(t))
	must(t, err)
	id, device := s.id(), s.id()
	begin, err := json.Marshal(inspection.Begin{
		Load: "F", Rig: "frame", RigVersion: app.Version([]byte(schoolRig)), Rigger: s.rigger.ID, Tasks: []inspection.Task{{Checkpoint: "c", Part: "p", Attribute: "a"}},
	})
	must(t, err)
	note := func(hash string) []byte { return fmt.Appendf(nil, `{"text":"x","photos":[%q]}`, hash) }
	out, err := s.Deliver(ctx, s.inspector, []inspection.Event{
		{ID: s.id(), Inspection: id, Device: device, N: 1, Kind: inspection.Start, At: s.now(), Body: begin},
		{ID: s.id(), Inspection: id, Device: device, N: 2, Kind: inspection.Note, At: s.now(), Body: note(hash)},
		{ID: s.id(), Inspection: id, Device: device, N: 3, Kind: inspection.Note, At: s.now(), Body: note(strings.Repeat("0", 64))},
		{ID: s.id(), Inspection: id, Device: device, N: 4, Kind: inspection.Finish, At: s.now()},
	})
	must(t, err)
	for _, o := range out {
		must(t, o.Refused)
	}
	if kind, data, err := s.Photo(ctx, s.chief, id, hash); err != nil || kind != "image/jpeg" || len(data) == 0 {
		t.Errorf("%s, %v", kind, err)
	}
	if _, _, err := s.Photo(ctx, s.student, id, hash); err == nil {
		t.Error("a student saw another's photo")
	}
	s.against(s.inspector, id, "one photo has not arrived")
}
