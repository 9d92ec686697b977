package web

import (
	"net/http"
	"slices"
	"strings"

	"hangtrue/internal/engine/calendar"
	"hangtrue/internal/engine/equipment"
	"hangtrue/internal/face/app"
)

type itemFormView struct {
	frame
	Post, Back string
	New        bool
	Typed      map[string]string
	Kinds      []choice
	Sets       []choice
	Spoiled    bool
	WasSpoiled bool
	Fields     map[string]string
}

var itemKeys = []string{"serial", "kind", "name", "maker", "rating", "in_service", "set", "intervals", "note"}

func (s *Server) newItemPage(w http.ResponseWriter, r *http.Request) error {
	today, err := s.School.Today()
	if err != nil {
		return err
	}
	return s.itemForm(w, r, http.StatusOK, &itemFormView{
		frame: frame{Title: "Add an item"}, Post: "/equipment", Back: "/equipment", New: true,
		Typed: map[string]string{"kind": string(equipment.Set), "in_service": string(today), "set": r.URL.Query().Get("set")},
	})
}

func (s *Server) itemForm(w http.ResponseWriter, r *http.Request, status int, v *itemFormView) error {
	all, err := s.School.Equipment(r.Context(), personOf(r))
	if err != nil {
		return told(err)
	}
	for _, key := range itemKeys {
		v.Typed[key] += "" // each is there, so that a template can ask for it
	}
	for _, k := range equipment.Kinds {
		v.Kinds = append(v.Kinds, choice{string(k), string(k), v.Typed["kind"] == string(k)})
	}
	v.Sets = []choice{{"", "none", v.Typed["set"] == ""}}
	for _, i := range all.All {
		if i.Kind == equipment.Set {
			v.Sets = append(v.Sets, choice{i.ID, joined(", ", i.Serial, i.Name), v.Typed["set"] == i.ID})
		}
	}
	return s.pages.write(w, status, "item-edit", v)
}

// typedItem is the item that a form describes.
func typedItem(r *http.Request) (i equipment.Item, typed map[string]string, err error) {
	typed = map[string]string{}
	for _, key := range itemKeys {
		typed[key] = strings.TrimSpace(r.PostFormValue(key))
	}
	i = equipment.Item{
		Serial: typed["serial"], Kind: equipment.Kind(typed["kind"]), Name: typed["name"], Maker: typed["maker"], Rating: typed["rating"],
		InService: calendar.Day(typed["in_service"]), Set: typed["set"], Note: typed["note"], Spoiled: r.PostFormValue("spoiled") != "",
	}
	// On the page intervals stand one a line.
	lines := strings.ReplaceAll(strings.ReplaceAll(typed["intervals"], "\r\n", "\n"), "\n", ";")
	if i.Intervals, err = equipment.ParseIntervals(lines); err != nil {
		err = &app.Wrong{Field: "intervals", Text: err.Error()}
	}
	return i, typed, err
}

func (s *Server) addItem(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	i, typed, err := typedItem(r)
	var id string
	if err == nil {
		id, err = s.School.PutItem(r.Context(), personOf(r), i)
	}
	if fields := equipmentFields(err); len(fields) > 0 {
		return s.itemForm(w, r, http.StatusUnprocessableEntity, &itemFormView{
			frame: frame{Title: "Add an item"}, Post: "/equipment", Back: "/equipment", New: true, Typed: typed, Spoiled: i.Spoiled, Fields: fields,
		})
	}
	if err != nil {
		return told(err)
	}
	http.Redirect(w, r, itemURL(id)+"?saved", http.StatusSeeOther)
	return nil
}

// itemOf is the item that an address names.
func (s *Server) itemOf(r *http.Request) (*equipment.State, error) {
	all, err := s.School.Equipment(r.Context(), personOf(r))
	if err != nil {
		return nil, told(err)
	}
	i, ok := all.Item(r.PathValue("id"))
	if !ok {
		return nil, noItem
	}
	return i, nil
}

func (s *Server) editItemPage(w http.ResponseWriter, r *http.Request) error {
	i, err := s.itemOf(r)
	if err != nil {
		return err
	}
	return s.itemForm(w, r, http.StatusOK, &itemFormView{
		frame: frame{Title: "Change " + i.Called()}, Post: itemURL(i.ID) + "/edit", Back: itemURL(i.ID), Spoiled: i.Spoiled, WasSpoiled: i.Spoiled,
		Typed: map[string]string{
			"serial": i.Serial, "kind": string(i.Kind), "name": i.Name, "maker": i.Maker, "rating": i.Rating, "in_service": string(i.InService), "set": i.Set, "note": i.Note,
			"intervals": strings.ReplaceAll(equipment.FormatIntervals(i.Intervals), "; ", "\n"),
		},
	})
}

func (s *Server) editItem(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	old, err := s.itemOf(r)
	if err != nil {
		return err
	}
	i, typed, err := typedItem(r)
	i.ID = old.ID
	// Who says so is not on the form; it stays with what stays.
	for k := range i.Intervals {
		if at := slices.IndexFunc(old.Intervals, func(v equipment.Interval) bool { return v.What == i.Intervals[k].What }); at >= 0 {
			i.Intervals[k].Source = old.Intervals[at].Source
		}
	}
	i.Spoiled = i.Spoiled || old.Spoiled
	if err == nil {
		_, err = s.School.PutItem(r.Context(), personOf(r), i)
	}
	if fields := equipmentFields(err); len(fields) > 0 {
		return s.itemForm(w, r, http.StatusUnprocessableEntity, &itemFormView{
			frame: frame{Title: "Change " + old.Called()}, Post: itemURL(old.ID) + "/edit", Back: itemURL(old.ID), Typed: typed, Spoiled: i.Spoiled, WasSpoiled: old.Spoiled, Fields: fields,
		})
	}
	if err != nil {
		return told(err)
	}
	http.Redirect(w, r, itemURL(old.ID)+"?saved", http.StatusSeeOther)
	return nil
}
