package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"html/template"
	"io/fs"
	"net/http"
	"strconv"
	"strings"

	"hangtrue/internal/engine/calendar"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/draw/qr"
	"hangtrue/internal/paper/draw/svg"
)

type peopleView struct {
	frame
	Here, Left []personRow
	Manage     bool
	Roles      []roleBox
	Name       string
	Contact    string
	Fields     map[string]string
	Planned    string
	Lapsing    []lapseRow
}

type personRow struct {
	Address, Name, Roles, Qualifications, Contact string
	SignsIn                                       bool
}

type roleBox struct {
	Role, Words string
	Has         bool
}

type lapseRow struct{ Address, Name, Kind, Scope, On, Why, Left string }

// plannedDays is how far ahead lapses are looked for where no day is named.
const plannedDays = 30

func (s *Server) peoplePage(w http.ResponseWriter, r *http.Request) error {
	return s.peopleList(w, r, http.StatusOK, &peopleView{})
}

func (s *Server) peopleList(w http.ResponseWriter, r *http.Request, status int, v *peopleView) error {
	me := personOf(r)
	all, err := s.School.People.All(r.Context(), me)
	if err != nil {
		return err
	}
	planned := s.today().Plus(plannedDays)
	if text := r.URL.Query().Get("day"); text != "" {
		if planned, err = calendar.Parse(text); err != nil {
			return refusal{http.StatusBadRequest, "Not understood", "A day is written 2026-05-31."}
		}
	}
	lapsing, err := s.School.People.Lapsing(r.Context(), me, s.today(), planned)
	if err != nil {
		return err
	}
	v.frame, v.Manage, v.Planned = frame{Title: "People"}, me.May(people.ManagePeople), string(planned)
	if v.Roles == nil {
		v.Roles = roleBoxes([]people.Role{people.Student})
	}
	for _, p := range all {
		row := personRow{Address: "/people/" + p.ID, Name: p.Shown(), Contact: p.Contact, SignsIn: p.HasPassphrase && p.Login != ""}
		var roles, as []string
		for _, x := range p.Roles {
			roles = append(roles, x.Words())
		}
		for _, q := range p.Qualifications {
			if q.Counts(s.today()) {
				as = append(as, string(q.Kind))
			}
		}
		row.Roles, row.Qualifications = strings.Join(roles, ", "), strings.Join(as, ", ")
		if p.Gone.IsZero() {
			v.Here = append(v.Here, row)
		} else {
			v.Left = append(v.Left, row)
		}
	}
	for _, l := range lapsing {
		v.Lapsing = append(v.Lapsing, lapseRow{
			Address: "/people/" + l.Person.ID, Name: l.Person.Shown(), Kind: string(l.Qualification.Kind), Scope: l.Qualification.Scope,
			On: string(l.On), Why: l.Why, Left: daysWords(l.Days),
		})
	}
	return s.pages.write(w, status, "people", v)
}

// daysWords says how long from today a last day is.
func daysWords(days int) string {
	switch {
	case days < -1:
		return fmt.Sprintf("lapsed %d days ago", -days)
	case days == -1:
		return "lapsed yesterday"
	case days == 0:
		return "today is its last day"
	case days == 1:
		return "1 day left"
	}
	return fmt.Sprintf("%d days left", days)
}

func roleBoxes(has []people.Role) []roleBox {
	var out []roleBox
	for _, x := range people.Roles {
		b := roleBox{Role: string(x), Words: x.Words()}
		for _, h := range has {
			b.Has = b.Has || h == x
		}
		out = append(out, b)
	}
	return out
}

func rolesIn(r *http.Request) []people.Role {
	var out []people.Role
	for _, x := range r.PostForm["role"] {
		out = append(out, people.Role(x))
	}
	return out
}

func (s *Server) addPerson(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	name, contact, roles := r.PostFormValue("name"), r.PostFormValue("contact"), rolesIn(r)
	id, link, err := s.School.People.Add(r.Context(), personOf(r), name, contact, roles)
	if fields := fieldsOf(err); len(fields) > 0 {
		return s.peopleList(w, r, http.StatusUnprocessableEntity, &peopleView{Name: name, Contact: contact, Roles: roleBoxes(roles), Fields: fields})
	}
	if err != nil {
		return err
	}
	standsAt(w, "/people/"+id)
	return s.person(w, r, id, http.StatusOK, &personView{Link: s.origin(r) + "/welcome/" + link})
}

