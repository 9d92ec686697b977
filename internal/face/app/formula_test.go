package app_test

import (
	"encoding/csv"
	"strings"
	"testing"

	"hangtrue/internal/face/app"
)

// What people type is no formula in a spreadsheet that opens a day's table.
func TestDay_CSVHasNoFormulas(t *testing.T) {
	text := strings.Replace(dayText, "rigging: [{what: net, rated: 1000 kg}]", `rigging: [{what: "=HYPERLINK(A1)", rated: 405 kg}]`, 1)
	text = strings.Replace(text, "rigging: [{what: net, rated: 2000 kg}]", `rigging: [{what: "@SUM(A1)", rated: 405 kg}]`, 1)
	d := app.ReadDay([]byte(text))
	d.PlanWith(shippedAircraft(t, "single"))
	if d.Plan == nil {
		t.Fatal(d.Problems)
	}
	out, err := d.CSV()
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(strings.NewReader(string(out))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	named := 0
	for _, row := range rows {
		for _, cell := range row {
			if cell != "" && strings.ContainsRune("=+@\t\r", rune(cell[0])) {
				t.Errorf("a cell begins as a formula: %q", cell)
			}
			if strings.Contains(cell, "HYPERLINK") || strings.Contains(cell, "SUM(") {
				named++
			}
		}
	}
	if named == 0 {
		t.Errorf("the table names no limit that was typed, so this proves nothing: %q", rows)
	}
}
