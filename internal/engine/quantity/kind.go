package quantity

import "strings"

// Kind says what a quantity measures. The zero Kind is none.
type Kind int

// The kinds of quantity. The comment gives the SI unit of the value.
const (
	Length       Kind = iota + 1 // m
	Mass                         // kg
	Force                        // N
	Volume                       // m³
	Speed                        // m/s
	Temperature                  // K
	Pressure                     // Pa
	Angle                        // rad
	Density                      // kg/m³
	MassFlow                     // kg/s
	VolumeFlow                   // m³/s
	Duration                     // s
	Area                         // m²
	RotationRate                 // rad/s
	Percent                      // a ratio: 8 % is 0.08
)

// Kinds lists every kind, in the order of their declaration.
func Kinds() []Kind {
	var kinds []Kind
	for k := Length; k <= Percent; k++ {
		kinds = append(kinds, k)
	}
	return kinds
}

var kindNames = map[Kind]string{
	Length:       "a length",
	Mass:         "a mass",
	Force:        "a force",
	Volume:       "a volume",
	Speed:        "a speed",
	Temperature:  "a temperature",
	Pressure:     "a pressure",
	Angle:        "an angle",
	Density:      "a density",
	MassFlow:     "a mass flow",
	VolumeFlow:   "a volume flow",
	Duration:     "a duration",
	Area:         "an area",
	RotationRate: "a rate of rotation",
	Percent:      "a percentage",
}

// String names the kind in plain words with its article: "a length".
func (k Kind) String() string {
	if name, ok := kindNames[k]; ok {
		return name
	}
	return "a quantity"
}

// Units lists the units in which this kind may be written, the usual ones
// first. For a force it ends with the units of mass, which are taken as that
// mass times [StandardGravity].
func (k Kind) Units() []string {
	var own, masses []string
	for _, u := range units {
		switch {
		case u.kind == k:
			own = append(own, u.symbol)
		case k == Force && u.kind == Mass:
			masses = append(masses, u.symbol)
		}
	}
	return append(own, masses...)
}

// Pattern is a regular expression (the subset common to ECMA-262 and RE2,
// anchored) that matches exactly the text of a quantity of any of these kinds;
// of every kind where none is given.
func Pattern(kinds ...Kind) string {
	return "^" + PatternPart(kinds...) + "$"
}

// PatternPart is [Pattern] without its anchors, to be joined with other parts.
func PatternPart(kinds ...Kind) string {
	return `-?` + UnsignedPatternPart(kinds...)
}

// UnsignedPatternPart is [PatternPart] for text that has no minus sign.
func UnsignedPatternPart(kinds ...Kind) string {
	return `(0|[1-9][0-9]*)(\.[0-9]+)?(e[+-]?[0-9]+)? (` + strings.Join(unitsOf(kinds), "|") + `)`
}

// unitsOf lists the units of all these kinds once each; of every kind for none.
func unitsOf(kinds []Kind) []string {
	if len(kinds) == 0 {
		kinds = Kinds()
	}
	var list []string
	seen := map[string]bool{}
	for _, k := range kinds {
		for _, symbol := range k.Units() {
			if !seen[symbol] {
				seen[symbol] = true
				list = append(list, symbol)
			}
		}
	}
	return list
}
