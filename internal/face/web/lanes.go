package web

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/teach"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/sheet"
)

// plainStamp is what stands at the foot of a paper that is about no one rig.
func (s *Server) plainStamp() sheet.Stamp {
	return sheet.Stamp{Date: s.Now().Format("2006-01-02 15:04"), Tool: s.Tool}
}

// uploaded is the text of a field, or the file that was chosen instead.
func uploaded(r *http.Request, file, field string) ([]byte, error) {
	if err := parseForm(r); err != nil {
		return nil, err
	}
	if f, _, err := r.FormFile(file); err == nil {
		defer f.Close()
		data, err := io.ReadAll(f)
		if err != nil {
			return nil, err
		}
		if len(data) > 0 {
			return data, nil
		}
	}
	return []byte(r.PostFormValue(field)), nil
}

type lanesView struct {
	classHead
	Lanes []laneRow
	Form  laneForm
	Rigs  []option
}

type laneRow struct {
	Address, Title, Rig, Load, Tag string
	Count, Versions                int
	Missing                        []string
	Limit                          string
	Kind                           string
	Tagged, Invented               bool
}

// laneForm is how a lane is set up, as it is typed.
type laneForm struct {
	Title, Rig, Load, Tag     string
	Kind                      string // real, picture
	Spoiled, Ordered          bool
	Count, Pictures           string
	Found, Minutes, False     string
	Figure                    string // yes, no or blank
	Order                     string
	CallIs, Aids, Attempts    string
	Takes, Change, Reset      string
	Grader                    string
	Graders                   []option
	Real, FigureYes, FigureNo bool
}

func laneFormIn(r *http.Request) laneForm {
	v := r.PostFormValue
	f := laneForm{
		Title: v("title"), Rig: v("rig"), Load: v("load"), Tag: v("tag"), Kind: v("kind"), Spoiled: v("spoiled") == "yes", Ordered: v("ordered") == "yes",
		Count: v("count"), Pictures: v("pictures"), Found: v("found"), Minutes: v("minutes"), False: v("false"), Figure: v("figure"), Order: v("order"), CallIs: v("call_is"), Aids: v("aids"),
		Attempts: v("attempts"), Takes: v("takes"), Change: v("change"), Reset: v("reset"), Grader: v("grader"),
	}
	return f.marked()
}

func (f laneForm) marked() laneForm {
	f.Real, f.FigureYes, f.FigureNo = f.Kind != "picture", f.Figure == "yes", f.Figure == "no"
	return f
}

func laneFormOf(x *teach.LaneSetup) laneForm {
	f := laneForm{
		Title: x.Title, Rig: x.Rig, Load: x.Load, Tag: x.Tag, Kind: "picture", Spoiled: x.Spoiled, Ordered: x.Rule.Ordered, Count: strconv.Itoa(x.Count),
		Found: intText(x.Rule.Found), False: intText(x.Rule.False), Order: intText(x.Rule.WrongOrder), CallIs: x.CallIs, Aids: x.Aids, Attempts: intText(x.Attempts), Grader: x.Grader,
	}
	if x.Real {
		f.Kind = "real"
	}
	if x.Rule.Within != nil {
		f.Minutes = strconv.FormatFloat(x.Rule.Within.Minutes(), 'f', -1, 64)
	}
	if b := x.Rule.FigureRight; b != nil {
		f.Figure = map[bool]string{true: "yes", false: "no"}[*b]
	}
	for _, v := range []struct {
		n  int
		to *string
	}{{x.Pictures, &f.Pictures}, {x.Takes, &f.Takes}, {x.Change, &f.Change}, {x.Reset, &f.Reset}} {
		if v.n > 0 {
			*v.to = strconv.Itoa(v.n)
		}
	}
	return f.marked()
}

func intText(x *int) string {
	if x == nil {
		return ""
	}
	return strconv.Itoa(*x)
}

