package app

import (
	"fmt"
	"strings"

	"hangtrue/internal/data/catalog"
	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/part/catalogfile"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/rigfile"
)

// Catalog is the shipped catalogue with a school's own files over it. It
// returns no catalogue where anything is wrong with a file.
func Catalog(own ...catalogfile.File) (*part.Catalog, []catalogfile.Problem) {
	return catalogfile.Load(append(catalog.Files(), own...)...)
}

// Survey lists the parts of a rig that was read and what each may show. Parts
// that the rig file names and that cannot be come back at their lines.
func Survey(s *Solved, c *part.Catalog) (*inspect.Survey, []document.Problem) {
	v, wrong := inspect.Of(s.Rig, c)
	var problems []document.Problem
	for _, x := range wrong {
		problems = append(problems, document.Problem{
			Line: rigfile.LineOf(s.Data, x.Path), Column: 1, Path: x.Path, Text: x.Text, Hint: x.Hint,
		})
	}
	if len(problems) > 0 {
		return nil, problems
	}
	return v, nil
}

// PartsDocument is what there is to look at on a rig, as data.
type PartsDocument struct {
	Format       string       `json:"format"`
	Rig          string       `json:"rig_sha256"`
	Invented     bool         `json:"invented"`
	Status       string       `json:"status"`
	Caution      string       `json:"caution"`
	Deficiencies int          `json:"deficiencies"`
	Parts        []ListedPart `json:"parts"`
}

// ListedPart is one part of a rig.
type ListedPart struct {
	ID           string     `json:"id"`
	Kind         string     `json:"kind"`
	KindName     string     `json:"kind_name"`
	Name         string     `json:"name"`
	Place        string     `json:"place"`
	Ground       [3]float64 `json:"ground_m"` // in the ground frame, before the lift
	Named        bool       `json:"named_in_rig"`
	Deficiencies int        `json:"deficiencies"` // that the catalogue knows of it on this rig
	Source       string     `json:"source"`
}

// Parts lists the parts of a surveyed rig.
func Parts(s *Solved, v *inspect.Survey) PartsDocument {
	d := PartsDocument{
		Format: "hangtrue.parts/1", Rig: s.Version, Invented: s.Rig.Invented(), Status: s.Rig.Status().String(), Caution: rig.Caution,
		Deficiencies: len(v.Deficiencies), Parts: []ListedPart{},
	}
	of := map[*inspect.Part]int{}
	for i := range v.Deficiencies {
		of[v.Deficiencies[i].Part]++
	}
	scene := inspect.SceneOf(s.Rig, nil)
	for i := range v.Parts {
		p := &v.Parts[i]
		at := scene.Ground(p.Place)
		d.Parts = append(d.Parts, ListedPart{
			ID: p.ID, Kind: p.Kind.ID, KindName: p.Kind.Name, Name: p.Name, Place: placeWords(p), Ground: [3]float64(at),
			Named: p.Named, Deficiencies: of[p], Source: p.Kind.Source,
		})
	}
	return d
}

// placeWords says where a part is in terms of what it moves with.
func placeWords(p *inspect.Part) string {
	x := p.Place
	switch {
	case p.Kind.Each.Relation() && len(p.Legs) > 0:
		return "legs " + strings.Join(p.Legs, ", ")
	case p.Kind.Each.Relation():
		return "bodies " + strings.Join(p.Bodies, ", ")
	case x.Leg != "":
		switch {
		case x.Along == 0:
			return "leg " + x.Leg + ", upper end"
		case x.Along == 1:
			return "leg " + x.Leg + ", lower end"
		}
		return fmt.Sprintf("leg %s, %.0f %% of the way down", x.Leg, 100*x.Along)
	case p.On.Point.ID != "":
		return "point " + p.On.Point.String()
	case x.Body != "":
		return "body " + x.Body
	case x.Apex != "" && x.Hook:
		return "hook of " + apexWords(x.Apex)
	case x.Apex != "":
		return apexWords(x.Apex)
	case p.On.Set != "":
		return "set " + p.On.Set
	}
	return "the whole rig"
}

// apexWords is what an apex is called: the one that a rig has by default needs
// no name.
func apexWords(id string) string {
	if id == "apex" {
		return "the apex"
	}
	return "apex " + id
}
