package web

import (
	"fmt"
	"html/template"
	"math"
	"net/http"
	"slices"
	"strings"

	"hangtrue/internal/engine/air"
	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/lift/conditionsfile"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/draw/svg"
	"hangtrue/internal/paper/lifting"
)

// liftView is the page that asks whether an aircraft can carry a rig. All that
// was asked stands in the page's address; nothing of it is kept here.
type liftView struct {
	rigHead
	Asked    bool // anything was entered
	Aircraft []formChoiceView
	Chosen   string
	Sections []formSectionView
	Needed   []string // what is still to be entered
	Wrong    bool     // something entered is not right
	Rest     []fieldProblem
	File     string // the conditions as a file
	Paper    string // address of the sheet

	AircraftTitle    string
	AircraftInvented bool
	AircraftWrong    string
	AircraftAddress  string

	Answered           bool
	Kind, Words, Cause string // of this page's own result
	Governs            string
	TakeOff            string
	Load               string
	Parts              []numberView
	Limits             []liftLimit
	Ends               []liftEnd
	Reach              template.HTML
	Edges              []liftEdge
	Fits               []liftFit
	Airspeeds          []numberView
	Washes             []liftWash
	WashMissing        string
	WashLimits         string
	Levels             []levelView
}

type liftLimit struct {
	End, What, Text, Source string
	Allows, Spare           string
	Governs, Over, Unknown  bool
}

type liftEnd struct {
	Name string
	Rows []numberView
}

type liftEdge struct{ Name, Hottest, Highest string }

type liftFit struct {
	Apex, Hook, Kind, Spacer, Source string
	Fit, Words, Text                 string
}

type liftWash struct {
	Name, Air, AtHook string
	Rings             []numberView
}

// washForm is what the rotor wash is asked with besides the conditions.
var washForm = formSection{
	Key: "wash", Title: "For the rotor wash", Help: "Humid air is a little lighter; without an entry it is taken as dry.",
	Field: []formField{
		{Key: "hook", Label: "Hook beneath the rotor disc", Example: "3.5 m"},
		{Key: "humidity", Label: "Humidity at both ends", Example: "60 %"},
	},
}

// liftForm are the sections of the form: those of a conditions file, with what
// the aircraft and the rig give to choose from.
func liftForm(a *lift.Aircraft, r *rig.Rig) []formSection {
	end := func(key, title string, fuel string) formSection {
		return formSection{Key: key, Title: title, Field: []formField{
			{Key: "place", Label: "Place", Example: "valley"},
			{Key: "elevation", Label: "Elevation", Example: "620 m"},
			{Key: "qnh", Label: "QNH", Example: "1013 hPa"},
			{Key: "pressure-altitude", Label: "or pressure altitude", Example: "2000 ft"},
			{Key: "temperature", Label: "Temperature", Example: "12 degC"},
			{Key: "fuel", Label: fuel, Example: "250 kg"},
			{Key: "in-ground-effect", Label: "Hovers in ground effect", Choices: []string{"yes", "no"}},
		}}
	}
	sections := []formSection{
		end("pick-up", "Pick-up", "Fuel aboard there"),
		end("drop-off", "Drop-off", "Fuel aboard there, or the flight below"),
		{Title: "The flight", Field: []formField{
			{Key: "flight", Label: "From pick-up to drop-off", Example: "7 min"},
			{Key: "home", Label: "Then on to where fuel is", Example: "6 min"},
			{Key: "jettisonable", Label: "The load can be jettisoned", Choices: []string{"yes", "no"}},
		}},
	}
	hooks := formSection{Key: "hooks", Title: "Which hook it hangs on"}
	fitting := formSection{Key: "fitting", Title: "What goes into the hook", Help: "The apex fitting: its smallest width inside goes over the hook’s load beam, its stock through the hook’s opening.", Field: []formField{
		{Key: "kind", Label: "Kind of apex fitting", Example: "apex-large"},
		{Key: "inside", Label: "Width inside", Example: "60 mm"},
		{Key: "stock", Label: "Stock", Example: "25 mm"},
	}}
	if a != nil {
		spec := a.Spec()
		var ids, kinds []string
		for _, h := range spec.Hooks {
			ids = append(ids, h.ID)
		}
		for _, x := range spec.Spacers {
			if !slices.Contains(kinds, x.Apex) {
				kinds = append(kinds, x.Apex)
			}
		}
		if len(kinds) > 0 {
			fitting.Field[0].Choices = kinds
		}
		if len(ids) > 1 || len(r.Apexes()) > 1 {
			for _, x := range r.Apexes() {
				hooks.Field = append(hooks.Field, formField{Key: x.ID, Label: "Hook for apex " + x.ID, Choices: ids})
			}
			sections = append(sections, hooks)
		}
	}
	return append(sections, fitting,
		formSection{Key: "aboard", Title: "Aboard today", Help: "Besides the crew and kit of the aircraft file.", List: true, Entry: "thing", Field: itemFields("passenger", "85 kg")},
		formSection{Key: "rigging", Title: "Net, bag, line", Help: "Of the load path beneath the hook, besides what the rig file has.", List: true, Entry: "part", Field: []formField{
			{Key: "what", Label: "What", Example: "cargo net"}, {Key: "rated", Label: "May carry", Example: "1500 kg"}, {Key: "source", Label: "Where it is written"},
		}},
	)
}

