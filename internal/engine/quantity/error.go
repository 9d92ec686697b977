package quantity

// Reason is what is wrong with the text of a quantity, for programs.
type Reason int

// The reasons for which Parse refuses a text.
const (
	NoUnit      Reason = iota + 1 // a bare number
	UnknownUnit                   // the unit is none of ours
	WrongKind                     // a unit of another kind
	BadSpacing                    // not exactly one space between number and unit
	BadNumber                     // the number does not follow the grammar
	OutOfRange                    // too large or too small to compute with, or below absolute zero
)

// Error tells why a text is not the quantity that is wanted.
type Error struct {
	Reason Reason
	// Text says what is wrong and begins with the text in question.
	Text string
	// Hint says what to write instead; it may be empty.
	Hint string
}

// Error gives text and hint in one line.
func (e *Error) Error() string {
	if e.Hint == "" {
		return e.Text
	}
	return e.Text + "; " + e.Hint
}
