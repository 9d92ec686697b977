package results_test

import (
	"os"
	"testing"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/pdf"
	"hangtrue/internal/paper/results"
)

func TestScratch(t *testing.T) {
	os.MkdirAll("/tmp/classb", 0o755)
	v := survey(t, "crate-off-centre")
	s := taught(t, v, 3, 24)
	c := &results.Class{School: "Kestmoor Lift School", Title: "Spring course", Days: "2026-05-01 to 2026-05-29", Invented: true, Set: s, Lane: plain, Version: plain, ClassName: plain, Pictures: pictures(v, s)}
	pages := c.Report(stamp)
	f := pdf.New(pages[0].Width, pages[0].Height, pdf.Meta{Title: "x"})
	for _, p := range pages {
		f.AddPage()
		if err := pdf.Draw(f, p, 0, 0, 1); err != nil { t.Fatal(err) }
	}
	w, _ := os.Create("/tmp/classb/report.pdf")
	f.Output(w)
	w.Close()
	one := func(name string, p *draw.Picture) {
		w, _ := os.Create("/tmp/classb/"+name+".pdf")
		pdf.Write(w, p, pdf.Meta{Title: "x"})
		w.Close()
	}
	one("map", results.ItemMap(taught(t, v, 6, 40).Fit(), "Items and students: Spring course", true, 190))
	x := &results.Student{School: "Kestmoor Lift School", Class: "Spring course", Name: "Ann Larch", Invented: true, Drills: "40 pictures: d′ 1.20.", Runs: []results.StudentRun{
		{Lane: "Crate", Day: "2026-05-01", Outcome: "Did not meet the rule", Reasons: []string{"found 1 of 2, asked for 2"}, Found: 1, Of: 2, False: 1, Took: "12:00", Attempt: 1, Items: []results.StudentItem{
			{"chain leg: the link in the hook is one too high", "Foot of leg FL (c09)", "3:20"}, {"apex fitting: no cotter pin", "Apex as it lies (c02)", ""},
		}},
		{Lane: "Crate", Day: "2026-05-02", Outcome: "Met the rule", Found: 2, Of: 2, Took: "9:00", Attempt: 2},
	}}
	one("sheet", x.Sheet(stamp)[0])
}
