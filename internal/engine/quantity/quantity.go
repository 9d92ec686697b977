package quantity

import (
	"strconv"
	"strings"
)

// Quantity is a number with a unit, both as typed and in SI.
type Quantity struct {
	// Value is in the SI unit of Kind; a temperature in kelvin, an angle in
	// radians, a percentage as a ratio.
	Value float64
	// Kind is what was wanted: a force typed in kg is a Force.
	Kind Kind
	// Unit is the unit as typed.
	Unit string
	// Typed is the number as typed, in Unit.
	Typed float64
}

// New makes the quantity that would be read from this number and unit where
// the kind is wanted. It panics where the kind cannot be written in that unit.
func New(typed float64, unit string, kind Kind) Quantity {
	u := mustUnit(unit)
	value := u.toSI(typed)
	switch {
	case u.kind == kind:
	case kind == Force && u.kind == Mass:
		value *= StandardGravity
	default:
		panic("quantity: " + kind.String() + " is not written in " + unit)
	}
	return Quantity{Value: noMinusZero(value), Kind: kind, Unit: unit, Typed: noMinusZero(typed)}
}

// String writes the quantity as it would be typed, with all its digits. Parse
// reads it back to the same Quantity where its kind is wanted. The zero
// Quantity gives "".
func (q Quantity) String() string {
	if q.Unit == "" {
		return ""
	}
	return FormatNumber(q.Typed) + " " + q.Unit
}

// FormatNumber writes a finite number with all its digits in the grammar of this
// package, without an exponent from 1e-6 up to 1e21; minus zero as 0.
func FormatNumber(x float64) string {
	x = noMinusZero(x)
	format := byte('f')
	if size := max(x, -x); size != 0 && (size < 1e-6 || size >= 1e21) {
		format = 'e'
	}
	return strings.TrimSuffix(strconv.FormatFloat(x, format, -1, 64), ".")
}

func noMinusZero(x float64) float64 {
	if x == 0 {
		return 0
	}
	return x
}
