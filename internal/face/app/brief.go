package app

import (
	"bytes"
	"fmt"
	"math"
	"time"

	"hangtrue/internal/engine/brief"
	"hangtrue/internal/engine/brief/brieffile"
	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/lift/aircraftfile"
	"hangtrue/internal/engine/procedure"
	"hangtrue/internal/engine/procedure/procedurefile"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/pdf"
	paper "hangtrue/internal/paper/placard"
)

// BriefFrom is what a load brief is made from. The rig must have an answer.
type BriefFrom struct {
	Rig      *Solved
	Aircraft []byte    // hangtrue.aircraft/1; nil: none
	Brief    []byte    // hangtrue.brief/1; nil: none
	Name     string    // of the rig file, without its ending
	Register []byte    // hangtrue.procedures/1; nil: none
	Review   string    // why the procedure is to be reviewed first, where that is known without a register
	Today    time.Time // the day of the papers, in local time
}

// LoadBrief is a load brief and the versions that it was made from.
type LoadBrief struct {
	*brief.Brief
	Entered  brief.Entered
	Aircraft *lift.Aircraft
	Carries  *lift.Answer // what the aircraft can carry; nil: not worked out
	Versions paper.Stamp  // the hashes only
	// Wrong is what is wrong with one of the files.
	// Where it is not empty there is no brief.
	Wrong   []document.Problem
	WrongIn string // aircraft, brief or register
}

// MakeBrief makes a load brief.
func MakeBrief(in BriefFrom) *LoadBrief {
	out := &LoadBrief{Versions: paper.Stamp{Rig: in.Rig.Version}}
	if in.Aircraft != nil {
		if out.Aircraft, out.Wrong = aircraftfile.Read(in.Aircraft); out.Aircraft == nil {
			out.WrongIn = "aircraft"
			return out
		}
		out.Versions.Aircraft = Version(in.Aircraft)
	}
	if in.Brief != nil {
		entered, wrong := brieffile.Read(in.Brief)
		if entered == nil {
			out.Wrong, out.WrongIn = wrong, "brief"
			return out
		}
		out.Entered, out.Versions.Brief = *entered, Version(in.Brief)
	} else {
		out.Entered.Incomplete = []string{"not entered: air and fuel at pick-up and drop-off"}
	}
	from := brief.Input{Rig: in.Rig.Answer, Version: in.Rig.Version, Aircraft: out.Aircraft, Today: in.Today}
	if out.registered(&in, &from); out.Wrong != nil {
		return out
	}
	from.Entered = out.Entered
	from.Lift, from.NoLift = carried(&from)
	out.Carries, out.Brief = from.Lift, brief.Of(from)
	return out
}

// registered holds the rig against the register of procedures: whether what it
// follows is in force, and who answers for it where nothing covers it. What the
// brief itself says of an authority comes first.
func (b *LoadBrief) registered(in *BriefFrom, to *brief.Input) {
	to.Review = in.Review
	if in.Register == nil {
		return
	}
	g, wrong := procedurefile.Read(in.Register)
	if g == nil {
		b.Wrong, b.WrongIn = wrong, "register"
		return
	}
	c := g.Cite(in.Name, in.Rig.Version, in.Rig.Rig)
	switch c.Standing {
	case procedure.ForReview, procedure.NotInTheBook, procedure.NotChecked:
		to.Review = c.Why
	}
	if by := c.Draft.By; by != nil && b.Entered.Authority == (brief.Authority{}) {
		b.Entered.Authority = brief.Authority{Name: by.Name, Reference: by.Reference, Rig: by.Version}
		if t := by.TestLift; t != nil && !b.Entered.TestLift.Complete() {
			b.Entered.TestLift = brief.Record{On: t.On, By: t.By, Record: t.Result}
		}
	}
}

// carried works out what the aircraft can carry, or says why it cannot be told.
func carried(in *brief.Input) (*lift.Answer, []string) {
	e := &in.Entered
	if in.Aircraft == nil {
		return nil, []string{"no aircraft is entered"}
	}
	if e.Conditions == nil {
		return nil, e.Incomplete
	}
	c := *e.Conditions
	c.Hooks = e.Hooks
	c.Fitting = lift.Fitting{Kind: e.Fitting.Kind, Ring: e.Fitting.Ring}
	q, problems := c.Ask(in.Aircraft, in.Rig)
	var answer *lift.Answer
	if len(problems) == 0 {
		answer, problems = lift.Carry(q)
	}
	var why []string
	for _, p := range problems {
		text := p.Text
		if p.Hint != "" {
			text += "; " + p.Hint
		}
		why = append(why, text)
	}
	return answer, why
}

// Exit returns the exit status that what the aircraft can carry stands for.
func (b *LoadBrief) Exit() int {
	switch {
	case b.Carries == nil || b.Carries.Result == rig.CannotTell:
		return ExitCannotTell
	case b.Carries.Result == rig.Within:
		return ExitWithin
	}
	return ExitOver
}

