package document

import (
	"strconv"

	"go.yaml.in/yaml/v3"

	"hangtrue/internal/engine/spelling"
)

type listShape struct {
	of          Shape
	least, most int // entries
	tuple       bool
}

// List takes a list of so many entries of one shape.
func List(of Shape, least, most int) Shape { return listShape{of: of, least: least, most: most} }

// Tuple takes a list of exactly n entries of one shape: three lengths are a place.
func Tuple(of Shape, n int) Shape { return listShape{of: of, least: n, most: n, tuple: true} }

func (s listShape) String() string {
	if s.tuple {
		return "a list of " + strconv.Itoa(s.least) + " (each " + s.of.String() + ")"
	}
	return "a list"
}
func (s listShape) form() Form             { return FormList }
func (s listShape) takes(k yaml.Kind) bool { return k == yaml.SequenceNode }

func (s listShape) read(r *reader, n *yaml.Node, v *Value) {
	for i, item := range n.Content {
		v.items = append(v.items, r.value(s.of, item, itemPath(v.path, i), place{item.Line, item.Column}))
	}
	count := len(n.Content)
	switch {
	case s.tuple && count != s.least:
		r.refuse(v, name(v.path)+" has "+spelling.Count(count, "entry", "entries"), "exactly "+strconv.Itoa(s.least)+" are needed")
	case count < s.least:
		r.refuse(v, name(v.path)+" has "+spelling.Count(count, "entry", "entries"), "at least "+strconv.Itoa(s.least)+" needed")
	case count > s.most:
		r.refuse(v, name(v.path)+" has "+spelling.Count(count, "entry", "entries"), "at most "+strconv.Itoa(s.most)+" fit")
	}
}

func (s listShape) schema(d *definitions) members {
	return members{{"type", "array"}, {"items", s.of.schema(d)}, {"minItems", s.least}, {"maxItems", s.most}}
}

type mapShape struct {
	of          Shape
	least, most int
}

// Map takes so many ids of the user's own, each with a value of one shape.
func Map(of Shape, least, most int) Shape { return mapShape{of, least, most} }

func (s mapShape) String() string         { return "an object of ids, each with " + s.of.String() }
func (s mapShape) form() Form             { return FormMap }
func (s mapShape) takes(k yaml.Kind) bool { return k == yaml.MappingNode }

func (s mapShape) read(r *reader, n *yaml.Node, v *Value) {
	v.members = map[string]*Value{}
	count := 0
	for key, child := range pairs(n) {
		count++
		path := childPath(v.path, key.Value)
		if !isID(key.Value) {
			at := &Value{path: path, line: key.Line, column: key.Column}
			r.refuse(at, shown(key.Value)+" is not an id", idHint)
			continue
		}
		v.keys = append(v.keys, key.Value)
		v.members[key.Value] = r.value(s.of, child, path, childPlace(key, child))
	}
	switch {
	case count < s.least:
		r.refuse(v, name(v.path)+" has "+spelling.Count(count, "entry", "entries"), "at least "+strconv.Itoa(s.least)+" needed")
	case count > s.most:
		r.refuse(v, name(v.path)+" has "+spelling.Count(count, "entry", "entries"), "at most "+strconv.Itoa(s.most)+" fit")
	}
}

func (s mapShape) schema(d *definitions) members {
	return members{
		{"type", "object"},
		{"propertyNames", members{{"pattern", "^" + idPattern + "$"}}},
		{"additionalProperties", s.of.schema(d)},
		{"minProperties", s.least},
		{"maxProperties", s.most},
	}
}

// pairs goes through the keys of a mapping and their values, leaving out what
// the checker has refused: keys that are no words, and the second of a key.
func pairs(n *yaml.Node) func(func(key, value *yaml.Node) bool) {
	return func(yield func(key, value *yaml.Node) bool) {
		seen := map[string]bool{}
		for i := 0; i+1 < len(n.Content); i += 2 {
			key := n.Content[i]
			if key.Kind != yaml.ScalarNode || isNull(key) || key.Tag == "!!merge" || seen[key.Value] {
				continue
			}
			seen[key.Value] = true
			if !yield(key, n.Content[i+1]) {
				return
			}
		}
	}
}
