package app

import (
	"context"
	"math"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
)

// EffectsDocument is what every deficiency of a rig would do, as data. Effects
// stand in order: the gravest that each may end in first.
type EffectsDocument struct {
	Format   string         `json:"format"`
	Rig      string         `json:"rig_sha256"`
	Invented bool           `json:"invented"`
	Status   string         `json:"status"`
	Caution  string         `json:"caution"`
	Planned  string         `json:"planned_result"`
	Words    string         `json:"-"` // Planned as a person reads it
	Reason   string         `json:"planned_reason"`
	Geometry []string       `json:"geometry"` // legs that run through the load or rub, as planned
	Effects  []ListedEffect `json:"effects"`
}

// ListedEffect is what one deficiency would do. What follows Result is there
// only where the rig was hung with it.
type ListedEffect struct {
	ListedDeficiency
	Ends     []string `json:"ends"` // gravest first
	EndWords string   `json:"gravest"`
	Effect   string   `json:"effect"`
	Hazard   string   `json:"hazard"`
	Computed bool     `json:"computed"`
	Result   string   `json:"result,omitempty"`
	Body     string   `json:"body,omitempty"` // the one that is turned most
	PitchDeg *float64 `json:"pitch_deg,omitempty"`
	RollDeg  *float64 `json:"roll_deg,omitempty"`
	LegUse   *float64 `json:"highest_leg_use,omitempty"`
	UseLeg   string   `json:"use_leg,omitempty"`
	Slack    []string `json:"slack,omitempty"` // legs that carry nothing and did as planned
	ActWords string   `json:"-"`
}

// Effects hangs a surveyed rig with each of its deficiencies. It fails like
// [rig.Hang].
func Effects(s *Solved, v *inspect.Survey) (EffectsDocument, error) {
	return EffectsWithin(context.Background(), s, v)
}

// EffectsWithin is [Effects] that gives up once the context ends, with its error.
func EffectsWithin(ctx context.Context, s *Solved, v *inspect.Survey) (EffectsDocument, error) {
	d := EffectsDocument{
		Format: "hangtrue.effects/1", Rig: s.Version, Invented: s.Rig.Invented(), Status: s.Rig.Status().String(), Caution: rig.Caution,
		Geometry: []string{}, Effects: []ListedEffect{},
	}
	list, planned, err := v.EffectsWithin(ctx)
	if err != nil {
		return d, err
	}
	d.Planned, d.Words, d.Reason = planned.Result.String(), planned.Result.Words(), planned.Reason
	for _, f := range planned.LegPaths() {
		d.Geometry = append(d.Geometry, f.About+": "+f.Text)
	}
	for i := range list {
		d.Effects = append(d.Effects, effectOf(&list[i]))
	}
	return d, nil
}

func effectOf(e *inspect.Effect) ListedEffect {
	x := ListedEffect{ListedDeficiency: listed(e.Deficiency), Ends: []string{}, Effect: e.Text, Hazard: e.Hazard, ActWords: e.State.Act.Words()}
	for _, end := range e.Ends {
		x.Ends = append(x.Ends, string(end))
	}
	if len(e.Ends) > 0 {
		x.EndWords = e.Ends[0].Words()
	}
	if e.Answer == nil {
		return x
	}
	x.Computed, x.Result, x.Slack = true, e.Answer.Result.String(), e.Slack
	if e.Body != "" {
		x.Body, x.PitchDeg, x.RollDeg = e.Body, number(e.Pitch/quantity.Degree), number(e.Roll/quantity.Degree)
	}
	if e.UseLeg != "" {
		x.LegUse, x.UseLeg = number(e.Use), e.UseLeg
	}
	return x
}

// number is a number that JSON can hold; nil for one that it cannot.
func number(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	x += 0 // no minus zero
	return &x
}
