package document

import (
	"math"
	"strconv"

	"go.yaml.in/yaml/v3"

	"hangtrue/internal/engine/quantity"
)

type integerShape struct{ least, most int }

// Integer takes a whole number from least to most, without quotes.
func Integer(least, most int) Shape { return integerShape{least, most} }

func (s integerShape) String() string {
	return "a whole number from " + strconv.Itoa(s.least) + " to " + strconv.Itoa(s.most)
}
func (s integerShape) form() Form             { return FormInteger }
func (s integerShape) takes(k yaml.Kind) bool { return k == yaml.ScalarNode }

func (s integerShape) read(r *reader, n *yaml.Node, v *Value) {
	if !plain(n) {
		r.refuse(v, name(v.path)+": "+shown(n.Value)+" is in quotes", "write "+s.String()+" without quotes")
		return
	}
	i, err := strconv.Atoi(n.Value)
	// Printing it again finds plus signs and leading zeros.
	if err != nil || strconv.Itoa(i) != n.Value {
		r.refuse(v, name(v.path)+": "+shown(n.Value)+" is not a whole number", s.String()+" is needed, digits only")
		return
	}
	if i < s.least || i > s.most {
		r.refuse(v, name(v.path)+": "+n.Value+" is out of range", "it goes from "+strconv.Itoa(s.least)+" to "+strconv.Itoa(s.most))
		return
	}
	v.text, v.integer, v.number = n.Value, i, float64(i)
}

func (s integerShape) schema(*definitions) members {
	return members{{"type", "integer"}, {"minimum", s.least}, {"maximum", s.most}}
}

type numberShape struct{ least, most float64 }

// Number takes a number without a unit from least to most, without quotes; an
// infinite bound is none. Most things have a unit and are a Quantity.
func Number(least, most float64) Shape { return numberShape{least, most} }

func (s numberShape) String() string         { return "a number without a unit" }
func (s numberShape) form() Form             { return FormNumber }
func (s numberShape) takes(k yaml.Kind) bool { return k == yaml.ScalarNode }

func (s numberShape) read(r *reader, n *yaml.Node, v *Value) {
	if !plain(n) {
		r.refuse(v, name(v.path)+": "+shown(n.Value)+" is in quotes", "write "+s.String()+" without quotes")
		return
	}
	x, err := quantity.ParseNumber(n.Value)
	if err != nil {
		text, hint := quantityWords(err)
		r.refuse(v, name(v.path)+": "+text, hint)
		return
	}
	if x < s.least || x > s.most {
		r.refuse(v, name(v.path)+": "+shown(n.Value)+" is out of range", s.rangeWords())
		return
	}
	v.text, v.number = n.Value, x
}

func (s numberShape) rangeWords() string {
	switch {
	case math.IsInf(s.least, 0):
		return "at most " + quantity.FormatNumber(s.most)
	case math.IsInf(s.most, 0):
		return "at least " + quantity.FormatNumber(s.least)
	}
	return "it goes from " + quantity.FormatNumber(s.least) + " to " + quantity.FormatNumber(s.most)
}

func (s numberShape) schema(*definitions) members {
	m := members{{"type", "number"}}
	if !math.IsInf(s.least, 0) {
		m = append(m, member{"minimum", s.least})
	}
	if !math.IsInf(s.most, 0) {
		m = append(m, member{"maximum", s.most})
	}
	return m
}
