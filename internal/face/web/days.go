package web

import (
	"errors"
	"html/template"
	"io/fs"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/draw/svg"
)

// dayTexts are the sortie plans.
var dayTexts = shelved{kind: app.Days, folder: "/days/", one: "sortie plan", a: "a sortie plan", file: "Format hangtrue.day/1. The plan follows the text as it is typed.", first: func(*Server, string) []byte { return nil }}

// newDay is what a plan begins with.
const newDay = `# Replace every number, then take out the line "invented: yes".
format: hangtrue.day/1
title: New sortie plan
invented: yes
aircraft: single              # a name from the list of aircraft
begins: 07:30
start: valley
fuel: 250 kg
fills: [250 kg, 350 kg]       # fuel aboard after refuelling, to choose from
speed: {empty: 80 kt, loaded: 55 kt}
times: {hook-up: 3 min, set-down: 2 min, refuel: 8 min}
places:
  - {id: valley, fuel: yes, elevation: 640 m, air: [{qnh: 1018 hPa, temperature: 9 degC}]}
  - id: hut
    elevation: 1870 m
    air:
      - {qnh: 1018 hPa, temperature: 3 degC}
      - {from: 11:00, qnh: 1016 hPa, temperature: 11 degC}
distances:
  - {between: [valley, hut], distance: 7.4 km}
lifts:
  - id: timber
    from: valley
    loads:
      - {id: timber, mass: 420 kg, known: weighed, to: hut, hook: belly, rigging: [{what: two legs, rated: 900 kg}]}
`

// dayList is the page of all sortie plans.
type dayList struct {
	frame
	Days                 []dayCard
	Notice, Typed, Begin string
}

type dayCard struct {
	Name, Address, Title string
	Invented             bool
	Facts                []string
	Wrong                string
}

func (s *Server) daysPage(w http.ResponseWriter, _ *http.Request) error {
	page, err := s.dayList()
	if err != nil {
		return err
	}
	return s.pages.write(w, http.StatusOK, "days", page)
}

func (s *Server) dayList() (*dayList, error) {
	keeper, err := s.keeper(dayTexts)
	if err != nil {
		return nil, err
	}
	names, err := keeper.Names()
	if err != nil {
		return nil, err
	}
	page := &dayList{frame: frame{Title: "Sortie plans"}}
	for _, name := range names {
		c := dayCard{Name: name, Address: dayTexts.address(name), Title: name}
		data, err := keeper.Current(name)
		if err != nil {
			s.Log.Warn("a sortie plan cannot be read", "name", name, "error", err)
			c.Wrong = "The file cannot be read. What is wrong stands in the program’s log."
		} else if d := app.ReadDay(data); d.File == nil {
			c.Wrong = counted(len(d.Problems), "error in the text, named with its line.", "errors in the text, each named with its line.")
		} else {
			if d.File.Title != "" {
				c.Title = unmarked(d.File.Title, d.File.Invented)
			}
			c.Invented, c.Facts = d.File.Invented, []string{"Aircraft: " + d.File.Aircraft}
		}
		page.Days = append(page.Days, c)
	}
	return page, nil
}

// addDay begins a new plan.
func (s *Server) addDay(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	name, data := strings.TrimSpace(r.PostFormValue("name")), []byte(newDay)
	refused := func(why string) error {
		page, err := s.dayList()
		if err != nil {
			return err
		}
		page.Notice, page.Typed, page.Begin = "Not added: "+why, name, r.PostFormValue("begin")
		return s.pages.write(w, http.StatusUnprocessableEntity, "days", page)
	}
	keeper, err := s.keeper(dayTexts)
	if err != nil {
		return err
	}
	if begin := r.PostFormValue("begin"); begin != "" {
		if data, err = keeper.Current(begin); err != nil {
			return refused("there is no sortie plan named " + begin + ".")
		}
	}
	if name == "" {
		return refused("give it a name, such as the day and the place.")
	}
	if why, err := s.addText(dayTexts, name, data); err != nil {
		return err
	} else if why != "" {
		return refused(why)
	}
	http.Redirect(w, r, dayTexts.address(name), http.StatusSeeOther)
	return nil
}

// dayView is a sortie plan's page.
type dayView struct {
	keptText
	Planned            bool
	Kind, Words, Cause string
	Aircraft           string
	AircraftAddress    string
	Trips              []dayTrip
	Left               []dayLeft
	Equipment          []dayEquipment
	Levels             []levelView
	Unproved           bool
	Timeline           template.HTML
	Notes              string
	Waiting            string // loads of the rigs here, as the text takes them
}

