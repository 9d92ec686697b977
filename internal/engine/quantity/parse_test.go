package quantity_test

import (
	"errors"
	"math"
	"regexp"
	"strings"
	"testing"

	"hangtrue/internal/engine/quantity"
)

func TestParse_ReadsWhatTheFormatAllows(t *testing.T) {
	tests := []struct {
		text string
		want []quantity.Kind
		kind quantity.Kind
		si   float64
	}{
		{"12 ft", []quantity.Kind{quantity.Length}, quantity.Length, 3.6576},
		{"-0.8 m", []quantity.Kind{quantity.Length}, quantity.Length, -0.8},
		{"0 m", nil, quantity.Length, 0},
		{"-0 m", nil, quantity.Length, 0},
		{"0.5 in", nil, quantity.Length, 0.0127},
		{"1.5e+3 kg", nil, quantity.Mass, 1500},
		{"1e3 kg", nil, quantity.Mass, 1000},
		{"25e-1 kg", nil, quantity.Mass, 2.5},
		{"27.8 kN", []quantity.Kind{quantity.Force}, quantity.Force, 27800},
		{"100 kg", []quantity.Kind{quantity.Force}, quantity.Force, 980.665},
		{"1 t", []quantity.Kind{quantity.Force}, quantity.Force, 9806.65},
		{"1 lb", []quantity.Kind{quantity.Force}, quantity.Force, 4.4482216152605},
		{"100 kg", []quantity.Kind{quantity.Force, quantity.Mass}, quantity.Mass, 100},
		{"100 kg", nil, quantity.Mass, 100},
		{"8 %", nil, quantity.Percent, 0.08},
		{"12 degC", nil, quantity.Temperature, 285.15},
		{"-40 degF", nil, quantity.Temperature, 233.15},
		{"-273.15 degC", nil, quantity.Temperature, 0},
		{"45 deg", nil, quantity.Angle, math.Pi / 4},
		{"10 USgal", nil, quantity.Volume, 0.03785411784},
		{"110 km/h", nil, quantity.Speed, 110 / 3.6},
	}
	for _, tt := range tests {
		got, err := quantity.Parse(tt.text, tt.want...)
		if err != nil {
			t.Errorf("%q: %v", tt.text, err)
			continue
		}
		// One or two roundings.
		if got.Kind != tt.kind || math.Abs(got.Value-tt.si) > 4e-16*math.Abs(tt.si) || math.Signbit(got.Value) != (tt.si < 0) {
			t.Errorf("%q: got %s of %v, want %s of %v", tt.text, got.Kind, got.Value, tt.kind, tt.si)
		}
	}
}

