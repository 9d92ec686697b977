package web

import (
	"cmp"
	"fmt"
	"html/template"
	"math"
	"slices"
	"strings"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/picture"
)

// partNames are the parts of the rig's page that a change may alter: templates
// called part-NAME.
var partNames = []string{"head", "caption", "picture", "views", "legs", "bar", "numbers", "problems", "versions"}

// rigView is the rig's page, all words and numbers as they are shown.
type rigView struct {
	frame
	Name, Address    string
	Text             string
	Lines            []lineMark
	Base, Undo, Redo string
	Seen             seen
	Ground           bool
	Views            []viewButton
	Notice           string
	Links            []pageLink
	Moved            string // the version that is current, where the text was begun from another

	Status, Draft string
	Procedure     string
	Invented      bool
	RigTitle      string
	Kind          string // of the result, for the style: within, cannot-tell, over, does-not-stand, unread
	Result        string
	Reason        string

	Picture template.HTML
	Legs    []legView
	Counted bool // a leg has a count that can be changed
	Weight  string
	Bodies  []bodyView
	Carried []string
	Modes   []string
	Checks  []checkView // nearest to their limits first, or furthest beyond
	Further []checkView // the rest of them
	Levels  []levelView
	Missing []string
	Has     bool // there is an answer

	Problems []problemView
	Dirty    bool
	Version  string
	Versions []versionView
	Void     int
}

type viewButton struct {
	Name    string
	Pressed bool
}

// lineMark is one line's number, and whether something is wrong there.
type lineMark struct {
	N     int
	Wrong bool
}

type legView struct {
	ID, With      string
	To            []string // in pieces between which a line may break
	Chain, Open   bool
	Count         int
	Lower, Higher bool // there is a lower or a higher count
	Planned       string
	Pull, Angle   string
	Use, Worst    string
	Slack, Over   bool
	Length        string
}

type bodyView struct{ ID, Weight, Known, Hangs, Tilt string }

type checkView struct {
	About, What, Demand, Limit, Use, Remark string
	Passed                                  bool
}

// shownChecks is how many limits are shown before the reader asks for the rest.
const shownChecks = 6

type levelView struct {
	Words    string
	Kind     string
	Findings []rig.Finding
}

type problemView struct {
	Line       int
	Text, Hint string
}

type versionView struct {
	Version, At, Printed string
	Current, Void, Base  bool
}

// rigView makes the page of a draft.
func (s *Server) rigView(d *draft) (*rigView, error) {
	solved := s.solver.solve(d.data)
	p := &rigView{
		frame: frame{Title: d.name, Result: true, Script: "rig.js"},
		Name:  d.name, Address: rigURL(d.name),
		Text: strings.ReplaceAll(string(d.data), "\r\n", "\n"),
		Base: d.base, Undo: d.undo.String(), Redo: d.redo.String(),
		Seen: d.seen, Ground: d.seen.Ground, RigTitle: d.name,
		Version: solved.Version, Dirty: solved.Version != d.base, Links: pageLinks(d.name, ""),
	}
	if d.current != d.base {
		p.Moved = d.current
	}
	for _, name := range viewNames {
		p.Views = append(p.Views, viewButton{name, d.seen.view().Name == name})
	}
	p.problems(solved.Problems)
	if solved.Rig != nil {
		p.Invented = solved.Rig.Invented()
		p.RigTitle = titleOf(solved.Rig)
		p.Title = p.RigTitle
		p.legs(solved)
		p.Procedure = solved.Rig.Procedure().Words()
	}
	p.result(solved)
	text, err := drawing(solved, d.seen)
	if err != nil {
		return nil, err
	}
	p.Picture = template.HTML(text) // our own drawing, its texts escaped
	if solved.Answer != nil {
		p.answer(solved.Answer)
	}
	return p, p.versions(s, d)
}

