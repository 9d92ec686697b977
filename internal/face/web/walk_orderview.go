package web

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/face/app"
)

// orderPartNames are the parts of the page that a change may alter: templates
// called order-NAME.
var orderPartNames = []string{"notice", "coverage", "bar", "list", "problems", "versions"}

// orderView is the page of an own order.
type orderView struct {
	rigHead
	Action    string
	Troubles  []trouble
	Text      string
	Typed     string
	Lines     []lineMark
	Base      string
	Undo      string
	Redo      string
	OpenID    string
	Begun     bool
	Told      string // what became of the latest step
	Moved     string // the version that is current, where another was begun from
	Dirty     bool
	Remarks   bool // the text has remarks that a change by a button loses
	Problems  []problemView
	OrderName string
	Source    string
	Made      bool

	Claim       string
	Asked       int
	Total       int
	Uncovered   []uncoveredView
	Missed      int // deficiencies that nobody asks about
	Stale       string
	Checkpoints []orderRow
	Versions    []versionView
}

// orderRow is one checkpoint in the list.
type orderRow struct {
	N                      int
	ID, Title, Place, Note string
	Looks                  string
	Asks, Alone            int
	First, Last, Blind     bool
	Idle                   []string
	Open                   *openCheckpoint
}

// openCheckpoint is the fields of the checkpoint that is open.
type openCheckpoint struct {
	ID                                         string
	Title, Note, Reference, Looks, Ahead, Left string
	Rows                                       int
	Stands, Ways                               []option
	Parts                                      []optionGroup
}

func (s *Server) orderView(d *orderDraft) (*orderView, error) {
	p := &orderView{
		rigHead: d.head, Action: walkURL(d.head.Name) + "/order", Troubles: d.troubles, Text: d.text, Typed: d.text, Base: d.base,
		Undo: d.undo.String(), Redo: d.redo.String(), OpenID: d.open, Begun: d.sequence != nil, Told: d.notice,
	}
	p.Script = "walk.js"
	if d.typed != "" {
		p.Typed = d.typed
	}
	p.Problems = problemViews(d.problems)
	p.Lines = lineMarks(p.Typed, p.Problems)
	p.Remarks = strings.Contains(d.text, "\n#") || strings.Contains(d.text, " #") || strings.HasPrefix(d.text, "#")
	if d.current != d.base {
		p.Moved = d.current
	}
	p.Dirty = d.text != "" && app.Version(d.bytes()) != d.base
	if d.sequence != nil {
		if err := p.order(s, d); err != nil {
			return nil, err
		}
	}
	return p, p.versions(d)
}

// order words the sequence and its coverage.
func (p *orderView) order(s *Server, d *orderDraft) error {
	q := d.sequence
	c := inspect.Cover(d.survey, q)
	p.OrderName, p.Source, p.Made = q.Title, q.Source, q.Made
	p.Claim, p.Total, p.Missed = c.Claim(), c.Total, len(c.Uncovered)
	p.Asked, p.Uncovered = c.Total-len(c.Uncovered), uncoveredViews(c.Uncovered)
	asks, alone := make([]int, len(q.Checkpoints)), make([]int, len(q.Checkpoints))
	for _, by := range c.By {
		for _, k := range by {
			asks[k]++
		}
		if len(by) == 1 {
			alone[by[0]]++
		}
	}
	for i := range q.Checkpoints {
		x := &q.Checkpoints[i]
		row := orderRow{
			N: i + 1, ID: x.ID, Title: x.Title, Note: x.Note, Looks: lookWords(x.Looks), Asks: asks[i], Alone: alone[i],
			First: i == 0, Last: i == len(q.Checkpoints)-1, Blind: slices.Contains(c.Blind, i),
		}
		if row.Title == "" {
			row.Title = "Checkpoint " + x.ID
		}
		for _, u := range c.Idle {
			if u.Checkpoint == i {
				row.Idle = append(row.Idle, joined("; ", u.Text, pageHint(u.Hint)))
			}
		}
		if x.ID == d.open {
			row.Open = opened(d, x)
		}
		p.Checkpoints = append(p.Checkpoints, row)
	}
	for _, st := range d.survey.Stations(q) {
		for _, i := range st.Checkpoints {
			p.Checkpoints[i].Place = fmt.Sprintf("station %d, %s", st.Number, st.Text)
		}
	}
	if d.current == "" {
		return nil
	}
	own, err := app.OrderOf(d.shelf, d.head.Name)
	if err != nil || own == nil {
		return err
	}
	p.Stale, err = s.stale(d.walkDesk, own, c)
	return err
}

