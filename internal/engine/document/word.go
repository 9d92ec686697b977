package document

import (
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"hangtrue/internal/engine/spelling"
)

type textShape struct {
	most  int
	lines bool
}

// Text takes text of one line with at most so many characters. A number
// without quotes is text too.
func Text(most int) Shape { return textShape{most: most} }

// Lines takes text that may have several lines, with at most so many characters.
func Lines(most int) Shape { return textShape{most: most, lines: true} }

func (s textShape) String() string {
	if s.lines {
		return "text"
	}
	return "text of one line"
}
func (s textShape) form() Form             { return FormText }
func (s textShape) takes(k yaml.Kind) bool { return k == yaml.ScalarNode }

func (s textShape) read(r *reader, n *yaml.Node, v *Value) {
	seen := false
	for _, c := range n.Value {
		switch {
		case c == '\n' && s.lines:
		case c == '\n':
			r.refuse(v, name(v.path)+" has more than one line", "one line is wanted here")
			return
		case unicode.IsControl(c), c == '\u2028', c == '\u2029', c == '\ufeff',
			// Signs that turn the direction of writing can hide text from the reader.
			c >= '\u202a' && c <= '\u202e', c >= '\u2066' && c <= '\u2069':
			r.refuse(v, name(v.path)+" contains a control character (U+"+strings.ToUpper(strconv.FormatInt(int64(c)|0x10000, 16)[1:])+")", "remove it")
			return
		}
		seen = seen || unicode.IsGraphic(c) && !unicode.IsSpace(c)
	}
	if !seen {
		r.refuse(v, name(v.path)+" is empty", "write "+s.String()+", or leave the key out")
		return
	}
	if count := utf8.RuneCountInString(n.Value); count > s.most {
		r.refuse(v, name(v.path)+" has "+strconv.Itoa(count)+" characters", "at most "+strconv.Itoa(s.most)+" fit here")
		return
	}
	v.text = n.Value
}

func (s textShape) schema(*definitions) members {
	// Programs that read numbers and yes or no by themselves hand them over as such.
	m := members{{"type", []any{"string", "number", "boolean"}}, {"minLength", 1}, {"maxLength", s.most}}
	if !s.lines {
		m = append(m, member{"pattern", `^.+$`})
	}
	return m
}

type idShape struct{ reference bool }

const idPattern = `[A-Za-z][A-Za-z0-9_-]*`

// ID takes a name made of letters, digits, _ and -, that begins with a letter.
func ID() Shape { return idShape{} }

// Reference takes an id, or two joined by a point: crate.FL.
func Reference() Shape { return idShape{reference: true} }

func (s idShape) String() string {
	if s.reference {
		return "an id, or id.point"
	}
	return "an id"
}

func (s idShape) form() Form {
	if s.reference {
		return FormReference
	}
	return FormID
}
func (s idShape) takes(k yaml.Kind) bool { return k == yaml.ScalarNode }

func (s idShape) read(r *reader, n *yaml.Node, v *Value) {
	parts := []string{n.Value}
	if s.reference {
		parts = strings.SplitN(n.Value, ".", 2)
	}
	for _, part := range parts {
		if !isID(part) {
			r.refuse(v, name(v.path)+": "+shown(n.Value)+" is not "+s.String(), idHint)
			return
		}
	}
	if plain(n) && isBoolean(n.Value) {
		r.refuse(v, name(v.path)+": many programs read "+n.Value+" as yes or no", "choose another id")
		return
	}
	v.text = n.Value
}

const idHint = "an id begins with a letter and goes on with letters, digits, _ and -"

func (s idShape) schema(d *definitions) members {
	if s.reference {
		return d.reference("reference", members{
			{"type", "string"},
			{"description", "an id, or a body's id and its point joined by a point"},
			{"pattern", `^` + idPattern + `(\.` + idPattern + `)?$`},
		})
	}
	return d.reference("id", members{{"type", "string"}, {"description", idHint}, {"pattern", `^` + idPattern + `$`}})
}

func isID(text string) bool {
	for i, c := range []byte(text) {
		letter := c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z'
		if !letter && (i == 0 || !(c >= '0' && c <= '9' || c == '_' || c == '-')) {
			return false
		}
	}
	return text != ""
}

