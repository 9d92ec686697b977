package liquid

import (
	"math"

	"hangtrue/internal/engine/quantity"
)

// scale68 turns a temperature in degrees Celsius of the scale in use (ITS-90)
// into one of the scale of 1968, by which the formulas for water were fitted.
// Good to 0.5 mK between -2 and 100 degC (Saunders, 1990: t68 = 1.00024 t90).
func scale68(t90 float64) float64 { return 1.00024 * t90 }

// freshWater returns the density of air-free water at one atmosphere, kg/m³, at
// t degrees Celsius of the scale of 1968, from 0 to 150.
//
// G. S. Kell, J. Chem. Eng. Data 20 (1975) 97, equation 16. One printing that
// goes round has 16.897850e-3 in the denominator, which gives 997.94 kg/m³ at
// 20 degC instead of 998.20.
func freshWater(t float64) float64 {
	top := 999.83952 + t*(16.945176+t*(-7.9870401e-3+t*(-46.170461e-6+t*(105.56302e-9-t*280.54253e-12))))
	return top / (1 + 16.879850e-3*t)
}

// seaWater returns the density of sea water at one atmosphere, kg/m³, at t
// degrees Celsius of the scale of 1968 from -2 to 40 and a practical salinity s
// from 0 to 42.
//
// EOS-80: N. P. Fofonoff and R. C. Millard, UNESCO technical papers in marine
// science 44 (1983).
func seaWater(t, s float64) float64 {
	pure := 999.842594 + t*(6.793952e-2+t*(-9.095290e-3+t*(1.001685e-4+t*(-1.120083e-6+t*6.536332e-9))))
	first := 8.24493e-1 + t*(-4.0899e-3+t*(7.6438e-5+t*(-8.2467e-7+t*5.3875e-9)))
	second := -5.72466e-3 + t*(1.0227e-4-t*1.6546e-6)
	return pure + s*(first+second*math.Sqrt(s)+4.8314e-4*s)
}

func celsius(kelvin float64) float64 { return kelvin - quantity.ZeroCelsius }