// setup reads the form; what is blank stays blank.
func (f *laneForm) setup() (teach.LaneSetup, error) {
	x := teach.LaneSetup{Title: f.Title, Rig: f.Rig, Load: f.Load, Tag: f.Tag, Real: f.Real, Spoiled: f.Spoiled, CallIs: f.CallIs, Aids: f.Aids, Grader: f.Grader}
	x.Rule.Ordered = f.Ordered
	var wrong []error // all of them, each with the field's name
	refused := func(field, format string, args ...any) {
		wrong = append(wrong, &app.Wrong{Field: field, Text: laneLabels[field] + ": " + fmt.Sprintf(format, args...)})
	}
	whole := func(field, text string) *int {
		text = strings.TrimSpace(text)
		if text == "" {
			return nil
		}
		n, err := strconv.Atoi(text)
		if err != nil || n < 0 || n > 100000 {
			refused(field, "%.20q is no whole number", text)
			return nil
		}
		return &n
	}
	for _, v := range []struct {
		field, text string
		to          **int
	}{{"found", f.Found, &x.Rule.Found}, {"false", f.False, &x.Rule.False}, {"order", f.Order, &x.Rule.WrongOrder}, {"attempts", f.Attempts, &x.Attempts}} {
		*v.to = whole(v.field, v.text)
	}
	for _, v := range []struct {
		field, text string
		to          *int
	}{{"count", f.Count, &x.Count}, {"pictures", f.Pictures, &x.Pictures}, {"takes", f.Takes, &x.Takes}, {"change", f.Change, &x.Change}, {"reset", f.Reset, &x.Reset}} {
		if n := whole(v.field, v.text); n != nil {
			*v.to = *n
		}
	}
	if text := strings.TrimSpace(f.Minutes); text != "" {
		m, err := strconv.ParseFloat(text, 64)
		if err != nil || !(m > 0 && m <= 24*60) {
			refused("minutes", "%.20q is no number of minutes up to 1440", text)
		} else {
			d := time.Duration(m * float64(time.Minute)).Round(time.Second)
			x.Rule.Within = &d
		}
	}
	switch f.Figure {
	case "":
	case "yes", "no":
		b := f.Figure == "yes"
		x.Rule.FigureRight = &b
	default:
		refused("figure", "yes, no or blank")
	}
	return x, errors.Join(wrong...)
}

// laneLabels are the labels of the fields that hold a number, as the form has
// them.
var laneLabels = map[string]string{
	"count": "deficiencies in each version", "pictures": "pictures of a walk", "found": "found, at least", "minutes": "time limit", "false": "false calls, at most",
	"figure": "a figure has to be right", "order": "stations out of order, at most", "attempts": "attempts, at most", "takes": "a group is there, minutes",
	"change": "from one student to the next, minutes", "reset": "to put it back, minutes",
}

func (s *Server) graders(r *http.Request, chosen string) ([]option, error) {
	all, err := s.School.People.All(r.Context(), personOf(r))
	if err != nil {
		return nil, err
	}
	out := []option{{"", "nobody yet", chosen == ""}}
	for i := range all {
		if p := &all[i]; p.May(people.Grade) {
			out = append(out, option{p.ID, p.Shown(), p.ID == chosen})
		}
	}
	return out, nil
}

func (s *Server) lanesPage(w http.ResponseWriter, r *http.Request) error {
	return s.laneList(w, r, http.StatusOK, notice{}, laneForm{Kind: "real"}.marked())
}

func (s *Server) laneList(w http.ResponseWriter, r *http.Request, status int, words notice, form laneForm) error {
	me := personOf(r)
	room, err := s.School.ClassRoom(r.Context(), me, r.PathValue("class"))
	if err != nil {
		return classRefusal(err)
	}
	lanes, err := s.School.Lanes(r.Context(), me, room.ID)
	if err != nil {
		return classRefusal(err)
	}
	v := &lanesView{classHead: newClassHead(&room.Class, "Lanes"), Form: form}
	v.notice = words
	tagged, err := s.School.Tagged(r.Context(), me)
	if err != nil {
		return classRefusal(err)
	}
	for i := range lanes {
		row := laneRowOf(&lanes[i])
		row.Tagged = slices.ContainsFunc(tagged, func(t app.Tagged) bool { return t.Lane == lanes[i].ID })
		v.Lanes = append(v.Lanes, row)
	}
	if v.Form.Graders, err = s.graders(r, form.Grader); err != nil {
		return err
	}
	names, err := s.Keeper.Names()
	if err != nil {
		return err
	}
	for _, n := range names {
		v.Rigs = append(v.Rigs, option{n, n, n == form.Rig})
	}
	return s.pages.write(w, status, "lane-list", v)
}

