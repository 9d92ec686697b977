package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/teach"
	"hangtrue/internal/face/app"
)

type gradesView struct {
	frame
	Classes []gradeClass
}

type gradeClass struct {
	Name, Board string
	Lanes       []gradeLane
}

type gradeLane struct {
	Title, Grader string
	Mine          bool
	Missing       []string
	Versions      []pageLink
}

// gradesPage lists the lanes of the classes that have not ended.
func (s *Server) gradesPage(w http.ResponseWriter, r *http.Request) error {
	me := personOf(r)
	classes, err := s.School.Classes(r.Context(), me)
	if err != nil {
		return classRefusal(err)
	}
	names, err := s.names(r)
	if err != nil {
		return err
	}
	v := &gradesView{frame: frame{Title: "Grade"}}
	for _, c := range classes {
		if !c.Ended.IsZero() || len(v.Classes) >= 20 {
			continue
		}
		lanes, err := s.School.Lanes(r.Context(), me, c.ID)
		if err != nil {
			return classRefusal(err)
		}
		g := gradeClass{Name: c.Name, Board: classURL(c.ID) + "/board"}
		for _, l := range lanes {
			x := gradeLane{Title: l.Setup.Title, Grader: names[l.Setup.Grader], Mine: l.Setup.Grader == me.ID, Missing: l.Setup.Rule.Missing()}
			versions, err := s.School.Versions(r.Context(), me, l.ID)
			var no *app.NotAllowed
			if errors.As(err, &no) {
				break // who asks is a student of this class
			}
			if err != nil {
				return classRefusal(err)
			}
			for _, y := range versions {
				words := fmt.Sprintf("version %d", y.Number)
				if y.For != "" {
					words += ", group " + y.For
				}
				x.Versions = append(x.Versions, pageLink{Address: "/grade/" + y.ID, Words: words})
			}
			g.Lanes = append(g.Lanes, x)
		}
		if len(g.Lanes) > 0 {
			v.Classes = append(v.Classes, g)
		}
	}
	return s.pages.write(w, http.StatusOK, "grade-list", v)
}

type gradeView struct {
	frame
	notice
	Lane, ClassName, Load, Tag string
	plantedHead
	Invented            bool
	Version             int
	For                 string
	Address, Run        string
	Me                  string
	LimitMS             int64
	Limit, CallIs, Aids string
	Rule                []string
	RuleJSON            string // for the tablet, which grades by it before the school does
	Until               string // when the session of whoever asks ends
	Shell               string // what the page needs besides itself, by address
	Missing             []string
	Students            []gradeStudent
	Items               []gradeItem
	Stops               []stopRow
	Open                *openRun
	Done                []doneRun
	Assigned            string
	Ordered             bool
}

type gradeStudent struct {
	ID, Name, Group, Against, Before string
}

type gradeItem struct {
	ID, Text, Place string
	Station         int
	Counted, Found  bool
	At              string
}

type stopRow struct{ Student, Text, Run string }

// openRun is a run that has not ended, as the tablet takes it up again.
type openRun struct {
	ID, Student, Name, StartedISO string
	Started                       string
	Second, Halted                bool
	Calls                         []callRow
	False, Order                  int
	JSON                          string
}

type callRow struct{ ID, At, Words string }

type doneRun struct{ Address, Student, Outcome, Numbers string }

// entryWords says what a call is.
func entryWords(c teach.Call, text func(string) string) string {
	words := map[teach.CallKind]string{
		teach.CallFound: "found", teach.CallFalse: "false call", teach.CallTrue: "true and not planted", teach.CallOrder: "out of order",
		teach.CallUnsafe: "safety violation", teach.CallPut: "settled", teach.CallUndone: "taken back", teach.CallStationEnd: "station done",
	}[c.Kind]
	if c.Kind == teach.CallFound {
		words += ": " + text(c.Deficiency)
		if c.WrongCount {
			words += ", with a wrong figure"
		}
	}
	if c.Text != "" {
		words += ": " + c.Text
	}
	return words
}

// ruleWords says a lane's rule.
func ruleWords(x *teach.LaneSetup) []string {
	var out []string
	if n := x.Rule.Found; n != nil {
		out = append(out, fmt.Sprintf("at least %d of %d found", *n, x.Count))
	}
	if d := x.Rule.Within; d != nil {
		out = append(out, "in "+app.ClockWords(*d))
	}
	if n := x.Rule.False; n != nil {
		words := map[int]string{0: "no false call", 1: "at most 1 false call"}[*n]
		if words == "" {
			words = fmt.Sprintf("at most %d false calls", *n)
		}
		out = append(out, words)
	}
	if b := x.Rule.FigureRight; b != nil {
		out = append(out, map[bool]string{true: "a figure has to be right", false: "a figure need not be right"}[*b])
	}
	if x.Rule.Ordered {
		text := "in the order of the walk"
		if n := x.Rule.WrongOrder; n != nil {
			text += fmt.Sprintf(", at most %d out of order", *n)
		}
		out = append(out, text)
	}
	return out
}

