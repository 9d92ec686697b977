package app

import (
	"cmp"
	"context"
	"encoding/csv"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strconv"
	"strings"
	"time"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
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
	"irregular", "key_shown",
}

// each reads the desk's results once more and calls f with run after run, in the
// order in which they were graded first. It holds a hundred runs at once, and of
// the others only their ids.
func (d *ResultDesk) each(ctx context.Context, f func(*report.Reader, *report.Sitting) error) error {
	return d.eachOdd(ctx, func(r *report.Reader, x *report.Sitting, _ string) error { return f(r, x) })
}

// eachOdd tells f too what of a run was not as the rules for starting say.
func (d *ResultDesk) eachOdd(ctx context.Context, f func(r *report.Reader, x *report.Sitting, odd string) error) error {
	class := ""
	if d.Class != nil {
		class = d.Class.ID
	}
	keeper := d.school.keeper
	runs, err := keeper.GradedRuns(ctx, class)
	if err != nil {
		return err
	}
	type place struct {
		run     string
		at      time.Time
		attempt int
		odd     string
	}
	attempts := map[[2]string]int{}
	var order []place
	for _, r := range runs {
		if r.Second {
			continue
		}
		n := attempts[[2]string{r.Student, r.Lane}] + 1
		attempts[[2]string{r.Student, r.Lane}] = n
		if d.counts(r.Class, r.At) {
			order = append(order, place{r.Run, r.At, n, r.Odd})
		}
	}
	var failed error
	reader := report.NewReader(d.namer(&failed))
	for some := range slices.Chunk(order, atOnce) {
		var ids []string
		for _, x := range some {
			ids = append(ids, x.run)
		}
		results, err := keeper.RunResults(ctx, ids)
		if err != nil {
			return err
		}
		newest := map[string]*teach.Result{}
		for i := range results {
			newest[results[i].Run] = &results[i] // gradings stand in order
		}
		for _, x := range some {
			r := newest[x.run]
			if r == nil {
				continue
			}
			sitting := reader.Sitting(r, x.at, x.attempt)
			if failed != nil {
				return failed
			}
			if err := f(reader, &sitting, x.odd); err != nil {
				return err
			}
		}
	}
	return nil
}

