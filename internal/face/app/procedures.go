package app

import (
	"bytes"
	"strings"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/procedure"
	"hangtrue/internal/engine/procedure/procedurefile"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/rigfile"
)

// NamedFile is a file with its name, without folder.
type NamedFile struct {
	Name string
	Data []byte
}

// RegisterReview is a folder of rigs held against its register.
type RegisterReview struct {
	Version   string // of the register, SHA-256 of its bytes; "" where there is none
	Register  *procedure.Register
	Problems  []document.Problem // of the register
	Citations []procedure.Citation
	Unread    []string // names of rig files with errors
}

// RegisterName is what the register is called in the folder of the rigs.
const RegisterName = procedurefile.Name

// HoldProcedures holds rigs against a register; nil is no register, which knows
// no publication. Names of rigs go without their ending.
func HoldProcedures(register []byte, rigs []NamedFile) *RegisterReview {
	x := &RegisterReview{Register: &procedure.Register{}}
	if register != nil {
		x.Version = Version(register)
		g, problems := procedurefile.Read(register)
		if x.Problems = problems; g == nil {
			return x
		}
		x.Register = g
	}
	for _, f := range rigs {
		r, _ := rigfile.Read(f.Data)
		if r == nil {
			x.Unread = append(x.Unread, f.Name)
			continue
		}
		x.Citations = append(x.Citations, x.Register.Cite(f.Name, Version(f.Data), r))
	}
	return x
}

// Exit returns the exit status: 1 where a rig is for review or cites what the
// register does not have, 3 where something is not entered.
func (x *RegisterReview) Exit() int {
	if len(x.Problems) > 0 || len(x.Unread) > 0 {
		return ExitBadInput
	}
	status := ExitWithin
	for _, c := range x.Citations {
		switch c.Standing {
		case procedure.ForReview, procedure.NotInTheBook:
			return ExitOver
		case procedure.NotChecked, procedure.NotCited:
			status = ExitCannotTell
		}
	}
	return status
}

// Count returns how many rigs stand so.
func (x *RegisterReview) Count(s procedure.Standing) int {
	n := 0
	for _, c := range x.Citations {
		if c.Standing == s {
			n++
		}
	}
	return n
}

// ReviewDocument is a folder of rigs held against its register, as data.
type ReviewDocument struct {
	Format   string       `json:"format"`
	Register string       `json:"register_sha256"` // empty where there is none
	Title    string       `json:"title"`
	Invented bool         `json:"invented"`
	Caution  string       `json:"caution"`
	Rigs     []ReviewRig  `json:"rigs"`
	Unread   []string     `json:"not_read"`
	Books    []ReviewBook `json:"publications"`
}

// ReviewRig is one rig and what it cites.
type ReviewRig struct {
	Rig         string   `json:"rig"`
	Version     string   `json:"rig_sha256"`
	Title       string   `json:"title"`
	Invented    bool     `json:"invented"`
	Status      string   `json:"status"`
	Publication string   `json:"publication"`
	Edition     string   `json:"edition"`
	Change      string   `json:"change"`
	Paragraph   string   `json:"paragraph"`
	Standing    string   `json:"standing"` // current | for-review | not-registered | not-checked | not-cited
	Why         string   `json:"why"`
	Draft       bool     `json:"draft"` // no procedure covers it: an authority is needed
	Missing     []string `json:"missing_for_final"`
	Final       bool     `json:"may_print_as_final"`
}

// ReviewBook is a publication of the register and who cites it.
type ReviewBook struct {
	Title      string   `json:"title"`
	Edition    string   `json:"edition"`
	Change     string   `json:"change"`
	Superseded bool     `json:"superseded"`
	Paragraphs int      `json:"paragraphs"`
	CitedBy    []string `json:"cited_by"`
}

// Books lists the register's publications with the rigs that cite each.
func (x *RegisterReview) Books() []ReviewBook {
	out := []ReviewBook{}
	for i := range x.Register.Publications {
		p := &x.Register.Publications[i]
		b := ReviewBook{Title: p.Title, Edition: p.Edition, Change: p.Change, Superseded: p.Superseded, Paragraphs: len(p.Paragraphs), CitedBy: []string{}}
		for _, c := range x.Citations {
			if p.CitedBy(c.Procedure) {
				b.CitedBy = append(b.CitedBy, c.Rig)
			}
		}
		out = append(out, b)
	}
	return out
}

// Document is the folder as data.
func (x *RegisterReview) Document() ReviewDocument {
	d := ReviewDocument{
		Format: "hangtrue.review/1", Register: x.Version, Title: x.Register.Title, Invented: x.Register.Invented, Caution: rig.Caution,
		Rigs: []ReviewRig{}, Unread: append([]string{}, x.Unread...), Books: x.Books(),
	}
	for _, c := range x.Citations {
		r := ReviewRig{
			Rig: c.Rig, Version: c.Version, Title: c.Title, Invented: c.Invented, Status: c.Status.String(), Standing: c.Standing.String(), Why: c.Why,
			Draft: c.Draft.Is, Missing: append([]string{}, c.Draft.Missing...), Final: c.Final(),
		}
		if p := c.Procedure; p != nil {
			r.Publication, r.Edition, r.Change, r.Paragraph = p.Publication, p.Edition, p.Change, p.Paragraph
		}
		d.Rigs = append(d.Rigs, r)
	}
	return d
}

// FormatOf returns what a file says that it is, hangtrue.rig/1 for example; ""
// where it does not say.
func FormatOf(data []byte) string {
	for line := range bytes.Lines(data) {
		if rest, ok := bytes.CutPrefix(line, []byte("format:")); ok {
			return strings.TrimSpace(string(rest))
		}
	}
	return ""
}
