package sequencefile

import (
	"fmt"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/quantity"
)

// Format is the name of the format, with its version.
const Format = "hangtrue.sequence/1"

// shape is the one declaration that the reader and the schema follow.
var shape = document.Object(
	document.Required("format", document.Fixed(Format), "name and version of the format"),
	document.Optional("title", document.Text(120), "what the sequence is called"),
	document.Optional("source", document.Text(300), "whose order it is"),
	document.Optional("made", document.YesNo(), "yes if it was suggested from a rig and nobody has taken it as their own"),
	document.Required("checkpoints", document.List(checkpoint, 1, 400), "the checkpoints in the order of the walk"),
)

var checkpoint = document.Object(
	document.Required("id", document.ID(), "name of the checkpoint"),
	document.Optional("title", document.Text(120), "what it is called"),
	document.Optional("stand", document.Choice(words(inspect.Stands)...), "where a person stands; here, beside what is looked at, by default"),
	document.Optional("at", document.Tuple(document.Quantity(quantity.Length), 2), "where exactly, ahead and to the left in the ground frame"),
	document.Required("look", document.List(document.Text(120), 1, 400), "parts, or part/attribute; * stands for any letters"),
	document.Optional("do", document.List(document.Choice(words(part.Sees)...), 1, len(part.Sees)), "what the person does; whatever each attribute takes by default"),
	document.Optional("note", document.Lines(1000), "what else to say"),
	document.Optional("reference", document.Text(200), "where this is taught or written"),
)

func words[T ~string](list []T) []string {
	out := make([]string, len(list))
	for i, w := range list {
		out[i] = string(w)
	}
	return out
}

// Schema returns the JSON Schema of the format.
func Schema() []byte {
	return document.Schema(shape, document.About{
		Title:       Format,
		Description: "An inspection sequence: checkpoints in the order in which a person walks round a load.",
	})
}

// File is a sequence that knows its lines.
type File struct {
	Sequence *inspect.Sequence
	value    *document.Value
}

// Read reads a sequence file, or returns everything that is wrong with it in
// the order of its lines. Whether its looks find anything depends on the rig:
// see [File.Against].
func Read(data []byte) (*File, []document.Problem) {
	v, problems := document.Read(data, shape)
	if v == nil {
		return nil, problems
	}
	q := &inspect.Sequence{Title: v.Get("title").Text(), Source: v.Get("source").Text(), Made: v.Get("made").Yes()}
	first := map[string]int{}
	for i, x := range v.Get("checkpoints").Items() {
		c := inspect.Checkpoint{
			ID: x.Get("id").Text(), Title: x.Get("title").Text(), Stand: inspect.StandHere,
			Note: x.Get("note").Text(), Reference: x.Get("reference").Text(),
		}
		if j, twice := first[c.ID]; twice && c.ID != "" {
			problems = append(problems, x.Get("id").Problem(fmt.Sprintf("checkpoint %q is already the id of checkpoint number %d", c.ID, j+1), "give each checkpoint an id of its own"))
		}
		first[c.ID] = i
		if s := x.Get("stand").Text(); s != "" {
			c.Stand = inspect.Stand(s)
		}
		if at := x.Get("at"); at.Given() {
			c.At = &[2]float64{at.Item(0).SI(), at.Item(1).SI()}
		}
		for _, l := range x.Get("look").Items() {
			look := inspect.ParseLook(l.Text())
			if l.Valid() && (look.Part == "" || look.Attribute == "" && l.Text() != look.Part) {
				problems = append(problems, l.Problem(fmt.Sprintf("%s names no part or no attribute", l.Text()), "write part or part/attribute, for example leg.FL.chain/twist"))
			}
			c.Looks = append(c.Looks, look)
		}
		for _, d := range x.Get("do").Items() {
			c.Do = append(c.Do, part.See(d.Text()))
		}
		q.Checkpoints = append(q.Checkpoints, c)
	}
	if len(problems) > 0 {
		document.Sort(problems)
		return nil, problems
	}
	return &File{q, v}, nil
}

// Against returns the looks of the file that find nothing on a rig, with
// their lines.
func (f *File) Against(v *inspect.Survey) []document.Problem {
	var out []document.Problem
	for _, u := range v.Unknown(f.Sequence) {
		out = append(out, f.value.ProblemAt(fmt.Sprintf("checkpoints[%d].look[%d]", u.Checkpoint, u.Look), u.Text, u.Hint))
	}
	return out
}
