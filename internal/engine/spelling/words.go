package spelling

import (
	"strings"
	"unicode/utf8"
)

// Capital begins a text as a sentence begins.
func Capital(text string) string {
	_, n := utf8.DecodeRuneInString(text)
	return strings.ToUpper(text[:n]) + text[n:]
}

// Short keeps a text to so many letters, one at least. What is cut ends with an
// ellipsis, which counts.
func Short(text string, most int) string {
	letters := []rune(text)
	if len(letters) <= most {
		return text
	}
	return strings.TrimRight(string(letters[:max(0, most-1)]), " ") + "…"
}

// Joined joins what is not empty.
func Joined(by string, parts ...string) string {
	var out []string
	for _, p := range parts {
		if p != "" {
			out = append(out, p)
		}
	}
	return strings.Join(out, by)
}
