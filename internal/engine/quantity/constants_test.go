package quantity_test

import (
	"math"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/policy/extra"
)

// definitions pins every unit to its published definition. Values are worked
// out from the definition in the source column, not from the constants.
var definitions = []struct {
	unit   string
	typed  float64
	want   float64 // SI
	source string
}{
	{"m", 1, 1, "SI"},
	{"cm", 1, 0.01, "SI"},
	{"mm", 1, 0.001, "SI"},
	{"km", 1, 1000, "SI"},
	{"ft", 1, 0.3048, "international yard and pound agreement 1959: yard 0.9144 m exactly"},
	{"in", 1, 0.0254, "international yard and pound agreement 1959: yard 0.9144 m exactly"},
	{"nmi", 1, 1852, "First International Extraordinary Hydrographic Conference, Monaco 1929"},
	{"kg", 1, 1, "SI"},
	{"t", 1, 1000, "SI brochure, table 8"},
	{"lb", 1, 0.45359237, "international yard and pound agreement 1959"},
	{"N", 1, 1, "SI"},
	{"kN", 1, 1000, "SI"},
	{"kgf", 1, 9.80665, "3rd CGPM 1901, standard gravity"},
	{"lbf", 1, 4.4482216152605, "NIST SP 811, appendix B.8, footnote 24: exact"},
	{"m3", 1, 1, "SI"},
	{"L", 1, 0.001, "12th CGPM 1964"},
	{"USgal", 1, 0.003785411784, "231 cubic inches; NIST SP 811, appendix B.8"},
	{"m/s", 1, 1, "SI"},
	{"km/h", 3.6, 1, "NIST SP 811, appendix B.8"},
	{"kt", 3600, 1852, "one nautical mile in an hour"},
	{"degC", 0, 273.15, "SI brochure, Celsius temperature"},
	{"degC", 100, 373.15, "SI brochure, Celsius temperature"},
	{"degF", 32, 273.15, "NIST SP 811, appendix B.8: T/K = (t/degF + 459.67)/1.8"},
	{"degF", -40, 233.15, "NIST SP 811, appendix B.8: the two scales meet"},
	{"hPa", 1013.25, 101325, "10th CGPM 1954, standard atmosphere"},
	{"inHg", 1, 3386.389, "NIST SP 811, appendix B.8, conventional"},
	{"inHg", 29.92126, 101325, "standard atmosphere as altimeters show it; seven digits"},
	{"deg", 180, math.Pi, "SI brochure, table 8"},
	{"kg/m3", 1, 1, "SI"},
	{"kg/h", 3600, 1, "SI brochure, table 8: hour"},
	{"L/h", 3.6e6, 1, "12th CGPM 1964 and hour"},
	{"h", 1, 3600, "SI brochure, table 8"},
	{"min", 1, 60, "SI brochure, table 8"},
	{"s", 1, 1, "SI"},
	{"m2", 1, 1, "SI"},
	{"ft2", 1, 0.09290304, "NIST SP 811, appendix B.8: exact"},
	{"rpm", 60, 2 * math.Pi, "one turn in a second"},
	{"%", 1, 0.01, "SI brochure, 5.4.7"},
}

