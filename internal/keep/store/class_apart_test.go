package store

import (
	"testing"
	"time"

	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/teach"
)

func TestClass_WhatStudentsPagesRead(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		s, clock, v := classroom(t, open)
		ctx := t.Context()
		tags, err := s.RedTags(ctx, clock.now())
		if err != nil || len(tags) != 1 {
			t.Fatalf("%+v, %v", tags, err)
		}
		x := tags[0]
		if x.Version != v.ID || x.Lane != "lane" || x.Class != "class" || x.Tag != "12" || x.Load != "Crate 7" || x.Rig != "crate" || x.RigHash != v.Key.Rig || !x.Restored.IsZero() {
			t.Errorf("%+v", x)
		}
		add(t, s, "eva", "Eva", people.Inspector)
		for i, load := range []string{"Crate 8", "crate 08"} {
			e := teach.Entry{ID: made("entry", i), Class: "class", Lane: "lane", Kind: teach.EntryOtherLoad, Text: load, By: []string{"other", "eva"}[i]}
			if err := s.AddEntry(ctx, e); err != nil {
				t.Fatal(err)
			}
		}
		list, err := s.OtherLoads(ctx, "lane")
		if err != nil || len(list) != 2 || list[1].Load != "crate 08" || list[1].Person != "eva" {
			t.Errorf("%+v, %v", list, err)
		}
		if list, err := s.OtherLoads(ctx, "another"); err != nil || len(list) != 0 {
			t.Errorf("of another lane: %+v, %v", list, err)
		}
		// A run that met the rule, one item of which is then voided: one attempt, with
		// its newest outcome and the time of its first.
		first := clock.now()
		grades(t, s, aRun(made("run", 1), "version", "ada", 1, 0))
		clock.move(time.Hour)
		if err := s.Void(ctx, teach.Entry{ID: "void", Class: "class", Lane: "lane", Version: "version", Deficiency: "c/z/3", Kind: teach.EntryVoid, Text: "gone", By: "other"}, "void"); err != nil {
			t.Fatal(err)
		}
		if err := s.AddEntry(ctx, teach.Entry{ID: "taught", Class: "class", Person: "ada", Kind: teach.EntryRetraining, Text: "counts", By: "other"}); err != nil {
			t.Fatal(err)
		}
		a, err := s.Tries(ctx, "class", "lane", "ada")
		if err != nil || len(a.Results) != 1 || len(a.Retrains) != 1 || a.Results[0].Outcome != teach.NotMet || a.Results[0].Found != nil || a.Results[0].Missed != nil {
			t.Fatalf("%+v, %v", a, err)
		}
		if at := a.Results[0].At; at.Before(first) || !at.Before(first.Add(time.Hour)) {
			t.Errorf("the attempt was at %v", at)
		}
		if a, err := s.Tries(ctx, "class", "lane", "ben"); err != nil || len(a.Results)+len(a.Retrains) != 0 {
			t.Errorf("another student: %+v, %v", a, err)
		}
		// Put back by two people it carries its tag no longer.
		for _, who := range []string{"other", "eva"} {
			if err := s.AddPutBacks(ctx, v.ID, v.Key.Planted, who); err != nil {
				t.Fatal(err)
			}
		}
		if tags, err := s.RedTags(ctx, clock.now()); err != nil || len(tags) != 0 {
			t.Errorf("put back: %+v, %v", tags, err)
		}
		if tags, err := s.RedTags(ctx, first); err != nil || len(tags) != 1 || tags[0].Restored.IsZero() {
			t.Errorf("put back since then: %+v, %v", tags, err)
		}
	})
}

func TestDrill_OfALane(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		s, _ := school(t, open)
		ctx := t.Context()
		add(t, s, "sam", "Sam Student", people.Student)
		for _, run := range []string{"", "run"} {
			d := teach.Drill{ID: "d" + run, Person: "sam", Run: run, Rig: "crate", Pictures: []teach.DrillPicture{{Name: "x", Key: "k/a/b"}}}
			if err := s.AddDrill(ctx, d); err != nil {
				t.Fatal(err)
			}
			if _, err := s.AnswerDrill(ctx, d.ID, []teach.DrillAnswer{{Wrong: true}}, nil); err != nil {
				t.Fatal(err)
			}
		}
		d, answers, err := s.RunDrill(ctx, "run")
		if err != nil || d.ID != "drun" || d.Run != "run" || len(answers) != 1 {
			t.Errorf("%+v, %v, %v", d, answers, err)
		}
		for _, none := range []string{"", "d"} {
			if _, _, err := s.RunDrill(ctx, none); err == nil {
				t.Errorf("there is a run %q", none)
			}
		}
		list, by, err := s.Drills(ctx, "sam", 10)
		if err != nil || len(list) != 1 || list[0].ID != "d" || len(by) != 1 {
			t.Errorf("among the drills: %v, %v, %v", list, by, err)
		}
		if _, err := s.db.Exec(`UPDATE drill SET run = 'other' WHERE id = 'd'`); err == nil {
			t.Error("a drill becomes a run")
		}
	})
}