// lookWords are the first looks of a checkpoint.
func lookWords(looks []inspect.Look) string {
	const most = 3
	var out []string
	for i, l := range looks {
		if i == most && len(looks) > most+1 {
			return strings.Join(out, ", ") + fmt.Sprintf(" and %d more", len(looks)-most)
		}
		out = append(out, l.String())
	}
	return strings.Join(out, ", ")
}

// opened are the fields of a checkpoint, as they were sent where they could not
// be taken.
func opened(d *orderDraft, c *inspect.Checkpoint) *openCheckpoint {
	f := d.fields
	if f == nil {
		f = &orderFields{Title: c.Title, Note: c.Note, Reference: c.Reference, Stand: c.Stand, Do: c.Do}
		for _, l := range c.Looks {
			f.Looks += l.String() + "\n"
		}
		if c.At != nil {
			f.Ahead, f.Left = strconv.FormatFloat(c.At[0], 'f', -1, 64), strconv.FormatFloat(c.At[1], 'f', -1, 64)
		}
	}
	o := &openCheckpoint{
		ID: c.ID, Title: f.Title, Note: f.Note, Reference: f.Reference, Looks: f.Looks, Ahead: f.Ahead, Left: f.Left,
		Rows: min(max(strings.Count(f.Looks, "\n")+1, 3), 20), Parts: partOptions(d.survey),
	}
	for _, st := range inspect.Stands {
		o.Stands = append(o.Stands, option{string(st), capital(st.Words()), st == f.Stand || f.Stand == "" && st == inspect.StandHere})
	}
	for _, way := range part.Sees {
		o.Ways = append(o.Ways, option{string(way), string(way), slices.Contains(f.Do, way)})
	}
	return o
}

func (p *orderView) versions(d *orderDraft) (err error) {
	if d.current == "" {
		return nil
	}
	p.Versions, _, err = orderVersions(d.shelf, d.head.Name, d.base)
	return err
}

// orderVersions lists the versions kept of an order, and counts the sheets
// printed from those that are no longer current.
func orderVersions(shelf app.Keeper, name, base string) (list []versionView, void int, err error) {
	kept, err := shelf.Versions(name)
	if err != nil {
		return nil, 0, err
	}
	for i, k := range kept {
		v := versionView{Version: k.Version, Current: i == 0, Base: k.Version == base}
		if !k.At.IsZero() {
			v.At = k.At.Format("2006-01-02 15:04")
		}
		if !k.Printed.IsZero() {
			v.Printed = k.Printed.Format("2006-01-02 15:04")
			if v.Void = i > 0; v.Void {
				void++
			}
		}
		list = append(list, v)
	}
	return list, void, nil
}

// orderChanged is what the page's script gets.
type orderChanged struct {
	Text  string            `json:"text"`
	Typed string            `json:"typed"`
	Base  string            `json:"base"`
	Undo  string            `json:"undo"`
	Redo  string            `json:"redo"`
	Open  string            `json:"open"`
	Dirty bool              `json:"dirty"`
	Parts map[string]string `json:"parts"`
}

func (s *Server) orderParts(p *orderView) (*orderChanged, error) {
	c := &orderChanged{Text: p.Text, Typed: p.Typed, Base: p.Base, Undo: p.Undo, Redo: p.Redo, Open: p.OpenID, Dirty: p.Dirty, Parts: map[string]string{}}
	for _, name := range orderPartNames {
		text, err := s.pages.part("order-"+name, p)
		if err != nil {
			return nil, err
		}
		c.Parts[name] = text
	}
	return c, nil
}
