package app

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"time"
	"unicode"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/part/catalogfile"
)

// SeenFormat is the name of the format of what was seen on a rig and asked by
// no checkpoint, with its version.
const SeenFormat = "hangtrue.seen/1"

var seenShape = document.Object(
	document.Required("format", document.Fixed(SeenFormat), "name and version of the format"),
	document.Required("seen", document.List(document.Object(
		document.Required("id", document.ID(), "name of the answer"),
		document.Required("date", document.Date(), "when it was seen"),
		document.Optional("part", document.Text(120), "part of the rig at which it was seen"),
		document.Required("what", document.Lines(MostSeen), "what was seen, in the words of who saw it"),
		document.Optional("by", document.Text(80), "who saw it"),
		document.Optional("entry", document.Text(120), "the school's catalogue that took it in"),
	), 1, 1000), "answers to \"anything else?\", the oldest first"),
)

// MostSeen is how many characters one answer may have.
const MostSeen = 1000

// Sighting is one answer to "anything else?".
type Sighting struct {
	ID    string
	Date  time.Time // a day
	Part  string    // part of the rig; "" where none was named
	What  string
	By    string
	Entry string // the catalogue on the school's shelf that took it in; "" for none
}

// Sightings is what was seen on one rig, the oldest first.
type Sightings struct {
	Version  string // of the text kept; "" where nothing was seen yet
	List     []Sighting
	Problems []document.Problem // of the text kept; then List is empty
}

// SightingsOf reads what a shelf has of a rig.
func SightingsOf(shelf Keeper, rig string) (*Sightings, error) {
	data, err := shelf.Current(rig)
	if errors.Is(err, fs.ErrNotExist) {
		return &Sightings{}, nil
	}
	if err != nil {
		return nil, err
	}
	list, problems := ReadSightings(data)
	return &Sightings{Version(data), list, problems}, nil
}

// ReadSightings reads a text of format hangtrue.seen/1.
func ReadSightings(data []byte) ([]Sighting, []document.Problem) {
	v, problems := document.Read(data, seenShape)
	if len(problems) > 0 {
		return nil, problems
	}
	var list []Sighting
	first := map[string]bool{}
	for _, x := range v.Get("seen").Items() {
		s := Sighting{
			ID: x.Get("id").Text(), Date: x.Get("date").Date(), Part: x.Get("part").Text(),
			What: x.Get("what").Text(), By: x.Get("by").Text(), Entry: x.Get("entry").Text(),
		}
		if first[s.ID] {
			problems = append(problems, x.Get("id").Problem(fmt.Sprintf("%q is already the id of an answer above", s.ID), "give each answer an id of its own"))
		}
		first[s.ID] = true
		list = append(list, s)
	}
	if len(problems) > 0 {
		return nil, problems
	}
	return list, nil
}

// SightingsText writes what [ReadSightings] reads back to the same.
func SightingsText(list []Sighting) []byte {
	var b strings.Builder
	b.WriteString("format: " + SeenFormat + "\nseen:\n")
	for _, s := range list {
		fmt.Fprintf(&b, "  - id: %s\n    date: %s\n", s.ID, s.Date.Format(time.DateOnly))
		for _, f := range [][2]string{{"part", s.Part}, {"what", s.What}, {"by", s.By}, {"entry", s.Entry}} {
			if f[1] != "" {
				b.WriteString("    " + f[0] + ": " + yamlText(f[1]) + "\n")
			}
		}
	}
	return []byte(b.String())
}

// yamlText writes a text in double quotes, which YAML reads as JSON does.
func yamlText(s string) string {
	out, err := json.Marshal(s)
	if err != nil {
		panic("app: a text that JSON cannot hold: " + err.Error())
	}
	return string(out)
}

// ErrConflict says that a document was changed by somebody else meanwhile.
var ErrConflict = errors.New("it was changed meanwhile; try once more")

// save keeps a list on top of what was read.
func (x *Sightings) save(shelf Keeper, rig string, list []Sighting) error {
	data := SightingsText(list)
	if _, problems := ReadSightings(data); len(problems) > 0 {
		return fmt.Errorf("what was seen cannot be kept: %s", problems[0])
	}
	version, saved, err := shelf.Save(rig, x.Version, data)
	if err != nil {
		return err
	}
	if !saved {
		return ErrConflict
	}
	x.Version, x.List = version, list
	return nil
}

// Add keeps one more answer; its id is given here.
func (x *Sightings) Add(shelf Keeper, rig string, s Sighting) error {
	if len(x.Problems) > 0 {
		return errors.New("the text kept of this rig has errors; mend it first")
	}
	known := map[string]bool{}
	for _, o := range x.List {
		known[o.ID] = true
	}
	for n := len(x.List) + 1; s.ID == "" || known[s.ID]; n++ {
		s.ID = fmt.Sprintf("s%03d", n)
	}
	return x.save(shelf, rig, append(x.List[:len(x.List):len(x.List)], s))
}

// Enter notes that the school's catalogue took an answer in.
func (x *Sightings) Enter(shelf Keeper, rig, id, entry string) error {
	list := append([]Sighting(nil), x.List...)
	for i := range list {
		if list[i].ID == id {
			list[i].Entry = entry
		}
	}
	return x.save(shelf, rig, list)
}

// Find returns the answer with this id.
func (x *Sightings) Find(id string) (Sighting, bool) {
	for _, s := range x.List {
		if s.ID == id {
			return s, true
		}
	}
	return Sighting{}, false
}

