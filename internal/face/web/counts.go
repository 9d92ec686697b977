package web

import (
	"context"
	"fmt"
	"net/http"
	"strings"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/counts"
	"hangtrue/internal/face/app"
)

// countsView is the page on which counts are found and their map is looked at.
type countsView struct {
	rigHead
	None     string // why there is no count to choose
	Plan     []planView
	Approved bool // a procedure gives counts
	Form     countForm
	Search   *jobView
	Found    *foundView
	Choices  []choiceView // groups for the map
	Across   string
	Up       string
	MapWrong string
	MapJob   *jobView
	Map      *mapView
}

type planView struct{ Leg, Count, Procedure, Group string }

type choiceView struct{ Name, Words string }

// foundView is the outcome of a search.
type foundView struct {
	Wish     string
	Tried    string
	Stopped  bool
	Empty    bool // stopped before anything was tried
	Groups   []choiceView
	Plan     *foundRow
	Rows     []foundRow
	Further  []foundRow // after the first few
	Nearest  *foundRow
	InTheWay []string
	Openings []string
}

type foundRow struct {
	Rank             string
	Counts           []int
	Pitch, Roll, Why string
	Near             string
	Falls, Over      bool
	Take             string // counts by leg, for the form
	Words            string // the same for people
	A, B             int    // the pair on the map; 0 where it is none
	See              string // address at which it is seen to hang; "" where no map is computed
	Address, Version string
}

// shownFound is how many of what was found are shown before the reader asks for
// the rest.
const shownFound = 4

// searchAsked is what a search was asked, and how it was typed.
type searchAsked struct {
	wish app.CountWish
	form countForm
}

// searched is what a search was asked and what it gave.
type searched struct {
	wish app.CountWish
	doc  app.CountsDocument
}

// charted is what a map was asked for.
type charted struct{ across, up string }

const kindSearch, kindMap = "search", "map"

func (s *Server) countsPage(w http.ResponseWriter, r *http.Request) error {
	head, solved, err := s.subpage(r, "counts")
	if err != nil {
		return err
	}
	if head.Unread {
		return s.unready(w, head)
	}
	page, err := s.countsView(head, solved, r)
	if err != nil {
		return err
	}
	return s.pages.write(w, http.StatusOK, "counts", page)
}

// countsView makes the page of a rig that can be read.
func (s *Server) countsView(head rigHead, solved *app.Solved, r *http.Request) (*countsView, error) {
	head.Script = "counts.js"
	p := &countsView{rigHead: head, Form: countFormOf(app.WishOf(solved.Rig))}
	choices, err := counts.Choosable(solved.Rig)
	if err != nil {
		p.None = "No leg of this rig has a chain, so there is no count to choose."
		return p, nil
	}
	p.plan(solved.Rig)
	for _, g := range choices {
		p.Choices = append(p.Choices, choiceView{g.Name, groupWords(g)})
	}
	if len(choices) > 1 {
		p.Across, p.Up = choices[0].Name, choices[1].Name
	}
	search := s.jobs.find(solved.Version, kindSearch)
	p.Search = viewOf(search, "Searching the counts", head.Address+"/job/"+kindSearch)
	if search != nil && p.Search == nil {
		p.Form = search.asked.(searchAsked).form
		if p.Found, err = s.found(head.Address, solved, search); err != nil {
			p.Form.Wrong = capital(said(err))
		}
	}
	chart := s.jobs.find(solved.Version, kindMap)
	p.MapJob = viewOf(chart, "Computing the count map", head.Address+"/job/"+kindMap)
	if chart != nil {
		asked := chart.asked.(charted)
		p.Across, p.Up = asked.across, asked.up
		if p.MapJob == nil {
			p.Map, err = s.mapView(head, solved, chart, search, r)
			if err != nil {
				p.MapWrong = capital(said(err))
			}
		}
	}
	return p, nil
}

func groupWords(g counts.Group) string {
	if len(g.IDs) == 1 && g.IDs[0] == g.Name {
		return "leg " + g.Name
	}
	return g.Name + " (" + strings.Join(g.IDs, ", ") + ")"
}

