package document

import (
	"strings"
	"time"

	"hangtrue/internal/engine/quantity"
)

// Form says by which sort of shape a value was read.
type Form int

// The forms. FormNone is that of a value that is absent or could be none of
// several alternatives.
const (
	FormNone Form = iota
	FormQuantity
	FormStretch
	FormText
	FormID
	FormReference
	FormInteger
	FormNumber
	FormChoice
	FormYesNo
	FormDate
	FormList
	FormMap
	FormObject
)

// Value is one value of a file with its place. All methods may be called on
// nil, which stands for a value that was not written. An accessor for another
// form than the value's, or on a value that is not valid, gives the zero value.
type Value struct {
	form         Form
	path         string
	line, column int
	wrong        bool
	alternative  int

	text     string
	first    quantity.Quantity
	second   quantity.Quantity
	integer  int
	number   float64
	yes      bool
	date     time.Time
	items    []*Value
	keys     []string
	members  map[string]*Value
	mistyped map[string]bool // keys that were meant by an unknown one

	places map[string]place
}

type place struct{ line, column int }

// Given reports whether the value was written, rightly or not.
func (v *Value) Given() bool { return v != nil }

// Valid reports whether the value was written and fits its shape. A list, map
// or object answers for itself (number of entries, keys missing or unknown) and
// not for its parts, which can be asked in any case.
func (v *Value) Valid() bool { return v != nil && !v.wrong }

// Form says what the value is; where alternatives were declared, which was used.
func (v *Value) Form() Form {
	if v == nil {
		return FormNone
	}
	return v.form
}

// Alternative counts from 0 which shape of a OneOf was used, the outermost
// where they are nested. It is 0 for other shapes.
func (v *Value) Alternative() int {
	if v == nil {
		return 0
	}
	return v.alternative
}

// Path names the value from the top of the file.
func (v *Value) Path() string {
	if v == nil {
		return ""
	}
	return v.path
}

// Line counts from 1. For an object, map or list under a key it is the line of
// the key. Of nil it is 1.
func (v *Value) Line() int {
	if v == nil {
		return 1
	}
	return v.line
}

// Column counts characters from 1.
func (v *Value) Column() int {
	if v == nil {
		return 1
	}
	return v.column
}

// LineOf gives the line of the value with this path, or of the nearest value
// above it that was written. The path counts from the top of the file, on
// whatever value this is called.
func (v *Value) LineOf(path string) int { return v.placeOf(path).line }

// Problem makes a problem at the place of this value.
func (v *Value) Problem(text, hint string) Problem {
	return Problem{Path: v.Path(), Line: v.Line(), Column: v.Column(), Text: text, Hint: hint}
}

// ProblemAt makes a problem at the path, which counts from the top of the
// file, with the line that LineOf gives.
func (v *Value) ProblemAt(path, text, hint string) Problem {
	at := v.placeOf(path)
	return Problem{Path: path, Line: at.line, Column: at.column, Text: text, Hint: hint}
}

func (v *Value) placeOf(path string) place {
	if v == nil {
		return place{1, 1}
	}
	for {
		if at, ok := v.places[path]; ok {
			return at
		}
		cut := strings.LastIndexAny(path, ".[")
		if cut < 0 {
			cut = 0
		}
		if path == "" {
			return place{1, 1}
		}
		path = path[:cut]
	}
}

// Get gives the value of a key of an object or map; nil where it was not
// written.
func (v *Value) Get(key string) *Value {
	if v == nil {
		return nil
	}
	return v.members[key]
}

// Has reports whether the key was written, even if its value is wrong.
func (v *Value) Has(key string) bool { return v.Get(key) != nil }

// Missed reports whether the key was not written as such, but an unknown key
// close to it was: the reader has reported that, and a further complaint
// that the key is missing would only confuse.
func (v *Value) Missed(key string) bool { return v != nil && v.mistyped[key] }

// Keys lists the known keys of an object, or all of a map, in the order of the file.
func (v *Value) Keys() []string {
	if v == nil {
		return nil
	}
	return v.keys
}

// Items lists the entries of a list.
func (v *Value) Items() []*Value {
	if v == nil {
		return nil
	}
	return v.items
}

// Item gives one entry of a list, counted from 0; nil where there is none.
func (v *Value) Item(i int) *Value {
	if v == nil || i < 0 || i >= len(v.items) {
		return nil
	}
	return v.items[i]
}

// Text is the text of a valid scalar of any form, as typed.
func (v *Value) Text() string {
	if v == nil {
		return ""
	}
	return v.text
}

// Reference splits a reference at its point: crate.FL gives crate and FL; the
// second is empty where only an id was written.
func (v *Value) Reference() (id, point string) {
	if v.Form() != FormReference {
		return "", ""
	}
	id, point, _ = strings.Cut(v.text, ".")
	return id, point
}

// Quantity is a quantity with its unit.
func (v *Value) Quantity() quantity.Quantity {
	if v == nil {
		return quantity.Quantity{}
	}
	return v.first
}

// SI is the value of a quantity in SI units.
func (v *Value) SI() float64 { return v.Quantity().Value }

// Stretch gives the percentage and the force of a stretch.
func (v *Value) Stretch() (stretch, at quantity.Quantity) {
	if v == nil {
		return quantity.Quantity{}, quantity.Quantity{}
	}
	return v.first, v.second
}

// Vector gives the SI values of a tuple of three quantities. An entry that is
// not valid is 0: ask AllValid first.
func (v *Value) Vector() [3]float64 {
	var vector [3]float64
	for i := range vector {
		vector[i] = v.Item(i).SI()
	}
	return vector
}

// AllValid reports whether the value and everything in it is valid.
func (v *Value) AllValid() bool {
	if !v.Valid() {
		return false
	}
	for _, part := range v.parts() {
		if !part.AllValid() {
			return false
		}
	}
	return true
}

// Integer is a whole number.
func (v *Value) Integer() int {
	if v == nil {
		return 0
	}
	return v.integer
}

// Number is a number without a unit; a whole number too.
func (v *Value) Number() float64 {
	if v == nil {
		return 0
	}
	return v.number
}

// Yes is the answer of a yes or no.
func (v *Value) Yes() bool { return v != nil && v.yes }

// Date is a date at midnight UTC.
func (v *Value) Date() time.Time {
	if v == nil {
		return time.Time{}
	}
	return v.date
}

// Units lists the units of all quantities in the value, in the order of the
// file, one entry for each use.
func (v *Value) Units() []string {
	if v == nil {
		return nil
	}
	var units []string
	for _, q := range []quantity.Quantity{v.first, v.second} {
		if q.Unit != "" {
			units = append(units, q.Unit)
		}
	}
	for _, part := range v.parts() {
		units = append(units, part.Units()...)
	}
	return units
}

func (v *Value) parts() []*Value {
	parts := append([]*Value(nil), v.items...)
	for _, key := range v.keys {
		parts = append(parts, v.members[key])
	}
	return parts
}
