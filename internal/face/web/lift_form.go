package web

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"net/url"
	"strings"

	"hangtrue/internal/engine/document"
)

// A form over a file: each field is a value of the file and goes by its path
// there, so that what a reader says about the path stands beside the field.

// formSection is a key of the file's outermost object, or several short ones.
type formSection struct {
	Key   string // "": each field is a key of its own
	Title string
	Help  string
	List  bool   // a list of entries, each with these fields
	Entry string // what one entry is called
	Field []formField
}

// formField is a value.
type formField struct {
	Key     string
	Label   string
	Example string
	Kind    fieldKind
	Choices []string
	Wide    bool
}

type fieldKind uint8

const (
	fieldLine  fieldKind = iota
	fieldLines           // several lines
	fieldList            // a list, with commas between its values
)

// formSectionView is a section as the page shows it.
type formSectionView struct {
	Key, Title, Help string
	List             bool
	Was              string // what the section held when the page was made
	Needed           bool   // nothing is entered and something must be
	Problems         []fieldProblem
	Entries          []formEntryView
}

type formEntryView struct {
	Legend   string
	Fields   []formFieldView
	Problems []fieldProblem
	New      bool // an empty one, to add an entry
}

type formFieldView struct {
	Name, ID, Label, Example, Value string
	Lines                           bool
	Wide                            bool
	Needed                          bool // nothing is entered and something must be
	Choices                         []formChoiceView
	Problems                        []fieldProblem
}

type formChoiceView struct {
	Value, Words string
	Picked       bool
}

type fieldProblem struct {
	Text, Hint string
	missing    bool // nothing is wrong but that nothing is entered
}

// fieldName is a path as the name of a form's field.
func fieldName(path string) string { return "f." + path }

// fieldID is a path as the id of an element.
func fieldID(path string) string {
	return "f-" + strings.NewReplacer("[", "-", "]", "", ".", "-").Replace(path)
}

func (s formSection) path(entry int, field string) string {
	switch {
	case s.Key == "":
		return field
	case s.List:
		return fmt.Sprintf("%s[%d].%s", s.Key, entry, field)
	}
	return s.Key + "." + field
}

// write writes the section's values as YAML, by key of the outermost object;
// "" for a key without any.
func (s formSection) write(t typed) map[string]string {
	out := map[string]string{}
	switch {
	case s.Key == "":
		for _, f := range s.Field {
			value := strings.TrimSpace(t[f.Key])
			switch {
			case value == "":
				out[f.Key] = ""
			case f.Kind == fieldLines:
				out[f.Key] = yamlBlock(f.Key, value)
			case f.Kind == fieldList:
				out[f.Key] = f.Key + ": " + yamlTuple(value) + "\n"
			default:
				out[f.Key] = f.Key + ": " + yamlScalar(value) + "\n"
			}
		}
	case s.List:
		var b strings.Builder
		for i := range t.entries(s.Key) {
			if one := s.flow(t, i); one != "" {
				b.WriteString("  - " + one + "\n")
			}
		}
		out[s.Key] = ""
		if b.Len() > 0 {
			out[s.Key] = s.Key + ":\n" + b.String()
		}
	default:
		out[s.Key] = ""
		if one := s.flow(t, 0); one != "" {
			out[s.Key] = s.Key + ": " + one + "\n"
		}
	}
	return out
}

