package brief

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
)

// Input is what a brief is made from.
type Input struct {
	Rig      *rig.Answer
	Version  string         // SHA-256 of the rig file's bytes
	Aircraft *lift.Aircraft // nil: none is entered
	Lift     *lift.Answer   // nil: what it can carry was not worked out
	NoLift   []string       // why not, where Lift is nil
	Entered  Entered
	// Review says why the procedure has to be looked at again before it counts,
	// such as a newer edition in the school's register; "" where nothing is known
	// against it.
	Review string
	Today  time.Time // the day of the papers; zero: what was done on a day is shown with its day only
}

// Brief is what the papers say.
type Brief struct {
	Title     string
	Invented  bool // marked INVENTED on every paper, and never signed
	Status    rig.Status
	Procedure string // publication, edition, change, paragraph; "" without one
	Outside   []string
	Why       []string // why the papers are a draft; empty: they are final
	Authority string   // under whose authority, where no procedure covers the load and all of it is entered
	Result    rig.Result
	Reason    string
	Aircraft  string  // "" where none is entered
	Weight    string  // with how it is known
	Mass      float64 // kg
	Counts    []Count
	Approved  bool // every count is the procedure's
	Rig       *rig.Rig

	Placard  []Section
	Aircrew  []Section
	Team     []Section
	Ticks    []Tick
	covered  bool
	knownHow lift.Known

	// Blank is how much of the brief nobody has entered: what each paper names so.
	Blank []string
}

// Draft reports whether the papers are a draft.
func (b *Brief) Draft() bool { return len(b.Why) > 0 }

// Before is what a load that no approved procedure in force covers still needs
// before any flight; "" for one that is covered.
func (b *Brief) Before() string {
	if b.covered {
		return ""
	}
	text, _ := strings.CutPrefix(rig.OutsideProcedure.Draft(), "draft: ")
	return spelling.Capital(text)
}

// Signable reports whether the papers may be signed at all.
func (b *Brief) Signable() bool { return !b.Draft() && !b.Invented }

// Count is what one leg is set to, and where it goes.
type Count struct {
	Leg      string
	To       string
	Seat     string // place on the apex pin; "" where not entered
	Count    string // "–" for a leg without chain
	Chain    bool
	Approved bool   // the procedure gives it
	Remark   string // where the rig file has another
}

// Section is some rows of a paper under a heading.
type Section struct {
	Heading string
	Rows    []Row
}

// Row is one thing that a paper says. Where nothing is entered, Text is empty
// and Missing says so in the words of the paper.
type Row struct {
	Label, Text, Missing string
}

// Says is what is printed.
func (r Row) Says() string {
	if r.Text == "" {
		return r.Missing
	}
	return r.Text
}

// The words for what nobody entered.
const (
	NotEntered = "not entered"
	NotBriefed = "NOT BRIEFED"
)

// Tick is a box for something done each day: on paper it is filled in by hand.
type Tick struct {
	What  Daily
	Words string
	By    string // "" where not done on the day of the papers
	At    string
	Past  string // the latest entry of another day
}

// Of makes the brief.
func Of(in Input) *Brief {
	e, r := &in.Entered, in.Rig.Rig
	b := &Brief{
		Title: title(e, r), Rig: r, Status: in.Rig.Status, Result: in.Rig.Result, Reason: in.Rig.Reason,
		Invented: r.Invented() || e.Invented || in.Aircraft != nil && in.Aircraft.Spec().Invented,
	}
	if p := r.Procedure(); p != nil {
		b.Procedure = ProcedureWords(p)
	}
	if in.Aircraft != nil {
		b.Aircraft = unmarked(in.Aircraft.Spec().Title)
	}
	w := weightOf(e, r)
	b.Weight, b.Mass, b.knownHow = w.Show(r.Show()), w.Mass, w.Known
	b.counts(r)
	b.standing(&in)
	b.ticks(&in)
	b.placard(&in)
	b.aircrew(&in)
	b.team(&in)
	seen := map[string]bool{}
	for _, s := range slices.Concat(b.Placard, b.Aircrew, b.Team) {
		for _, row := range s.Rows {
			if row.Text == "" && !seen[row.Label] {
				seen[row.Label] = true
				b.Blank = append(b.Blank, row.Label)
			}
		}
	}
	return b
}

