package lift

import (
	"fmt"
	"math"
	"slices"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
)

// Table is a hover table: the highest gross mass by pressure altitude and
// temperature.
type Table struct {
	Altitudes    []float64   // m, rising
	Temperatures []float64   // K, rising
	Gross        [][]float64 // kg, one row for each altitude; NaN is a hole
	Source       string
}

func (t *Table) check(path string) []Problem {
	var out []Problem
	add := func(at, hint, format string, args ...any) {
		out = append(out, Problem{path + at, fmt.Sprintf(format, args...), hint})
	}
	for _, axis := range []struct {
		name string
		x    []float64
	}{{"altitudes", t.Altitudes}, {"temperatures", t.Temperatures}} {
		if len(axis.x) < 2 {
			add("."+axis.name, "two or more, rising", "a table needs two %s to interpolate between", axis.name)
		}
		for i := 1; i < len(axis.x); i++ {
			if !(axis.x[i] > axis.x[i-1]) {
				add(fmt.Sprintf(".%s[%d]", axis.name, i), "from low to high, each once", "the %s do not rise here", axis.name)
			}
		}
	}
	if len(t.Gross) != len(t.Altitudes) {
		add(".gross", "one row for each altitude", "%d rows for %d altitudes", len(t.Gross), len(t.Altitudes))
	}
	for i, row := range t.Gross {
		if len(row) != len(t.Temperatures) {
			add(fmt.Sprintf(".gross[%d]", i), "one mass for each temperature, none where the manual has none", "%d masses for %d temperatures", len(row), len(t.Temperatures))
		}
		for k, m := range row {
			if m <= 0 || math.IsInf(m, 0) {
				add(fmt.Sprintf(".gross[%d][%d]", i, k), "none where the manual has none", "a gross mass must be more than zero")
			}
		}
	}
	return out
}

// OutsideTable says why a table gives no figure.
type OutsideTable struct {
	What string // "above the table", …
	Hint string // the range that it has
}

// Error returns both in one line.
func (e *OutsideTable) Error() string { return e.What + "; " + e.Hint }

// At returns the gross mass at a pressure altitude and a temperature, kg,
// interpolated in both directions. Outside the table, or beside a hole that
// would be needed, the error is an [*OutsideTable]; nothing is extrapolated.
func (t *Table) At(altitude, kelvin float64) (float64, error) {
	i, f, ok := between(t.Altitudes, altitude)
	if !ok {
		return 0, &OutsideTable{
			fmt.Sprintf("a pressure altitude of %.0f m (%.0f ft) is outside the hover table", altitude, altitude/quantity.Foot),
			fmt.Sprintf("it goes from %.0f m to %.0f m", t.Altitudes[0], t.Altitudes[len(t.Altitudes)-1]),
		}
	}
	k, g, ok := between(t.Temperatures, kelvin)
	if !ok {
		return 0, &OutsideTable{
			fmt.Sprintf("%.1f degC is outside the hover table", kelvin-quantity.ZeroCelsius),
			fmt.Sprintf("it goes from %.0f degC to %.0f degC", t.Temperatures[0]-quantity.ZeroCelsius, t.Temperatures[len(t.Temperatures)-1]-quantity.ZeroCelsius),
		}
	}
	sum := 0.0
	for _, c := range [4]struct {
		i, k int
		w    float64
	}{{i, k, (1 - f) * (1 - g)}, {i + 1, k, f * (1 - g)}, {i, k + 1, (1 - f) * g}, {i + 1, k + 1, f * g}} {
		if c.w == 0 {
			continue // a hole that is not needed does not matter
		}
		m := t.Gross[c.i][c.k]
		if math.IsNaN(m) {
			return 0, &OutsideTable{
				fmt.Sprintf("the hover table has no figure at %.0f m and %.0f degC", t.Altitudes[c.i], t.Temperatures[c.k]-quantity.ZeroCelsius),
				"it is not extrapolated into the gap",
			}
		}
		sum += c.w * m
	}
	return sum, nil
}

// altitude writes an altitude as people read it off an altimeter: in whole ft,
// with the metres before it where metres are shown.
func altitude(show quantity.System, m float64) string {
	feet := fmt.Sprintf("%.0f ft", m/quantity.Foot)
	if show == quantity.US {
		return feet
	}
	return fmt.Sprintf("%.0f m (%s)", m, feet)
}

// between finds the interval of a rising list that x lies in, and how far.
func between(list []float64, x float64) (i int, share float64, ok bool) {
	last := len(list) - 1
	// A hair of rounding in the conversion of a table's own edge is not outside.
	hair := 1e-9 * (list[last] - list[0])
	if !(x >= list[0]-hair && x <= list[last]+hair) {
		return 0, 0, false
	}
	x = math.Max(list[0], math.Min(list[last], x))
	i, _ = slices.BinarySearch(list, x)
	i = max(0, min(i-1, last-1))
	return i, (x - list[i]) / (list[i+1] - list[i]), true
}

// kink is how far a figure may lie from the middle of its neighbours before it
// is pointed out as a possible slip: a share of itself. Common practice, no
// source: tables of hover weights bend by less between neighbours.
const kink = 0.06

// Slip is something about a table that may be a typing slip.
type Slip struct {
	Row, Column int // of the figure that it is about; −1 where it is the whole table
	rig.Finding
}

