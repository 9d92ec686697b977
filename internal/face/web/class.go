package web

import (
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"net/url"
	"time"

	"hangtrue/internal/engine/calendar"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/teach"
	"hangtrue/internal/face/app"
)

// classRefusal makes of an error of a use case what its page tells.
func classRefusal(err error) error {
	var no *app.NotAllowed
	var wrong *app.Wrong
	switch {
	case err == nil:
		return nil
	case errors.As(err, &no):
		return refusal{http.StatusForbidden, "Not for you", capital(no.Error()) + ". Who is a student of the class sees nothing of what is planted in it."}
	case errors.Is(err, fs.ErrNotExist):
		return refusal{http.StatusNotFound, "Not there", "There is no such class, lane, version or run."}
	case errors.As(err, &wrong):
		return refusal{http.StatusUnprocessableEntity, "Not done", capital(wrong.Text) + "."}
	}
	return err
}

// notice is what a page says first after something was done or refused.
type notice struct {
	Notice string
	Wrong  bool
	Fields map[string]string
}

// noticeOf turns what a user can mend into a notice; other errors stay errors.
func noticeOf(err error, done string) (notice, int, error) {
	fields := fieldsOf(err)
	if len(fields) == 0 {
		return notice{Notice: done, Fields: fields}, http.StatusOK, classRefusal(err)
	}
	text := ""
	for _, key := range sortedKeys(fields) {
		if text != "" {
			text += " "
		}
		text += fields[key]
	}
	return notice{Notice: "Not done: " + text, Wrong: true, Fields: fields}, http.StatusUnprocessableEntity, nil
}

// classHead is the head of every page of a class.
type classHead struct {
	frame
	notice
	ClassName, ClassAddress string
	Days                    string
	Links                   []pageLink
}

func classURL(id string) string { return "/classes/" + url.PathEscape(id) }

func newClassHead(c *teach.Class, here string) classHead {
	at := classURL(c.ID)
	h := classHead{frame: frame{Title: c.Name}, ClassName: c.Name, ClassAddress: at}
	switch {
	case c.From != "" && c.Until != "":
		h.Days = fmt.Sprintf("%s to %s", c.From, c.Until)
	case c.From != "":
		h.Days = "from " + string(c.From)
	}
	for _, l := range []pageLink{{"", "Students", false}, {"/lanes", "Lanes", false}, {"/rotation", "Test day", false}, {"/board", "Board", false}, {"/results", "Results", false}, {"/statistics", "What they say", false}} {
		h.Links = append(h.Links, pageLink{at + l.Address, l.Words, l.Words == here})
	}
	if here != "" {
		h.Title = here + " – " + c.Name
	}
	return h
}

type classesView struct {
	frame
	notice
	Classes           []classRow
	Name, From, Until string
}

type classRow struct{ Address, Name, Days, Ended string }

func (s *Server) classesPage(w http.ResponseWriter, r *http.Request) error {
	return s.classList(w, r, http.StatusOK, &classesView{})
}

func (s *Server) classList(w http.ResponseWriter, r *http.Request, status int, v *classesView) error {
	list, err := s.School.Classes(r.Context(), personOf(r))
	if err != nil {
		return classRefusal(err)
	}
	v.frame = frame{Title: "Classes"}
	for i := range list {
		h := newClassHead(&list[i], "")
		v.Classes = append(v.Classes, classRow{h.ClassAddress, list[i].Name, h.Days, s.when(list[i].Ended)})
	}
	return s.pages.write(w, status, "class-list", v)
}

func (s *Server) addClass(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	c := teach.Class{Name: r.PostFormValue("name"), From: calendar.Day(r.PostFormValue("from")), Until: calendar.Day(r.PostFormValue("until"))}
	id, err := s.School.AddClass(r.Context(), personOf(r), c)
	words, status, err := noticeOf(err, "")
	if err != nil {
		return err
	}
	if words.Wrong {
		return s.classList(w, r, status, &classesView{notice: words, Name: c.Name, From: string(c.From), Until: string(c.Until)})
	}
	http.Redirect(w, r, classURL(id), http.StatusSeeOther)
	return nil
}

type classView struct {
	classHead
	From, Until string
	Day         string
	Students    []studentRow
	Left        []studentRow
	Presences   []teach.Presence
	Roster      string
	Groups      []string
	Ended       string
	Outside     int  // so many cannot sign in yet
	Manage      bool // and this visitor may let them in
	Here        bool // but links would work on this machine only
}

type studentRow struct {
	ID, Address, Name, Group, Contact string
	State                             teach.Presence
}

func (s *Server) classPage(w http.ResponseWriter, r *http.Request) error {
	return s.class(w, r, http.StatusOK, notice{})
}