// result words the state of the answer.
func (p *rigView) result(solved *app.Solved) {
	switch {
	case solved.Answer != nil:
		a := solved.Answer
		p.Has, p.Status, p.Draft = true, capital(a.Status.String()), capital(a.Status.Draft())
		p.Kind, p.Result, p.Reason = a.Result.String(), capital(a.Result.Words()), capital(a.Reason)
	case len(solved.Open) > 0:
		p.Status, p.Draft = capital(solved.Rig.Status().String()), capital(solved.Rig.Status().Draft())
		p.Kind, p.Result = rig.CannotTell.String(), capital(rig.CannotTell.Words())
		p.Reason = "Counts still open: " + strings.Join(solved.Open, ", ") + ". Set each with + to see how the load hangs."
	default:
		p.Status = "The text cannot be read"
		p.Kind, p.Result = "unread", "No result"
		p.Reason = counted(len(solved.Problems), "error in the text, named with its line.", "errors in the text, each named with its line.")
	}
}

func (p *rigView) problems(problems []document.Problem) {
	wrong := map[int]bool{}
	for _, x := range problems {
		p.Problems = append(p.Problems, problemView{x.Line, capital(x.Text), x.Hint})
		wrong[x.Line] = true
	}
	for n := range strings.Count(p.Text, "\n") + 1 {
		p.Lines = append(p.Lines, lineMark{n + 1, wrong[n+1]})
	}
}

func (p *rigView) legs(solved *app.Solved) {
	show := solved.Rig.Show()
	procedure := solved.Rig.Procedure()
	for i, l := range solved.Rig.Legs() {
		v := legView{ID: l.ID, To: pieces(refs(l.To)), Chain: l.Chain != nil, Open: l.Find}
		if group := solved.Group(l.ID); len(group) > 1 {
			var others []string
			for _, id := range group {
				if id != l.ID {
					others = append(others, id)
				}
			}
			v.With = strings.Join(others, ", ")
		}
		if l.Chain != nil {
			p.Counted = true
			most := l.Chain.Links - 1
			if l.Count != nil {
				v.Count = *l.Count
				v.Lower, v.Higher = v.Count > 1, v.Count < most
			} else {
				v.Higher = true
			}
			if procedure != nil {
				if n, ok := procedure.Counts[l.ID]; ok {
					v.Planned = fmt.Sprint(n)
				}
			}
		} else if l.Rope != nil {
			v.Length = show.Length(l.Rope.Length)
		}
		if a := solved.Answer; a != nil {
			x := &a.Legs[i]
			v.Slack, v.Over = x.Slack, x.Allowed > 0 && x.WorstUse() > 1+1e-9
			v.Pull, v.Use = "slack", "–"
			if !x.Slack {
				v.Pull, v.Angle = show.Force(x.Tension), show.Angle(x.Angle)
			}
			switch {
			case x.Allowed == 0:
				v.Use = "not rated"
			default:
				v.Use = show.Percent(x.Use)
				if math.Abs(x.WorstUse()-x.Use) > 5e-4 {
					v.Worst = unbroken(show.Percent(x.WorstUse()))
				}
			}
		}
		p.Legs = append(p.Legs, v)
	}
}

// invented is how demo data is marked.
const invented = "INVENTED"

// titleOf is the rig's title without the mark, where its author wrote that in
// front: the page sets the mark beside it.
func titleOf(r *rig.Rig) string {
	title := r.Title()
	if rest, ok := strings.CutPrefix(title, invented); ok && r.Invented() {
		if rest = strings.TrimLeft(rest, " -–—:,."); rest != "" {
			return capital(rest)
		}
	}
	return title
}

// firstCount is where an open count begins: the lowest that practice allows.
func firstCount(r *rig.Rig) int {
	if n := r.Spec().LowestCount; n > 0 {
		return n
	}
	return 3
}

