package web

import (
	"math"
	"net/http"

	"hangtrue/internal/engine/lift/weighingfile"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/face/app"
)

// weighPages are the pages that work out what a load weighs, and in what air.
func weighPages(here string) []pageLink {
	var links []pageLink
	for _, p := range []pageLink{{Address: "/weigh", Words: "Weighing"}, {Address: "/weigh/liquid", Words: "Liquid"}, {Address: "/air", Words: "Air"}} {
		p.Here = p.Address == here
		links = append(links, p)
	}
	return links
}

// weighForm are the sections of a weighing's file.
var weighForm = []formSection{
	{Title: "What was weighed", Field: []formField{
		{Key: "title", Label: "Load", Example: "compressor trailer"},
		{Key: "by", Label: "Weighed by"},
		{Key: "on", Label: "On", Example: "2026-05-04"},
		{Key: "invented", Label: "Invented", Choices: []string{"yes", "no"}},
	}},
	{
		Key: "readings", Title: "Axles or scales, the load level", List: true, Entry: "reading",
		Help: "Places are in the load’s frame, x forward, y left, z up. For axles y is that of the axle’s middle. z is the height of the pivot, such as the wheel’s axle, and counts for the tilted reading only.",
		Field: []formField{
			{Key: "id", Label: "Name", Example: "front"},
			{Key: "at", Label: "Where: x, y, z", Example: "1.1 m, 0 m, 0.3 m", Kind: fieldList},
			{Key: "shows", Label: "Shows", Example: "1040 kg"},
			{Key: "give-or-take", Label: "Give or take", Example: "5 kg"},
		},
	},
	{
		Key: "tilted", Title: "Tilted, for the height of the CG", Help: "One end raised and read again; wheels free to roll, springs blocked. The lean as an angle, or as how far the raised end stands above the other.",
		Field: []formField{
			{Key: "raised", Label: "Readings raised", Example: "front", Kind: fieldList},
			{Key: "shows", Label: "Show together", Example: "968 kg"},
			{Key: "give-or-take", Label: "Give or take", Example: "5 kg"},
			{Key: "by", Label: "Leans by", Example: "12 deg"},
			{Key: "rise", Label: "or rise", Example: "0.5 m"},
			{Key: "angle-give-or-take", Label: "Angle, give or take", Example: "0.2 deg"},
		},
	},
	{Title: "or its height, where known", Field: []formField{{Key: "height", Label: "Height of the CG", Example: "0.7 m"}}},
	{
		Key: "since", Title: "Added since, or taken off", Help: "Fuel, water, snow, wet cargo. What was taken off is negative. An estimate needs its tolerance.", List: true, Entry: "thing",
		Field: []formField{
			{Key: "what", Label: "What", Example: "snow"},
			{Key: "mass", Label: "Mass", Example: "40 kg"},
			{Key: "known", Label: "How known", Choices: []string{"weighed", "plate", "estimated"}},
			{Key: "give-or-take", Label: "Give or take", Example: "20 kg"},
			{Key: "at", Label: "Where: x, y, z", Example: "0 m, 0 m, 1.4 m", Kind: fieldList},
		},
	},
}

// fileOf writes a form's sections as a file.
func fileOf(format string, sections []formSection, fields typed) string {
	text := "format: " + format + "\n"
	for _, section := range sections {
		written := section.write(fields)
		if section.Key != "" {
			text += written[section.Key]
			continue
		}
		for _, f := range section.Field {
			text += written[f.Key]
		}
	}
	return text
}

// weighPage works out mass and CG from readings.
func (s *Server) weighPage(w http.ResponseWriter, r *http.Request) error {
	form := r.URL.Query()
	p := &askedView{
		frame: frame{Title: "Weighing"}, Address: "/weigh", Links: weighPages("/weigh"), Asked: len(form) > 0, Command: "hangtrue weigh",
		Intro: "Mass and CG of a load from what axles or scales show, with what was added since.",
		Units: "1040 kg, 2300 lb, 1.1 m, 3.6 ft, 12 deg",
	}
	fields := postedFields(form)
	p.File = fileOf(weighingfile.Format, weighForm, fields)
	x := app.Weigh([]byte(p.File))
	p.fill(weighForm, fields, x.Problems)
	if x.Load != nil {
		p.weighed(&x)
	}
	return s.answerAsked(w, r, p)
}

func (p *askedView) weighed(x *app.Weighed) {
	l, show := x.Load, x.Load.Weighing.Show
	p.Answered, p.Invented, p.paper = true, l.Weighing.Invented, x.Sheet
	p.Kind, p.Words = rig.Within.String(), "Mass and CG"
	if l.Weighing.Title != "" {
		p.Words += " of " + l.Weighing.Title
	}
	p.Numbers = []numberView{{"The scales showed", l.Shown.Show(show), ""}}
	if len(l.Weighing.Since) > 0 {
		p.Numbers = append(p.Numbers, numberView{"With what was added since", l.Weight.Show(show), ""})
	}
	for k, axis := range []string{"CG forward, x", "CG to the left, y", "CG up, z"} {
		n := numberView{What: axis, Value: show.Length(l.CG[k])}
		switch {
		case math.IsNaN(l.CG[k]):
			n.Value, n.Note = "cannot tell", "enter a tilted reading, or the height where it is known"
			p.Kind, p.Words, p.Cause = rig.CannotTell.String(), capital(rig.CannotTell.Words()), "The height of the CG is not known: enter a tilted reading, or the height where it is known. The rest stands below."
		case k == 1 && l.Across:
			n.Note = "not measured: that of the line on which all readings stand"
		case k == 2 && l.ByTilt:
			n.Note = "from the tilted reading"
		case k == 2:
			n.Note = "as entered, with what was added since"
		}
		if l.Band[k] > 0 {
			n.Value += " ± " + show.Length(l.Band[k])
		}
		p.Numbers = append(p.Numbers, n)
	}
	if !l.Tolerant {
		p.Notes = append(p.Notes, "Not every scale has a tolerance entered, so the tolerances above leave it out.")
	}
	p.Snippet = weighedSnippet(l.Weight.Mass, l.Weight.Band, string(l.Weight.Known), l.CG, show)
}

// weighedSnippet is what a body of a rig file says of it, rounded as the page
// rounds.
func weighedSnippet(mass, band float64, known string, cg [3]float64, show quantity.System) string {
	text := "mass: " + show.Mass(mass) + "\nknown: " + known + "\n"
	if band > 0 {
		text += "give-or-take: " + show.Mass(band) + "\n"
	}
	if !math.IsNaN(cg[2]) {
		text += "cg: [" + show.Length(cg[0]) + ", " + show.Length(cg[1]) + ", " + show.Length(cg[2]) + "]\n"
	}
	return text
}
