package document

import (
	"errors"
	"strings"

	"go.yaml.in/yaml/v3"

	"hangtrue/internal/engine/quantity"
)

// QuantityShape is a number with a unit.
type QuantityShape struct {
	kinds []quantity.Kind
	sign  sign
}

type sign int

const (
	anySign sign = iota
	notNegative
	positive
)

// Quantity takes a quantity of one of these kinds.
func Quantity(kinds ...quantity.Kind) QuantityShape {
	if len(kinds) == 0 {
		panic("document: a quantity needs a kind")
	}
	return QuantityShape{kinds: kinds}
}

// NotNegative refuses a minus sign. It looks at the number as typed, so it
// makes no sense for temperatures.
func (s QuantityShape) NotNegative() QuantityShape { s.sign = notNegative; return s }

// Positive refuses a minus sign and zero, as typed.
func (s QuantityShape) Positive() QuantityShape { s.sign = positive; return s }

// String says what is wanted.
func (s QuantityShape) String() string {
	words := make([]string, len(s.kinds))
	for i, k := range s.kinds {
		words[i] = k.String()
	}
	return either(words)
}

func (s QuantityShape) form() Form             { return FormQuantity }
func (s QuantityShape) takes(k yaml.Kind) bool { return k == yaml.ScalarNode }

func (s QuantityShape) read(r *reader, n *yaml.Node, v *Value) {
	q, err := quantity.Parse(n.Value, s.kinds...)
	switch {
	case err != nil:
		text, hint := quantityWords(err)
		r.refuse(v, name(v.path)+": "+text, hint)
		return
	case s.sign != anySign && strings.HasPrefix(n.Value, "-"):
		r.refuse(v, name(v.path)+": "+shown(n.Value)+" is negative", s.wantedSign())
		return
	case s.sign == positive && q.Typed == 0:
		r.refuse(v, name(v.path)+": "+shown(n.Value)+" is zero", s.wantedSign())
		return
	}
	v.text, v.first = n.Value, q
}

func (s QuantityShape) wantedSign() string {
	if s.sign == positive {
		return "it must be above zero"
	}
	return "it must be zero or above"
}

func (s QuantityShape) schema(d *definitions) members {
	name, pattern := "", "^"+quantity.UnsignedPatternPart(s.kinds...)+"$"
	if s.sign == anySign {
		pattern = quantity.Pattern(s.kinds...)
	} else {
		name = "unsigned "
	}
	for i, k := range s.kinds {
		if i > 0 {
			name += " or "
		}
		_, word, _ := strings.Cut(k.String(), " ")
		name += word
	}
	return d.reference(strings.ReplaceAll(name, " ", "-"), members{
		{"type", "string"},
		{"description", s.String() + ": a number, a space and a unit"},
		{"pattern", pattern},
	})
}

// quantityWords takes text and hint from an error of package quantity.
func quantityWords(err error) (text, hint string) {
	var e *quantity.Error
	if errors.As(err, &e) {
		return e.Text, e.Hint
	}
	return err.Error(), ""
}

type stretchShape struct{}

// Stretch takes what a line stretches under a pull: "8 % at 27.8 kN". The
// percentage and the force are above zero.
func Stretch() Shape { return stretchShape{} }

const stretchExample = "for example 8 % at 27.8 kN"

func (stretchShape) String() string         { return "a stretch (" + stretchExample + ")" }
func (stretchShape) form() Form             { return FormStretch }
func (stretchShape) takes(k yaml.Kind) bool { return k == yaml.ScalarNode }

func (stretchShape) read(r *reader, n *yaml.Node, v *Value) {
	percentage, pull, ok := strings.Cut(n.Value, " at ")
	if !ok {
		r.refuse(v, name(v.path)+": "+shown(n.Value)+" does not say at which pull", "a percentage at a force, "+stretchExample)
		return
	}
	stretch, err := quantity.Parse(percentage, quantity.Percent)
	if err != nil {
		text, hint := quantityWords(err)
		r.refuse(v, name(v.path)+": "+text, hint)
		return
	}
	force, err := quantity.Parse(pull, quantity.Force)
	if err != nil {
		text, hint := quantityWords(err)
		r.refuse(v, name(v.path)+": "+text, hint)
		return
	}
	if stretch.Value <= 0 || force.Value <= 0 || strings.HasPrefix(percentage, "-") || strings.HasPrefix(pull, "-") {
		r.refuse(v, name(v.path)+": "+shown(n.Value)+" is not a stretch", "percentage and force must be above zero")
		return
	}
	v.text, v.first, v.second = n.Value, stretch, force
}

func (stretchShape) schema(d *definitions) members {
	return d.reference("stretch", members{
		{"type", "string"},
		{"description", "a percentage at a force, " + stretchExample},
		{"pattern", "^" + quantity.UnsignedPatternPart(quantity.Percent) + " at " + quantity.UnsignedPatternPart(quantity.Force) + "$"},
	})
}

// either joins words as a, b or c.
func either(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}
