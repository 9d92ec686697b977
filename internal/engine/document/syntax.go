package document

import (
	"bytes"
	"errors"
	"io"
	"sort"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"
)

// Limits bound what is read, so that a hostile file costs little.
type Limits struct {
	Bytes int // size of the file
	Depth int // lists and mappings inside each other
	Nodes int // values and keys
}

// DefaultLimits are far above what a rig needs.
var DefaultLimits = Limits{Bytes: 1 << 20, Depth: 32, Nodes: 100_000}

// source is the text of a file as the parser sees it.
type source struct {
	text  []byte   // without byte order mark, lines ending in \n
	lines []string // without their ends
}

// parse turns bytes into the one YAML node of the file and its number of
// lines, or into problems; into both where the problems do not hide the rest.
func parse(data []byte, limits Limits) (*yaml.Node, int, []Problem) {
	if len(data) > limits.Bytes {
		return nil, 0, []Problem{fileProblem(1, 1, "the file has "+strconv.Itoa(len(data))+" bytes", "at most "+strconv.Itoa(limits.Bytes)+" are read")}
	}
	src, problems := newSource(data)
	if len(problems) > 0 {
		return nil, 0, problems
	}
	root, problems := src.decode()
	if len(problems) > 0 {
		return nil, 0, problems
	}
	c := checker{source: src, limits: limits}
	c.check(root, 1)
	if c.stopped {
		return nil, 0, c.problems
	}
	return root, len(src.lines), c.problems
}

func fileProblem(line, column int, text, hint string) Problem {
	return Problem{Line: line, Column: column, Text: text, Hint: hint}
}

// newSource checks the characters. All line ends but \n and \r\n are refused,
// because programs disagree on what they count as a line.
func newSource(data []byte) (source, []Problem) {
	text := bytes.TrimPrefix(data, []byte("\ufeff"))
	text = bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n"))
	src := source{text: text, lines: strings.Split(string(text), "\n")}
	if n := len(src.lines); n > 1 && src.lines[n-1] == "" {
		src.lines = src.lines[:n-1]
	}
	var problems []Problem
	content := false
	for i, line := range src.lines {
		if !content && strings.HasPrefix(line, "%") {
			problems = append(problems, fileProblem(i+1, 1, "a YAML directive is not read here", "leave out the line that begins with %"))
		}
		content = content || strings.TrimSpace(line) != "" && line[0] != '#' && line[0] != '%'
		if p, bad := badCharacter(line); bad {
			p.Line = i + 1
			problems = append(problems, p)
		}
	}
	return src, problems
}

// badCharacter finds the first character of a line that may not stand in a file.
func badCharacter(line string) (Problem, bool) {
	column := 0
	for i, r := range line {
		column++
		p := Problem{Column: column}
		switch {
		case r == utf8.RuneError && !strings.HasPrefix(line[i:], "\ufffd"):
			p.Text, p.Hint = "the text is not UTF-8", "save the file as UTF-8"
		case r == '\t':
			p.Text, p.Hint = "a tab stands here", "use spaces"
		case r == '\r':
			p.Text, p.Hint = "a carriage return stands here alone", "end lines with a line feed"
		case unicode.IsControl(r), r == '\u2028', r == '\u2029', r == '\ufeff', r >= '\ufffe' && r <= '\uffff':
			p.Text, p.Hint = "a control character (U+"+strings.ToUpper(strconv.FormatInt(int64(r)|0x10000, 16)[1:])+") stands here", "remove it"
		default:
			continue
		}
		return p, true
	}
	return Problem{}, false
}

// decode parses the text and sees to it that it is one document.
func (s source) decode() (*yaml.Node, []Problem) {
	decoder := yaml.NewDecoder(bytes.NewReader(s.text))
	var document, further yaml.Node
	err := decoder.Decode(&document)
	switch {
	case errors.Is(err, io.EOF):
		return nil, []Problem{fileProblem(1, 1, "the file is empty", "")}
	case err != nil:
		return nil, []Problem{s.syntaxProblem(err)}
	}
	err = decoder.Decode(&further)
	switch {
	case errors.Is(err, io.EOF):
	case err != nil:
		return nil, []Problem{s.syntaxProblem(err)}
	default:
		return nil, []Problem{fileProblem(s.within(further.Line), 1, "a second document begins here", "one file is one document: leave out ---")}
	}
	if len(document.Content) != 1 {
		return nil, []Problem{fileProblem(1, 1, "the file is empty", "")}
	}
	return document.Content[0], nil
}

