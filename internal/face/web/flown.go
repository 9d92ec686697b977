package web

import (
	"fmt"
	"math"
	"net/http"
	"slices"
	"strconv"
	"time"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/flown"
	"hangtrue/internal/face/app"
)

// flownView is the page on which it is entered how a rig was weighed and flew.
type flownView struct {
	rigHead
	Form      flownForm
	On        string // version of the log that the page was made from
	Entries   []flownEntry
	Agreement []agreementView
	Problems  []problemView // of the log kept
}

// flownEntry is one lift, the latest first.
type flownEntry struct {
	Place             int
	Rig, Address      string
	Date, Who         string
	Version, Remarks  string
	Airspeed, Missing string
	Invented          bool
	Rows              []flownNumber
}

type flownNumber struct{ What, Measured, Computed, Off, Share, Words string }

type agreementView struct{ What, Cases, Mean, Spread, Most, Words string }

// flownShelf is where it is kept.
func (s *Server) flownShelf() (app.Keeper, error) {
	if s.Shelves == nil {
		return nil, refusal{http.StatusNotFound, "Not kept here", "This server keeps nothing beside its rigs."}
	}
	return s.Shelves.Shelf(app.Flown)
}

// rigsOf finds the versions of a rig.
func (s *Server) rigsOf(name string) func(version string) *rig.Rig {
	return func(version string) *rig.Rig {
		data, err := s.Keeper.Current(name)
		if err != nil {
			return nil
		}
		if app.Version(data) != version {
			if data, err = s.Keeper.Version(name, version); err != nil {
				return nil
			}
		}
		return s.solver.solve(data).Rig
	}
}

func (s *Server) flownPage(w http.ResponseWriter, r *http.Request) error {
	page, _, _, err := s.flownView(r)
	if err != nil {
		return err
	}
	switch q := r.URL.Query(); {
	case q.Has("entered"):
		page.Notice = "Entered."
	case q.Has("out"):
		page.Notice = "The entry is taken out of the list. The list as it was is kept among its versions."
	}
	return s.pages.write(w, http.StatusOK, "flown", page)
}

func (s *Server) flownView(r *http.Request) (*flownView, *app.FlownLog, app.Keeper, error) {
	head, solved, err := s.subpage(r, "flown")
	if err != nil {
		return nil, nil, nil, err
	}
	shelf, err := s.flownShelf()
	if err != nil {
		return nil, nil, nil, err
	}
	log, err := app.FlownOf(shelf, head.Name)
	if err != nil {
		return nil, nil, nil, err
	}
	p := &flownView{rigHead: head, On: log.Version}
	p.Form = flownForm{Date: s.Now().Format(time.DateOnly), Version: solved.Version, MostName: flown.MostName, MostRemarks: flown.MostRemarks}
	if err := s.formHints(&p.Form, head.Name, solved); err != nil {
		return nil, nil, nil, err
	}
	for _, x := range log.Problems {
		p.Problems = append(p.Problems, problemView{x.Line, capital(x.Text), x.Hint})
	}
	rows := log.Rows(s.rigsOf(head.Name))
	p.Entries = entriesOf(rows)
	p.Agreement = agreements(append(app.FlownAgreement(rows, false), app.FlownAgreement(rows, true)...))
	return p, log, shelf, nil
}

// formHints says in the form what is computed for the current version, and
// lists the versions that it may have been rigged from.
func (s *Server) formHints(f *flownForm, name string, solved *app.Solved) error {
	f.WeightUnit = "kg"
	if solved.Answer != nil {
		show := solved.Rig.Show()
		if show == quantity.US {
			f.WeightUnit = "lb"
		}
		f.WeightHint = "computed " + show.Mass(solved.Rig.Weight()/quantity.StandardGravity)
		f.PitchHint, f.RollHint = "computed "+show.Angle(solved.Answer.Bodies[0].Pitch), "computed "+show.Angle(solved.Answer.Bodies[0].Roll)
	}
	kept, err := s.Keeper.Versions(name)
	if err != nil {
		return err
	}
	for i, k := range kept {
		v := versionView{Version: k.Version, Current: i == 0, Base: k.Version == f.Version}
		if !k.At.IsZero() {
			v.At = k.At.Format("2006-01-02 15:04")
		}
		f.Versions = append(f.Versions, v)
	}
	return nil
}

func entriesOf(rows []app.FlownRow) []flownEntry {
	var out []flownEntry
	for i := range rows {
		x := &rows[i]
		e := flownEntry{
			Place: x.Place, Rig: x.Rig, Address: rigURL(x.Rig), Date: x.Lift.Date.Format(time.DateOnly), Who: x.Lift.Who,
			Version: x.Lift.Version, Remarks: x.Lift.Remarks, Missing: x.Missing, Invented: x.Invented,
		}
		if v := x.Lift.Airspeed; v != nil {
			e.Airspeed = v.String()
		}
		for _, c := range x.Compared {
			n := flownNumber{What: capital(c.What), Words: c.Words}
			if c.What == flown.Weight {
				mass := func(n float64) string { return x.Show.Mass(n / quantity.StandardGravity) }
				n.Measured, n.Computed, n.Off = mass(c.Measured), mass(c.Computed), signed(mass(c.Measured-c.Computed), c.Off())
				n.Share = signed(x.Show.Percent(c.Off()), c.Off())
			} else {
				n.Measured, n.Computed, n.Off = x.Show.Angle(c.Measured), x.Show.Angle(c.Computed), signed(x.Show.Angle(c.Off()), c.Off())
			}
			e.Rows = append(e.Rows, n)
		}
		out = append(out, e)
	}
	slices.SortStableFunc(out, func(a, b flownEntry) int {
		if a.Date != b.Date {
			return -compareText(a.Date, b.Date)
		}
		return b.Place - a.Place
	})
	return out
}

