package aircraftfile_test

import (
	"strings"
	"testing"

	"hangtrue/internal/engine/lift/aircraftfile"
)

const tables = `format: hangtrue.aircraft/1
title: Slips
invented: yes
empty: {mass: 1000 kg}
fuel: {capacity: 400 kg, burn: 160 kg/h}
hooks: [{id: belly}]
hover:
  oge:
    altitudes: [0 ft, 2000 ft, 4000 ft]
    temperatures: [0 degC, 10 degC, 20 degC]
    gross:
      - [2000 kg, 1950 kg, 1900 kg]
      - [1900 kg, 1850 kg, 1800 kg]
      - [1800 kg, 1750 kg, 1700 kg]
  ige:
    altitudes: [0 ft, 2000 ft]
    temperatures: [0 degC, 20 degC]
    gross:
      - [2050 kg, 2000 kg]
      - [1950 kg, 1900 kg]
`

func TestSlips_AreNamedOnceWithTheirLine(t *testing.T) {
	for _, tt := range []struct {
		name, from, to string
		codes          string
		line           int
	}{
		{"none", "title", "title", "", 0},
		{"a row that does not fall", "[1900 kg, 1850 kg, 1800 kg]", "[1900 kg, 1850 kg, 1980 kg]", "rises-with-altitude rises-with-temperature", 13},
		{"digits changed about", "1850 kg", "1580 kg", "rises-with-altitude rises-with-temperature figure-stands-out", 13},
		{"a hole", "1750 kg", "none", "table-has-holes", 11},
		{"less in ground effect", "[2050 kg, 2000 kg]", "[1990 kg, 1960 kg]", "less-in-ground-effect", 19},
	} {
		text := strings.Replace(tables, tt.from, tt.to, 1)
		if text == tables && tt.name != "none" {
			t.Fatalf("%s: nothing was replaced", tt.name)
		}
		slips := aircraftfile.Slips([]byte(text))
		got := map[string]bool{}
		for _, s := range slips {
			got[s.Code] = true
			if s.Line < tt.line || s.Line > tt.line+1 {
				t.Errorf("%s: line %d, want %d: %s", tt.name, s.Line, tt.line, s.Slip.Text)
			}
		}
		for code := range strings.FieldsSeq(tt.codes) {
			if !got[code] {
				t.Errorf("%s: no %s in %v", tt.name, code, got)
			}
			delete(got, code)
		}
		if len(got) > 0 {
			t.Errorf("%s: also %v", tt.name, got)
		}
	}
	if aircraftfile.Slips([]byte("format: x")) != nil {
		t.Error("slips of a file that cannot be read")
	}
}
