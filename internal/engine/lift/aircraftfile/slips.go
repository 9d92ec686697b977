package aircraftfile

import (
	"fmt"
	"slices"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/lift"
	q "hangtrue/internal/engine/quantity"
)

// Slip is a figure of a hover table that may be a typing slip, with its place
// in the file. It is no error: the table may be right all the same.
type Slip struct {
	Table string // oge or ige
	lift.Slip
	document.Problem
}

// Slips points out what looks like typing slips in the hover tables of a file
// that [Read] takes, in the order of its lines.
func Slips(data []byte) []Slip {
	v, problems := document.Read(data, shape)
	a, wrong := Read(data)
	if len(problems) > 0 || len(wrong) > 0 {
		return nil
	}
	s := a.Spec()
	var out []Slip
	for _, t := range []struct {
		key, words string
		table      *lift.Table
	}{{"oge", "hover out of ground effect", s.OGE}, {"ige", "hover in ground effect", s.IGE}} {
		if t.table == nil {
			continue
		}
		for _, x := range t.table.Slips(t.words, s.Show) {
			path := "hover." + t.key + ".gross"
			if x.Row >= 0 {
				path += fmt.Sprintf("[%d][%d]", x.Row, x.Column)
			}
			out = append(out, Slip{t.key, x, v.ProblemAt(path, x.Text, "")})
		}
	}
	// A slip in one table would blame the other.
	if !slices.ContainsFunc(out, func(x Slip) bool { return x.Row >= 0 }) {
		out = append(out, between(v, s.OGE, s.IGE, s.Show)...)
	}
	slices.SortStableFunc(out, func(a, b Slip) int { return a.Line - b.Line })
	return out
}

// between points out figures in ground effect below those out of it.
func between(v *document.Value, oge, ige *lift.Table, show q.System) []Slip {
	if oge == nil || ige == nil {
		return nil
	}
	var out []Slip
	for i, altitude := range ige.Altitudes {
		for k, kelvin := range ige.Temperatures {
			m, err := oge.At(altitude, kelvin)
			if x := ige.Gross[i][k]; err == nil && x < m*(1-1e-9) {
				text := fmt.Sprintf("%s at %s and %s is less than the %s out of ground effect: in ground effect it lifts no less", show.Mass(x), lift.Altitude(show, altitude), show.Temperature(kelvin), show.Mass(m))
				slip := lift.Slip{Row: i, Column: k}
				slip.Code, slip.About, slip.Text = "less-in-ground-effect", "hover in ground effect", text
				out = append(out, Slip{"ige", slip, v.ProblemAt(fmt.Sprintf("hover.ige.gross[%d][%d]", i, k), text, "")})
			}
		}
	}
	return out
}
