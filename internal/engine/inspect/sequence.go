package inspect

import (
	"fmt"
	"slices"
	"strings"

	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/spelling"
)

// Sequence is an inspection sequence: checkpoints in the order in which they
// are walked. Every sequence ends with [AnythingElse].
type Sequence struct {
	Title       string
	Source      string // whose order it is; "" for none stated
	Made        bool   // suggested from the rig, not a school's own
	Checkpoints []Checkpoint
}

// Words says whose order it is, without a full stop.
func (q *Sequence) Words() string {
	text := spelling.Short(q.Title, 160)
	if q.Source != "" {
		text += ". Source: " + spelling.Short(q.Source, 200)
	}
	if q.Made {
		text += ". Suggested from the rig: a school's own order stands before it"
	}
	return strings.TrimSuffix(text, ".")
}

// AnythingElse ends every sequence. Its answers feed the catalogue.
const AnythingElse = "Anything else? What did you see that no checkpoint asked about?"

// BeforeTheWalk stands above every sequence.
const BeforeTheWalk = "Walk it while the load stands on the ground and nothing hangs from the hook. Never go under a hanging load, or between load and aircraft."

// Checkpoint is a place on the walk where a person looks at some attributes of
// some parts.
type Checkpoint struct {
	ID        string
	Title     string
	Stand     Stand
	At        *[2]float64 // where exactly, in the ground frame, m; nil: as Stand says
	Looks     []Look
	Do        []part.See // what the person does; none: whatever each attribute takes
	Note      string
	Reference string
}

// Look names parts and attributes by pattern, in which * stands for any
// letters: leg.*.chain, leg.FL.grab-hook/count. Without an attribute it is all.
type Look struct {
	Part      string
	Attribute string
}

// ParseLook reads a look as it is written.
func ParseLook(s string) Look {
	p, a, _ := strings.Cut(s, "/")
	return Look{p, a}
}

// String writes the look.
func (l Look) String() string {
	if l.Attribute == "" {
		return l.Part
	}
	return l.Part + "/" + l.Attribute
}

// Sees reports whether the look takes in an attribute of a part.
func (l Look) Sees(partID, attribute string) bool {
	return fits(l.Part, partID) && (l.Attribute == "" || fits(l.Attribute, attribute))
}

// fits reports whether a text fits a pattern in which * stands for any letters.
// It takes at most len(pattern)·len(text) steps: what a star took is only ever
// given back one letter at a time, to the last star.
func fits(pattern, text string) bool {
	p, t, star, after := 0, 0, -1, 0
	for t < len(text) {
		switch {
		case p < len(pattern) && pattern[p] == '*':
			star, after = p, t
			p++
		case p < len(pattern) && pattern[p] == text[t]:
			p++
			t++
		case star >= 0:
			after++
			p, t = star+1, after
		default:
			return false
		}
	}
	return strings.Trim(pattern[p:], "*") == ""
}

// Sees reports whether a checkpoint asks about an attribute of a part: one of
// its looks takes it in, and what the person does shows it.
func (c *Checkpoint) Sees(p *Part, a *part.Attribute) bool {
	if !a.Takes(c.Do) {
		return false
	}
	return slices.ContainsFunc(c.Looks, func(l Look) bool { return l.Sees(p.ID, a.ID) })
}

func (c *Checkpoint) looksAt(p *Part) bool {
	return slices.ContainsFunc(c.Looks, func(l Look) bool { return fits(l.Part, p.ID) })
}

// Task is one question of a checkpoint on one rig.
type Task struct {
	Part      *Part
	Attribute *part.Attribute
	Do        []part.See // the ways to see it that this checkpoint uses
	Planned   string     // what the good state is
}

// Tasks lists what a checkpoint asks on this rig, in the order of its parts.
func (v *Survey) Tasks(c *Checkpoint) []Task {
	var out []Task
	for i := range v.Parts {
		p := &v.Parts[i]
		for k := range p.Kind.Attributes {
			a := &p.Kind.Attributes[k]
			if !v.asks(p, a) || !c.Sees(p, a) {
				continue
			}
			t := Task{Part: p, Attribute: a, Do: a.See, Planned: v.Planned(p, a)}
			if len(c.Do) > 0 {
				t.Do = slices.DeleteFunc(slices.Clone(a.See), func(s part.See) bool { return !slices.Contains(c.Do, s) })
			}
			out = append(out, t)
		}
	}
	return out
}

// Unknown is a look of a sequence that finds no part of the rig.
type Unknown struct {
	Checkpoint, Look int // indices
	Text             string
	Hint             string
}

// Unknown lists the looks that find nothing on this rig, with what may have
// been meant.
func (v *Survey) Unknown(q *Sequence) []Unknown {
	ids := make([]string, len(v.Parts))
	for i := range v.Parts {
		ids[i] = v.Parts[i].ID
	}
	var out []Unknown
	for i, c := range q.Checkpoints {
		for k, l := range c.Looks {
			var attributes []string
			found, seen := false, false
			for p := range v.Parts {
				if !fits(l.Part, v.Parts[p].ID) {
					continue
				}
				found = true
				for _, a := range v.Parts[p].Kind.Attributes {
					attributes = append(attributes, a.ID)
					seen = seen || l.Attribute == "" || fits(l.Attribute, a.ID)
				}
			}
			switch {
			case !found:
				out = append(out, Unknown{i, k, fmt.Sprintf("%s is no part of this rig", l.Part), suggestion(l.Part, ids)})
			case !seen:
				out = append(out, Unknown{i, k, fmt.Sprintf("%s has no attribute %s", l.Part, l.Attribute), suggestion(l.Attribute, attributes)})
			}
		}
	}
	return out
}

func suggestion(word string, known []string) string {
	if near := spelling.Nearest(word, known); near != "" {
		return "did you mean " + near + "?"
	}
	return "the command parts lists them"
}
