package web

import (
	"cmp"
	"net/http"
	"slices"
	"strings"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/likeness"
)

// partGroup is the parts that belong to one thing of the rig.
type partGroup struct {
	words string
	parts []*inspect.Part
}

// partGroups puts the parts of a rig together by what they belong to: the rig,
// its bodies with their points, its legs, its sets and its apexes.
func partGroups(v *inspect.Survey) []partGroup {
	var out []partGroup
	at := map[string]int{}
	for i := range v.Parts {
		p := &v.Parts[i]
		words := belongsTo(p)
		k, ok := at[words]
		if !ok {
			k = len(out)
			at[words] = k
			out = append(out, partGroup{words: words})
		}
		out[k].parts = append(out[k].parts, p)
	}
	order := func(g partGroup) int {
		return slices.IndexFunc([]func(*inspect.Part) bool{
			func(p *inspect.Part) bool { return belongsTo(p) == wholeRig },
			func(p *inspect.Part) bool { return p.On.Body != "" || p.On.Point.ID != "" },
			func(p *inspect.Part) bool { return belongsTo(p) == severalBodies },
			func(p *inspect.Part) bool { return p.On.Leg != "" },
			func(p *inspect.Part) bool { return belongsTo(p) == severalLegs },
			func(p *inspect.Part) bool { return p.On.Set != "" },
			func(*inspect.Part) bool { return true },
		}, func(is func(*inspect.Part) bool) bool { return is(g.parts[0]) })
	}
	slices.SortStableFunc(out, func(a, b partGroup) int { return cmp.Compare(order(a), order(b)) })
	return out
}

const (
	wholeRig      = "The rig as a whole"
	severalBodies = "Bodies beside each other"
	severalLegs   = "Legs together"
)

func belongsTo(p *inspect.Part) string {
	switch on := p.On; {
	case on.Body != "":
		return "Body " + on.Body
	case on.Point.ID != "":
		return "Body " + on.Point.ID
	case on.Leg != "":
		return "Leg " + on.Leg
	case on.Set != "":
		return "Set " + on.Set
	case on.Apex == "apex":
		return "The apex and what it hangs on"
	case on.Apex != "":
		return "Apex " + on.Apex + " and what it hangs on"
	case len(p.Bodies) > 1:
		return severalBodies
	case len(p.Legs) > 1:
		return severalLegs
	}
	return wholeRig
}

// partsView is the list of a rig's parts.
type partsView struct {
	rigHead
	Troubles     []trouble
	Groups       []partGroupView
	Count        int
	Deficiencies int
}

type partGroupView struct {
	Words string
	Parts []partRow
}

type partRow struct {
	Address           string // "" for those who may not open it
	Name, Kind, Place string
	Mark              int // its number in the picture; 0 where it is all over the rig
	Named             bool
	Deficiencies      int
}

// partsPage lists every part of a rig.
func (s *Server) partsPage(w http.ResponseWriter, r *http.Request) error {
	d, err := s.walkDesk(r, "parts", "")
	if err != nil {
		return err
	}
	if d.survey == nil {
		return s.unready(w, d.head)
	}
	listed := map[string]*app.ListedPart{}
	document := app.Parts(d.solved, d.survey)
	for i := range document.Parts {
		listed[document.Parts[i].ID] = &document.Parts[i]
	}
	p := &partsView{rigHead: d.head, Troubles: d.troubles, Count: len(document.Parts), Deficiencies: document.Deficiencies}
	marks, opens := partNumbers(d.survey), s.may(r, staff.right)
	for _, g := range partGroups(d.survey) {
		v := partGroupView{Words: g.words}
		for _, x := range g.parts {
			l := listed[x.ID]
			address := ""
			if opens {
				address = partURL(d.head.Name, x.ID)
			}
			v.Parts = append(v.Parts, partRow{address, capital(x.Name), x.Kind.Name, capital(l.Place), marks[x.ID], x.Named, l.Deficiencies})
		}
		p.Groups = append(p.Groups, v)
	}
	return s.pages.write(w, http.StatusOK, "parts", p)
}

// partView is one part in each state of each of its attributes.
type partView struct {
	rigHead
	Part       string // its name
	ID         string
	Kind       string
	Place      string
	Real       string
	Source     string
	From       string // the catalogue that has it
	Named      bool
	Group      string
	Previous   *pageLink
	Next       *pageLink
	Effects    string // address of what its deficiencies would do
	Attributes []attributeView
	Count      int // deficiencies
}

