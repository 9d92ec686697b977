// Package procedure is a school's register of the publications that its rigs
// follow: which edition is current, which paragraph covers what, and which rigs
// cite an edition that is no longer current.
//
// A rig cites a procedure in its own file. Whether it then follows that
// procedure is the rig's to say (its status); the register adds whether the
// edition cited is still the current one. A new edition marks every rig that
// cites the old one for review and changes nothing else: old records stay as
// they were signed.
package procedure

import (
	"fmt"
	"strings"
	"time"

	"hangtrue/internal/engine/rig"
)

// Register is what a school has of approved procedures. Publications stand in
// the order entered.
type Register struct {
	Title        string
	Invented     bool
	Publications []Publication
	Authorities  []Authority
}

// Publication is a book of procedures in one edition.
type Publication struct {
	Title      string
	Edition    string
	Change     string
	From       time.Time // zero where not entered
	Superseded bool      // a newer edition is current; the entry is kept so that old records can be read
	Note       string
	Paragraphs []Paragraph
}

// Paragraph is a place in a publication, and what it covers.
type Paragraph struct {
	Number   string
	Title    string
	Aircraft []string    // none: not entered
	Weight   *[2]float64 // N, lowest and highest; nil: not entered
	Set      string
	Airspeed string
}

// Authority is who may allow a flight with a load that no procedure covers, and
// the record of its test lift: what a draft needs before it prints as final.
type Authority struct {
	Rig       string // name of the rig file, without its ending
	Version   string // SHA-256 of its bytes that the authority named; "" holds for none
	Name      string
	Reference string
	TestLift  *TestLift
}

// TestLift is the record of a static test lift and hover check.
type TestLift struct {
	On     time.Time
	By     string
	Result string
}

// Standing says how a rig stands to the register.
type Standing uint8

// The standings, from the best.
const (
	Current      Standing = iota // it cites the current edition, and the paragraph is entered
	NotCited                     // it cites no procedure
	NotChecked                   // something that would settle it is not entered
	NotInTheBook                 // no such publication, or no such paragraph in it
	ForReview                    // it cites an edition that is no longer current
)

// String returns the standing's word for programs.
func (s Standing) String() string {
	return [...]string{"current", "not-cited", "not-checked", "not-registered", "for-review"}[s]
}

// Words returns the standing as a person reads it.
func (s Standing) Words() string {
	return [...]string{"cites the current edition", "cites no procedure", "cannot tell which edition it cites", "cites what the register does not have", "FOR REVIEW"}[s]
}

// Citation is one rig held against the register.
type Citation struct {
	Rig       string // name of the rig file, without its ending
	Version   string // SHA-256 of its bytes
	Title     string
	Invented  bool
	Status    rig.Status
	Procedure *rig.Procedure // nil: it cites none
	Standing  Standing
	Why       string
	Draft     Draft
}

// Draft says whether a rig that no procedure covers may print as final.
type Draft struct {
	Is      bool     // it needs an authority at all
	Missing []string // what is not entered; none where it may print as final
	By      *Authority
}

// Cite holds a rig against the register. Name is that of its file without
// ending; version the SHA-256 of its bytes.
func (g *Register) Cite(name, version string, r *rig.Rig) Citation {
	c := Citation{Rig: name, Version: version, Title: r.Title(), Invented: r.Invented(), Status: r.Status(), Procedure: r.Procedure()}
	c.Standing, c.Why = g.standing(c.Procedure)
	c.Draft = g.draft(name, version, r)
	return c
}

func same(a, b string) bool { return strings.EqualFold(strings.TrimSpace(a), strings.TrimSpace(b)) }

