package results_test

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/data/catalog"
	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/rig/rigfile"
	"hangtrue/internal/engine/teach"
	"hangtrue/internal/engine/teach/report"
	"hangtrue/internal/engine/teach/stats"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/pdf"
	"hangtrue/internal/paper/draw/svg"
	"hangtrue/internal/paper/results"
	"hangtrue/internal/paper/walk"
)

var stamp = results.Stamp{Date: "2026-11-25", Tool: "hangtrue test"}

func survey(t testing.TB, name string) *inspect.Survey {
	t.Helper()
	for _, d := range demo.Rigs() {
		if d.Name != name {
			continue
		}
		r, problems := rigfile.Read(d.Data)
		if r == nil {
			t.Fatal(problems)
		}
		v, wrong := inspect.Of(r, catalog.Shipped())
		if len(wrong) > 0 {
			t.Fatal(wrong)
		}
		return v
	}
	t.Fatalf("there is no demo %s", name)
	return nil
}

// taught is a school's results on a demo rig: classes of so many students.
func taught(t testing.TB, v *inspect.Survey, classes, students int) *report.Set {
	t.Helper()
	r := rand.New(rand.NewPCG(6, 6))
	q := inspect.Suggest(v)
	cover := inspect.Cover(v, q)
	items := map[string]report.Item{}
	for i := range v.Deficiencies {
		d := &v.Deficiencies[i]
		c := &q.Checkpoints[cover.By[i][0]]
		items[d.ID()] = report.Item{
			Key: d.Part.Kind.ID + "/" + d.Attribute.ID + "/" + d.State.ID, Kind: d.Part.Kind.Name, Text: d.Part.Kind.Name + ": " + d.State.Text,
			Part: d.Part.ID, Checkpoint: "crate/" + c.ID, Title: c.Title,
		}
	}
	step := max(1, len(v.Deficiencies)/24)
	var all []teach.Result
	for c := range classes {
		for p := range students {
			ability := r.NormFloat64() + .3*float64(c)
			x := teach.Result{
				Run: fmt.Sprint(c, "-", p), Class: fmt.Sprint("class ", c+1), Lane: fmt.Sprint("lane ", c+1), Version: fmt.Sprint("version ", p%3+1, " of lane ", c+1), Student: fmt.Sprint("s", c, "-", p), Grader: "g",
				N: 1, Outcome: teach.NotMet, Found: map[string]int64{}, False: r.IntN(3), At: time.Date(2026, 5, 1+7*c, 8, p, 0, 0, time.UTC), Took: 12 * time.Minute,
			}
			for k := range 8 {
				n := (p%3*5 + k) * step % len(v.Deficiencies)
				d := &v.Deficiencies[n]
				if b := -1 + 2.4*float64(n)/float64(len(v.Deficiencies)); r.Float64() < 1/(1+math.Exp(b-ability)) {
					x.Found[d.ID()] = int64(40_000 * (k + 1))
				} else {
					x.Missed = append(x.Missed, d.ID())
				}
			}
			all = append(all, x)
		}
	}
	return report.Gather(all, func(_, id string) (report.Item, bool) {
		x, ok := items[id]
		return x, ok
	})
}

func missed(s *report.Set) []walk.MissedPart {
	var out []walk.MissedPart
	for _, l := range s.ByPart() {
		out = append(out, walk.MissedPart{Part: l.Key, Missed: l.Found.Of - l.Found.Count, Of: l.Found.Of, Few: !l.Enough(), Words: l.Words()})
	}
	return out
}

// text is all that stands on pictures.
func text(pages []*draw.Picture) string {
	var b strings.Builder
	var items func([]draw.Item)
	items = func(list []draw.Item) {
		for _, it := range list {
			switch x := it.(type) {
			case draw.Text:
				b.WriteString(x.S + "\n")
			case *draw.Group:
				items(x.Items)
			}
		}
	}
	for _, p := range pages {
		items(p.Items)
		b.WriteString("\f")
	}
	return b.String()
}