func (s *Server) gradePage(w http.ResponseWriter, r *http.Request) error {
	return s.grade(w, r, http.StatusOK, notice{})
}

func (s *Server) grade(w http.ResponseWriter, r *http.Request, status int, words notice) error {
	me := personOf(r)
	d, err := s.School.GradeDesk(r.Context(), me, r.PathValue("version"))
	if err != nil {
		return classRefusal(err)
	}
	names := map[string]string{}
	for _, m := range d.Class.Students {
		names[m.Person.ID] = m.Person.Shown()
	}
	x := &d.Lane.Setup
	v := &gradeView{
		frame: frame{Title: "Grade: " + x.Title, Result: true, Script: "grade.js"}, notice: words, Lane: x.Title, ClassName: d.Class.Name, Load: x.Load, Tag: x.Tag,
		plantedHead: plantedHeadOf(d.Solved.Rig, d.RedTag()), Invented: d.Solved.Rig.Invented(), Version: d.Version.Number, For: d.Version.For,
		Address: "/grade/" + d.Version.ID, Me: me.ID, CallIs: x.CallIs, Aids: x.Aids, Rule: ruleWords(x), Missing: d.Missing, Ordered: x.Rule.Ordered,
	}
	v.RuleJSON, v.Until = tabletRule(x.Rule, d.Version.Key.Planted, d.Voided), visitorOf(r).session.Expires.UTC().Format(time.RFC3339)
	v.Shell = strings.Join(s.shell(), " ")
	if x.Rule.Within != nil {
		v.LimitMS, v.Limit = x.Rule.Within.Milliseconds(), app.ClockWords(*x.Rule.Within)
	}
	var found map[string]string
	for _, g := range d.Mine {
		if g.Ended {
			if len(g.Results) > 0 && len(v.Done) < 8 {
				y := g.Results[len(g.Results)-1]
				v.Done = append(v.Done, doneRun{"/runs/" + g.ID, names[g.RunSummary.Student], y.Outcome.Words(), app.NumbersWords(&y)})
			}
			continue
		}
		if v.Open == nil {
			v.Open, found = s.openRun(&g, names, d.Text)
		}
	}
	for _, i := range d.Items() {
		item := gradeItem{ID: i.ID, Text: capital(i.Text), Place: i.Place, Station: i.Station}
		if y := d.Deficiency(i.ID); y != nil {
			item.Counted = y.Attribute.Plan == part.PlanCount || y.Attribute.Plan == part.PlanMatched
		}
		item.At, item.Found = found[i.ID], found[i.ID] != ""
		v.Items = append(v.Items, item)
	}
	for _, m := range d.Class.Students {
		if m.Left {
			continue
		}
		before := ""
		if n := d.Had[m.Person.ID]; n > 0 {
			before = fmt.Sprintf("has had %d here", n)
			if d.Graders[m.Person.ID] == me.ID {
				before += "; you graded the last one, another grader is better"
			}
		}
		v.Students = append(v.Students, gradeStudent{m.Person.ID, m.Person.Shown(), m.Group, strings.Join(d.Against[m.Person.ID], "; "), before})
	}
	for _, y := range d.Stopped {
		v.Stops = append(v.Stops, stopRow{names[y.Run.Student], y.Call.Text, "/runs/" + y.Run.ID})
	}
	return s.pages.write(w, status, "grade", v)
}

