package web

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"time"

	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/face/app"
)

// signView is the page of an inspection that is looked at: what was found, what
// stands against signing, and what became of the signature.
type signView struct {
	frame
	ID, Load, Rig     string
	RigAddress        string
	Zone              string
	Status            string
	Red               string // the red tag because of which it cannot be signed
	Invented          bool
	Training          bool
	Phase             string
	Facts             [][2]string
	Result            string
	Wrong, Unsure     []answerView // open
	Mended            []answerView // found wrong, and put right since
	Unanswered        []string
	All               []answerView
	Remarks           []remarkView
	Against           []string
	Mine, Finished    bool
	CanSign           bool
	Seq               int64
	Signed            bool
	Entry             int64
	EntryAddress      string
	SignedAt          string
	Counts            bool
	Why               []string
	Lapses            []option
	LapseText         string
	CanRefuse         bool
	Notice, Problem   string
	Others            []pageLink
	Walk              string
	Sign, Lapse, Deny string
}

type answerView struct {
	Part, Ask, Answer string
	State, Do, Text   string
	Count             string
	At                string
	Photos            []string
	Over              bool
}

type remarkView struct {
	About, Text, At string
	Photos          []string
}

var answerWords = map[inspection.Word]string{inspection.Right: "right", inspection.Wrong: "wrong", inspection.CannotTell: "can’t tell", "": "not asked or not answered"}

var doWords = map[string]string{"stop": "stopped: left as it is", "put-right": "to be put right and looked at again"}

func (s *Server) signPage(w http.ResponseWriter, r *http.Request) error {
	v := &signView{}
	if q := r.URL.Query(); q.Has("signed") {
		v.Notice = "Signed. The record is sealed."
	} else if q.Has("lapsed") {
		v.Notice = "It is recorded that the signature no longer counts."
	} else if q.Has("refused") {
		v.Notice = "It is recorded that the load is refused. No reason is needed."
	}
	return s.writeSign(w, r, http.StatusOK, v)
}

func (s *Server) writeSign(w http.ResponseWriter, r *http.Request, status int, v *signView) error {
	me, ctx := personOf(r), r.Context()
	g, err := s.School.Signing(ctx, me, r.PathValue("id"))
	if err != nil {
		return told(err)
	}
	x := &g.Summary
	d, err := s.inspected(x, g.State)
	if err != nil {
		return err
	}
	called, err := s.School.Called(ctx, me, x.By, x.Rigger)
	if err != nil {
		return told(err)
	}
	v.frame = frame{Title: x.Load + " – what was found", Result: true, Script: "inspect-sign.js"}
	v.ID, v.Load, v.Rig, v.RigAddress, v.Zone, v.Training, v.Seq = x.ID, x.Load, x.Rig, rigURL(x.Rig), zoneWords, x.Training, g.State.Seq
	v.Status, v.Phase, v.Result = "The rig cannot be read", string(x.Phase), capital(g.State.Result())
	if d.solved.Rig != nil {
		v.Status, v.Invented, v.Rig = capital(d.solved.Rig.Status().String()), d.solved.Rig.Invented(), titleOf(d.solved.Rig)
	}
	if v.Red, err = s.redOn(r, x); err != nil {
		return err
	}
	if v.Red != "" && d.solved.Rig != nil {
		v.Status = capital(d.solved.Rig.Status().OfPlan())
	}
	v.Mine, v.Finished, v.Signed = x.By == me.ID, x.Phase == inspection.Finished, x.Phase == inspection.Signed
	v.Sign, v.Lapse, v.Deny = inspectURL(x.ID)+"/sign", inspectURL(x.ID)+"/lapse", inspectURL(x.ID)+"/refuse"
	if v.Mine && !v.Signed {
		v.Walk = inspectURL(x.ID)
		for _, why := range g.Against {
			v.Against = append(v.Against, capital(why)+".")
		}
		v.CanSign = v.Finished && len(g.Against) == 0
	}
	v.facts(s, g, called)
	v.answers(s, d, g.State, student(me))
	v.CanRefuse = me.May(people.Refuse) && !x.Training
	if v.Signed {
		if err := v.signature(s, r, x); err != nil {
			return err
		}
	}
	if v.Others, err = s.others(r, x); err != nil {
		return err
	}
	return s.pages.write(w, status, "sign", v)
}

