package air

import (
	"fmt"
	"math"

	"hangtrue/internal/engine/quantity"
)

// At returns the state of the air at a pressure altitude, m, with this
// temperature, K, and relative humidity from 0 to 1. The error is a [*Problem].
//
// Humid air is lighter than dry air of the same pressure and temperature by the
// ratio that the CIPM-2007 formula gives; dry air is the ideal gas of the
// standard atmosphere. So the standard atmosphere's own state comes back
// unchanged. CIPM-2007 itself, which has 0.04 % more density, is [MoistDensity].
func At(pressureAltitude, kelvin, humidity float64) (State, error) {
	s, err := Standard(pressureAltitude)
	if err != nil {
		return State{}, err
	}
	if p := checkTemperature(kelvin); p != nil {
		return State{}, p
	}
	if !(humidity >= 0 && humidity <= 1) {
		return State{}, &Problem{"humidity", fmt.Sprintf("a relative humidity of %g %% cannot be", humidity*100), "from 0 % to 100 %"}
	}
	s.Temperature = kelvin
	s.Density = s.Pressure / (GasConstant * kelvin)
	if humidity > 0 {
		s.Density *= moist(s.Pressure, kelvin, humidity) / moist(s.Pressure, kelvin, 0)
	}
	return s, nil
}

// DensityAltitude returns the altitude at which the standard atmosphere has the
// density of this air, m.
func (s State) DensityAltitude() float64 {
	sigma := s.Sigma()
	atTropopause := pressureAtTropopause / (GasConstant * coldest) / StandardDensity
	if sigma >= atTropopause {
		return StandardTemperature / lapse * (1 - math.Pow(sigma, 1/(exponent-1)))
	}
	return tropopause + GasConstant*coldest/quantity.StandardGravity*math.Log(atTropopause/sigma)
}

// MoistDensity returns the density of moist air by CIPM-2007 (A. Picard, R. S.
// Davis, M. Gläser, K. Fujii, Metrologia 45, 2008, 149), kg/m³: pressure in Pa,
// temperature in K, relative humidity from 0 to 1, carbon dioxide 400 parts per
// million. The formula is stated for 600 to 1100 hPa and 15 to 27 degC; inRange
// is false elsewhere, where it is still a good physical formula but nobody has
// stated how good.
func MoistDensity(pressure, kelvin, humidity float64) (density float64, inRange bool) {
	t := kelvin - quantity.ZeroCelsius
	inRange = pressure >= 60000 && pressure <= 110000 && t >= 15-1e-9 && t <= 27+1e-9
	return moist(pressure, kelvin, humidity), inRange
}

func moist(p, kelvin, humidity float64) float64 {
	t := kelvin - quantity.ZeroCelsius
	const (
		gas      = 8.314472    // J/(mol·K), CODATA 2006 as CIPM-2007 has it
		dryAir   = 28.96546e-3 // kg/mol, at 400 parts of carbon dioxide per million
		perWater = 0.3780      // 1 − molar mass of water over that of air
	)
	saturated := math.Exp(1.2378847e-5*kelvin*kelvin - 1.9121316e-2*kelvin + 33.93711047 - 6.3431645e3/kelvin)
	enhanced := 1.00062 + 3.14e-8*p + 5.6e-7*t*t
	x := humidity * enhanced * saturated / p
	z := 1 - p/kelvin*(1.58123e-6-2.9331e-8*t+1.1043e-10*t*t+(5.707e-6-2.051e-8*t)*x+(1.9898e-4-2.376e-6*t)*x*x) +
		p*p/(kelvin*kelvin)*(1.83e-11-0.765e-8*x*x)
	return p * dryAir / (z * gas * kelvin) * (1 - perWater*x)
}

// HumidityFromDewPoint returns the relative humidity of air at a temperature
// with a dew point, both K: the ratio of the saturation pressures by CIPM-2007.
// The error is a [*Problem] where the dew point lies above the temperature.
func HumidityFromDewPoint(kelvin, dewPoint float64) (float64, error) {
	if !(dewPoint <= kelvin) || checkTemperature(kelvin) != nil || checkTemperature(dewPoint) != nil {
		return 0, &Problem{"dew-point", fmt.Sprintf("a dew point of %.1f degC does not go with air of %.1f degC", dewPoint-quantity.ZeroCelsius, kelvin-quantity.ZeroCelsius), "at most the air's temperature"}
	}
	saturated := func(k float64) float64 {
		return math.Exp(1.2378847e-5*k*k - 1.9121316e-2*k + 33.93711047 - 6.3431645e3/k)
	}
	return saturated(dewPoint) / saturated(kelvin), nil
}
