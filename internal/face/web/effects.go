package web

import (
	"cmp"
	"context"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/face/app"
)

// shownEffects is how many deficiencies one page lists.
const shownEffects = 100

// effectTables remembers the latest tables: some rigs take seconds to hang with
// each of their deficiencies. A table follows from the rig's bytes and the
// catalogues' and from nothing else, so one memory serves all servers.
var effectTables = effectMemory{most: 12, one: make(chan struct{}, 1)}

// mostEffecting is how long one table may take, with the wait for its turn.
const mostEffecting = 45 * time.Second

var effectsTooLong = refusal{http.StatusServiceUnavailable, "It takes too long", "Hanging this rig with each of its deficiencies takes longer than a page may. hangtrue effects takes all the time that it needs."}

type effectMemory struct {
	one   chan struct{} // holds what makes a table: one at a time
	mu    sync.Mutex
	known map[string]*app.EffectsDocument
	order []string // oldest first
	most  int
}

func (t *effectMemory) of(d *walkDesk) (*app.EffectsDocument, error) {
	key := d.solved.Version + " " + d.school.Version
	have := func() *app.EffectsDocument {
		t.mu.Lock()
		defer t.mu.Unlock()
		return t.known[key]
	}
	if x := have(); x != nil {
		return x, nil
	}
	ctx, cancel := context.WithTimeout(context.Background(), mostEffecting)
	defer cancel()
	select {
	case t.one <- struct{}{}:
		defer func() { <-t.one }()
	case <-ctx.Done():
		return nil, effectsTooLong
	}
	if x := have(); x != nil {
		return x, nil // made while this one waited
	}
	made, err := app.EffectsWithin(ctx, d.solved, d.survey)
	switch {
	case ctx.Err() != nil:
		return nil, effectsTooLong
	case err != nil:
		return nil, err
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.known == nil {
		t.known = map[string]*app.EffectsDocument{}
	}
	if t.known[key] == nil {
		t.known[key] = &made
		t.order = append(t.order, key)
		if len(t.order) > t.most {
			delete(t.known, t.order[0])
			t.order = t.order[1:]
		}
	}
	return &made, nil
}

// effectsURL is the address of what the deficiencies of a rig would do; part
// "" is all of them.
func effectsURL(name, part string) string {
	address := rigURL(name) + "/effects"
	if part != "" {
		address += "?" + url.Values{"part": {part}}.Encode()
	}
	return address
}

// effectsView is the table of what each deficiency would do.
type effectsView struct {
	rigHead
	Troubles []trouble
	Table    string // the page's own address without a filter
	Planned  string // the result as planned, with its reason
	Geometry []string
	Summary  []effectEnd
	Parts    []optionGroup
	Ends     []option
	Numbers  []option
	Filtered bool
	All      int
	Count    int // that the filter leaves
	From, To int
	Pages    []pageLink
	Rows     []effectLine
}

// effectEnd counts the deficiencies of one end.
type effectEnd struct {
	Address, Words             string
	Count, Computed            int
	DoesNotStand, Over, Unsure int
}

type effectLine struct {
	Head            string // of the end, where it is the first of its kind on the page
	Part, PartURL   string
	Text            string
	Act             string
	Computed        bool
	Kind, Result    string
	Effect          string
	Attitude, Use   string
	UseLeg, Slack   string
	Source, MayElse string
}

// effectsPage lists what each deficiency of a rig would do.
func (s *Server) effectsPage(w http.ResponseWriter, r *http.Request) error {
	d, err := s.walkDesk(r, "effects", "What each deficiency would do")
	if err != nil {
		return err
	}
	if d.survey == nil || d.solved.Answer == nil {
		return s.unready(w, d.head)
	}
	table, err := effectTables.of(d)
	if err != nil {
		return err
	}
	q := r.URL.Query()
	f := effectFilter{part: q.Get("part"), end: q.Get("end"), numbers: q.Get("numbers")}
	f.from, _ = strconv.Atoi(q.Get("from"))
	return s.pages.write(w, http.StatusOK, "effects", newEffectsView(d, table, f, s.may(r, staff.right)))
}

// effectFilter is which deficiencies are asked for.
type effectFilter struct {
	part, end, numbers string
	from               int // the first one shown, from 0
}

// The filters by what was computed.
const (
	onlyComputed = "computed"
	onlyOver     = "over"
	onlyFallen   = "does-not-stand"
)

func (f effectFilter) takes(x *app.ListedEffect) bool {
	owner, _, _ := strings.Cut(x.ID, "/")
	if f.part != "" && f.part != owner || f.end != "" && !slices.Contains(x.Ends, f.end) {
		return false
	}
	switch f.numbers {
	case onlyComputed:
		return x.Computed
	case onlyOver:
		return x.Result == rig.Over.String()
	case onlyFallen:
		return x.Result == rig.DoesNotStand.String()
	}
	return true
}

// address is that of the page with this filter.
func (f effectFilter) address(table string, from int) string {
	q := url.Values{}
	for key, value := range map[string]string{"part": f.part, "end": f.end, "numbers": f.numbers} {
		if value != "" {
			q.Set(key, value)
		}
	}
	if from > 0 {
		q.Set("from", strconv.Itoa(from))
	}
	if len(q) == 0 {
		return table
	}
	return table + "?" + q.Encode()
}

func newEffectsView(d *walkDesk, table *app.EffectsDocument, f effectFilter, opens bool) *effectsView {
	p := &effectsView{
		rigHead: d.head, Troubles: d.troubles, Table: effectsURL(d.head.Name, ""), Geometry: table.Geometry,
		Planned: capital(joined(": ", table.Words, table.Reason)), All: len(table.Effects), Filtered: f.part != "" || f.end != "" || f.numbers != "",
	}
	p.summary(table)
	p.choices(d, f)
	var left []*app.ListedEffect
	for i := range table.Effects {
		if f.takes(&table.Effects[i]) {
			left = append(left, &table.Effects[i])
		}
	}
	p.Count = len(left)
	f.from = min(max(f.from, 0), max(0, p.Count-1)) / shownEffects * shownEffects
	p.To = min(f.from+shownEffects, p.Count)
	if p.Count > 0 {
		p.From = f.from + 1
	}
	for from := 0; from < p.Count && p.Count > shownEffects; from += shownEffects {
		p.Pages = append(p.Pages, pageLink{f.address(p.Table, from), fmt.Sprintf("%d–%d", from+1, min(from+shownEffects, p.Count)), from == f.from})
	}
	before := ""
	for _, x := range left[f.from:p.To] {
		row := effectLineOf(d, x)
		if !opens {
			row.PartURL = ""
		}
		if head := endHead(x); head != before {
			row.Head, before = head, head
		}
		p.Rows = append(p.Rows, row)
	}
	return p
}

func endHead(x *app.ListedEffect) string {
	return "May end in: " + cmp.Or(x.EndWords, "nothing stated")
}

// summary counts by the gravest end.
func (p *effectsView) summary(table *app.EffectsDocument) {
	for i := range table.Effects {
		x := &table.Effects[i]
		words := cmp.Or(x.EndWords, "nothing stated")
		if n := len(p.Summary); n == 0 || p.Summary[n-1].Words != words {
			p.Summary = append(p.Summary, effectEnd{Words: words})
		}
		row := &p.Summary[len(p.Summary)-1]
		row.Count++
		if x.Computed {
			row.Computed++
		}
		switch x.Result {
		case rig.DoesNotStand.String():
			row.DoesNotStand++
		case rig.Over.String():
			row.Over++
		case rig.CannotTell.String():
			row.Unsure++
		}
	}
}

// choices are what can be asked for.
func (p *effectsView) choices(d *walkDesk, f effectFilter) {
	p.Parts = partOptions(d.survey)
	for i := range p.Parts {
		for k := range p.Parts[i].Options {
			o := &p.Parts[i].Options[k]
			o.Chosen = o.Value == f.part
		}
	}
	for _, e := range part.Ends {
		p.Ends = append(p.Ends, option{string(e), e.Words(), string(e) == f.end})
	}
	for _, o := range [][2]string{{onlyComputed, "computed"}, {onlyFallen, "does not stand"}, {onlyOver, "over a limit"}} {
		p.Numbers = append(p.Numbers, option{o[0], o[1], o[0] == f.numbers})
	}
}

var resultWords = map[string]rig.Result{
	rig.Within.String(): rig.Within, rig.CannotTell.String(): rig.CannotTell, rig.Over.String(): rig.Over, rig.DoesNotStand.String(): rig.DoesNotStand,
}

func effectLineOf(d *walkDesk, x *app.ListedEffect) effectLine {
	owner, _, _ := strings.Cut(x.ID, "/")
	row := effectLine{PartURL: partURL(d.head.Name, owner), Act: x.ActWords, Computed: x.Computed, Effect: capital(x.Effect), Source: x.Source, Text: capital(x.Text)}
	if p, ok := d.survey.Part(owner); ok {
		row.Part = capital(p.Name)
		row.Text = strings.TrimPrefix(x.Text, p.Name+": ")
	}
	if len(x.Ends) > 1 {
		row.MayElse = strings.ToLower(endWords(endsOf(x.Ends[1:])))
	}
	if !x.Computed {
		return row
	}
	show := d.solved.Rig.Show()
	row.Kind, row.Result = x.Result, capital(resultWords[x.Result].Words())
	if x.PitchDeg != nil && x.RollDeg != nil {
		row.Attitude = fmt.Sprintf("%s: pitch %s, roll %s", x.Body, show.Angle(*x.PitchDeg*quantity.Degree), show.Angle(*x.RollDeg*quantity.Degree))
	}
	if x.LegUse != nil {
		row.Use, row.UseLeg = show.Percent(*x.LegUse), x.UseLeg
	}
	row.Slack = strings.Join(x.Slack, ", ")
	return row
}

func endsOf(list []string) []part.End {
	var out []part.End
	for _, x := range list {
		out = append(out, part.End(x))
	}
	return out
}
