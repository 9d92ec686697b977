package web

import (
	"fmt"
	"html/template"
	"math"
	"net/url"
	"slices"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/fault"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/draw/svg"
	"hangtrue/internal/paper/picture"
	"hangtrue/internal/paper/whatif"
)

// faultsView is the one-fault table's page, all words and numbers as they are
// shown.
type faultsView struct {
	rigHead
	Working       bool // the table is not there yet
	Tried, Listed int
	PlanHangs     string
	Shock         string
	Ends          []faultEnds
	Chosen        *faultChosen
	Share         template.HTML
	Shares        []faultShare
	Hooks         []string
	Travels       []faultTravelLink
	Asides        []string
	Omitted       []fault.Omitted
}

// faultEnds are the faults that may end alike.
type faultEnds struct {
	ID, Words, Short string
	Count            int
	Worst            string
	Groups           []faultLine
}

// faultLine is one fault, or several counts off of one leg.
type faultLine struct {
	ID, Address, What string
	Worst             string // of several, the one that the numbers are of
	Kind, Result      string
	Hangs, Why, Small string
	Here              bool
	More              []faultLine
}

type faultTravelLink struct{ Leg, Address string }

type faultShare struct {
	Aircraft     string
	Hooks        []string
	Use, Result  string
	Over         bool
	Nose, Larger bool
}

// faultChosen is the fault that is seen large beside the plan.
type faultChosen struct {
	What, Kind, Result, Reason string
	End                        string
	Why                        []string
	Note                       string
	Wide, Narrow               template.HTML
	Failed                     string
	Views                      []faultViewLink
	Bodies                     []faultBeside
	Legs                       []faultBeside
	Hooks                      []faultBeside
	Ran, Running               bool // the worse numbers, those shown, are with chain that runs freely
	Loops                      []faultBeside
	Travel, TravelNarrow       template.HTML
	Before, After              *faultLink
	List                       string // the line in the list
}

type faultViewLink struct {
	Name, Address string
	Here          bool
}

type faultLink struct{ Address, What string }

// faultBeside is a number as planned and with the fault.
type faultBeside struct {
	What          string
	Plan, Changed string
	Over, Differs bool
}

// faultAddress is that of the page with a fault chosen, seen from a side.
func faultAddress(name, id, view string) string {
	q := url.Values{"fault": {id}}
	if view != "" && view != picture.Side.Name {
		q.Set("view", view)
	}
	return rigURL(name) + "/faults?" + q.Encode()
}

// faultsOf words a table.
func (s *Server) faultsOf(v *faultsView, x *app.Faults, chosen, view string) error {
	t := x.Table
	v.Tried, v.Listed = t.Tried, t.Listed
	v.PlanHangs = capital(whatif.RowWords(x.Rig, &t.Plan)) + "."
	v.Shock = capital(fault.Shock) + "."
	v.Asides, v.Omitted = whatif.Asides(t), t.Omitted
	if chosen == "" && len(t.Rows) > 0 {
		chosen = t.Rows[0].Fault.ID()
	}
	groups := t.Groups()
	for i := range groups {
		g := &groups[i]
		if n := len(v.Ends); n == 0 || v.Ends[n-1].Short != endShort(g) {
			v.Ends = append(v.Ends, faultEnds{ID: "end-" + string(g.End), Words: whatif.EndWords(g), Short: endShort(g), Worst: g.Worst().What})
		}
		e := &v.Ends[len(v.Ends)-1]
		e.Count += len(g.Rows)
		e.Groups = append(e.Groups, faultGroup(v, x, g, chosen, view))
	}
	for _, l := range x.Rig.Legs() {
		if len(t.OfLeg(l.ID)) > 0 {
			v.Travels = append(v.Travels, faultTravelLink{l.ID, rigURL(v.Name) + "/faults/travel/" + v.Version + "/" + url.PathEscape(l.ID)})
		}
	}
	if err := v.shares(x); err != nil {
		return err
	}
	w := x.Row(chosen)
	if w == nil {
		return nil
	}
	c, err := faultSeen(v.Name, x, w, view)
	v.Chosen = c
	return err
}

