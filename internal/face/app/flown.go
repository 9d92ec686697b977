package app

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"time"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/flown"
)

// FlownLog is what was weighed and seen of one rig.
type FlownLog struct {
	Rig      string // its name
	Version  string // of the text kept; "" where nothing was entered yet
	Lifts    []flown.Lift
	Problems []document.Problem // of the text kept; then Lifts is empty
}

// FlownOf reads what a shelf has of a rig.
func FlownOf(shelf Keeper, name string) (*FlownLog, error) {
	data, err := shelf.Current(name)
	if errors.Is(err, fs.ErrNotExist) {
		return &FlownLog{Rig: name}, nil
	}
	if err != nil {
		return nil, err
	}
	l := &FlownLog{Rig: name, Version: Version(data)}
	l.Lifts, l.Problems = flown.Read(data)
	return l, nil
}

// Save keeps other lifts in place of those that were read; saved is false, and
// nothing changes, where somebody else kept some meanwhile.
func (l *FlownLog) Save(shelf Keeper, lifts []flown.Lift) (saved bool, err error) {
	data := flown.Write(lifts)
	if _, problems := flown.Read(data); len(problems) > 0 {
		return false, fmt.Errorf("app: what was flown cannot be kept: %s", problems[0])
	}
	_, saved, err = shelf.Save(l.Rig, l.Version, data)
	return saved, err
}

// Without returns the lifts but the one at a place; ok is false where there is
// none.
func (l *FlownLog) Without(place int) (lifts []flown.Lift, ok bool) {
	if place < 0 || place >= len(l.Lifts) {
		return nil, false
	}
	return slices.Delete(slices.Clone(l.Lifts), place, place+1), true
}

// FlownRow is one lift beside what was computed.
type FlownRow struct {
	Rig      string // its name
	Place    int    // in the log, from 0
	Lift     flown.Lift
	Invented bool
	Show     quantity.System
	Compared []flown.Compared
	Missing  string // why nothing is compared; "" where it is
}

// Rows puts every lift beside what the version gives that it was rigged from.
// rigOf finds a version's rig, or nil where it is not kept.
func (l *FlownLog) Rows(rigOf func(version string) *rig.Rig) []FlownRow {
	var rows []FlownRow
	for i, x := range l.Lifts {
		row := FlownRow{Rig: l.Rig, Place: i, Lift: x}
		switch r := rigOf(x.Version); {
		case r == nil:
			row.Missing = "that version is not kept here, so nothing is computed"
		default:
			row.Invented, row.Show = r.Invented(), r.Show()
			compared, err := flown.Compare(r, x)
			if err != nil {
				row.Missing = "nothing can be computed: " + strings.TrimPrefix(err.Error(), "flight: ")
			}
			row.Compared = compared
		}
		rows = append(rows, row)
	}
	return rows
}

// FlownAgreement sums up rows: those of loads that exist, or those of invented
// ones.
func FlownAgreement(rows []FlownRow, invented bool) []flown.Agreement {
	var all []flown.Compared
	for i := range rows {
		if rows[i].Invented == invented {
			all = append(all, rows[i].Compared...)
		}
	}
	return flown.Agree(all)
}

// FlownCSV writes rows, a line for each lift: measured, computed and their
// difference of everything that can be compared.
func FlownCSV(rows []FlownRow) ([]byte, error) {
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	head := []string{"rig", "invented", "date", "entered by", "rig version"}
	for _, what := range flown.Whats {
		unit := " deg"
		if what == flown.Weight {
			unit = " kg"
		}
		head = append(head, what+" measured"+unit, what+" computed"+unit, what+" difference"+unit)
	}
	table := [][]string{append(head, "airspeed kt", "remarks")}
	for i := range rows {
		x := &rows[i]
		line := []string{cell(x.Rig), yesNo(x.Invented), x.Lift.Date.Format(time.DateOnly), cell(x.Lift.Who), x.Lift.Version}
		measured := map[string]*quantity.Quantity{
			flown.Weight: x.Lift.Weighed, flown.HoverPitch: x.Lift.Hover.Pitch, flown.HoverRoll: x.Lift.Hover.Roll,
			flown.FlightPitch: x.Lift.Flight.Pitch, flown.FlightRoll: x.Lift.Flight.Roll, flown.Trail: x.Lift.Trail,
		}
		for _, what := range flown.Whats {
			unit, format := quantity.Degree, "%.2f"
			if what == flown.Weight {
				unit, format = quantity.StandardGravity, "%.1f"
			}
			part := []string{"", "", ""}
			if q := measured[what]; q != nil {
				part[0] = fmt.Sprintf(format, q.Value/unit)
			}
			for _, c := range x.Compared {
				if c.What == what {
					part[1], part[2] = fmt.Sprintf(format, c.Computed/unit), fmt.Sprintf(format, (c.Measured-c.Computed)/unit)
				}
			}
			line = append(line, part...)
		}
		speed := ""
		if v := x.Lift.Airspeed; v != nil {
			speed = fmt.Sprintf("%.0f", v.Value/quantity.Knot)
		}
		table = append(table, append(line, speed, cell(x.Lift.Remarks)))
	}
	if err := w.WriteAll(table); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// cell is a text that a spreadsheet does not take for a formula.
func cell(text string) string {
	if text != "" && strings.ContainsRune("=+-@\t", rune(text[0])) {
		return "'" + text
	}
	return text
}
