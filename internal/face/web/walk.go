package web

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/face/app"
)

// walkDesk is what the pages of the walk-round work with. survey is nil where
// the rig's text has errors.
type walkDesk struct {
	head   rigHead
	solved *app.Solved
	school *app.SchoolCatalog
	survey *inspect.Survey
	// troubles are what is wrong with the school's catalogues and with the parts
	// that the rig names.
	troubles []trouble
}

// trouble is something wrong that does not keep a page from being made.
type trouble struct {
	In   string // which file
	Line int    // 0 where there is none
	Text string
}

// walkDesk opens a rig for a page of the walk-round, with the school's
// catalogues over the shipped one. here says what the page is, where it is not
// one of subpages.
func (s *Server) walkDesk(r *http.Request, folder, here string) (*walkDesk, error) {
	h, solved, err := s.subpage(r, folder)
	if err != nil {
		return nil, err
	}
	if here != "" {
		h.Here = here
		h.Title = here + " – " + h.RigTitle
	}
	d := &walkDesk{head: h, solved: solved}
	if solved.Rig == nil {
		return d, nil
	}
	shelf, err := s.Shelves.Shelf(app.Catalogues)
	if err != nil {
		return nil, err
	}
	if d.school, err = app.SchoolCatalogOf(shelf); err != nil {
		return nil, err
	}
	for _, p := range d.school.Problems {
		d.troubles = append(d.troubles, trouble{"The school’s catalogue " + p.File + " is left out", p.Line, capital(p.Problem.String())})
	}
	var problems []inspect.Problem
	d.survey, problems = inspect.Of(solved.Rig, d.school.Catalog)
	for _, p := range problems {
		d.troubles = append(d.troubles, trouble{"A part that the rig names is left out", 0, p.Error()})
	}
	return d, nil
}

// order is the sequence that the rig's walk follows: the school's own where one
// is kept and can be read, or the one suggested. own is nil where none is kept.
func (s *Server) order(d *walkDesk) (q *inspect.Sequence, own *app.Order, err error) {
	shelf, err := s.Shelves.Shelf(app.Sequences)
	if err != nil {
		return nil, nil, err
	}
	if own, err = app.OrderOf(shelf, d.head.Name); err != nil {
		return nil, nil, err
	}
	if own != nil && own.Sequence != nil {
		return own.Sequence, own, nil
	}
	return inspect.Suggest(d.survey), own, nil
}

// walkView is the page of the walk-round.
type walkView struct {
	rigHead
	Troubles     []trouble
	Whose        string // whose order it is
	Own          bool
	OwnVersion   string
	OwnAt        string
	OwnProblems  []problemView
	Stale        string // an order that no longer fits the rig
	Void         int    // sheets printed from an order that is no longer the current one
	Order        app.SequenceDocument
	Stations     []stationView
	Asked        int
	Uncovered    []uncoveredView
	Blind        []string
	Catalogues   []string
	Seen         []seenView
	SeenProblems []problemView
	Parts        []optionGroup
	MayEnter     bool // who asks may make entries of the catalogue
}

type stationView struct {
	Number      int
	Place       string
	Checkpoints []checkpointView
}

type checkpointView struct {
	ID, Title, Note, Reference string
	Parts                      []askedPart
}

// askedPart is what a checkpoint asks about one part.
type askedPart struct {
	Name  string
	Tasks []taskView
}

type taskView struct{ Ask, Do, Planned string }

// uncoveredView is one part with what nobody asks about.
type uncoveredView struct {
	Part, Name string
	States     []string
}

type seenView struct {
	ID, Date, Part, What, By, Entry string
}

// optionGroup is a heading in a list to choose from.
type optionGroup struct {
	Words   string
	Options []option
}

type option struct {
	Value, Words string
	Chosen       bool
}

// walkPage shows the sequence that the rig's walk follows.
func (s *Server) walkPage(w http.ResponseWriter, r *http.Request) error {
	d, err := s.walkDesk(r, "walk", "")
	if err != nil {
		return err
	}
	if d.survey == nil {
		return s.unready(w, d.head)
	}
	return s.writeWalk(w, r, http.StatusOK, d, seenForm{})
}

// seenForm is what was filled in of "anything else?" and not kept.
type seenForm struct{ What, Part, By, Refused string }

type walkPageView struct {
	walkView
	Form seenForm
}

func (s *Server) writeWalk(w http.ResponseWriter, r *http.Request, status int, d *walkDesk, form seenForm) error {
	view, err := s.walkView(d)
	if err != nil {
		return err
	}
	switch q := r.URL.Query(); {
	case q.Has("seen"):
		view.Notice = "Kept on the list of what else was seen."
	case q.Has("entered"):
		view.Notice = "The school’s catalogue knows it now: it is among the deficiencies below, and the coverage counts it."
	}
	if p := personOf(r); p != nil && form.By == "" {
		form.By = p.Name
	}
	view.MayEnter = s.may(r, changers.right)
	page := &walkPageView{*view, form}
	for i := range page.Parts {
		for k := range page.Parts[i].Options {
			o := &page.Parts[i].Options[k]
			o.Chosen = o.Value == form.Part
		}
	}
	return s.pages.write(w, status, "walk", page)
}

