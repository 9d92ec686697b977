package web

import (
	"errors"
	"fmt"
	"html/template"
	"io/fs"
	"math"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/teach"
	"hangtrue/internal/engine/teach/report"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/picture"
)

// drillsView is where a drill begins.
type drillsView struct {
	frame
	Rigs     []option
	Pictures []option
	Seconds  []option
	Least    int
	Most     int
	Fields   map[string]string
	Teaches  bool // may do it with a class
	Due      string
	Boxes    []drillBox
	Worst    []string
	All      string
	Past     []drillPast
}

type drillBox struct {
	Number, Count int
	Back          string
}

type drillPast struct{ Address, Rig, When, How, Numbers string }

func drillURL(id string) string { return "/drill/" + url.PathEscape(id) }

func (s *Server) drillsPage(w http.ResponseWriter, r *http.Request) error {
	return s.drills(w, r, http.StatusOK, &drillsView{})
}

func (s *Server) drills(w http.ResponseWriter, r *http.Request, status int, v *drillsView) error {
	me := personOf(r)
	p, err := s.School.Practice(r.Context(), me)
	if err != nil {
		return err
	}
	names, err := s.Keeper.Names()
	if err != nil {
		return err
	}
	v.frame = frame{Title: "Drills"}
	v.Least, v.Most, v.Teaches = app.LeastDrill, teach.MostDrillPictures, me.May(people.Teach)
	chosen := r.FormValue("rig")
	for _, n := range names {
		title := n
		if data, err := s.Keeper.Current(n); err == nil {
			if solved := s.solver.solve(data); solved.Rig != nil {
				title = titleOf(solved.Rig)
				if solved.Rig.Invented() {
					title += " (" + invented + ")"
				}
			}
		}
		v.Rigs = append(v.Rigs, option{n, title, n == chosen})
	}
	for _, n := range []int{6, app.UsualDrill, 15, 20, 30} {
		v.Pictures = append(v.Pictures, option{fmt.Sprint(n), fmt.Sprint(n), n == app.UsualDrill})
	}
	for _, n := range []struct {
		seconds int
		words   string
	}{{0, "no clock"}, {60, "60 seconds a picture"}, {30, "30 seconds a picture"}, {20, "20 seconds a picture"}, {10, "10 seconds a picture"}} {
		v.Seconds = append(v.Seconds, option{fmt.Sprint(n.seconds), n.words, n.seconds == 30})
	}
	if n := len(p.Boxes); n > 0 {
		for k := 1; k <= 5; k++ {
			v.Boxes = append(v.Boxes, drillBox{k, p.Boxes[k], []string{"the next day", "after 2 days", "after 4 days", "after 8 days", "after 16 days"}[k-1]})
		}
		v.Due = counted(p.Due, "thing comes back today", "things come back today")
	}
	for _, x := range p.Worst[:min(8, len(p.Worst))] {
		v.Worst = append(v.Worst, capital(x.Text))
	}
	if p.All.Hits.Of+p.All.False.Of > 0 {
		v.All = drillNumbers(&p.All)
	}
	for i := range p.Drills {
		x := &p.Drills[i]
		past := drillPast{Address: drillURL(x.ID), Rig: x.Rig, When: s.when(x.Made), Numbers: drillNumbers(&x.Detecting)}
		switch {
		case !x.Over:
			past.How = fmt.Sprintf("not ended: %d of %d answered", x.Answered, len(x.Pictures))
		case x.Shared:
			past.How, past.Numbers = "with a class", ""
		default:
			past.How = fmt.Sprintf("%d of %d answered", x.Answered, len(x.Pictures))
		}
		v.Past = append(v.Past, past)
	}
	return s.pages.write(w, status, "drills", v)
}

// drillNumbers says how often right was told from wrong.
func drillNumbers(d *report.Detecting) string {
	if d.Hits.Of+d.False.Of == 0 {
		return ""
	}
	return fmt.Sprintf("of %d with something wrong %d called, %d of them named; of %d as they should be %d called wrong",
		d.Hits.Of, d.Hits.Count, d.Rightly, d.False.Of, d.False.Count)
}

