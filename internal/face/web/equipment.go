package web

import (
	"errors"
	"io/fs"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"hangtrue/internal/engine/calendar"
	"hangtrue/internal/engine/equipment"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/docket"
)

// itemsOnPage is how many items a page of the list has.
const itemsOnPage = 100

type equipmentView struct {
	frame
	Rows      []itemRow
	Count     int
	Kinds     []choice
	Standings []choice
	Search    string
	Older     string // address of the next page; "" for none
	Filter    string // the filter as a query, for labels
	Labels    bool
	Manage    bool
	Due       []dueRow
	Ahead     int
	Filtered  bool
	None      bool // there is no equipment at all
	Reach     bool // tablets can reach what the codes lead to
}

type choice struct {
	Value, Words string
	Chosen       bool
}

type itemRow struct {
	itemLink
	Kind, Rating, Standing, Set, Next string
	SetAddress                        string
	Blocks                            []string
	Spoiled                           bool
}

func itemURL(id string) string { return "/equipment/" + url.PathEscape(id) }

// standings are what the list can be narrowed to.
var standings = []struct{ value, words string }{
	{"", "all"},
	{"in-service", "in service, nothing recorded against it"},
	{"blocked", "something stands against its use"},
	{"overdue", "overdue"},
	{"quarantined", "quarantined"},
	{"out", "out of service"},
	{"lost", "lost"},
	{"training", "training parts, never for flight"},
	{"retired", "retired"},
}

func standsAs(i *equipment.State, as string, today calendar.Day) bool {
	switch as {
	case "in-service":
		return len(i.Blocks(today)) == 0
	case "blocked":
		return len(i.Blocks(today)) > 0
	case "overdue":
		return len(i.Due) > 0 && i.Due[0].Day < today
	case "quarantined":
		return i.Standing == equipment.InQuarantine
	case "out":
		return i.Standing == equipment.IsOut
	case "lost":
		return i.Standing == equipment.IsLost
	case "training":
		return i.Spoiled
	case "retired":
		return i.Standing == equipment.IsRetired
	}
	return true
}

// filtered are the items that a request asks for, by kind, standing and what is
// written on them; by id where it names one.
func filtered(v *equipment.Inventory, q url.Values, today calendar.Day) []*equipment.State {
	kind, as, search := equipment.Kind(q.Get("kind")), q.Get("standing"), strings.ToLower(strings.TrimSpace(q.Get("q")))
	var out []*equipment.State
	for _, i := range v.All {
		set := ""
		if x, ok := v.Item(i.Set); ok {
			set = x.Serial
		}
		text := strings.ToLower(strings.Join([]string{i.Serial, i.Name, i.Maker, i.Rating, i.Note, set}, "\n"))
		if q.Get("id") != "" && q.Get("id") != i.ID || kind != "" && kind != i.Kind || !standsAs(i, as, today) || !strings.Contains(text, search) {
			continue
		}
		out = append(out, i)
	}
	return out
}

func (s *Server) equipmentPage(w http.ResponseWriter, r *http.Request) error {
	me, ctx, q := personOf(r), r.Context(), r.URL.Query()
	all, err := s.School.Equipment(ctx, me)
	if err != nil {
		return told(err)
	}
	today, err := s.School.Today()
	if err != nil {
		return err
	}
	settings, _, err := s.School.Settings()
	if err != nil {
		return err
	}
	list := filtered(all, q, today)
	v := &equipmentView{
		frame: frame{Title: "Equipment"}, Count: len(list), Search: q.Get("q"), Manage: me.May(people.ManageEquipment), Ahead: settings.DueDays,
		Filtered: len(list) < len(all.All), None: len(all.All) == 0, Labels: len(list) > 0, Reach: s.School.Origin != "",
	}
	v.Kinds = []choice{{"", "all", q.Get("kind") == ""}}
	for _, k := range equipment.Kinds {
		v.Kinds = append(v.Kinds, choice{string(k), string(k), q.Get("kind") == string(k)})
	}
	for _, x := range standings {
		v.Standings = append(v.Standings, choice{x.value, x.words, q.Get("standing") == x.value})
	}
	keep := url.Values{}
	for _, key := range []string{"kind", "standing", "q"} {
		if q.Get(key) != "" {
			keep.Set(key, q.Get(key))
		}
	}
	v.Filter = keep.Encode()
	from, err := strconv.Atoi(orSay(q.Get("from"), "0"))
	if err != nil || from < 0 {
		return refusal{http.StatusBadRequest, "Not understood", "A list begins at a number."}
	}
	for i := from; i < len(list) && i < from+itemsOnPage; i++ {
		v.Rows = append(v.Rows, s.itemRow(all, list[i], today))
	}
	if from+itemsOnPage < len(list) {
		keep.Set("from", strconv.Itoa(from+itemsOnPage))
		v.Older = "/equipment?" + keep.Encode()
	}
	for _, f := range all.DueList(today, today.Plus(settings.DueDays)) {
		if len(v.Due) == 20 {
			break
		}
		v.Due = append(v.Due, dueRowOf(&f))
	}
	return s.pages.write(w, http.StatusOK, "equipment", v)
}