func endShort(g *fault.Group) string {
	if g.End == "" {
		return "Nothing shown here"
	}
	return capital(g.End.Words())
}

func faultGroup(v *faultsView, x *app.Faults, g *fault.Group, chosen, view string) faultLine {
	line := func(w *fault.Row) faultLine {
		id := w.Fault.ID()
		out := faultLine{
			ID: id, Address: faultAddress(v.Name, id, view), What: capital(w.What), Kind: w.Result.String(), Result: capital(w.Result.Words()),
			Hangs: whatif.RowWords(x.Rig, w), Here: id == chosen,
		}
		if w.Ran {
			out.Hangs += "; with chain that runs freely, which is worse"
		}
		return out
	}
	worst := g.Worst()
	out := line(worst)
	out.What = capital(g.What(x.Rig))
	for i, why := range worst.Why {
		if i > 0 {
			out.Why += "; "
		}
		out.Why += why
	}
	out.Small = rigURL(v.Name) + "/faults/small/" + v.Version + "/" + url.PathEscape(worst.Fault.ID())
	if len(g.Rows) > 1 {
		out.Worst = worst.What
		for _, w := range g.Rows {
			m := line(w)
			out.More = append(out.More, m)
			if m.Here {
				out.Here = true
			}
		}
	}
	return out
}

// shares words how several hooks share the load.
func (v *faultsView) shares(x *app.Faults) error {
	if len(x.Pitch) == 0 {
		return nil
	}
	text, err := svg.String(whatif.Share(x.Rig, x.Pitch, 130, 70))
	if err != nil {
		return err
	}
	v.Share = template.HTML(text) // our own drawing, its texts escaped
	show := x.Rig.Show()
	for _, h := range x.Pitch[0].Share {
		v.Hooks = append(v.Hooks, h.Hook)
	}
	for i, p := range x.Pitch {
		if i%5 != 0 {
			continue // every step is in the files
		}
		row := faultShare{Aircraft: pitchWords(show.Angle, p.Aircraft), Use: "not rated", Result: p.Result.Words(), Over: p.Result == rig.Over || p.Result == rig.DoesNotStand}
		for _, h := range p.Share {
			row.Hooks = append(row.Hooks, show.Force(h.Force)+", "+show.Percent(h.Share))
		}
		if p.Rated {
			row.Use = p.Leg + " " + show.Percent(p.Use)
		}
		v.Shares = append(v.Shares, row)
	}
	return nil
}

func pitchWords(angle func(float64) string, rad float64) string {
	switch {
	case angle(math.Abs(rad)) == angle(0):
		return "level"
	case rad > 0:
		return "nose up " + angle(rad)
	}
	return "nose down " + angle(-rad)
}

// faultSeen is one fault beside the plan.
func faultSeen(name string, x *app.Faults, w *fault.Row, view string) (*faultChosen, error) {
	from, ok := picture.Named(view)
	if !ok {
		from = picture.Side
	}
	id := w.Fault.ID()
	c := &faultChosen{
		What: capital(w.What), Kind: w.Result.String(), Result: capital(w.Result.Words()), Reason: capital(w.Reason), Note: capital(w.Note), Ran: w.Ran,
		End: "Nothing worked out here shows an end. That is no proof that there is none.", List: "fault-" + id,
	}
	if e := w.Gravest(); e != "" {
		c.End = "May end so: " + e.Words() + "."
	}
	for i, e := range w.Ends {
		c.Why = append(c.Why, capital(e.Words())+": "+w.Why[i])
	}
	for _, n := range viewNames {
		c.Views = append(c.Views, faultViewLink{n, faultAddress(name, id, n), n == from.Name})
	}
	i := slices.IndexFunc(x.Table.Rows, func(r fault.Row) bool { return r.Fault == w.Fault })
	link := func(i int) *faultLink {
		if i < 0 || i >= len(x.Table.Rows) {
			return nil
		}
		r := &x.Table.Rows[i]
		return &faultLink{faultAddress(name, r.Fault.ID(), from.Name), r.What}
	}
	c.Before, c.After = link(i-1), link(i+1)
	a, running, err := x.Hung(w)
	if err != nil {
		c.Failed = "It cannot be drawn: " + plain(err)
		return c, nil
	}
	for _, p := range []struct {
		to            *template.HTML
		width, height float64
	}{{&c.Wide, 165, 100}, {&c.Narrow, 76, 150}} {
		drawn, err := x.Beside(id, from, p.width, p.height)
		if err != nil {
			c.Failed = "It cannot be drawn: " + plain(err)
			break
		}
		text, err := svg.String(drawn)
		if err != nil {
			return nil, err
		}
		*p.to = template.HTML(text)
	}
	c.numbers(x, a)
	c.Running = running
	c.loops(x, w)
	leg := w.Fault.Leg
	for _, p := range []struct {
		to            *template.HTML
		width, height float64
	}{{&c.Travel, 150, 60}, {&c.TravelNarrow, 78, 100}} {
		if drawn := whatif.Travel(x.Rig, x.Table, leg, p.width, p.height); drawn != nil && w.Fault.Kind == fault.CountOff {
			text, err := svg.String(drawn)
			if err != nil {
				return nil, err
			}
			*p.to = template.HTML(text)
		}
	}
	return c, nil
}