// startDrill makes a drill on the current version of a rig and goes to its first
// station.
func (s *Server) startDrill(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	again := func(err error) error {
		fields := fieldsOf(err)
		if len(fields) == 0 {
			return err
		}
		return s.drills(w, r, http.StatusUnprocessableEntity, &drillsView{Fields: fields})
	}
	name := r.PostFormValue("rig")
	if name == "" {
		return again(&app.Wrong{Field: "rig", Text: "choose a rig"})
	}
	pictures, err := strconv.Atoi(strings.TrimSpace(r.PostFormValue("pictures")))
	if err != nil {
		return again(&app.Wrong{Field: "pictures", Text: "the number of pictures is no whole number"})
	}
	seconds, err := strconv.Atoi(strings.TrimSpace(r.PostFormValue("seconds")))
	if err != nil {
		return again(&app.Wrong{Field: "seconds", Text: "the seconds for a picture are no whole number"})
	}
	r.SetPathValue("name", name)
	d, err := s.lessonDesk(r)
	if err != nil {
		return err
	}
	if d.lesson == nil {
		return again(&app.Wrong{Field: "rig", Text: "that rig does not hang yet: its text has errors or open counts"})
	}
	ask := app.DrillAsk{Rig: name, RigVersion: d.solved.Version, Pictures: pictures, Seconds: seconds, Shared: r.PostFormValue("shared") == "yes"}
	if d.own != nil && d.own.Sequence != nil {
		ask.Sequence = d.own.Version
	}
	id, err := s.School.StartDrill(r.Context(), personOf(r), ask, d.lesson, d.effects)
	if err != nil {
		return again(err)
	}
	http.Redirect(w, r, drillURL(id), http.StatusSeeOther)
	return nil
}

// drillView is one station of a drill.
type drillView struct {
	frame
	Address    string
	RigTitle   string
	Invented   bool
	At, Count  int // pictures from here, and of how many
	Upto       int
	Station    int
	Place      string
	Checkpoint string
	Heading    string
	Seen       template.HTML // the load from where the student stands
	Items      []drillItemView
	Clock      bool
	Left       int // seconds
	LeftWords  string
	Wrong      string
	Shared     bool
	Lane       string // the lane that this is a run of; "" for a drill
}

type drillItemView struct {
	Number                   int
	Picture                  string // its address
	Call, Which              string // names of its fields
	Parts, Ask, Do, Plan     string
	Choices                  []option
	Fault                    bool // what was typed lacks this one
	CalledRight, CalledWrong bool
	Found, Matters, Did      string // afterwards
	Faulty                   bool
	Said, Verdict            string
	Seconds                  string
	Late                     bool
}

// drillPage shows the station that a student stands at, or how the drill went.
func (s *Server) drillPage(w http.ResponseWriter, r *http.Request) error {
	d, err := s.School.DrillDesk(r.Context(), personOf(r), r.PathValue("drill"))
	if err != nil {
		return drillRefusal(err)
	}
	if d.Over {
		return s.drillEnd(w, d)
	}
	return s.drillStation(w, r, http.StatusOK, d, "")
}

func drillRefusal(err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return refusal{http.StatusNotFound, "Not there", "There is no such drill of yours, or that picture is not shown now."}
	}
	return err
}

func (s *Server) drillStation(w http.ResponseWriter, r *http.Request, status int, d *app.DrillDesk, wrong string) error {
	v, err := s.drillStationView(r, d, drillURL(d.ID), wrong)
	if err != nil {
		return err
	}
	return s.pages.write(w, status, "drill", v)
}

