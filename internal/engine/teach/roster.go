package teach

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"hangtrue/internal/engine/spelling"
)

// RosterRow is one student of a roster.
type RosterRow struct {
	Line                 int
	Name, Group, Contact string
}

// RosterProblem is something wrong in a roster, at its line from 1.
type RosterProblem struct {
	Line int
	Text string
}

// MostRoster is how many students one roster may have.
const MostRoster = 500

// rosterColumns are the columns that a roster may have; the first is needed.
var rosterColumns = []string{"name", "group", "contact"}

// ReadRoster reads a roster: UTF-8 text, values parted by commas, semicolons or
// tabs, the first line naming the columns name, group and contact in any order.
// Rows with problems are left out.
func ReadRoster(data []byte) ([]RosterRow, []RosterProblem) {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	if !utf8.Valid(data) {
		return nil, []RosterProblem{{1, "the text is not UTF-8; save it as CSV UTF-8"}}
	}
	if len(bytes.TrimSpace(data)) == 0 {
		return nil, []RosterProblem{{1, "it is empty; the first line names the columns: name, group, contact"}}
	}
	first, _, _ := bytes.Cut(data, []byte("\n"))
	r := csv.NewReader(bytes.NewReader(data))
	r.FieldsPerRecord, r.TrimLeadingSpace = -1, true
	for _, c := range ";\t" {
		if bytes.ContainsRune(first, c) && !bytes.ContainsRune(first, ',') {
			r.Comma = c
		}
	}
	head, err := r.Read()
	if err != nil {
		return nil, []RosterProblem{rosterError(err)}
	}
	column, problems := rosterHead(head)
	if len(problems) > 0 {
		return nil, problems
	}
	var rows []RosterRow
	seen := map[string]int{}
	for {
		fields, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return rows, append(problems, rosterError(err))
		}
		line, _ := r.FieldPos(0)
		row := RosterRow{Line: line}
		for i, to := range []*string{&row.Name, &row.Group, &row.Contact} {
			if at, ok := column[rosterColumns[i]]; ok && at < len(fields) {
				*to = strings.Join(strings.Fields(fields[at]), " ")
			}
		}
		wrong := func(format string, args ...any) {
			problems = append(problems, RosterProblem{line, fmt.Sprintf(format, args...)})
		}
		key := strings.ToLower(row.Name)
		switch {
		case len(fields) > len(head):
			wrong("%d values, and %d columns are named", len(fields), len(head))
		case row.Name == "" && row.Group == "" && row.Contact == "":
			continue // an empty line of a table
		case row.Name == "":
			wrong("the name is missing")
		case utf8.RuneCountInString(row.Name) > 120 || utf8.RuneCountInString(row.Contact) > 120:
			wrong("a name or contact has more than 120 letters")
		case utf8.RuneCountInString(row.Group) > 20:
			wrong("a group has at most 20 letters")
		case seen[key] > 0:
			wrong("%s stands in line %d already; tell the two apart by their names", row.Name, seen[key])
		case len(rows) >= MostRoster:
			return rows, append(problems, RosterProblem{line, fmt.Sprintf("a roster has at most %d students", MostRoster)})
		default:
			seen[key] = line
			rows = append(rows, row)
		}
	}
	if len(rows) == 0 && len(problems) == 0 {
		problems = append(problems, RosterProblem{1, "there is no student beneath the first line"})
	}
	return rows, problems
}

func rosterHead(head []string) (map[string]int, []RosterProblem) {
	column := map[string]int{}
	var problems []RosterProblem
	for i, h := range head {
		name := strings.ToLower(strings.TrimSpace(h))
		known := false
		for _, c := range rosterColumns {
			known = known || c == name
		}
		_, twice := column[name]
		switch {
		case !known:
			text := fmt.Sprintf("%q is no column; the columns are name, group, contact", h)
			if near := spelling.Nearest(name, rosterColumns); near != "" {
				text = fmt.Sprintf("%q is no column; did you mean %q?", h, near)
			}
			problems = append(problems, RosterProblem{1, text})
		case twice:
			problems = append(problems, RosterProblem{1, fmt.Sprintf("the column %q stands twice", name)})
		}
		column[name] = i
	}
	if _, ok := column["name"]; !ok && len(problems) == 0 {
		problems = append(problems, RosterProblem{1, "no column is called name"})
	}
	return column, problems
}

func rosterError(err error) RosterProblem {
	var parse *csv.ParseError
	if errors.As(err, &parse) {
		return RosterProblem{parse.Line, "a quotation mark is missing or too many"}
	}
	return RosterProblem{1, err.Error()}
}
