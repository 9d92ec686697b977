package web

import (
	"slices"
	"strings"
	"unicode"
)

// docWord is an entry of the glossary.
type docWord struct {
	Names   []string // count, link count
	Meaning string
	Anchor  string
}

// Name is the word as the glossary writes it.
func (w docWord) Name() string { return strings.Join(w.Names, ", ") }

// newWord reads the two cells of an entry: "count, link count" and what it means.
func newWord(names, meaning string) docWord {
	names = strings.TrimSuffix(names, " (own)")
	return docWord{Names: strings.Split(names, ", "), Meaning: meaning}
}

// wordsOf are the words of the glossary that a page uses.
func (l *library) wordsOf(p *docPage) []docWord {
	if p.file == "glossary.md" {
		return nil
	}
	var all strings.Builder
	for _, b := range p.blocks {
		all.WriteString(b.text + "\n")
	}
	plain := plainly(all.String())
	var out []docWord
	for _, w := range l.words {
		if slices.ContainsFunc(w.Names, func(name string) bool { return hasWord(plain, plainly(name)) }) {
			out = append(out, w)
		}
	}
	return out
}

// plainly is a text as it is compared: lower case, everything but letters and
// digits a space.
func plainly(s string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(s), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r)
	}), " ")
}

// hasWord reports whether a plain text has a plain word or phrase, also in the
// plural.
func hasWord(plain, word string) bool {
	padded := " " + plain + " "
	return strings.Contains(padded, " "+word+" ") || strings.Contains(padded, " "+word+"s ")
}
