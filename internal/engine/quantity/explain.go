package quantity

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// noNumber explains a text that does not begin with a number.
func noNumber(text string, want []Kind) *Error {
	bare := strings.TrimSpace(text)
	if bare == "" {
		return &Error{Reason: BadNumber, Text: "nothing is written where " + kindsText(want) + " is needed", Hint: example(want)}
	}
	if bare != text {
		return &Error{Reason: BadSpacing, Text: shown(text) + " begins with a space", Hint: "write " + shown(bare)}
	}
	number, _, _ := strings.Cut(text, " ")
	if err := badNumber(number); err.Hint != "" {
		return err
	}
	return &Error{Reason: BadNumber, Text: shown(text) + " is not " + kindsText(want), Hint: example(want)}
}

// badNumber explains a word that is not a number of the grammar.
func badNumber(word string) *Error {
	err := &Error{Reason: BadNumber, Text: shown(word) + " is not a number"}
	lower := strings.ToLower(strings.TrimLeft(word, "+-."))
	switch {
	case strings.HasPrefix(lower, "nan"), strings.HasPrefix(lower, "inf"):
		err.Hint = "write a number with digits"
	case strings.HasPrefix(word, "+"):
		err.Text = shown(word) + " begins with a plus sign"
		err.Hint = "leave the sign out"
	case strings.HasPrefix(word, "\u2212"), strings.HasPrefix(word, "\u2013"):
		err.Text = shown(word) + " begins with a dash that is not a minus sign"
		err.Hint = "write -"
	case strings.HasPrefix(word, ".") && digits(word[1:]) > 0, strings.HasPrefix(word, "-.") && digits(word[2:]) > 0:
		err.Text = shown(word) + " has no digit before the point"
		err.Hint = "write " + shown(strings.Replace(word, ".", "0.", 1))
	default:
		if n := numberLength(word); n > 0 {
			if rest := badRest(word, word[:n], word[n:], nil); rest != nil && rest.Reason == BadNumber {
				return rest
			}
			err.Hint = "digits, and a point before decimals"
		}
	}
	return err
}

// badRest explains what follows a number, unless it is one space and a word.
func badRest(text, number, rest string, want []Kind) *Error {
	if fixed := withoutLeadingZero(number); fixed != number {
		return &Error{Reason: BadNumber, Text: shown(text) + " starts with a zero", Hint: "write " + shown(fixed+rest)}
	}
	if strings.TrimSpace(rest) == "" {
		return &Error{
			Reason: NoUnit,
			Text:   shown(text) + " needs a unit: one of " + listed(unitsOf(want)),
			Hint:   "for example " + shown(number) + " " + unitsOf(want)[0],
		}
	}
	first, _ := utf8.DecodeRuneInString(rest)
	switch {
	case first == ',' && digits(rest[1:]) > 0:
		after := rest[1:]
		n := digits(after)
		if n == 3 {
			// 1,000 may be a thousand or one: do not guess.
			return &Error{Reason: BadNumber, Text: shown(text) + " has a comma in the number", Hint: "write " + shown(number+after[:n]) + ", or with a point if decimals are meant"}
		}
		return &Error{Reason: BadNumber, Text: shown(text) + " has a comma in the number", Hint: "write a point: " + shown(number+"."+after)}
	case first == '_', first == '\'', first == '\u2019':
		return &Error{Reason: BadNumber, Text: shown(text) + " has a sign between its digits", Hint: "digits only, and a point before decimals"}
	case first == ',', first == '.':
		return &Error{Reason: BadNumber, Text: shown(text) + " has no digits after the point or comma", Hint: "for example " + shown(number) + " or " + shown(number) + ".5"}
	case first == 'E' && digits(strings.TrimLeft(rest[1:], "+-")) > 0:
		return &Error{Reason: BadNumber, Text: shown(text) + " has a capital E in the number", Hint: "write e"}
	case first == 'x' || first == 'X' || first == 'o':
		return &Error{Reason: BadNumber, Text: shown(text) + " is not a decimal number", Hint: "decimal digits only"}
	case first != ' ':
		word := strings.TrimSpace(rest)
		if symbol := nearestUnit(word, want); symbol != "" {
			word = symbol
		}
		return &Error{Reason: BadSpacing, Text: shown(text) + " has no space between the number and the unit", Hint: "write a space: " + shown(number+" "+word)}
	}
	word := strings.TrimSpace(rest)
	if rest != " "+word {
		if symbol := nearestUnit(word, want); symbol != "" {
			word = symbol
		}
		return &Error{Reason: BadSpacing, Text: shown(text) + " needs exactly one space, between the number and the unit", Hint: "write " + shown(number+" "+word)}
	}
	return nil
}

// unknownUnit explains a unit that is none of ours and names the nearest.
func unknownUnit(number, word string, want []Kind) *Error {
	err := &Error{Reason: UnknownUnit, Text: shown(word) + " is not a unit known here", Hint: "one of " + listed(unitsOf(want))}
	if note := ambiguous[strings.ToLower(word)]; note != "" {
		err.Hint = note
	} else if symbol := nearestUnit(word, want); symbol != "" {
		err.Hint = "write " + shown(number+" "+symbol)
	}
	return err
}

