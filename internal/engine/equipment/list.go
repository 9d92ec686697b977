package equipment

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"hangtrue/internal/engine/calendar"
)

// Columns are the columns of an equipment list in CSV, in the order in which
// one is written. A list that is read has at least the first two, in any order.
var Columns = []string{"serial", "kind", "name", "maker", "rating", "in service", "set", "intervals", "last inspected", "training only", "note"}

// Limits on a list.
const (
	MostList = 2 << 20 // bytes
	mostRows = 20000
)

// LineProblem is something wrong with a line of a list. Line counts from 1.
type LineProblem struct {
	Line   int
	Column string
	Text   string
}

func (p LineProblem) String() string {
	if p.Column == "" {
		return fmt.Sprintf("line %d: %s", p.Line, p.Text)
	}
	return fmt.Sprintf("line %d, %s: %s", p.Line, p.Column, p.Text)
}

// Row is a line of a list as it would be taken.
type Row struct {
	Line    int
	Item    Item         // without id where it is new; Set is an id where the set is there already
	SetName string       // the serial number of its set
	Last    calendar.Day // all its inspections were last made on that day; "" says nothing
	Old     *State       // the item that it changes; nil for a new one
	Changed bool         // whether it changes anything
}

// ReadList reads an equipment list: UTF-8, with a line of column names, commas
// or semicolons between. have is what is there already, found by kind and serial
// number. Nothing is kept; with problems, nothing should be.
func ReadList(data []byte, have *Inventory) ([]Row, []LineProblem) {
	if len(data) > MostList {
		return nil, []LineProblem{{1, "", fmt.Sprintf("the list has %d bytes; at most %d are read", len(data), MostList)}}
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	if !utf8.Valid(data) {
		return nil, []LineProblem{{1, "", "the list is not UTF-8; save it as CSV UTF-8"}}
	}
	r := csv.NewReader(bytes.NewReader(data))
	r.FieldsPerRecord = -1
	if first, _, _ := bytes.Cut(data, []byte("\n")); bytes.Count(first, []byte(";")) > bytes.Count(first, []byte(",")) {
		r.Comma = ';'
	}
	at, problems := readHeader(r)
	if len(problems) > 0 {
		return nil, problems
	}
	var rows []Row
	seen := map[string]int{}
	for {
		fields, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, append(problems, csvProblem(err))
		}
		line, _ := r.FieldPos(0)
		if len(rows) >= mostRows {
			return nil, append(problems, LineProblem{line, "", fmt.Sprintf("more than %d lines", mostRows)})
		}
		if strings.Join(fields, "") == "" {
			continue
		}
		if len(fields) > len(at) {
			problems = append(problems, LineProblem{line, "", fmt.Sprintf("%d cells, and the first line names %d columns", len(fields), len(at))})
			continue
		}
		row, wrong := readRow(line, fields, at, have)
		problems = append(problems, wrong...)
		key := string(row.Item.Kind) + "\x00" + strings.ToLower(row.Item.Serial)
		if before := seen[key]; before > 0 {
			problems = append(problems, LineProblem{line, "serial", fmt.Sprintf("%s %s stands in line %d already", row.Item.Kind, row.Item.Serial, before)})
		}
		seen[key] = line
		rows = append(rows, row)
	}
	if len(rows) == 0 && len(problems) == 0 {
		problems = append(problems, LineProblem{1, "", "the list has no line besides the names of its columns"})
	}
	// A set may stand in the same list as its members, before or after them.
	for i := range rows {
		row := &rows[i]
		if row.SetName == "" {
			continue
		}
		if s, ok := have.Find(Set, row.SetName); ok {
			row.Item.Set = s.ID
		} else if seen[string(Set)+"\x00"+strings.ToLower(row.SetName)] == 0 {
			problems = append(problems, LineProblem{row.Line, "set", fmt.Sprintf("there is no sling set %s, here or in the list", row.SetName)})
		}
	}
	for i := range rows {
		rows[i].Changed = changed(&rows[i])
	}
	slices.SortStableFunc(problems, func(a, b LineProblem) int { return a.Line - b.Line })
	return rows, problems
}

func csvProblem(err error) LineProblem {
	var e *csv.ParseError
	if errors.As(err, &e) {
		return LineProblem{e.Line, "", "a quotation mark is missing or too many"}
	}
	return LineProblem{1, "", err.Error()}
}

// readHeader reads the line of column names: for each cell its column.
func readHeader(r *csv.Reader) (at []string, problems []LineProblem) {
	names, err := r.Read()
	if err != nil {
		return nil, []LineProblem{{1, "", "the list is empty; its first line names the columns: " + strings.Join(Columns, ", ")}}
	}
	for _, n := range names {
		n = strings.ToLower(strings.TrimSpace(n))
		switch {
		case n == "":
		case !slices.Contains(Columns, n):
			problems = append(problems, LineProblem{1, n, "no such column; known are " + strings.Join(Columns, ", ")})
		case slices.Contains(at, n):
			problems = append(problems, LineProblem{1, n, "the column stands twice"})
		}
		at = append(at, n)
	}
	for _, need := range Columns[:2] {
		if !slices.Contains(at, need) {
			problems = append(problems, LineProblem{1, need, "the column is missing"})
		}
	}
	return at, problems
}

