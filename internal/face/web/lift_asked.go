package web

import (
	"net/http"
	"net/url"
	"strings"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/paper/draw"
)

// askedView is a page that works something out from what stands in its form and
// its address, and keeps nothing.
type askedView struct {
	frame
	Address            string
	Intro, Units       string
	Links              []pageLink
	Asked              bool
	Answered           bool
	Invented           bool
	Kind, Words, Cause string
	Sections           []formSectionView
	Needed             []string
	Wrong              bool // something entered is not right
	Rest               []fieldProblem
	File               string
	Command            string // that takes the file

	Numbers []numberView
	Notes   []string
	Levels  []levelView
	Tables  []askedTable
	Snippet string // for a rig file
	Plot    plotView
	Sheet   string               // where its sheet is; "" where there is none
	paper   func() *draw.Picture // nil where there is nothing to print
}

type askedTable struct {
	Title, Head, Value, Note string
	Rows                     []numberView
}

// answerAsked sends the page, or its parts to its script.
func (s *Server) answerAsked(w http.ResponseWriter, r *http.Request, p *askedView) error {
	p.Script, p.Result = "lift.js", true
	if p.paper != nil {
		p.Sheet = p.Address + "/sheet?" + r.URL.Query().Encode()
	}
	if r.URL.Path == p.Address+"/sheet" {
		if p.paper == nil {
			return refusal{http.StatusUnprocessableEntity, "No sheet", "There is no answer to print yet: enter what is asked first."}
		}
		return s.sendPDF(w, p.paper(), strings.ToLower(p.Title))
	}
	if wantsJSON(r) {
		return s.answerParts(w, p, "asked-answer", "asked-form")
	}
	return s.pages.write(w, http.StatusOK, "asked", p)
}

// fill puts the form's sections on the page, each problem beside its field.
func (p *askedView) fill(sections []formSection, fields typed, problems []document.Problem) {
	if !p.Asked {
		problems = nil
	}
	where := placedOf(problems)
	p.Wrong = where.wrong
	for _, section := range sections {
		v := section.view(fields, where)
		v.Was = ""
		p.Needed = append(p.Needed, v.needed()...)
		p.Sections = append(p.Sections, v)
	}
	p.Rest = where.rest()
}

// asking reads the values of a form that is no file, and collects what is wrong
// with them.
type asking struct {
	t        typed
	problems []document.Problem
	units    []string
}

func askingOf(form url.Values) *asking { return &asking{t: postedFields(form)} }

func (a *asking) text(path string) string { return strings.TrimSpace(a.t[path]) }

func (a *asking) refuse(path, text, hint string) {
	a.problems = append(a.problems, document.Problem{Path: path, Text: text, Hint: hint})
}

// need says that a value is missing.
func (a *asking) need(path string) {
	object, key := "", path
	if i := strings.LastIndex(path, "."); i >= 0 {
		object, key = path[:i], path[i+1:]
	}
	a.refuse(object, object+" has no "+key, "")
}

// value reads a quantity; nil where nothing is entered or it is refused.
func (a *asking) value(path string, kinds ...quantity.Kind) *quantity.Quantity {
	text := a.text(path)
	if text == "" {
		return nil
	}
	q, err := quantity.Parse(text, kinds...)
	if err != nil {
		e := err.(*quantity.Error) // always, says Parse
		a.refuse(path, e.Text, e.Hint)
		return nil
	}
	a.units = append(a.units, q.Unit)
	return &q
}

// si reads a quantity in SI units.
func (a *asking) si(path string, kind quantity.Kind) *float64 {
	if q := a.value(path, kind); q != nil {
		return &q.Value
	}
	return nil
}

// number reads a number without a unit.
func (a *asking) number(path string) *float64 {
	text := a.text(path)
	if text == "" {
		return nil
	}
	x, err := quantity.ParseNumber(text)
	if err != nil {
		e := err.(*quantity.Error) // always, says ParseNumber
		a.refuse(path, e.Text, e.Hint)
		return nil
	}
	return &x
}

// list reads so many quantities of one kind with commas between them.
func (a *asking) list(path string, kind quantity.Kind, n int, what string) []float64 {
	text := a.text(path)
	if text == "" {
		return nil
	}
	parts := strings.Split(text, ",")
	var out []float64
	for _, part := range parts {
		q, err := quantity.Parse(strings.TrimSpace(part), kind)
		if err != nil || len(parts) != n {
			a.refuse(path, text+" is not "+what, "with commas between them")
			return nil
		}
		a.units = append(a.units, q.Unit)
		out = append(out, q.Value)
	}
	return out
}

// positive refuses values that are not above zero.
func (a *asking) positive(path string, values ...float64) {
	for _, x := range values {
		if !(x > 0) {
			a.refuse(path, a.text(path)+" is not above zero", "")
			return
		}
	}
}

func (a *asking) show() quantity.System { return quantity.Count(a.units) }