// nearestUnit finds the unit that was probably meant: the same letters in
// another case, or another usual spelling. A unit of a wanted kind is preferred,
// since kn may be kN or a knot. It returns "" where nothing is near.
func nearestUnit(word string, want []Kind) string {
	if _, ok := unitBySymbol[word]; ok {
		return word
	}
	plain := plainSpelling(word)
	var found []string
	for _, u := range units {
		if strings.EqualFold(u.symbol, plain) || slices.Contains(spellings[u.symbol], plain) {
			found = append(found, u.symbol)
		}
	}
	for _, symbol := range found {
		if _, ok := wanted(unitBySymbol[symbol].kind, want); ok {
			return symbol
		}
	}
	if len(found) > 0 {
		return found[0]
	}
	return ""
}

// plainSpelling drops what people put around a unit: spaces, dots, degree
// signs and raised digits.
func plainSpelling(word string) string {
	word = strings.NewReplacer("\u00b0", "deg", "\u00ba", "deg", "\u00b2", "2", "\u00b3", "3", "^", "", ".", "", " ", "").Replace(word)
	return strings.ToLower(word)
}

// spellings are other usual ways to write our units, in lower case and without
// spaces and dots.
var spellings = map[string][]string{
	"m":     {"metre", "metres", "meter", "meters", "mtr"},
	"cm":    {"centimetre", "centimetres", "centimeter", "centimeters"},
	"mm":    {"millimetre", "millimetres", "millimeter", "millimeters"},
	"km":    {"kilometre", "kilometres", "kilometer", "kilometers"},
	"ft":    {"foot", "feet", "'", "\u2032"},
	"in":    {"inch", "inches", "\"", "\u2033"},
	"nmi":   {"nm", "nauticalmile", "nauticalmiles"},
	"kg":    {"kgs", "kilo", "kilos", "kilogram", "kilograms", "kilogramme", "kilogrammes"},
	"t":     {"te", "tonne", "tonnes"},
	"lb":    {"lbs", "lbm", "pound", "pounds", "#"},
	"N":     {"newton", "newtons"},
	"kN":    {"kilonewton", "kilonewtons"},
	"kgf":   {"kp", "kilopond"},
	"lbf":   {"lbsf", "poundforce"},
	"m3":    {"cbm", "m**3"},
	"L":     {"ltr", "lt", "litre", "litres", "liter", "liters"},
	"m/s":   {"mps", "ms-1"},
	"km/h":  {"kmh", "kph"},
	"kt":    {"kts", "kn", "knot", "knots"},
	"degC":  {"c", "celsius"},
	"degF":  {"f", "fahrenheit"},
	"hPa":   {"mb", "mbar", "millibar", "hectopascal"},
	"inHg":  {"inofhg"},
	"deg":   {"degs", "degree", "degrees"},
	"kg/m3": {"kg/cbm", "kgm-3"},
	"kg/h":  {"kg/hr", "kgph"},
	"L/h":   {"l/hr", "lph"},
	"h":     {"hr", "hrs", "hour", "hours"},
	"min":   {"mins", "minute", "minutes"},
	"s":     {"sec", "secs", "second", "seconds"},
	"m2":    {"sqm", "m**2"},
	"ft2":   {"sqft", "ft**2"},
	"rpm":   {"rev/min", "r/min", "1/min"},
	"%":     {"percent", "pct", "per cent"},
}

// ambiguous are units that mean different things in different places, or that
// are not read here; each note says what to write.
var ambiguous = map[string]string{
	"gal":     "the US gallon is written USgal",
	"gallon":  "the US gallon is written USgal",
	"gallons": "the US gallon is written USgal",
	"ton":     "a metric ton is written t; for another ton write its lb",
	"tons":    "a metric ton is written t; for another ton write its lb",
	"oz":      "write the mass in lb or kg",
	"kip":     "write the force in lbf",
	"dan":     "10 N each: write the force in N or kN",
	"k":       "write the temperature in degC or degF",
	"rad":     "write the angle in deg",
	"mph":     "write the speed in kt or km/h",
}

func kindsText(want []Kind) string {
	if len(want) == 0 {
		return "a quantity"
	}
	words := make([]string, len(want))
	for i, k := range want {
		words[i] = k.String()
	}
	if len(words) == 1 {
		return words[0]
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

func example(want []Kind) string { return "for example 12 " + unitsOf(want)[0] }

func listed(words []string) string { return strings.Join(words, ", ") }

// shown cuts a text to a length fit for a message and takes out what would
// break the line.
func shown(text string) string {
	const most = 40
	clean := strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return '?'
		}
		return r
	}, text)
	if utf8.RuneCountInString(clean) <= most {
		return clean
	}
	return string([]rune(clean)[:most]) + "…"
}