// Slips points out what looks like a typing slip in a table that may be right
// all the same: a mass that rises with altitude or with temperature, a figure
// that stands out between its neighbours, and holes. About names the table.
func (t *Table) Slips(about string, show quantity.System) []Slip {
	var out []Slip
	cell := func(i, k int) string {
		return fmt.Sprintf("%s at %s and %s", show.Mass(t.Gross[i][k]), altitude(show, t.Altitudes[i]), show.Temperature(t.Temperatures[k]))
	}
	note := func(i, k int, code, format string, args ...any) {
		out = append(out, Slip{i, k, rig.Finding{Level: rig.Note, Code: code, About: about, Text: fmt.Sprintf(format, args...)}})
	}
	odd := func(i, k, di, dk int) {
		off, want := t.off(i, k, di, dk)
		// Beside a slip its neighbours stand out too, by less.
		before, _ := t.off(i-di, k-dk, di, dk)
		after, _ := t.off(i+di, k+dk, di, dk)
		if off > kink && off >= before && off >= after {
			note(i, k, "figure-stands-out", "%s stands out: between its neighbours %s is expected", cell(i, k), show.Mass(want))
		}
	}
	holes := 0
	for i, row := range t.Gross {
		for k, m := range row {
			if math.IsNaN(m) {
				holes++
				continue
			}
			risen := len(out)
			if i > 0 && m > t.Gross[i-1][k] {
				note(i, k, "rises-with-altitude", "%s is more than %s: a hover weight does not rise with altitude", cell(i, k), cell(i-1, k))
			}
			if k > 0 && m > row[k-1] {
				note(i, k, "rises-with-temperature", "%s is more than %s: a hover weight does not rise with temperature", cell(i, k), cell(i, k-1))
			}
			// A figure is pointed out once: rising says more than standing out.
			for _, d := range [2][2]int{{1, 0}, {0, 1}} {
				if len(out) == risen {
					odd(i, k, d[0], d[1])
				}
			}
		}
	}
	if holes > 0 {
		note(-1, -1, "table-has-holes", "figures missing: %d of %d; beside them it gives no answer", holes, len(t.Altitudes)*len(t.Temperatures))
	}
	return out
}

// off returns how far a figure lies from the line between its neighbours in one
// direction, as a share of itself, and what that line gives there; 0 at the
// table's edge and beside holes.
func (t *Table) off(i, k, di, dk int) (share, want float64) {
	if i-di < 0 || k-dk < 0 || i+di >= len(t.Gross) || k+dk >= len(t.Temperatures) {
		return 0, 0
	}
	a, b, c := t.Gross[i-di][k-dk], t.Gross[i][k], t.Gross[i+di][k+dk]
	var x, y, z float64
	if di == 1 {
		x, y, z = t.Altitudes[i-1], t.Altitudes[i], t.Altitudes[i+1]
	} else {
		x, y, z = t.Temperatures[k-1], t.Temperatures[k], t.Temperatures[k+1]
	}
	want = a + (c-a)*(y-x)/(z-x)
	if share = math.Abs(b-want) / b; math.IsNaN(share) {
		return 0, 0
	}
	return share, want
}

// Highest is how high a mass can be hovered with at a temperature.
type Highest struct {
	Temperature float64 // K
	Altitude    float64 // m; NaN where State is Never or Unknown
	State       HighestState
}

// HighestState says how the altitude is meant.
type HighestState uint8

// The states.
const (
	Crossing HighestState = iota // the table falls below the mass at this altitude
	Beyond                       // it goes to the top of the table at least
	Never                        // not even at the bottom of the table
	Gap                          // a hole of the table hides it
)

// Highest returns, for each temperature of the table and so many steps between
// two of them, the pressure altitude up to which the table allows this gross
// mass. Going up from the bottom, it ends where the table first falls below.
func (t *Table) Highest(gross float64, steps int) []Highest {
	var out []Highest
	for k := range t.Temperatures {
		for s := range max(1, steps) {
			if k == len(t.Temperatures)-1 && s > 0 {
				break
			}
			x := t.Temperatures[k]
			if s > 0 {
				x += (t.Temperatures[k+1] - x) * float64(s) / float64(steps)
			}
			out = append(out, t.highest(gross, x))
		}
	}
	return out
}

func (t *Table) highest(gross, kelvin float64) Highest {
	h := Highest{Temperature: kelvin, Altitude: math.NaN()}
	altitude, state := climb(t.Altitudes, gross, func(x float64) (float64, error) { return t.At(x, kelvin) })
	h.State = state
	if state == Crossing || state == Beyond {
		h.Altitude = altitude
	}
	return h
}

// Hottest returns the temperature up to which the table allows this gross mass
// at a pressure altitude, K; the state says how it is meant, as with [Table.Highest].
func (t *Table) Hottest(gross, altitude float64) (kelvin float64, state HighestState) {
	return climb(t.Temperatures, gross, func(x float64) (float64, error) { return t.At(altitude, x) })
}

// climb follows a line through the grid of a table and finds where it first
// falls below a mass; the table is straight between two grid lines.
func climb(grid []float64, mass float64, at func(float64) (float64, error)) (float64, HighestState) {
	before := 0.0
	for i, x := range grid {
		m, err := at(x)
		switch {
		case err != nil:
			return math.NaN(), Gap
		case m >= mass:
			before = m
		case i == 0:
			return math.NaN(), Never
		default:
			return grid[i-1] + (x-grid[i-1])*(before-mass)/(before-m), Crossing
		}
	}
	return grid[len(grid)-1], Beyond
}
