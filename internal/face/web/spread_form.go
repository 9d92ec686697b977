package web

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	rigspread "hangtrue/internal/engine/rig/spread"
)

// spreadAsked is what a spread is computed with.
type spreadAsked struct {
	tolerances rigspread.Tolerances
	cases      int
	seed       uint64
	form       spreadForm // as it was typed
}

func firstSpread() spreadAsked {
	return spreadAsked{tolerances: rigspread.Defaults(), cases: 10000, seed: 1}
}

// spreadForm is the form of a spread as it is typed. An empty tolerance is the
// default.
type spreadForm struct {
	Fields      []toleranceField
	Cases, Seed string
	Wrong       string
}

type toleranceField struct {
	Name, Label, Value string
	Usual              string // the default, as it would be typed
	Reason             string
}

// toleranceFields are the tolerances in the order of [rigspread.Reasons].
var toleranceFields = []struct {
	name, label string
	kind        quantity.Kind
}{
	{"mass", "Mass ±", quantity.Percent},
	{"cg", "CG ±, of the load’s size", quantity.Percent},
	{"length", "Leg length ±", quantity.Length},
	{"stretch", "Stretch ±", quantity.Percent},
	{"points", "Lift points ±", quantity.Length},
	{"counts", "Counts ±, links", 0},
}

// firstSpreadForm is the form with nothing entered.
func firstSpreadForm(r *rig.Rig) spreadForm {
	a := firstSpread()
	show, t := r.Show(), a.tolerances
	usual := map[string]string{
		"mass": show.Percent(t.Mass), "cg": show.Percent(t.CG), "length": "the rig’s own", "stretch": show.Percent(t.Stretch),
		"points": show.Size(t.Point), "counts": strconv.Itoa(t.Count),
	}
	f := spreadForm{Cases: strconv.Itoa(a.cases), Seed: strconv.FormatUint(a.seed, 10)}
	for i, x := range toleranceFields {
		f.Fields = append(f.Fields, toleranceField{Name: x.name, Label: x.label, Usual: usual[x.name], Reason: rigspread.Reasons()[i]})
	}
	return f
}

// readSpreadForm reads the form that the page sends. What is wrong with it is in
// its Wrong.
func readSpreadForm(r *http.Request, of *rig.Rig) (spreadForm, spreadAsked) {
	a := firstSpread()
	form := firstSpreadForm(of)
	var wrong []string
	for i, x := range toleranceFields {
		text := strings.TrimSpace(r.PostFormValue(x.name))
		form.Fields[i].Value = text
		if text == "" {
			continue
		}
		if x.name == "counts" {
			n, err := strconv.Atoi(text)
			if err != nil || n < 0 {
				wrong = append(wrong, "Counts: a whole number of links.")
				continue
			}
			a.tolerances.Count = n
			continue
		}
		q, err := quantity.Parse(text, x.kind)
		switch {
		case err != nil:
			wrong = append(wrong, strings.TrimSuffix(x.label, " ±")+": "+said(err))
			continue
		case q.Value < 0:
			wrong = append(wrong, strings.TrimSuffix(x.label, " ±")+": a tolerance cannot be negative.")
			continue
		}
		switch x.name {
		case "mass":
			a.tolerances.Mass, a.tolerances.Own = q.Value, true
		case "cg":
			a.tolerances.CG = q.Value
		case "length":
			a.tolerances.Length = q.Value
		case "stretch":
			a.tolerances.Stretch = q.Value
		case "points":
			a.tolerances.Point = q.Value
		}
	}
	form.Cases, form.Seed = strings.TrimSpace(r.PostFormValue("cases")), strings.TrimSpace(r.PostFormValue("seed"))
	n, err := strconv.Atoi(form.Cases)
	if err != nil || n < leastCases || n > mostCases {
		wrong = append(wrong, fmt.Sprintf("Cases: a whole number from %d to %d.", leastCases, mostCases))
	}
	seed, err := strconv.ParseUint(form.Seed, 10, 64)
	if err != nil {
		wrong = append(wrong, "Seed: a whole number.")
	}
	a.cases, a.seed = n, seed
	if w := a.tolerances.Wrong(); w != "" {
		wrong = append(wrong, capital(w)+".")
	}
	form.Wrong = strings.Join(wrong, " ")
	a.form = form
	return form, a
}

// How many cases may be asked for on the page.
const (
	leastCases = 1000
	mostCases  = 200000
)
