package web

import (
	"fmt"
	"html/template"
	"net/http"
	"slices"
	"strings"

	"hangtrue/internal/engine/teach/report"
	"hangtrue/internal/face/app"
)

// modelsView is the page for whoever builds the tests: the Rasch model of the
// lanes, and detection in the drills.
type modelsView struct {
	frame
	Of       string
	Back     string
	Links    []pageLink
	Invented bool
	Why      string // there is no model
	People   string
	Map      template.HTML
	Items    [][]string
	More     int
	Apart    [][]string // items without an estimate, and why
	Students [][]string
	Drills   [][]string
	Stations [][]string
	Looks    string
}

func (s *Server) modelsPage(w http.ResponseWriter, r *http.Request) error {
	d, at, err := s.resultsDesk(r)
	if err != nil {
		return err
	}
	v := &modelsView{Of: capital(d.Title()), Back: at, Invented: d.Invented}
	v.frame = frame{Title: "For whoever builds the tests – " + v.Of}
	if d.Class != nil {
		v.Links = newClassHead(&d.Class.Class, "").Links
	}
	if err := v.model(d); err != nil {
		return err
	}
	v.detection(d)
	return s.pages.write(w, http.StatusOK, "models", v)
}

func (v *modelsView) model(d *app.ResultDesk) error {
	m := d.Fit()
	if v.Why = m.Why; v.Why != "" {
		return nil
	}
	v.People = counted(m.People, "student", "students")
	var err error
	if v.Map, err = resultsPicture(d.ItemMap(m, 200)); err != nil {
		return err
	}
	items := slices.Clone(m.Items)
	slices.SortStableFunc(items, func(a, b report.ModelItem) int {
		switch {
		case a.Estimated != b.Estimated:
			if a.Estimated {
				return -1
			}
			return 1
		case !a.Estimated || a.Difficulty == b.Difficulty:
			return 0
		case a.Difficulty > b.Difficulty:
			return -1
		}
		return 1
	})
	for i := range items {
		x := &items[i]
		if !x.Estimated {
			v.Apart = append(v.Apart, []string{x.Text, x.Why})
			continue
		}
		v.Items = append(v.Items, []string{
			x.Text, fmt.Sprintf("%.2f ± %.2f", x.Difficulty, x.SE), fmt.Sprint(x.Asked), fmt.Sprintf("%.2f, %.2f", x.Infit, x.Outfit), x.FitWords(),
		})
	}
	if len(v.Items) > shownResults {
		v.More = len(v.Items) - shownResults
		v.Items = v.Items[:shownResults]
	}
	v.Apart = v.Apart[:min(shownResults, len(v.Apart))]
	if d.Class == nil {
		return nil // a school's students are no list to look through
	}
	for _, p := range m.Who {
		if p.Asked == 0 {
			continue
		}
		v.Students = append(v.Students, []string{d.Name(p.Student), fmt.Sprintf("%d of %d", p.Found, p.Asked), fmt.Sprintf("%.2f ± %.2f", p.Theta, p.SE), p.FitWords()})
	}
	slices.SortFunc(v.Students, func(a, b []string) int { return strings.Compare(a[0], b[0]) })
	return nil
}

// detection words d′ and c, which only drills can give: there every picture has
// a yes or no.
func (v *modelsView) detection(d *app.ResultDesk) {
	row := func(x *report.Detecting, name string) []string {
		called, cried := fmt.Sprintf("%d of %d, %d of them named", x.Hits.Count, x.Hits.Of, x.Rightly), fmt.Sprintf("%d of %d", x.False.Count, x.False.Of)
		return []string{name, called, cried, x.Words()}
	}
	all := report.Detect(d.Looks, func(*report.Look) (string, string) { return "", "" })
	if len(all) == 0 {
		return
	}
	v.Looks = counted(len(d.Looks), "picture was judged", "pictures were judged")
	if d.Newest {
		v.Looks += fmt.Sprintf(", in the newest %d drills", app.MostLooked)
	}
	v.Drills = append(v.Drills, row(&all[0], "All together"))
	if d.Class != nil {
		var rows [][]string
		for _, x := range report.Detect(d.Looks, func(l *report.Look) (string, string) { return l.Student, "" }) {
			rows = append(rows, row(&x, d.Name(x.Key)))
		}
		slices.SortFunc(rows, func(a, b []string) int { return strings.Compare(a[0], b[0]) })
		v.Drills = append(v.Drills, rows...)
	}
	for _, x := range report.Detect(d.Looks, func(l *report.Look) (string, string) { return l.Checkpoint, l.Title }) {
		v.Stations = append(v.Stations, row(&x, x.Text+" ("+x.Key+")"))
	}
	v.Stations = v.Stations[:min(shownResults, len(v.Stations))]
}
