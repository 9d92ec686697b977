package results

import (
	"cmp"
	"fmt"
	"slices"

	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/engine/teach/report"
	"hangtrue/internal/engine/teach/stats"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/draw/running"
)

// About is what every report says of the numbers in it.
const About = "These numbers are about a class's tests and say nothing about any load, and none of them ranks people. Intervals are 95 % intervals; where there are fewer results than needed the words say so."

// Class is the results of a class, or of a whole school, ready to be printed.
type Class struct {
	School, Title string
	Days          string // from when to when; "" where it was not entered
	Invented      bool
	Set           *report.Set
	Lane          func(id string) string // what a lane is called
	Version       func(id string) string
	ClassName     func(id string) string
	FalseCalls    func(*report.Line) string // in drills; nil where there was none
	Pictures      []*draw.Picture           // curves and maps, in the order in which they are printed
}

// mostLines is how many rows a printed table has.
const mostLines = 40

// Report draws the report of a class on A4.
func (c *Class) Report(s Stamp) []*draw.Picture {
	d := begin("What the results say: "+c.Title, About, c.Invented, s, c.School, c.Days)
	line, _ := c.Set.TeachAgain()
	d.Write(line, look.Head)
	d.Y += look.Space
	d.Write(RunWords(c.Set.Runs()), look.Body)
	if c.Set.Unnamed > 0 {
		d.Write(fmt.Sprintf("%d answers are left out, as their rig is no longer kept.", c.Set.Unnamed), look.Body)
	}
	c.lines(d, "By checkpoint", "checkpoint", c.Set.ByCheckpoint())
	c.lines(d, "By deficiency, the most missed first", "deficiency", c.Set.ByItem())
	c.lines(d, "By kind of part", "kind of part", c.Set.ByKind())
	if lanes := c.Set.ByLane(); len(lanes) > 0 {
		var rows [][]string
		for _, l := range lanes[:min(mostLines, len(lanes))] {
			rows = append(rows, []string{c.Lane(l.Lane), l.Words()})
		}
		table(d, "False calls on lanes", []float64{.4, .6}, []string{"lane", "false calls"}, rows)
	}
	c.versions(d)
	g := c.Set.Agreement()
	section(d, "How far graders agree", 10)
	d.Write(g.Words(), look.Body)
	if classes := c.Set.ByClass(); len(classes) > 1 {
		var rows [][]string
		for i := max(0, len(classes)-mostLines); i < len(classes); i++ {
			x := &classes[i]
			rows = append(rows, []string{c.ClassName(x.Class), x.At.Format("2006-01-02"), x.FoundWords(), x.Words()})
		}
		table(d, "Class after class", []float64{.24, .14, .31, .31}, []string{"class", "first run", "found", "against the class before it"}, rows)
	}
	d.Again = nil
	for _, p := range c.Pictures {
		d.Y += look.Space
		d.Picture(p)
	}
	return d.Done()
}

func (c *Class) lines(d *running.Paper, title, what string, lines report.Lines) {
	if len(lines) == 0 {
		return
	}
	var rows [][]string
	for i := range lines {
		if i == mostLines {
			break
		}
		l := &lines[i]
		row := []string{LineName(l), l.Words(), l.TellsWords(), l.TimeWords()}
		if c.FalseCalls != nil {
			row = append(row, c.FalseCalls(l))
		}
		rows = append(rows, row)
	}
	head, shares := []string{what, "found", "tells students apart", "time until found"}, []float64{.34, .26, .2, .2}
	if c.FalseCalls != nil {
		head, shares = append(head, "false calls in drills"), []float64{.28, .21, .17, .16, .18}
	}
	table(d, title, shares, head, rows)
	if left := len(lines) - len(rows); left > 0 {
		d.Write(fmt.Sprintf("%d more rows are not printed; the table of values has them.", left), look.Body)
	}
}

// LineName is what a line is called; a checkpoint by its title and id.
func LineName(l *report.Line) string {
	if l.Kind == "" && l.Text != l.Key {
		return l.Text + " (" + l.Key + ")"
	}
	return l.Text
}

func (c *Class) versions(d *running.Paper) {
	list := c.Set.Versions()
	if len(list) == 0 || len(list) > 3*mostLines {
		return
	}
	slices.SortStableFunc(list, func(a, b report.VersionLine) int { return cmp.Compare(c.Version(a.Version), c.Version(b.Version)) })
	var rows [][]string
	for i := range list {
		v := &list[i]
		rows = append(rows, []string{c.Version(v.Version), v.Words(), v.Reliability()})
	}
	table(d, "Versions: how well each tells students apart", []float64{.34, .36, .3}, []string{"version", "found", "reliability (KR-20)"}, rows)
	equal := report.Equal(list)
	if len(equal) == 0 {
		return
	}
	rows = nil
	for i := range equal[:min(mostLines, len(equal))] {
		e := &equal[i]
		rows = append(rows, []string{c.Version(e.A.Version) + " against " + c.Version(e.B.Version), e.Words()})
	}
	table(d, "How equal the versions of a lane are", []float64{.5, .5}, []string{"versions", "mean share found"}, rows)
}

// RunWords says how many runs count and why the others do not.
func RunWords(r report.Runs) string {
	if r.All == 0 {
		return "No run has been graded yet."
	}
	text := fmt.Sprintf("%d of %s, of %s.", r.Counted, spelling.Count(r.All, "run counts", "runs count"), spelling.Count(r.Students, "student", "students"))
	if r.Later > 0 {
		text += fmt.Sprintf(" %d were later attempts on the same lane.", r.Later)
	}
	if r.Unsafe > 0 {
		text += fmt.Sprintf(" %d ended by a safety violation.", r.Unsafe)
	}
	if r.NotFinished > 0 {
		text += fmt.Sprintf(" %d are stopped or not over.", r.NotFinished)
	}
	if r.Counted > 0 && r.Students < stats.Few {
		text += fmt.Sprintf(" With fewer than %d students, take every number as a count.", stats.Few)
	}
	return text
}
