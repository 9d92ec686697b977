package store

import (
	"path/filepath"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/engine/teach"
)

func TestResults_CountedInTheOrderOfGrading(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		s, c, _ := classroom(t, open)
		ctx := t.Context()
		members, err := s.Members(ctx, "class")
		if err != nil {
			t.Fatal(err)
		}
		grades(t, s, aRun(made("run", 2), "version", "ada", 2, 1))
		c.move(time.Minute)
		grades(t, s, aRun(made("run", 1), "version", members[1].Person, 3, 0))
		if n, err := s.ResultCount(ctx); err != nil || n != 2 {
			t.Errorf("%d results, %v", n, err)
		}
		for _, class := range []string{"", "class"} {
			runs, err := s.GradedRuns(ctx, class)
			if err != nil || len(runs) != 2 || runs[0].Run != made("run", 2) || runs[0].Student != "ada" || runs[0].Lane != "lane" || !runs[0].At.Before(runs[1].At) {
				t.Errorf("of class %q: %+v, %v", class, runs, err)
			}
		}
		if runs, err := s.GradedRuns(ctx, "other"); err != nil || len(runs) != 0 {
			t.Errorf("%v, %v", runs, err)
		}
		some, err := s.RunResults(ctx, []string{made("run", 1), "none"})
		if err != nil || len(some) != 1 || len(some[0].Found) != 3 || some[0].Class != "class" {
			t.Errorf("%+v, %v", some, err)
		}
		if some, err := s.RunResults(ctx, nil); err != nil || len(some) != 0 {
			t.Errorf("%v, %v", some, err)
		}
		all, err := s.SchoolResults(ctx)
		if err != nil || len(all) != 2 || all[1].False != 1 {
			t.Errorf("%+v, %v", all, err)
		}
		people, err := s.PeopleOf(ctx, []string{"ada", "none"})
		if err != nil || len(people) != 1 || people[0].Name != "Ada Fell" {
			t.Errorf("%+v, %v", people, err)
		}
		if people, err := s.PeopleOf(ctx, nil); err != nil || len(people) != 0 {
			t.Errorf("%v, %v", people, err)
		}
	})
}

// Drills with a class, and walks that are a run of a lane, do not count; of a class
// only those count that its students did.
func TestDrillHeads_ThoseThatCount(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		s, c, _ := classroom(t, open)
		ctx := t.Context()
		pictures := []teach.DrillPicture{{Name: "x", Key: "k/a/b"}}
		for _, d := range []teach.Drill{
			{ID: "first", Person: "ada"}, {ID: "shared", Person: "ada", Shared: true}, {ID: "lane", Person: "ada", Run: "run"}, {ID: "other", Person: "other"}, {ID: "last", Person: "ada"},
		} {
			d.Rig, d.RigVersion, d.Pictures = "crate", "v", pictures
			if err := s.AddDrill(ctx, d); err != nil {
				t.Fatal(err)
			}
			if _, err := s.AnswerDrill(ctx, d.ID, []teach.DrillAnswer{{N: 0, Wrong: true}}, nil); err != nil {
				t.Fatal(err)
			}
			c.move(time.Minute)
		}
		if err := s.EndDrill(ctx, "first"); err != nil {
			t.Fatal(err)
		}
		for class, want := range map[string]string{"": "last other first", "class": "last first", "none": ""} {
			heads, err := s.DrillHeads(ctx, class, 10)
			var ids []string
			for _, h := range heads {
				ids = append(ids, h.ID)
				if h.Ended != (h.ID == "first") {
					t.Errorf("%+v", h)
				}
			}
			if got := strings.Join(ids, " "); err != nil || got != want {
				t.Errorf("of class %q: %s, want %s, %v", class, got, want, err)
			}
		}
		if heads, err := s.DrillHeads(ctx, "", 1); err != nil || len(heads) != 1 || heads[0].ID != "last" {
			t.Errorf("%+v, %v", heads, err)
		}
		drills, answers, err := s.DrillsOf(ctx, []string{"first", "other", "none"})
		if err != nil || len(drills) != 2 || len(answers["first"]) != 1 || len(drills["first"].Pictures) != 1 {
			t.Errorf("%v, %v, %v", drills, answers, err)
		}
	})
}

// A reader opens what a server has open, and nothing that is not there.
func TestOpenReader(t *testing.T) {
	file := filepath.Join(t.TempDir(), "school.db")
	s, err := Open(t.Context(), file, Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	r, err := OpenReader(t.Context(), file, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if n, err := r.ResultCount(t.Context()); err != nil || n != 0 {
		t.Errorf("%d, %v", n, err)
	}
	if err := r.Close(); err != nil {
		t.Error(err)
	}
	if _, err := OpenReader(t.Context(), file+"x", Options{}); err == nil {
		t.Error("a school that is not there was opened")
	}
}