func TestSI_FollowsThePublishedDefinitions(t *testing.T) {
	pinned := map[string]bool{}
	for _, d := range definitions {
		pinned[d.unit] = true
		// Two roundings at most lie between definition and result; the altimeter
		// figure and the inch of mercury are given to seven digits each.
		tolerance := 4e-16
		if d.typed == 29.92126 {
			tolerance = 3.2e-7
		}
		if got := quantity.SI(d.typed, d.unit); math.Abs(got-d.want) > tolerance*math.Abs(d.want) {
			t.Errorf("%v %s: got %v, want %v (%s)", d.typed, d.unit, got, d.want, d.source)
		}
		// Going back subtracts an offset of 459.67 at most from a number near it.
		if got := quantity.In(d.want, d.unit); math.Abs(got-d.typed) > math.Max(tolerance*3*math.Abs(d.typed), 2e-13) {
			t.Errorf("%v in %s: got %v, want %v", d.want, d.unit, got, d.typed)
		}
	}
	listed := 0
	for _, kind := range quantity.Kinds() {
		for _, unit := range kind.Units() {
			listed++
			if !pinned[unit] {
				t.Errorf("%s (%s) is pinned to no definition", unit, kind)
			}
		}
	}
	// 35 units, three of them (masses) listed again under force.
	if listed != 38 || len(pinned) != 35 {
		t.Errorf("%d units listed and %d pinned, want 38 and 35", listed, len(pinned))
	}
	if quantity.StandardGravity != 9.80665 {
		t.Errorf("standard gravity is %v, want 9.80665 m/s² (3rd CGPM 1901)", quantity.StandardGravity)
	}
}

// TestSI_AgreesWithTheUnitsProgram compares the list with Debian's units
// program, which has its own table of definitions.
func TestSI_AgreesWithTheUnitsProgram(t *testing.T) {
	program := extra.Need(t, "units")
	theirs := map[string][2]string{ // our unit: their name of it, their name of the SI unit
		"m": {"m", "m"}, "cm": {"cm", "m"}, "mm": {"mm", "m"}, "km": {"km", "m"},
		"ft": {"ft", "m"}, "in": {"in", "m"}, "nmi": {"nmi", "m"},
		"kg": {"kg", "kg"}, "t": {"tonne", "kg"}, "lb": {"lb", "kg"},
		"N": {"N", "N"}, "kN": {"kN", "N"}, "kgf": {"kgf", "N"}, "lbf": {"lbf", "N"},
		"m3": {"m^3", "m^3"}, "L": {"L", "m^3"}, "USgal": {"usgallon", "m^3"},
		"m/s": {"m/s", "m/s"}, "km/h": {"km/hour", "m/s"}, "kt": {"knot", "m/s"},
		"hPa": {"hPa", "Pa"}, "inHg": {"inHg", "Pa"}, "deg": {"degree", "radian"},
		"kg/m3": {"kg/m^3", "kg/m^3"}, "kg/h": {"kg/hour", "kg/s"}, "L/h": {"L/hour", "m^3/s"},
		"h": {"hour", "s"}, "min": {"minute", "s"}, "s": {"s", "s"},
		"m2": {"m^2", "m^2"}, "ft2": {"ft^2", "m^2"}, "rpm": {"rpm", "radian/s"}, "%": {"percent", "1"},
	}
	compared := 0
	for _, kind := range quantity.Kinds() {
		for _, unit := range kind.Units() {
			from, to := "", ""
			switch unit {
			case "degC":
				from, to = "tempC(17)", "K"
			case "degF":
				from, to = "tempF(17)", "K"
			default:
				from, to = "17 "+theirs[unit][0], theirs[unit][1]
			}
			if to == "" {
				t.Errorf("%s is compared with nothing", unit)
				continue
			}
			out, err := exec.Command(program, "--terse", "--output-format", "%.15g", "--", from, to).Output()
			if err != nil {
				t.Errorf("units %q %q: %v", from, to, err)
				continue
			}
			want, err := strconv.ParseFloat(strings.TrimSpace(string(out)), 64)
			if err != nil {
				t.Errorf("units %q %q answered %q", from, to, out)
				continue
			}
			// They print 15 digits. Their inch of mercury is built from a rounded
			// density of mercury and is good to seven digits.
			tolerance := 1e-14
			if unit == "inHg" {
				tolerance = 1e-6
			}
			if got := quantity.SI(17, unit); math.Abs(got-want) > tolerance*math.Abs(want) {
				t.Errorf("17 %s: got %.15g, units says %.15g", unit, got, want)
			}
			compared++
		}
	}
	if compared != 38 {
		t.Errorf("compared %d units, want 38", compared)
	}
}
