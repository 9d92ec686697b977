package app

import (
	"context"
	"fmt"
	"math"
	"slices"
	"time"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/fault"
)

// WhatIfFormat names the format of a [WhatIf].
const WhatIfFormat = "hangtrue.whatif/1"

// OneChange stands with every table of what-ifs.
const OneChange = "A single change only: two changes at once are not in this table."

// WhatIf is what a tablet keeps of a rig so that "what if" has an answer where
// there is no network: every count a few links off and every other single fault,
// hung and judged. Lists of numbers follow the document's lists of legs and
// bodies. Texts that come often stand once, in Texts.
type WhatIf struct {
	Format   string          `json:"format"`
	Rig      string          `json:"rig_sha256"`
	Invented bool            `json:"invented"`
	Status   string          `json:"status"`
	Caution  string          `json:"caution"`
	Single   string          `json:"single"`
	Computed time.Time       `json:"computed"`
	Force    WhatIfUnit      `json:"force"`
	Bodies   []WhatIfBody    `json:"bodies"`
	Legs     []WhatIfLeg     `json:"legs"`
	Texts    []string        `json:"texts"`
	Plan     WhatIfRow       `json:"plan"`
	Rows     []WhatIfRow     `json:"rows"` // gravest first; after them changes that only deficiencies make
	Omitted  []WhatIfOmitted `json:"omitted"`
	// Deficiencies by id: which row is theirs, and what they would do in words.
	Deficiencies map[string]WhatIfDeficiency `json:"deficiencies"`
}

// WhatIfUnit is how a tablet writes forces: newtons over Newtons, with so many
// digits.
type WhatIfUnit struct {
	Unit    string  `json:"unit"`
	Newtons float64 `json:"newtons"`
	Digits  int     `json:"digits"`
}

// WhatIfBody is a body with points, in its own frame, whose hull is its outline.
type WhatIfBody struct {
	ID      string    `json:"id"`
	Outline []rig.Vec `json:"outline_m"`
}

// WhatIfLeg is a leg, with the link that the plan holds it at; Count is nil
// without a chain, and where the table is for a blind count.
type WhatIfLeg struct {
	ID    string `json:"id"`
	Count *int   `json:"count,omitempty"`
	Chain bool   `json:"chain,omitempty"`
	Rated bool   `json:"rated,omitempty"`
}

// WhatIfRow is the rig hung with one change. Pulls are of the rig as entered,
// uses those of the worst case judged.
type WhatIfRow struct {
	ID       string       `json:"id,omitempty"`   // none for the plan
	Leg      string       `json:"leg,omitempty"`  // of a count: which leg
	By       int          `json:"by,omitempty"`   // of a count: so many links more than planned
	What     string       `json:"what,omitempty"` // of any other fault
	Result   string       `json:"result"`
	Words    string       `json:"words"` // the result as a person reads it
	Reason   int          `json:"reason"`
	Ends     []int        `json:"ends,omitempty"`     // what it may end in, with what shows it
	Findings []int        `json:"findings,omitempty"` // without notes
	Note     *int         `json:"note,omitempty"`
	Runs     string       `json:"runs,omitempty"` // where chain that runs through its points is worse: how
	Pull     []*float64   `json:"pull_n"`         // per leg; null where it is lost
	Use      []*float64   `json:"use,omitempty"`  // per leg; null where it has no rating; left out where none has
	Pitch    []*float64   `json:"pitch_deg"`      // per body; null where it hangs on nothing
	Roll     []*float64   `json:"roll_deg"`
	At       []rig.Vec    `json:"at_m"`
	Turn     [][4]float64 `json:"turn_wxyz"`
	Lines    [][]rig.Vec  `json:"lines_m"` // per leg: where it hangs
}

// WhatIfOmitted is a fault that the rig cannot have.
type WhatIfOmitted struct {
	ID   string `json:"id"`
	Leg  string `json:"leg,omitempty"`
	By   int    `json:"by,omitempty"`
	What string `json:"what,omitempty"`
	Why  int    `json:"why"`
}

// WhatIfDeficiency is what one deficiency would do.
type WhatIfDeficiency struct {
	Row  string `json:"row,omitempty"` // the id of its row; "" where no row is the same change
	Ends string `json:"ends,omitempty"`
	Text int    `json:"text"`
}

