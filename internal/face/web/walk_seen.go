package web

import (
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/face/app"
)

// seen lists what was answered to "anything else?".
func (p *walkView) seen(s *Server, d *walkDesk) error {
	shelf, err := s.Shelves.Shelf(app.Seen)
	if err != nil {
		return err
	}
	list, err := app.SightingsOf(shelf, d.head.Name)
	if err != nil {
		return err
	}
	p.SeenProblems = problemViews(list.Problems)
	for _, x := range slices.Backward(list.List) {
		p.Seen = append(p.Seen, seenWords(d.survey, x))
	}
	return nil
}

// seenWords words one answer. A part that the rig no longer has goes by its id.
func seenWords(v *inspect.Survey, x app.Sighting) seenView {
	out := seenView{ID: x.ID, Date: x.Date.Format(time.DateOnly), Part: x.Part, What: x.What, By: x.By, Entry: x.Entry}
	if p, ok := v.Part(x.Part); ok {
		out.Part = p.Name
	}
	return out
}

// problemViews are problems as a page shows them.
func problemViews(problems []document.Problem) []problemView {
	var out []problemView
	for _, p := range problems {
		out = append(out, problemView{p.Line, capital(p.Text), p.Hint})
	}
	return out
}

// oneLine takes the line ends of a browser out of a text.
func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }

// addSeen keeps one answer.
func (s *Server) addSeen(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	d, err := s.walkDesk(r, "walk", "")
	if err != nil {
		return err
	}
	if d.survey == nil {
		return s.unready(w, d.head)
	}
	form := seenForm{
		What: strings.TrimSpace(strings.ReplaceAll(r.PostFormValue("what"), "\r\n", "\n")),
		Part: r.PostFormValue("part"), By: oneLine(r.PostFormValue("by")),
	}
	_, known := d.survey.Part(form.Part)
	switch {
	case form.What == "":
		form.Refused = "Not kept: it does not say what was seen."
	case len([]rune(form.What)) > app.MostSeen:
		form.Refused = "Not kept: what was seen is told in at most 1000 characters."
	case len([]rune(form.By)) > 80:
		form.Refused = "Not kept: who saw it is told in at most 80 characters."
	case form.Part != "" && !known:
		form.Refused = "Not kept: the rig has no such part any more. Choose one of the list."
	}
	if form.Refused != "" {
		return s.writeWalk(w, r, http.StatusUnprocessableEntity, d, form)
	}
	shelf, err := s.Shelves.Shelf(app.Seen)
	if err != nil {
		return err
	}
	list, err := app.SightingsOf(shelf, d.head.Name)
	if err != nil {
		return err
	}
	err = list.Add(shelf, d.head.Name, app.Sighting{Date: s.Now(), Part: form.Part, What: form.What, By: form.By})
	switch {
	case errors.Is(err, app.ErrConflict):
		form.Refused = "Not kept: somebody else wrote at the same moment. Send it once more."
		return s.writeWalk(w, r, http.StatusConflict, d, form)
	case len(list.Problems) > 0:
		form.Refused = "Not kept: the list of what was seen on this rig has errors, each named with its line."
		return s.writeWalk(w, r, http.StatusUnprocessableEntity, d, form)
	case err != nil:
		return err
	}
	http.Redirect(w, r, walkURL(d.head.Name)+"?seen#else", http.StatusSeeOther)
	return nil
}

// entryView is the page on which something that was seen becomes an entry of
// the school's catalogue.
type entryView struct {
	rigHead
	Seen     seenView
	Entry    app.Entry
	OnEach   string
	See      []option
	Ends     []option
	Acts     []option
	Plants   []option
	Missing  []string
	Text     string // the entry as it will be kept; "" before it is written
	Lines    []lineMark
	Problems []problemView
}

// entryPage begins an entry for one answer.
func (s *Server) entryPage(w http.ResponseWriter, r *http.Request) error {
	d, x, err := s.sighting(r)
	if err != nil {
		return err
	}
	if d.survey == nil {
		return s.unready(w, d.head)
	}
	return s.pages.write(w, http.StatusOK, "walk-entry", newEntryView(d, x, app.EntryFor(d.survey, d.head.Name, x)))
}

// sighting finds the answer that a request names.
func (s *Server) sighting(r *http.Request) (*walkDesk, app.Sighting, error) {
	d, err := s.walkDesk(r, "walk", "An entry for the school’s catalogue")
	if err != nil || d.survey == nil {
		return d, app.Sighting{}, err
	}
	shelf, err := s.Shelves.Shelf(app.Seen)
	if err != nil {
		return nil, app.Sighting{}, err
	}
	list, err := app.SightingsOf(shelf, d.head.Name)
	if err != nil {
		return nil, app.Sighting{}, err
	}
	x, ok := list.Find(r.PathValue("seen"))
	if !ok {
		return nil, x, refusal{http.StatusNotFound, "Not there", "There is no such answer on the list of what was seen on this rig."}
	}
	return d, x, nil
}

