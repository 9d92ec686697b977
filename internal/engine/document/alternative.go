package document

import (
	"maps"

	"go.yaml.in/yaml/v3"
)

type oneOfShape struct{ shapes []Shape }

// OneOf takes the first of these shapes that fits. Where none does, it reports
// what keeps the nearest from fitting: of those that take this sort of value
// at all (a scalar, a list, an object) the one that knows most of the keys, and
// then the one with the fewest problems.
func OneOf(shapes ...Shape) Shape {
	if len(shapes) < 2 {
		panic("document: OneOf needs two shapes or more")
	}
	return oneOfShape{shapes}
}

func (s oneOfShape) String() string {
	words := make([]string, len(s.shapes))
	for i, shape := range s.shapes {
		words[i] = shape.String()
	}
	return either(words)
}

func (s oneOfShape) form() Form { return FormNone }

func (s oneOfShape) takes(k yaml.Kind) bool {
	for _, shape := range s.shapes {
		if shape.takes(k) {
			return true
		}
	}
	return false
}

func (s oneOfShape) read(r *reader, n *yaml.Node, v *Value) {
	var best *Value
	var bestReader *reader
	tried, bestStrange := 0, 0
	for i, shape := range s.shapes {
		if !shape.takes(n.Kind) {
			continue
		}
		tried++
		attempt := &reader{places: map[string]place{}, lines: r.lines}
		value := attempt.value(shape, n, v.path, place{v.line, v.column})
		value.alternative = i
		strange := strangeKeys(shape, n)
		if best == nil || strange < bestStrange || strange == bestStrange && len(attempt.problems) < len(bestReader.problems) {
			best, bestReader, bestStrange = value, attempt, strange
		}
		if len(attempt.problems) == 0 {
			break // it has no strange key either, so it is the best
		}
	}
	maps.Copy(r.places, bestReader.places)
	*v = *best
	rebase(v, r.places)
	problems := bestReader.problems
	if tried > 1 && n.Kind == yaml.ScalarNode && len(problems) > 0 {
		v.form = FormNone
		problems[0].Hint = s.String() + " is needed here"
	}
	r.problems = append(r.problems, problems...)
}

// strangeKeys counts the keys of a node that an object shape does not know.
func strangeKeys(shape Shape, n *yaml.Node) int {
	object, ok := shape.(ObjectShape)
	if !ok {
		return 0
	}
	strange := 0
	for key := range pairs(n) {
		if _, known := object.field(key.Value); !known {
			strange++
		}
	}
	return strange
}

// rebase lets a value that was read on trial know all places of the file.
func rebase(v *Value, places map[string]place) {
	v.places = places
	for _, part := range v.parts() {
		rebase(part, places)
	}
}

func (s oneOfShape) schema(d *definitions) members {
	// anyOf, not oneOf: the first that fits is taken, and a second may fit too.
	list := make([]any, len(s.shapes))
	for i, shape := range s.shapes {
		list[i] = shape.schema(d)
	}
	return members{{"anyOf", list}}
}