func (s *Server) walkView(d *walkDesk) (*walkView, error) {
	q, own, err := s.order(d)
	if err != nil {
		return nil, err
	}
	p := &walkView{rigHead: d.head, Troubles: d.troubles, Catalogues: d.school.Names, Parts: partOptions(d.survey)}
	p.Whose = "Suggested from the rig. A school’s own order stands before it."
	if own != nil {
		p.OwnProblems = problemViews(own.Problems)
	}
	if own != nil && own.Sequence != nil {
		p.Own, p.OwnVersion = true, own.Version
		if p.Whose = "The school’s own order"; q.Made {
			p.Whose = "An order that was made from the rig and kept as it was"
		}
		if !own.At.IsZero() {
			p.OwnAt = own.At.Format("2006-01-02 15:04")
		}
	}
	p.Order = app.Sequence(d.solved, d.survey, q)
	for i := range p.Order.Idle {
		p.Order.Idle[i].Hint = pageHint(p.Order.Idle[i].Hint)
	}
	p.stations()
	c := inspect.Cover(d.survey, q)
	p.Asked = c.Total - len(c.Uncovered)
	p.Uncovered = uncoveredViews(c.Uncovered)
	for _, i := range c.Blind {
		p.Blind = append(p.Blind, joined(" ", q.Checkpoints[i].ID, q.Checkpoints[i].Title))
	}
	if own != nil {
		shelf, err := s.Shelves.Shelf(app.Sequences)
		if err != nil {
			return nil, err
		}
		if _, p.Void, err = orderVersions(shelf, d.head.Name, own.Version); err != nil {
			return nil, err
		}
	}
	if p.Own {
		if p.Stale, err = s.stale(d, own, c); err != nil {
			return nil, err
		}
	}
	return p, p.seen(s, d)
}

// stale says that an own order was written for another version of the rig,
// where some of its looks find nothing on this one.
func (s *Server) stale(d *walkDesk, own *app.Order, c *inspect.Coverage) (string, error) {
	if len(c.Idle) == 0 && len(c.Blind) == 0 {
		return "", nil
	}
	text := "This order does not fit this version of the rig: "
	var parts []string
	if n := len(c.Idle); n > 0 {
		parts = append(parts, counted(n, "of its looks finds nothing", "of its looks find nothing"))
	}
	if n := len(c.Blind); n > 0 {
		parts = append(parts, counted(n, "checkpoint can see nothing", "checkpoints can see nothing"))
	}
	text += strings.Join(parts, ", ") + "."
	kept, err := s.Keeper.Versions(d.head.Name)
	if err != nil {
		return "", err
	}
	if len(kept) > 1 && !own.At.IsZero() && kept[0].At.After(own.At) {
		text += fmt.Sprintf(" The rig was changed on %s, after the order was kept on %s.", kept[0].At.Format("2006-01-02"), own.At.Format("2006-01-02"))
	}
	return text, nil
}

// stations words the walk, what is asked of one part together.
func (p *walkView) stations() {
	for _, x := range p.Order.Stations {
		v := stationView{Number: x.Number, Place: x.Place}
		for _, c := range x.Checkpoints {
			cv := checkpointView{ID: c.ID, Title: c.Title, Note: c.Note, Reference: c.Reference}
			for i, t := range c.Tasks {
				if i == 0 || c.Tasks[i-1].Part != t.Part {
					cv.Parts = append(cv.Parts, askedPart{Name: capital(t.Name)})
				}
				last := &cv.Parts[len(cv.Parts)-1]
				last.Tasks = append(last.Tasks, taskView{t.Ask, strings.Join(t.Do, ", "), t.Planned})
			}
			v.Checkpoints = append(v.Checkpoints, cv)
		}
		p.Stations = append(p.Stations, v)
	}
}

// uncoveredViews puts together what nobody asks about of one part.
func uncoveredViews(list []*inspect.Deficiency) []uncoveredView {
	var out []uncoveredView
	for _, x := range list {
		if n := len(out); n == 0 || out[n-1].Part != x.Part.ID {
			out = append(out, uncoveredView{Part: x.Part.ID, Name: capital(x.Part.Name)})
		}
		last := &out[len(out)-1]
		last.States = append(last.States, strings.TrimPrefix(x.Text(), x.Part.Name+": "))
	}
	return out
}

// partOptions are the parts of a rig to choose from, by what they belong to.
func partOptions(v *inspect.Survey) []optionGroup {
	var out []optionGroup
	for _, g := range partGroups(v) {
		o := optionGroup{Words: g.words}
		for _, p := range g.parts {
			o.Options = append(o.Options, option{Value: p.ID, Words: p.Name})
		}
		out = append(out, o)
	}
	return out
}

// pageHint is what may have been meant by a look that finds nothing, or where a
// page lists what there is.
func pageHint(hint string) string {
	if strings.HasPrefix(hint, "did you mean") {
		return hint
	}
	return "the page of parts lists them"
}

// walkURL is the address of a rig's walk-round.
func walkURL(name string) string { return rigURL(name) + "/walk" }

// partURL is the address of one part of a rig.
func partURL(name, part string) string { return rigURL(name) + "/parts/" + url.PathEscape(part) }
