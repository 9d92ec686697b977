package quantity

import (
	"math"
	"strconv"
)

// System is the system of units in which results are shown. The zero System is
// Metric.
type System int

// The two systems.
const (
	Metric System = iota
	US
)

// String is the word used for it in files and settings: "metric" or "us".
func (s System) String() string {
	if s == US {
		return "us"
	}
	return "metric"
}

// Count tells the system of a file from the units in it: US where more of them
// belong to US use only than to metric use only.
func Count(units []string) System {
	balance := 0
	for _, u := range units {
		switch {
		case IsUS(u):
			balance++
		case IsMetric(u):
			balance--
		}
	}
	if balance > 0 {
		return US
	}
	return Metric
}

// The methods below write an SI value for people to read, rounded as fits the
// trade; the text can be read back by Parse. Where the value is not a finite
// number they give NoValue.

// NoValue stands where a number that does not exist would be printed.
const NoValue = "no value"

// Length writes metres as m with two decimals, three below one metre; or as ft with two.
func (s System) Length(m float64) string {
	if s == US {
		return show(m, "ft", 2)
	}
	if math.Abs(m) < 1 {
		return show(m, "m", 3)
	}
	return show(m, "m", 2)
}

// Size writes a small length (a pitch, a pin) given in metres: as mm with one decimal, or as in with two.
func (s System) Size(m float64) string { return s.pick(m, "mm", 1, "in", 2) }

// Distance writes a flown distance in metres: as km or as nmi with one decimal.
func (s System) Distance(m float64) string { return s.pick(m, "km", 1, "nmi", 1) }

// Mass writes kilograms as kg or lb: one decimal below 100, none from there on.
func (s System) Mass(kg float64) string { return s.large(kg, "kg", "lb") }

// Force writes newtons as kN with two decimals, or as whole lbf.
func (s System) Force(n float64) string { return s.pick(n, "kN", 2, "lbf", 0) }

// Volume writes cubic metres as L or USgal: one decimal below 100, none from there on.
func (s System) Volume(m3 float64) string { return s.large(m3, "L", "USgal") }

// Speed writes m/s as m/s with one decimal, or as whole kt.
func (s System) Speed(ms float64) string { return s.pick(ms, "m/s", 1, "kt", 0) }

// Airspeed writes m/s as whole kt in both systems, as airspeed indicators are marked.
func (s System) Airspeed(ms float64) string { return show(ms, "kt", 0) }

// Temperature writes kelvin as degC with one decimal or as whole degF.
func (s System) Temperature(k float64) string { return s.pick(k, "degC", 1, "degF", 0) }

// Pressure writes pascals as hPa with one decimal or as inHg with two.
func (s System) Pressure(pa float64) string { return s.pick(pa, "hPa", 1, "inHg", 2) }

// Angle writes radians as deg with one decimal in both systems.
func (s System) Angle(rad float64) string { return show(rad, "deg", 1) }

// Density writes kg/m3 with one decimal in both systems.
func (s System) Density(kgm3 float64) string { return show(kgm3, "kg/m3", 1) }

// MassFlow writes kg/s as whole kg/h in both systems.
func (s System) MassFlow(kgs float64) string { return show(kgs, "kg/h", 0) }

// VolumeFlow writes m³/s as whole L/h in both systems.
func (s System) VolumeFlow(m3s float64) string { return show(m3s, "L/h", 0) }

// Area writes square metres as m2 with two decimals or as ft2 with one.
func (s System) Area(m2 float64) string { return s.pick(m2, "m2", 2, "ft2", 1) }

// Duration writes seconds as s with one decimal below two minutes, as whole
// min below two hours, as h with one decimal from there on, in both systems.
func (s System) Duration(seconds float64) string {
	switch size := math.Abs(seconds); {
	case size < 2*Minute:
		return show(seconds, "s", 1)
	case size < 2*Hour:
		return show(seconds, "min", 0)
	}
	return show(seconds, "h", 1)
}

// RotationRate writes rad/s as whole rpm in both systems.
func (s System) RotationRate(rads float64) string { return show(rads, "rpm", 0) }

// Percent writes a ratio as % with one decimal in both systems.
func (s System) Percent(ratio float64) string { return show(ratio, "%", 1) }

// Show writes an SI value of any kind by the method for that kind. It panics
// for a Kind that is none.
func (s System) Show(value float64, kind Kind) string {
	write, ok := map[Kind]func(float64) string{
		Length: s.Length, Mass: s.Mass, Force: s.Force, Volume: s.Volume, Speed: s.Speed,
		Temperature: s.Temperature, Pressure: s.Pressure, Angle: s.Angle, Density: s.Density,
		MassFlow: s.MassFlow, VolumeFlow: s.VolumeFlow, Duration: s.Duration, Area: s.Area,
		RotationRate: s.RotationRate, Percent: s.Percent,
	}[kind]
	if !ok {
		panic("quantity: no such kind to show")
	}
	return write(value)
}

func (s System) pick(value float64, metricUnit string, metricDecimals int, usUnit string, usDecimals int) string {
	if s == US {
		return show(value, usUnit, usDecimals)
	}
	return show(value, metricUnit, metricDecimals)
}

func (s System) large(value float64, metricUnit, usUnit string) string {
	symbol := metricUnit
	if s == US {
		symbol = usUnit
	}
	// 99.95 would round to 100.0 with one decimal; it is written 100.
	if math.Abs(In(value, symbol)) < 99.95 {
		return show(value, symbol, 1)
	}
	return show(value, symbol, 0)
}

// show rounds to so many decimals; what rounds to zero has no minus sign.
func show(value float64, symbol string, decimals int) string {
	number := In(value, symbol)
	if math.IsNaN(number) || math.IsInf(number, 0) {
		return NoValue
	}
	text := strconv.FormatFloat(number, 'f', decimals, 64)
	if text[0] == '-' && !hasDigitAboveZero(text) {
		text = text[1:]
	}
	return text + " " + symbol
}

func hasDigitAboveZero(text string) bool {
	for _, r := range text {
		if r >= '1' && r <= '9' {
			return true
		}
	}
	return false
}
