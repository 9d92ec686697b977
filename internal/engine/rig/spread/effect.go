package spread

import "context"

// totalEffects estimates, for each group of coordinates, the total effect on
// each output by Jansen's estimator: with independent points a and b, and a_i
// being a with group i taken from b, S_i = mean((f(a) − f(a_i))²) / (2·Var f).
// The points a and b are the two halves of one sequence of twice as many
// dimensions. f fills its output for a point; run calls its argument for every
// number below n, in any order and on several goroutines if it likes. An
// output that does not vary has no effects: zeros.
func totalEffects(ctx context.Context, dimensions int, groups [][]int, n, outputs int, seed uint64,
	run func(ctx context.Context, n int, each func(worker, i int)) error, f func(worker int, x, out []float64),
) ([][]float64, error) {
	h := newHalton(2*dimensions, seed)
	width := (len(groups) + 2) * outputs
	results := make([]float64, n*width)
	err := run(ctx, n, func(worker, i int) {
		both := make([]float64, 2*dimensions)
		h.at(i+1, both)
		a, b := both[:dimensions], both[dimensions:]
		row := results[i*width : (i+1)*width]
		f(worker, a, row[:outputs])
		f(worker, b, row[outputs:2*outputs])
		x := make([]float64, dimensions)
		for g, group := range groups {
			copy(x, a)
			for _, d := range group {
				x[d] = b[d]
			}
			f(worker, x, row[(g+2)*outputs:(g+3)*outputs])
		}
	})
	if err != nil {
		return nil, err
	}
	out := make([][]float64, len(groups))
	for g := range groups {
		out[g] = make([]float64, outputs)
	}
	for o := range outputs {
		mean := 0.0
		for i := range n {
			mean += results[i*width+o] + results[i*width+outputs+o]
		}
		mean /= float64(2 * n)
		variance := 0.0
		for i := range n {
			for _, v := range [...]float64{results[i*width+o], results[i*width+outputs+o]} {
				variance += float64((v - mean) * (v - mean))
			}
		}
		variance /= float64(2*n - 1)
		if variance <= 1e-24*(1+mean*mean) {
			continue
		}
		for g := range groups {
			sum := 0.0
			for i := range n {
				d := results[i*width+o] - results[i*width+(g+2)*outputs+o]
				sum += float64(d * d)
			}
			out[g][o] = sum / float64(2*n) / variance
		}
	}
	return out, nil
}
