package outside

import (
	"fmt"
	"math"
	"strings"

	"hangtrue/internal/engine/liquid"
	"hangtrue/internal/engine/quantity"
)

// liquids are the densities of water and of petroleum products.
func liquids() []Check {
	var list []Check
	add := func(group, topic, what, source, flag, unit string, want, tolerance float64, why string, got func() (float64, error)) {
		n := 1
		for _, c := range list {
			if strings.HasPrefix(c.ID, "liquid/"+group+"/") {
				n++
			}
		}
		list = append(list, Check{
			ID: fmt.Sprintf("liquid/%s/%d", group, n), Topic: topic, What: what, Source: source, Flag: flag,
			Unit: unit, Want: want, Tolerance: tolerance, Why: why, Got: got,
		})
	}

	for _, x := range []struct{ density60, degF, want float64 }{
		{800, 59, 1.0005161},
		{800, 86, .9865255},
		{800, 120, .9687571},
		{740, 100, .9725464},
		{780, 100, .9766769},
		{840, 100, .9811434},
	} {
		add("ctl", "volume correction of petroleum products", fmt.Sprintf("CTL, %g kg/m3 at 60 degF, at %g degF", x.density60, x.degF),
			"API MPMS 11.1:2004 / ASTM D1250, refined products: CTL = exp(−α·Δt·(1 + 0.8·α·(Δt + δ)))", Derived, "",
			x.want, 6e-8, "the figure has seven decimals", func() (float64, error) {
				return liquid.CTL(x.density60, quantity.SI(x.degF, "degF")), nil
			})
	}
	at := func(make func() (liquid.Liquid, error), degC float64) func() (float64, error) {
		return func() (float64, error) {
			l, err := make()
			if err != nil {
				return 0, err
			}
			return l.Density(quantity.SI(degC, "degC"))
		}
	}
	add("trap", "jet fuel, the trap of constants for degF with differences in degC (793.79)", "density at 30 degC of 800 kg/m3 at 15 degC",
		"API MPMS 11.1:2004 / ASTM D1250", Derived, "kg/m3", 788.802, 6e-4, "the figure has three decimals",
		at(func() (liquid.Liquid, error) { return liquid.OfDensity("jet fuel", 800) }, 30))
	add("trap", "the same by the tables of 1980, which the method of 2004 replaced", "density at 30 degC of 800 kg/m3 at 15 degC",
		"API MPMS 11.1 / ASTM D1250:1980", Derived, "kg/m3", 788.807, 6e-3, "the two methods differ by 0.005",
		at(func() (liquid.Liquid, error) { return liquid.OfDensity("jet fuel", 800) }, 30))
	add("api", "API gravity", "density at 60 degF of gravity 10, which is that of water",
		"API MPMS 11.1:2004: 141.5/(131.5 + API), water 999.016 kg/m3 at 60 degF", Seen, "kg/m3", 999.016, 1e-9, "rounding", func() (float64, error) {
			l, err := liquid.OfAPI("", 10)
			if err != nil {
				return 0, err
			}
			return l.Density(quantity.SI(60, "degF"))
		})
	for _, x := range []struct{ degC, want, tolerance float64 }{
		{0, 999.84, .01}, {4, 999.97, .01}, {10, 999.70, .01}, {15, 999.10, .01}, {20, 998.207, .01}, {25, 997.047, .01}, {30, 995.65, .01}, {40, 992.2, .06},
	} {
		add("water", "fresh water", fmt.Sprintf("density at %g degC", x.degC), "M. Tanaka et al., Metrologia 38 (2001) 301 (CIPM), and the CRC Handbook", Seen, "kg/m3",
			x.want, x.tolerance, "Kell's formula of 1975 against later measurements, and the figure's decimals", at(func() (liquid.Liquid, error) { return liquid.Named("fresh water") }, x.degC))
	}
	add("water", "fresh water, the misprint 16.897850e-3 in Kell's formula (997.936)", "density at 20 degC", "G. S. Kell, J. Chem. Eng. Data 20 (1975) 97: 16.879850e-3 in the denominator", Derived, "kg/m3",
		998.204, 2e-3, "the figure's last decimal and the temperature scale of 1968, 1 mK of it", at(func() (liquid.Liquid, error) { return liquid.Named("fresh water") }, 20))
	for _, x := range []struct{ salinity, t68, want float64 }{{0, 5, 999.96675}, {35, 5, 1027.67547}, {0, 25, 997.04796}, {35, 25, 1023.34306}} {
		add("sea", "sea water", fmt.Sprintf("density at salinity %g and %g degC (scale of 1968)", x.salinity, x.t68), "EOS-80, UNESCO technical papers in marine science 44 (1983): check values", Seen, "kg/m3",
			x.want, 6e-6, "the figure has five decimals", at(func() (liquid.Liquid, error) { return liquid.SeaWater(x.salinity) }, x.t68/1.00024))
	}
	for _, x := range tanks() {
		add("tank", x.topic, x.what, x.source, Derived, "m", x.want, x.tolerance, x.why, func() (float64, error) {
			fill, err := filled(x.tank, x.share)
			return x.number(fill.CG(x.up)), err
		})
	}
	jet := func(hottest float64) func() (float64, error) {
		return func() (float64, error) {
			l, err := liquid.OfDensity("jet fuel", 800)
			if err != nil {
				return 0, err
			}
			volume, hot := 0.9, quantity.SI(hottest, "degC")
			f, problems := liquid.New(liquid.Entry{Liquid: l, Tank: liquid.Tank{Kind: liquid.Box, Size: [3]float64{1, 1, 1}, Capacity: 1}, Volume: &volume, At: quantity.SI(15, "degC"), Hottest: &hot})
			if len(problems) > 0 {
				return 0, problems[0]
			}
			room, _ := f.Room()
			return quantity.In(room, "L"), nil
		}
	}
	add("tank", "900 L of jet fuel, 800 kg/m3 at 15 degC, in a tank that holds 1,000 L", "room left at 30 degC",
		"volumes go as one over the density: 1000 − 900·800/788.802", Derived, "L", 1000-900*800/788.802, 1e-3, "the density has three decimals", jet(30))
	return list
}