func laneRowOf(l *teach.TestLane) laneRow {
	x := &l.Setup
	row := laneRow{Address: "/lanes/" + l.ID, Title: x.Title, Rig: x.Rig, Load: x.Load, Tag: x.Tag, Count: x.Count, Missing: x.Rule.Missing(), Kind: "in pictures", Invented: x.Invented}
	if x.Real {
		row.Kind = "a real load"
	}
	if x.Rule.Within != nil {
		row.Limit = app.ClockWords(*x.Rule.Within)
	}
	return row
}

func (s *Server) addLane(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	form := laneFormIn(r)
	setup, err := form.setup()
	id := ""
	if err == nil {
		id, err = s.School.AddLane(r.Context(), personOf(r), r.PathValue("class"), setup)
	} else {
		err = errors.Join(app.CheckLane(setup), err) // what could not be read stands before what it would be
	}
	words, status, err := noticeOf(err, "")
	if err != nil {
		return err
	}
	if words.Wrong {
		return s.laneList(w, r, status, words, form)
	}
	http.Redirect(w, r, "/lanes/"+url.PathEscape(id), http.StatusSeeOther)
	return nil
}

type laneView struct {
	classHead
	Title, Address    string
	Status, Draft     string
	Invented          bool
	Rig, RigAddress   string
	RigVersion        string
	Changed           bool // the rig has another version now
	Row               laneRow
	Form              laneForm
	Versions          []versionRow
	Groups            []string
	MayPlant, NotReal int
	Hidden            bool   // who asks is a student of the class
	Pictures, Open    bool   // a lane in pictures; students may run it now
	Has, Short        string // how many pictures in what time, and what to do where that is little
	AllPictures       int    // that could be shown; 0 where all are
}

type versionRow struct {
	Address, Grade, For, Made, Equal string
	Number, Runs                     int
	Shown                            string
	Put                              string
	Real, Barred                     bool
}

func (s *Server) lanePage(w http.ResponseWriter, r *http.Request) error {
	return s.lane(w, r, http.StatusOK, notice{}, nil)
}

// madeWords says that versions were made, and what comes next: on a load they
// have to be set, in pictures they are there.
func madeWords(n int, real bool) string {
	text := "One version is made. Its key is committed to in the sealed log"
	next := "; print the set-up card next."
	switch {
	case n < 1:
		return ""
	case n > 1:
		text, next = fmt.Sprintf("%d versions are made. Each key is committed to in the sealed log", n), "; print the set-up cards next."
	}
	if !real {
		next = ". Nothing has to be set: open the lane for students when they are to run it."
	}
	return text + next
}

func (s *Server) lane(w http.ResponseWriter, r *http.Request, status int, words notice, form *laneForm) error {
	me := personOf(r)
	d, err := s.School.LaneDesk(r.Context(), me, r.PathValue("lane"))
	if err != nil {
		return classRefusal(err)
	}
	room, err := s.School.ClassRoom(r.Context(), me, d.Lane.Class)
	if err != nil {
		return classRefusal(err)
	}
	x := &d.Lane.Setup
	v := &laneView{classHead: newClassHead(&room.Class, ""), Title: x.Title, Address: "/lanes/" + d.Lane.ID, Row: laneRowOf(&d.Lane), Groups: room.Groups()}
	if words.Notice == "" {
		words.Notice = madeWords(number(r.URL.Query().Get("planted")), x.Real)
	}
	v.notice, v.frame.Title, v.Result = words, x.Title, true
	rg := d.Solved.Rig
	v.Status, v.Invented, v.Rig, v.RigAddress, v.RigVersion = capital(rg.Status().String()), rg.Invented(), rg.Title(), rigURL(x.Rig), x.RigHash
	if t := rg.Status().Draft(); t != "" {
		v.Draft = capital(t)
	}
	if data, err := s.Keeper.Current(x.Rig); err == nil {
		v.Changed = app.Version(data) != x.RigHash
	}
	if v.Form = laneFormOf(x); form != nil {
		v.Form = *form
	}
	if v.Form.Graders, err = s.graders(r, v.Form.Grader); err != nil {
		return err
	}
	v.MayPlant = len(d.MayPlant())
	v.NotReal = len(d.Candidates) - v.MayPlant
	if v.Pictures, v.Open = !x.Real, x.Open; v.Pictures {
		has := d.Pictures()
		v.Has, v.Short = has.Words(), has.Mend()
		if has.Shown < has.All {
			v.AllPictures = has.All
		}
	}
	if err := s.laneVersions(r, d, v); err != nil {
		return err
	}
	return s.pages.write(w, status, "lane", v)
}

