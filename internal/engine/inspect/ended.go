package inspect

import (
	"context"
	"fmt"

	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/rig"
)

// Ended hangs the rig as a deficiency leaves it that changes nothing by itself and
// has ended as its catalogue says it may: without the leg, the point or the apex
// that it is on. planned is the rig hung as entered. It returns nil for a
// deficiency that has a mechanical meaning of its own, see [Survey.Effects], and
// for one that ends in nothing that can be taken off the rig; otherwise what then
// hangs, with the end that it is first in Ends. It fails like [rig.Hang].
func (v *Survey) Ended(ctx context.Context, planned *rig.Answer, d *Deficiency) (*Effect, error) {
	if d.Change != "" {
		return nil, nil
	}
	for _, end := range d.State.Ends {
		lost := part.State{ID: d.State.ID}
		switch on := d.Part.On; {
		case end == part.LegLost && on.Leg != "":
			lost.Meaning = part.LegGone
		case end == part.BodyLost && on.Point.ID != "":
			lost.Meaning = part.PointGone
		case end == part.LoadLost && on.Apex != "":
			lost.Meaning = part.ApexGone
		default:
			continue
		}
		m := v.mean(d.Part, &lost)
		if m.rig == nil {
			continue
		}
		a, err := rig.HangWithin(ctx, m.rig)
		if err != nil {
			return nil, fmt.Errorf("inspect: %s: %w", d.ID(), err)
		}
		e := &Effect{Deficiency: d, Hazard: d.State.Hazard}
		e.compare(planned, a)
		e.Ends, e.Text = []part.End{end}, e.sentence(planned)
		return e, nil
	}
	return nil, nil
}