// WriteCSV writes the results as a table: a line for each planted deficiency of
// each run, UTF-8, with commas, as RFC 4180. A run without answers has one line.
// The results are read as they are written.
func (d *ResultDesk) WriteCSV(ctx context.Context, w io.Writer) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	if err := out.Write(resultColumns); err != nil {
		return err
	}
	line := make([]string, len(resultColumns))
	err := d.eachOdd(ctx, func(set *report.Reader, x *report.Sitting, odd string) error {
		head := append(line[:0],
			d.ClassName(x.Class), d.LaneTitle(x.Lane), d.VersionTitle(x.Version), x.Run, strconv.Itoa(x.Attempt), x.At.UTC().Format(time.RFC3339), string(x.Outcome),
			d.Name(x.Student), x.Student, d.Name(x.Grader), seconds(x.Took), strconv.Itoa(x.False), strconv.Itoa(x.Order),
		)
		for k := range head {
			head[k] = plainCell(head[k])
		}
		tail := []string{strconv.FormatBool(d.Lanes[x.Lane].Setup.Invented), plainCell(odd), strconv.FormatBool(d.Versions[x.Version].Opened)}
		if len(x.Answers) == 0 {
			return out.Write(append(append(head, "", "", "", "", "", "", ""), tail...))
		}
		for _, a := range x.Answers {
			item, place := &set.Items[a.Item], &set.Places[a.Place]
			found, after := "0", ""
			if a.Found {
				found, after = "1", seconds(a.After)
			}
			row := append(head, plainCell(item.Key), plainCell(item.Text), plainCell(place.Part), plainCell(place.Checkpoint), plainCell(place.Title), found, after)
			if err := out.Write(append(row, tail...)); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	out.Flush()
	return out.Error()
}

// Hidden is how many of the versions that results are of have a key that was not
// shown yet, so that what is planted in them is not for students.
func (d *ResultDesk) Hidden() int {
	n := 0
	for _, v := range d.Versions {
		if !v.Opened {
			n++
		}
	}
	return n
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
			c.Points = append(c.Points, results.Point{At: float64(i + 1), Label: spelling.Short(d.ClassName(list[i].Class), 14), Found: list[i].Found, Few: !list[i].Enough(), Words: list[i].FoundWords()})
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

// FalseCalls says of a line of deficiencies, checkpoints or kinds of part how often
// sound pictures of it were called wrong in drills; nil where there was no drill.
func (d *ResultDesk) FalseCalls() func(*report.Line) string {
	if len(d.Looks) == 0 {
		return nil
	}
	kinds := map[string]string{} // names by id
	for i := range d.Set.Items {
		kinds[partKindOf(d.Set.Items[i].Key)] = d.Set.Items[i].Kind
	}
	places := report.Alarms(d.Looks, func(l *report.Look) string { return l.Checkpoint })
	attributes := report.Alarms(d.Looks, func(l *report.Look) string { return attributeOf(l.Key) })
	byKind := report.Alarms(d.Looks, func(l *report.Look) string { return kinds[partKindOf(l.Key)] })
	return func(l *report.Line) string {
		var f *report.FalseAlarms
		switch strings.Count(l.Key, "/") {
		case 0:
			f = byKind[l.Key]
		case 1:
			f = places[l.Key]
		default:
			f = attributes[attributeOf(l.Key)]
		}
		if f == nil {
			f = &report.FalseAlarms{}
		}
		return f.Words()
	}
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
			return spelling.Capital(rest)
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
		School: school, Title: d.Title(), Days: d.Days(), Invented: d.Invented, Set: d.Set, Lane: d.LaneTitle, Version: d.VersionTitle, ClassName: d.ClassName, FalseCalls: d.FalseCalls(),
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

// StudentPaper is the result sheet of one student of the desk's class, found by
// name or id, as PDF. What was planted stands on it only of versions whose key has
// been shown.
func (d *ResultDesk) StudentPaper(ctx context.Context, student, school string, when func(time.Time) string, stamp results.Stamp) ([]byte, error) {
	id := ""
	for _, m := range d.Class.Students {
		if m.Person.ID != student && m.Person.Name != student {
			continue
		}
		if id != "" {
			return nil, fmt.Errorf("two students of the class are called %q; name one by the id", student)
		}
		id = m.Person.ID
	}
	if id == "" {
		return nil, fmt.Errorf("no student of the class is called %q: %w", student, fs.ErrNotExist)
	}
	student = id
	class := d.Class.ID
	h, err := d.school.history(ctx, student)
	if err != nil {
		return nil, err
	}
	x := &results.Student{School: school, Class: d.Title(), Name: d.Name(student), Invented: d.Invented}
	runs, err := d.school.keeper.GradedRuns(ctx, class)
	if err != nil {
		return nil, err
	}
	odd := map[string]string{}
	for _, r := range runs {
		odd[r.Run] = r.Odd
	}
	sittings := map[string]*report.Sitting{}
	for i := range d.Set.Sittings {
		sittings[d.Set.Sittings[i].Run] = &d.Set.Sittings[i]
	}
	for _, r := range OfRuns(h.Results) {
		sitting := sittings[r.First.Run]
		if r.First.Class != class || r.First.Second || sitting == nil {
			continue
		}
		run := results.StudentRun{
			Lane: d.LaneTitle(r.First.Lane), Day: when(r.First.At), Outcome: spelling.Capital(r.First.Outcome.Words()), Numbers: NumbersWords(&r.First),
			Reasons: PlainReasons(r.First.Reasons), Attempt: sitting.Attempt, Grader: d.Name(r.First.Grader),
		}
		if why := odd[r.First.Run]; why != "" {
			run.Outcome += ", in an irregular attempt"
			run.Remarks = append(run.Remarks, "Irregular when it began: "+why+".")
		}
		if r.Again() {
			run.Again = fmt.Sprintf("%s (%s). %s", spelling.Capital(r.Last.Outcome.Words()), r.Last.Why, NumbersWords(&r.Last))
		}
		for _, e := range h.Entries {
			if e.Run == r.First.Run && (e.Kind == teach.EntryAppeal || e.Kind == teach.EntryDecision) {
				run.Remarks = append(run.Remarks, fmt.Sprintf("%s, %s: %s", spelling.Capital(string(e.Kind)), when(e.At), e.Text))
			}
		}
		if d.Versions[sitting.Version].Opened {
			run.Items = d.studentItems(sitting)
		}
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
	return paginated(x.Sheet(stamp))
}

func (d *ResultDesk) studentItems(x *report.Sitting) []results.StudentItem {
	out := []results.StudentItem{}
	for _, a := range x.Answers {
		it := results.StudentItem{Text: d.Set.Items[a.Item].Text, Checkpoint: d.Set.Places[a.Place].Title}
		if a.Found {
			it.After = report.Clock(a.After)
		}
		out = append(out, it)
	}
	slices.SortStableFunc(out, func(a, b results.StudentItem) int { return cmp.Compare(a.Checkpoint, b.Checkpoint) })
	return out
}

// finished reports whether a run has come to an end that is told to others.
func finished(o teach.Outcome) bool { return o == teach.Met || o == teach.NotMet || o == teach.Unsafe }