// tabletRule is a lane's rule as a grader's tablet reads it, with what is planted
// and the words for what a run may come to.
func tabletRule(r teach.Rule, planted, voided []string) string {
	x := struct {
		Found      *int                     `json:"found"`
		WithinMS   *int64                   `json:"within_ms"`
		False      *int                     `json:"false"`
		Figure     *bool                    `json:"figure_right"`
		Ordered    bool                     `json:"ordered"`
		WrongOrder *int                     `json:"wrong_order"`
		Missing    []string                 `json:"missing"`
		Planted    []string                 `json:"planted"`
		Voided     []string                 `json:"voided"`
		Words      map[teach.Outcome]string `json:"words"`
	}{
		Found: r.Found, False: r.False, Figure: r.FigureRight, Ordered: r.Ordered, WrongOrder: r.WrongOrder,
		Missing: append([]string{}, r.Missing()...), Planted: append([]string{}, planted...), Voided: append([]string{}, voided...), Words: map[teach.Outcome]string{},
	}
	if r.Within != nil {
		ms := r.Within.Milliseconds()
		x.WithinMS = &ms
	}
	for _, o := range []teach.Outcome{teach.Met, teach.NotMet, teach.Unsafe, teach.Stopped, teach.Running, teach.Ungraded} {
		x.Words[o] = o.Words()
	}
	data, err := json.Marshal(x)
	if err != nil {
		panic("web: a rule is no JSON: " + err.Error()) // strings and numbers only
	}
	return string(data)
}

// openRun takes up a run that has not ended.
func (s *Server) openRun(g *app.GradedRun, names map[string]string, text func(string) string) (*openRun, map[string]string) {
	o := &openRun{
		ID: g.ID, Student: g.State.Student, Name: names[g.State.Student], StartedISO: g.State.Started.UTC().Format(time.RFC3339Nano), Started: s.when(g.State.Started),
		Second: g.Second, Halted: !g.State.Halted.IsZero(),
	}
	undone := map[string]bool{}
	for _, c := range g.State.Calls {
		if c.Kind == teach.CallUndone {
			undone[c.Undoes] = true
		}
	}
	found := map[string]string{}
	type call struct {
		ID         string `json:"id"`
		Kind       string `json:"kind"`
		Deficiency string `json:"deficiency,omitempty"`
		After      int64  `json:"after_ms"`
		Undoes     string `json:"undoes,omitempty"`
		Text       string `json:"text,omitempty"`
		WrongCount bool   `json:"wrong_count,omitempty"`
	}
	var calls []call
	for _, c := range g.State.Calls {
		calls = append(calls, call{c.ID, string(c.Kind), c.Deficiency, c.After.Milliseconds(), c.Undoes, c.Text, c.WrongCount})
		if c.Kind == teach.CallUndone || undone[c.ID] {
			continue
		}
		at := app.ClockWords(c.After)
		o.Calls = append(o.Calls, callRow{c.ID, at, entryWords(c, text)})
		switch c.Kind {
		case teach.CallFound:
			if found[c.Deficiency] == "" {
				found[c.Deficiency] = at
			}
		case teach.CallFalse:
			o.False++
		case teach.CallOrder:
			o.Order++
		}
	}
	data, err := json.Marshal(struct {
		ID       string    `json:"id"`
		Student  string    `json:"student"`
		Second   bool      `json:"second"`
		Started  time.Time `json:"started"`
		WaitedMS int64     `json:"waited_ms"`
		Halted   time.Time `json:"halted,omitzero"`
		Calls    []call    `json:"calls"`
	}{g.ID, g.State.Student, g.Second, g.State.Started, g.State.Waited.Milliseconds(), g.State.Halted, calls})
	if err != nil {
		panic("web: a run is no JSON: " + err.Error()) // strings and numbers only
	}
	o.JSON = string(data)
	return o, found
}

