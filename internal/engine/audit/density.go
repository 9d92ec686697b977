package audit

import (
	"math"

	"hangtrue/internal/engine/quantity"
)

// densityAt returns the density of a liquid as a rig file names it, kg/m³, at a
// temperature in degC. Its own reading of the published formulas: Kell 1975 for
// fresh water, EOS-80 at one atmosphere for sea water, API MPMS 11.1:2004 for
// refined products.
func (t *typed) densityAt(v any, celsius float64) float64 {
	name := text(v)
	o, _ := v.(map[string]any)
	switch {
	case name == "fresh water":
		return freshWater(celsius)
	case name == "sea water":
		return seaWater(celsius, 35)
	case o["salinity"] != nil:
		return seaWater(celsius, t.number(o["salinity"], "salinity"))
	}
	// The middle of each specification, kg/m³ at 15 degC.
	at15 := map[string]float64{"jet fuel": (775. + 840) / 2, "diesel": (820. + 845) / 2, "petrol": (720. + 775) / 2, "heating oil": (820. + 860) / 2}[name]
	switch {
	case o["density-15"] != nil:
		at15 = t.si(o["density-15"], quantity.Density, "density-15")
	case o["api"] != nil:
		base := 141.5 / (131.5 + t.number(o["api"], "api")) * 999.016
		return base * correction(base, celsius)
	}
	if at15 == 0 {
		t.fail("the audit knows no liquid %v", v)
		return 1
	}
	// The base density is the one that gives at15 at 15 degC, by secants.
	miss := func(base float64) float64 { return base*correction(base, 15) - at15 }
	a, b := at15, at15*1.0005
	for range 60 {
		fa, fb := miss(a), miss(b)
		if fb == fa {
			break
		}
		a, b = b, b-fb*(b-a)/(fb-fa)
	}
	return b * correction(b, celsius)
}

// correction is the density of a refined product over that at 60 degF.
func correction(base, celsius float64) float64 {
	k := [3]float64{103.8720, 0.2701, 0} // fuel oils
	switch {
	case base < 770.3520:
		k = [3]float64{192.4571, 0.2438, 0} // gasolines
	case base < 787.5195:
		k = [3]float64{1489.0670, 0, -0.00186840} // between
	case base < 838.3127:
		k = [3]float64{330.3010, 0, 0} // jet fuels
	}
	slope := func(d float64) float64 { return k[0]/(d*d) + k[1]/d + k[2] }
	const delta = 0.01374979547
	a := delta / 2 * slope(base)
	b := (2*k[0] + k[1]*base) / (k[0] + k[1]*base + k[2]*base*base)
	star := base * (1 + math.Expm1(a+0.8*a*a)/(1+b*(a+1.6*a*a)))
	alpha := slope(star)
	warm := fahrenheit1968(celsius) - 60.0068749
	return math.Exp(-alpha * warm * (1 + 0.8*alpha*(warm+delta)))
}

// fahrenheit1968 turns degC of the scale of 1990 into degF of that of 1968.
func fahrenheit1968(celsius float64) float64 {
	terms := [...]float64{-0.148759, -0.267408, 1.080760, 1.269056, -4.089591, -1.871251, 7.438081, -3.536296}
	by, power := 0.0, 1.0
	for _, c := range terms {
		power *= celsius / 630
		by += c * power
	}
	return (celsius-by)*9/5 + 32
}

// polynomial is the sum of c[i]·x^i.
func polynomial(x float64, c ...float64) float64 {
	sum, power := 0.0, 1.0
	for _, k := range c {
		sum += k * power
		power *= x
	}
	return sum
}

func freshWater(celsius float64) float64 {
	t := 1.00024 * celsius
	return polynomial(t, 999.83952, 16.945176, -7.9870401e-3, -46.170461e-6, 105.56302e-9, -280.54253e-12) / (1 + 16.879850e-3*t)
}

func seaWater(celsius, salinity float64) float64 {
	t := 1.00024 * celsius
	return polynomial(t, 999.842594, 6.793952e-2, -9.095290e-3, 1.001685e-4, -1.120083e-6, 6.536332e-9) +
		salinity*polynomial(t, 0.824493, -4.0899e-3, 7.6438e-5, -8.2467e-7, 5.3875e-9) +
		math.Pow(salinity, 1.5)*polynomial(t, -5.72466e-3, 1.0227e-4, -1.6546e-6) +
		4.8314e-4*salinity*salinity
}
