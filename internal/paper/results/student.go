package results

import (
	"fmt"

	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// NoCertificate stands on every student's sheet.
const NoCertificate = "This sheet is no certificate. It says what was found and missed on the days named, and nothing about what its bearer may do. It says nothing about any load."

// Student is the results of one student, ready to be printed.
type Student struct {
	School, Class, Name string
	Invented            bool
	Runs                []StudentRun
	Drills              string // how well right was told from wrong in drills; "" for none
}

// StudentRun is one run, as it was graded first.
type StudentRun struct {
	Lane, Day, Outcome string
	Numbers            string // how many were found, false calls, the time, in words
	Reasons            []string
	Attempt            int
	Again              string // what it came to when it was graded again; "" where it was not
	Remarks            []string
	Grader             string
	// Items are what was planted, in the order of the walk; nil as long as the
	// key has not been shown, since others may still have that version before
	// them.
	Items []StudentItem
}

// StudentItem is one planted deficiency.
type StudentItem struct {
	Text, Checkpoint string
	After            string // when it was found; "" where it was missed
}

// Sheet draws a student's result sheet on A4.
func (x *Student) Sheet(s Stamp) []*draw.Picture {
	d := &paper{title: "Results of " + x.Name, running: "Results of " + x.Name, note: NoCertificate, invented: x.Invented}
	d.page()
	d.write(d.title, look.Title)
	d.write(joined(", ", x.School, x.Class), look.Body)
	d.y += look.Space
	d.write(NoCertificate, look.Strong)
	if len(x.Runs) == 0 {
		d.y += look.Space
		d.write("No run has been graded yet.", look.Body)
	}
	for i := range x.Runs {
		r := &x.Runs[i]
		title := joined(", ", r.Lane, r.Day)
		if r.Attempt > 1 {
			title += fmt.Sprintf(", attempt %d", r.Attempt)
		}
		d.section(oneLine(title, d.area.W-4, look.Head), 24)
		d.write(r.Outcome+".", look.Strong)
		d.write(r.Numbers, look.Body)
		for _, text := range r.Reasons {
			d.write("– "+text, look.Body)
		}
		if r.Again != "" {
			d.write("Graded again: "+r.Again+" The first result stays above.", look.Body)
		}
		for _, text := range r.Remarks {
			d.write("– "+text, look.Body)
		}
		if r.Grader != "" {
			d.write("Graded by "+r.Grader+".", look.Body)
		}
		if r.Items == nil {
			d.write("What was planted is listed once the key of this version has been shown.", look.Body)
			continue
		}
		var rows [][]string
		for _, it := range r.Items {
			after := "missed"
			if it.After != "" {
				after = "found at " + it.After
			}
			rows = append(rows, []string{it.Text, it.Checkpoint, after})
		}
		d.y += 1
		d.table(title, []float64{.5, .28, .22}, []string{"planted", "checkpoint that asks about it", ""}, rows)
	}
	if x.Drills != "" {
		d.section("Drills", 10)
		d.write(x.Drills, look.Body)
	}
	d.sign("Student", "Instructor")
	return d.finish(s)
}

// sign leaves lines on which the sheet is signed as seen.
func (d *paper) sign(who ...string) {
	d.need(8 + 14*float64(len(who)))
	d.y += 8
	d.write("Seen by:", look.Body)
	for _, name := range who {
		d.y += 9
		x := d.area.X
		for i, field := range []string{name + ", name", "signature", "date"} {
			w := d.area.W * []float64{.38, .38, .24}[i]
			d.list().Line(draw.Pt(x, d.y), draw.Pt(x+w-4, d.y), look.Rule)
			d.list().Text(draw.Pt(x, d.y+2.8), field, look.Small.WithPaint(look.Ink).At(draw.Start, draw.Baseline))
			x += w
		}
		d.y += 5
	}
}
