package cli

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"hangtrue/internal/engine/outside"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/face/app"
)

type selftestCommand struct {
	Sources bool `help:"Print the publication under each check."`
}

// Help is the command's long help.
func (selftestCommand) Help() string {
	return `Computes every case whose answer is known from outside the program, such as closed forms, textbooks and published tables, and prints what was wanted and what came out.

Examples:

  hangtrue selftest
  hangtrue selftest --sources

Exit status: 0 every check holds; 1 one does not; 2 bad input.`
}

// Run makes every check.
func (c *selftestCommand) Run(p *Program) error {
	rows := outside.Report()
	if len(rows) == 0 {
		return errors.New("no checks are built into this program")
	}
	var out page
	var table [][]string
	failed := 0
	topic := ""
	flush := func() {
		if len(table) > 0 {
			out.rows([]string{"number", "wanted", "ours", "difference", "allowed", "", ""}, table)
		}
		table = nil
	}
	for _, r := range rows {
		if r.Topic != topic {
			flush()
			topic = r.Topic
			out.section(r.Topic)
			if c.Sources {
				out.WriteString(hanging(r.Source, "  source: ", "          "))
			}
		}
		row := []string{r.What, number(r.Want) + " " + r.Unit, number(r.Value), rough(math.Abs(r.Value - r.Want)), rough(r.Tolerance), r.Flag, ""}
		if r.Err != nil {
			row[2], row[3] = "no value", r.Err.Error()
		}
		if !r.Holds {
			failed++
			row[6] = "DOES NOT HOLD"
		}
		table = append(table, row)
	}
	flush()
	words := "all hold within what is allowed"
	if failed > 0 {
		words = fmt.Sprintf("%d of them %s not hold", failed, plural(failed, "does", "do"))
	}
	fmt.Fprintf(&out, "\n%s against something outside the program: %s.\n", spelling.Count(len(rows), "check", "checks"), words)
	if err := p.write("-", []byte(out.String())); err != nil {
		return err
	}
	if failed > 0 {
		return Outcome(app.ExitOver)
	}
	return nil
}

// number writes a number of a check with the digits that matter.
func number(x float64) string { return strings.TrimPrefix(strconv.FormatFloat(x, 'g', 7, 64), "+") }

// rough writes a size of which only the first digits matter.
func rough(x float64) string { return strconv.FormatFloat(x, 'g', 2, 64) }

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}