func (s source) within(line int) int { return min(max(line, 1), len(s.lines)) }

// plainSyntax says the parser's messages in our words. The longest fitting
// beginning is used.
var plainSyntax = []struct{ theirs, text, hint string }{
	{"mapping values are not allowed in this context", "a key with a colon cannot stand here", "put text that contains a colon in quotes, and start each key on a line of its own"},
	{"could not find expected ':'", "a key has no colon", "write key: value"},
	{"did not find expected key", "this line does not fit the lines above it", "keys of one object start in the same column"},
	{"did not find expected '-' indicator", "this line does not fit the list above it", "entries of one list start in the same column with - "},
	{"did not find expected ',' or ']'", "a list in [ ] is not closed, or a comma is missing in it", "write [a, b, c]"},
	{"did not find expected ',' or '}'", "an object in { } is not closed, or a comma is missing in it", "write {key: value, key: value}"},
	{"did not find expected node content", "a value is missing or begins with a sign that must be in quotes", "put text with special signs in quotes"},
	{"did not find expected <document start>", "the text goes on where the document has ended", "indent what belongs together, and do not mix forms at the top of the file"},
	{"found unexpected end of stream", "a quoted text that begins here is not closed", "close the quotes"},
	{"found unexpected document indicator", "a quoted text is not closed", "close the quotes"},
	{"found unknown escape character", "a backslash in double quotes is followed by a sign that it cannot have", "use single quotes"},
	{"found character that cannot start any token", "a value cannot begin with this sign", "put it in quotes"},
	{"block sequence entries are not allowed in this context", "a list entry cannot stand here", "start the list on a line of its own"},
	{"block collections are not allowed in this context", "a list or object cannot begin here", "start it on a line of its own"},
	{"unknown anchor", "an alias (*) is not read here", "write the value out, or put the text in quotes"},
	{"exceeded max depth", "lists and objects are nested too deeply", ""},
}

// syntaxProblem finds the line and the words for a parser's error.
func (s source) syntaxProblem(err error) Problem {
	line, message := splitError(err)
	p := fileProblem(s.within(line), 1, "this is not valid YAML ("+message+")", "")
	for _, plain := range plainSyntax {
		if strings.HasPrefix(message, plain.theirs) {
			p.Text, p.Hint = plain.text, plain.hint
			break
		}
	}
	switch {
	case strings.HasPrefix(message, "unknown anchor"):
		name := strings.Split(message+"''", "'")[1]
		for i, text := range s.lines {
			if strings.Contains(text, "*"+name) {
				p.Line = i + 1
				break
			}
		}
	case strings.HasPrefix(message, "did not find expected"):
		// Of these errors the parser gives the line where the surrounding block
		// begins, and counts it from 0.
		if line > 0 {
			p.Line = s.within(line + 1)
		}
		if !strings.Contains(message, "',' or") {
			p.Line = s.firstLineFailing(message, p.Line)
		}
	}
	return p
}

// splitError takes the line, 0 if none is named, off a parser's error.
func splitError(err error) (int, string) {
	message := strings.TrimPrefix(err.Error(), "yaml: ")
	rest, ok := strings.CutPrefix(message, "line ")
	if !ok {
		return 0, message
	}
	number, text, ok := strings.Cut(rest, ": ")
	line, conversion := strconv.Atoi(number)
	if !ok || conversion != nil {
		return 0, message
	}
	return line, text
}

// firstLineFailing searches the line at which an error first appears when the
// file is read up to there. The search halves, so it may miss where errors come
// and go; then the fallback is used, as for files too large to parse often.
func (s source) firstLineFailing(message string, fallback int) int {
	const large = 256 << 10
	if len(s.text) > large {
		return fallback
	}
	fails := func(lines int) bool {
		var node yaml.Node
		err := yaml.Unmarshal([]byte(strings.Join(s.lines[:lines], "\n")+"\n"), &node)
		if err == nil {
			return false
		}
		_, text := splitError(err)
		return text == message
	}
	found := 1 + sort.Search(len(s.lines)-1, func(i int) bool { return fails(i + 1) })
	if !fails(found) {
		return fallback
	}
	return found
}
