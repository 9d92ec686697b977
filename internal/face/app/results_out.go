package app

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/teach"
	"hangtrue/internal/engine/teach/report"
	"hangtrue/internal/engine/teach/stats"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/results"
	"hangtrue/internal/paper/walk"
)

// resultColumns are the columns of the table of results.
var resultColumns = []string{
	"class", "lane", "version", "run", "attempt", "graded", "outcome", "student", "student_id", "grader", "took_s", "false_calls", "out_of_order",
	"deficiency", "words", "part", "checkpoint", "checkpoint_title", "found", "found_after_s", "invented",
}

// WriteCSV writes the results as a table: a line for each planted deficiency of
// each run, UTF-8, with commas, as RFC 4180. A run without answers has one line.
func (d *ResultDesk) WriteCSV(w io.Writer) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	if err := out.Write(resultColumns); err != nil {
		return err
	}
	invented := strconv.FormatBool(d.Invented)
	for i := range d.Set.Sittings {
		x := &d.Set.Sittings[i]
		head := []string{
			d.ClassName(x.Class), d.LaneTitle(x.Lane), d.VersionTitle(x.Version), x.Run, strconv.Itoa(x.Attempt), x.At.UTC().Format(time.RFC3339), string(x.Outcome),
			d.Name(x.Student), x.Student, d.Name(x.Grader), seconds(x.Took), strconv.Itoa(x.False), strconv.Itoa(x.Order),
		}
		rows := [][]string{{"", "", "", "", "", "", ""}}
		if len(x.Answers) > 0 {
			rows = nil
		}
		for _, a := range x.Answers {
			item, place := &d.Set.Items[a.Item], &d.Set.Places[a.Place]
			found, after := "0", ""
			if a.Found {
				found, after = "1", seconds(a.After)
			}
			rows = append(rows, []string{item.Key, item.Text, place.Part, place.Checkpoint, place.Title, found, after})
		}
		for _, r := range rows {
			line := append(slices.Clone(head), append(r, invented)...)
			for k := range line {
				line[k] = plainCell(line[k])
			}
			if err := out.Write(line); err != nil {
				return err
			}
		}
	}
	out.Flush()
	return out.Error()
}

// plainCell keeps a spreadsheet from taking a text for a formula.
func plainCell(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return "'" + s
	}
	return s
}

func seconds(d time.Duration) string { return strconv.FormatFloat(d.Seconds(), 'f', 1, 64) }

// ClassName is what a class is called.
func (d *ResultDesk) ClassName(id string) string {
	if c, ok := d.Classes[id]; ok && c.Name != "" {
		return c.Name
	}
	return "class " + id[:min(8, len(id))]
}

// Days says from when to when the desk's results are; "" for none.
func (d *ResultDesk) Days() string {
	n := len(d.Set.Sittings)
	if n == 0 {
		return ""
	}
	from, until := d.Set.Sittings[0].At.Format(time.DateOnly), d.Set.Sittings[n-1].At.Format(time.DateOnly)
	if from == until {
		return from
	}
	return from + " to " + until
}

// mostCurve is how many classes a learning curve shows, the latest.
const mostCurve = 40

// Learning draws the learning curve: of the whole school class after class, of a
// class day after day in its drills, beside what its lanes found.
func (d *ResultDesk) Learning(width, height float64) *draw.Picture {
	if d.Class == nil {
		c := results.Curve{Name: "lanes, class after class"}
		list := d.Set.ByClass()
		for i := max(0, len(list)-mostCurve); i < len(list); i++ {
			c.Points = append(c.Points, results.Point{At: float64(i + 1), Label: short(d.ClassName(list[i].Class), 14), Found: list[i].Found, Few: !list[i].Enough(), Words: list[i].FoundWords()})
		}
		return results.Learning("Found on lanes, class after class", "class", []results.Curve{c}, d.Invented, width, height)
	}
	drills := results.Curve{Name: "drills: right told from wrong"}
	var first time.Time
	at := func(day string) float64 {
		t, err := time.Parse(time.DateOnly, day)
		if err != nil {
			return 0
		}
		if first.IsZero() || t.Before(first) {
			first = t
		}
		return t.Sub(first).Hours() / 24
	}
	day := func(t time.Time) string { return t.Format(time.DateOnly) }
	for _, s := range d.Set.Sittings {
		at(day(s.At)) // the first day of all
	}
	for _, l := range d.Looks {
		at(day(l.At))
	}
	for _, x := range report.ByDay(d.Looks, day) {
		drills.Points = append(drills.Points, results.Point{At: at(x.Day), Label: x.Day, Found: x.Right, Few: !x.Enough(), Words: x.Words()})
	}
	lanes := results.Curve{Name: "lanes: found of what was planted"}
	for _, x := range d.Set.ByDay(day) {
		lanes.Points = append(lanes.Points, results.Point{At: at(x.Day), Label: x.Day, Found: x.Found, Few: !x.Enough(), Words: x.Words()})
	}
	var curves []results.Curve
	for _, c := range []results.Curve{drills, lanes} {
		if len(c.Points) > 0 {
			curves = append(curves, c)
		}
	}
	return results.Learning("Day after day: "+d.Title(), "day", curves, d.Invented, width, height)
}

