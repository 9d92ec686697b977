package audit

import (
	"fmt"
	"strings"

	"go.yaml.in/yaml/v3"

	"hangtrue/internal/engine/quantity"
)

// typed reads values of a rig file as they stand there. The first thing that
// cannot be read is kept; the rig file has its own reader that explains
// mistakes, so here it is enough to stop.
type typed struct{ err error }

func (t *typed) fail(format string, args ...any) {
	if t.err == nil {
		t.err = fmt.Errorf("rig file: "+format, args...)
	}
}

func (t *typed) file(data []byte) map[string]any {
	var root map[string]any
	if err := yaml.Unmarshal(data, &root); err != nil {
		t.fail("it is not YAML with keys: %v", err)
	}
	if f := root["format"]; f != "hangtrue.rig/1" {
		t.fail("its format is %v; hangtrue.rig/1 is known here", f)
	}
	return root
}

func (t *typed) object(v any, what string) map[string]any {
	m, ok := v.(map[string]any)
	if !ok && v != nil {
		t.fail("%s is not an object with keys", what)
	}
	return m
}

func (t *typed) list(v any, what string) []any {
	l, ok := v.([]any)
	if !ok && v != nil {
		t.fail("%s is not a list", what)
	}
	return l
}

func text(v any) string {
	s, _ := v.(string)
	return s
}

func (t *typed) si(v any, kind quantity.Kind, what string) float64 {
	q, err := quantity.Parse(text(v), kind)
	if err != nil {
		t.fail("%s: %v", what, err)
	}
	return q.Value
}

// optional returns nil where nothing is written.
func (t *typed) optional(v any, kind quantity.Kind, what string) *float64 {
	if v == nil {
		return nil
	}
	x := t.si(v, kind, what)
	return &x
}

func (t *typed) length(v any, what string) float64 {
	if v == nil {
		return 0
	}
	return t.si(v, quantity.Length, what)
}

func (t *typed) position(v any, what string) vec {
	var out vec
	l := t.list(v, what)
	if v != nil && len(l) != 3 {
		t.fail("%s has %d numbers instead of 3", what, len(l))
		return out
	}
	for i, x := range l {
		out[i] = t.si(x, quantity.Length, what)
	}
	return out
}

func (t *typed) number(v any, what string) float64 {
	switch x := v.(type) {
	case int:
		return float64(x)
	case float64:
		return x
	}
	t.fail("%s is not a number", what)
	return 0
}

// stiffness reads "p % at F" and returns EA = F/(p/100), N.
func (t *typed) stiffness(v any, what string) float64 {
	ratio, force, _ := strings.Cut(text(v), " at ")
	r, f := t.si(ratio, quantity.Percent, what), t.si(force, quantity.Force, what)
	if r <= 0 || f <= 0 {
		t.fail("%s does not stretch", what)
		return 1
	}
	return f / r
}
