package outside

import (
	"fmt"
	"math"

	"hangtrue/internal/engine/air"
	"hangtrue/internal/engine/quantity"
)

// airs are the standard atmosphere, the altitudes, moist air and rotor wash.
func airs() []Check {
	var list []Check
	add := func(id, topic, what, source, flag, unit string, want, tolerance float64, why string, got func() (float64, error)) {
		list = append(list, Check{
			ID: fmt.Sprintf("air/%s/%d", id, len(list)+1), Topic: topic, What: what, Source: source, Flag: flag,
			Unit: unit, Want: want, Tolerance: tolerance, Why: why, Got: got,
		})
	}
	const standard = "ICAO Doc 7488 and US Standard Atmosphere 1976"
	for _, x := range []struct{ ft, degC, hPa, density, sigma float64 }{
		{0, 15.000, 1013.250, 1.22500, 1.00000},
		{2000, 11.038, 942.129, 1.15490, .94277},
		{5000, 5.094, 843.073, 1.05555, .86167},
		{8000, -.850, 752.624, .96287, .78602},
		{10000, -4.812, 696.816, .90464, .73848},
		{15000, -14.718, 571.819, .77082, .62924},
	} {
		of := func(number func(air.State) float64) func() (float64, error) {
			return func() (float64, error) {
				s, err := air.Standard(quantity.SI(x.ft, "ft"))
				return number(s), err
			}
		}
		topic := fmt.Sprintf("standard atmosphere at %g ft", x.ft)
		add("standard", topic, "temperature", standard, Derived, "degC", x.degC, 6e-4, "the figure has three decimals", of(func(s air.State) float64 { return quantity.In(s.Temperature, "degC") }))
		add("standard", topic, "pressure", standard, Derived, "hPa", x.hPa, 1.1e-3, "the figure has three decimals, some cut off rather than rounded", of(func(s air.State) float64 { return quantity.In(s.Pressure, "hPa") }))
		add("standard", topic, "density", standard, Derived, "kg/m3", x.density, 6e-6, "the figure has five decimals", of(func(s air.State) float64 { return s.Density }))
		add("standard", topic, "density over that at sea level", standard, Derived, "", x.sigma, 6e-6, "the figure has five decimals", of(air.State.Sigma))
	}
	add("standard", "standard atmosphere at 11 km", "pressure", standard+", table, from memory", Memory, "hPa", 226.32, 6e-3, "the figure has two decimals", func() (float64, error) {
		s, err := air.Standard(11000)
		return s.Pressure / 100, err
	})
	add("standard", "standard atmosphere at 20 km", "pressure", standard+", table, from memory", Memory, "hPa", 54.749, 6e-4, "the figure has three decimals", func() (float64, error) {
		s, err := air.Standard(20000)
		return s.Pressure / 100, err
	})

	altitude := func(elevation, qnh float64, unit string) (float64, error) {
		h, err := air.PressureAltitude(quantity.SI(elevation, "ft"), quantity.SI(qnh, unit))
		return quantity.In(h, "ft"), err
	}
	density := func(pressureAltitude, kelvin float64) (float64, error) {
		s, err := air.At(quantity.SI(pressureAltitude, "ft"), kelvin, 0)
		return quantity.In(s.DensityAltitude(), "ft"), err
	}
	const sample = "5,883 ft, 70 degF, 30.10 inHg"
	add("altitude", sample, "pressure altitude", "FAA-H-8083-25, density altitude sample", Seen, "ft", 5718, 1, "the figure is from a table in whole feet", func() (float64, error) { return altitude(5883, 30.10, "inHg") })
	add("altitude", sample, "pressure altitude", "the standard atmosphere: elevation + H(QNH)", Derived, "ft", 5718.09, 6e-3, "the figure has two decimals", func() (float64, error) { return altitude(5883, 30.10, "inHg") })
	whole := func() (float64, error) {
		h, err := altitude(5883, 30.10, "inHg")
		if err != nil {
			return 0, err
		}
		return density(h, quantity.SI(70, "degF"))
	}
	add("altitude", sample, "density altitude", "FAA-H-8083-25, density altitude sample", Seen, "ft", 7700, 50, "the figure is read off a chart to a hundred feet", whole)
	add("altitude", sample, "density altitude, dry", "the standard atmosphere", Derived, "ft", 7709.5, .1, "the figure has one decimal, cut off rather than rounded", whole)
	for _, x := range []struct {
		elevation, qnh float64
		unit           string
		want, tol      float64
	}{{1000, 1003.25, "hPa", 1274.20, 6e-3}, {3000, 990, "hPa", 3640.95, 6e-3}, {5000, 29.45, "inHg", 5438.6, .06}} {
		add("altitude", fmt.Sprintf("%g ft, %g %s", x.elevation, x.qnh, x.unit), "pressure altitude", "the standard atmosphere: elevation + H(QNH)", Derived, "ft", x.want, x.tol, "the figure's last decimal",
			func() (float64, error) { return altitude(x.elevation, x.qnh, x.unit) })
	}
	add("trap", "5,000 ft, 29.45 inHg: standard temperature at the pressure altitude, not at the field", "density altitude at the standard temperature of the pressure altitude, 4.225 degC", "the standard atmosphere: 15 − 0.0019812·5438.6", Derived, "ft", 5438.6, .1, "the temperature has three decimals, 0.06 ft each; the figure one",
		func() (float64, error) {
			h, err := altitude(5000, 29.45, "inHg")
			if err != nil {
				return 0, err
			}
			return density(h, quantity.SI(4.225, "degC"))
		})

	const cipm = "A. Picard et al., Metrologia 45 (2008) 149, CIPM-2007"
	add("moist", "20 degC, 101,325 Pa, 50 %", "density of moist air", cipm, Derived, "kg/m3", 1.199314, 6e-7, "the figure has six decimals", func() (float64, error) {
		d, _ := air.MoistDensity(101325, quantity.SI(20, "degC"), 0.5)
		return d, nil
	})
	add("moist", "10 degC, 730 mmHg, 40 %", "density of moist air", cipm+": a worked figure", Seen, "kg/m3", 1.19569, 2e-5, "the figure has five decimals; whose carbon dioxide it takes is not said", func() (float64, error) {
		d, _ := air.MoistDensity(730*133.322387, quantity.SI(10, "degC"), 0.4)
		return d, nil
	})

	add("wash", "rotor of 10 m carrying 2,000 kg at 1.225 kg/m3", "speed of the far wake", "momentum theory: 2·√(T/(2ρA))", Derived, "m/s",
		2*math.Sqrt(2000*9.80665/(2*1.225*math.Pi*25)), 1e-9, "the same formula written out", func() (float64, error) {
			w, err := air.Hover(air.Rotors{Count: 1, Diameter: 10}, 2000*quantity.StandardGravity, 1.225)
			return w.Far, err
		})
	add("wash", "a disc loading of 10 lbf/ft2 at sea level", "induced speed", "momentum theory: √(DL/(2ρ)), ρ 0.0023769 slug/ft3", Derived, "ft/s", 45.865, 2e-3, "the density has five digits", func() (float64, error) {
		r := air.Rotors{Count: 1, Diameter: 10}
		w, err := air.Hover(r, 10*quantity.PoundForce/quantity.SquareFoot*r.Area(), air.StandardDensity)
		return w.Induced / quantity.Foot, err
	})
	add("wash", "a radius beneath the disc", "wake over induced speed", "axis of a straight vortex tube: 1 + 1/√2", Memory, "", 1+1/math.Sqrt2, 1e-12, "rounding", func() (float64, error) {
		return air.HookFactor(6, 6), nil
	})
	return list
}
