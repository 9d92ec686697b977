package flight

import "math"

// FromWords says where the air comes from, with angles as show writes them:
// "ahead", "30.0 deg to the left of ahead", "behind".
func (c Conditions) FromWords(show func(rad float64) string) string {
	off := math.Remainder(c.From, 2*math.Pi)
	switch angle := show(math.Abs(off)); {
	case angle == show(0):
		return "ahead"
	case angle == show(math.Pi):
		return "behind"
	case off > 0:
		return angle + " to the left of ahead"
	default:
		return angle + " to the right of ahead"
	}
}