// RunWhatIf hangs a rig with each fault of its one-fault table once more and
// keeps the numbers, and tells what each deficiency of a survey would do; now is
// when. It fails where the rig cannot be hung, and when ctx ends.
func RunWhatIf(ctx context.Context, f *Faults, v *inspect.Survey, now time.Time) (*WhatIf, error) {
	w := &WhatIf{
		Format: WhatIfFormat, Rig: f.Version, Invented: f.Rig.Invented(), Status: f.Rig.Status().String(), Caution: rig.Caution, Single: OneChange,
		Computed: now.UTC().Truncate(time.Second), Force: WhatIfUnit{"kN", 1000, 2}, Texts: []string{}, Rows: []WhatIfRow{}, Omitted: []WhatIfOmitted{},
		Deficiencies: map[string]WhatIfDeficiency{},
	}
	if f.Rig.Show() == quantity.US {
		w.Force = WhatIfUnit{"lbf", quantity.PoundForce, 0}
	}
	texts := interned{w: w, at: map[string]int{}}
	bodies := f.Rig.Bodies()
	for i := range bodies {
		w.Bodies = append(w.Bodies, WhatIfBody{bodies[i].ID, outline(&bodies[i])})
	}
	legs := f.Rig.Legs()
	for i := range legs {
		_, rated := legs[i].Allowed()
		w.Legs = append(w.Legs, WhatIfLeg{legs[i].ID, legs[i].Count, legs[i].Chain != nil, rated})
	}
	w.Plan = w.row(&f.Table.Plan, f.Plan, texts)
	for i := range f.Table.Rows {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		x := &f.Table.Rows[i]
		a, err := x.Fault.Hung(f.Rig, false)
		if err != nil {
			return nil, fmt.Errorf("what if %s: %w", x.What, err)
		}
		w.Rows = append(w.Rows, w.row(x, a, texts))
	}
	for _, x := range f.Table.Omitted {
		o := WhatIfOmitted{ID: x.Fault.ID(), Why: texts.of(x.Why)}
		if x.Fault.Kind == fault.CountOff {
			o.Leg, o.By = x.Fault.Leg, x.Fault.Links
		} else {
			o.What = x.What
		}
		w.Omitted = append(w.Omitted, o)
	}
	if v == nil {
		return w, nil
	}
	return w, w.deficiencies(v, texts)
}

// WithoutCounts is the table for whoever counts blind: the planned counts stand
// nowhere in it, and counts are told by how far they are off.
func (w *WhatIf) WithoutCounts() *WhatIf {
	blind := *w
	blind.Legs = slices.Clone(w.Legs)
	for i := range blind.Legs {
		blind.Legs[i].Count = nil
	}
	return &blind
}

// interned puts texts into a document once.
type interned struct {
	w  *WhatIf
	at map[string]int
}

func (t interned) of(text string) int {
	i, ok := t.at[text]
	if !ok {
		i = len(t.w.Texts)
		t.at[text] = i
		t.w.Texts = append(t.w.Texts, text)
	}
	return i
}

func (w *WhatIf) row(x *fault.Row, a *rig.Answer, texts interned) WhatIfRow {
	out := WhatIfRow{Result: a.Result.String(), Words: a.Result.Words(), Reason: texts.of(a.Reason)}
	switch x.Fault.Kind {
	case "":
	case fault.CountOff:
		out.ID, out.Leg, out.By = x.Fault.ID(), x.Fault.Leg, x.Fault.Links
	default:
		out.ID, out.What = x.Fault.ID(), x.What
	}
	for i, e := range x.Ends {
		out.Ends = append(out.Ends, texts.of(e.Words()+": "+x.Why[i]))
	}
	for _, f := range a.Findings {
		if f.Level != rig.Note {
			out.Findings = append(out.Findings, texts.of(f.About+": "+f.Text))
		}
	}
	if x.Note != "" {
		n := texts.of(x.Note)
		out.Note = &n
	}
	if x.Ran && x.Runs != nil {
		show, n := a.Rig.Show(), x.Runs
		out.Runs = fmt.Sprintf("body %s then hangs at pitch %s, roll %s", n.Body, show.Angle(n.Pitch), show.Angle(n.Roll))
		if n.Rated {
			out.Runs += fmt.Sprintf("; highest use %s on leg %s", show.Percent(n.Use), n.Leg)
		}
	}
	rated := slices.ContainsFunc(w.Legs, func(l WhatIfLeg) bool { return l.Rated })
	for _, leg := range w.Legs {
		i := slices.IndexFunc(a.Legs, func(l rig.LegAnswer) bool { return l.ID == leg.ID })
		if i < 0 {
			out.Pull, out.Lines = append(out.Pull, nil), append(out.Lines, []rig.Vec{})
			if rated {
				out.Use = append(out.Use, nil)
			}
			continue
		}
		l := &a.Legs[i]
		out.Pull = append(out.Pull, toStep(l.Tension, 1))
		if rated {
			out.Use = append(out.Use, toStep(l.WorstUse(), 1e-3))
		}
		line := []rig.Vec{near3(l.From), near3(l.To)}
		for _, p := range l.Path {
			line = append(line, near3(p))
		}
		out.Lines = append(out.Lines, line)
	}
	for i := range a.Bodies {
		b := &a.Bodies[i]
		pitch, roll := toStep(b.Pitch/quantity.Degree, 0.01), toStep(b.Roll/quantity.Degree, 0.01)
		if !b.Joined {
			pitch, roll = nil, nil
		}
		out.Pitch, out.Roll = append(out.Pitch, pitch), append(out.Roll, roll)
		out.At = append(out.At, near3(b.Origin))
		turn := [4]float64{}
		for k, q := range b.Turn {
			turn[k] = value(toStep(q, 1e-4))
		}
		out.Turn = append(out.Turn, turn)
	}
	return out
}

