package web

import (
	"cmp"
	"html/template"
	"net/http"
	"slices"
	"time"

	"hangtrue/internal/engine/calendar"
	"hangtrue/internal/engine/teach/report"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/svg"
	"hangtrue/internal/paper/results"
)

// shownResults is how many rows a table of results has on a page.
const shownResults = 24

// shownMaps is how many rigs are drawn on a page at most.
const shownMaps = 4

// resultsView is what the results of a class or of the school say.
type resultsView struct {
	frame
	Heading  string
	Of       string // what the results are of
	Links    []pageLink
	Invented bool
	Days     string
	Teach    string // which checkpoint to teach again
	Runs     string
	Remarks  []string
	Tables   []resultsTable
	Graders  string
	Curve    template.HTML
	Maps     []resultsMap
	Models   string // the page for whoever builds the tests
	Out      []pageLink
	Students []pageLink
	About    string
	From     string // the school: the first day that counts
	School   bool
}

type resultsTable struct {
	Title, Note string
	Head        []string
	Rows        [][]string
	More        int // rows left out
}

type resultsMap struct {
	Title   string
	Picture template.HTML
	Lines   []string
}

// resultsDesk opens the results that a request is about, and says where their
// pages are.
func (s *Server) resultsDesk(r *http.Request) (d *app.ResultDesk, at string, err error) {
	if class := r.PathValue("class"); class != "" {
		d, err = s.School.ClassReport(r.Context(), personOf(r), class)
		return d, classURL(class) + "/statistics", classRefusal(err)
	}
	from, err := countFrom(r)
	if err != nil {
		return nil, "", err
	}
	d, err = s.School.SchoolReport(r.Context(), personOf(r), from)
	return d, "/statistics", classRefusal(err)
}

// countFrom is the first day that counts; the zero time for all.
func countFrom(r *http.Request) (time.Time, error) {
	text := r.URL.Query().Get("from")
	if text == "" {
		return time.Time{}, nil
	}
	day, err := calendar.Parse(text)
	if err != nil {
		return time.Time{}, refusal{http.StatusBadRequest, "Not understood", "A day is written 2026-05-31."}
	}
	return time.Parse(time.DateOnly, string(day))
}

// resultsPage shows what the results of a class or of the school say.
func (s *Server) resultsPage(w http.ResponseWriter, r *http.Request) error {
	d, at, err := s.resultsDesk(r)
	if err != nil {
		return err
	}
	v, err := s.newResultsView(d, at, r.URL.Query().Get("from"))
	if err != nil {
		return err
	}
	return s.pages.write(w, http.StatusOK, "results", v)
}

func (s *Server) newResultsView(d *app.ResultDesk, at, from string) (*resultsView, error) {
	v := &resultsView{
		Heading: "What the results say", Of: capital(d.Title()), Invented: d.Invented, Days: d.Days(), Runs: results.RunWords(d.Set.Runs()), About: results.About,
		Models: at + "/models", School: d.Class == nil, From: from,
	}
	v.frame = frame{Title: v.Heading + " – " + v.Of}
	query := ""
	if from != "" {
		query = "?from=" + from
		v.Models += query
	}
	if d.Class != nil {
		v.Links = newClassHead(&d.Class.Class, "").Links
		for _, m := range d.Class.Students {
			v.Students = append(v.Students, pageLink{Address: classURL(d.Class.ID) + "/students/" + m.Person.ID + "/results.pdf", Words: m.Person.Shown()})
		}
	}
	v.Out = []pageLink{
		{Address: at + "/report.pdf" + query, Words: "Report, PDF"},
		{Address: at + "/results.csv" + query, Words: "Table of all results, CSV"},
		{Address: at + "/statements.json" + query, Words: "Statements for a learning record store, xAPI"},
	}
	v.Teach, _ = d.Set.TeachAgain()
	if d.Set.Unnamed > 0 {
		v.Remarks = append(v.Remarks, counted(d.Set.Unnamed, "answer is left out, as its rig is no longer kept.", "answers are left out, as their rigs are no longer kept."))
	}
	if n := d.Hidden(); n > 0 {
		v.Remarks = append(v.Remarks, "NOT FOR STUDENTS: of "+counted(n, "version", "versions")+" the key was not shown yet, and this page, its report, its table and its statements say what is planted there.")
	}
	if d.Left > 0 {
		v.Remarks = append(v.Remarks, counted(d.Left, "class is left out, as you are a student in it.", "classes are left out, as you are a student in them."))
	}
	v.tables(d)
	g := d.Set.Agreement()
	v.Graders = g.Words()
	if len(d.Set.Sittings) == 0 && len(d.Looks) == 0 {
		return v, nil
	}
	var err error
	if v.Curve, err = resultsPicture(d.Learning(180, 90)); err != nil {
		return nil, err
	}
	heat, err := d.Heat(shownMaps)
	if err != nil {
		return nil, err
	}
	for i := range heat {
		m := resultsMap{Title: heat[i].Name}
		if m.Picture, err = resultsPicture(heat[i].Map(180, 130)); err != nil {
			return nil, err
		}
		v.Maps = append(v.Maps, m)
	}
	return v, nil
}