func (v *signView) facts(s *Server, g *app.Signing, called map[string]string) {
	x, st := &g.Summary, g.State
	add := func(head, text string) {
		if text != "" {
			v.Facts = append(v.Facts, [2]string{head, text})
		}
	}
	add("Weight", g.Record.Weight)
	add("Weight known by", g.Record.Known)
	add("Aircraft", orSay(st.Begin.Aircraft, "not chosen"))
	add("Procedure", orSay(st.Begin.Procedure, "none entered"))
	add("Version of the rig", app.ShortVersion(x.RigVersion))
	add("Rigged by", joined(", ", called[x.Rigger], st.Begin.Unit))
	inspector := called[x.By]
	if q := g.Record.Inspector; q.ID == x.By && q.Qualification != "" {
		inspector += ", qualified as " + joined(", ", q.Qualification, q.Scope, "appointed by "+q.Authority)
		if q.Until != "" {
			inspector += ", to " + string(q.Until)
		}
	}
	add("Inspected by", inspector)
	for _, set := range g.Record.Sets {
		text := set.Kind + " " + set.Serial
		if set.Due != "" {
			text += ", next due " + string(set.Due)
		}
		add("Equipment", text)
	}
	add("Started", s.when(st.Started)+" by the tablet’s clock")
	if !st.Finished.IsZero() {
		add("Finished", s.when(st.Finished)+" by the tablet’s clock")
	}
	if n := st.Paused; n > 0 {
		add("Paused", counted(n, "time", "times"))
	}
	add("Clocks", clockWords(st.Clock))
}

// clockWords says how far the tablet's times and the laptop's are apart.
func clockWords(d time.Duration) string {
	if d < time.Minute {
		return ""
	}
	m := int(d.Round(time.Minute).Minutes())
	far := counted(m, "minute", "minutes")
	if m >= 120 {
		far = fmt.Sprintf("%d hours %d minutes", m/60, m%60)
	}
	return "an entry reached the laptop up to " + far + " from the time that the tablet showed: the clocks differ, or it waited on the tablet"
}

func (v *signView) answers(s *Server, d *inspected, state *inspection.State, student bool) {
	asked, _ := d.questions(state)
	known := map[inspection.Task]question{}
	for _, q := range asked {
		known[q.Task] = q
	}
	for _, g := range state.Answers {
		a := s.answerView(known[g.Task], g.Reply, state.Begin.Blind && student)
		a.At, a.Over = s.when(g.At), g.Over
		for _, p := range g.Photos {
			a.Photos = append(a.Photos, inspectURL(state.ID)+"/photo/"+p)
		}
		v.All = append(v.All, a)
		switch {
		case g.Answer == inspection.Wrong && g.Over:
			v.Mended = append(v.Mended, a)
		case g.Answer == inspection.Wrong:
			v.Wrong = append(v.Wrong, a)
		case g.Answer == inspection.CannotTell && !g.Over:
			v.Unsure = append(v.Unsure, a)
		}
	}
	for _, t := range state.Unanswered() {
		a := s.answerView(known[t], inspection.Reply{Task: t}, true)
		v.Unanswered = append(v.Unanswered, a.Part+": "+a.Ask)
	}
	for _, m := range state.Remarks {
		y := remarkView{About: m.About, Text: m.Text, At: s.when(m.At)}
		if m.About == "anything-else" {
			y.About = "Anything else"
		}
		for _, p := range m.Photos {
			y.Photos = append(y.Photos, inspectURL(state.ID)+"/photo/"+p)
		}
		v.Remarks = append(v.Remarks, y)
	}
}

// answerView words an answer. The planned figure is left out where it is hidden.
func (s *Server) answerView(q question, r inspection.Reply, hidden bool) answerView {
	a := answerView{Part: r.Part, Ask: r.Attribute, Answer: answerWords[r.Answer], State: r.State, Do: doWords[r.Do], Text: r.Text}
	if q.Asks != nil {
		a.Part, a.Ask = capital(q.Asks.Part.Name), q.Asks.Attribute.Ask
		if st, ok := q.Asks.Attribute.State(r.State); ok {
			a.State = st.Text
		}
		if q.Asks.Attribute.Plan == part.PlanCount && r.Count != nil && !hidden {
			a.Count = ", planned: " + q.Asks.Planned
		}
	}
	if r.Count != nil {
		a.Count = "counted " + strconv.Itoa(*r.Count) + a.Count
	}
	return a
}

