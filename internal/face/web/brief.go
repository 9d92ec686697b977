package web

import (
	"errors"
	"fmt"
	"html/template"
	"io/fs"
	"net/http"
	"slices"

	"hangtrue/internal/engine/brief"
	"hangtrue/internal/engine/brief/brieffile"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/draw/svg"
	paper "hangtrue/internal/paper/placard"
)

// briefTexts are what the school enters for load briefs, each under its rig's
// name.
var briefTexts = shelved{kind: app.Briefs, folder: "/rig/", one: "load brief", file: "Format hangtrue.brief/1"}

// briefView is the page of a load brief, and each of its screens.
type briefView struct {
	rigHead
	Brief    *brief.Brief
	Draft    bool
	Before   string
	Why      []string
	Kind     paper.Kind
	Papers   []briefPaper
	Rows     []brief.Section
	Trace    template.HTML
	Counts   string
	Ticks    []briefTick
	Now      string
	From     string // folder of the page that enters what was done
	Blank    []string
	Troubles []string
	Void     []string
	Versions []versionView
	Stamp    paper.Stamp // the versions it was made from
	Entered  bool        // something is entered
	Signable bool
	Problem  string // with what was entered as done
}

type briefPaper struct {
	Kind    paper.Kind
	Words   string
	Address string
	Here    bool
	About   string
}

type briefTick struct {
	brief.Tick
	Name, Time string // as typed, where they were refused
}

// madeBrief is a rig's brief with the texts that it was made from.
type madeBrief struct {
	head     rigHead
	load     *app.LoadBrief // nil where the rig does not hang
	text     []byte         // of the brief; nil where none is kept
	aircraft string
	troubles []string
}

