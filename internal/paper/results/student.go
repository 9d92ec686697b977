package results

import (
	"fmt"

	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/draw/running"
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
	d := begin("Results of "+x.Name, NoCertificate, x.Invented, s, x.School, x.Class)
	d.Write(NoCertificate, look.Strong)
	if len(x.Runs) == 0 {
		d.Y += look.Space
		d.Write("No run has been graded yet.", look.Body)
	}
	for i := range x.Runs {
		r := &x.Runs[i]
		title := spelling.Joined(", ", r.Lane, r.Day)
		if r.Attempt > 1 {
			title += fmt.Sprintf(", attempt %d", r.Attempt)
		}
		section(d, draw.OneLine(title, d.Area.W-4, look.Head), 24)
		d.Write(r.Outcome+".", look.Strong)
		d.Write(r.Numbers, look.Body)
		for _, text := range r.Reasons {
			d.Write("– "+text, look.Body)
		}
		if r.Again != "" {
			d.Write("Graded again: "+r.Again+" The first result stays above.", look.Body)
		}
		for _, text := range r.Remarks {
			d.Write("– "+text, look.Body)
		}
		if r.Grader != "" {
			d.Write("Graded by "+r.Grader+".", look.Body)
		}
		if r.Items == nil {
			d.Write("What was planted is listed once the key of this version has been shown.", look.Body)
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
		d.Y += 1
		d.Table(d.Columns(.5, .28, .22), []string{"planted", "checkpoint that asks about it", ""}, rows, look.Body)
	}
	if x.Drills != "" {
		section(d, "Drills", 10)
		d.Write(x.Drills, look.Body)
	}
	sign(d, "Student", "Instructor")
	return d.Done()
}

// sign leaves lines on which the sheet is signed as seen.
func sign(d *running.Paper, who ...string) {
	d.Again = nil
	d.Need(8 + 14*float64(len(who)))
	d.Y += 8
	d.Write("Seen by:", look.Body)
	for _, name := range who {
		d.Y += 9
		d.Blanks([]string{name + ", name", "signature", "date"}, []float64{.38, .38, .24})
		d.Y += 5
	}
}