// Pages draws papers of the brief.
func (b *LoadBrief) Pages(kinds []paper.Kind, a5 bool, stamp paper.Stamp) []*draw.Picture {
	stamp.Rig, stamp.Brief, stamp.Aircraft = b.Versions.Rig, b.Versions.Brief, b.Versions.Aircraft
	var out []*draw.Picture
	for _, k := range kinds {
		for _, p := range paper.Of(k, b.Brief, stamp) {
			if a5 {
				p = paper.A5(p)
			}
			out = append(out, p)
		}
	}
	return out
}

// PDF prints papers of the brief, one after the other. Created is the
// document's own date; zero leaves it undated.
func (b *LoadBrief) PDF(kinds []paper.Kind, a5 bool, stamp paper.Stamp, created time.Time) ([]byte, error) {
	pages := b.Pages(kinds, a5, stamp)
	if len(pages) == 0 {
		return nil, fmt.Errorf("app: no paper of the brief is asked for")
	}
	meta := pdf.Meta{Lang: "en", Created: created}
	if len(kinds) > 1 {
		meta.Title = b.Title + ", load brief"
	}
	var out bytes.Buffer
	if err := pdf.WriteAll(&out, pages, meta); err != nil {
		return nil, fmt.Errorf("app: print the brief: %w", err)
	}
	return out.Bytes(), nil
}

// BriefDocument is a load brief as data, format hangtrue.load-brief/1.
type BriefDocument struct {
	Format        string       `json:"format"`
	Rig           string       `json:"rig_sha256"`
	Brief         string       `json:"brief_sha256"`
	Aircraft      string       `json:"aircraft_sha256"`
	Invented      bool         `json:"invented"`
	Status        string       `json:"status"`
	Outside       []string     `json:"outside"`
	Draft         bool         `json:"draft"`
	Why           []string     `json:"draft_because"`
	Before        string       `json:"before_any_flight"`
	Authority     string       `json:"authority"`
	Caution       string       `json:"caution"`
	Title         string       `json:"title"`
	Result        string       `json:"result"`
	Reason        string       `json:"reason"`
	AircraftTitle string       `json:"aircraft"`
	Weight        string       `json:"weight"`
	Mass          float64      `json:"mass_kg"`
	Procedure     string       `json:"procedure"`
	Counts        []BriefCount `json:"counts"`
	Papers        []BriefPaper `json:"papers"`
	Daily         []BriefDaily `json:"daily"`
	Blank         []string     `json:"not_entered"`
}

// BriefCount is what one leg is set to. Approved counts are the procedure's.
type BriefCount struct {
	Leg      string `json:"leg"`
	To       string `json:"to"`
	Seat     string `json:"seat"`
	Count    string `json:"count"`
	Approved bool   `json:"approved"`
	Remark   string `json:"remark"`
}

// BriefPaper is one paper.
type BriefPaper struct {
	Paper    string         `json:"paper"`
	Sections []BriefSection `json:"sections"`
}

// BriefSection is some rows under a heading.
type BriefSection struct {
	Heading string     `json:"heading"`
	Rows    []BriefRow `json:"rows"`
}

// BriefRow is one thing that a paper says; Entered is false where Text is the
// word for nothing.
type BriefRow struct {
	Label   string `json:"label"`
	Text    string `json:"text"`
	Entered bool   `json:"entered"`
}

// BriefDaily is something done each day.
type BriefDaily struct {
	What string `json:"what"`
	By   string `json:"by"`
	At   string `json:"at"`
}

// Document is the brief as data.
func (b *LoadBrief) Document() BriefDocument {
	d := BriefDocument{
		Format: "hangtrue.load-brief/1", Rig: b.Versions.Rig, Brief: b.Versions.Brief, Aircraft: b.Versions.Aircraft,
		Invented: b.Invented, Status: b.Status.String(), Outside: nonNil(b.Outside), Draft: b.Draft(), Why: nonNil(b.Why), Before: b.Before(),
		Authority: b.Authority, Caution: rig.Caution, Title: b.Title, Result: b.Result.String(), Reason: b.Reason, AircraftTitle: b.Brief.Aircraft,
		Weight: b.Weight, Mass: math.Round(b.Mass*1e6) / 1e6, Procedure: b.Procedure, Counts: []BriefCount{}, Daily: []BriefDaily{}, Blank: nonNil(b.Blank),
	}
	for _, c := range b.Counts {
		d.Counts = append(d.Counts, BriefCount{c.Leg, c.To, c.Seat, c.Count, c.Approved, c.Remark})
	}
	for _, x := range []struct {
		kind     paper.Kind
		sections []brief.Section
	}{{paper.Placard, b.Placard}, {paper.Aircrew, b.Aircrew}, {paper.Team, b.Team}} {
		p := BriefPaper{Paper: string(x.kind), Sections: []BriefSection{}}
		for _, s := range x.sections {
			section := BriefSection{Heading: s.Heading, Rows: []BriefRow{}}
			for _, r := range s.Rows {
				section.Rows = append(section.Rows, BriefRow{r.Label, r.Says(), r.Text != ""})
			}
			p.Sections = append(p.Sections, section)
		}
		d.Papers = append(d.Papers, p)
	}
	for _, t := range b.Ticks {
		d.Daily = append(d.Daily, BriefDaily{string(t.What), t.By, t.At})
	}
	return d
}

// nonNil is a list that JSON writes as one even where it is empty.
func nonNil(list []string) []string {
	if list == nil {
		return []string{}
	}
	return list
}