// briefText is the current text of a rig's brief, nil where none is kept.
func (s *Server) briefText(name string) ([]byte, error) {
	if s.Shelves == nil {
		return nil, nil
	}
	keeper, err := s.keeper(briefTexts)
	if err != nil {
		return nil, err
	}
	data, err := keeper.Current(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return data, err
}

// register is the register of procedures, nil where there is none.
func (s *Server) register() ([]byte, error) {
	return s.registerData()
}

// notMissing is an error other than that something is not there.
func notMissing(err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return err
}

// makeBrief makes the current brief of the rig that a request names. What
// stands in its way is told and not an error.
func (s *Server) makeBrief(r *http.Request) (*madeBrief, error) {
	head, solved, err := s.subpage(r, "brief")
	if err != nil {
		return nil, err
	}
	m := &madeBrief{head: head}
	if m.text, err = s.briefText(head.Name); err != nil {
		return nil, err
	}
	if solved.Answer == nil {
		return m, nil
	}
	from := app.BriefFrom{Rig: solved, Name: head.Name, Today: s.Now()}
	if m.text != nil {
		if _, problems := brieffile.Read(m.text); len(problems) > 0 {
			m.troubles = append(m.troubles, fmt.Sprintf("The text of the brief has errors, so nothing in it is on the papers: line %d, %s.", problems[0].Line, problems[0].Text))
		} else {
			from.Brief = m.text
			m.aircraft = brieffile.Typed(m.text)["aircraft"]
		}
	}
	if m.aircraft != "" {
		switch from.Aircraft, err = s.aircraftData(m.aircraft); {
		case errors.Is(err, fs.ErrNotExist):
			m.troubles = append(m.troubles, "There is no aircraft named "+m.aircraft+".")
			from.Aircraft = nil
		case err != nil:
			return nil, err
		}
	}
	if from.Register, err = s.register(); err != nil {
		return nil, err
	}
	m.load = app.MakeBrief(from)
	for m.load.Brief == nil {
		switch m.load.WrongIn {
		case "aircraft":
			m.troubles = append(m.troubles, "The text of the aircraft "+m.aircraft+" has errors, so the papers are without it.")
			from.Aircraft = nil
		case "register":
			from.Review = "the register of procedures cannot be read"
			m.troubles = append(m.troubles, "The register of procedures has errors, so it cannot be told what is in force.")
			from.Register = nil
		default:
			from.Brief = nil
		}
		m.load = app.MakeBrief(from)
	}
	m.head.Status, m.head.Draft = capital(m.load.Status.String()), ""
	m.head.Invented = m.load.Invented
	return m, nil
}

// view is the brief as its pages show it.
func (s *Server) briefView(m *madeBrief, kind paper.Kind) (*briefView, error) {
	b := m.load.Brief
	v := &briefView{
		rigHead: m.head, Brief: b, Draft: b.Draft(), Before: b.Before(), Kind: kind, Counts: b.CountsHead(), Now: s.Now().Format(brieffile.DoneAt),
		Blank: b.Blank, Troubles: m.troubles, Stamp: m.load.Versions, Entered: m.text != nil, Signable: b.Signable(),
	}
	v.Script = "brief.js"
	for _, why := range b.Why {
		v.Why = append(v.Why, capital(why))
	}
	for _, k := range paper.Kinds() {
		v.Papers = append(v.Papers, briefPaper{
			Kind: k, Words: k.Words(), Address: m.head.Address + "/brief/" + string(k), Here: k == kind,
			About: map[paper.Kind]string{
				paper.Placard: "Hangs on the load: weight, counts, which leg goes where.",
				paper.Aircrew: "For the cockpit: weight, hook, attitude, airspeed, limits, dangerous goods, jettison area.",
				paper.Team:    "For the people under the aircraft: roles, discharge, place, signals, emergencies.",
			}[k],
		})
	}
	for _, t := range b.Ticks {
		v.Ticks = append(v.Ticks, briefTick{Tick: t, Time: v.Now})
	}
	switch kind {
	case paper.Placard:
		v.Rows = b.Placard
		text, err := svg.String(paper.TracePicture(b, 90, 80))
		if err != nil {
			return nil, err
		}
		v.Trace = template.HTML(text) // our own drawing, its texts escaped
	case paper.Aircrew:
		v.Rows = b.Aircrew
	case paper.Team:
		v.Rows = b.Team
	}
	if kind != "" {
		v.Title = kind.Words() + " – " + b.Title
	}
	return v, s.briefVersions(v, m)
}

// briefVersions lists the brief's versions and which papers are void.
func (s *Server) briefVersions(v *briefView, m *madeBrief) error {
	if s.Shelves == nil {
		return nil
	}
	keeper, err := s.keeper(briefTexts)
	if err != nil {
		return err
	}
	kept, err := keeper.Versions(m.head.Name)
	if notMissing(err) != nil {
		return err
	}
	for i, k := range kept {
		x := versionView{Version: k.Version, Current: i == 0}
		if !k.At.IsZero() {
			x.At = k.At.Format("2006-01-02 15:04")
		}
		if !k.Printed.IsZero() {
			x.Printed = k.Printed.Format("2006-01-02 15:04")
			text, err := keeper.Version(m.head.Name, k.Version)
			if err != nil {
				return err
			}
			x.Void = i > 0 && !brieffile.SamePlan(text, m.text)
			if x.Void {
				v.Void = append(v.Void, "Papers printed "+x.Printed+" from brief version "+app.ShortVersion(k.Version)+": the brief was changed since.")
			}
		}
		v.Versions = append(v.Versions, x)
	}
	old := func(keeper app.Keeper, name, what string) error {
		kept, err := keeper.Versions(name)
		if err != nil {
			return notMissing(err)
		}
		for _, k := range kept[min(1, len(kept)):] {
			if !k.Printed.IsZero() {
				v.Void = append(v.Void, fmt.Sprintf("Papers printed %s from %s version %s: the %s was changed since.", k.Printed.Format("2006-01-02 15:04"), what, app.ShortVersion(k.Version), what))
			}
		}
		return nil
	}
	if err := old(s.Keeper, m.head.Name, "rig"); err != nil {
		return err
	}
	if m.aircraft == "" {
		return nil
	}
	aircraft, err := s.keeper(aircraftTexts)
	if err != nil {
		return err
	}
	return old(aircraft, m.aircraft, "aircraft")
}

func (s *Server) briefPage(w http.ResponseWriter, r *http.Request) error {
	m, err := s.makeBrief(r)
	if err != nil {
		return err
	}
	if m.load == nil {
		return s.unready(w, m.head)
	}
	v, err := s.briefView(m, "")
	if err != nil {
		return err
	}
	if r.URL.Query().Has("saved") {
		v.Notice = "Saved as version " + app.ShortVersion(app.Version(m.text)) + "."
	}
	return s.pages.write(w, http.StatusOK, "brief", v)
}

func (s *Server) briefScreen(w http.ResponseWriter, r *http.Request) error {
	kind := paper.Kind(r.PathValue("paper"))
	if !slices.Contains(paper.Kinds(), kind) {
		return refusal{http.StatusNotFound, "Nothing here", "A load brief has the papers placard, aircrew and team."}
	}
	m, err := s.makeBrief(r)
	if err != nil {
		return err
	}
	if m.load == nil {
		return s.unready(w, m.head)
	}
	v, err := s.briefView(m, kind)
	if err != nil {
		return err
	}
	v.From = string(kind)
	return s.pages.write(w, http.StatusOK, "brief-screen", v)
}
