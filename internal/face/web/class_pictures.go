package web

import (
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"net/url"
	"strings"

	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/teach"
	"hangtrue/internal/face/app"
)

func laneRunURL(run string) string { return "/lane-run/" + url.PathEscape(run) }

type myLanesView struct {
	frame
	notice
	Lanes []myLane
}

type myLane struct {
	ID, Title, Class, Limit, CallIs, Aids string
	Invented                              bool
	Has                                   string // how many pictures, and the time for each
	Rule                                  []string
	Against                               string
	Going                                 string // address of the run that has not ended
	Past                                  []pageLink
}

// myLanesPage lists the lanes in pictures that a student may run here.
func (s *Server) myLanesPage(w http.ResponseWriter, r *http.Request) error {
	return s.myLanes(w, r, http.StatusOK, notice{})
}

func (s *Server) myLanes(w http.ResponseWriter, r *http.Request, status int, words notice) error {
	list, err := s.School.PictureLanes(r.Context(), personOf(r))
	if err != nil {
		return classRefusal(err)
	}
	v := &myLanesView{frame: frame{Title: "My lanes"}, notice: words}
	for i := range list {
		x := &list[i]
		setup := &x.Lane.Setup
		row := myLane{
			ID: x.Lane.ID, Title: setup.Title, Class: x.Class, CallIs: setup.CallIs, Aids: setup.Aids, Invented: setup.Invented, Rule: ruleWords(setup),
			Against: capital(strings.Join(x.Against, "; ")),
		}
		if setup.Rule.Within != nil {
			row.Limit = app.ClockWords(*setup.Rule.Within)
		}
		if x.Has.Shown > 0 {
			row.Has = x.Has.Words()
		}
		for _, walk := range x.Walks {
			if walk.Ended {
				row.Past = append(row.Past, pageLink{laneRunURL(walk.Run), s.when(walk.Began), false})
			} else {
				row.Going = laneRunURL(walk.Run)
			}
		}
		v.Lanes = append(v.Lanes, row)
	}
	return s.pages.write(w, status, "my-lanes", v)
}

// startLaneRun begins a run and goes to its first station.
func (s *Server) startLaneRun(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	run, err := s.School.StartPictures(r.Context(), personOf(r), r.PostFormValue("lane"))
	words, status, err := noticeOf(err, "")
	switch {
	case err != nil:
		return err
	case words.Wrong:
		return s.myLanes(w, r, status, words)
	}
	http.Redirect(w, r, laneRunURL(run), http.StatusSeeOther)
	return nil
}

func laneRunRefusal(err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return refusal{http.StatusNotFound, "Not there", "There is no such run of yours, or that picture is not shown now."}
	}
	return err
}

// laneRunPage shows the station that a student stands at in a lane, or what the
// run came to.
func (s *Server) laneRunPage(w http.ResponseWriter, r *http.Request) error {
	d, err := s.School.WalkDesk(r.Context(), personOf(r), r.PathValue("run"))
	if err != nil {
		return laneRunRefusal(err)
	}
	if d.Over {
		return s.laneRunEnd(w, r, d)
	}
	v, err := s.drillStationView(r, &d.DrillDesk, laneRunURL(d.Run), "")
	if err != nil {
		return err
	}
	v.Lane, v.Shared = d.Lane.Setup.Title, false
	v.Title = fmt.Sprintf("%s, picture %d of %d", v.Lane, v.At, v.Count)
	for i := range v.Items {
		if x := &v.Items[i]; !x.CalledWrong {
			x.CalledRight = true
		}
	}
	return s.pages.write(w, http.StatusOK, "drill", v)
}

// answerLaneRun takes what is called at a station, or ends the run.
func (s *Server) answerLaneRun(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	run, me := r.PathValue("run"), personOf(r)
	var err error
	if r.PostFormValue("do") == "end" {
		err = s.School.StopWalk(r.Context(), me, run)
	} else {
		err = s.School.AnswerWalk(r.Context(), me, run, saidIn(r))
	}
	if err != nil {
		return laneRunRefusal(err)
	}
	http.Redirect(w, r, laneRunURL(run), http.StatusSeeOther)
	return nil
}

