// Package quantity reads and prints numbers with units. It is the only home
// of conversion constants: everything further in computes in SI floats.
//
// A quantity is written as a number, exactly one space and a unit:
//
//	12 ft    6250 lb    8 %    27.8 kN    -40 degC    1.5e+3 kg
//
// The number is -?digits[.digits][e[±]digits]. It has no comma, no underscore,
// no leading plus, no bare point and no leading zero before another digit, so
// that nothing a person types can be read as another number than was meant.
//
// Where a force is wanted a mass is taken too, because sling plates are marked
// in kg or lb; it is that mass times [StandardGravity].
//
// Inside, values are metres, kilograms, newtons, cubic metres, metres per
// second, kelvin, pascals, radians, kilograms per cubic metre, kilograms per
// second, cubic metres per second, seconds, square metres, radians per second;
// a percentage is a ratio (8 % is 0.08).
package quantity