func TestParse_RefusesAndSaysWhatWouldBeRight(t *testing.T) {
	length := []quantity.Kind{quantity.Length}
	force := []quantity.Kind{quantity.Force}
	tests := []struct {
		text   string
		want   []quantity.Kind
		reason quantity.Reason
		says   string // in text and hint
	}{
		{"12", length, quantity.NoUnit, "12 needs a unit: one of m, cm, mm, ft, in, km, nmi; for example 12 m"},
		{"12 ", length, quantity.NoUnit, "needs a unit"},
		{"12 kg", length, quantity.WrongKind, "kg is a mass, and a length is needed here; one of m, cm, mm"},
		{"12 ft", force, quantity.WrongKind, "one of N, kN, kgf, lbf, kg, t, lb"},
		{"12 kN", []quantity.Kind{quantity.Mass}, quantity.WrongKind, "kN is a force, and a mass is needed"},
		{"12ft", length, quantity.BadSpacing, "write a space: 12 ft"},
		{"8%", nil, quantity.BadSpacing, "write a space: 8 %"},
		{"12  ft", length, quantity.BadSpacing, "write 12 ft"},
		{"12\tft", length, quantity.BadSpacing, "write a space: 12 ft"},
		{" 12 ft", length, quantity.BadSpacing, "write 12 ft"},
		{"12 ft ", length, quantity.BadSpacing, "write 12 ft"},
		{"1,000 kg", nil, quantity.BadNumber, "write 1000, or with a point if decimals are meant"},
		{"2,5 m", length, quantity.BadNumber, "write a point: 2.5 m"},
		{"1_000 kg", nil, quantity.BadNumber, "digits only"},
		{"+5 m", length, quantity.BadNumber, "begins with a plus sign"},
		{".5 m", length, quantity.BadNumber, "write 0.5"},
		{"-.5 m", length, quantity.BadNumber, "write -0.5"},
		{"5. m", length, quantity.BadNumber, "no digits after the point"},
		{"010 m", length, quantity.BadNumber, "write 10 m"},
		{"-00.5 m", length, quantity.BadNumber, "write -0.5 m"},
		{"0x10 m", length, quantity.BadNumber, "not a decimal number"},
		{"1E3 kg", nil, quantity.BadNumber, "write e"},
		{"\u22125 m", length, quantity.BadNumber, "not a minus sign"},
		{"NaN m", length, quantity.BadNumber, "with digits"},
		{"inf m", length, quantity.BadNumber, "with digits"},
		{"-Inf m", length, quantity.BadNumber, "with digits"},
		{"", length, quantity.BadNumber, "for example 12 m"},
		{"m", length, quantity.BadNumber, "m is not a length; for example 12 m"},
		{"1e999 m", length, quantity.OutOfRange, "too large"},
		{"1e308 km", length, quantity.OutOfRange, "too large"},
		{"1e-999 m", length, quantity.OutOfRange, "too small"},
		{"-274 degC", nil, quantity.OutOfRange, "below absolute zero"},
		{"5 KN", force, quantity.UnknownUnit, "write 5 kN"},
		{"5 kn", force, quantity.UnknownUnit, "write 5 kN"},
		{"5 kn", []quantity.Kind{quantity.Speed}, quantity.UnknownUnit, "write 5 kt"},
		{"5 lbs", nil, quantity.UnknownUnit, "write 5 lb"},
		{"5 deg C", nil, quantity.UnknownUnit, "write 5 degC"},
		{"5 °C", nil, quantity.UnknownUnit, "write 5 degC"},
		{"5 feet", length, quantity.UnknownUnit, "write 5 ft"},
		{"5 m\u00b3", nil, quantity.UnknownUnit, "write 5 m3"},
		{"5 gal", nil, quantity.UnknownUnit, "written USgal"},
		{"5 tons", nil, quantity.UnknownUnit, "metric ton"},
		{"5 furlongs", length, quantity.UnknownUnit, "one of m, cm"},
		{"12 1/2 in", length, quantity.UnknownUnit, "one of m, cm"},
	}
	for _, tt := range tests {
		_, err := quantity.Parse(tt.text, tt.want...)
		var e *quantity.Error
		if !errors.As(err, &e) {
			t.Errorf("%q: got %v, want a quantity error", tt.text, err)
			continue
		}
		if e.Reason != tt.reason || !strings.Contains(e.Error(), tt.says) {
			t.Errorf("%q: got %q (reason %d), want %q (reason %d)", tt.text, e, e.Reason, tt.says, tt.reason)
		}
	}
}

func TestPattern_MatchesWhatParseReads(t *testing.T) {
	pattern := regexp.MustCompile(quantity.Pattern(quantity.Force))
	for text, want := range map[string]bool{
		"5 kN": true, "-5 kN": true, "0.5 lb": true, "1e3 N": true, "1e-3 N": true,
		"5kN": false, "05 kN": false, "5 m": false, "5 kN ": false, "5 kNx": false, "+5 kN": false, "5": false,
	} {
		if got := pattern.MatchString(text); got != want {
			t.Errorf("%q: pattern matches %v, want %v", text, got, want)
		}
		if _, err := quantity.Parse(text, quantity.Force); (err == nil) != want {
			t.Errorf("%q: Parse gives %v, want read: %v", text, err, want)
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, seed := range []string{"12 ft", "-0 m", "1e308 km", "010 m", "5 deg C", "8%", "1,000 kg", "x", "", "1e", "5 kNx", "-", "\u22125 m", "1e21 m", "1e-7 t", "3 \xff"} {
		f.Add(seed)
	}
	any := regexp.MustCompile(quantity.Pattern())
	f.Fuzz(func(t *testing.T, text string) {
		for _, want := range [][]quantity.Kind{nil, {quantity.Force}, {quantity.Length, quantity.Percent}} {
			q, err := quantity.Parse(text, want...)
			if err != nil {
				var e *quantity.Error
				if !errors.As(err, &e) || e.Text == "" || strings.ContainsAny(e.Error(), "\n\r") {
					t.Fatalf("%q: error %#v has no text of one line", text, err)
				}
				continue
			}
			if !any.MatchString(text) {
				t.Fatalf("%q is read but does not match the pattern", text)
			}
			if math.IsNaN(q.Value) || math.IsInf(q.Value, 0) {
				t.Fatalf("%q is read as %v", text, q.Value)
			}
			again, err := quantity.Parse(q.String(), q.Kind)
			if err != nil || again != q {
				t.Fatalf("%q is read as %#v, printed as %q and read again as %#v (%v)", text, q, q, again, err)
			}
		}
	})
}