// Entry is what a person says of something that was seen, so that the school's
// catalogue knows it: one kind with one question.
type Entry struct {
	ID     string // of the kind
	Name   string // "chain"
	Each   part.Each
	Place  part.Spot
	Ask    string
	See    []part.See
	Good   string // the good state, in words
	Wrong  string // what was seen, in words
	Hazard string
	Ends   []part.End
	Act    part.Act
	Plant  part.Plant
	Source string
}

// EntryFor begins an entry of something that was seen on a rig: what it is
// found on is what the part is on. What it may lead to is for a person to say.
func EntryFor(v *inspect.Survey, rigName string, s Sighting) Entry {
	e := Entry{
		ID: "seen-" + slug(rigName) + s.ID, Name: "the rig", Each: part.EachRig, See: []part.See{part.Look},
		Wrong: strings.Join(strings.Fields(s.What), " "), Source: "seen on " + rigName + " on " + s.Date.Format(time.DateOnly),
	}
	p, ok := v.Part(s.Part)
	if !ok {
		return e
	}
	e.Name, e.Each, e.Place = p.Kind.Name, p.Kind.Each, p.Kind.Place
	if e.Each == part.Nowhere {
		e.Each = eachOf(p.On)
	}
	return e
}

// eachOf is what a kind is found on that belongs to the same sort of thing as
// a part which a rig file names.
func eachOf(on inspect.Owner) part.Each {
	switch {
	case on.Leg != "":
		return part.EachLeg
	case on.Point.ID != "":
		return part.EachPoint
	case on.Body != "":
		return part.EachBody
	case on.Apex != "":
		return part.EachApex
	case on.Set != "":
		return part.EachSet
	}
	return part.EachRig
}

// slug makes the beginning of an id of a name: its letters and digits.
func slug(name string) string {
	var b strings.Builder
	for _, c := range strings.ToLower(name) {
		switch {
		case c < 128 && (unicode.IsLetter(c) || unicode.IsDigit(c)):
			b.WriteRune(c)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	if b.Len() == 0 {
		return ""
	}
	return strings.TrimSuffix(b.String(), "-") + "-"
}

// Missing lists what a person has still to say, in words.
func (e Entry) Missing() []string {
	var out []string
	for _, x := range []struct {
		there bool
		what  string
	}{
		{e.Name != "", "what the part is called"},
		{e.Ask != "", "the question that a checkpoint asks"},
		{len(e.See) > 0, "how a person finds out"},
		{e.Good != "", "how it should be"},
		{e.Wrong != "", "what is wrong"},
		{e.Hazard != "", "what it may lead to"},
		{len(e.Ends) > 0, "what it may end in"},
		{e.Act != "", "whether it stops the lift or is put right on the spot"},
		{e.Plant != "", "how it can be made for training"},
		{e.Source != "", "where it comes from"},
	} {
		if !x.there {
			out = append(out, x.what)
		}
	}
	return out
}

// Text writes the entry as a catalogue of its own, format hangtrue.catalog/1.
func (e Entry) Text() []byte {
	var b strings.Builder
	fmt.Fprintf(&b, "format: %s\nkinds:\n  %s:\n    name: %s\n    each: %s\n", catalogfile.Format, e.ID, yamlText(e.Name), e.Each)
	if e.Place != part.Middle {
		fmt.Fprintf(&b, "    place: %s\n", e.Place)
	}
	fmt.Fprintf(&b, "    source: %s\n    attributes:\n      seen:\n        ask: %s\n        see: [%s]\n        good: as-it-should-be\n",
		yamlText(e.Source), yamlText(e.Ask), commaList(e.See))
	fmt.Fprintf(&b, "        ends: [%s]\n        act: %s\n        plant: %s\n        hazard: %s\n        states:\n          as-it-should-be: %s\n          as-seen: %s\n",
		commaList(e.Ends), e.Act, e.Plant, yamlText(e.Hazard), yamlText(e.Good), yamlText(e.Wrong))
	return []byte(b.String())
}

func commaList[T ~string](list []T) string {
	var out []string
	for _, x := range list {
		out = append(out, string(x))
	}
	return strings.Join(out, ", ")
}

// TakeIn keeps a catalogue on the school's shelf under a name that is still
// free and begins with the one wished for. What is wrong with it, alone or
// together with the shipped catalogue and the school's others, is returned and
// nothing is kept.
func TakeIn(shelf Keeper, wish string, data []byte) (name string, problems []document.Problem, err error) {
	c, problems := catalogfile.Read(data)
	if len(problems) > 0 {
		return "", problems, nil
	}
	school, err := SchoolCatalogOf(shelf)
	if err != nil {
		return "", nil, err
	}
	for _, k := range c.Kinds {
		if o, taken := school.Kind(k.ID); taken {
			problems = append(problems, document.Problem{
				Line: lineOf(data, k.ID+":"), Text: fmt.Sprintf("the catalogue has a kind %s already (%s), which this would replace", k.ID, o.Name), Hint: "give it another name",
			})
		}
	}
	for _, p := range part.Merge(school.Catalog, c).Check(c) {
		problems = append(problems, document.Problem{Path: p.Path, Line: 1, Text: p.Text, Hint: p.Hint})
	}
	if len(problems) > 0 {
		document.Sort(problems)
		return "", problems, nil
	}
	for n := 1; ; n++ {
		if name = wish; n > 1 {
			name = fmt.Sprintf("%s-%d", wish, n)
		}
		_, saved, err := shelf.Save(name, "", data)
		if err != nil {
			return "", nil, err
		}
		if saved {
			return name, nil, nil
		}
	}
}

// lineOf is the first line that has a word, 1 where there is none.
func lineOf(data []byte, word string) int {
	before, _, ok := strings.Cut(string(data), word)
	if !ok {
		return 1
	}
	return strings.Count(before, "\n") + 1
}