// isBoolean reports whether YAML 1.2 programs read the unquoted word as a boolean.
func isBoolean(word string) bool {
	return slices.Contains([]string{"true", "True", "TRUE", "false", "False", "FALSE"}, word)
}

type choiceShape struct {
	words []string
	fixed bool
}

// Choice takes one of these words, which must begin with a letter and may not
// be read as something else by YAML programs (true, null): otherwise it panics.
func Choice(words ...string) Shape { return newChoice(words, false) }

// Fixed takes this one text, such as the name of the format.
func Fixed(text string) Shape { return newChoice([]string{text}, true) }

func newChoice(words []string, fixed bool) Shape {
	if len(words) == 0 {
		panic("document: a choice needs words")
	}
	for _, w := range words {
		if w == "" || !isID(w[:1]) || isBoolean(w) || strings.EqualFold(w, "null") {
			panic("document: " + strconv.Quote(w) + " cannot be a word of a choice")
		}
	}
	return choiceShape{words: slices.Clone(words), fixed: fixed}
}

func (s choiceShape) String() string {
	if s.fixed || len(s.words) == 1 {
		return s.words[0]
	}
	return "one of " + strings.Join(s.words, ", ")
}
func (s choiceShape) form() Form             { return FormChoice }
func (s choiceShape) takes(k yaml.Kind) bool { return k == yaml.ScalarNode }

func (s choiceShape) read(r *reader, n *yaml.Node, v *Value) {
	if slices.Contains(s.words, n.Value) {
		v.text = n.Value
		return
	}
	if s.fixed {
		r.refuse(v, name(v.path)+" is "+shown(n.Value)+", and only "+s.words[0]+" is read here", "")
		return
	}
	hint := "it is " + s.String()
	if word := spelling.Nearest(n.Value, s.words); word != "" {
		hint = "did you mean " + word + "?"
	}
	r.refuse(v, name(v.path)+": "+shown(n.Value)+" is not known here", hint)
}

func (s choiceShape) schema(*definitions) members {
	if s.fixed {
		return members{{"const", s.words[0]}}
	}
	list := make([]any, len(s.words))
	for i, w := range s.words {
		list[i] = w
	}
	return members{{"enum", list}}
}

type yesNoShape struct{}

// YesNo takes yes, no, true or false, without quotes.
func YesNo() Shape { return yesNoShape{} }

func (yesNoShape) String() string         { return "yes or no" }
func (yesNoShape) form() Form             { return FormYesNo }
func (yesNoShape) takes(k yaml.Kind) bool { return k == yaml.ScalarNode }

func (yesNoShape) read(r *reader, n *yaml.Node, v *Value) {
	answer, known := map[string]bool{"yes": true, "true": true, "no": false, "false": false}[n.Value]
	if !known || !plain(n) {
		hint := "write yes or no"
		if known {
			hint += " without quotes"
		}
		r.refuse(v, name(v.path)+": "+shown(n.Value)+" is not yes or no", hint)
		return
	}
	v.text, v.yes = n.Value, answer
}

func (yesNoShape) schema(*definitions) members {
	return members{{"enum", []any{true, false, "yes", "no"}}}
}

type dateShape struct{}

// Date takes a day of the calendar as YYYY-MM-DD.
func Date() Shape { return dateShape{} }

func (dateShape) String() string         { return "a date" }
func (dateShape) form() Form             { return FormDate }
func (dateShape) takes(k yaml.Kind) bool { return k == yaml.ScalarNode }

func (dateShape) read(r *reader, n *yaml.Node, v *Value) {
	date, err := time.Parse(time.DateOnly, n.Value)
	if err != nil {
		r.refuse(v, name(v.path)+": "+shown(n.Value)+" is not a date", "a day that exists, as 2026-05-31 (year, month, day)")
		return
	}
	v.text, v.date = n.Value, date
}

func (dateShape) schema(d *definitions) members {
	return d.reference("date", members{
		{"type", "string"},
		{"description", "a day as year-month-day"},
		{"format", "date"},
		{"pattern", `^[0-9]{4}-[0-9]{2}-[0-9]{2}$`},
	})
}