func (s *Server) itemRow(all *equipment.Inventory, i *equipment.State, today calendar.Day) itemRow {
	row := itemRow{
		itemLink: itemLink{Address: itemURL(i.ID), Words: i.Serial, Name: i.Name}, Kind: string(i.Kind), Rating: i.Rating, Standing: string(i.Standing), Spoiled: i.Spoiled,
	}
	if x, ok := all.Item(i.Set); ok {
		row.Set, row.SetAddress = x.Serial, itemURL(x.ID)
	}
	if len(i.Due) > 0 {
		row.Next = string(i.Due[0].Day)
	}
	for _, b := range i.Blocks(today) {
		// The row says already which item it is, and that it is never for flight.
		if b = strings.TrimLeft(strings.TrimPrefix(b, i.Called()), ": "); !i.Spoiled || !strings.HasPrefix(b, "is a training part") {
			row.Blocks = append(row.Blocks, capital(b))
		}
	}
	return row
}

type itemView struct {
	frame
	ID, Address, Called, Kind, Serial, Name, Maker, Rating, InService, Note string
	Set                                                                     *itemLink
	Members                                                                 []itemRow
	Spoiled                                                                 bool
	Standing                                                                string
	Blocks                                                                  []string
	Due                                                                     []dueRow
	Defects                                                                 []choice
	Events                                                                  []itemEventRow
	Uses                                                                    []useRow
	Out                                                                     string // address of the derig list of the load that it is on
	Manage, Release                                                         bool
	Quarantined                                                             bool
	Lost, OutOfService, Retired                                             bool
	Reasons                                                                 []string
	Today                                                                   string
	Notice                                                                  string
	Fields                                                                  map[string]string
	Do                                                                      string // which form was wrong
	Typed                                                                   map[string]string
}

type itemEventRow struct{ On, What, Text, By, Name, Received string }

type useRow struct{ Load, Rig, Version, Address, From, Until string }

var noItem = refusal{http.StatusNotFound, "Not there", "There is no such item of equipment."}

func (s *Server) itemPage(w http.ResponseWriter, r *http.Request) error {
	v := &itemView{}
	if r.URL.Query().Has("saved") {
		v.Notice = "It is noted."
	}
	return s.item(w, r, http.StatusOK, v)
}

func (s *Server) item(w http.ResponseWriter, r *http.Request, status int, v *itemView) error {
	me, ctx := personOf(r), r.Context()
	all, err := s.School.Equipment(ctx, me)
	if err != nil {
		return told(err)
	}
	i, ok := all.Item(r.PathValue("id"))
	if !ok {
		return noItem
	}
	today, err := s.School.Today()
	if err != nil {
		return err
	}
	v.frame = frame{Title: capital(i.Called())}
	v.ID, v.Address, v.Called, v.Kind, v.Serial, v.Name, v.Maker, v.Rating, v.InService, v.Note = i.ID, itemURL(i.ID), capital(i.Called()), string(i.Kind), i.Serial, i.Name, i.Maker, i.Rating, string(i.InService), i.Note
	v.Spoiled, v.Standing, v.Today, v.Reasons = i.Spoiled, string(i.Standing), string(today), equipment.Reasons
	v.Manage, v.Release = me.May(people.ManageEquipment), me.May(people.ReleaseEquipment)
	for _, b := range all.Blocks([]string{i.ID}, today) {
		v.Blocks = append(v.Blocks, capital(b)+".")
	}
	if x, ok := all.Item(i.Set); ok {
		v.Set = &itemLink{Address: itemURL(x.ID), Words: x.Called()}
	}
	for _, m := range all.Members(i.ID)[1:] {
		v.Members = append(v.Members, s.itemRow(all, m, today))
	}
	for _, d := range i.Due {
		days := today.Until(d.Day)
		every := equipment.FormatIntervals([]equipment.Interval{d.Interval})
		v.Due = append(v.Due, dueRow{itemLink: itemLink{Words: strings.TrimPrefix(every, d.What+": "), Name: d.Source}, What: d.What, On: string(d.Day), Left: docket.DaysLeft(days), Last: string(d.Last), Over: days < 0})
	}
	for _, d := range i.Defects {
		v.Defects = append(v.Defects, choice{Value: d.ID, Words: string(d.On) + ": " + d.Text})
	}
	v.flags(i)
	if err := s.itemPast(r, v, i); err != nil {
		return err
	}
	if v.Typed == nil {
		v.Typed = map[string]string{}
	}
	for _, key := range []string{"on", "what", "about", "name", "text"} {
		v.Typed[key] += "" // each is there, so that a template can ask for it
	}
	return s.pages.write(w, status, "item", v)
}