type dayTrip struct {
	N        int
	Lift     string
	Clock    string
	Stages   []dayStage
	Hangings []dayHanging
}

type dayStage struct{ Begin, End, What, Where, Load, Fuel, Spare, Governs string }

type dayHanging struct{ After, Hooks, Gross, CG string }

type dayLeft struct{ Lift, Words, Why, Kind string }

type dayEquipment struct{ Lift, Load, What, Mass, Place, Home string }

var dayParts = []string{"day-head", "day-plan"}

func (s *Server) dayPage(w http.ResponseWriter, r *http.Request) error {
	t, err := s.askedText(dayTexts, r.PathValue("name"), r)
	if err != nil {
		return err
	}
	page, err := s.dayView(r, t)
	if err != nil {
		return err
	}
	if page.Waiting, err = s.waitingLoads(); err != nil {
		return err
	}
	return s.pages.write(w, http.StatusOK, "day", page)
}

func (s *Server) changeDay(w http.ResponseWriter, r *http.Request) error {
	t, err := s.postedText(dayTexts, r)
	if err != nil {
		return err
	}
	status, done, err := s.pressed(w, r, dayTexts, t)
	if err != nil || done {
		return err
	}
	page, err := s.dayView(r, t)
	if err != nil {
		return err
	}
	return s.answerText(w, r, status, "day", &page.keptText, page, dayParts)
}

// planDay reads a plan's text and plans it with its aircraft.
func (s *Server) planDay(data []byte) (*app.Day, error) {
	d := app.ReadDay(data)
	if d.File == nil {
		return d, nil
	}
	name := strings.TrimSuffix(d.File.Aircraft, ".yaml")
	text, err := s.aircraftData(name)
	if errors.Is(err, fs.ErrNotExist) {
		names, err := s.aircraftNames()
		if err != nil {
			return nil, err
		}
		d.Problems = []document.Problem{d.File.NoAircraft("there is no aircraft "+name, "one of "+strings.Join(names, ", "))}
		return d, nil
	} else if err != nil {
		return nil, err
	}
	a := app.ReadAircraft(text)
	if a.Aircraft == nil {
		d.Problems = []document.Problem{d.File.NoAircraft("the text of the aircraft "+name+" has errors", "open it among the aircraft")}
		return d, nil
	}
	d.PlanWith(&a)
	return d, nil
}

func (s *Server) dayView(r *http.Request, t *keptText) (*dayView, error) {
	d, err := s.planDay(t.data)
	if err != nil {
		return nil, err
	}
	if err := s.finishText(dayTexts, t, d.Problems); err != nil {
		return nil, err
	}
	t.Result = true
	p := &dayView{keptText: *t, Kind: "unread", Words: "No plan", Cause: counted(len(d.Problems), "error in the text, named with its line.", "errors in the text, each named with its line.")}
	if d.File != nil {
		if d.File.Title != "" {
			p.Heading = unmarked(d.File.Title, d.File.Invented)
		}
		p.Title, p.Invented, p.Notes = p.Heading, d.File.Invented, d.File.Notes
	} else if fields, ok := typedOf(t.data); ok {
		p.marked(fields)
	}
	if d.Plan == nil {
		return p, nil
	}
	if err := p.plan(d); err != nil {
		return nil, err
	}
	barred, err := s.barredLoads(r, d)
	p.bar(barred)
	return p, err
}