type attributeView struct {
	Ask, See, From, Planned string
	Good                    []stateView
	Wrong                   []stateView
}

type stateView struct {
	Words, Picture string
	Ends, Act      string
	Plant          string
	Hazard         string
	Computed       bool
	Source         string
}

var fromWords = map[part.From]string{
	part.Near: "within arm’s reach", part.Back: "some steps back, with the whole load in view", part.Along: "walking along the leg",
	part.Inside: "with a door, lid or cover open", part.Above: "on top of the load, where it may be stepped on",
}

// partPage shows one part close up in each of its states.
func (s *Server) partPage(w http.ResponseWriter, r *http.Request) error {
	d, err := s.walkDesk(r, "parts", "")
	if err != nil {
		return err
	}
	if d.survey == nil {
		return s.unready(w, d.head)
	}
	x, ok := d.survey.Part(r.PathValue("part"))
	if !ok {
		return refusal{http.StatusNotFound, "Not there", "This rig has no such part."}
	}
	p := &partView{
		rigHead: d.head, Part: capital(x.Name), ID: x.ID, Kind: x.Kind.Name, Real: x.Kind.Real, Source: x.Kind.Source, From: x.Kind.From,
		Named: x.Named, Group: belongsTo(x), Effects: effectsURL(d.head.Name, x.ID),
	}
	p.Title = p.Part + " – " + p.RigTitle
	for _, l := range app.Parts(d.solved, d.survey).Parts {
		if l.ID == x.ID {
			p.Place, p.Count = capital(l.Place), l.Deficiencies
		}
	}
	p.neighbours(d.survey, x)
	find := likeness.NewFinder(d.survey)
	for _, t := range d.survey.Tasks(&inspect.Checkpoint{Looks: []inspect.Look{{Part: x.ID}}}) {
		p.Attributes = append(p.Attributes, attributeOf(d.survey, find, t))
	}
	return s.pages.write(w, http.StatusOK, "parts-one", p)
}

// neighbours links the parts before and after this one, in the list's order.
func (p *partView) neighbours(v *inspect.Survey, x *inspect.Part) {
	var list []*inspect.Part
	for _, g := range partGroups(v) {
		list = append(list, g.parts...)
	}
	i := slices.Index(list, x)
	link := func(k int) *pageLink {
		if k < 0 || k >= len(list) {
			return nil
		}
		return &pageLink{Address: partURL(p.Name, list[k].ID), Words: list[k].Name}
	}
	p.Previous, p.Next = link(i-1), link(i+1)
}

// attributeOf words one attribute of a part: how it should be and all that it
// must not be.
func attributeOf(v *inspect.Survey, find *likeness.Finder, t inspect.Task) attributeView {
	a := attributeView{Ask: t.Attribute.Ask, See: seeWords(t.Attribute.See), From: fromWords[t.Attribute.From], Planned: t.Planned}
	wrong := map[string]*inspect.Deficiency{}
	for i := range v.Deficiencies {
		if x := &v.Deficiencies[i]; x.Part == t.Part && x.Attribute == t.Attribute {
			wrong[x.State.ID] = x
		}
	}
	for i := range t.Attribute.States {
		st := &t.Attribute.States[i]
		x := wrong[st.ID]
		good := st.ID == t.Attribute.Good || t.Attribute.Plan == part.PlanSpacer && x == nil
		if x == nil && !good {
			continue // this rig cannot have it
		}
		out := stateView{Words: capital(st.Text), Picture: drawingURL(find.Of(t.Part, t.Attribute, st))}
		if good {
			a.Good = append(a.Good, out)
			continue
		}
		out.Words = capital(strings.TrimPrefix(x.Text(), t.Part.Name+": "))
		out.Ends, out.Act, out.Plant = endWords(st.Ends), capital(st.Act.Words()), st.Plant.Words()
		out.Hazard, out.Computed, out.Source = capital(st.Hazard), x.Change != "", x.Source()
		a.Wrong = append(a.Wrong, out)
	}
	return a
}

func seeWords(ways []part.See) string {
	var out []string
	for _, s := range ways {
		out = append(out, string(s))
	}
	return strings.Join(out, " or ")
}

func endWords(ends []part.End) string {
	var out []string
	for _, e := range ends {
		out = append(out, e.Words())
	}
	return capital(strings.Join(out, "; "))
}
