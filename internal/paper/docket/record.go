package docket

import (
	"fmt"
	"strings"
	"time"

	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/draw/qr"
	"hangtrue/internal/paper/draw/running"
)

// Copy says whom a copy of a record is for.
type Copy string

// The copies.
const (
	ForLoad    Copy = "for the load"
	ForAircrew Copy = "for the aircrew"
	ForFile    Copy = "for the file"
)

// Copies lists the copies in the order in which they are printed.
var Copies = []Copy{ForLoad, ForAircrew, ForFile}

// Record is a sealed record with what is read beside it: words for the ids in
// it, taken from the version of the rig that it names by its hash.
type Record struct {
	School string
	Log    string // the log's name
	N      int64
	Leaf   string // the entry's hash, hexadecimal
	Short  string // its first digits, in groups
	Mark   string // what the code holds
	inspection.Sealed
	Title     string   // of the rig
	Bodies    []string // what hangs, one line each
	Procedure string   // publication, edition, change, paragraph
	Asked     map[inspection.Task]Asked
	Later     []Later        // what later records say of this one
	Zone      *time.Location // in which times are printed; nil is UTC
}

// Asked are the words of a question. What is empty prints as its id.
type Asked struct {
	Checkpoint string
	Part       string
	Question   string
	Planned    string
	States     map[string]string
}

// Later is an entry that points to the record.
type Later struct {
	N                  int64
	At                 time.Time
	Kind, Text, By, Of string
}

// Stamp says when and by what a paper was printed.
type Stamp struct{ Date, Tool string }

func (s Stamp) String() string { return fmt.Sprintf("Printed %s by %s", s.Date, s.Tool) }

// Inspection draws the record of a signed inspection, one picture for each A4
// page, copy after copy. It fails where the mark is too long for a code.
func Inspection(r *Record, copies []Copy, s Stamp) ([]*draw.Picture, error) {
	var out []*draw.Picture
	for _, c := range copies {
		pages, err := r.copy(c, s)
		if err != nil {
			return nil, err
		}
		out = append(out, pages...)
	}
	return out, nil
}

func (r *Record) copy(c Copy, s Stamp) ([]*draw.Picture, error) {
	name := fmt.Sprintf("Inspection record %d", r.N)
	status := spelling.Capital(r.Status)
	d := begin(&running.Paper{
		Title: fmt.Sprintf("%s, copy %s", name, c), Desc: fmt.Sprintf("%s of the load %s. %s.", name, r.Begin.Load, status),
		Foot:  []string{rig.Caution, fmt.Sprintf("Record %d of %s, hash %s. A later record may correct or end it: the log says, this paper does not.", r.N, r.Log, r.Short)},
		Stamp: []string{s.String()},
	}, spelling.Joined(" · ", name, status, r.Begin.Load), strings.ToUpper("copy "+string(c)))
	if err := r.head(d, name); err != nil {
		return nil, err
	}
	r.later(d)
	r.facts(d)
	r.equipment(d)
	r.wrong(d)
	r.remarks(d)
	r.photos(d)
	signatures(d, c, &r.Sealed)
	// Last, for it is long: whoever signs by hand signs above it.
	r.answers(d)
	return d.Done(), nil
}

// codeSide is the side of the code in mm. At level M about 110 signs make 45
// modules; each is then 0.7 mm, which a telephone reads at arm's length.
const codeSide = 38.0

// head is the top of the first page: the status above and larger than any
// number, what paper this is, and the code.
func (r *Record) head(d *running.Paper, name string) error {
	top := d.Y
	room := d.Area.W - codeSide - look.Wide
	code, err := qr.Code(r.Mark, draw.Rect{X: d.Area.X + d.Area.W - codeSide, Y: top, W: codeSide, H: codeSide})
	if err != nil {
		return err
	}
	d.List().Add(code)
	small := look.Small.WithPaint(look.Ink)
	d.List().TextBox(draw.Pt(d.Area.X+d.Area.W-codeSide/2, top+codeSide-1), codeSide, r.Short, small.At(draw.Middle, draw.Baseline))
	status := strings.ToUpper(r.Status)
	style := fitted(status, room, 2, look.SizeTitle*1.2, look.Loud)
	style.Leading = 1.1
	d.WriteIn(0, room, status, style)
	d.Y += look.Unit
	d.WriteIn(0, room, name+": "+spelling.Short(r.Begin.Load, 160), look.Title.WithSize(4.2))
	if r.School != "" {
		d.WriteIn(0, room, r.School, look.Body)
	}
	d.Y += look.Unit
	d.WriteIn(0, room, "Found: "+r.Result+".", look.Head)
	d.Y = max(d.Y, top+codeSide+3) + look.Unit
	return nil
}

// later is what stands against the record, before all that it says.
func (r *Record) later(d *running.Paper) {
	if len(r.Later) == 0 {
		return
	}
	d.Section("Later records point to this one", look.Space, 8)
	widths := []float64{22, 30, d.Area.W - 52}
	for _, x := range r.Later {
		d.Row(widths, []string{fmt.Sprintf("record %d", x.N), x.Kind, spelling.Joined(". ", r.local(x.At), spelling.Joined(": ", x.Of, x.Text), x.By)},
			look.Strong, look.Strong, look.Body)
	}
}

// facts draws what the record is about and who stands for it.
func (r *Record) facts(d *running.Paper) {
	d.Section("The load", look.Space, 20)
	for _, f := range r.LoadFacts() {
		d.Row([]float64{32, d.Area.W - 32}, f[:], look.Strong, look.Body)
	}
	d.Section("Who and when", look.Space, 20)
	for _, f := range r.PeopleFacts() {
		d.Row([]float64{32, d.Area.W - 32}, f[:], look.Strong, look.Body)
	}
}

// equipment lists what the load hangs on.
func (r *Record) equipment(d *running.Paper) {
	d.Section("Equipment on the load", look.Space, 10)
	if len(r.Sets) == 0 {
		d.Write("None is named.", look.Body)
		return
	}
	widths := []float64{50, 70, d.Area.W - 120}
	for _, s := range r.Sets {
		due := "no inspection is due"
		if s.Due != "" {
			due = "next inspection due " + string(s.Due)
		}
		d.Row(widths, []string{s.Kind, s.Serial, due}, look.Body, look.Strong, look.Body)
	}
}
