package quantity

import (
	"math"
	"strconv"
	"strings"
)

// Parse reads a quantity of one of the wanted kinds; of any kind where none is
// given. A mass is taken for a force where a force is wanted and a mass is not.
// The error is always an [*Error].
func Parse(text string, want ...Kind) (Quantity, error) {
	length := numberLength(text)
	if length == 0 {
		return Quantity{}, noNumber(text, want)
	}
	number, rest := text[:length], text[length:]
	if err := badRest(text, number, rest, want); err != nil {
		return Quantity{}, err
	}
	symbol := rest[1:]
	u, ok := unitBySymbol[symbol]
	if !ok {
		return Quantity{}, unknownUnit(number, symbol, want)
	}
	kind, ok := wanted(u.kind, want)
	if !ok {
		return Quantity{}, &Error{
			Reason: WrongKind,
			Text:   shown(text) + ": " + symbol + " is " + u.kind.String() + ", and " + kindsText(want) + " is needed here",
			Hint:   "one of " + listed(unitsOf(want)),
		}
	}
	typed, err := ParseNumber(number)
	if err != nil {
		return Quantity{}, err
	}
	q := New(typed, symbol, kind)
	switch {
	case math.IsInf(q.Value, 0):
		return Quantity{}, &Error{Reason: OutOfRange, Text: shown(text) + " is too large to compute with"}
	case q.Value == 0 && typed != 0 && u.offset == 0:
		return Quantity{}, &Error{Reason: OutOfRange, Text: shown(text) + " is too small to compute with", Hint: "write 0 " + symbol}
	case kind == Temperature && q.Value < 0:
		return Quantity{}, &Error{Reason: OutOfRange, Text: shown(text) + " is below absolute zero"}
	}
	return q, nil
}

// ParseNumber reads a number without a unit, in the grammar of this package.
// The error is always an [*Error].
func ParseNumber(text string) (float64, error) {
	length := numberLength(text)
	if length == 0 || length != len(text) {
		return 0, badNumber(text)
	}
	if fixed := withoutLeadingZero(text); fixed != text {
		return 0, &Error{Reason: BadNumber, Text: shown(text) + " starts with a zero", Hint: "write " + shown(fixed)}
	}
	value, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsInf(value, 0) {
		// The grammar is checked above, so what is left is the range.
		return 0, &Error{Reason: OutOfRange, Text: shown(text) + " is too large to compute with"}
	}
	if value == 0 {
		mantissa, _, _ := strings.Cut(text, "e")
		if strings.ContainsAny(mantissa, "123456789") {
			return 0, &Error{Reason: OutOfRange, Text: shown(text) + " is too small to compute with", Hint: "write 0"}
		}
	}
	return noMinusZero(value), nil
}

// numberLength is the length of the longest beginning of text that is a
// number, leading zeros included; 0 where text does not begin with one.
func numberLength(text string) int {
	i := 0
	if strings.HasPrefix(text, "-") {
		i++
	}
	n := digits(text[i:])
	if n == 0 {
		return 0
	}
	i += n
	if strings.HasPrefix(text[i:], ".") {
		if n := digits(text[i+1:]); n > 0 {
			i += 1 + n
		}
	}
	if strings.HasPrefix(text[i:], "e") {
		j := i + 1
		if j < len(text) && (text[j] == '+' || text[j] == '-') {
			j++
		}
		if n := digits(text[j:]); n > 0 {
			i = j + n
		}
	}
	return i
}

func digits(text string) int {
	n := 0
	for n < len(text) && text[n] >= '0' && text[n] <= '9' {
		n++
	}
	return n
}

// withoutLeadingZero drops the zeros before the first digit of a number. They are
// refused because some programs read 010 as eight.
func withoutLeadingZero(number string) string {
	sign, body := "", number
	if strings.HasPrefix(number, "-") {
		sign, body = "-", number[1:]
	}
	whole := digits(body)
	for whole > 1 && body[0] == '0' {
		body, whole = body[1:], whole-1
	}
	return sign + body
}

// wanted finds which of the wanted kinds a unit of this kind serves.
func wanted(kind Kind, want []Kind) (Kind, bool) {
	if len(want) == 0 {
		return kind, true
	}
	force := false
	for _, k := range want {
		if k == kind {
			return kind, true
		}
		force = force || k == Force
	}
	if force && kind == Mass {
		return Force, true
	}
	return 0, false
}
