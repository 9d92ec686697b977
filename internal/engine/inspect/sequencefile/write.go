package sequencefile

import (
	"encoding/json"
	"fmt"
	"strings"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/quantity"
)

// Write returns a sequence as a file that [Read] reads back to the same
// sequence: the way from a suggestion to a school's own order.
func Write(q *inspect.Sequence) []byte {
	var b strings.Builder
	line := func(indent, key, value string) {
		if value != "" {
			b.WriteString(indent + key + ": " + quoted(value) + "\n")
		}
	}
	b.WriteString("format: " + Format + "\n")
	line("", "title", q.Title)
	line("", "source", q.Source)
	if q.Made {
		b.WriteString("made: yes\n")
	}
	b.WriteString("checkpoints:\n")
	for _, c := range q.Checkpoints {
		b.WriteString("  - id: " + c.ID + "\n")
		line("    ", "title", c.Title)
		if c.Stand != inspect.StandHere && c.Stand != "" {
			b.WriteString("    stand: " + string(c.Stand) + "\n")
		}
		if c.At != nil {
			fmt.Fprintf(&b, "    at: [%s m, %s m]\n", quantity.FormatNumber(c.At[0]), quantity.FormatNumber(c.At[1]))
		}
		b.WriteString("    look:\n")
		for _, l := range c.Looks {
			b.WriteString("      - " + quoted(l.String()) + "\n")
		}
		if len(c.Do) > 0 {
			b.WriteString("    do: [" + strings.Join(words(c.Do), ", ") + "]\n")
		}
		line("    ", "note", c.Note)
		line("    ", "reference", c.Reference)
	}
	return []byte(b.String())
}

// quoted writes a text in double quotes, as JSON does, unless it is letters,
// digits and signs that YAML leaves alone.
func quoted(s string) string {
	plain := s != "" && !strings.EqualFold(s, "null") && (s[0] >= 'a' && s[0] <= 'z' || s[0] >= 'A' && s[0] <= 'Z')
	for _, c := range s {
		plain = plain && (c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || strings.ContainsRune(" .,/+_-()", c))
	}
	if plain && !strings.HasSuffix(s, " ") {
		return s
	}
	out, err := json.Marshal(s)
	if err != nil {
		panic("sequencefile: a text that JSON cannot hold: " + err.Error())
	}
	return string(out)
}
