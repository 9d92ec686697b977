package cli

import (
	"fmt"
	"slices"
	"strings"

	"hangtrue/internal/engine/rig"
)

// checks prints every limit that was held against something, the nearest to
// its limit first.
func (p *page) checks(a *rig.Answer) {
	bands := p.bands(a)
	if len(a.Checks)+len(bands) == 0 {
		return
	}
	p.section("Limits held against it, the nearest first")
	sorted := slices.DeleteFunc(slices.Clone(a.Checks), func(c rig.Check) bool { return c.Band != nil }) // told below, by their own table
	slices.SortStableFunc(sorted, func(x, y rig.Check) int {
		switch {
		case x.Use() > y.Use():
			return -1
		case x.Use() < y.Use():
			return 1
		}
		return 0
	})
	var notes []string
	var rows [][]string
	for _, c := range sorted {
		row := []string{c.About, strings.TrimSuffix(c.What, ","), p.amount(c.Demand, c.Force), p.amount(c.Limit, c.Force), p.show.Percent(c.Use()), ""}
		if c.Passed() {
			row[5] = "OVER"
		}
		for _, n := range [...]string{c.Case, c.Source} {
			if n == "" {
				continue
			}
			k := slices.Index(notes, n)
			if k < 0 {
				k = len(notes)
				notes = append(notes, n)
			}
			row[5] = strings.TrimSpace(fmt.Sprintf("%s [%d]", row[5], k+1))
		}
		rows = append(rows, row)
	}
	p.rows([]string{"part", "what", "found", "limit", "share", ""}, append(rows, bands...))
	for i, n := range notes {
		p.WriteString(hanging(n, fmt.Sprintf("  [%d] ", i+1), "      "))
	}
}

// bands prints the bands of pitch and roll that were entered.
func (p *page) bands(a *rig.Answer) [][]string {
	var rows [][]string
	limits := a.Rig.Limits()
	for i := range a.Bodies {
		b := &a.Bodies[i]
		for _, x := range [...]struct {
			what string
			code string
			is   float64
			band *[2]float64
		}{{"pitch", "pitch-outside", b.Pitch, limits.Pitch}, {"roll", "roll-outside", b.Roll, limits.Roll}} {
			// A mere mass among bodies with a shape has no attitude to keep.
			if x.band == nil || len(a.Bodies) > 1 && a.Rig.Bodies()[i].Shape.Kind == rig.NoShape {
				continue
			}
			over := ""
			if slices.ContainsFunc(a.Findings, func(f rig.Finding) bool { return f.Code == x.code && f.About == "body "+b.ID }) {
				over = "OVER"
			}
			rows = append(rows, []string{"body " + b.ID, x.what, p.show.Angle(x.is), p.show.Angle(x.band[0]) + " to " + p.show.Angle(x.band[1]), none, over})
		}
	}
	return rows
}

func (p *page) amount(x float64, force bool) string {
	if force {
		return p.show.Force(x)
	}
	return p.show.Angle(x)
}

func (p *page) findings(a *rig.Answer) {
	for _, group := range [...]struct {
		level rig.Level
		falls bool
		title string
	}{{rig.Exceeded, true, "Does not stand"}, {rig.Exceeded, false, "Over a limit"}, {rig.Unknown, false, "Cannot tell"}, {rig.Note, false, "Notes"}} {
		var lines []string
		for _, f := range a.Findings {
			if f.Level == group.level && group.falls == (f.Code == "does-not-stand") && f.Code != "limit-missing" {
				lines = append(lines, f.About+": "+f.Text)
			}
		}
		if len(lines) > 0 {
			p.section(group.title)
			p.list(lines)
		}
	}
	if len(a.Missing) > 0 {
		p.section("Not entered, and needed to tell")
		var lines []string
		for _, f := range a.Findings {
			if f.Code == "limit-missing" {
				lines = append(lines, f.Text)
			}
		}
		p.list(lines)
	}
}
