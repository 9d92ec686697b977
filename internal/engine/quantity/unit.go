package quantity

// unit is one way to write a kind: SI value = (typed + offset) · factor.
type unit struct {
	symbol string
	kind   Kind
	factor float64
	offset float64
	custom custom
}

// custom says which system of units a unit belongs to.
type custom int

const (
	either custom = iota // used with both systems: %, deg, kt, h …
	metric
	us
)

// units is the whole list. Its order within a kind is the order in which
// messages and [Kind.Units] name them.
var units = []unit{
	{symbol: "m", kind: Length, factor: 1, custom: metric},
	{symbol: "cm", kind: Length, factor: 0.01, custom: metric},
	{symbol: "mm", kind: Length, factor: 0.001, custom: metric},
	{symbol: "ft", kind: Length, factor: Foot, custom: us},
	{symbol: "in", kind: Length, factor: Inch, custom: us},
	{symbol: "km", kind: Length, factor: 1000, custom: metric},
	{symbol: "nmi", kind: Length, factor: NauticalMile},

	{symbol: "kg", kind: Mass, factor: 1, custom: metric},
	{symbol: "t", kind: Mass, factor: Tonne, custom: metric},
	{symbol: "lb", kind: Mass, factor: Pound, custom: us},

	{symbol: "N", kind: Force, factor: 1, custom: metric},
	{symbol: "kN", kind: Force, factor: 1000, custom: metric},
	{symbol: "kgf", kind: Force, factor: KilogramForce, custom: metric},
	{symbol: "lbf", kind: Force, factor: PoundForce, custom: us},

	{symbol: "m3", kind: Volume, factor: 1, custom: metric},
	{symbol: "L", kind: Volume, factor: Litre, custom: metric},
	{symbol: "USgal", kind: Volume, factor: USGallon, custom: us},

	{symbol: "m/s", kind: Speed, factor: 1, custom: metric},
	{symbol: "km/h", kind: Speed, factor: KilometrePerHour, custom: metric},
	{symbol: "kt", kind: Speed, factor: Knot},

	{symbol: "degC", kind: Temperature, factor: 1, offset: ZeroCelsius, custom: metric},
	{symbol: "degF", kind: Temperature, factor: 5.0 / 9.0, offset: ZeroFahrenheit, custom: us},

	{symbol: "hPa", kind: Pressure, factor: Hectopascal, custom: metric},
	{symbol: "inHg", kind: Pressure, factor: InchOfMercury, custom: us},

	{symbol: "deg", kind: Angle, factor: Degree},

	{symbol: "kg/m3", kind: Density, factor: 1, custom: metric},

	{symbol: "kg/h", kind: MassFlow, factor: 1 / Hour, custom: metric},

	{symbol: "L/h", kind: VolumeFlow, factor: Litre / Hour, custom: metric},

	{symbol: "h", kind: Duration, factor: Hour},
	{symbol: "min", kind: Duration, factor: Minute},
	{symbol: "s", kind: Duration, factor: 1},

	{symbol: "m2", kind: Area, factor: 1, custom: metric},
	{symbol: "ft2", kind: Area, factor: SquareFoot, custom: us},

	{symbol: "rpm", kind: RotationRate, factor: RevolutionPerMinute},

	{symbol: "%", kind: Percent, factor: 0.01},
}

var unitBySymbol = func() map[string]unit {
	index := make(map[string]unit, len(units))
	for _, u := range units {
		index[u.symbol] = u
	}
	return index
}()

// IsUS reports whether the unit belongs to US customary use only (ft, lb, lbf
// …). Units used with both systems (%, deg, kt, nmi, h …) are neither US nor
// metric; so is an unknown unit.
func IsUS(unit string) bool {
	u, ok := unitBySymbol[unit]
	return ok && u.custom == us
}

// IsMetric reports whether the unit belongs to metric use only (m, kg, kN …).
func IsMetric(unit string) bool {
	u, ok := unitBySymbol[unit]
	return ok && u.custom == metric
}

// toSI converts a number in this unit to SI.
func (u unit) toSI(typed float64) float64 { return (typed + u.offset) * u.factor }

// fromSI converts an SI value to a number in this unit.
func (u unit) fromSI(value float64) float64 { return value/u.factor - u.offset }

// SI converts a number in a unit to SI units (degC to kelvin, % to a ratio, lb
// to kilograms). It panics where the unit is not one of ours.
func SI(typed float64, unit string) float64 { return mustUnit(unit).toSI(typed) }

// In converts an SI value to a number in the unit. It panics where the unit is
// not one of ours. The caller answers for the kind: a mass in kg given in lbf
// is a wrong number, not an error.
func In(value float64, unit string) float64 { return mustUnit(unit).fromSI(value) }

func mustUnit(symbol string) unit {
	u, ok := unitBySymbol[symbol]
	if !ok {
		panic("quantity: no unit is called " + symbol)
	}
	return u
}