// tankCheck is a tank of which the CG of its liquid is known in closed form.
type tankCheck struct {
	topic, what, source, why string
	tank                     liquid.Tank
	share                    float64 // of what it holds
	up                       [3]float64
	number                   func([3]float64) float64
	want, tolerance          float64
}

// filled is a tank of which so great a share is full of water at 20 degC.
func filled(t liquid.Tank, share float64) (liquid.Fill, error) {
	l, err := liquid.Named("fresh water")
	if err != nil {
		return liquid.Fill{}, err
	}
	volume := share * t.Holds()
	f, problems := liquid.New(liquid.Entry{Liquid: l, Tank: t, Volume: &volume, At: quantity.SI(20, "degC")})
	if len(problems) > 0 {
		return f, problems[0]
	}
	return f, nil
}

func tanks() []tankCheck {
	drum := liquid.Tank{Kind: liquid.Drum, Length: 2, Diameter: 1.2}
	box := liquid.Tank{Kind: liquid.Box, Size: [3]float64{2, 1, 1}}
	standing := liquid.Tank{Kind: liquid.Drum, Length: 2, Diameter: 1.2, Axis: 2}
	level, down := [3]float64{0, 0, 1}, [3]float64{1 / math.Sqrt(5), 0, 2 / math.Sqrt(5)}
	below := func(z float64) func([3]float64) float64 {
		return func(c [3]float64) float64 { return z - c[2] }
	}
	ahead := func(c [3]float64) float64 { return -c[0] }
	// A cylinder of radius r, its surface tilted by a slope through the middle,
	// shifts its CG aside by slope·I/V with I = π·r⁴/4.
	slope := math.Tan(10 * quantity.Degree)
	aslant := [3]float64{math.Sin(10 * quantity.Degree), 0, math.Cos(10 * quantity.Degree)}
	const close = 1e-6
	return []tankCheck{
		{"drum of 1.2 m lying, half full", "CG of the liquid beneath the axis", "centroid of a half disc: 4·r/(3·π)", "rounding, and a level found by halving", drum, 0.5, level, below(0.6), 4 * 0.6 / (3 * math.Pi), close},
		{"drum of 1.2 m lying, filled to half its radius", "CG of the liquid beneath the axis", "centroid of a segment: (2/3)·r³·cos³f/A, A = r²·(π/3 − √3/4) with the surface r/2 beneath the axis", "rounding, and a level found by halving", drum, (math.Pi/3 - math.Sqrt(3)/4) / math.Pi, level, below(0.6), 2. / 3 * 0.6 * math.Pow(math.Sqrt(3)/2, 3) / (math.Pi/3 - math.Sqrt(3)/4), close},
		{"box of 2 by 1 by 1 m, half full, leaning so that the surface runs from corner to corner", "CG of the liquid towards the low end", "centroid of a right triangle: a sixth of the length from the middle", "rounding, and a level found by halving", box, 0.5, down, ahead, 2. / 6, close},
		{"the same", "CG of the liquid above the floor", "centroid of a right triangle: a third of the height", "rounding, and a level found by halving", box, 0.5, down, func(c [3]float64) float64 { return c[2] }, 1. / 3, close},
		{"drum of 1.2 m standing, half full, leaning by 10 degrees", "CG of the liquid towards the low side", "shift of a free surface: tan(10°)·π·r⁴/4 over the volume", "rounding, and a level found by halving", standing, 0.5, aslant, ahead, slope * 0.6 * 0.6 / 4 / 1, close},
	}
}