// answer words all numbers of an answer but the legs'.
func (p *rigView) answer(a *rig.Answer) {
	show := a.Rig.Show()
	p.Weight = show.Mass(a.Rig.Weight() / quantity.StandardGravity)
	for i := range a.Bodies {
		b, x := &a.Rig.Bodies()[i], &a.Bodies[i]
		known := b.Known
		if b.MassBand != nil {
			known = joined(" ", known, "± "+show.Mass(*b.MassBand))
		}
		v := bodyView{ID: b.ID, Weight: show.Mass(b.TotalMass()), Known: known, Hangs: picture.AttitudeWords(show, x), Tilt: show.Angle(x.Tilt)}
		if !x.Joined {
			v.Hangs = "stays on the ground"
		}
		p.Bodies = append(p.Bodies, v)
	}
	for _, x := range a.Apexes {
		p.Carried = append(p.Carried, "Hook of "+x.ID+": "+show.Force(rig.Norm(x.Force)))
	}
	for _, x := range a.Sets {
		text := "Set " + x.ID + ": " + show.Force(x.Load)
		if x.Rated > 0 {
			text += ", " + show.Percent(x.Load/x.Rated) + " of its plate"
		}
		p.Carried = append(p.Carried, text)
	}
	for _, t := range a.Touches {
		p.Carried = append(p.Carried, t.A+" and "+t.B+" press on each other with "+show.Force(t.Force))
	}
	for _, m := range a.Modes {
		if m.Frequency > 0 {
			p.Modes = append(p.Modes, fmt.Sprintf("%s: %.1f s", capital(m.Shape), 1/m.Frequency))
		}
		if len(p.Modes) == 4 {
			break
		}
	}
	checks := slices.Clone(a.Checks)
	slices.SortStableFunc(checks, func(x, y rig.Check) int { return cmp.Compare(y.Use(), x.Use()) })
	for _, c := range checks {
		word := show.Angle
		if c.Force {
			word = show.Force
		}
		v := checkView{About: c.About, What: c.What, Demand: word(c.Demand), Limit: word(c.Limit), Passed: c.Passed(), Remark: joined("; ", c.Case, c.Source)}
		if c.Force {
			v.Use = show.Percent(c.Use())
		}
		if c.Band != nil {
			v.Remark = "band of " + show.Angle(c.Band[0]) + " to " + show.Angle(c.Band[1])
		}
		if len(p.Checks) < shownChecks || v.Passed {
			p.Checks = append(p.Checks, v)
		} else {
			p.Further = append(p.Further, v)
		}
	}
	for _, l := range []struct {
		level rig.Level
		words string
	}{{rig.Exceeded, "Over a limit"}, {rig.Unknown, "Cannot tell"}, {rig.Note, "To note"}} {
		v := levelView{Words: l.words, Kind: l.level.String()}
		for _, f := range a.Findings {
			if f.Level == l.level {
				v.Findings = append(v.Findings, f)
			}
		}
		if len(v.Findings) > 0 {
			p.Levels = append(p.Levels, v)
		}
	}
	p.Missing = a.Missing
}

// versions lists what is kept, and which sheets are void.
func (p *rigView) versions(s *Server, d *draft) error {
	kept, err := s.Keeper.Versions(d.name)
	if err != nil {
		return err
	}
	for i, k := range kept {
		v := versionView{Version: k.Version, Current: i == 0, Base: k.Version == d.base}
		if !k.At.IsZero() {
			v.At = k.At.Format("2006-01-02 15:04")
		}
		if !k.Printed.IsZero() {
			v.Printed = k.Printed.Format("2006-01-02 15:04")
			if v.Void = i > 0; v.Void {
				p.Void++
			}
		}
		p.Versions = append(p.Versions, v)
	}
	return nil
}

func refs(to []rig.Ref) string {
	var out []string
	for _, r := range to {
		out = append(out, r.String())
	}
	return strings.Join(out, ", ")
}

// pieces cuts a list of points where a line may break.
func pieces(text string) []string { return strings.SplitAfter(text, ".") }

// unbroken keeps a number and its unit on one line.
func unbroken(text string) string { return strings.ReplaceAll(text, " ", "\u00a0") }

// capital begins a text as a sentence begins.
func capital(text string) string { return spelling.Capital(text) }

func joined(by string, parts ...string) string { return spelling.Joined(by, parts...) }

func counted(n int, one, many string) string { return spelling.Count(n, one, many) }