// gradeStep takes one entry of a run from a browser without a script.
func (s *Server) gradeStep(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	me, version, run := personOf(r), r.PathValue("version"), r.PostFormValue("run")
	d, err := s.School.GradeDesk(r.Context(), me, version)
	if err != nil {
		return classRefusal(err)
	}
	kind, about, _ := strings.Cut(r.PostFormValue("do"), " ")
	b := teach.RunBody{Text: r.PostFormValue("remark")}
	do := teach.CallKind(kind)
	switch do {
	case teach.RunStart:
		b.Student, b.Second, b.Text, run = r.PostFormValue("student"), r.PostFormValue("second") == "yes", "", ""
		if b.Student == "" {
			return s.grade(w, r, http.StatusUnprocessableEntity, notice{Notice: "Choose the student first.", Wrong: true})
		}
	case teach.CallFound:
		b.Deficiency = about
	case "found-wrong":
		do, b.Deficiency, b.WrongCount = teach.CallFound, about, true
	case teach.CallFalse, teach.CallTrue, teach.CallOrder, teach.CallUnsafe, teach.CallPut, teach.CallUndone, teach.RunEnd:
	default:
		return refusal{http.StatusBadRequest, "Not understood", "The page asked for something that it cannot do."}
	}
	if do == teach.CallUnsafe && strings.TrimSpace(b.Text) == "" {
		return s.grade(w, r, http.StatusUnprocessableEntity, notice{Notice: "Write in one line, without names, what was unsafe. Then press Safety violation again.", Wrong: true})
	}
	if was := called(d, run, b); do == teach.CallFound && was != nil {
		return s.grade(w, r, http.StatusConflict, notice{Notice: fmt.Sprintf("Already called at %s: %s. Nothing was added.", app.ClockWords(was.After), d.Text(b.Deficiency)), Wrong: true})
	}
	run, err = s.School.GradeStep(r.Context(), me, version, run, do, b)
	words, status, err := noticeOf(err, "")
	switch {
	case err != nil:
		return err
	case words.Wrong:
		return s.grade(w, r, status, words)
	}
	to := "/grade/" + url.PathEscape(version)
	if do == teach.RunEnd || do == teach.CallPut && r.PostFormValue("back") == "run" {
		to = "/runs/" + url.PathEscape(run)
	}
	if do == teach.CallUnsafe {
		// It ends the run.
		if _, err := s.School.GradeStep(r.Context(), me, version, run, teach.RunEnd, teach.RunBody{}); err != nil {
			return classRefusal(err)
		}
		to = "/runs/" + url.PathEscape(run)
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

// called is the find of an item that a further one would only repeat; nil where
// there is none. One with the right figure may come after one with a wrong figure.
func called(d *app.GradeDesk, run string, b teach.RunBody) *teach.Call {
	for i := range d.Mine {
		if d.Mine[i].ID != run {
			continue
		}
		calls := d.Mine[i].State.Calls
		for k := range calls {
			undone := slices.ContainsFunc(calls, func(c teach.Call) bool { return c.Kind == teach.CallUndone && c.Undoes == calls[k].ID })
			if c := &calls[k]; c.Kind == teach.CallFound && c.Deficiency == b.Deficiency && !undone && (b.WrongCount || !c.WrongCount) {
				return c
			}
		}
	}
	return nil
}

// takenRun is what a tablet is told of one entry, or of a run that has ended.
type takenRun struct {
	ID      string `json:"id"`
	Refused string `json:"refused,omitempty"`
}

type toldResult struct {
	Run     string   `json:"run"`
	Outcome string   `json:"outcome"`
	Numbers string   `json:"numbers"`
	Reasons []string `json:"reasons"`
	Missed  []string `json:"missed"`
	Address string   `json:"address"`
}

// takeRuns takes entries of runs from a tablet, of any version.
func (s *Server) takeRuns(w http.ResponseWriter, r *http.Request) error {
	var sent struct {
		Events []teach.RunEvent `json:"events"`
	}
	d := json.NewDecoder(r.Body)
	if err := d.Decode(&sent); err != nil {
		return refusal{http.StatusBadRequest, "Not understood", "What was sent is no list of entries."}
	}
	if len(sent.Events) > app.MostRunEvents {
		return refusal{http.StatusRequestEntityTooLarge, "Too many", fmt.Sprintf("At most %d entries are taken at once.", app.MostRunEvents)}
	}
	me := personOf(r)
	out, err := s.School.DeliverRuns(r.Context(), me, sent.Events)
	if err != nil {
		return classRefusal(err)
	}
	answer := struct {
		Taken   []takenRun   `json:"taken"`
		Results []toldResult `json:"results"`
	}{Taken: []takenRun{}, Results: []toldResult{}}
	told := map[string]bool{}
	for i, o := range out {
		x := takenRun{ID: o.ID}
		if o.Refused != nil {
			x.Refused = capital(strings.TrimPrefix(strings.TrimPrefix(o.Refused.Error(), "teach: "), "store: ")) + "."
		}
		answer.Taken = append(answer.Taken, x)
		run := sent.Events[i].Run
		if told[run] || o.Refused != nil {
			continue
		}
		told[run] = true
		y, err := s.School.RunDesk(r.Context(), me, run)
		if err != nil {
			return classRefusal(err)
		}
		if n := len(y.Results); y.Ended && n > 0 {
			last := y.Results[n-1]
			t := toldResult{Run: run, Outcome: last.Outcome.Words(), Numbers: app.NumbersWords(&last), Reasons: []string{}, Missed: []string{}, Address: "/runs/" + run}
			t.Reasons = append(t.Reasons, last.Reasons...)
			for _, id := range last.Missed {
				t.Missed = append(t.Missed, y.Text(id))
			}
			answer.Results = append(answer.Results, t)
		}
	}
	writeJSON(w, http.StatusOK, answer)
	return nil
}
