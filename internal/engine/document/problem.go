package document

import (
	"cmp"
	"slices"
	"strconv"
)

// Problem is one thing wrong in a file.
type Problem struct {
	// Path names the value; "" is the whole file.
	Path string
	// Line and Column count from 1.
	Line, Column int
	// Text says what is wrong: lower case, no full stop, one line.
	Text string
	// Hint says what would be right; it may be empty.
	Hint string
}

// Format writes the problem as FILE:LINE: text; hint.
func (p Problem) Format(file string) string {
	return file + ":" + strconv.Itoa(p.Line) + ": " + p.String()
}

// String is text and hint, without the place.
func (p Problem) String() string {
	if p.Hint == "" {
		return p.Text
	}
	return p.Text + "; " + p.Hint
}

// Sort puts problems in the order of the file; those of one place stay in the
// order in which they were found.
func Sort(problems []Problem) {
	slices.SortStableFunc(problems, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
}

// mostProblems is how many problems are reported of one file. A person mends
// a few and reads it again; a file of the wrong kind would give thousands.
const mostProblems = 100

func sortedAndCut(problems []Problem) []Problem {
	Sort(problems)
	if len(problems) <= mostProblems {
		return problems
	}
	left := len(problems) - mostProblems
	problems = problems[:mostProblems]
	last := problems[mostProblems-1]
	return append(problems, Problem{Line: last.Line, Column: last.Column, Text: "and " + strconv.Itoa(left) + " more problems from here on"})
}