// resultsPicture is a picture of ours within a page.
func resultsPicture(p *draw.Picture) (template.HTML, error) {
	text, err := svg.String(p)
	return template.HTML(text), err // our own drawing, its texts escaped
}

// tables words the tables of a page.
func (v *resultsView) tables(d *app.ResultDesk) {
	add := func(title, note string, head []string, rows [][]string, of int) {
		if of == 0 {
			return
		}
		t := resultsTable{Title: title, Note: note, Head: head, Rows: rows}
		t.Rows = rows[:min(len(rows), shownResults)]
		t.More = of - len(t.Rows)
		v.Tables = append(v.Tables, t)
	}
	drilled := d.FalseCalls()
	lines := func(title, note, what string, list report.Lines) {
		var rows [][]string
		for i := range list {
			l := &list[i]
			row := []string{results.LineName(l), l.Words(), l.TellsWords(), l.TimeWords()}
			if drilled != nil {
				row = append(row, drilled(l))
			}
			rows = append(rows, row)
			if len(rows) == shownResults {
				break
			}
		}
		head := []string{what, "Found", "Tells students apart", "Time until found"}
		if drilled != nil {
			head = append(head, "False calls in drills")
		}
		add(title, note, head, rows, len(list))
	}
	lines("By checkpoint", "What several checkpoints ask about counts for the first of them.", "Checkpoint", d.Set.ByCheckpoint())
	lines("By deficiency, the most missed first", "Wherever on whichever load it was planted. Those with too few results come last, in no order.", "Deficiency", d.Set.ByItem())
	lines("By kind of part", "", "Kind of part", d.Set.ByKind())
	var rows [][]string
	for _, l := range d.Set.ByLane() {
		rows = append(rows, []string{d.LaneTitle(l.Lane), l.Words()})
	}
	add("False calls on lanes", "", []string{"Lane", "False calls"}, rows, len(rows))
	rows = nil
	if d.Class != nil {
		versions := d.Set.Versions()
		slices.SortStableFunc(versions, func(a, b report.VersionLine) int {
			return cmp.Compare(d.VersionTitle(a.Version), d.VersionTitle(b.Version))
		})
		for i := range versions {
			x := &versions[i]
			rows = append(rows, []string{d.VersionTitle(x.Version), x.Words(), x.Reliability()})
		}
		add("Versions", "Reliability is how far the version tells students apart, by KR-20: 0 not at all, 1 wholly. A version of few deficiencies has a low one.",
			[]string{"Version", "Found", "Reliability"}, rows, len(rows))
		rows = nil
		equal := report.Equal(versions)
		for i := range equal {
			e := &equal[i]
			rows = append(rows, []string{d.VersionTitle(e.A.Version), d.VersionTitle(e.B.Version), e.Words()})
		}
		add("How equal the versions of a lane are", "", []string{"First", "Second", "Difference"}, rows, len(rows))
		return
	}
	classes := d.Set.ByClass()
	for i := len(classes) - 1; i >= 0; i-- {
		c := &classes[i]
		rows = append(rows, []string{d.ClassName(c.Class), c.At.Format(time.DateOnly), c.FoundWords(), c.Words()})
	}
	add("Class after class, the newest first", "Classes differ in more than what they learnt: lanes, plantings and people are others.", []string{"Class", "First run", "Found", "Against the class before it"}, rows, len(rows))
}
