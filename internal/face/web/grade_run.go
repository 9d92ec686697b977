package web

import (
	"fmt"
	"math"
	"net/http"

	"hangtrue/internal/engine/teach"
	"hangtrue/internal/face/app"
)

// resultRow is a run in a list of results.
type resultRow struct {
	Address, Student, StudentAddress, Group string
	Lane, When, Outcome, Numbers, Grader    string
	Again                                   string // what it came to when graded again
	Odd                                     string
	Second, Invented                        bool
	Attempt                                 int
}

// onOwnScreen stands for the grader of a lane in pictures that a student ran.
const onOwnScreen = "the program, on the student’s own screen"

func (s *Server) resultRow(x *app.RunResult, names map[string]string, lane, odd string) resultRow {
	row := resultRow{
		Address: "/runs/" + x.First.Run, Student: names[x.First.Student], Lane: lane, When: s.when(x.First.At), Outcome: x.First.Outcome.Words(),
		Numbers: app.NumbersWords(&x.First), Grader: names[x.First.Grader], Odd: odd, Second: x.First.Second,
	}
	if x.First.Grader == x.First.Student {
		row.Grader = onOwnScreen
	}
	if x.Again() {
		row.Again = fmt.Sprintf("graded again (%s): %s. %s", x.Last.Why, x.Last.Outcome.Words(), app.NumbersWords(&x.Last))
	}
	return row
}

type classResultsView struct {
	classHead
	Rows      []resultRow
	Open      []doneRun
	Agreement []string
}

// agreementWords says how far graders agree.
func agreementWords(x *app.ClassResults) []string {
	if x.Seconds == 0 {
		return nil
	}
	out := []string{fmt.Sprintf("Graded a second time, unseen: %s; %d can be held against a first grading.", counted(x.Seconds, "run", "runs"), x.Pairs)}
	switch a := x.Agreement; {
	case a == nil:
	case math.IsNaN(a.Kappa):
		out = append(out, fmt.Sprintf("Over %s the two agree in %.0f %%. Beyond chance: cannot tell, as chance alone would agree wholly.", counted(a.N, "item", "items"), 100*a.Observed))
	default:
		out = append(out, fmt.Sprintf("Over %s the two agree in %.0f %%. Beyond chance: Cohen’s kappa %.2f, 95 %% interval %.2f to %.2f.", counted(a.N, "item", "items"), 100*a.Observed, a.Kappa, a.Low, a.High))
		if a.N < 30 {
			out = append(out, "So few items say little.")
		}
	}
	return out
}

func (s *Server) classResultsPage(w http.ResponseWriter, r *http.Request) error {
	x, err := s.School.ClassResults(r.Context(), personOf(r), r.PathValue("class"))
	if err != nil {
		return classRefusal(err)
	}
	names, err := s.names(r)
	if err != nil {
		return err
	}
	v := &classResultsView{classHead: newClassHead(&x.Class.Class, "Results"), Agreement: agreementWords(x)}
	lanes, invented := map[string]string{}, map[string]bool{}
	for _, l := range x.Lanes {
		lanes[l.ID], invented[l.ID] = l.Setup.Title, l.Setup.Invented
	}
	count := map[string]int{}
	for i := range x.Runs {
		y := &x.Runs[i]
		row := s.resultRow(y, names, lanes[y.First.Lane], x.Odd[y.First.Run])
		key := y.First.Student + " " + y.First.Lane
		count[key]++
		row.Attempt, row.Invented = count[key], invented[y.First.Lane]
		row.StudentAddress = v.ClassAddress + "/students/" + y.First.Student
		if m, ok := x.Class.Student(y.First.Student); ok {
			row.Group = m.Group
		}
		v.Rows = append(v.Rows, row)
	}
	for _, o := range x.Open {
		v.Open = append(v.Open, doneRun{Address: "/runs/" + o.ID, Student: names[o.Student], Outcome: lanes[o.Lane], Numbers: "since " + s.when(o.Received)})
	}
	return s.pages.write(w, http.StatusOK, "class-results", v)
}

type runView struct {
	classHead
	Address, Lane, LaneAddress, Version string
	VersionNumber                       int
	Status                              string
	Invented                            bool
	Student, StudentAddress, Grader     string
	Started, Odd                        string
	Second, Open                        bool
	Results                             []gradedRow
	Calls                               []callRow
	Items                               []gradeItem
	Entries                             []noteRow
	Earlier                             []earlierRow
	Unplaced                            bool
	Stopped, Mine                       bool
	ID                                  string
	Grade                               string
}

type gradedRow struct {
	Outcome, Numbers, At, Why string
	Reasons                   []string
}

type earlierRow struct{ Address, Student, When, Review string }

func (s *Server) runPage(w http.ResponseWriter, r *http.Request) error {
	return s.run(w, r, http.StatusOK, notice{})
}