// plan lists the counts as they stand in the file, and those of the procedure.
func (p *countsView) plan(r *rig.Rig) {
	procedure := r.Procedure()
	for _, l := range r.Legs() {
		if l.Chain == nil {
			continue
		}
		v := planView{Leg: l.ID, Count: "open", Group: l.Group}
		if l.Count != nil {
			v.Count = fmt.Sprint(*l.Count)
		}
		if procedure != nil {
			if n, ok := procedure.Counts[l.ID]; ok {
				v.Procedure, p.Approved = fmt.Sprint(n), true
			}
		}
		p.Plan = append(p.Plan, v)
	}
}

// found makes the outcome of a search for the page.
func (s *Server) found(address string, solved *app.Solved, x *job) (*foundView, error) {
	result, err := x.outcome()
	done, ok := result.(*searched)
	if !ok {
		if x.now().Stopped {
			return &foundView{Wish: wishWords(solved.Rig.Show(), x.asked.(searchAsked).wish), Stopped: true, Empty: true}, nil
		}
		return nil, err
	}
	show, d := solved.Rig.Show(), &done.doc
	v := &foundView{Wish: wishWords(show, done.wish), Stopped: d.Stopped, Empty: d.Tried == 0, InTheWay: d.InTheWay}
	how := "the best that no neighbour one link off betters"
	if d.Whole {
		how = "every choice"
	}
	if d.Stopped {
		how = "stopped before the end"
	}
	v.Tried = fmt.Sprintf("%d tried (%s), %d within the limits that depend on counts", d.Tried, how, d.Within)
	for _, g := range d.Groups {
		v.Groups = append(v.Groups, choiceView{g.Name, strings.Join(g.Legs, ", ")})
	}
	row := func(rank string, c *app.CountChoice) foundRow {
		x := foundRow{
			Address: address, Version: solved.Version, Rank: rank, Counts: c.Counts, Pitch: show.Angle(c.PitchDeg * quantity.Degree), Roll: show.Angle(c.RollDeg * quantity.Degree),
			Why: c.Why(), Near: fmt.Sprintf("%s %s", c.About, show.Percent(c.Use)), Falls: c.Falls, Over: !c.Within,
		}
		legs := map[string]int{}
		for k, g := range d.Groups {
			for _, id := range g.Legs {
				legs[id] = c.Counts[k]
			}
		}
		x.Take, x.Words = legCounts(legs), countsInWords(legs)
		if len(c.Counts) == 2 && s.chartOf(solved.Version) != nil {
			x.A, x.B = c.Counts[0], c.Counts[1]
			x.See = fmt.Sprintf("%s/counts?a=%d&b=%d#map", address, x.A, x.B)
		}
		return x
	}
	if d.Plan != nil {
		x := row("plan", d.Plan)
		v.Plan = &x
	}
	for i := range d.Found {
		v.Rows = append(v.Rows, row(fmt.Sprint(i+1), &d.Found[i]))
	}
	if len(v.Rows) > shownFound+1 {
		v.Rows, v.Further = v.Rows[:shownFound], v.Rows[shownFound:]
	}
	if d.Nearest != nil {
		x := row("nearest", d.Nearest)
		v.Nearest = &x
	}
	for _, o := range d.Openings {
		load, name := o.Choice.Load()
		v.Openings = append(v.Openings, fmt.Sprintf("%s: then counts %s hang it, %s %s", o.What, listed(o.Choice.Counts), name, show.Percent(load)))
	}
	return v, nil
}

func listed(n []int) string {
	text := make([]string, len(n))
	for i, x := range n {
		text[i] = fmt.Sprint(x)
	}
	return strings.Join(text, " / ")
}