// liftPage answers whether an aircraft can carry the rig.
func (s *Server) liftPage(w http.ResponseWriter, r *http.Request) error {
	page, _, err := s.lifted(r)
	if err != nil {
		return err
	}
	if page.Open || page.Unread {
		return s.unready(w, page.rigHead)
	}
	if !wantsJSON(r) {
		return s.pages.write(w, http.StatusOK, "lift", page)
	}
	return s.answerParts(w, page, "lift-form", "lift-answer")
}

// liftPaper sends the answer as a sheet.
func (s *Server) liftPaper(w http.ResponseWriter, r *http.Request) error {
	page, carried, err := s.lifted(r)
	if err != nil {
		return err
	}
	if carried == nil || carried.Answer == nil {
		return refusal{http.StatusUnprocessableEntity, "No sheet", "There is no answer to print yet: enter the conditions first."}
	}
	return s.sendPDF(w, carried.Picture(), page.Name+"-lift-"+app.ShortVersion(page.Version))
}

func (s *Server) lifted(r *http.Request) (*liftView, *app.Carried, error) {
	head, solved, err := s.subpage(r, "lift")
	if err != nil {
		return nil, nil, err
	}
	head.Script = "lift.js"
	p := &liftView{rigHead: head, WashLimits: capital(air.RingLimits) + "."}
	if solved.Answer == nil {
		return p, nil, nil
	}
	names, err := s.aircraftNames()
	if err != nil {
		return nil, nil, err
	}
	form := r.URL.Query()
	p.Asked, p.Paper = len(form) > 0, p.Address+"/lift/paper?"+form.Encode()
	p.Chosen = form.Get("aircraft")
	for _, name := range names {
		p.Aircraft = append(p.Aircraft, formChoiceView{name, name, name == p.Chosen})
	}
	a, err := s.chosenAircraft(p)
	if err != nil {
		return nil, nil, err
	}
	var known *lift.Aircraft
	if a != nil {
		known = a.Aircraft
	}
	fields := postedFields(form)
	sections := liftForm(known, solved.Rig)
	p.File = fileOf(conditionsfile.Format, sections, fields)
	conditions, problems := conditionsfile.Read([]byte(p.File))
	ask := &asking{t: fields}
	hook, humidity := ask.wash()
	problems = append(problems, ask.problems...)
	var carried *app.Carried
	if conditions != nil && known != nil {
		carried = app.Carry(solved, a, conditions)
		for _, x := range carried.Problems {
			problems = append(problems, document.Problem{Path: x.Path, Text: x.Text, Hint: x.Hint})
		}
	}
	if !p.Asked {
		problems = nil
	}
	where := placedOf(problems)
	p.Wrong = where.wrong
	for _, section := range append(sections, washForm) {
		p.Sections = append(p.Sections, section.view(fields, where))
	}
	p.Rest = where.rest()
	for i := range p.Sections {
		p.Sections[i].Was = "" // nothing is written into a text here
		p.Needed = append(p.Needed, p.Sections[i].needed()...)
	}
	if carried == nil || carried.Answer == nil {
		return p, carried, nil
	}
	if err := p.answer(carried); err != nil {
		return nil, nil, err
	}
	return p, carried, p.washes(carried, hook, humidity)
}