// deficiencies tells of each deficiency what it would do.
func (w *WhatIf) deficiencies(v *inspect.Survey, texts interned) error {
	list, _, err := v.Effects()
	if err != nil {
		return err
	}
	known := map[string]bool{}
	for i := range w.Rows {
		known[w.Rows[i].ID] = true
	}
	for i := range list {
		e := &list[i]
		d := WhatIfDeficiency{Text: texts.of(e.Text)}
		if len(e.Ends) > 0 {
			d.Ends = e.Ends[0].Words()
		}
		switch id := faultOf(e.Deficiency); {
		case known[id]:
			d.Row = id
		case e.Answer != nil && e.State.Meaning != part.CountOff:
			// What no single fault of the table is: a leg at another point, say.
			d.Row = "deficiency." + e.Change
			if !known[d.Row] {
				row := w.row(&fault.Row{}, e.Answer, texts)
				row.ID, row.What = d.Row, e.Change
				w.Rows, known[d.Row] = append(w.Rows, row), true
			}
		}
		w.Deficiencies[e.ID()] = d
	}
	return nil
}

// faultOf names the single fault that a deficiency is to the mechanics; "" for
// none.
func faultOf(d *inspect.Deficiency) string {
	switch on := d.Part.On; d.State.Meaning {
	case part.CountOff:
		return fault.Fault{Kind: fault.CountOff, Leg: on.Leg, Links: d.State.By}.ID()
	case part.LegGone:
		return fault.Fault{Kind: fault.LegLost, Leg: on.Leg}.ID()
	case part.PointGone:
		return fault.Fault{Kind: fault.PointLost, Point: on.Point}.ID()
	case part.ApexGone:
		return fault.Fault{Kind: fault.HookLost, Hook: on.Apex}.ID()
	}
	return ""
}

// toStep rounds a number for data; nil for one that does not exist.
func toStep(x, step float64) *float64 {
	y := finite(x)
	if y == nil {
		return nil
	}
	n := math.Round(1 / step)
	*y = math.Round(*y*n)/n + 0
	return y
}

func value(x *float64) float64 {
	if x == nil {
		return 0
	}
	return *x
}

// near3 rounds a place to millimetres.
func near3(v rig.Vec) rig.Vec {
	for i := range v {
		v[i] = value(toStep(v[i], 1e-3))
	}
	return v
}

// outline returns points in a body's frame whose hull is its outline.
func outline(b *rig.Body) []rig.Vec {
	var out []rig.Vec
	switch s := b.Shape; s.Kind {
	case rig.BoxShape:
		for _, x := range []float64{-0.5, 0.5} {
			for _, y := range []float64{-0.5, 0.5} {
				for _, z := range []float64{0, 1} {
					out = append(out, near3(rig.Vec{x * s.Size[0], y * s.Size[1], z * s.Size[2]}))
				}
			}
		}
	case rig.DrumShape:
		const sides = 16
		along, across, up := s.Axis, (s.Axis+1)%3, (s.Axis+2)%3
		lift := s.Diameter / 2
		if along == 2 {
			lift = s.Length / 2
		}
		for _, end := range []float64{-0.5, 0.5} {
			for i := range sides {
				a := 2 * math.Pi * float64(i) / sides
				p := rig.Vec{}
				p[along], p[across], p[up] = end*s.Length, math.Cos(a)*s.Diameter/2, math.Sin(a)*s.Diameter/2
				p[2] += lift
				out = append(out, near3(p))
			}
		}
	default:
		for _, p := range b.Points {
			out = append(out, near3(p.At))
		}
	}
	return out
}
