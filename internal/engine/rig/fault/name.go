package fault

import (
	"fmt"
	"strings"

	"hangtrue/internal/engine/rig"
)

// ID names the fault among those of one rig, in letters that an address or a
// file name can hold: "count-off.FL.-3", "point-lost.crate.FL".
func (f Fault) ID() string {
	parts := []string{string(f.Kind)}
	switch f.Kind {
	case CountOff:
		parts = append(parts, f.Leg, fmt.Sprintf("%+d", f.Links))
	case LegLost:
		parts = append(parts, f.Leg)
	case PointLost:
		parts = append(parts, f.Point.String())
	case HookLost:
		parts = append(parts, f.Hook)
	case PointsTraded, SeatsTraded:
		parts = append(parts, f.Leg, f.Other)
	}
	return strings.Join(parts, ".")
}

// Named returns the fault of a rig that goes by an id; ok is false where the
// rig has none such, with counts as far off as its chains go.
func Named(r *rig.Rig, id string) (f Fault, ok bool) {
	most := 0
	for _, l := range r.Legs() {
		if l.Chain != nil {
			most = max(most, l.Chain.Links)
		}
	}
	for _, f := range List(r, most) {
		if f.ID() == id {
			return f, true
		}
	}
	return Fault{}, false
}

// Hung returns the rig with the fault as it hangs, to draw it from. With
// running, chain through several points runs freely, and the answer is not
// judged. It fails where the rig cannot have the fault, and with running where
// it settles nowhere so.
func (f Fault) Hung(r *rig.Rig, running bool) (*rig.Answer, error) {
	changed, err := f.On(r)
	if err != nil {
		return nil, err
	}
	a, err := rig.HangWith(changed, rig.Forces{RunFreely: running})
	if err == nil && running && (!a.Converged || !a.Stable) {
		err = fmt.Errorf("fault: with chain that runs freely, the rig settles nowhere")
	}
	return a, err
}
