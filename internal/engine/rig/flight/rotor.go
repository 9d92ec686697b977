package flight

import (
	"fmt"
	"math"
	"slices"

	"hangtrue/internal/engine/rig"
)

// Rotor is what of an aircraft's rotor matters to a load that bounces.
type Rotor struct {
	Speed  float64 // rad/s
	Blades int
}

// Band is how near a bounce may come to a frequency of the rotor before it is
// named, as a share of that frequency: our choice, no source.
const Band = 0.15

// Beat is one mode with bounce in it beside one frequency of the rotor.
type Beat struct {
	Of     string  // "once a turn" or "blade passing"
	Rotor  float64 // Hz
	Bounce float64 // Hz, with the hook held still
	Mode   string
	Near   bool // within Band
}

// Beats compares every mode with bounce in it with the rotor's once-per-turn
// and blade-passing frequencies. Modes are with the hook held still: under an
// aircraft that gives way, a bounce is faster. It fails where the rotor does
// not turn or has no blades.
func Beats(modes []rig.Mode, r Rotor) ([]Beat, error) {
	if !(r.Speed > 0) || math.IsInf(r.Speed, 0) || r.Blades < 1 {
		return nil, fmt.Errorf("flight: a rotor of %d blades at %g rad/s: want at least one blade and a speed above zero", r.Blades, r.Speed)
	}
	turn := r.Speed / (2 * math.Pi)
	var out []Beat
	for _, m := range modes {
		if !slices.Contains(m.Names, "bounce") {
			continue
		}
		for _, x := range []struct {
			of string
			hz float64
		}{{"once a turn", turn}, {"blade passing", turn * float64(r.Blades)}} {
			out = append(out, Beat{x.of, x.hz, m.Frequency, m.Shape, math.Abs(m.Frequency-x.hz) <= Band*x.hz})
		}
	}
	return out, nil
}
