package web

import (
	"slices"
	"strconv"
	"strings"
	"unicode"

	"hangtrue/internal/engine/document"
)

// loose takes an object of any texts, lists and objects, so that a form can show
// what was typed even where it is wrong; to the depth that our files have.
var loose = document.Map(looseShape(5), 0, 400)

func looseShape(depth int) document.Shape {
	text := document.Lines(20000)
	if depth == 0 {
		return text
	}
	inner := looseShape(depth - 1)
	return document.OneOf(text, document.List(inner, 0, 400), document.Map(inner, 0, 400))
}

// typed are the values of a file as they were typed, by path: hooks[0].rated.
// The texts of a list of texts stand together under the list's path as well,
// with commas between them, so that a place is one field.
type typed map[string]string

// typedOf reads a file's values; ok is false where it is not a file of keys and
// values at all.
func typedOf(data []byte) (t typed, ok bool) {
	v, _ := document.Read(data, loose)
	if v == nil || v.Form() != document.FormMap || len(v.Keys()) == 0 {
		return nil, false
	}
	t = typed{}
	t.add(v)
	return t, true
}

func (t typed) add(v *document.Value) {
	switch v.Form() {
	case document.FormText:
		t[v.Path()] = strings.TrimRight(v.Text(), "\n")
	case document.FormList:
		var words []string
		flat := true
		for _, x := range v.Items() {
			t.add(x)
			flat = flat && x.Form() == document.FormText
			words = append(words, x.Text())
		}
		if flat {
			t[v.Path()] = strings.Join(words, ", ")
		}
	case document.FormMap:
		for _, key := range v.Keys() {
			t.add(v.Get(key))
		}
	}
}

// entries says how many entries the list at a path has.
func (t typed) entries(path string) int {
	n := 0
	for p := range t {
		rest, ok := strings.CutPrefix(p, path+"[")
		if !ok {
			continue
		}
		number, _, _ := strings.Cut(rest, "]")
		if i, err := strconv.Atoi(number); err == nil && i >= n && i < mostEntries {
			n = i + 1
		}
	}
	return n
}

// mostEntries bounds what a form shows of a list.
const mostEntries = 100

// yamlScalar writes a text as YAML, in quotes where it could be read as something
// else.
func yamlScalar(text string) string {
	if plainYAML(text) {
		return text
	}
	return strconv.Quote(text)
}

func plainYAML(text string) bool {
	switch text {
	case "", "null", "Null", "NULL":
		return false
	}
	for i, c := range text {
		switch {
		case unicode.IsLetter(c), unicode.IsDigit(c):
		case i > 0 && strings.ContainsRune(" .%/()+_–—°²³'", c):
		case c == '-' && len(text) > 1 && text[1] != ' ':
		default:
			return false
		}
	}
	return !strings.HasSuffix(text, " ")
}

// yamlTuple writes texts with commas between them as a list.
func yamlTuple(text string) string {
	var words []string
	for word := range strings.SplitSeq(text, ",") {
		if word = strings.TrimSpace(word); word != "" {
			words = append(words, yamlScalar(word))
		}
	}
	return "[" + strings.Join(words, ", ") + "]"
}

// yamlBlock writes a text of several lines as YAML under its key.
func yamlBlock(key, text string) string {
	text = strings.TrimSpace(text)
	if text == "" {
		return ""
	}
	if !strings.Contains(text, "\n") {
		return key + ": " + yamlScalar(text) + "\n"
	}
	var b strings.Builder
	b.WriteString(key + ": |\n")
	for line := range strings.SplitSeq(text, "\n") {
		if line = strings.TrimRight(line, " \t"); line != "" {
			b.WriteString("  " + line)
		}
		b.WriteString("\n")
	}
	return b.String()
}

// withKey puts what is written of a key of the file's outermost object in place
// of what stands there, or at the file's end; "" takes the key out. All other
// lines stay as they are.
func withKey(text, key, written string) string {
	lines := strings.SplitAfter(text, "\n")
	from := slices.IndexFunc(lines, func(l string) bool {
		rest, ok := strings.CutPrefix(l, key)
		return ok && strings.HasPrefix(strings.TrimLeft(rest, " "), ":")
	})
	if from < 0 {
		if written == "" {
			return text
		}
		if text != "" && !strings.HasSuffix(text, "\n") {
			text += "\n"
		}
		return text + written
	}
	to := from + 1
	for to < len(lines) && lines[to] != "" && !beginsKey(lines[to]) {
		to++
	}
	// Notes and empty lines in front of the next key belong to that.
	for to > from+1 && (strings.TrimSpace(lines[to-1]) == "" || lines[to-1][0] == '#') {
		to--
	}
	return strings.Join(lines[:from], "") + written + strings.Join(lines[to:], "")
}

// beginsKey reports whether a line begins another key of the outermost object.
func beginsKey(line string) bool {
	return !strings.ContainsAny(line[:1], " \t#-]}\r\n")
}