// weightOf returns the load's weight with who weighed it and when, as entered.
// Where the rig does not say how it is known, a name would lend it weight.
func weightOf(e *Entered, r *rig.Rig) lift.Weight {
	w, _ := lift.WeightOf(r)
	if w.Known != "" {
		w.By, w.On = e.WeighedBy, e.WeighedOn
	}
	return w
}

// ProcedureWords names a procedure with its edition and change.
func ProcedureWords(p *rig.Procedure) string {
	out := p.Publication
	add := func(word, text string) {
		switch {
		case text == "":
		case strings.HasPrefix(strings.ToLower(text), word):
			out += ", " + text
		default:
			out += ", " + word + " " + text
		}
	}
	add("edition", p.Edition)
	add("change", p.Change)
	if p.Paragraph != "" {
		out += ", " + p.Paragraph
	}
	return out
}

func title(e *Entered, r *rig.Rig) string {
	if e.Title != "" {
		return unmarked(e.Title)
	}
	return unmarked(r.Title())
}

// unmarked is a title without the mark of invented data: the papers set it
// beside the title.
func unmarked(text string) string {
	rest, marked := strings.CutPrefix(text, "INVENTED")
	if rest = strings.TrimLeft(rest, " -–—:,."); marked && rest != "" {
		return spelling.Capital(rest)
	}
	return text
}

// counts are the procedure's where it gives them; a count of the rig file alone
// is none that anybody approved.
func (b *Brief) counts(r *rig.Rig) {
	b.Approved = true
	p := r.Procedure()
	for _, l := range r.Legs() {
		c := Count{Leg: l.ID, Count: "–", Chain: l.Chain != nil}
		var to []string
		for _, ref := range l.To {
			to = append(to, ref.String())
		}
		c.To = strings.Join(to, ", ")
		if l.Seat != nil {
			c.Seat = fmt.Sprint(*l.Seat)
		}
		planned, given := 0, false
		if p != nil {
			planned, given = p.Counts[l.ID], p.Counts[l.ID] > 0
		}
		switch {
		case l.Chain == nil:
		case given:
			c.Count, c.Approved = fmt.Sprint(planned), true
			if l.Count != nil && *l.Count != planned {
				c.Remark = fmt.Sprintf("the rig was hung with %d", *l.Count)
			}
		case l.Count != nil:
			c.Count = fmt.Sprint(*l.Count)
		default:
			c.Count = NotEntered
		}
		if c.Chain && !c.Approved {
			b.Approved = false
		}
		b.Counts = append(b.Counts, c)
	}
}

// CountsHead says what the counts are: the procedure's, or nobody's.
func (b *Brief) CountsHead() string {
	chained := slices.ContainsFunc(b.Counts, func(c Count) bool { return c.Chain })
	switch {
	case !chained:
		return "Legs: no chain, so no counts"
	case b.Approved:
		return "Counts of the procedure"
	}
	return "Counts of the rig file: computed or entered, not approved"
}

// weightParts says how the weight is made up; nothing more is to be said of one
// body that was entered as a whole.
func weightParts(r *rig.Rig) []Row {
	_, parts := lift.WeightOf(r)
	if len(parts) == 1 && len(r.Bodies()[0].Items) == 0 {
		return nil
	}
	var rows []Row
	for i, p := range parts {
		body := &r.Bodies()[i]
		rows = append(rows, Row{Label: "Weight of " + p.What, Text: p.Weight.Show(r.Show())})
		for _, it := range body.Items {
			rows = append(rows, Row{Label: "– " + it.What, Text: r.Show().Mass(it.Mass)})
		}
	}
	return rows
}

func angle(r *rig.Rig, rad float64) string { return r.Show().Angle(rad) }

// attitude says how a body hangs at rest; below the last digit shown it is level.
func attitude(r *rig.Rig, a *rig.BodyAnswer) string {
	const level = 0.05 * quantity.Degree
	if !a.Joined {
		return "hangs on no hook"
	}
	nose, side := "level fore and aft", "level sideways"
	switch {
	case a.Pitch > level:
		nose = "nose up " + angle(r, a.Pitch)
	case a.Pitch < -level:
		nose = "nose down " + angle(r, -a.Pitch)
	}
	switch {
	case a.Roll > level:
		side = "right side down " + angle(r, a.Roll)
	case a.Roll < -level:
		side = "left side down " + angle(r, -a.Roll)
	}
	return nose + ", " + side
}
