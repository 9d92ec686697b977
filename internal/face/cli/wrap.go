package cli

import (
	"strings"
	"unicode/utf8"
)

// width is how wide text is printed, in characters.
const width = 92

// wrapped breaks text into lines of at most width, all but the first after the
// indent, which also stands before the first.
func wrapped(text, indent string) string { return hanging(text, indent, indent) }

// hanging is wrapped with another beginning for the first line.
func hanging(text, first, rest string) string {
	var b strings.Builder
	line, empty := first, true
	for _, word := range strings.Fields(text) {
		if !empty && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width {
			b.WriteString(line + "\n")
			line, empty = rest, true
		}
		if !empty {
			line += " "
		}
		line += word
		empty = false
	}
	b.WriteString(line + "\n")
	return b.String()
}