// plan words a plan.
func (p *dayView) plan(d *app.Day) error {
	show, spec := d.Show(), d.Aircraft.Aircraft.Spec()
	p.Planned, p.Invented, p.Aircraft = true, d.Invented(), unmarked(spec.Title, spec.Invented)
	p.AircraftAddress = aircraftTexts.address(strings.TrimSuffix(d.File.Aircraft, ".yaml"))
	p.Unproved = !d.Plan.Proved
	all := len(d.Plan.Trips) + len(d.Plan.Left)
	result := map[int]rig.Result{app.ExitWithin: rig.Within, app.ExitOver: rig.Over, app.ExitCannotTell: rig.CannotTell}[d.Exit()]
	p.Kind, p.Words = result.String(), capital(result.Words())
	if result == rig.Over {
		p.Words = "Lifts are left over"
	}
	p.Cause = counted(len(d.Plan.Trips), "of ", "of ") + counted(all, "lift planned", "lifts planned")
	if len(d.Plan.Trips) > 0 {
		p.Cause += "; the last load is down at " + d.Clock(d.Plan.Finished)
	}
	p.Cause += "."
	for i, x := range d.Plan.Trips {
		t := dayTrip{N: i + 1, Lift: x.Lift}
		for _, g := range x.Stages {
			stage := dayStage{d.Clock(g.Begin), d.Clock(g.End), g.What, g.From, g.Load, show.Mass(g.FuelEnd), "", ""}
			if g.To != g.From {
				stage.Where += " to " + g.To
			}
			if !math.IsNaN(g.Margin) {
				stage.Spare, stage.Governs = show.Mass(g.Margin), g.Governs
			}
			t.Stages = append(t.Stages, stage)
		}
		if len(x.Stages) > 0 {
			t.Clock = d.Clock(x.Stages[0].Begin) + " to " + d.Clock(x.Stages[len(x.Stages)-1].End)
		}
		for _, h := range d.Plan.Hangings[i] {
			v := dayHanging{After: "Hook-up", Gross: show.Mass(h.Gross), CG: "cannot tell"}
			if h.After != "" {
				v.After = h.After + " is down"
			}
			var hooks []string
			for _, hook := range spec.Hooks {
				if n, ok := h.Loads[hook.ID]; ok {
					hooks = append(hooks, hook.ID+" "+show.Mass(n/quantity.StandardGravity))
				}
			}
			if v.Hooks = strings.Join(hooks, ", "); v.Hooks == "" {
				v.Hooks = "empty"
			}
			if h.CG != nil {
				v.CG = show.Length(h.CG[0])
			}
			t.Hangings = append(t.Hangings, v)
		}
		p.Trips = append(p.Trips, t)
	}
	for _, x := range d.Plan.Left {
		v := dayLeft{x.Lift, capital(x.Result.Words()), x.Why, x.Result.String()}
		if x.Result == rig.Within {
			v.Words, v.Kind = "No room in this day", "note"
		}
		p.Left = append(p.Left, v)
	}
	for _, x := range d.Plan.Equipment {
		home := string(x.Equipment.Home)
		switch {
		case home == "":
			home = "not entered"
		case home == "on hook":
			home = "empty on the hook"
			if x.Equipment.Swivel {
				home += ", swivel"
			}
			if x.Equipment.Weighted > 0 {
				home += ", weighted with " + show.Mass(x.Equipment.Weighted)
			}
		}
		p.Equipment = append(p.Equipment, dayEquipment{x.Lift, x.Load, x.Equipment.What, show.Mass(x.Equipment.Mass), x.Place, home})
	}
	levels := map[string]rig.Level{rig.Exceeded.String(): rig.Exceeded, rig.Unknown.String(): rig.Unknown, rig.Note.String(): rig.Note}
	var findings []rig.Finding
	for _, f := range d.Document().Findings {
		findings = append(findings, rig.Finding{Level: levels[f.Level], Code: f.Code, About: f.About, Text: f.Text})
	}
	p.Levels = levelViews(findings)
	text, err := svg.String(d.Picture())
	p.Timeline = template.HTML(text) // our own drawing, its texts escaped
	return err
}

// dayPaper sends a plan's timeline as a sheet, or its stages as a table for
// spreadsheets.
func (s *Server) dayPaper(w http.ResponseWriter, r *http.Request) error {
	kind := r.PathValue("kind")
	if !slices.Contains([]string{"pdf", "csv"}, kind) {
		return refusal{http.StatusNotFound, "Nothing here", "A plan is printed as pdf or as csv."}
	}
	t, err := s.openText(dayTexts, r.PathValue("name"), r.URL.Query().Get("version"))
	if err != nil {
		return err
	}
	d, err := s.planDay(t.data)
	if err != nil {
		return err
	}
	if d.Plan == nil {
		return refusal{http.StatusUnprocessableEntity, "No plan", "This text has errors, so there is no plan to print."}
	}
	barred, err := s.barredLoads(r, d)
	if err != nil {
		return err
	}
	if len(barred) > 0 {
		return refusal{http.StatusConflict, "A load is barred", capital(barred[0].About) + " " + barred[0].Text + ". The plan is not printed with it."}
	}
	name := t.Name + "-" + app.ShortVersion(d.Version)
	if kind == "pdf" {
		return s.sendPDF(w, d.Picture(), name)
	}
	table, err := d.CSV()
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/csv; charset=utf-8")
	w.Header().Set("Content-Disposition", "attachment; filename*=UTF-8''"+url.PathEscape(name+".csv"))
	_, err = w.Write(table)
	return err
}
