package document

import (
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"hangtrue/internal/engine/spelling"
)

// Field is one key of an object.
type Field struct {
	key      string
	shape    Shape
	required bool
	doc      string
	example  string
}

// Required declares a key that must be written. The doc is one sentence for
// people who write the file.
func Required(key string, shape Shape, doc string) Field {
	return Field{key: key, shape: shape, required: true, doc: doc}
}

// Optional declares a key that may be left out.
func Optional(key string, shape Shape, doc string) Field {
	return Field{key: key, shape: shape, doc: doc}
}

// Example adds an example of the value, as it is typed.
func (f Field) Example(text string) Field { f.example = text; return f }

// ObjectShape is an object with known keys.
type ObjectShape struct {
	fields []Field
	groups []group
}

// group is a set of keys of which at most one, or exactly one, may be written.
type group struct {
	keys    []string
	exactly bool
}

// Object takes an object with these keys and no others. It panics where a key
// is declared twice.
func Object(fields ...Field) ObjectShape {
	seen := map[string]bool{}
	for _, f := range fields {
		if seen[f.key] || f.key == "" || f.shape == nil {
			panic("document: the key " + f.key + " is declared twice, or has no name or shape")
		}
		seen[f.key] = true
	}
	return ObjectShape{fields: slices.Clone(fields)}
}

// ExactlyOne demands exactly one of these keys.
func (s ObjectShape) ExactlyOne(keys ...string) ObjectShape { return s.with(group{keys, true}) }

// AtMostOne allows only one of these keys.
func (s ObjectShape) AtMostOne(keys ...string) ObjectShape { return s.with(group{keys, false}) }

func (s ObjectShape) with(g group) ObjectShape {
	for _, key := range g.keys {
		if f, ok := s.field(key); !ok || f.required {
			panic("document: " + key + " is not an optional key of this object")
		}
	}
	s.groups = append(slices.Clone(s.groups), g)
	return s
}

// String names the object by its required keys.
func (s ObjectShape) String() string {
	var keys []string
	for _, f := range s.fields {
		if f.required {
			keys = append(keys, f.key)
		}
	}
	if len(keys) == 0 {
		keys = s.keys()
	}
	if len(keys) > 4 {
		keys = append(slices.Clone(keys[:4]), "…")
	}
	return "an object with keys (" + strings.Join(keys, ", ") + ")"
}

func (s ObjectShape) form() Form             { return FormObject }
func (s ObjectShape) takes(k yaml.Kind) bool { return k == yaml.MappingNode }

func (s ObjectShape) keys() []string {
	keys := make([]string, len(s.fields))
	for i, f := range s.fields {
		keys[i] = f.key
	}
	return keys
}

func (s ObjectShape) field(key string) (Field, bool) {
	for _, f := range s.fields {
		if f.key == key {
			return f, true
		}
	}
	return Field{}, false
}

func (s ObjectShape) read(r *reader, n *yaml.Node, v *Value) {
	v.members, v.mistyped = map[string]*Value{}, map[string]bool{}
	var unknown []*yaml.Node
	for key, child := range pairs(n) {
		f, known := s.field(key.Value)
		if !known {
			unknown = append(unknown, key)
			continue
		}
		v.keys = append(v.keys, f.key)
		v.members[f.key] = r.value(f.shape, child, childPath(v.path, f.key), childPlace(key, child))
	}
	s.refuseKeys(r, unknown, v)
	for _, f := range s.fields {
		if f.required && !v.Has(f.key) && !v.mistyped[f.key] {
			hint := "add " + f.key + ": " + f.example
			if f.example == "" {
				hint = "add " + f.key + ": " + f.shape.String()
			}
			r.refuse(v, name(v.path)+" has no "+f.key, hint)
		}
	}
	for _, g := range s.groups {
		g.check(r, v)
	}
}

// refuseKeys reports keys that the object does not have, and remembers which
// keys were probably meant: one of those not written.
func (s ObjectShape) refuseKeys(r *reader, unknown []*yaml.Node, v *Value) {
	free := slices.DeleteFunc(s.keys(), v.Has)
	for _, key := range unknown {
		hint := "known are " + strings.Join(s.keys(), ", ")
		if meant := spelling.Nearest(key.Value, free); meant != "" {
			hint = "did you mean " + meant + "?"
			v.mistyped[meant] = true
		}
		v.wrong = true
		at := &Value{path: childPath(v.path, key.Value), line: key.Line, column: key.Column}
		r.refuse(at, "the key "+shown(key.Value)+" is not known here", hint)
	}
}

func (g group) check(r *reader, v *Value) {
	var written []string
	missed := false
	for _, key := range g.keys {
		if v.Has(key) {
			written = append(written, key)
		}
		missed = missed || v.mistyped[key]
	}
	switch {
	case len(written) > 1:
		r.refuse(v, name(v.path)+" has "+strings.Join(written, " and "), "only one of "+strings.Join(g.keys, ", ")+" can be given")
	case len(written) == 0 && g.exactly && !missed:
		r.refuse(v, name(v.path)+" has none of "+strings.Join(g.keys, ", "), "exactly one is needed")
	}
}

func (s ObjectShape) schema(d *definitions) members {
	var properties members
	var required []any
	for _, f := range s.fields {
		described := f.shape.schema(d)
		if f.doc != "" {
			// The key's own doc says more than that of its shape.
			described = described.with("description", f.doc)
		}
		if f.example != "" {
			described = described.with("examples", []any{f.example})
		}
		properties = append(properties, member{f.key, described})
		if f.required {
			required = append(required, f.key)
		}
	}
	m := members{{"type", "object"}, {"additionalProperties", false}}
	if len(required) > 0 {
		m = append(m, member{"required", required})
	}
	if len(s.groups) > 0 {
		var all []any
		for _, g := range s.groups {
			all = append(all, g.schema()...)
		}
		m = append(m, member{"allOf", all})
	}
	return append(m, member{"properties", properties})
}

func (g group) schema() []any {
	var each []any
	for _, key := range g.keys {
		each = append(each, members{{"required", []any{key}}})
	}
	if g.exactly {
		return []any{members{{"oneOf", each}}}
	}
	var rules []any
	for i, a := range g.keys {
		for _, b := range g.keys[i+1:] {
			rules = append(rules, members{{"not", members{{"required", []any{a, b}}}}})
		}
	}
	return rules
}
