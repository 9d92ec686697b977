package web

import (
	"fmt"
	"net/http"

	"hangtrue/internal/engine/equipment"
	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/paper/docket"
)

type todayView struct {
	frame
	Today                 string
	Signed, Waiting, Open []todayRow
	Due                   []dueRow
	Lapsing               []lapseRow
	Quarantined           []itemLink
	Ahead                 int // days
	Equipment, People     bool
	Tagged                []taggedRow // loads that wear a red tag, for staff
	Derig                 bool
	Clock                 string      // what is wrong with the clock
	Backup                *backupView // nil for who makes none
	Settings              bool
}

type todayRow struct {
	Load, Rig, RigAddress string
	By, Rigger, When      string
	Address, Words        string // where to look
	Record                string // address of its record
	N                     int64
	Counts                bool
	Status                string // of the rig as it was signed for
	Why                   []string
}

// dueRow is an inspection of equipment that falls due.
type dueRow struct {
	itemLink
	What, On, Left, Last string
	Over                 bool
}

type itemLink struct{ Address, Words, Name, Why string }

func dueRowOf(f *equipment.Falling) dueRow {
	return dueRow{
		itemLink: itemLink{Address: itemURL(f.Item.ID), Words: f.Item.Called(), Name: f.Item.Name}, What: f.Due.What, On: string(f.Due.Day),
		Left: docket.DaysLeft(f.Days), Last: string(f.Due.Last), Over: f.Days < 0,
	}
}

// todayPage is what a school looks at in the morning.
func (s *Server) todayPage(w http.ResponseWriter, r *http.Request) error {
	me, ctx := personOf(r), r.Context()
	o, err := s.School.Overview(ctx, me)
	if err != nil {
		return told(err)
	}
	settings, _, err := s.School.Settings()
	if err != nil {
		return err
	}
	v := &todayView{
		frame: frame{Title: "Today", Result: true}, Today: o.Today.Start().Format("Monday 2 January 2006"), Ahead: settings.DueDays,
		Equipment: me.May(people.SeeEquipment), People: me.May(people.SeePeople), Derig: me.May(people.ManageEquipment),
	}
	clock, err := s.School.Clock(ctx)
	if err != nil {
		return err
	}
	v.Clock, v.Settings = capital(clock.Words(&settings)), me.May(people.Settings)
	if me.May(people.Backup) {
		if v.Backup, err = s.lastBackup(r, &settings); err != nil {
			return err
		}
	}
	var ids []string
	for _, list := range [][]inspection.Summary{o.Open, o.Waiting} {
		for i := range list {
			ids = append(ids, list[i].By, list[i].Rigger)
		}
	}
	for i := range o.Signed {
		ids = append(ids, o.Signed[i].By, o.Signed[i].Rigger)
	}
	called, err := s.School.Called(ctx, me, ids...)
	if err != nil {
		return told(err)
	}
	row := func(x *inspection.Summary) todayRow {
		return todayRow{
			Load: x.Load, Rig: x.Rig, RigAddress: rigURL(x.Rig), By: called[x.By], Rigger: called[x.Rigger], When: s.when(x.Received),
			Address: inspectURL(x.ID) + "/sign", Words: "Look",
		}
	}
	if me.May(people.SeeRecords) {
		on, err := s.School.TagsOn(ctx)
		if err != nil {
			return err
		}
		for _, t := range on.All() {
			v.Tagged = append(v.Tagged, taggedRow{Load: t.Load, Tag: t.Tag, Lane: fmt.Sprintf("%s, version %d", t.Title, t.Number)})
		}
	}
	for i := range o.Open {
		x := row(&o.Open[i])
		if o.Open[i].By == me.ID {
			x.Address, x.Words = inspectURL(o.Open[i].ID), "Go on"
		}
		v.Open = append(v.Open, x)
	}
	for i := range o.Waiting {
		v.Waiting = append(v.Waiting, row(&o.Waiting[i]))
	}
	for i := range o.Signed {
		g := &o.Signed[i]
		x := row(&g.Summary)
		x.When, x.N, x.Counts, x.Why = s.when(g.SignedAt), g.Entry, g.Standing.Counts, g.Standing.Why
		if x.Status, err = s.statusOf(g.Rig, g.RigVersion); err != nil {
			return err
		}
		if me.May(people.SeeRecords) {
			x.Record = recordURL(g.Entry)
		}
		v.Signed = append(v.Signed, x)
	}
	for _, f := range o.Due {
		v.Due = append(v.Due, dueRowOf(&f))
	}
	for _, l := range o.Lapsing {
		v.Lapsing = append(v.Lapsing, lapseRow{
			Address: "/people/" + l.Person.ID, Name: l.Person.Shown(), Kind: string(l.Qualification.Kind), Scope: l.Qualification.Scope,
			On: string(l.On), Why: l.Why, Left: daysWords(l.Days),
		})
	}
	for _, i := range o.Quarantined {
		v.Quarantined = append(v.Quarantined, itemLink{itemURL(i.ID), i.Called(), i.Name, i.Why})
	}
	return s.pages.write(w, http.StatusOK, "today", v)
}

// statusOf is how a version of a rig stands to its procedure, as people read it.
func (s *Server) statusOf(name, version string) (string, error) {
	data, err := s.School.Rigs.Version(name, version)
	if notMissing(err) != nil {
		return "", err
	}
	if rig := s.solver.solve(data).Rig; rig != nil {
		return capital(rig.Status().String()), nil
	}
	return "The rig cannot be read", nil
}