func (s *Server) laneVersions(r *http.Request, d *app.LaneDesk, v *laneView) error {
	me := personOf(r)
	versions, err := s.School.Versions(r.Context(), me, d.Lane.ID)
	var no *app.NotAllowed
	if errors.As(err, &no) {
		v.Hidden = true // who asks is a student here
		return nil
	}
	if err != nil {
		return classRefusal(err)
	}
	for i := range versions {
		x, err := s.School.VersionDesk(r.Context(), me, versions[i].ID, people.Teach)
		if err != nil {
			return classRefusal(err)
		}
		row := versionRow{
			Address: "/versions/" + x.Version.ID, Grade: "/grade/" + x.Version.ID, Number: x.Version.Number, For: x.Version.For, Made: s.when(x.Version.Made), Equal: x.Version.Equal,
			Shown: s.when(x.Version.Opened), Real: x.Version.Real,
		}
		if x.Version.Real {
			row.Put, row.Barred = putWords(x.Put), !x.Put.Restored
		}
		v.Versions = append(v.Versions, row)
	}
	return nil
}

// putWords says how far a load was put back.
func putWords(p teach.Standing) string {
	if p.Restored {
		return "put back, confirmed by two people; a full fresh inspection is needed before it is signed"
	}
	return fmt.Sprintf("%d of %d confirmed put back by two people", p.Twice, p.Items)
}

func (s *Server) changeLane(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	me, id := personOf(r), r.PathValue("lane")
	var err error
	var form *laneForm
	done := ""
	switch r.PostFormValue("do") {
	case "setup":
		f := laneFormIn(r)
		var setup teach.LaneSetup
		if setup, err = f.setup(); err == nil {
			err = s.School.SetLane(r.Context(), me, id, setup)
		} else {
			err = errors.Join(app.CheckLane(setup), err)
		}
		if err != nil {
			form = &f
		}
		done = "The lane is changed."
	case "open", "close":
		done, err = s.openLane(r, me, id)
	case "plant", "hand":
		a := app.PlantAsk{For: r.PostFormValue("for"), Used: r.PostFormValue("used") == "yes"}
		if r.PostFormValue("do") == "hand" {
			a.Hand = r.PostForm["item"]
			if len(a.Hand) == 0 {
				err = &app.Wrong{Field: "plant", Text: "none is chosen"}
			}
		} else {
			a.Versions = number(r.PostFormValue("versions"))
			a.Band, err = bandIn(r.PostFormValue("from"), r.PostFormValue("to"))
		}
		if err == nil {
			var made []teach.LaneVersion
			if made, err = s.School.Plant(r.Context(), me, id, a); err == nil {
				// Not shown from here: reloading the page must not plant again.
				http.Redirect(w, r, "/lanes/"+url.PathEscape(id)+"?planted="+strconv.Itoa(len(made)), http.StatusSeeOther)
				return nil
			}
		}
	default:
		return refusal{http.StatusBadRequest, "Not understood", "The page asked for something that it cannot do."}
	}
	words, status, err := noticeOf(err, done)
	switch {
	case err != nil:
		return err
	case words.Wrong && r.PostFormValue("do") == "hand":
		return s.laneHand(w, r, status, words)
	}
	return s.lane(w, r, status, words, form)
}

// bandIn reads a band of difficulty, nil where both ends are blank.
func bandIn(from, to string) (*[2]float64, error) {
	if strings.TrimSpace(from+to) == "" {
		return nil, nil
	}
	a, e1 := strconv.ParseFloat(strings.TrimSpace(from), 64)
	b, e2 := strconv.ParseFloat(strings.TrimSpace(to), 64)
	if e1 != nil || e2 != nil || a > b || a < -20 || b > 20 {
		return nil, &app.Wrong{Field: "band", Text: "a band of difficulty is two numbers in logits, the smaller first"}
	}
	return &[2]float64{a, b}, nil
}
