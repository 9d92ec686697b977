package document

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"
)

// Shape declares what a value may be. Shapes are made by the functions of this
// package; they do not change and may be used in several places.
type Shape interface {
	// String says what is wanted, in plain words with an article.
	String() string

	form() Form
	// takes reports whether a node of this kind can be read at all.
	takes(yaml.Kind) bool
	// read fills in a value from a node that is taken, and reports problems.
	read(*reader, *yaml.Node, *Value)
	// schema describes the shape as JSON Schema.
	schema(*definitions) members
}

// Read reads a file by its shape within [DefaultLimits]. The value is nil where
// the file is not YAML of our subset at all. Problems are sorted by line, and
// at most about a hundred are given. Where there is none, every value fits.
func Read(data []byte, shape Shape) (*Value, []Problem) {
	return ReadWithin(data, shape, DefaultLimits)
}

// ReadWithin is [Read] within other limits.
func ReadWithin(data []byte, shape Shape, limits Limits) (*Value, []Problem) {
	root, lines, problems := parse(data, limits)
	if root == nil {
		return nil, sortedAndCut(problems)
	}
	r := &reader{places: map[string]place{}, lines: lines}
	value := r.value(shape, root, "", place{root.Line, root.Column})
	return value, sortedAndCut(append(problems, r.problems...))
}

// reader collects what is found while a shape is read.
type reader struct {
	problems []Problem
	places   map[string]place
	lines    int // of the file
}

// value reads one node by its shape. The place is that of its key or entry.
func (r *reader) value(shape Shape, n *yaml.Node, path string, at place) *Value {
	if at.line > r.lines {
		// The parser puts a value that is missing at the end one line after it.
		at = place{r.lines, 1}
	}
	v := &Value{form: shape.form(), path: path, line: at.line, column: at.column, places: r.places}
	r.places[path] = at
	switch {
	case n.Kind == yaml.AliasNode:
		v.wrong = true // reported by the checker
	case isNull(n):
		r.refuse(v, name(path)+" has no value", shape.String()+" is needed here")
	case !shape.takes(n.Kind):
		r.refuse(v, name(path)+" is "+nodeWords(n)+", and "+shape.String()+" is needed here", "")
	default:
		shape.read(r, n, v)
	}
	return v
}

// refuse marks the value as wrong and says why.
func (r *reader) refuse(v *Value, text, hint string) {
	v.wrong = true
	r.problems = append(r.problems, v.Problem(text, hint))
}

// name is what a message calls the value with this path: the last part of it.
func name(path string) string {
	if path == "" {
		return "the file"
	}
	return shown(path[strings.LastIndex(path, ".")+1:])
}

func childPath(path, key string) string {
	if !isID(key) {
		key = shown(key) // an unknown key may be anything
	}
	if path == "" {
		return key
	}
	return path + "." + key
}

func itemPath(path string, i int) string { return path + "[" + strconv.Itoa(i) + "]" }

// childPlace is the place of a value under a key: the value's own for a scalar,
// the key's for what may begin on a later line.
func childPlace(key, n *yaml.Node) place {
	if n.Kind == yaml.ScalarNode && !isNull(n) {
		return place{n.Line, n.Column}
	}
	return place{key.Line, key.Column}
}

func nodeWords(n *yaml.Node) string {
	switch n.Kind {
	case yaml.SequenceNode:
		return "a list"
	case yaml.MappingNode:
		return "an object with keys"
	default:
		return "the single value " + shown(n.Value)
	}
}

// shown cuts a text to a length fit for a message and takes out what would
// break the line.
func shown(text string) string {
	const most = 60
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