// origin is where other devices reach this server.
func (s *Server) origin(r *http.Request) string {
	if s.School != nil && s.School.Origin != "" {
		return s.School.Origin
	}
	if r.TLS != nil {
		return "https://" + r.Host
	}
	return "http://" + r.Host
}

// hereOnly says that a link made now leads nowhere but on the server's own machine.
func (s *Server) hereOnly(r *http.Request) bool { return s.School.Origin == "" && r.TLS == nil }

type personView struct {
	frame
	ID, Name, Contact, Login string
	Address                  string
	Roles                    []roleBox
	RoleWords                string
	Manage                   bool
	Me                       bool
	Left                     string
	Named                    bool
	Qualifications           []qualificationView
	Kinds                    []string
	Sessions                 int
	Link                     string // a one-time link, shown once
	Here                     bool   // it works on this machine only
	Code                     template.HTML
	Valid                    string
	Notice                   string
	Fields                   map[string]string
	Typed                    map[string]string // what was typed into a form that was wrong
	Changes                  []changeRow
}

type changeRow struct{ At, By, What, Detail, About, Address string }

func (s *Server) personPage(w http.ResponseWriter, r *http.Request) error {
	return s.person(w, r, r.PathValue("id"), http.StatusOK, &personView{})
}

func (s *Server) person(w http.ResponseWriter, r *http.Request, id string, status int, v *personView) error {
	me := personOf(r)
	p, err := s.School.People.One(r.Context(), me, id)
	if errors.Is(err, fs.ErrNotExist) {
		return refusal{http.StatusNotFound, "Not there", "There is no such person."}
	}
	if err != nil {
		return err
	}
	v.frame = frame{Title: p.Shown()}
	v.ID, v.Name, v.Contact, v.Login, v.Address = p.ID, p.Shown(), p.Contact, p.Login, "/people/"+p.ID
	v.Roles, v.Manage, v.Me, v.Named = roleBoxes(p.Roles), me.May(people.ManagePeople), me.ID == p.ID, p.Name != ""
	var words []string
	for _, x := range p.Roles {
		words = append(words, x.Words())
	}
	v.RoleWords = strings.Join(words, ", ")
	v.Left = s.when(p.Gone)
	v.Qualifications = s.qualifications(&p)
	for _, k := range people.QualificationKinds {
		v.Kinds = append(v.Kinds, string(k))
	}
	if v.Typed == nil {
		v.Typed = map[string]string{"kind": string(people.AsInspector), "from": string(s.today())}
	}
	for _, key := range []string{"kind", "scope", "authority", "from", "expires", "recency", "last"} {
		v.Typed[key] += "" // each is there, so that a template can ask for it
	}
	if v.Link != "" {
		code, err := qr.Picture(v.Link, 50)
		if err != nil {
			return err
		}
		text, err := svg.String(code)
		if err != nil {
			return err
		}
		v.Code = template.HTML(text) // our own drawing
		v.Valid, v.Here = s.when(s.Now().Add(s.School.People.InvitationLength)), s.hereOnly(r)
	}
	if v.Manage {
		sessions, err := s.School.People.Sessions(r.Context(), me, p.ID)
		if err != nil {
			return err
		}
		v.Sessions = len(sessions)
		if v.Changes, err = s.changes(r, p.ID, 20); err != nil {
			return err
		}
	}
	return s.pages.write(w, status, "person", v)
}