func compareText(a, b string) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// signed puts the sign of a difference in front of it.
func signed(text string, x float64) string {
	if x > 0 {
		return "+" + text
	}
	return text
}

func agreements(list []flown.Agreement) []agreementView {
	var out []agreementView
	for _, a := range list {
		word := quantity.Metric.Angle
		if a.What == flown.Weight {
			word = quantity.Metric.Percent
		}
		v := agreementView{What: capital(a.What), Cases: strconv.Itoa(a.Cases), Mean: signed(word(a.Mean), a.Mean), Spread: "–", Most: word(math.Abs(a.Most)), Words: a.Words()}
		if a.Cases > 1 {
			v.Spread = word(a.Spread)
		}
		out = append(out, v)
	}
	return out
}

// enterFlown keeps an entry, or takes one out.
func (s *Server) enterFlown(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	page, log, shelf, err := s.flownView(r)
	if err != nil {
		return err
	}
	again := func(form flownForm) error {
		form.MostName, form.MostRemarks = page.Form.MostName, page.Form.MostRemarks
		form.Versions, form.WeightHint, form.PitchHint, form.RollHint, form.WeightUnit = page.Form.Versions, page.Form.WeightHint, page.Form.PitchHint, page.Form.RollHint, page.Form.WeightUnit
		for i := range form.Versions {
			form.Versions[i].Base = form.Versions[i].Version == form.Version
		}
		page.Form = form
		return s.pages.write(w, http.StatusUnprocessableEntity, "flown", page)
	}
	if len(log.Problems) > 0 {
		return refusal{http.StatusConflict, "The list cannot be read", "The list of this rig has errors, so nothing is put on top of it. They are named on the page of what was flown."}
	}
	lifts, how := log.Lifts, "entered"
	form := page.Form
	switch r.PostFormValue("do") {
	case "enter":
		var lift flown.Lift
		form, lift = readFlown(r)
		if form.Wrong == "" && s.rigsOf(page.Name)(lift.Version) == nil {
			form.Wrong = "That version of the rig is not kept here. Choose the one that it was rigged from."
		}
		if form.Wrong == "" && len(lifts) >= flown.MostLifts {
			form.Wrong = fmt.Sprintf("The list is full: %d lifts.", flown.MostLifts)
		}
		if form.Wrong != "" {
			return again(form)
		}
		lifts = append(slices.Clone(lifts), lift)
	case "out":
		place, err := strconv.Atoi(r.PostFormValue("place"))
		left, ok := log.Without(place)
		if err != nil || !ok || r.PostFormValue("on") != log.Version {
			return refusal{http.StatusConflict, "The list was changed", "Somebody changed the list meanwhile. Load the page again."}
		}
		lifts, how = left, "out"
	default:
		return refusal{http.StatusBadRequest, "Not understood", "The page asked for something that it cannot do."}
	}
	saved, err := log.Save(shelf, lifts)
	if err != nil {
		return err
	}
	if !saved {
		form.Wrong = "Somebody entered something meanwhile. Press once more to put yours beneath it."
		return again(form)
	}
	http.Redirect(w, r, page.Address+"/flown?"+how, http.StatusSeeOther)
	return nil
}

func (s *Server) flownTable(w http.ResponseWriter, r *http.Request) error {
	head, solved, err := s.subpage(r, "flown")
	if err != nil {
		return err
	}
	rows, err := s.flownRows(head.Name)
	if err != nil {
		return err
	}
	data, err := app.FlownCSV(rows)
	if err != nil {
		return err
	}
	return s.sendStudy(w, head.Name+"-flown", solved.Version, "csv", data)
}

// flownRows are the lifts of one rig beside what was computed.
func (s *Server) flownRows(name string) ([]app.FlownRow, error) {
	shelf, err := s.flownShelf()
	if err != nil {
		return nil, err
	}
	log, err := app.FlownOf(shelf, name)
	if err != nil {
		return nil, err
	}
	return log.Rows(s.rigsOf(name)), nil
}

// allFlownView is the page over all rigs.
type allFlownView struct {
	frame
	Entries   []flownEntry
	Agreement []agreementView
	Invented  []agreementView
	Unread    []string // rigs whose list has errors
}

// everyFlown reads the lists of all rigs, also of rigs that are gone.
func (s *Server) everyFlown() (rows []app.FlownRow, unread []string, err error) {
	shelf, err := s.flownShelf()
	if err != nil {
		return nil, nil, err
	}
	names, err := shelf.Names()
	if err != nil {
		return nil, nil, err
	}
	for _, name := range names {
		log, err := app.FlownOf(shelf, name)
		if err != nil || len(log.Problems) > 0 {
			unread = append(unread, name)
			continue
		}
		rows = append(rows, log.Rows(s.rigsOf(name))...)
	}
	return rows, unread, nil
}

func (s *Server) allFlown(w http.ResponseWriter, _ *http.Request) error {
	rows, unread, err := s.everyFlown()
	if err != nil {
		return err
	}
	page := &allFlownView{
		frame: frame{Title: "As weighed and as flown", Result: true}, Entries: entriesOf(rows), Unread: unread,
		Agreement: agreements(app.FlownAgreement(rows, false)), Invented: agreements(app.FlownAgreement(rows, true)),
	}
	return s.pages.write(w, http.StatusOK, "flown-all", page)
}

func (s *Server) allFlownTable(w http.ResponseWriter, _ *http.Request) error {
	rows, _, err := s.everyFlown()
	if err != nil {
		return err
	}
	data, err := app.FlownCSV(rows)
	if err != nil {
		return err
	}
	return s.sendStudy(w, "flown", s.Now().Format(time.DateOnly), "csv", data)
}