// drillStationView is the station that a student stands at, under an address.
func (s *Server) drillStationView(r *http.Request, d *app.DrillDesk, address, wrong string) (*drillView, error) {
	p := &d.Pictures[d.From]
	v := &drillView{
		Address: address, RigTitle: d.Rig, At: d.From + 1, Upto: d.To, Count: len(d.Pictures), Station: p.Station, Place: p.Place,
		Checkpoint: p.Checkpoint, Heading: p.Title, Clock: d.Limit > 0, Left: max(0, int(math.Ceil(d.Left.Seconds()))), Wrong: wrong, Shared: d.Shared,
	}
	if v.LeftWords = fmt.Sprintf("%d s", v.Left); v.Left > 99 {
		v.LeftWords = app.ClockWords(time.Duration(v.Left) * time.Second)
	}
	var err error
	if v.RigTitle, v.Invented, v.Seen, err = s.drillSight(d, p.At); err != nil {
		return nil, err
	}
	v.frame = frame{Title: fmt.Sprintf("Drill, picture %d of %d – %s", v.At, v.Count, v.RigTitle), Script: "drill.js"}
	for i := d.From; i < d.To; i++ {
		q := &d.Pictures[i]
		x := drillItemView{
			Number: i + 1, Picture: v.Address + "/picture/" + q.Name, Call: "call." + q.Name, Which: "which." + q.Name, Parts: capital(q.Parts), Ask: q.Ask, Do: q.Do, Plan: q.Plan,
		}
		switch r.PostFormValue(x.Call) {
		case callRight:
			x.CalledRight = true
		case callWrong:
			x.CalledWrong = true
		default:
			x.Fault = wrong != ""
		}
		for _, c := range q.Choices {
			x.Choices = append(x.Choices, option{c.State, capital(c.Text), c.State == r.PostFormValue(x.Which)})
		}
		v.Items = append(v.Items, x)
	}
	return v, nil
}

// drillSight draws the load on the ground as it is seen from where the student
// stands. It shows the plan and nothing planted.
func (s *Server) drillSight(d *app.DrillDesk, at [2]float64) (title string, invents bool, seen template.HTML, err error) {
	data, err := s.Keeper.Version(d.Rig, d.RigVersion)
	if err != nil {
		return "", false, "", err
	}
	solved := s.solver.solve(data)
	if solved.Rig == nil {
		return d.Rig, false, "", nil
	}
	low, high := inspect.SceneOf(solved.Rig, nil).Footprint()
	dx, dy := at[0]-(low[0]+high[0])/2, at[1]-(low[1]+high[1])/2
	view := picture.View{Name: "from the station", Azimuth: math.Atan2(dy, dx) / quantity.Degree, Elevation: 18}
	p := picture.Of(solved.Rig, nil, picture.Options{View: view, Ground: true, Width: 120, Height: 90, Small: true})
	p.Title = "The load as it is seen from station " + fmt.Sprint(d.Pictures[min(d.From, len(d.Pictures)-1)].Station)
	seen, err = resultsPicture(p)
	return titleOf(solved.Rig), solved.Rig.Invented(), seen, err
}

// answerDrill takes what is said at a station, or ends the drill.
func (s *Server) answerDrill(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	id, me := r.PathValue("drill"), personOf(r)
	if r.PostFormValue("do") == "end" {
		if err := s.School.StopDrill(r.Context(), me, id); err != nil {
			return drillRefusal(err)
		}
		http.Redirect(w, r, drillURL(id), http.StatusSeeOther)
		return nil
	}
	err := s.School.AnswerDrill(r.Context(), me, id, saidIn(r))
	var wrong *app.Wrong
	if errors.As(err, &wrong) {
		d, err := s.School.DrillDesk(r.Context(), me, id)
		if err != nil {
			return drillRefusal(err)
		}
		return s.drillStation(w, r, http.StatusUnprocessableEntity, d, capital(wrong.Text)+".")
	}
	if err != nil {
		return drillRefusal(err)
	}
	http.Redirect(w, r, drillURL(id), http.StatusSeeOther)
	return nil
}