func (s *Server) changePerson(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	me, id, all := personOf(r), r.PathValue("id"), s.School.People
	view := &personView{}
	var err error
	switch r.PostFormValue("do") {
	case "roles":
		err = all.SetRoles(r.Context(), me, id, rolesIn(r))
		view.Notice = "The roles are changed."
	case "name":
		err = all.SetName(r.Context(), me, id, r.PostFormValue("name"), r.PostFormValue("contact"))
		view.Notice = "The name is changed."
	case "qualify":
		q, typed := people.Qualification{}, map[string]string{}
		for _, key := range []string{"kind", "scope", "authority", "from", "expires", "recency", "last"} {
			typed[key] = r.PostFormValue(key)
		}
		q.Kind, q.Scope, q.Authority = people.QualificationKind(typed["kind"]), typed["scope"], typed["authority"]
		q.From, q.Expires, q.Last = calendar.Day(typed["from"]), calendar.Day(typed["expires"]), calendar.Day(typed["last"])
		if typed["recency"] != "" {
			if q.Recency, err = strconv.Atoi(typed["recency"]); err != nil {
				err = &app.Wrong{Field: "recency", Text: "recency is a whole number of months, or blank for none"}
			}
		}
		if err == nil {
			_, err = all.AddQualification(r.Context(), me, id, q)
		}
		if err != nil {
			view.Typed = typed
		}
		view.Notice = "The qualification is entered."
	case "end":
		on := calendar.Day(r.PostFormValue("on"))
		if on == "" {
			on = s.today()
		}
		err = all.EndQualification(r.Context(), me, r.PostFormValue("qualification"), on)
		view.Notice = "The qualification is taken away from " + string(on) + "."
	case "invite":
		var link string
		link, err = all.Invite(r.Context(), me, id)
		view.Link = s.origin(r) + "/welcome/" + link
	case "leave":
		err = all.Leave(r.Context(), me, id)
		view.Notice = "Noted as having left; every sign-in has ended."
	case "return":
		err = all.Return(r.Context(), me, id)
		view.Notice = "Back again."
	case "remove":
		err = all.RemoveName(r.Context(), me, id)
		view.Notice = "The name is removed. Results stay without it; signed records keep the names in them."
	case "signout":
		err = all.SignOutEverywhere(r.Context(), me, id)
		view.Notice = "Signed out everywhere."
	default:
		return refusal{http.StatusBadRequest, "Not understood", "The page asked for something that it cannot do."}
	}
	status := http.StatusOK
	switch fields := fieldsOf(err); {
	case len(fields) > 0:
		view.Fields, view.Notice, view.Link, status = fields, "", "", http.StatusUnprocessableEntity
	case errors.Is(err, people.ErrLastChief):
		view.Notice, view.Link, status = "Not changed: "+people.ErrLastChief.Error()+".", "", http.StatusConflict
	case errors.Is(err, fs.ErrNotExist):
		return refusal{http.StatusNotFound, "Not there", "There is no such person or qualification."}
	case err != nil:
		return err
	}
	return s.person(w, r, id, status, view)
}

// changes is the audit of rights as rows, newest first.
func (s *Server) changes(r *http.Request, about string, most int) ([]changeRow, error) {
	list, err := s.School.People.RightsChanges(r.Context(), personOf(r), about, most)
	if err != nil {
		return nil, err
	}
	everybody, err := s.School.People.All(r.Context(), personOf(r))
	if err != nil {
		return nil, err
	}
	name := map[string]string{"": "the machine, at first start"}
	for i := range everybody {
		name[everybody[i].ID] = everybody[i].Shown()
	}
	var out []changeRow
	for _, c := range list {
		row := changeRow{At: s.when(c.At), By: name[c.By], What: c.What, Detail: rolesWords(c.Detail), About: name[c.About]}
		if c.About != "" {
			row.Address = "/people/" + c.About
		}
		out = append(out, row)
	}
	return out, nil
}

// rolesWords is a detail of the audit: roles are kept there as a list of JSON.
func rolesWords(detail string) string {
	var roles []people.Role
	if err := json.Unmarshal([]byte(detail), &roles); err != nil {
		return detail
	}
	words := make([]string, len(roles))
	for i, x := range roles {
		if words[i] = x.Words(); words[i] == "" {
			words[i] = string(x)
		}
	}
	return strings.Join(words, ", ")
}

type rightsView struct {
	frame
	Changes []changeRow
	Rights  []rightRow
	Roles   []string
}

type rightRow struct {
	What string
	Has  []bool
}

func (s *Server) rightsPage(w http.ResponseWriter, r *http.Request) error {
	v := &rightsView{frame: frame{Title: "Rights"}}
	var err error
	if v.Changes, err = s.changes(r, "", 500); err != nil {
		return err
	}
	for _, x := range people.Roles {
		v.Roles = append(v.Roles, x.Words())
	}
	for _, right := range people.Rights {
		row := rightRow{What: string(right)}
		for _, x := range people.Roles {
			row.Has = append(row.Has, x.May(right))
		}
		v.Rights = append(v.Rights, row)
	}
	return s.pages.write(w, http.StatusOK, "rights", v)
}