func newEntryView(d *walkDesk, x app.Sighting, e app.Entry) *entryView {
	p := &entryView{rigHead: d.head, Seen: seenWords(d.survey, x), Entry: e, OnEach: strings.ReplaceAll(string(e.Each), "-", " ")}
	for _, o := range part.Sees {
		p.See = append(p.See, option{string(o), string(o), slices.Contains(e.See, o)})
	}
	for _, o := range part.Ends {
		p.Ends = append(p.Ends, option{string(o), o.Words(), slices.Contains(e.Ends, o)})
	}
	for _, o := range part.Acts {
		p.Acts = append(p.Acts, option{string(o), o.Words(), o == e.Act})
	}
	for _, o := range part.Plants {
		p.Plants = append(p.Plants, option{string(o), o.Words(), o == e.Plant})
	}
	return p
}

// changeEntry writes the entry of the page's fields, or keeps its text.
func (s *Server) changeEntry(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	d, x, err := s.sighting(r)
	if err != nil {
		return err
	}
	if d.survey == nil {
		return s.unready(w, d.head)
	}
	e := postedEntry(r, app.EntryFor(d.survey, d.head.Name, x))
	page := newEntryView(d, x, e)
	switch r.PostFormValue("do") {
	case "write":
		if page.Missing = e.Missing(); len(page.Missing) > 0 {
			return s.pages.write(w, http.StatusUnprocessableEntity, "walk-entry", page)
		}
		page.show(e.Text(), nil)
		return s.pages.write(w, http.StatusOK, "walk-entry", page)
	case "save":
	default:
		return refusal{http.StatusBadRequest, "Not understood", "The page asked for something that it cannot do."}
	}
	data := []byte(strings.ReplaceAll(r.PostFormValue("text"), "\r\n", "\n"))
	if len(data) > app.MostBytes {
		return tooLarge
	}
	catalogues, err := s.Shelves.Shelf(app.Catalogues)
	if err != nil {
		return err
	}
	name, problems, err := app.TakeIn(catalogues, e.ID, data)
	if err != nil {
		return err
	}
	if len(problems) > 0 {
		page.show(data, problems)
		return s.pages.write(w, http.StatusUnprocessableEntity, "walk-entry", page)
	}
	shelf, err := s.Shelves.Shelf(app.Seen)
	if err != nil {
		return err
	}
	list, err := app.SightingsOf(shelf, d.head.Name)
	if err != nil {
		return err
	}
	// The entry is kept; that its answer is not marked harms nobody.
	if err := list.Enter(shelf, d.head.Name, x.ID, name); err != nil {
		s.Log.Warn("an answer could not be marked as entered", "rig", d.head.Name, "answer", x.ID, "error", err)
	}
	http.Redirect(w, r, walkURL(d.head.Name)+"?entered#coverage", http.StatusSeeOther)
	return nil
}

// postedEntry is the entry with what the page's fields say.
func postedEntry(r *http.Request, e app.Entry) app.Entry {
	if !r.PostForm.Has("ask") {
		return e
	}
	text := func(key string) string { return oneLine(r.PostFormValue(key)) }
	e.Name, e.Ask, e.Good, e.Wrong, e.Hazard, e.Source = text("kind"), text("ask"), text("good"), text("wrong"), text("hazard"), text("source")
	e.See, e.Ends, e.Act, e.Plant = chosen(r.PostForm, "see", part.Sees), chosen(r.PostForm, "ends", part.Ends), "", ""
	if acts := chosen(r.PostForm, "act", part.Acts); len(acts) > 0 {
		e.Act = acts[0]
	}
	if plants := chosen(r.PostForm, "plant", part.Plants); len(plants) > 0 {
		e.Plant = plants[0]
	}
	return e
}

// chosen are those of known words that a form has under a key.
func chosen[T ~string](form url.Values, key string, known []T) []T {
	var out []T
	for _, k := range known {
		if slices.Contains(form[key], string(k)) {
			out = append(out, k)
		}
	}
	return out
}

// show puts the entry's text on the page, each line with an error marked.
func (p *entryView) show(data []byte, problems []document.Problem) {
	p.Text, p.Problems = string(data), problemViews(problems)
	p.Lines = lineMarks(p.Text, p.Problems)
}

// lineMarks numbers the lines of a text.
func lineMarks(text string, problems []problemView) []lineMark {
	wrong := map[int]bool{}
	for _, x := range problems {
		wrong[x.Line] = true
	}
	var out []lineMark
	for n := range strings.Count(text, "\n") + 1 {
		out = append(out, lineMark{n + 1, wrong[n+1]})
	}
	return out
}
