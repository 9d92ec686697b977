package air

import (
	"fmt"
	"math"

	"hangtrue/internal/engine/quantity"
)

// Constants of ICAO Doc 7488 and US Standard Atmosphere 1976.
const (
	StandardTemperature = 288.15   // K, at sea level
	StandardPressure    = 101325.0 // Pa, at sea level
	// GasConstant is that of dry air, J/(kg·K): 8314.32 / 28.9644 as in both
	// publications.
	GasConstant = 8314.32 / 28.9644

	lapse      = 0.0065  // K/m, up to the tropopause
	tropopause = 11000.0 // m
	coldest    = StandardTemperature - lapse*tropopause

	lowest, highest = -2000.0, 20000.0 // m; where the two publications are used here

	exponent = quantity.StandardGravity / (GasConstant * lapse)
)

// StandardDensity is the density at sea level, kg/m³.
const StandardDensity = StandardPressure / (GasConstant * StandardTemperature)

var pressureAtTropopause = StandardPressure * math.Pow(coldest/StandardTemperature, exponent)

// State is the state of the air at some place.
type State struct {
	Temperature float64 // K
	Pressure    float64 // Pa
	Density     float64 // kg/m³
}

// Sigma returns the density over that of the standard atmosphere at sea level.
func (s State) Sigma() float64 { return s.Density / StandardDensity }

// Problem is something wrong with what was entered about the air. Key names
// the value: elevation, qnh, temperature, humidity, altitude.
type Problem struct {
	Key  string
	Text string
	Hint string
}

// Error returns text and hint in one line.
func (p *Problem) Error() string {
	if p.Hint == "" {
		return p.Text
	}
	return p.Text + "; " + p.Hint
}

// Standard returns the standard atmosphere at a pressure altitude from -2,000
// to 20,000 m. The error is a [*Problem].
func Standard(altitude float64) (State, error) {
	if !(altitude >= lowest && altitude <= highest) {
		return State{}, &Problem{"altitude", fmt.Sprintf("an altitude of %.0f m is outside the standard atmosphere as used here", altitude), "from -2000 m to 20000 m"}
	}
	t, p := StandardTemperature-lapse*altitude, 0.0
	if altitude <= tropopause {
		p = StandardPressure * math.Pow(t/StandardTemperature, exponent)
	} else {
		t = coldest
		p = pressureAtTropopause * math.Exp(-quantity.StandardGravity*(altitude-tropopause)/(GasConstant*coldest))
	}
	return State{t, p, p / (GasConstant * t)}, nil
}

// AltitudeOf returns the pressure altitude at which the standard atmosphere has
// this pressure, m: what an altimeter set to 1013.25 hPa shows.
func AltitudeOf(pressure float64) float64 {
	if pressure >= pressureAtTropopause {
		return StandardTemperature / lapse * (1 - math.Pow(pressure/StandardPressure, 1/exponent))
	}
	return tropopause + GasConstant*coldest/quantity.StandardGravity*math.Log(pressureAtTropopause/pressure)
}

// Settings of an altimeter between which a QNH can lie, Pa. The highest and
// lowest pressures ever measured at sea level are about 1084 and 870 hPa (World
// Meteorological Organization's archive of extremes, from memory).
const lowestQNH, highestQNH = 85000.0, 109000.0

// PressureAltitude returns the pressure altitude of a place, m, from its
// elevation and the QNH there, Pa: the altimeter setting that makes an altimeter
// on the ground show the elevation. The error is a [*Problem]; a QNH typed in
// the wrong unit is one.
func PressureAltitude(elevation, qnh float64) (float64, error) {
	if !(qnh >= lowestQNH && qnh <= highestQNH) {
		hint := "from 850 hPa to 1090 hPa, or 25.10 inHg to 32.19 inHg"
		switch {
		case qnh >= quantity.SI(850, "inHg") && qnh <= quantity.SI(1090, "inHg"):
			hint += "; the number looks like hPa"
		case qnh >= quantity.SI(25, "hPa") && qnh <= quantity.SI(33, "hPa"):
			hint += "; the number looks like inHg"
		}
		return 0, &Problem{"qnh", fmt.Sprintf("a QNH of %.1f hPa has never been measured", quantity.In(qnh, "hPa")), hint}
	}
	if !(elevation >= -500 && elevation <= 9000) {
		return 0, &Problem{"elevation", fmt.Sprintf("an elevation of %.0f m is not on land", elevation), "from -500 m to 9000 m"}
	}
	return elevation + AltitudeOf(qnh), nil
}

// checkTemperature refuses temperatures that no air near the ground has had.
func checkTemperature(kelvin float64) *Problem {
	if kelvin >= quantity.ZeroCelsius-90 && kelvin <= quantity.ZeroCelsius+60 {
		return nil
	}
	return &Problem{"temperature", fmt.Sprintf("air of %.1f degC is not met with", kelvin-quantity.ZeroCelsius), "from -90 degC to 60 degC; mind degC and degF"}
}