// chosenAircraft reads the aircraft that was chosen; nil where there is none.
func (s *Server) chosenAircraft(p *liftView) (*app.Aircraft, error) {
	if p.Chosen == "" {
		return nil, nil
	}
	p.AircraftAddress = aircraftTexts.address(p.Chosen)
	if !slices.ContainsFunc(p.Aircraft, func(c formChoiceView) bool { return c.Picked }) {
		p.AircraftWrong = "There is no aircraft named " + p.Chosen + "."
		p.AircraftAddress = "/aircraft"
		return nil, nil
	}
	data, err := s.aircraftData(p.Chosen)
	if err != nil {
		return nil, err
	}
	a := app.ReadAircraft(data)
	if a.Aircraft == nil {
		p.AircraftWrong = "The text of this aircraft has errors, so it gives no answer."
		return nil, nil
	}
	spec := a.Aircraft.Spec()
	p.AircraftTitle, p.AircraftInvented = unmarked(spec.Title, spec.Invented), spec.Invented
	return &a, nil
}

// wash reads what the rotor wash is asked with.
func (a *asking) wash() (hook, humidity *float64) {
	hook, humidity = a.si("wash.hook", quantity.Length), a.si("wash.humidity", quantity.Percent)
	if hook != nil && *hook < 0 {
		a.refuse("wash.hook", a.text("wash.hook")+" cannot be", "how far the hook hangs beneath the rotor disc")
	}
	if humidity != nil && (*humidity < 0 || *humidity > 1) {
		a.refuse("wash.humidity", a.text("wash.humidity")+" cannot be", "from 0 % to 100 %")
		humidity = nil
	}
	return hook, humidity
}

// answer words the answer.
func (p *liftView) answer(c *app.Carried) error {
	a, show := c.Answer, c.Show()
	p.Answered = true
	p.Invented = p.Invented || c.Invented()
	p.Kind, p.Words, p.Cause = a.Result.String(), capital(a.Result.Words()), capital(a.Reason)
	p.Load = c.Ask.Load.Show(show)
	if a.Governing >= 0 {
		g := a.Allowed[a.Governing]
		p.Governs = fmt.Sprintf("%s at %s governs: it allows %s, and the load weighs %s.", capital(g.What), g.End, show.Mass(math.Max(0, g.Load)), p.Load)
		switch {
		case a.TakeOff > 0:
			p.TakeOff = show.Mass(a.TakeOff) + " off the load, or out of the aircraft"
		default:
			p.TakeOff = "nothing by the limits that are known: " + show.Mass(a.Margin) + " to spare"
		}
	}
	for _, x := range c.Parts {
		p.Parts = append(p.Parts, numberView{What: x.What, Value: x.Weight.Show(show)})
	}
	for _, i := range a.Order() {
		x := a.Allowed[i]
		l := liftLimit{End: x.End, What: capital(x.What), Text: x.Text, Source: x.Source, Allows: "cannot tell", Spare: "–", Governs: i == a.Governing, Unknown: !x.Known}
		if x.Known {
			l.Allows, l.Spare = show.Mass(math.Max(0, x.Load)), show.Mass(x.Load-c.Ask.Load.Mass)
			l.Over = x.Load < c.Ask.Load.Mass*(1-1e-9)
		}
		p.Limits = append(p.Limits, l)
	}
	for i, e := range a.Ends {
		hot, high := c.Edges[i].Words(show)
		name := capital([]string{"pick-up", "drop-off"}[i])
		if e.End.Place != "" {
			name += ", " + e.End.Place
		}
		p.Edges = append(p.Edges, liftEdge{name, hot, high})
		rows := []numberView{
			{"Pressure altitude", lift.Altitude(show, e.End.PressureAltitude), ""},
			{"Temperature", show.Temperature(e.End.Temperature), ""},
			{"Fuel", show.Mass(e.End.Fuel), ""},
			{"Aircraft with fuel", show.Mass(e.Operating), ""},
			{"With the load", show.Mass(e.Gross), ""},
		}
		if state, err := air.At(e.End.PressureAltitude, e.End.Temperature, 0); err == nil {
			rows = slices.Insert(rows, 2, numberView{"Density altitude", lift.Altitude(show, state.DensityAltitude()), "dry air"})
		}
		if math.IsNaN(e.Hover) {
			rows = append(rows, numberView{"Hover, from the table", "cannot tell", ""})
		} else {
			rows = append(rows, numberView{"Hover, from the table", show.Mass(e.Hover), "less fixed reductions"})
		}
		p.Ends = append(p.Ends, liftEnd{name, rows})
	}
	text, err := svg.String(lifting.Reach(show, c.Edges, plotWidth, plotHeight+6))
	if err != nil {
		return err
	}
	p.Reach = template.HTML(text) // our own drawing, its texts escaped
	for _, f := range c.Fits {
		p.Fits = append(p.Fits, liftFit{f.Apex, f.Hook, f.Kind, f.Spacer, f.Source, f.Fit.String(), fitWords[f.Fit], capital(f.Text)})
	}
	for _, x := range c.Aircraft.Aircraft.Spec().Airspeeds {
		p.Airspeeds = append(p.Airspeeds, numberView{x.What, show.Airspeed(x.Limit), x.Source})
	}
	p.Levels = levelViews(a.Findings)
	return nil
}