// laneRunPicture sends a picture of the station that the student stands at.
func (s *Server) laneRunPicture(w http.ResponseWriter, r *http.Request) error {
	data, err := s.School.WalkPicture(r.Context(), personOf(r), r.PathValue("run"), r.PathValue("picture"), r.URL.Query().Has("night"))
	if err != nil {
		return laneRunRefusal(err)
	}
	w.Header().Set("Content-Type", "image/png")
	_, err = w.Write(data)
	return err
}

// laneRunEndView is what a run of a lane in pictures came to.
type laneRunEndView struct {
	frame
	Lane, Class      string
	Invented         bool
	Outcome, Numbers string
	Rule, Reasons    []string
	Status           string // of the rig, where what would have been done is told
	Shown            bool
	Missed, False    []drillItemView
	Found            []drillItemView
	Open             int
}

func (s *Server) laneRunEnd(w http.ResponseWriter, r *http.Request, d *app.WalkDesk) error {
	setup := &d.Lane.Setup
	v := &laneRunEndView{frame: frame{Title: setup.Title + ": the result", Result: true}, Lane: setup.Title, Class: d.Class, Invented: setup.Invented, Rule: ruleWords(setup), Shown: d.Shown}
	v.Open = len(d.Pictures) - len(d.Answers)
	if x := d.Result; x != nil {
		v.Outcome, v.Numbers = capital(x.Outcome.Words()), app.NumbersWords(x)
		for _, y := range app.PlainReasons(x.Reasons) {
			v.Reasons = append(v.Reasons, capital(y))
		}
	}
	if !d.Shown {
		return s.pages.write(w, http.StatusOK, "lane-run-end", v)
	}
	did, status, err := s.laneDid(r, d)
	if err != nil {
		return err
	}
	v.Status = capital(status)
	answers := map[int]*teach.DrillAnswer{}
	for i := range d.Answers {
		answers[d.Answers[i].N] = &d.Answers[i]
	}
	for i := range d.Pictures {
		p, a := &d.Pictures[i], answers[i]
		called := a != nil && a.Wrong && !a.Late
		if !p.Faulty() && !called {
			continue
		}
		x := drillItemView{Number: i + 1, Picture: laneRunURL(d.Run) + "/picture/" + p.Name, Parts: capital(p.Parts), Ask: p.Ask, Found: p.Found, Matters: p.Matters, Said: "nothing", Faulty: p.Faulty()}
		if x.Did, err = did(p.Deficiency); err != nil {
			return err
		}
		if a != nil {
			x.Seconds = app.ClockWords(a.After)
		}
		if called {
			x.Said = p.Choice(a.Choice)
		}
		switch {
		case !p.Faulty():
			x.Verdict = "A false call: nothing was wrong."
			v.False = append(v.False, x)
		case !called:
			x.Verdict = "Missed."
			v.Missed = append(v.Missed, x)
		case !a.Named(p):
			x.Verdict = "Called, and something else named."
			v.Found = append(v.Found, x)
		default:
			x.Verdict = "Found."
			v.Found = append(v.Found, x)
		}
	}
	return s.pages.write(w, http.StatusOK, "lane-run-end", v)
}

// laneDid says what each deficiency of a lane's rig would have done, computed,
// and the rig's status.
func (s *Server) laneDid(r *http.Request, d *app.WalkDesk) (did func(id string) (string, error), status string, err error) {
	desk, school, err := s.School.WalkReview(r.Context(), personOf(r), d)
	if err != nil {
		return nil, "", laneRunRefusal(err)
	}
	effects, err := effectTables.of(&walkDesk{solved: &desk.Solved, survey: desk.Survey, school: school})
	if err != nil {
		return nil, "", err
	}
	ended := app.EndedWords(r.Context(), desk.Survey)
	return func(id string) (string, error) {
		x := desk.Deficiency(id)
		if words := app.EffectWords(effects, x); words != "" {
			return words, nil
		}
		return ended(x)
	}, desk.Solved.Rig.Status().String(), nil
}

// openLane lets students run a lane in pictures, or no longer.
func (s *Server) openLane(r *http.Request, me *people.Person, lane string) (done string, err error) {
	open := r.PostFormValue("do") == "open"
	done = "Closed: nobody begins a run of it any more. Who is in one may end it."
	if open {
		done = "Open: students of the class find it under My lanes and run it on their own screens."
	}
	return done, s.School.OpenLane(r.Context(), me, lane, open)
}