func (s *Server) run(w http.ResponseWriter, r *http.Request, status int, words notice) error {
	me := personOf(r)
	d, err := s.School.RunDesk(r.Context(), me, r.PathValue("run"))
	if err != nil {
		return classRefusal(err)
	}
	room, err := s.School.ClassRoom(r.Context(), me, d.RunSummary.Class)
	if err != nil {
		return classRefusal(err)
	}
	names, err := s.names(r)
	if err != nil {
		return err
	}
	v := &runView{classHead: newClassHead(&room.Class, "")}
	v.notice = words
	v.frame = frame{Title: d.Student.Shown() + ", " + d.VersionDesk.Lane.Setup.Title, Result: true}
	v.ID, v.Mine = d.ID, d.RunSummary.Grader == me.ID
	v.Address, v.Lane, v.LaneAddress = "/runs/"+d.ID, d.VersionDesk.Lane.Setup.Title, "/lanes/"+d.VersionDesk.Lane.ID
	v.Version, v.VersionNumber, v.Grade = "/versions/"+d.VersionDesk.Version.ID, d.VersionDesk.Version.Number, "/grade/"+d.VersionDesk.Version.ID
	v.Status, v.Invented = capital(d.Solved.Rig.Status().String()), d.Solved.Rig.Invented()
	v.Student, v.StudentAddress, v.Grader = d.Student.Shown(), v.ClassAddress+"/students/"+d.Student.ID, d.Grader.Shown()
	if d.RunSummary.Grader == d.RunSummary.Student {
		v.Grader = onOwnScreen
	}
	v.Started, v.Odd, v.Second, v.Open, v.Stopped = s.when(d.RunSummary.Received), d.Odd, d.Second, !d.Ended, d.State.Stopped()
	for _, x := range d.Results {
		g := gradedRow{Outcome: x.Outcome.Words(), Numbers: app.NumbersWords(&x), At: s.when(x.At), Why: x.Why}
		g.Reasons = append(g.Reasons, x.Reasons...)
		v.Results = append(v.Results, g)
	}
	undone := map[string]bool{}
	for _, c := range d.State.Calls {
		if c.Kind == teach.CallUndone {
			undone[c.Undoes] = true
		}
		v.Unplaced = v.Unplaced || c.Kind == teach.CallTrue
	}
	for _, c := range d.State.Calls {
		row := callRow{c.ID, app.ClockWords(c.After), entryWords(c, d.Text)}
		if undone[c.ID] {
			row.Words += " (taken back)"
		}
		if c.Kind != teach.CallUndone {
			v.Calls = append(v.Calls, row)
		}
	}
	var last *teach.Result
	if n := len(d.Results); n > 0 {
		last = &d.Results[n-1]
	}
	for _, i := range d.Items() {
		item := gradeItem{ID: i.ID, Text: capital(i.Text), Station: i.Station, Place: i.Place}
		if last != nil {
			if ms, ok := last.Found[i.ID]; ok {
				item.Found, item.At = true, clockOf(ms)
			}
		}
		v.Items = append(v.Items, item)
	}
	for _, e := range d.Entries {
		text := e.Text
		if e.Deficiency != "" {
			text = d.Text(e.Deficiency) + ": " + text
		}
		v.Entries = append(v.Entries, noteRow{e.ID, s.when(e.At), names[e.By], "", string(e.Kind), text})
	}
	for _, e := range d.Earlier {
		v.Earlier = append(v.Earlier, earlierRow{"/runs/" + e.ID, names[e.Student], s.when(e.Received), d.Reviewed[e.ID].Text})
	}
	return s.pages.write(w, status, "run", v)
}

func (s *Server) changeRun(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	err := s.School.RecordOnRun(r.Context(), personOf(r), r.PathValue("run"), teach.EntryKind(r.PostFormValue("do")), r.PostFormValue("text"))
	words, status, err := noticeOf(err, "Recorded. The first result stays.")
	if err != nil {
		return err
	}
	return s.run(w, r, status, words)
}

type myResultsView struct {
	frame
	Rows []resultRow
}

// myResultsPage is a student's own results: whether the rule was met and the
// numbers, and nothing of what was planted.
func (s *Server) myResultsPage(w http.ResponseWriter, r *http.Request) error {
	list, err := s.School.MyResults(r.Context(), personOf(r))
	if err != nil {
		return classRefusal(err)
	}
	v := &myResultsView{frame: frame{Title: "My results"}}
	for _, x := range list {
		row := resultRow{Lane: x.Lane, Invented: x.Invented, Group: x.Class, When: s.when(x.At), Outcome: x.Outcome.Words()}
		row.Numbers = fmt.Sprintf("Found %d of %d, %s, in %s.", x.Found, x.Of, counted(x.False, "false call", "false calls"), app.ClockWords(x.Took))
		if x.Again {
			row.Again = "graded again"
		}
		v.Rows = append(v.Rows, row)
	}
	return s.pages.write(w, http.StatusOK, "my-results", v)
}

func (s *Server) myData(w http.ResponseWriter, r *http.Request) error {
	data, err := s.School.PersonData(r.Context(), personOf(r), personOf(r).ID)
	if err != nil {
		return classRefusal(err)
	}
	return sendData(w, "my-data.json", data)
}
