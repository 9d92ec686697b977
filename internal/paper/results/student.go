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

// StudentRun is one run.
type StudentRun struct {
	Lane, Day, Outcome string
	Reasons            []string
	Found, Of, False   int
	Took               string
	Attempt            int
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
		d.write(fmt.Sprintf("Found %d of %d in %s; false calls: %d.", r.Found, r.Of, r.Took, r.False), look.Body)
		for _, text := range r.Reasons {
			d.write(text+".", look.Body)
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
	return d.finish(s)
}