// numbers puts each number of the fault beside that of the plan.
func (c *faultChosen) numbers(x *app.Faults, a *rig.Answer) {
	show := x.Rig.Show()
	beside := func(what, plan, changed string, over bool) faultBeside {
		return faultBeside{what, plan, changed, over, plan != changed}
	}
	for i := range a.Bodies {
		hangs := func(b *rig.BodyAnswer) string {
			if !b.Joined {
				return "hangs on nothing"
			}
			return picture.AttitudeWords(show, b)
		}
		b := &a.Bodies[i]
		c.Bodies = append(c.Bodies, beside(b.ID, hangs(&x.Plan.Bodies[i]), hangs(b), !b.Joined || rig.Tips(b.Tilt)))
	}
	leg := func(l *rig.LegAnswer) string {
		if l.Slack {
			return "slack"
		}
		text := show.Force(l.Tension)
		if l.Allowed > 0 {
			text += ", worst " + show.Percent(l.WorstUse()) + " of rating"
		}
		return text
	}
	for i := range x.Plan.Legs {
		l := &x.Plan.Legs[i]
		at := slices.IndexFunc(a.Legs, func(o rig.LegAnswer) bool { return o.ID == l.ID })
		if at < 0 {
			c.Legs = append(c.Legs, beside(l.ID, leg(l), "lost", true))
			continue
		}
		o := &a.Legs[at]
		c.Legs = append(c.Legs, beside(l.ID, leg(l), leg(o), o.Allowed > 0 && o.WorstUse() > 1+1e-9))
	}
	for i := range x.Plan.Apexes {
		h := &x.Plan.Apexes[i]
		changed := "open"
		if at := slices.IndexFunc(a.Apexes, func(o rig.ApexAnswer) bool { return o.ID == h.ID }); at >= 0 {
			changed = show.Force(rig.Norm(a.Apexes[at].Force))
		}
		c.Hooks = append(c.Hooks, beside("hook of "+h.ID, show.Force(rig.Norm(h.Force)), changed, changed == "open"))
	}
}

// loops puts chain that bites beside chain that runs freely.
func (c *faultChosen) loops(x *app.Faults, w *fault.Row) {
	if w.Held == nil {
		return
	}
	words := func(n *fault.Numbers) string {
		if n == nil {
			return "settles nowhere"
		}
		return whatif.RowWords(x.Rig, &fault.Row{Body: n.Body, Pitch: n.Pitch, Roll: n.Roll, Rated: n.Rated, Use: n.Use, Leg: n.Leg, Slack: n.Slack})
	}
	c.Loops = []faultBeside{
		{What: "chain bites where it turns", Plan: words(x.Table.Plan.Held), Changed: words(w.Held)},
		{What: "chain runs freely", Plan: words(x.Table.Plan.Runs), Changed: words(w.Runs)},
	}
}

// progressWords says how far the work is.
func progressWords(tried, listed int) string {
	if listed == 0 {
		return "The work has begun."
	}
	return fmt.Sprintf("%d of %d faults are worked out.", tried, listed)
}
