package part

import (
	"fmt"
	"slices"

	"hangtrue/internal/engine/spelling"
)

// Catalog is the kinds that a school works with, the rules that depend on what
// hangs on what, and the published criteria that the kinds answer to.
type Catalog struct {
	Title    string
	Kinds    []Kind // in the order written
	Spacers  []SpacerRule
	Criteria []Criterion
}

// SpacerNeed says whether a spacer belongs on an apex fitting.
type SpacerNeed string

// The needs. What nobody has stated is not known, which is a finding of its own.
const (
	NotStated SpacerNeed = "not-stated"
	Required  SpacerNeed = "required"
	Forbidden SpacerNeed = "forbidden"
)

// SpacerRule says whether a spacer belongs on an apex fitting of one kind that
// hangs on a hook or pendant of another.
type SpacerRule struct {
	Fitting string // kind of the apex fitting
	On      string // kind of the hook or pendant it hangs on
	Need    SpacerNeed
	Source  string
}

// Criterion is one published reason to take a part out of service or to look
// at it.
type Criterion struct {
	ID    string
	Where string // publication and paragraph
	Text  string // in general words
	Gap   string // why no kind covers it; "" where one does
}

// Kind returns the kind with this id.
func (c *Catalog) Kind(id string) (*Kind, bool) {
	for i := range c.Kinds {
		if c.Kinds[i].ID == id {
			return &c.Kinds[i], true
		}
	}
	return nil, false
}

// Nearest returns the kind's id that is spelled most like id; "" for none.
func (c *Catalog) Nearest(id string) string {
	ids := make([]string, len(c.Kinds))
	for i := range c.Kinds {
		ids[i] = c.Kinds[i].ID
	}
	return spelling.Nearest(id, ids)
}

// Spacer says whether a spacer belongs on an apex fitting of kind fitting that
// hangs on a hook or pendant of kind on, and where that is written.
func (c *Catalog) Spacer(fitting, on string) (SpacerNeed, string) {
	for _, r := range c.Spacers {
		if r.Fitting == fitting && r.On == on {
			return r.Need, r.Source
		}
	}
	return NotStated, ""
}

// Merge returns a catalogue with what later ones add or say otherwise: a kind
// or criterion with the same id, or a spacer rule for the same pair, takes the
// place of the earlier one, and new ones come after. A title is kept where the
// later catalogue has none.
func Merge(first *Catalog, later ...*Catalog) *Catalog {
	out := &Catalog{
		Title: first.Title, Kinds: slices.Clone(first.Kinds),
		Spacers: slices.Clone(first.Spacers), Criteria: slices.Clone(first.Criteria),
	}
	for _, c := range later {
		if c.Title != "" {
			out.Title = c.Title
		}
		for _, k := range c.Kinds {
			out.Kinds = put(out.Kinds, k, func(o Kind) bool { return o.ID == k.ID })
		}
		for _, r := range c.Spacers {
			out.Spacers = put(out.Spacers, r, func(o SpacerRule) bool { return o.Fitting == r.Fitting && o.On == r.On })
		}
		for _, x := range c.Criteria {
			out.Criteria = put(out.Criteria, x, func(o Criterion) bool { return o.ID == x.ID })
		}
	}
	return out
}

func put[T any](list []T, x T, same func(T) bool) []T {
	if i := slices.IndexFunc(list, same); i >= 0 {
		list[i] = x
		return list
	}
	return append(list, x)
}

// Problem is something wrong between the entries of a catalogue. Path says
// where, in the words of the file: kinds.chain.attributes.wear.
type Problem struct {
	Path string
	Text string
	Hint string
}

// Check finds what the entries of a catalogue name and c does not have: a kind
// in instead-of or in a spacer rule, a criterion. c is the merged catalogue,
// since a school's own file may name what the shipped one has.
func (c *Catalog) Check(entries *Catalog) []Problem {
	var out []Problem
	kind := func(path, id string) {
		if _, ok := c.Kind(id); ok {
			return
		}
		hint := "kinds are written under kinds:"
		if near := c.Nearest(id); near != "" {
			hint = fmt.Sprintf("did you mean %s?", near)
		}
		out = append(out, Problem{path, fmt.Sprintf("there is no kind %q", id), hint})
	}
	known := map[string]bool{}
	ids := make([]string, 0, len(c.Criteria))
	for _, x := range c.Criteria {
		known[x.ID] = true
		ids = append(ids, x.ID)
	}
	for _, k := range entries.Kinds {
		for _, id := range k.InsteadOf {
			kind("kinds."+k.ID+".instead-of", id)
		}
		for _, a := range k.Attributes {
			for _, id := range a.Meets {
				if known[id] {
					continue
				}
				hint := "criteria are written under criteria:"
				if near := spelling.Nearest(id, ids); near != "" {
					hint = fmt.Sprintf("did you mean %s?", near)
				}
				out = append(out, Problem{"kinds." + k.ID + ".attributes." + a.ID + ".meets", fmt.Sprintf("there is no criterion %q", id), hint})
			}
		}
	}
	for i, r := range entries.Spacers {
		kind(fmt.Sprintf("spacers[%d].fitting", i), r.Fitting)
		kind(fmt.Sprintf("spacers[%d].on", i), r.On)
	}
	return out
}

// Covered returns for each criterion's id the entries that cover it, as
// kind/attribute, in the order of the catalogue.
func (c *Catalog) Covered() map[string][]string {
	out := map[string][]string{}
	for _, k := range c.Kinds {
		for _, a := range k.Attributes {
			for _, id := range a.Meets {
				out[id] = append(out[id], k.ID+"/"+a.ID)
			}
		}
	}
	return out
}