func (s *Server) class(w http.ResponseWriter, r *http.Request, status int, words notice) error {
	me := personOf(r)
	room, err := s.School.ClassRoom(r.Context(), me, r.PathValue("class"))
	if err != nil {
		return classRefusal(err)
	}
	v := &classView{classHead: newClassHead(&room.Class, "Students"), From: string(room.From), Until: string(room.Until), Presences: teach.Presences, Groups: room.Groups(), Ended: s.when(room.Ended)}
	v.notice, v.Manage, v.Here = words, me.May(people.ManagePeople), s.hereOnly(r)
	day := s.today()
	if text := r.FormValue("day"); text != "" {
		if d, err := calendar.Parse(text); err == nil {
			day = d
		}
	}
	v.Day = string(day)
	there, err := s.School.AttendedOn(r.Context(), me, room.ID, day)
	if err != nil {
		return classRefusal(err)
	}
	for _, m := range room.Students {
		row := studentRow{
			ID: m.Person.ID, Address: v.ClassAddress + "/students/" + m.Person.ID, Name: m.Person.Shown(), Group: m.Group, Contact: m.Person.Contact, State: there[m.Person.ID],
		}
		if m.Left {
			v.Left = append(v.Left, row)
		} else {
			v.Students = append(v.Students, row)
			if !m.SignsIn() {
				v.Outside++
			}
		}
	}
	return s.pages.write(w, status, "class", v)
}

func (s *Server) changeClass(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	me, id := personOf(r), r.PathValue("class")
	var err error
	done := ""
	switch r.PostFormValue("do") {
	case "students":
		groups, states := map[string]string{}, map[string]teach.Presence{}
		for key := range r.PostForm {
			if len(key) > 6 && key[:6] == "group-" {
				groups[key[6:]] = r.PostFormValue(key)
			}
			if len(key) > 6 && key[:6] == "there-" && r.PostFormValue(key) != "" {
				states[key[6:]] = teach.Presence(r.PostFormValue(key))
			}
		}
		day := calendar.Day(r.PostFormValue("day"))
		if err = s.School.MoveStudents(r.Context(), me, id, groups); err == nil && len(states) > 0 {
			err = s.School.Attend(r.Context(), me, id, day, states)
		}
		done = "Kept: groups, and who was there on " + string(day) + "."
	case "class":
		var room *app.ClassRoom
		if room, err = s.School.ClassRoom(r.Context(), me, id); err == nil {
			c := room.Class
			c.Name, c.From, c.Until = r.PostFormValue("name"), calendar.Day(r.PostFormValue("from")), calendar.Day(r.PostFormValue("until"))
			err = s.School.SetClass(r.Context(), me, c)
		}
		done = "The class is changed."
	case "end", "reopen":
		var room *app.ClassRoom
		if room, err = s.School.ClassRoom(r.Context(), me, id); err == nil {
			c := room.Class
			if c.Ended = s.Now(); r.PostFormValue("do") == "reopen" {
				c.Ended = time.Time{}
			}
			err = s.School.SetClass(r.Context(), me, c)
		}
		done = "Noted. A class that has ended is not offered for grading."
	case "leave":
		err = s.School.LeaveClass(r.Context(), me, id, r.PostFormValue("student"))
		done = "Noted as having left the class. Results stay."
	default:
		return refusal{http.StatusBadRequest, "Not understood", "The page asked for something that it cannot do."}
	}
	words, status, err := noticeOf(err, done)
	if err != nil {
		return err
	}
	return s.class(w, r, status, words)
}

type rosterView struct {
	classHead
	Lines    []app.RosterLine
	Problems []teach.RosterProblem
	Text     string
}

// rosterPage shows what taking a roster in would do, and takes it in when asked
// for a second time.
func (s *Server) rosterPage(w http.ResponseWriter, r *http.Request) error {
	text, err := uploaded(r, "file", "roster")
	if err != nil {
		return err
	}
	me, id := personOf(r), r.PathValue("class")
	if r.PostFormValue("do") == "take" {
		n, err := s.School.ImportRoster(r.Context(), me, id, text)
		words, status, err := noticeOf(err, counted(n, "student", "students")+" taken in.")
		if err != nil {
			return err
		}
		return s.class(w, r, status, words)
	}
	room, err := s.School.ClassRoom(r.Context(), me, id)
	if err != nil {
		return classRefusal(err)
	}
	p, err := s.School.PreviewRoster(r.Context(), me, id, text)
	if err != nil {
		return classRefusal(err)
	}
	v := &rosterView{classHead: newClassHead(&room.Class, "Roster"), Lines: p.Lines, Problems: p.Problems, Text: string(text)}
	status := http.StatusOK
	if len(p.Problems) > 0 {
		status = http.StatusUnprocessableEntity
	}
	return s.pages.write(w, status, "class-roster", v)
}

type studentView struct {
	classHead
	ID, Name, Contact, Group, Address string
	Left                              bool
	Named, Removes                    bool // somebody who may can remove the name
	Attendance                        []attendedRow
	Notes                             []noteRow
	Entries                           []noteRow
	Results                           []resultRow
}