// flow writes one entry as {key: value, …}; "" where it is empty.
func (s formSection) flow(t typed, entry int) string {
	var parts []string
	for _, f := range s.fields(t, entry) {
		value := strings.TrimSpace(t[s.path(entry, f.Key)])
		switch {
		case value == "":
		case f.Kind == fieldList:
			parts = append(parts, f.Key+": "+yamlTuple(value))
		default:
			parts = append(parts, f.Key+": "+yamlScalar(value))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return "{" + strings.Join(parts, ", ") + "}"
}

// fields are those of the section and those that somebody typed in the text
// under a key that the section does not know, so that the form loses nothing.
func (s formSection) fields(t typed, entry int) []formField {
	fields := s.Field
	if s.Key == "" {
		return fields
	}
	front := s.path(entry, "")
	for _, path := range sortedKeys(t) {
		key, ok := strings.CutPrefix(path, front)
		if !ok || strings.ContainsAny(key, ".[") {
			continue
		}
		known := false
		for _, f := range s.Field {
			known = known || f.Key == key
		}
		if !known {
			fields = append(fields[:len(fields):len(fields)], formField{Key: key, Label: key})
		}
	}
	return fields
}

// stamp names the section's values, to see whether a person changed one.
func (s formSection) stamp(t typed) string {
	h := sha256.New()
	for _, key := range sortedKeys(s.write(t)) {
		fmt.Fprint(h, key, s.write(t)[key], "\n")
	}
	return hex.EncodeToString(h.Sum(nil))[:12]
}

// view makes the section with its values and with what is wrong with them,
// which it takes out of problems.
func (s formSection) view(t typed, problems *placed) formSectionView {
	v := formSectionView{Key: s.Key, Title: s.Title, Help: s.Help, List: s.List, Was: s.stamp(t)}
	n := 1
	if s.List {
		n = t.entries(s.Key) + 1
	}
	for i := range n {
		e := formEntryView{New: s.List && i == n-1}
		if s.List {
			e.Legend = fmt.Sprintf("%s %d", capital(s.Entry), i+1)
			if e.New {
				e.Legend = "One more " + s.Entry
			}
		}
		for _, f := range s.fields(t, i) {
			path := s.path(i, f.Key)
			x := formFieldView{
				Name: fieldName(path), ID: fieldID(path), Label: f.Label, Example: f.Example, Value: t[path],
				Lines: f.Kind == fieldLines, Wide: f.Wide,
			}
			for _, said := range problems.under(path) {
				if said.missing && strings.TrimSpace(x.Value) == "" {
					x.Needed = true
				} else {
					x.Problems = append(x.Problems, said)
				}
			}
			if len(f.Choices) > 0 {
				x.Choices = choiceViews(f.Choices, t[path])
			}
			e.Fields = append(e.Fields, x)
		}
		if s.List {
			e.Problems = problems.under(fmt.Sprintf("%s[%d]", s.Key, i))
		}
		v.Entries = append(v.Entries, e)
	}
	if s.Key == "" {
		return v
	}
	for _, said := range problems.under(s.Key) {
		if said.missing {
			v.Needed = true
		} else {
			v.Problems = append(v.Problems, said)
		}
	}
	return v
}

// choiceViews are the words to choose from, with what was typed among them.
func choiceViews(words []string, value string) []formChoiceView {
	list := []formChoiceView{{"", "not entered", value == ""}}
	found := value == ""
	for _, w := range words {
		list = append(list, formChoiceView{w, w, w == value})
		found = found || w == value
	}
	if !found {
		list = append(list, formChoiceView{value, value, true})
	}
	return list
}

// placed are problems by the path of the field that they belong beside.
type placed struct {
	byPath map[string][]fieldProblem
	wrong  bool // something is more than missing
}

// placedOf sorts problems to their paths. What is missing from an object
// belongs beside the field that is empty.
func placedOf(problems []document.Problem) *placed {
	p := &placed{byPath: map[string][]fieldProblem{}}
	for _, x := range problems {
		path, said := x.Path, fieldProblem{capital(x.Text), x.Hint, false}
		if _, key, ok := strings.Cut(x.Text, " has no "); ok && !strings.Contains(key, " ") {
			path = strings.TrimPrefix(path+"."+key, ".")
			said = fieldProblem{capital(key) + " is needed", strings.TrimPrefix(x.Hint, "add "+key+": "), true}
		}
		p.wrong = p.wrong || !said.missing
		p.byPath[path] = append(p.byPath[path], said)
	}
	return p
}

// under takes what is said about a path and about everything in it.
func (p *placed) under(path string) []fieldProblem {
	var out []fieldProblem
	for _, k := range sortedKeys(p.byPath) {
		if k == path || strings.HasPrefix(k, path+".") || strings.HasPrefix(k, path+"[") {
			out = append(out, p.byPath[k]...)
			delete(p.byPath, k)
		}
	}
	return out
}

// rest takes what no field asked for.
func (p *placed) rest() []fieldProblem {
	var out []fieldProblem
	for _, k := range sortedKeys(p.byPath) {
		out = append(out, p.byPath[k]...)
	}
	p.byPath = nil
	return out
}

// postedFields are the fields of a form by path.
func postedFields(form url.Values) typed {
	t := typed{}
	for name, values := range form {
		if path, ok := strings.CutPrefix(name, "f."); ok && len(values) > 0 {
			t[path] = strings.ReplaceAll(values[0], "\r\n", "\n")
		}
	}
	return t
}

// edited writes into a text what a person changed in the fields of a section.
func (s formSection) edited(text string, fields typed, was string) string {
	if was == "" || s.stamp(fields) == was {
		return text
	}
	written := s.write(fields)
	for _, f := range s.Field { // in the order of the form
		if w, ok := written[f.Key]; ok && s.Key == "" {
			text = withKey(text, f.Key, w)
		}
	}
	if s.Key != "" {
		text = withKey(text, s.Key, written[s.Key])
	}
	return text
}