func checked(t *testing.T, name string, pages ...*draw.Picture) {
	t.Helper()
	if len(pages) == 0 {
		t.Errorf("%s has no page", name)
	}
	for i, p := range pages {
		if err := p.Check(); err != nil {
			t.Errorf("%s, page %d: %v", name, i+1, err)
		}
		frame := p.Frame()
		if b := p.Bounds(); b.X < -.1 || b.Y < -.1 || b.X+b.W > frame.W+.1 || b.Y+b.H > frame.H+.1 {
			t.Errorf("%s, page %d reaches beyond its paper: %+v", name, i+1, b)
		}
		if _, err := svg.String(p); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		var out bytes.Buffer
		if err := pdf.Write(&out, p, pdf.Meta{Title: p.Title}); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func plain(id string) string { return id }

func pictures(v *inspect.Survey, s *report.Set) []*draw.Picture {
	var curve results.Curve
	for i, c := range s.ByClass() {
		curve.Points = append(curve.Points, results.Point{At: float64(i), Label: c.Class, Found: c.Found, Few: !c.Enough(), Words: c.FoundWords()})
	}
	curve.Name = "lanes"
	drills := results.Curve{Name: "drills", Points: []results.Point{{At: 0, Label: "class 1", Found: stats.ShareOf(3, 5), Few: true}, {At: 1, Label: "class 2", Found: stats.ShareOf(30, 40)}}}
	return []*draw.Picture{
		results.Learning("Found, class after class", "class", []results.Curve{curve, drills}, true, 180, 90),
		walk.Missed(v, "What was missed: "+v.Rig.Title(), missed(s), 180, 130),
	}
}

func TestReport_SaysWhatItMust(t *testing.T) {
	v := survey(t, "crate-off-centre")
	for name, c := range map[string]struct {
		classes, students int
		want              []string
	}{
		"many": {3, 24, []string{"Teach again: ", "By checkpoint", "KR-20", "False calls", "Class after class", "95 % interval", "No run was graded twice"}},
		"few":  {1, 3, []string{"Too few results to name a checkpoint", "too few to say", "take every number as a count"}},
		"none": {0, 0, []string{"No result counts yet", "No run has been graded yet"}},
	} {
		s := taught(t, v, c.classes, c.students)
		report := &results.Class{School: "Kestmoor Lift School", Title: "Spring course", Days: "2026-05-01 to 2026-05-29", Invented: true, Set: s, Lane: plain, Version: plain, ClassName: plain}
		if c.classes > 0 {
			report.Pictures = pictures(v, s)
		}
		pages := report.Report(stamp)
		checked(t, name, pages...)
		all := strings.Join(strings.Fields(text(pages)), " ")
		for _, want := range append(c.want, "Spring course", "none of them ranks people") {
			if !strings.Contains(all, want) {
				t.Errorf("%s does not say %q", name, want)
			}
		}
		for i, page := range strings.Split(strings.TrimSuffix(text(pages), "\f"), "\f") {
			if !strings.Contains(page, "INVENTED") || !strings.Contains(page, fmt.Sprintf("page %d of %d", i+1, len(pages))) {
				t.Errorf("%s, page %d lacks its mark or number", name, i+1)
			}
		}
		for _, bad := range []string{"NaN", "%!", "Inf", "certif", " safe"} {
			if strings.Contains(all, bad) {
				t.Errorf("%s says %q", name, bad)
			}
		}
	}
}

func TestItemMap(t *testing.T) {
	v := survey(t, "crate-off-centre")
	m := taught(t, v, 6, 40).Fit()
	if m.Why != "" {
		t.Fatal(m.Why)
	}
	p := results.ItemMap(m, "Items and students", true, 190)
	checked(t, "item map", p)
	all := strings.Join(strings.Fields(text([]*draw.Picture{p})), " ")
	n := 0
	for _, x := range m.Items {
		if x.Estimated {
			n++
		}
	}
	if n < 12 || !strings.Contains(all, "INVENTED") || !strings.Contains(all, "240 students,") || !strings.Contains(all, "harder") {
		t.Errorf("%d items: %s", n, all)
	}
	checked(t, "empty item map", results.ItemMap(&report.Model{}, "Nothing", false, 190))
	checked(t, "empty curve", results.Learning("Nothing", "class", nil, false, 180, 90))
	checked(t, "a curve of one point", results.Learning("One", "class", []results.Curve{{Name: "a", Points: []results.Point{{Label: "x", Found: stats.ShareOf(0, 9), Words: "0 of 9"}}}}, false, 180, 90))
}

// Every demo's map of misses holds what was missed, and nothing lies outside.
func TestMissed_EveryRig(t *testing.T) {
	n := 0
	for _, d := range demo.Rigs() {
		v := survey(t, d.Name)
		var list []walk.MissedPart
		for i := range v.Parts {
			list = append(list, walk.MissedPart{Part: v.Parts[i].ID, Missed: i % 5, Of: 4 + i%9, Few: i%9 < 4, Words: fmt.Sprintf("%d of %d", i%5, 4+i%9)})
		}
		p := walk.Missed(v, "What was missed: "+v.Rig.Title(), list, 180, 130)
		checked(t, d.Name, p)
		if all := text([]*draw.Picture{p}); !strings.Contains(all, "too few results to compare") || !strings.Contains(all, "INVENTED") {
			t.Errorf("%s: %s", d.Name, all)
		}
		n++
	}
	if n < 11 {
		t.Errorf("%d demo rigs", n)
	}
}

func TestSheet_IsNoCertificate(t *testing.T) {
	x := &results.Student{School: "Kestmoor Lift School", Class: "Spring course", Name: "Ann Larch", Invented: true, Drills: "40 pictures: d′ 1.20.", Runs: []results.StudentRun{
		{Lane: "Crate", Day: "2026-05-01", Outcome: "Did not meet the rule", Reasons: []string{"found 1 of 2, asked for 2"}, Numbers: "Found 1 of 2, 1 false call, in 12:00.", Grader: "Ina", Again: "Met the rule (an item was voided). Found 1 of 1.", Remarks: []string{"Appeal, 2026-05-02: it was dark"}, Attempt: 1, Items: []results.StudentItem{
			{"chain leg: the link in the hook is one too high", "Foot of leg FL (c09)", "3:20"}, {"apex fitting: no cotter pin", "Apex as it lies (c02)", ""},
		}},
		{Lane: "Crate", Day: "2026-05-02", Outcome: "Met the rule", Numbers: "Found 2 of 2, 0 false calls, in 9:00.", Attempt: 2},
	}}
	pages := x.Sheet(stamp)
	checked(t, "sheet", pages...)
	all := strings.Join(strings.Fields(text(pages)), " ")
	for _, want := range []string{"This sheet is no certificate", "Did not meet the rule.", "missed", "found at 3:20", "attempt 2", "once the key of this version has been shown", "INVENTED", "page 1 of 1", "Graded again: Met the rule (an item was voided).", "– Appeal, 2026-05-02: it was dark", "Graded by Ina.", "Seen by:"} {
		if !strings.Contains(all, want) {
			t.Errorf("the sheet does not say %q: %s", want, all)
		}
	}
	checked(t, "empty sheet", (&results.Student{Name: "N"}).Sheet(stamp)...)
}