// standing finds the publication that is cited and says how it stands.
func (g *Register) standing(p *rig.Procedure) (Standing, string) {
	if p == nil {
		return NotCited, "no procedure is entered in the rig file"
	}
	var cited, current *Publication
	known := false
	for i := range g.Publications {
		x := &g.Publications[i]
		if !same(x.Title, p.Publication) {
			continue
		}
		known = true
		if !x.Superseded {
			current = x
		}
		if same(x.Edition, p.Edition) && same(x.Change, p.Change) {
			cited = x
		}
	}
	switch {
	case !known:
		return NotInTheBook, fmt.Sprintf("the register has no publication %q", p.Publication)
	case p.Edition == "" && (current == nil || current.Edition != ""):
		return NotChecked, "the rig file does not say which edition it follows"
	case cited == nil && current != nil:
		return ForReview, fmt.Sprintf("it cites %s and the register has %s as current", edition(p.Edition, p.Change), edition(current.Edition, current.Change))
	case cited == nil:
		return NotInTheBook, fmt.Sprintf("the register does not have %s of %s", edition(p.Edition, p.Change), p.Publication)
	case cited.Superseded && current != nil:
		return ForReview, fmt.Sprintf("%s is superseded by %s", edition(cited.Edition, cited.Change), edition(current.Edition, current.Change))
	case cited.Superseded:
		return ForReview, fmt.Sprintf("%s is superseded, and no current one is entered", edition(cited.Edition, cited.Change))
	case p.Paragraph == "":
		return NotChecked, "the rig file does not say which paragraph it follows"
	case len(cited.Paragraphs) == 0:
		return NotChecked, "the register lists no paragraphs of it"
	}
	for i := range cited.Paragraphs {
		if same(cited.Paragraphs[i].Number, p.Paragraph) {
			return g.covers(&cited.Paragraphs[i], p)
		}
	}
	return NotInTheBook, fmt.Sprintf("the register has no paragraph %s in %s", p.Paragraph, edition(cited.Edition, cited.Change))
}

// covers compares what the rig file says of the procedure with the register.
func (g *Register) covers(x *Paragraph, p *rig.Procedure) (Standing, string) {
	var unlike []string
	if x.Weight != nil && p.Weight != nil && !(alike(x.Weight[0], p.Weight[0]) && alike(x.Weight[1], p.Weight[1])) {
		unlike = append(unlike, "the weights")
	}
	if x.Set != "" && p.Set != "" && !same(x.Set, p.Set) {
		unlike = append(unlike, "the sling set")
	}
	if x.Airspeed != "" && p.Airspeed != "" && !same(x.Airspeed, p.Airspeed) {
		unlike = append(unlike, "the airspeed")
	}
	for _, a := range p.Aircraft {
		if len(x.Aircraft) > 0 && !contains(x.Aircraft, a) {
			unlike = append(unlike, "the aircraft "+a)
		}
	}
	if len(unlike) > 0 {
		return ForReview, "the rig file and the register do not agree on " + strings.Join(unlike, ", ")
	}
	return Current, "paragraph " + x.Number
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if same(x, s) {
			return true
		}
	}
	return false
}

// alike allows for a figure that was typed in other units: half a per cent.
func alike(a, b float64) bool { return a == b || a > 0 && b/a > 0.995 && b/a < 1.005 }

func edition(name, change string) string {
	text := "edition " + name
	if name == "" {
		text = "an edition without a name"
	}
	if change != "" {
		text += ", change " + change
	}
	return text
}

// draft says what a rig that follows no procedure still needs before its papers
// print as final: a named authority, its reference, and a test-lift record.
func (g *Register) draft(name, version string, r *rig.Rig) Draft {
	if r.Status() == rig.FollowsProcedure {
		return Draft{}
	}
	d := Draft{Is: true}
	old := false
	for i := range g.Authorities {
		if a := &g.Authorities[i]; a.Rig == name {
			if a.Version != version {
				old = true
				continue
			}
			d.By = a
		}
	}
	switch {
	case d.By == nil && old:
		d.Missing = []string{"an authority for this version of the rig: the one entered named an earlier version, or none"}
		return d
	case d.By == nil:
		d.Missing = []string{"a named authority", "its reference", "a test-lift record"}
		return d
	}
	if d.By.Name == "" {
		d.Missing = append(d.Missing, "a named authority")
	}
	if d.By.Reference == "" {
		d.Missing = append(d.Missing, "its reference")
	}
	if d.By.TestLift == nil {
		d.Missing = append(d.Missing, "a test-lift record")
	}
	return d
}

// Final reports whether papers of the rig may print without the word draft.
// Invented data never does.
func (c *Citation) Final() bool {
	return !c.Invented && c.Standing != ForReview && (!c.Draft.Is || len(c.Draft.Missing) == 0)
}

// CitedBy reports whether a rig's procedure is this publication in this edition
// and change.
func (p *Publication) CitedBy(x *rig.Procedure) bool {
	return x != nil && same(p.Title, x.Publication) && same(p.Edition, x.Edition) && same(p.Change, x.Change)
}
