package quantity

import "math"

// Conversion constants, in SI units. All are exact by definition, except that
// the inch of mercury is the conventional one, rounded as NIST SP 811 rounds it.
const (
	// StandardGravity is the standard acceleration of free fall in m/s²
	// (3rd CGPM, 1901).
	StandardGravity = 9.80665

	// Foot, Inch and NauticalMile in metres. Foot and inch follow from the
	// international yard of 0.9144 m (yard and pound agreement, 1959); the
	// international nautical mile is 1852 m (Monaco, 1929).
	Foot         = 0.3048
	Inch         = 0.0254
	NauticalMile = 1852.0

	// Pound is the avoirdupois pound in kilograms (yard and pound agreement,
	// 1959).
	Pound = 0.45359237
	// Tonne is the metric ton in kilograms.
	Tonne = 1000.0

	// PoundForce and KilogramForce in newtons: the mass times standard gravity.
	PoundForce    = Pound * StandardGravity
	KilogramForce = StandardGravity

	// Litre and USGallon in cubic metres. The US gallon is 231 cubic inches
	// (NIST SP 811, appendix B.8).
	Litre    = 0.001
	USGallon = 231 * Inch * Inch * Inch

	// Knot and KilometrePerHour in m/s.
	Knot             = NauticalMile / 3600.0
	KilometrePerHour = 1000.0 / 3600.0

	// Hectopascal and InchOfMercury in pascals. The inch of mercury is the
	// conventional one (NIST SP 811, appendix B.8: 3.386389 E+03), as altimeters use.
	Hectopascal   = 100.0
	InchOfMercury = 3386.389

	// ZeroCelsius is 0 degC in kelvin; ZeroFahrenheit is what is added to a
	// reading in degF to count from absolute zero (NIST SP 811, appendix B.8).
	ZeroCelsius    = 273.15
	ZeroFahrenheit = 459.67

	// Degree is one degree of angle in radians.
	Degree = math.Pi / 180

	// RevolutionPerMinute in rad/s.
	RevolutionPerMinute = 2 * math.Pi / 60

	// Minute and Hour in seconds.
	Minute = 60.0
	Hour   = 3600.0

	// SquareFoot in square metres.
	SquareFoot = Foot * Foot
)
