package web

import (
	"crypto/sha256"
	"encoding/hex"
	"html/template"
	"io"
	"net/http"
	"net/url"
	"path"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/face/app"
)

// aircraftTexts are the aircraft files. One that the school has no text of may
// be one of those shipped with the program.
var aircraftTexts = shelved{kind: app.AircraftOf, folder: "/aircraft/", one: "aircraft", a: "an aircraft", file: "Format hangtrue.aircraft/1. What is changed above is changed here too, and the other way round.", first: shippedAircraft}

func shippedAircraft(_ *Server, name string) []byte {
	if strings.HasSuffix(name, ".yaml") {
		return nil
	}
	data, _ := app.Shipped(name)
	return data
}

// aircraftNames lists the school's own aircraft and those shipped, in order,
// each once.
func (s *Server) aircraftNames() ([]string, error) {
	keeper, err := s.keeper(aircraftTexts)
	if err != nil {
		return nil, err
	}
	names, err := keeper.Names()
	if err != nil {
		return nil, err
	}
	names = append(slices.Clone(names), app.ShippedAircraft()...)
	slices.Sort(names)
	return slices.Compact(names), nil
}

// aircraftList is the page of all aircraft.
type aircraftList struct {
	frame
	Aircraft []aircraftCard
	Notice   string
	Typed    string // name that was typed for a new one
	Begin    string
}

type aircraftCard struct {
	Name, Address, Title string
	Invented, Shipped    bool
	Source               string
	Facts                []string
	Wrong                string
}

func (s *Server) aircraftListPage(w http.ResponseWriter, _ *http.Request) error {
	page, err := s.aircraftList()
	if err != nil {
		return err
	}
	return s.pages.write(w, http.StatusOK, "aircraft-list", page)
}

func (s *Server) aircraftList() (*aircraftList, error) {
	names, err := s.aircraftNames()
	if err != nil {
		return nil, err
	}
	keeper, err := s.keeper(aircraftTexts)
	if err != nil {
		return nil, err
	}
	own, err := keeper.Names()
	if err != nil {
		return nil, err
	}
	page := &aircraftList{frame: frame{Title: "Aircraft"}}
	for _, name := range names {
		c := aircraftCard{Name: name, Address: aircraftTexts.address(name), Title: name, Shipped: !slices.Contains(own, name)}
		data, err := s.aircraftData(name)
		if err != nil {
			s.Log.Warn("an aircraft cannot be read", "name", name, "error", err)
			c.Wrong = "The file cannot be read. What is wrong stands in the program’s log."
			page.Aircraft = append(page.Aircraft, c)
			continue
		}
		if a := app.ReadAircraft(data); a.Aircraft == nil {
			c.Wrong = counted(len(a.Problems), "error in the text, named with its line.", "errors in the text, each named with its line.")
		} else {
			spec := a.Aircraft.Spec()
			c.Title, c.Invented, c.Source, c.Facts = unmarked(spec.Title, spec.Invented), spec.Invented, spec.Source.String(), aircraftFacts(&spec)
		}
		page.Aircraft = append(page.Aircraft, c)
	}
	return page, nil
}

// aircraftFacts are a few lines by which people know an aircraft.
func aircraftFacts(s *lift.Spec) []string {
	var hooks []string
	for _, h := range s.Hooks {
		rated := "no rating entered"
		if h.Rated != nil {
			rated = s.Show.Mass(*h.Rated / quantity.StandardGravity)
		}
		hooks = append(hooks, h.ID+" "+rated)
	}
	facts := []string{counted(len(s.Hooks), "hook: ", "hooks: ") + strings.Join(hooks, ", ")}
	switch {
	case s.OGE != nil && s.IGE != nil:
		facts = append(facts, "Hover tables out of and in ground effect")
	case s.OGE != nil:
		facts = append(facts, "Hover table out of ground effect")
	case s.IGE != nil:
		facts = append(facts, "Hover table in ground effect only")
	default:
		facts = append(facts, "No hover table entered")
	}
	return facts
}

// newAircraft is what an aircraft's text begins with.
const newAircraft = `format: hangtrue.aircraft/1
title: New aircraft
`