var fitWords = map[rig.Result]string{rig.Within: "Fits by the sizes entered", rig.Over: "Does not fit", rig.CannotTell: "Cannot tell"}

// levelViews sorts findings by how much they weigh.
func levelViews(findings []rig.Finding) []levelView {
	var out []levelView
	for _, l := range []struct {
		level rig.Level
		words string
	}{{rig.Exceeded, "Over a limit"}, {rig.Unknown, "Cannot tell"}, {rig.Note, "To note"}} {
		v := levelView{Words: l.words, Kind: l.level.String()}
		for _, f := range findings {
			if f.Level == l.level {
				v.Findings = append(v.Findings, f)
			}
		}
		if len(v.Findings) > 0 {
			out = append(out, v)
		}
	}
	return out
}

// washes words the rotor wash at both ends.
func (p *liftView) washes(c *app.Carried, hook, humidity *float64) error {
	show := c.Show()
	if c.Aircraft.Aircraft.Spec().Rotors == nil {
		p.WashMissing = "Cannot tell: the aircraft’s rotors are not entered."
		return nil
	}
	for i, e := range c.Answer.Ends {
		h := e.End.PressureAltitude
		x, err := app.LookAtAir(app.AirAsked{PressureAltitude: &h, Temperature: e.End.Temperature, Humidity: humidity})
		if err != nil {
			p.WashMissing = "Cannot tell: " + err.Error() + "."
			return nil
		}
		beneath := 0.0
		if hook != nil {
			beneath = *hook
		}
		if err := x.AddWash(c.Aircraft.Aircraft, e.Gross, beneath); err != nil {
			p.WashMissing = "Cannot tell: " + err.Error() + "."
			return nil
		}
		v := liftWash{
			Name: p.Ends[i].Name + ", at " + show.Mass(e.Gross),
			Air:  fmt.Sprintf("Air of %s, disc loading %.0f N/m2, %s through the disc", show.Density(x.State.Density), x.Wash.Wash.Loading, windWords(show, x.Wash.Wash.Induced)),
		}
		if hook != nil {
			v.AtHook = fmt.Sprintf("%s, %s beneath the disc", windWords(show, x.Wash.AtHook), show.Length(*hook))
		}
		for _, r := range x.Wash.Rings {
			v.Rings = append(v.Rings, numberView{What: show.Length(r.Distance), Value: windWords(show, r.Speed)})
		}
		p.Washes = append(p.Washes, v)
	}
	return nil
}

// windWords writes a wind in m/s with kt beside it.
func windWords(show quantity.System, ms float64) string {
	if show == quantity.US {
		return show.Speed(ms)
	}
	return fmt.Sprintf("%s (%.0f kt)", show.Speed(ms), quantity.In(ms, "kt"))
}

// needed lists what the section's fields still want.
func (v *formSectionView) needed() []string {
	var out []string
	if v.Needed {
		out = append(out, strings.ToLower(v.Title))
	}
	for _, e := range v.Entries {
		for _, f := range e.Fields {
			if f.Needed {
				out = append(out, strings.ToLower(v.Title)+": "+strings.ToLower(f.Label))
			}
		}
	}
	return out
}