// flags are what still stands open of what happened to an item.
func (v *itemView) flags(i *equipment.State) {
	for _, e := range i.Events {
		switch e.Kind {
		case equipment.Quarantined, equipment.Released:
			v.Quarantined = e.Kind == equipment.Quarantined
		case equipment.Lost, equipment.Found:
			v.Lost = e.Kind == equipment.Lost
		case equipment.OutOfService, equipment.BackInService:
			v.OutOfService = e.Kind == equipment.OutOfService
		case equipment.Retired:
			v.Retired = true
		}
	}
}

// itemPast lists what happened to an item and where it was used, the last first.
func (s *Server) itemPast(r *http.Request, v *itemView, i *equipment.State) error {
	me, ctx := personOf(r), r.Context()
	var ids []string
	for _, e := range i.Events {
		ids = append(ids, e.By)
	}
	called, err := s.School.Called(ctx, me, ids...)
	if err != nil {
		return told(err)
	}
	for k := len(i.Events) - 1; k >= 0; k-- {
		e := i.Events[k]
		v.Events = append(v.Events, itemEventRow{On: string(e.On), What: capital(joined(": ", string(e.Kind), e.What)), Text: e.Text, By: called[e.By], Name: e.Name, Received: s.when(e.Received)})
	}
	uses, err := s.School.Uses(ctx, me, i.ID)
	if err != nil {
		return told(err)
	}
	for _, u := range uses {
		row := useRow{Load: u.Load, Rig: u.Rig, Version: app.ShortVersion(u.RigVersion), Address: inspectURL(u.Inspection) + "/sign", From: string(u.From), Until: string(u.Until)}
		if u.Until == "" && v.Manage {
			v.Out = derigURL(u.Inspection)
		}
		v.Uses = append(v.Uses, row)
	}
	return nil
}

// itemEvent records what happened to an item.
func (s *Server) itemEvent(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	e := equipment.Event{Item: r.PathValue("id"), Kind: equipment.EventKind(r.PostFormValue("do"))}
	known := false
	for _, k := range equipment.EventKinds {
		known = known || k == e.Kind && k != equipment.Returned // that is the derig list's
	}
	if !known {
		return refusal{http.StatusBadRequest, "Not understood", "The page asked for something that it cannot do."}
	}
	typed := map[string]string{}
	for _, key := range []string{"on", "what", "about", "name", "text"} {
		typed[key] = strings.TrimSpace(r.PostFormValue(key))
	}
	e.On, e.What, e.About, e.Name, e.Text = calendar.Day(typed["on"]), typed["what"], typed["about"], typed["name"], typed["text"]
	if e.On == "" {
		today, err := s.School.Today()
		if err != nil {
			return err
		}
		e.On = today
	}
	err := s.School.Happened(r.Context(), personOf(r), e)
	if fields := equipmentFields(err); len(fields) > 0 {
		return s.item(w, r, http.StatusUnprocessableEntity, &itemView{Fields: fields, Do: string(e.Kind), Typed: typed})
	}
	if errors.Is(err, fs.ErrNotExist) {
		return noItem
	}
	if err != nil {
		return told(err)
	}
	http.Redirect(w, r, itemURL(e.Item)+"?saved", http.StatusSeeOther)
	return nil
}

// equipmentFields sorts what is wrong in a form about equipment by its fields.
func equipmentFields(err error) map[string]string {
	out := fieldsOf(err)
	eachError(err, func(err error) {
		var p *equipment.Problem
		switch {
		case errors.As(err, &p):
			out[p.Field] = capital(p.Text) + "."
		case errors.Is(err, equipment.ErrSerial):
			out["serial"] = capital(equipment.ErrSerial.Error()) + "."
		case errors.Is(err, equipment.ErrSpoiled):
			out["spoiled"] = capital(equipment.ErrSpoiled.Error()) + "."
		}
	})
	return out
}
