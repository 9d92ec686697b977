package fault

import (
	"context"
	"errors"
	"fmt"
	"math"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
)

// AtPitch is how two or more hooks share the load at one pitch of the aircraft.
type AtPitch struct {
	Aircraft float64 // pitch of the aircraft, rad, positive nose up
	Share    []HookShare
	Pitch    float64 // of the first body, rad against the horizon
	Roll     float64
	Rated    bool
	Use      float64
	Leg      string
	Slack    []string
	Result   rig.Result
	Reason   string
}

// ErrOneHook is returned by [OverPitch] for a rig with a single hook, which
// carries everything at any pitch.
var ErrOneHook = errors.New("fault: load share needs a rig with two hooks or more")

// OverPitch hangs the rig with its hooks tilted about the middle between them
// as the aircraft pitches, from the lowest to the highest pitch (rad) in the
// given number of steps. The hook frame stays level; a hook ahead of the
// middle goes up as the nose does.
func OverPitch(ctx context.Context, r *rig.Rig, lowest, highest float64, steps int) ([]AtPitch, error) {
	if len(r.Apexes()) < 2 {
		return nil, ErrOneHook
	}
	if steps < 1 || !(highest > lowest) {
		return nil, fmt.Errorf("fault: pitch from %.4g to %.4g rad in %d steps: want the lowest first and at least one step", lowest, highest, steps)
	}
	var out []AtPitch
	for i := 0; i <= steps; i++ {
		if err := ctx.Err(); err != nil {
			return out, err
		}
		x := AtPitch{Aircraft: lowest + (highest-lowest)*float64(i)/float64(steps)}
		a, err := pitched(r, x.Aircraft)
		if err != nil {
			return out, err
		}
		x.Share = Shares(a)
		x.Pitch, x.Roll = a.Bodies[0].Pitch, a.Bodies[0].Roll
		x.Use, x.Leg, x.Rated = a.HighestUse()
		for k := range a.Legs {
			if a.Legs[k].Slack {
				x.Slack = append(x.Slack, a.Legs[k].ID)
			}
		}
		x.Result, x.Reason = a.Result, a.Reason
		out = append(out, x)
	}
	return out, nil
}

// UsualPitch is the span that [OverPitch] is usually run over, rad, one step a
// degree: our choice.
func UsualPitch() (lowest, highest float64, steps int) {
	return -10 * quantity.Degree, 10 * quantity.Degree, 20
}

func pitched(r *rig.Rig, pitch float64) (*rig.Answer, error) {
	s := r.Spec()
	var middle rig.Vec
	for _, a := range s.Apexes {
		for k := range middle {
			middle[k] += a.At[k] / float64(len(s.Apexes))
		}
	}
	sin, cos := math.Sincos(pitch)
	for i := range s.Apexes {
		at := &s.Apexes[i].At
		x, z := at[0]-middle[0], at[2]-middle[2]
		at[0], at[2] = middle[0]+x*cos-z*sin, middle[2]+x*sin+z*cos
	}
	tilted, problems := rig.New(s)
	if len(problems) > 0 {
		return nil, problems[0]
	}
	return rig.Hang(tilted)
}