func (v *signView) signature(s *Server, r *http.Request, x *inspection.Summary) error {
	st, err := s.School.Standing(r.Context(), *x)
	if err != nil {
		return err
	}
	me := personOf(r)
	v.Entry, v.SignedAt, v.Counts, v.Why = x.Entry, s.when(x.SignedAt), st.Counts, st.Why
	if me.May(people.SeeRecords) {
		v.EntryAddress = "/records/" + strconv.FormatInt(x.Entry, 10)
	}
	if x.Lapsed != "" || !me.May(people.Lapse) {
		return nil
	}
	settings, _, err := s.School.Settings()
	if err != nil {
		return err
	}
	for _, reason := range settings.Lapses {
		v.Lapses = append(v.Lapses, option{Value: string(reason), Words: reason.Words()})
	}
	if !slices.Contains(settings.Lapses, app.SomethingElse) {
		v.Lapses = append(v.Lapses, option{Value: string(app.SomethingElse), Words: app.SomethingElse.Words()})
	}
	return nil
}

// others are the other inspections of the same load as rigged.
func (s *Server) others(r *http.Request, x *inspection.Summary) ([]pageLink, error) {
	me := personOf(r)
	list, err := s.School.Inspections(r.Context(), me, x.Rig, mostLoads)
	if err != nil {
		return nil, told(err)
	}
	var out []pageLink
	for i := range list {
		if o := &list[i]; sameLoad(x, o) {
			called, err := s.School.Called(r.Context(), me, o.By)
			if err != nil {
				return nil, told(err)
			}
			out = append(out, pageLink{Address: compareURL(x.ID, o.ID), Words: fmt.Sprintf("%s, %s, %s", called[o.By], s.when(o.Started), o.Phase)})
		}
	}
	return out, nil
}

// sign seals the record.
func (s *Server) sign(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	id := r.PathValue("id")
	seq, err := strconv.ParseInt(r.PostFormValue("seq"), 10, 64)
	if err != nil {
		seq = -1
	}
	_, err = s.School.Sign(r.Context(), personOf(r), id, seq)
	var not *app.NotSignable
	switch {
	case errors.As(err, &not):
		return s.writeSign(w, r, http.StatusConflict, &signView{Problem: "Not signed: what stands against it is listed below."})
	case errors.Is(err, inspection.ErrMoved):
		return s.writeSign(w, r, http.StatusConflict, &signView{Problem: "Not signed: something was added since you looked. This is how it stands now; look at it and sign then."})
	case err != nil:
		return told(err)
	}
	http.Redirect(w, r, inspectURL(id)+"/sign?signed", http.StatusSeeOther)
	return nil
}

// lapse records that a signature no longer counts.
func (s *Server) lapse(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	id, text := r.PathValue("id"), r.PostFormValue("text")
	_, err := s.School.Lapse(r.Context(), personOf(r), id, app.LapseReason(r.PostFormValue("why")), text)
	if fields := fieldsOf(err); len(fields) > 0 {
		return s.writeSign(w, r, http.StatusUnprocessableEntity, &signView{Problem: "Not recorded. " + first(fields), LapseText: text})
	}
	if err != nil {
		return told(err)
	}
	http.Redirect(w, r, inspectURL(id)+"/sign?lapsed", http.StatusSeeOther)
	return nil
}

// refuseLoad records that a pilot refuses the load.
func (s *Server) refuseLoad(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	me, id := personOf(r), r.PathValue("id")
	x, _, err := s.School.Inspection(r.Context(), me, id)
	if err != nil {
		return told(err)
	}
	if x.Training {
		return refusal{http.StatusConflict, "Not recorded", "A training load is not flown, so nobody can refuse it."}
	}
	_, err = s.School.RefuseLoad(r.Context(), me, x.Load, id, r.PostFormValue("who"), r.PostFormValue("text"))
	if fields := fieldsOf(err); len(fields) > 0 {
		return s.writeSign(w, r, http.StatusUnprocessableEntity, &signView{Problem: "Not recorded. " + first(fields)})
	}
	if err != nil {
		return told(err)
	}
	http.Redirect(w, r, inspectURL(id)+"/sign?refused", http.StatusSeeOther)
	return nil
}

// first is the text of what is wrong in a form, of its first field by name.
func first(fields map[string]string) string {
	for _, key := range sortedKeys(fields) {
		return fields[key]
	}
	return ""
}
