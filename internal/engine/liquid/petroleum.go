package liquid

import (
	"math"

	"hangtrue/internal/engine/quantity"
)

// The constants of API MPMS 11.1:2004, refined products. Temperatures in them
// are in degrees Fahrenheit and the base is 60 degF.
const (
	// shift60 is how far 60 degF of the scale of 1968 lies from 60 degF of the
	// scale of 1990, times two as the standard writes it.
	shift60 = 0.01374979547
	// base60 is 60 degF of the scale of 1990 on the scale of 1968.
	base60 = 60.0068749
	// water60 is the density of water at 60 degF by which gravities are
	// defined, kg/m³.
	water60 = 999.016

	lowest60, highest60 = 610.6, 1163.5 // densities at 60 degF covered, kg/m³
)

// group is a group of products with common constants.
type group struct {
	above      float64 // density at 60 degF from which it counts, kg/m³
	k0, k1, k2 float64
}

var groups = []group{
	{lowest60, 192.4571, 0.2438, 0},      // gasoline
	{770.3520, 1489.0670, 0, -0.0018684}, // between gasoline and jet fuel
	{787.5195, 330.3010, 0, 0},           // jet fuel
	{838.3127, 103.8720, 0.2701, 0},      // fuel oil
	{highest60 + 1e-9, math.NaN(), 0, 0}, // covered no more
}

func groupOf(density60 float64) group {
	found := groups[0]
	for _, g := range groups[:len(groups)-1] {
		if density60 >= g.above {
			found = g
		}
	}
	return found
}

// fahrenheit68 turns kelvin into degrees Fahrenheit of the scale of 1968, as
// MPMS 11.1:2004, 11.1.5.3, does.
func fahrenheit68(kelvin float64) float64 {
	t := kelvin - quantity.ZeroCelsius
	x := t / 630
	d := x * (-0.148759 + x*(-0.267408+x*(1.080760+x*(1.269056+x*(-4.089591+x*(-1.871251+x*(7.438081-x*3.536296)))))))
	return 1.8*(t-d) + 32
}

// CTL returns the volume correction factor of API MPMS 11.1:2004 for a refined
// product: its density at a temperature over its density at 60 degF, both at
// the pressure of the air. It takes the density at 60 degF, kg/m³, and the
// temperature in kelvin, and checks neither. The standard rounds to five
// decimals; this does not.
func CTL(density60, kelvin float64) float64 {
	return ctl(groupOf(density60), density60, kelvin)
}

func ctl(g group, density60, kelvin float64) float64 {
	// The base density is moved to the scale of 1968, for which the constants
	// were fitted.
	a := shift60 / 2 * ((g.k0/density60+g.k1)/density60 + g.k2)
	b := (2*g.k0 + g.k1*density60) / (g.k0 + (g.k1+g.k2*density60)*density60)
	moved := density60 * (1 + (math.Exp(a*(1+0.8*a))-1)/(1+a*(1+1.6*a)*b))
	alpha := (g.k0/moved+g.k1)/moved + g.k2
	dt := fahrenheit68(kelvin) - base60
	return math.Exp(-alpha * dt * (1 + 0.8*alpha*(dt+shift60)))
}

// at15 is 15 degC in kelvin, the temperature at which densities are quoted
// outside the United States.
const at15 = quantity.ZeroCelsius + 15

// from15 returns the density at 60 degF of a product with this density at 15
// degC, both in kg/m³.
func from15(density15 float64) float64 {
	density60 := density15
	for range 50 {
		next := density15 / CTL(density60, at15)
		if math.Abs(next-density60) < 1e-12*density15 {
			return next
		}
		density60 = next
	}
	// On the border of two groups the step may lead to and fro between them;
	// the two answers differ by less than a millionth.
	return density60
}
