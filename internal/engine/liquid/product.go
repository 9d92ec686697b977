package liquid

import (
	"fmt"
	"math"

	"hangtrue/internal/engine/quantity"
)

// Problem is something wrong with what was entered about a liquid or its tank.
// Key names the value in the words of the rig file: liquid, volume, at …
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

type nature uint8

const (
	petroleum nature = iota
	fresh
	sea
)

// Liquid is a liquid whose density is known at every temperature of its range.
// The zero Liquid is none.
type Liquid struct {
	// Name is what it is called.
	Name string
	// Density15 is the density at 15 degC, kg/m³.
	Density15 float64
	// Band is how far Density15 may be off either way, kg/m³, where only the
	// product's name is known; zero for water and for an entered density.
	Band float64
	// Salinity is the practical salinity of sea water, about grams of salt in a
	// kilogram.
	Salinity float64
	// Flash is the lowest flash point that the product's specification allows,
	// K; zero where none is known.
	Flash float64
	// Source says where density and band come from.
	Source string

	nature    nature
	density60 float64
}

// product is a petroleum product by its specification.
type product struct {
	name      string
	low, high float64 // density at 15 degC, kg/m³
	flashC    float64 // lowest flash point, degC; NaN where there is none to speak of
	source    string
}

var products = []product{
	{"jet fuel", 775, 840, 38, "DEF STAN 91-091 and ASTM D1655, Jet A-1"},
	{"diesel", 820, 845, 55, "EN 590"},
	{"petrol", 720, 775, math.NaN(), "EN 228, from memory"},
	{"heating oil", 820, 860, 55, "DIN 51603-1 for the upper bound, from memory; lower bound common practice, no source"},
}

const (
	freshWaterName = "fresh water"
	seaWaterName   = "sea water"
	// oceanSalinity is that of the open ocean.
	oceanSalinity = 35
)

// Names lists the liquids that [Named] knows.
func Names() []string {
	names := []string{freshWaterName, seaWaterName}
	for _, p := range products {
		names = append(names, p.name)
	}
	return names
}

// Named returns a liquid by one of [Names]. A petroleum product then has the
// middle of its specification as density and half the specification's width as
// Band; sea water is that of the open ocean, salinity 35. The error is a
// [*Problem].
func Named(name string) (Liquid, error) {
	switch name {
	case freshWaterName:
		return Liquid{Name: name, Density15: freshWater(scale68(15)), nature: fresh, Source: "Kell 1975"}, nil
	case seaWaterName:
		return SeaWater(oceanSalinity)
	}
	for _, p := range products {
		if p.name == name {
			l, err := OfDensity(name, (p.low+p.high)/2)
			if err != nil {
				panic("liquid: " + err.Error())
			}
			l.Band = (p.high - p.low) / 2
			l.Source = fmt.Sprintf("middle of %.0f to %.0f kg/m3 at 15 degC: %s", p.low, p.high, p.source)
			return l, nil
		}
	}
	return Liquid{}, &Problem{"liquid", fmt.Sprintf("no liquid is called %q here", name), fmt.Sprintf("known are %v; of any other petroleum product the density at 15 degC or the API gravity", Names())}
}

// SeaWater returns sea water of a practical salinity from 0 to 42. The error is
// a [*Problem].
func SeaWater(salinity float64) (Liquid, error) {
	if !(salinity >= 0 && salinity <= 42) {
		return Liquid{}, &Problem{"salinity", fmt.Sprintf("a salinity of %g is outside what the formula for sea water covers", salinity), "from 0 to 42; the open ocean has 35"}
	}
	return Liquid{
		Name: seaWaterName, Density15: seaWater(scale68(15), salinity), Salinity: salinity, nature: sea,
		Source: fmt.Sprintf("EOS-80 at salinity %g", salinity),
	}, nil
}

// OfDensity returns a petroleum product by its density at 15 degC, kg/m³. The
// name is free; that of a known product brings its flash point. The error is a
// [*Problem].
func OfDensity(name string, density15 float64) (Liquid, error) {
	l := Liquid{Name: name, Density15: density15, density60: from15(density15), Source: "density at 15 degC as entered"}
	if math.IsNaN(density15) || l.density60 < lowest60 || l.density60 > highest60 {
		return Liquid{}, &Problem{
			"density-15", fmt.Sprintf("a density of %.6g kg/m3 at 15 degC is outside what API MPMS 11.1 covers for petroleum products", density15),
			"from about 611 to 1164 kg/m3; for another liquid enter contents: with its density as it is",
		}
	}
	l.Flash = flashOf(name)
	return l, nil
}

// OfAPI returns a petroleum product by its API gravity. The error is a
// [*Problem].
func OfAPI(name string, gravity float64) (Liquid, error) {
	density60 := 141.5 / (131.5 + gravity) * water60
	if !(density60 >= lowest60 && density60 <= highest60) {
		return Liquid{}, &Problem{"api", fmt.Sprintf("an API gravity of %g is outside what API MPMS 11.1 covers for petroleum products", gravity), "from -10 to 100"}
	}
	return Liquid{Name: name, Density15: density60 * CTL(density60, at15), density60: density60, Flash: flashOf(name), Source: fmt.Sprintf("API gravity %g as entered", gravity)}, nil
}

func flashOf(name string) float64 {
	for _, p := range products {
		if p.name == name && !math.IsNaN(p.flashC) {
			return p.flashC + quantity.ZeroCelsius
		}
	}
	return 0
}

// Specified reports whether an entered density lies within the specification
// of the product by whose name the liquid goes; true where there is none.
func (l Liquid) Specified() (within bool, low, high float64) {
	for _, p := range products {
		if p.name == l.Name && l.nature == petroleum {
			return l.Density15 >= p.low && l.Density15 <= p.high, p.low, p.high
		}
	}
	return true, 0, 0
}

// Range returns the temperatures between which [Liquid.Density] answers, K.
func (l Liquid) Range() (low, high float64) {
	switch l.nature {
	case fresh:
		return quantity.ZeroCelsius, quantity.ZeroCelsius + 100
	case sea:
		return quantity.ZeroCelsius - 2, quantity.ZeroCelsius + 40
	}
	return quantity.ZeroCelsius - 50, quantity.ZeroCelsius + 150
}

// Density returns the density at a temperature in kelvin and the pressure of
// the air, kg/m³. Outside [Liquid.Range] the error is a [*Problem] with key
// "at".
func (l Liquid) Density(kelvin float64) (float64, error) {
	low, high := l.Range()
	// A hair of rounding in the conversion of 0 degC is not below freezing.
	if !(kelvin >= low-1e-9 && kelvin <= high+1e-9) {
		hint := fmt.Sprintf("from %.4g to %.4g degC", celsius(low), celsius(high))
		if l.nature != petroleum && kelvin < low {
			hint += "; ice is no liquid"
		}
		return 0, &Problem{"at", fmt.Sprintf("%s is not covered at %.4g degC", l.Name, celsius(kelvin)), hint}
	}
	t := scale68(celsius(kelvin))
	switch l.nature {
	case fresh:
		return freshWater(t), nil
	case sea:
		return seaWater(t, l.Salinity), nil
	}
	return l.density60 * CTL(l.density60, kelvin), nil
}