// askCounts begins a search or a map, and goes back to the page.
func (s *Server) askCounts(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	head, solved, err := s.subpage(r, "counts")
	if err != nil {
		return err
	}
	if head.Unread {
		return s.unready(w, head)
	}
	var x *job
	place := "#found"
	switch r.PostFormValue("do") {
	case "find":
		form, wish := readCountForm(r)
		if form.Wrong != "" {
			page, err := s.countsView(head, solved, r)
			if err != nil {
				return err
			}
			page.Form = form
			return s.pages.write(w, http.StatusUnprocessableEntity, "counts", page)
		}
		x, _, err = s.jobs.start(solved.Version, kindSearch, searchAsked{wish, form}, func(ctx context.Context, tell progress) (any, error) {
			d, err := app.CountsWished(ctx, solved, wish, counts.Options{Workers: workers(), Progress: tell})
			if err != nil {
				return nil, err
			}
			return &searched{wish, d}, nil
		})
	case "map":
		place = "#map"
		asked := charted{r.PostFormValue("across"), r.PostFormValue("up")}
		x, err = s.chart(solved, asked)
		if told, ok := err.(notChosen); ok {
			page, err := s.countsView(head, solved, r)
			if err != nil {
				return err
			}
			page.Across, page.Up, page.MapWrong = asked.across, asked.up, string(told)
			return s.pages.write(w, http.StatusUnprocessableEntity, "counts", page)
		}
	default:
		return refusal{http.StatusBadRequest, "Not understood", "The page asked for something that it cannot do."}
	}
	if err != nil {
		return err
	}
	x.wait(patienceAtStart)
	http.Redirect(w, r, head.Address+"/counts"+place, http.StatusSeeOther)
	return nil
}

// notChosen says why two groups make no map.
type notChosen string

func (n notChosen) Error() string { return string(n) }

// chart begins the map of two groups, or returns the one that there is.
func (s *Server) chart(solved *app.Solved, asked charted) (*job, error) {
	choices, err := counts.Choosable(solved.Rig)
	if err != nil {
		return nil, notChosen("No leg of this rig has a chain.")
	}
	var two []counts.Group
	for _, name := range []string{asked.across, asked.up} {
		for _, g := range choices {
			if g.Name == name {
				two = append(two, g)
			}
		}
	}
	if len(two) != 2 || asked.across == asked.up {
		return nil, notChosen("Choose two different groups of legs.")
	}
	if err := counts.Pairable(solved.Rig, two); err != nil {
		return nil, notChosen(capital(said(err)))
	}
	if have := s.jobs.find(solved.Version, kindMap); have != nil && have.asked == any(asked) {
		if m, _ := have.outcome(); m != nil || have.now().Running {
			return have, nil
		}
	}
	x, _, err := s.jobs.start(solved.Version, kindMap, asked, func(ctx context.Context, tell progress) (any, error) {
		m, err := app.Chart(ctx, solved, counts.Options{Pair: two, Workers: workers(), Progress: tell})
		if err != nil {
			return nil, err
		}
		return m, nil
	})
	return x, err
}

// takeCounts opens the rig's page with counts in its text, unsaved.
func (s *Server) takeCounts(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	d, err := s.opened(r.PathValue("name"), "")
	if err != nil {
		return err
	}
	solved := s.solver.solve(d.data)
	if solved.Rig == nil || r.PostFormValue("version") != d.current {
		return refusal{http.StatusConflict, "The rig was changed", "These counts were found for another version of the rig. Search again: counts for one version may not suit another."}
	}
	wanted, ok := readLegCounts(solved.Rig, r.PostFormValue("counts"))
	if !ok {
		return refusal{http.StatusBadRequest, "Not understood", "The page did not send counts of legs that this rig has."}
	}
	var all step
	for _, id := range sortedKeys(wanted) {
		data, changes, err := app.SetCounts(d.data, []string{id}, wanted[id])
		if err != nil {
			return refusal{http.StatusUnprocessableEntity, "Not taken", "The counts were not taken into the text: " + plain(err)}
		}
		d.data = data
		all = append(all, changes...)
	}
	if len(all) > 0 {
		d.undo = d.undo.with(all)
	}
	page, err := s.rigView(d)
	if err != nil {
		return err
	}
	page.Notice = "Counts " + countsInWords(wanted) + " stand in the text below: " + app.FoundWords + ". Nothing is saved; Undo takes them out again."
	return s.pages.write(w, http.StatusOK, "rig", page)
}

// tookCounts is where a reload leads after counts were taken and saved.
func (s *Server) tookCounts(w http.ResponseWriter, r *http.Request) error {
	http.Redirect(w, r, rigURL(r.PathValue("name")), http.StatusSeeOther)
	return nil
}