// saidIn reads what is said of each picture, by the pictures' names.
func saidIn(r *http.Request) map[string]app.DrillSaid {
	said := map[string]app.DrillSaid{}
	for field := range r.PostForm {
		name, ok := strings.CutPrefix(field, "call.")
		if !ok {
			continue
		}
		switch r.PostFormValue(field) {
		case callRight:
			said[name] = app.DrillSaid{}
		case callWrong:
			said[name] = app.DrillSaid{Wrong: true, Choice: r.PostFormValue("which." + name)}
		}
	}
	return said
}

// drillPicture sends a picture of the station that the student stands at.
func (s *Server) drillPicture(w http.ResponseWriter, r *http.Request) error {
	data, err := s.School.DrillPicture(r.Context(), personOf(r), r.PathValue("drill"), r.PathValue("picture"), r.URL.Query().Has("night"))
	if err != nil {
		return drillRefusal(err)
	}
	w.Header().Set("Content-Type", "image/png")
	_, err = w.Write(data)
	return err
}

// drillEndView is how a drill went.
type drillEndView struct {
	frame
	RigTitle string
	Invented bool
	Status   string
	Numbers  string
	Detects  string
	Missed   []drillItemView // missed, or called wrong and right
	Right    []drillItemView
	Open     int // never answered
	Shared   bool
	Lesson   string
}

func (s *Server) drillEnd(w http.ResponseWriter, d *app.DrillDesk) error {
	v := &drillEndView{Open: len(d.Pictures) - len(d.Answers), Shared: d.Shared, Lesson: lessonURL(d.Rig, "", 0, 0)}
	var err error
	if v.RigTitle, v.Invented, _, err = s.drillSight(d, d.Pictures[0].At); err != nil {
		return err
	}
	v.frame = frame{Title: "How the drill went – " + v.RigTitle}
	var looks []report.Look
	last := time.Duration(0)
	for i := range d.Answers {
		a := &d.Answers[i]
		p := &d.Pictures[a.N]
		x := drillItemView{
			Number: a.N + 1, Picture: drillURL(d.ID) + "/picture/" + p.Name, Parts: capital(p.Parts), Ask: p.Ask, Found: p.Found, Matters: p.Matters, Did: p.Did, Late: a.Late, Faulty: p.Faulty(),
			Seconds: fmt.Sprintf("%.0f s", (a.After - last).Seconds()),
		}
		if i+1 < len(d.Answers) && d.Answers[i+1].After != a.After {
			last = a.After
		}
		x.Said = "as it should be"
		if a.Wrong {
			x.Said = "something is wrong"
			for _, c := range p.Choices {
				if c.State == a.Choice {
					x.Said = "wrong: " + c.Text
				}
			}
		}
		switch {
		case a.Late:
			x.Verdict = "After the time, so it does not count."
		case p.Faulty() && !a.Wrong:
			x.Verdict = "Missed."
		case !p.Faulty() && a.Wrong:
			x.Verdict = "A false call: nothing was wrong."
		case p.Faulty() && !a.Named(p):
			x.Verdict = "Called, and something else named."
		case p.Faulty():
			x.Verdict = "Found."
		default:
			x.Verdict = "Told rightly."
		}
		if !a.Late {
			looks = append(looks, report.Look{Faulty: p.Faulty(), Called: a.Wrong, Which: a.Named(p)})
		}
		if a.Right(p) && (!p.Faulty() || a.Named(p)) && !a.Late {
			v.Right = append(v.Right, x)
		} else {
			v.Missed = append(v.Missed, x)
		}
	}
	if t := report.Detect(looks, func(*report.Look) (string, string) { return "", "" }); len(t) > 0 {
		v.Numbers, v.Detects = capital(drillNumbers(&t[0])), t[0].Words()
	}
	v.Result = true // what each would have done is a result
	if data, err := s.Keeper.Version(d.Rig, d.RigVersion); err == nil {
		if solved := s.solver.solve(data); solved.Rig != nil {
			v.Status = capital(solved.Rig.Status().String())
		}
	}
	return s.pages.write(w, http.StatusOK, "drill-end", v)
}
