package outside

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Shown returns the value and the expected value of the row as text, both to
// as many decimals as the tolerance gives a meaning to, so that the last bits,
// in which machines differ, do not show. A value that could not be computed is
// a dash.
func (r *Row) Shown() (got, want string) {
	return shown(r.Value, r.Tolerance), shown(r.Want, r.Tolerance)
}

func shown(x, tolerance float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return "–"
	}
	decimals := 6
	if tolerance > 0 {
		decimals = max(0, min(9, int(math.Ceil(-math.Log10(tolerance)))))
	}
	text := strconv.FormatFloat(x, 'f', decimals, 64)
	if tolerance == 0 {
		text = strconv.FormatFloat(x, 'g', 10, 64)
	}
	if strings.Trim(text, "-0.") == "" {
		text = strings.TrimPrefix(text, "-") // no negative nought
	}
	return text
}

// Page returns the rows as a page of Markdown, one table for each room.
func Page(rows []Row) string {
	var b strings.Builder
	b.WriteString(`# Checks against outside sources

Made by the program from its own register; do not edit. Every number below is
computed anew by ` + "`hangtrue selftest`" + ` and by a test, which fails where
one lies further from the expected figure than its tolerance.

How well the expected figure is known:

- *seen*: read in the publication named, or in a page that reproduces it;
- *memory*: recalled from the publication named, not looked up again;
- *derived*: computed apart from the program, from the formula given.

`)
	count := map[string]int{}
	for i := range rows {
		count[rows[i].Flag]++
	}
	fmt.Fprintf(&b, "%d checks: %d seen, %d memory, %d derived.\n", len(rows), count[Seen], count[Memory], count[Derived])
	last := ""
	for i := range rows {
		r := &rows[i]
		if room, _, _ := strings.Cut(r.ID, "/"); room != last {
			last = room
			fmt.Fprintf(&b, "\n## %s\n\n", room)
			b.WriteString("| case | number | unit | expected | computed | tolerance | reason for it | source | known |\n")
			b.WriteString("|---|---|---|---:|---:|---:|---|---|---|\n")
		}
		got, want := r.Shown()
		if r.Err != nil {
			got = r.Err.Error()
		}
		for _, cell := range []string{r.Topic, r.What, r.Unit, want, got, strconv.FormatFloat(r.Tolerance, 'g', 2, 64), r.Why, r.Source, r.Flag} {
			fmt.Fprintf(&b, "| %s ", strings.ReplaceAll(cell, "|", "\\|"))
		}
		b.WriteString("|\n")
	}
	b.WriteString(absences())
	return b.String()
}

func absences() string {
	var b strings.Builder
	b.WriteString("\n## Figures that no check uses\n\nPublished figures that are known here and checked nowhere, and why.\n\n| figure | published by | known | why no check uses it |\n|---|---|---|---|\n")
	for _, a := range Absent() {
		fmt.Fprintf(&b, "| %s | %s | %s | %s |\n", a.Figure, a.Source, a.Known, a.Why)
	}
	return b.String()
}