// addAircraft begins a new aircraft, from nothing, from another one, or from a
// file.
func (s *Server) addAircraft(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	refused := func(why string) error {
		page, err := s.aircraftList()
		if err != nil {
			return err
		}
		page.Notice, page.Typed, page.Begin = "Not added: "+why, r.PostFormValue("name"), r.PostFormValue("begin")
		return s.pages.write(w, http.StatusUnprocessableEntity, "aircraft-list", page)
	}
	name, data := strings.TrimSpace(r.PostFormValue("name")), []byte(newAircraft)
	if file, head, err := r.FormFile("file"); err == nil {
		defer file.Close()
		if head.Size > app.MostBytes {
			return tooLarge
		}
		if data, err = io.ReadAll(file); err != nil {
			return err
		}
		if !utf8.Valid(data) {
			return refused("this is no text in UTF-8, so it is no aircraft file.")
		}
		if name == "" {
			base := path.Base(strings.ReplaceAll(head.Filename, `\`, "/"))
			name = strings.TrimSuffix(strings.TrimSuffix(base, ".yaml"), ".yml")
		}
	} else if begin := r.PostFormValue("begin"); begin != "" {
		if data, err = s.aircraftData(begin); err != nil {
			return refused("there is no aircraft named " + begin + ".")
		}
	}
	if name == "" {
		return refused("give it a name, such as the registration or the type.")
	}
	names, err := s.aircraftNames()
	if err != nil {
		return err
	}
	if slices.Contains(names, name) {
		return refused(aircraftTexts.taken(name))
	}
	if why, err := s.addText(aircraftTexts, name, data); err != nil {
		return err
	} else if why != "" {
		return refused(why)
	}
	http.Redirect(w, r, aircraftTexts.address(name), http.StatusSeeOther)
	return nil
}

// aircraftView is an aircraft's page.
type aircraftView struct {
	keptText
	Shipped  bool
	Source   string
	Readable bool // the text is one of keys and values, so there is a form
	Read     bool // there is an aircraft
	Hooks    []string
	Sections []formSectionView
	Grids    []gridView
	GridsWas string
	Rest     []fieldProblem
	Plots    []plotView
	Missing  []string
	ToMend   string
	Numbers  []numberView
}

type plotView struct {
	Title   string
	Picture template.HTML
}

type numberView struct{ What, Value, Note string }

func (s *Server) aircraftPage(w http.ResponseWriter, r *http.Request) error {
	t, err := s.askedText(aircraftTexts, r.PathValue("name"), r)
	if err != nil {
		return err
	}
	page, err := s.aircraftView(t, nil)
	if err != nil {
		return err
	}
	return s.pages.write(w, http.StatusOK, "aircraft", page)
}

// aircraftParts are the parts of the page that a change may alter.
var aircraftParts = []string{"aircraft-head", "aircraft-numbers", "aircraft-form", "aircraft-grids", "aircraft-plots"}

// changeAircraft writes what was changed in the form into the text, does what a
// button asks and sends the page back.
func (s *Server) changeAircraft(w http.ResponseWriter, r *http.Request) error {
	t, err := s.postedText(aircraftTexts, r)
	if err != nil {
		return err
	}
	left := enterAircraft(t, r.PostForm)
	status, done, err := s.pressed(w, r, aircraftTexts, t, "paste", "out")
	if err != nil || done {
		return err
	}
	page, err := s.aircraftView(t, left)
	if err != nil {
		return err
	}
	return s.answerText(w, r, status, "aircraft", &page.keptText, page, aircraftParts)
}

// pasteField is what stands in the field for a whole table, and why it could
// not be read, if that was asked.
type pasteField struct{ text, why string }

// enterAircraft writes the fields that were changed into the text.
func enterAircraft(t *keptText, form url.Values) map[string]pasteField {
	if _, ok := typedOf(t.data); !ok {
		return nil // no form was there
	}
	kept := t.data
	text, fields := t.plain(), postedFields(form)
	for _, section := range aircraftForm {
		text = section.edited(text, fields, form.Get("was."+section.Key))
	}
	left := map[string]pasteField{}
	if was := form.Get("was.hover"); was != "" {
		var grids []grid
		for _, h := range hoverTables {
			g := postedGrid(form, h.key)
			left[h.key] = pasteField{text: form.Get("paste." + h.key)}
			switch do := strings.Fields(form.Get("do")); {
			case len(do) == 2 && do[0] == "paste" && do[1] == h.key:
				pasted := g
				if why := pasted.pasted(left[h.key].text); why != "" {
					left[h.key] = pasteField{left[h.key].text, why}
				} else {
					g = pasted
					delete(left, h.key)
				}
			case len(do) == 4 && do[0] == "out" && do[1] == h.key:
				if n, err := strconv.Atoi(do[3]); err == nil {
					g.without(do[2] == "row", n)
				}
			}
			grids = append(grids, g)
		}
		if written := writeHover(grids); stampOf(written) != was {
			text = withKey(text, "hover", written)
		}
	}
	t.put(withLineEnds(text, kept))
	return left
}

func stampOf(text string) string {
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:])[:12]
}

func (s *Server) aircraftView(t *keptText, left map[string]pasteField) (*aircraftView, error) {
	read := app.ReadAircraft(t.data)
	a := read.Aircraft
	if err := s.finishText(aircraftTexts, t, read.Problems); err != nil {
		return nil, err
	}
	t.Result = true // hover figures and what they say belong beneath the caution
	p := &aircraftView{keptText: *t, Shipped: t.Fresh, ToMend: counted(len(read.Problems), "thing to mend; it stands at its field and at its line.", "things to mend; each stands at its field and at its line.")}
	show := quantity.Metric
	slips := map[string][]lift.Slip{}
	if a != nil {
		spec := a.Spec()
		show = spec.Show
		p.Read, p.Invented, p.Source = true, spec.Invented, spec.Source.String()
		p.Heading = unmarked(spec.Title, spec.Invented)
		p.Title = p.Heading
		p.Numbers, p.Missing = aircraftNumbers(a), read.Missing()
		for _, x := range read.Slips {
			slips[x.Table] = append(slips[x.Table], x.Slip)
		}
	}
	return p, p.form(t.data, show, read.Problems, slips, left)
}

// form fills in the fields from the text, each problem beside its field. Hover
// tables are plotted, and looked through for slips, whatever else is still
// missing.
func (p *aircraftView) form(data []byte, show quantity.System, problems []document.Problem, slips map[string][]lift.Slip, left map[string]pasteField) error {
	fields, ok := typedOf(data)
	if p.Readable = ok; !ok {
		return nil
	}
	if !p.Read {
		p.marked(fields)
		if fields["show"] == quantity.US.String() {
			show = quantity.US
		}
	}
	where := placedOf(problems)
	var grids []grid
	for _, h := range hoverTables {
		g := gridOf(fields, h.key, show)
		if table, ok := g.table(); ok {
			if !p.Read {
				slips[h.key] = table.Slips(strings.ToLower(h.title), show)
			}
			plot, err := hoverPlotView(show, table, h.title, slips[h.key])
			if err != nil {
				return err
			}
			p.Plots = append(p.Plots, plot)
		}
		v := g.view(h.title, slips[h.key], where)
		if v.Pasted = left[h.key].text; left[h.key].why != "" {
			v.PasteProblem = left[h.key].why
		}
		p.Grids = append(p.Grids, v)
		grids = append(grids, g)
	}
	p.GridsWas = stampOf(writeHover(grids))
	for _, section := range aircraftForm {
		p.Sections = append(p.Sections, section.view(fields, where))
	}
	p.Rest = where.rest()
	return nil
}

// aircraftNumbers is what follows from the figures entered.
func aircraftNumbers(a *lift.Aircraft) []numberView {
	s := a.Spec()
	full := s.Fuel.Capacity
	list := []numberView{
		{"Operating weight", s.Show.Mass(a.Operating()), "empty, crew and kit, without fuel"},
		{"Fuel, full", s.Show.Mass(full), "lasts " + s.Show.Duration(full/s.Fuel.Burn) + " at the burn entered"},
	}
	if s.Fuel.Reserve == nil {
		list = append(list, numberView{"Reserve", "not entered", "so whether fuel suffices cannot be told"})
	} else {
		list = append(list, numberView{"Reserve", s.Show.Mass(*s.Fuel.Reserve), "must be left on landing"})
	}
	if s.External == nil {
		list = append(list, numberView{"Gross with external load", "not entered", "so that limit cannot be told"})
	} else {
		list = append(list, numberView{"Gross with external load", s.Show.Mass(*s.External), "leaves " + s.Show.Mass(*s.External-a.Operating()) + " for fuel and load"})
	}
	return list
}