func readRow(line int, fields, at []string, have *Inventory) (Row, []LineProblem) {
	row := Row{Line: line}
	var problems []LineProblem
	cell := map[string]string{}
	for i, f := range fields {
		cell[at[i]] = plain(f)
	}
	i := &row.Item
	i.Serial, i.Kind = cell["serial"], Kind(strings.ToLower(cell["kind"]))
	if s, ok := have.Find(i.Kind, i.Serial); ok && knownKind(i.Kind) {
		row.Old = s
		*i = s.Item
		if set, ok := have.Item(s.Set); ok {
			row.SetName = set.Serial
		}
	}
	// A column that the list does not have changes nothing.
	given := func(column string, to *string) {
		if slices.Contains(at, column) {
			*to = cell[column]
		}
	}
	given("name", &i.Name)
	given("maker", &i.Maker)
	given("rating", &i.Rating)
	given("note", &i.Note)
	if slices.Contains(at, "set") {
		row.SetName, i.Set = cell["set"], ""
	}
	in := string(i.InService)
	given("in service", &in)
	i.InService = calendar.Day(in)
	var err error
	if slices.Contains(at, "intervals") {
		if i.Intervals, err = ParseIntervals(cell["intervals"]); err != nil {
			problems = append(problems, LineProblem{line, "intervals", err.Error()})
		}
	}
	if last := cell["last inspected"]; last != "" {
		if row.Last, err = calendar.Parse(last); err != nil {
			problems = append(problems, LineProblem{line, "last inspected", fmt.Sprintf("%q is no day; a day is written 2026-05-31", last)})
		}
	}
	if slices.Contains(at, "training only") {
		switch strings.ToLower(cell["training only"]) {
		case "", "no":
			i.Spoiled = false
		case "yes":
			i.Spoiled = true
		default:
			problems = append(problems, LineProblem{line, "training only", fmt.Sprintf("yes or no, not %q", cell["training only"])})
		}
	}
	if row.Old != nil && row.Old.Spoiled && !i.Spoiled {
		problems = append(problems, LineProblem{line, "training only", "a training part stays one: it never goes back to flight"})
	}
	for _, p := range unjoined(i.Check()) {
		problems = append(problems, LineProblem{line, strings.ReplaceAll(p.Field, "_", " "), p.Text})
	}
	return row, problems
}

// unjoined lists the problems that Check has joined.
func unjoined(err error) []*Problem {
	var out []*Problem
	if many, ok := err.(interface{ Unwrap() []error }); ok {
		for _, e := range many.Unwrap() {
			var p *Problem
			if errors.As(e, &p) {
				out = append(out, p)
			}
		}
	}
	return out
}

func changed(r *Row) bool {
	if r.Old == nil {
		return true
	}
	a, b := r.Old.Item, r.Item
	same := a.Name == b.Name && a.Maker == b.Maker && a.Rating == b.Rating && a.InService == b.InService && a.Set == b.Set &&
		a.Spoiled == b.Spoiled && a.Note == b.Note && slices.Equal(a.Intervals, b.Intervals)
	for _, d := range r.Old.Due {
		same = same && (r.Last == "" || d.Last >= r.Last)
	}
	return !same
}

// ParseIntervals reads "yearly inspection: 12 months; check: 30 days".
func ParseIntervals(text string) ([]Interval, error) {
	var out []Interval
	for part := range strings.SplitSeq(text, ";") {
		if part = strings.TrimSpace(part); part == "" {
			continue
		}
		what, long, _ := strings.Cut(part, ":")
		v := Interval{What: strings.TrimSpace(what)}
		number, unit, _ := strings.Cut(strings.TrimSpace(long), " ")
		n, err := strconv.Atoi(number)
		switch strings.TrimSpace(unit) {
		case "month", "months":
			v.Months = n
		case "day", "days":
			v.Days = n
		case "year", "years":
			v.Months = 12 * n
		default:
			err = strconv.ErrSyntax
		}
		if err != nil || n <= 0 {
			return nil, fmt.Errorf("%q is no interval; write: yearly inspection: 12 months; check: 30 days", part)
		}
		out = append(out, v)
	}
	return out, nil
}

// FormatIntervals writes what ParseIntervals reads.
func FormatIntervals(all []Interval) string {
	var out []string
	for _, v := range all {
		n, unit := v.Months, "months"
		if v.Days > 0 {
			n, unit = v.Days, "days"
		}
		if n == 1 {
			unit = strings.TrimSuffix(unit, "s")
		}
		out = append(out, fmt.Sprintf("%s: %d %s", v.What, n, unit))
	}
	return strings.Join(out, "; ")
}

// List writes all equipment as CSV with all columns. A cell that a spreadsheet
// would take for a formula gets an apostrophe before it, which ReadList takes
// off again.
func (v *Inventory) List() []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.Write(Columns)
	for _, s := range v.All {
		set, only := "", "no"
		if x, ok := v.Item(s.Set); ok {
			set = x.Serial
		}
		if s.Spoiled {
			only = "yes"
		}
		// One day for all inspections: the oldest, so that reading the list back
		// moves nothing to later.
		var last calendar.Day
		for i, d := range s.Due {
			if i == 0 || d.Last < last {
				last = d.Last
			}
		}
		row := []string{
			s.Serial, string(s.Kind), s.Name, s.Maker, s.Rating, string(s.InService), set, FormatIntervals(s.Intervals), string(last), only, s.Note,
		}
		for i := range row {
			row[i] = guarded(row[i])
		}
		w.Write(row)
	}
	w.Flush() // a buffer takes everything
	return b.Bytes()
}

const formula = "=+-@\t\r"

func guarded(s string) string {
	if s != "" && (strings.ContainsRune(formula, rune(s[0])) || s[0] == '\'') {
		return "'" + s
	}
	return s
}

func plain(s string) string {
	s = strings.TrimSpace(s)
	if len(s) > 1 && s[0] == '\'' && (strings.ContainsRune(formula, rune(s[1])) || s[1] == '\'') {
		return s[1:]
	}
	return s
}