func short(s string, most int) string {
	r := []rune(s)
	if len(r) <= most {
		return s
	}
	return strings.TrimRight(string(r[:most-1]), " ") + "…"
}

// Map draws what was missed on a rig.
func (h *HeatRig) Map(width, height float64) *draw.Picture {
	var list []walk.MissedPart
	for i := range h.Lines {
		l := &h.Lines[i]
		list = append(list, walk.MissedPart{Part: l.Key, Missed: l.Found.Of - l.Found.Count, Of: l.Found.Of, Few: !l.Enough(), Words: l.Words()})
	}
	return walk.Missed(h.Survey, "What was missed: "+plainTitle(h.Solved.Rig), list, width, height)
}

// plainTitle is a rig's title without the mark of what is invented, which stands
// beside it.
func plainTitle(r *rig.Rig) string {
	title := r.Title()
	if rest, ok := strings.CutPrefix(title, "INVENTED"); ok && r.Invented() {
		if rest = strings.TrimLeft(rest, " -–—:,."); rest != "" {
			return upperFirst(rest)
		}
	}
	return title
}

// ItemMap draws items and students on one scale.
func (d *ResultDesk) ItemMap(m *report.Model, width float64) *draw.Picture {
	return results.ItemMap(m, "Items and students: "+d.Title(), d.Invented, width)
}

// mostMaps is how many rigs a report draws.
const mostMaps = 4

// ReportPaper is the report of the desk's results, as PDF.
func (d *ResultDesk) ReportPaper(school string, s results.Stamp) ([]byte, error) {
	c := &results.Class{
		School: school, Title: d.Title(), Days: d.Days(), Invented: d.Invented, Set: d.Set, Lane: d.LaneTitle, Version: d.VersionTitle, ClassName: d.ClassName,
	}
	if len(d.Set.Sittings) > 0 || len(d.Looks) > 0 {
		c.Pictures = append(c.Pictures, d.Learning(180, 90))
	}
	heat, err := d.Heat(mostMaps)
	if err != nil {
		return nil, err
	}
	for i := range heat {
		c.Pictures = append(c.Pictures, heat[i].Map(180, 130))
	}
	return paginated(c.Report(s))
}

// StudentPaper is the sheet of one student of the desk's class with what was
// found and missed, as PDF. Of versions whose key has not been shown it has the
// numbers only.
func (d *ResultDesk) StudentPaper(school, student string, s results.Stamp) ([]byte, error) {
	x := &results.Student{School: school, Class: d.Title(), Name: d.Name(student), Invented: d.Invented}
	for i := range d.Set.Sittings {
		r := &d.Set.Sittings[i]
		if r.Student != student {
			continue
		}
		run := results.StudentRun{
			Lane: d.LaneTitle(r.Lane), Day: r.At.Format(time.DateOnly), Outcome: upperFirst(r.Outcome.Words()), Of: len(r.Answers), False: r.False,
			Took: report.Clock(r.Took), Attempt: r.Attempt,
		}
		shown := d.Versions[r.Version].Opened
		for _, a := range r.Answers {
			item, place := &d.Set.Items[a.Item], &d.Set.Places[a.Place]
			it := results.StudentItem{Text: item.Text, Checkpoint: place.Title}
			if a.Found {
				run.Found++
				it.After = report.Clock(a.After)
			}
			if shown {
				run.Items = append(run.Items, it)
			}
		}
		slices.SortStableFunc(run.Items, func(a, b results.StudentItem) int { return cmp.Compare(a.Checkpoint, b.Checkpoint) })
		x.Runs = append(x.Runs, run)
	}
	for _, t := range report.Detect(d.Looks, func(l *report.Look) (string, string) { return l.Student, "" }) {
		if t.Key == student {
			x.Drills = fmt.Sprintf("Of %d pictures in drills with something wrong %d were called wrong, %d of them with what it was; of %d as they should be %d were called wrong.",
				t.Hits.Of, t.Hits.Count, t.Rightly, t.False.Of, t.False.Count)
			if t.Hits.Of < stats.Few || t.False.Of < stats.Few {
				x.Drills += " That is too few to say more."
			}
		}
	}
	return paginated(x.Sheet(s))
}

// finished reports whether a run has come to an end that is told to others.
func finished(o teach.Outcome) bool { return o == teach.Met || o == teach.NotMet || o == teach.Unsafe }
