package web

import (
	"net/http"
	"slices"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/face/app"
)

// barredLoads are findings about loads of a sortie plan that carry a red tag, or
// that cannot be told from one that does. A load of a plan is known by its id,
// which has the letters of its name or its rig's.
func (s *Server) barredLoads(r *http.Request, d *app.Day) ([]rig.Finding, error) {
	if s.School == nil || d.Day == nil {
		return nil, nil
	}
	var names []string
	for _, x := range d.Day.Lifts {
		for _, load := range x.Loads {
			names = append(names, load.ID)
		}
	}
	barred, err := s.School.Barred(r.Context(), names)
	if err != nil {
		return nil, err
	}
	var out []rig.Finding
	for _, name := range names {
		if why := barred[name]; why != "" {
			out = append(out, rig.Finding{Level: rig.Exceeded, Code: "red-tag", About: "load " + name, Text: why})
		}
	}
	return out, nil
}

// bar puts what bars loads before everything else that a plan's page says.
func (p *dayView) bar(findings []rig.Finding) {
	if len(findings) == 0 {
		return
	}
	p.Kind, p.Words = rig.Over.String(), "A load is barred"
	p.Levels = slices.Concat([]levelView{{Words: "Barred", Kind: rig.Exceeded.String(), Findings: findings}}, p.Levels)
}
