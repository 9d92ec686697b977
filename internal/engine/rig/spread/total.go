package spread

import (
	"context"
	"fmt"
)

// TotalEffects estimates the total effect of each input on a number, by the
// method that [Run] uses on a rig: for inputs even over 0 to 1 and independent of
// each other, at n points of a sequence with a seed. The effect of an input is
// the share of the number's variance that goes away only if that input is known
// as well. It fails where there is no input or no point, and where ctx is done.
func TotalEffects(ctx context.Context, inputs, n int, seed uint64, f func(x []float64) float64) ([]float64, error) {
	if inputs < 1 || n < 1 {
		return nil, fmt.Errorf("spread: %d inputs at %d points: want at least one of each", inputs, n)
	}
	groups := make([][]int, inputs)
	for i := range groups {
		groups[i] = []int{i}
	}
	serial := func(ctx context.Context, n int, each func(worker, i int)) error {
		for i := range n {
			if err := ctx.Err(); err != nil {
				return err
			}
			each(0, i)
		}
		return nil
	}
	list, err := totalEffects(ctx, inputs, groups, n, 1, seed, serial, func(_ int, x, out []float64) { out[0] = f(x) })
	if err != nil {
		return nil, err
	}
	out := make([]float64, inputs)
	for i := range out {
		out[i] = list[i][0]
	}
	return out, nil
}
