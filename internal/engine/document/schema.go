package document

import (
	"bytes"
	"encoding/json"
	"math"
	"slices"
	"strings"
)

// About is what a schema says of itself.
type About struct {
	ID          string // a URI; may be empty
	Title       string
	Description string
}

// Schema writes the JSON Schema (draft 2020-12) of a shape: the same bytes for
// the same shape, keys in the order in which they were declared. Whatever Read
// accepts fits the schema, once the YAML is read as YAML 1.2 reads it; Read
// also refuses some that a schema cannot describe (two ids alike, 31 February).
func Schema(shape Shape, about About) []byte {
	d := &definitions{}
	m := members{{"$schema", "https://json-schema.org/draft/2020-12/schema"}}
	if about.ID != "" {
		m = append(m, member{"$id", about.ID})
	}
	if about.Title != "" {
		m = append(m, member{"title", about.Title})
	}
	body := shape.schema(d)
	if about.Description != "" {
		body = body.with("description", about.Description)
	}
	m = append(m, body...)
	if len(d.list) > 0 {
		slices.SortFunc(d.list, func(a, b member) int { return strings.Compare(a.key, b.key) })
		m = append(m, member{"$defs", d.list})
	}
	var out bytes.Buffer
	write(&out, m, "")
	out.WriteByte('\n')
	return out.Bytes()
}

// definitions are the shapes written once and referred to by name.
type definitions struct{ list members }

// reference files a definition under its name, once, and refers to it.
func (d *definitions) reference(name string, m members) members {
	if !slices.ContainsFunc(d.list, func(have member) bool { return have.key == name }) {
		d.list = append(d.list, member{name, m})
	}
	return members{{"$ref", "#/$defs/" + name}}
}

// members is a JSON object that keeps its order. A value is a string, bool,
// int, float64, []any or members.
type members []member

type member struct {
	key   string
	value any
}

// with sets a member, in front.
func (m members) with(key string, value any) members {
	out := members{{key, value}}
	for _, have := range m {
		if have.key != key {
			out = append(out, have)
		}
	}
	return out
}

func write(out *bytes.Buffer, value any, indent string) {
	inner := indent + "  "
	switch v := value.(type) {
	case members:
		if len(v) == 0 {
			out.WriteString("{}")
			return
		}
		for i, m := range v {
			out.WriteString(opening(i, "{") + inner)
			writeScalar(out, m.key)
			out.WriteString(": ")
			write(out, m.value, inner)
		}
		out.WriteString("\n" + indent + "}")
	case []any:
		if len(v) == 0 {
			out.WriteString("[]")
			return
		}
		for i, item := range v {
			out.WriteString(opening(i, "[") + inner)
			write(out, item, inner)
		}
		out.WriteString("\n" + indent + "]")
	default:
		writeScalar(out, v)
	}
}

func opening(i int, bracket string) string {
	if i == 0 {
		return bracket + "\n"
	}
	return ",\n"
}

func writeScalar(out *bytes.Buffer, value any) {
	if x, ok := value.(float64); ok && (math.IsNaN(x) || math.IsInf(x, 0)) {
		panic("document: a schema cannot hold a number that is not finite")
	}
	var text bytes.Buffer
	encoder := json.NewEncoder(&text)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(value); err != nil {
		panic("document: a schema holds what JSON cannot: " + err.Error())
	}
	out.Write(bytes.TrimSuffix(text.Bytes(), []byte("\n")))
}