type attendedRow struct{ Day, State, Class string }

type noteRow struct{ ID, At, By, Class, Kind, Text string }

func (s *Server) studentPage(w http.ResponseWriter, r *http.Request) error {
	return s.student(w, r, http.StatusOK, notice{})
}

func (s *Server) student(w http.ResponseWriter, r *http.Request, status int, words notice) error {
	me := personOf(r)
	room, err := s.School.ClassRoom(r.Context(), me, r.PathValue("class"))
	if err != nil {
		return classRefusal(err)
	}
	m, ok := room.Student(r.PathValue("student"))
	if !ok {
		return refusal{http.StatusNotFound, "Not there", "That person is not in this class."}
	}
	h, err := s.School.History(r.Context(), me, m.Person.ID)
	if err != nil {
		return classRefusal(err)
	}
	names, err := s.names(r)
	if err != nil {
		return err
	}
	v := &studentView{classHead: newClassHead(&room.Class, ""), ID: m.Person.ID, Name: m.Person.Shown(), Contact: m.Person.Contact, Group: m.Group, Left: m.Left}
	v.notice, v.Title = words, v.Name
	v.Address = v.ClassAddress + "/students/" + v.ID
	v.Named, v.Removes = m.Person.Name != "", me.May(people.ManagePeople)
	for _, a := range h.Attendance {
		v.Attendance = append(v.Attendance, attendedRow{string(a.Day), string(a.State), h.Classes[a.Class].Name})
	}
	for _, n := range h.Notes {
		v.Notes = append(v.Notes, noteRow{n.ID, s.when(n.At), names[n.By], h.Classes[n.Class].Name, "", n.Text})
	}
	for _, e := range h.Entries {
		v.Entries = append(v.Entries, noteRow{e.ID, s.when(e.At), names[e.By], h.Classes[e.Class].Name, string(e.Kind), e.Text})
	}
	for _, x := range app.OfRuns(h.Results) {
		if !x.First.Second {
			row := s.resultRow(&x, names, h.Lanes[x.First.Lane].Setup.Title, "")
			row.Invented = h.Lanes[x.First.Lane].Setup.Invented
			v.Results = append(v.Results, row)
		}
	}
	return s.pages.write(w, status, "student", v)
}

// names says what everybody is called, by id.
func (s *Server) names(r *http.Request) (map[string]string, error) {
	all, err := s.School.People.All(r.Context(), personOf(r))
	if err != nil {
		return nil, classRefusal(err)
	}
	out := map[string]string{}
	for i := range all {
		out[all[i].ID] = all[i].Shown()
	}
	return out, nil
}

func (s *Server) changeStudent(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	me, class, student := personOf(r), r.PathValue("class"), r.PathValue("student")
	var err error
	done := ""
	switch r.PostFormValue("do") {
	case "note":
		err = s.School.AddNote(r.Context(), me, class, student, r.PostFormValue("text"))
		done = "The note is kept, until it is taken away or the name is removed."
	case "unnote":
		err = s.School.RemoveNote(r.Context(), me, r.PostFormValue("note"))
		done = "The note is gone."
	case "retrain":
		err = s.School.Retrain(r.Context(), me, class, student, r.PostFormValue("text"))
		done = "The retraining is recorded."
	case "remove":
		err = s.School.People.RemoveName(r.Context(), me, student)
		done = "The name, the notes and who was there are gone. Results stay without the name."
	default:
		return refusal{http.StatusBadRequest, "Not understood", "The page asked for something that it cannot do."}
	}
	words, status, err := noticeOf(err, done)
	if errors.Is(err, people.ErrLastChief) {
		words, status, err = notice{Notice: "Not done: " + people.ErrLastChief.Error() + ".", Wrong: true}, http.StatusConflict, nil
	}
	if err != nil {
		return err
	}
	return s.student(w, r, status, words)
}

func sendData(w http.ResponseWriter, file string, data []byte) error {
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Content-Disposition", "attachment; filename*=UTF-8''"+url.PathEscape(file))
	_, err := w.Write(data)
	return err
}

func (s *Server) studentData(w http.ResponseWriter, r *http.Request) error {
	data, err := s.School.PersonData(r.Context(), personOf(r), r.PathValue("student"))
	if err != nil {
		return classRefusal(err)
	}
	return sendData(w, "person-data.json", data)
}

func (s *Server) studentSheet(w http.ResponseWriter, r *http.Request) error {
	d, err := s.School.ClassReport(r.Context(), personOf(r), r.PathValue("class"))
	if err != nil {
		return classRefusal(err)
	}
	data, err := d.StudentPaper(r.Context(), r.PathValue("student"), s.School.title(), s.when, s.resultsStamp())
	if err != nil {
		return classRefusal(err)
	}
	return sendPDF(w, "results.pdf", data)
}
